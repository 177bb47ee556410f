"""An element carried along its wire or to another one, and a source put in the other way about. Text in, text
out; what stands around stays. Knows no page and no file."""

from __future__ import annotations

from ..circuit.names import listed, nearest
from ..errors import FaultyMaterial
from ..findings import Finding
from ..problem.problem_text import quoted
from .kept_layout import with_value
from .looking import ENTRY, Act, Tables, branch_meant, canonical, pieces_of, table_of, word_of

_OTHER = {"+": "-", "-": "+", "−": "+", "–": "+"}


def other_sign(entry: str) -> str:
    """What is written of a source, met from its other side; of what has no sign, the same."""
    found = ENTRY.fullmatch(entry)
    return entry if found is None or not found["sign"] else _OTHER[found["sign"]] + entry[1:]


def carry(text: str, content: Tables, edit: Act) -> str:
    """Takes an element out of its wire and puts it into the branch `to`, or elsewhere along its own: where
    the arrow meets it right before `before`, else last."""
    name, before = word_of(edit, "of"), word_of(edit, "before", "")
    key, at = _stands(content, name)
    goal, line = branch_meant(content, {**edit, "branch": word_of(edit, "to")})
    own = pieces_of(str(table_of(content, "branches")[key]))
    piece = own.pop(at)
    there = own if key == goal else pieces_of(line)
    place = len(there) - 1
    if before:
        other, place = _stands(content, before)
        if other != goal:
            raise FaultyMaterial(
                Finding("desk/no-such-name", f"{before} does not stand in {goal}.", f"It stands in {other}.")
            )
        place -= key == goal and at < place
    there.insert(place, piece)
    for branch, pieces in {key: own, goal: there}.items():
        text = with_value(text, ("branches", branch), quoted(", ".join(pieces)))
    return text


def flip(text: str, content: Tables, edit: Act) -> str:
    """Puts a source in the other way about: met from its other side, it gives a drop for a rise."""
    name = word_of(edit, "of")
    key, at = _stands(content, name)
    pieces = pieces_of(str(table_of(content, "branches")[key]))
    turned = other_sign(pieces[at])
    if turned == pieces[at]:
        raise FaultyMaterial(
            Finding("desk/no-sign", f"{name} is the same from both sides.", "Turn a source about.")
        )
    pieces[at] = turned
    return with_value(text, ("branches", key), quoted(", ".join(pieces)))


def _stands(content: Tables, name: str) -> tuple[str, int]:
    """The key of the branch in which an element stands, and which piece of its line it is."""
    known = []
    for key, line in table_of(content, "branches").items():
        pieces = pieces_of(str(line))
        for at, piece in enumerate(pieces[1:-1], 1):
            entry = ENTRY.fullmatch(piece)
            if entry is not None and not piece.startswith("("):
                known.append(canonical(entry["name"]))
                if known[-1] == name:
                    return key, at
    near = nearest(name, known)
    mend = f"Did you mean {near}?" if near else f"There are {listed(known)}." if known else ""
    raise FaultyMaterial(Finding("desk/no-such-name", f"no branch meets {name}.", mend))
