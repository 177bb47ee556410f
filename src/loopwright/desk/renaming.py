"""Another name for an element, a current, a symbol or a point, everywhere in a text."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping

from ..circuit.names import nearest, point_name, quantity_name
from ..errors import FaultyMaterial
from ..findings import Finding
from ..problem.problem_text import quoted
from .kept_layout import with_items, with_key_renamed, with_value
from .looking import (
    ENTRY,
    LISTS,
    OF_ELEMENTS,
    Act,
    Tables,
    canonical,
    core_changed,
    names_used,
    points_named,
    table_of,
    texts_of,
    with_list,
    word_of,
)
from .turned import apart, renamed


def rename(text: str, content: Tables, edit: Act) -> str:
    """Gives an element, a current, a symbol or a point another name everywhere."""
    old, new = word_of(edit, "from"), word_of(edit, "to").strip()
    branches = {key: str(line) for key, line in table_of(content, "branches").items()}
    points = {point for line in branches.values() for point in points_named(line)}
    quantities = names_used(content)
    if old == new:
        return text
    if old in points:
        return _point_renamed(text, content, old, new, points | quantities)
    if old not in quantities:
        near = nearest(old, (*points, *quantities))
        raise FaultyMaterial(
            Finding("desk/no-such-name", f"nothing is called {old}.", f"Did you mean {near}?" if near else "")
        )
    if quantity_name(new) != new:
        raise FaultyMaterial(
            Finding(
                "desk/unreadable-name",
                f'"{new}" cannot stand in a formula.',
                "Write a letter and digits, as R1.",
            )
        )
    _not_taken(new, points | quantities)
    change = {old: new}
    for key, line in branches.items():
        changed = ",".join(_entry_renamed(piece, change) for piece in line.split(","))
        if changed != line:
            text = with_value(text, ("branches", key), quoted(changed))
    for table in ("branches", *OF_ELEMENTS):
        for key, value in table_of(content, table).items():
            if table != "branches" and isinstance(value, str | list):
                items = {
                    i: _formula_renamed(item, change, quantities) for i, item in enumerate(texts_of(value))
                }
                changed_items = {i: new for i, new in items.items() if new != texts_of(value)[i]}
                text = with_items(text, (table, key), changed_items)
            if table == "elements" and isinstance(value, Mapping):
                for part in ("value", "internal", "inside"):
                    if isinstance(value.get(part), str) and renamed(value[part], change) != value[part]:
                        text = with_value(text, (table, key, part), quoted(renamed(value[part], change)))
            if canonical(key) == old:
                text = with_key_renamed(text, (table, key), new)
    for where in LISTS:
        text = with_list(text, content, where, lambda item: _formula_renamed(item, change, quantities))
    return text


def _point_renamed(text: str, content: Tables, old: str, new: str, taken: Iterable[str]) -> str:
    if point_name(new) != new:
        raise FaultyMaterial(
            Finding("desk/unreadable-name", f'"{new}" cannot name a point.', "Use letters and digits.")
        )
    _not_taken(new, taken)
    for key, line in table_of(content, "branches").items():
        changed = _line_with_point(str(line), old, new)
        if changed != line:
            text = with_value(text, ("branches", key), quoted(changed))
    for key in table_of(content, "places"):
        if (point_name(key) or key) == old:
            text = with_key_renamed(text, ("places", key), new)
    calls = re.compile(r"([VRCLI]\s*)\(([^()]*)\)")

    def called(item: str) -> str:
        def inside(found: re.Match[str]) -> str:
            names = ",".join(core_changed(n, lambda c: new if c == old else c) for n in found[2].split(","))
            return f"{found[1]}({names})" if "," in found[2] else found[0]

        return calls.sub(inside, item)

    for where in LISTS:
        text = with_list(text, content, where, called)
    return text


def _line_with_point(line: str, old: str, new: str) -> str:
    """A branch line with another name of a point, at an end or in brackets on the way."""
    first, *middle, last = line.split(",") if "," in line else (line, "")
    changed = [core_changed(piece, lambda core: _point_core(core, old, new, bare=False)) for piece in middle]
    ends = [
        core_changed(piece, lambda core: _point_core(core, old, new, bare=True)) for piece in (first, last)
    ]
    return ",".join((ends[0], *changed, ends[1]))


def _point_core(core: str, old: str, new: str, *, bare: bool) -> str:
    if bare:
        return new if point_name(core) == old else core
    inside = core[1:-1].strip() if core.startswith("(") and core.endswith(")") else None
    return f"({new})" if inside is not None and point_name(inside) == old else core


def _entry_renamed(piece: str, change: Mapping[str, str]) -> str:
    def core_of(core: str) -> str:
        found = ENTRY.fullmatch(core)
        new = change.get(canonical(found["name"])) if found is not None else None
        return core if found is None or new is None else f"{found['sign']}{found['room']}{new}"

    return core_changed(piece, core_of)


def _formula_renamed(item: str, change: Mapping[str, str], known: Collection[str]) -> str:
    """A question, claim or value with other names; between the brackets of V(a, b) points are named."""
    item = apart(item, known, change)
    pieces = re.split(r"(\b[VR]\s*\([^()]*,[^()]*\))", item)
    return "".join(piece if i % 2 else renamed(piece, change) for i, piece in enumerate(pieces))


def _not_taken(name: str, taken: Iterable[str]) -> None:
    if name in taken:
        raise FaultyMaterial(
            Finding("desk/name-taken", f"something is called {name} already.", "Take another name.")
        )
