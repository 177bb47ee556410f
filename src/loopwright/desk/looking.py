"""What stands in the text of a problem file, sound or not, and what an act says: looked up for `edits`.

A text that is no sound circuit yet has its tables all the same. Knows no page and no file.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from ..circuit.names import listed, nearest, point_name, quantity_name
from ..errors import FaultyMaterial
from ..findings import Finding
from ..problem.key_lines import load
from .kept_layout import with_items

Act = Mapping[str, object]
Tables = Mapping[str, object]
ENTRY = re.compile(r"(?P<sign>[+\-−–]?)(?P<room>\s*)(?P<name>.*)", re.DOTALL)
OF_ELEMENTS = ("numbers", "elements", "ratings", "switching", "start")
LISTS = ("find", "given", "expect", "plots", "loops")
_LONGEST = 200_000  # signs of one text in an edit


def branch_meant(content: Tables, edit: Act) -> tuple[str, str]:
    """The key and line of the branch that is meant."""
    wanted = word_of(edit, "branch")
    branches = table_of(content, "branches")
    for key, line in branches.items():
        if (quantity_name(key) or key) == wanted and isinstance(line, str):
            return key, line
    near = nearest(wanted, branches)
    mend = f"Did you mean {near}?" if near else f"There are {listed(branches)}." if branches else ""
    raise FaultyMaterial(Finding("desk/no-such-branch", f"there is no branch {wanted}.", mend))


def pieces_of(line: str) -> list[str]:
    """What stands between the commas of a branch line."""
    return [piece.strip() for piece in line.split(",")]


def points_named(line: str) -> list[str]:
    """The points that a branch line names: its ends, and those in brackets."""
    pieces = pieces_of(line)
    inner = [piece[1:-1] for piece in pieces[1:-1] if piece.startswith("(") and piece.endswith(")")]
    return [point_name(piece) or piece for piece in (pieces[0], *inner, pieces[-1])]


def elements_met(branches: Mapping[str, object]) -> set[str]:
    """The elements that the branches meet."""
    found: set[str] = set()
    for line in branches.values():
        for piece in pieces_of(str(line))[1:-1]:
            entry = ENTRY.fullmatch(piece)
            if entry is not None and not piece.startswith("("):
                found.add(canonical(entry["name"]))
    return found


def symbols_named(content: Tables) -> set[str]:
    """The symbols that values are written in."""
    tables = (table_of(content, "elements"), table_of(content, "start"))
    texts = [text for table in tables for value in table.values() for text in texts_of(value)]
    moves = [text for value in table_of(content, "switching").values() for text in texts_of(value)]
    times = {name for move in moves for name in names_in(move.partition(" at ")[2])}
    return {*map(canonical, table_of(content, "numbers")), *(n for t in texts for n in names_in(t)), *times}


def names_used(content: Tables) -> set[str]:
    """Every name of a quantity in the file: currents, elements, symbols."""
    branches = table_of(content, "branches")
    return {*map(canonical, branches), *elements_met(branches), *symbols_named(content)}


def names_in(text: str) -> set[str]:
    """Every name in a formula."""
    return {canonical(name) for name in re.findall(r"[^\W\d_][\w′']*", text)}


def canonical(name: str) -> str:
    """A name as the circuit has it: `R_3` is `R3`."""
    return quantity_name(name) or name


def free_current(branches: Mapping[str, object], content: Tables) -> str:
    """The first of I1, I2, ... that nothing is called; what numbers are given for counts too."""
    taken = {*map(canonical, branches), *elements_met(branches), *symbols_named(content)}
    number = 1
    while f"I{number}" in taken:
        number += 1
    return f"I{number}"


def words_of_branches(text: str) -> dict[str, str]:
    """What is written along each wire, by the name of its current: `+E2, R2`."""
    branches = table_of(load(text)[0], "branches")
    return {canonical(key): ", ".join(pieces_of(str(line))[1:-1]) for key, line in branches.items()}


def texts_of(value: object) -> list[str]:
    """The texts of an entry: itself, or those in its list or table."""
    if isinstance(value, str):
        return [value]
    held = value.values() if isinstance(value, Mapping) else value if isinstance(value, list) else ()
    return [item for item in held if isinstance(item, str)]


def with_list(text: str, content: Tables, key: str, follow: Callable[[str], str | None]) -> str:
    """The text with every item of a list as `follow` makes it; None takes an item out."""
    items = content.get(key, [])
    listed_items = [items] if isinstance(items, str) else items if isinstance(items, list) else []
    changed = {i: follow(item) for i, item in enumerate(listed_items) if isinstance(item, str)}
    return with_items(text, (key,), {i: new for i, new in changed.items() if new != listed_items[i]})


def table_of(content: Tables, name: str) -> Mapping[str, object]:
    """A table of the file; an empty one where there is none."""
    table = content.get(name, {})
    return table if isinstance(table, Mapping) else {}


def core_changed(piece: str, change: Callable[[str], str]) -> str:
    """A piece between commas with its core changed and the blanks around it kept."""
    core = piece.strip()
    return piece.replace(core, change(core), 1) if core else piece


# -- what an edit says ---------------------------------------------------------------------------


def word_of(edit: Act, key: str, default: str | None = None, longest: int = _LONGEST) -> str:
    """What an act says under a key. Raises FaultyMaterial where it says nothing, and there is no default."""
    word = edit.get(key, default)
    if not isinstance(word, str) or len(word) > longest:
        raise FaultyMaterial(
            Finding(
                "desk/act-untold", f'the act "{edit.get("do")}" does not say its {key}.', "Name it as a text."
            )
        )
    return word


def point_meant(edit: Act, key: str) -> str:
    """The point that an act names under a key."""
    name = point_name(word_of(edit, key))
    if name is None:
        raise FaultyMaterial(
            Finding(
                "desk/unreadable-name", f'"{edit.get(key)}" cannot name a point.', "Use letters and digits."
            )
        )
    return name
