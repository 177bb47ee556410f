"""What is said of an act once it is done, for those who hear the page: one sentence or two."""

from __future__ import annotations

from collections.abc import Mapping

from ..expressions.said import as_text
from ..laws.laws import laws
from .equations import told_enough
from .paper import said_of_branch
from .read_once import faults_in, in_part, sound


def said_of(edit: Mapping[str, object], text: str) -> str:
    """What an act has made of a paper; `text` is what it says now."""
    of = {key: str(value) for key, value in edit.items()}
    match of["do"]:
        case "turn" | "write":
            return _of_branch(of["do"], of["branch"], text)
        case "branch":
            return f"A branch from {of['from']} to {of['to']}. Write what its arrow meets."
        case "carry":
            return f"{of['of']} put into {of['to']}. {_of_branch('write', of['to'], text)}."
        case "flip":
            return f"{of['of']} turned about: the other terminal first."
        case "take out":
            return f"Branch {of['branch']} taken out."
        case "value":
            return f"{of['of']} is {of['value'].strip() or 'a symbol'}."
        case "switch":
            return f"Switch {of['of']} moved."
        case "place":
            return f"{of['point']} moved to {of['x']} to the right, {of['y']} up."
        case "lay out":
            return "The layout is left to the desk."
        case "loops":
            return "" if faults_in(text) else told_enough(sound(text))
        case "plot":
            return f"{of['request']} is {'on' if edit.get('keep') else 'off'} the sheet."
        case "rename":
            return f"{of['from']} is now called {of['to']}."
    return ""


def _of_branch(act: str, name: str, text: str) -> str:
    circuit, _ = in_part(text)
    if circuit is None or name not in circuit.currents:
        return "Written." if act == "write" else ""
    if act == "write":
        return said_of_branch(circuit, name)
    b = circuit.branch(name)
    said = f"Arrow of {name} turned: now from {b.start} to {b.end}."
    junctions = () if faults_in(text) else laws(circuit).independent_junctions
    return f"{said} {as_text((junctions[0].written,))}." if junctions else said
