"""One act on a problem file as a small value, and the text that comes of it: text in, text out.

Nothing is changed but what the act changes; comments and layout stay (`kept_layout`). What cannot be done is
a finding in words. Stands on `problem`; knows no page and no file.

    {"do": "turn", "branch": "I1"}                            the arrow the other way; every sign follows
    {"do": "write", "branch": "I1", "words": "+E1, R1"}       what it meets; or "line": all of it
    {"do": "branch", "from": "a", "to": "b"}                  a branch more; "words", "name", "places" besides
    {"do": "carry", "of": "R1", "to": "I2", "before": "E2"}   an element elsewhere on a wire; else last
    {"do": "flip", "of": "E1"}                                a source the other way about
    {"do": "take out", "branch": "I1"}                        a branch, and what only it needed
    {"do": "value", "of": "R1", "value": "4.7 kΩ"}            a number or an expression; empty takes it away
    {"do": "switch", "of": "S1"}                              open becomes closed, closed open
    {"do": "place", "point": "a", "x": 2, "y": 0}             a point on the grid; "all": places of the others
    {"do": "lay out"}                                         the places taken away: the layout is ours again
    {"do": "rename", "from": "R1", "to": "Ra"}                an element, a current, a symbol or a point
    {"do": "loops", "loops": ["I1 + I2"]}                     those that are travelled; none: the usual ones
    {"do": "plot", "request": "I1 against R1", "keep": true}  on the sheet, or with false off it
    {"do": "text", "text": "..."}                             the whole text
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from fractions import Fraction

from ..circuit.names import listed, point_name, quantity_name
from ..errors import FaultyMaterial
from ..findings import Finding
from ..problem.key_lines import load
from ..problem.problem_text import quoted
from ..quantities import STORED, UNITS, UnreadableQuantity, read_quantity
from .carried import carry, flip, other_sign
from .chosen import choose_loops, choose_plot
from .kept_layout import with_items, with_value, without_key, without_table
from .looking import (
    ENTRY,
    LISTS,
    OF_ELEMENTS,
    Act,
    Tables,
    branch_meant,
    canonical,
    elements_met,
    free_current,
    names_in,
    names_used,
    pieces_of,
    point_meant,
    points_named,
    table_of,
    texts_of,
    with_list,
    word_of,
)
from .renaming import rename
from .turned import apart, expected_turned, given_turned, negated, plotted_turned, question_turned, sum_turned


def edited(text: str, edit: Act) -> str:
    """The text after an edit. Raises FaultyMaterial where it cannot be done, with what, why and the mend."""
    act = edit.get("do")
    if act == "text":
        return word_of(edit, "text", longest=2_000_000)
    if not isinstance(act, str) or act not in _ACTS:
        known = listed([*_ACTS, "text"])
        raise FaultyMaterial(
            Finding("desk/unknown-act", f"there is no act called {act!r}.", f"There are {known}.")
        )
    content, complaints = load(text) if text.strip() else ({}, ())
    if complaints:
        first = complaints[0]
        raise FaultyMaterial(
            Finding(
                "desk/text-first",
                f"line {first.line} of the text cannot be read: {first.message}.",
                f"Put the text right first. {first.mend}",
            )
        )
    return _ACTS[act](text, content, edit)


# -- branches ------------------------------------------------------------------------------------


def _turn(text: str, content: Tables, edit: Act) -> str:
    """Reads a branch the other way: sources change side and sign; what counts along its arrow follows."""
    key, line = branch_meant(content, edit)
    text = with_value(text, ("branches", key), quoted(turned_line(line)))
    elements = [ENTRY.fullmatch(piece) for piece in pieces_of(line)[1:-1]]
    names = [quantity_name(e["name"]) for e in elements if e is not None]
    turned = {quantity_name(key) or key, *(f"{q}({name})" for q in "VQ" for name in names if name)}
    known = names_used(content)
    follows: tuple[tuple[str, Callable[[str, Collection[str]], str]], ...] = (
        ("find", question_turned),
        ("given", given_turned),
        ("expect", expected_turned),
        ("plots", plotted_turned),
        ("loops", sum_turned),
    )
    for where, follow in follows:
        items = texts_of(content.get(where))
        then = [follow(apart(item, known, turned), turned) for item in items]
        text = with_items(text, (where,), {i: new for i, new in enumerate(then) if new != items[i]})
    for storage, held in table_of(content, "start").items():
        if quantity_name(storage) in names and isinstance(held, str):
            text = with_value(text, ("start", storage), quoted(negated(held)))
    return text


def turned_line(line: str) -> str:
    """The line of a branch read the other way; where nothing but commas and blanks stood, they stay."""
    pieces = line.split(",")
    cores = [piece.strip() for piece in pieces]
    middle = [other_sign(core) for core in reversed(cores[1:-1])]
    turned = [cores[-1], *middle, cores[0]] if len(cores) > 1 else cores
    kept = [
        piece.partition(core) if core else (piece, "", "") for piece, core in zip(pieces, cores, strict=True)
    ]
    return ",".join(f"{before}{core}{after}" for (before, _, after), core in zip(kept, turned, strict=True))


def _write(text: str, content: Tables, edit: Act) -> str:
    """Writes what a branch meets; what no branch meets any more loses its number with it."""
    key, line = branch_meant(content, edit)
    if "line" in edit:
        new = word_of(edit, "line")
    else:
        words = word_of(edit, "words").strip().strip(",").strip()
        ends = pieces_of(line)
        ends = ends if len(ends) > 1 else [*ends, *ends]
        new = ", ".join((ends[0], *([words] if words else []), ends[-1]))
    if new == line:
        return text
    text = with_value(text, ("branches", key), quoted(new))
    return _without_strangers(text, content, {**table_of(content, "branches"), key: new})


def _add(text: str, content: Tables, edit: Act) -> str:
    """Puts in a branch between two points, named or yet to be."""
    start, end = point_meant(edit, "from"), point_meant(edit, "to")
    words = word_of(edit, "words", "").strip().strip(",").strip()
    branches = table_of(content, "branches")
    name = word_of(edit, "name", "") or free_current(branches, content)
    if quantity_name(name) is None or name in branches:
        raise FaultyMaterial(
            Finding(
                "desk/name-taken",
                f'"{name}" cannot be the name of a new current.',
                "Take another, such as I1.",
            )
        )
    line = ", ".join((start, *([words] if words else []), end))
    text = with_value(text, ("branches", name), quoted(line))
    places = edit.get("places")
    return _with_places(text, places) if isinstance(places, Mapping) else text


def _take_out(text: str, content: Tables, edit: Act) -> str:
    """Takes a branch out, with the numbers of what stood in it, questions about it and places of points that
    no branch touches any more."""
    key, _ = branch_meant(content, edit)
    left = {name: line for name, line in table_of(content, "branches").items() if name != key}
    text = without_key(text, ("branches", key))
    gone = {quantity_name(key) or key, *(elements_met(table_of(content, "branches")) - elements_met(left))}
    text = _without_strangers(text, content, left)
    known = names_used(content)
    points = {piece for line in left.values() for piece in points_named(str(line))}
    for point in table_of(content, "places"):
        if (point_name(point) or point) not in points:
            text = without_key(text, ("places", point))
    for where in LISTS:
        text = with_list(
            text, content, where, lambda item: None if names_in(apart(item, known, gone)) & gone else item
        )
    return text


def _without_strangers(text: str, content: Tables, branches: Mapping[str, object]) -> str:
    """The text without numbers and values of what no branch meets any more, though one did before."""
    gone = elements_met(table_of(content, "branches")) - elements_met(branches)
    values = {
        key: str(value)
        for key, value in table_of(content, "elements").items()
        if quantity_name(key) not in gone
    }
    held = {name for value in values.values() for name in names_in(value)}
    moves = table_of(content, "switching")
    ended: set[str] = set()  # the times of moves that are no more
    for key, told in moves.items():
        (ended if canonical(key) in gone else held).update(names_in(" ".join(texts_of(told))))
    gone |= ended - held - elements_met(branches)
    for table in OF_ELEMENTS:
        for key in table_of(content, table):
            name = quantity_name(key) or key
            if name in gone and not (table == "numbers" and name in held):
                text = without_key(text, (table, key))
    return text


# -- values and switches -------------------------------------------------------------------------


def _value(text: str, content: Tables, edit: Act) -> str:
    """Gives an element or a symbol its value: a number under [numbers], an expression under [elements]."""
    name, value = word_of(edit, "of"), word_of(edit, "value").strip()
    known = {quantity_name(key) or key: key for key in table_of(content, "numbers")}
    own = {quantity_name(key) or key: key for key in table_of(content, "elements")}
    if not value:
        return without_key(text, ("numbers", known.get(name, name)))
    if _is_number(value) or name not in elements_met(table_of(content, "branches")):
        entry = table_of(content, "elements").get(own.get(name, name))
        if isinstance(entry, str) and re.match(r"[\d.]", entry):
            return with_value(text, ("elements", own[name]), quoted(value))
        return with_value(text, ("numbers", known.get(name, name)), quoted(value))
    text = without_key(text, ("numbers", known.get(name, name)))
    if value == name and not isinstance(table_of(content, "elements").get(own.get(name, name)), Mapping):
        return without_key(text, ("elements", own.get(name, name)))
    return with_value(text, ("elements", own.get(name, name)), quoted(value))


def _is_number(value: str) -> bool:
    """Whether a value is a number, as it stands under [numbers], and no expression."""
    try:
        read_quantity(value, (*UNITS, *STORED))
    except UnreadableQuantity:
        return False
    return True


def _switch(text: str, content: Tables, edit: Act) -> str:
    """Opens a closed switch and closes an open one; of one that moves, every move goes the other way."""
    name = word_of(edit, "of")
    moves = next((k for k in table_of(content, "switching") if canonical(k) == name), None)
    if moves is not None:
        told = texts_of(table_of(content, "switching")[moves])
        return with_items(text, ("switching", moves), {i: _moved_back(move) for i, move in enumerate(told)})
    entry = table_of(content, "elements").get(name)
    if isinstance(entry, Mapping) and isinstance(entry.get("closed"), bool):
        literal = "false" if entry["closed"] else "true"
        return with_value(text, ("elements", name, "closed"), literal)
    return with_value(text, ("elements", name), quoted("open" if entry == "closed" else "closed"))


def _moved_back(move: str) -> str:
    """A move the other way: `closed -> open at 20 ms` of `open -> closed at 20 ms`."""
    other = {"open": "closed", "closed": "open"}
    return re.sub(r"\b(open|closed)\b", lambda found: other[found[0]], move)


# -- places --------------------------------------------------------------------------------------


def _place(text: str, content: Tables, edit: Act) -> str:
    """Moves a point; the first time every other point is given the place it has on the paper."""
    point = point_meant(edit, "point")
    others = edit.get("all")
    if isinstance(others, Mapping) and not table_of(content, "places"):
        text = _with_places(text, others)
    return _with_places(text, {point: (edit.get("x"), edit.get("y"))})


def _with_places(text: str, places: Mapping[str, object]) -> str:
    for point, at in places.items():
        if not isinstance(at, list | tuple) or len(at) != 2:
            raise FaultyMaterial(
                Finding("desk/no-place", f"{point} is given no place.", "A place is a pair of numbers.")
            )
        x, y = map(_number, at)
        there = load(text)[0] if text.strip() else {}
        known = {point_name(key) or key: key for key in table_of(there, "places")}
        text = with_value(text, ("places", known.get(point, point)), f"[{x}, {y}]")
    return text


def _number(value: object) -> str:
    """A number of the grid as TOML has it: whole where it is, else with its decimals."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 10_000:
        raise FaultyMaterial(
            Finding("desk/no-place", f"{value!r} is no number of a place.", "A place is a pair of numbers.")
        )
    exact = Fraction(round(value * 100), 100)
    return str(exact.numerator) if exact.denominator == 1 else f"{float(exact):g}"


def _lay_out(text: str, content: Tables, edit: Act) -> str:
    return without_table(text, "places")


_ACTS: Mapping[str, Callable[[str, Tables, Act], str]] = {
    "turn": _turn,
    "write": _write,
    "branch": _add,
    "carry": carry,
    "flip": flip,
    "take out": _take_out,
    "value": _value,
    "switch": _switch,
    "place": _place,
    "lay out": _lay_out,
    "rename": rename,
    "loops": choose_loops,
    "plot": choose_plot,
}
