"""The table [ladder] of a problem file: a section of branches that is repeated.

    [ladder]
    from = "a, b"                the two points at which the section begins
    to = "c, b"                  the two at which the next one begins, in the same order
    repeated = "without end"     or how many sections there are
    section = ["I1", "I2"]       its branches; all of them when not given
    last = "k, b"                the two points at which the last section ends, for other branches to meet

A ladder of a number of sections is laid out in ordinary branches; one without end stays a section.
Says all that is wrong with the table.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind, Ladder
from ..circuit.ladders import laid_out
from ..circuit.names import listed, nearest, point_name, quantity_name
from .faults import Faults

_KEYS = ("from", "to", "repeated", "section", "last")
_ENDLESS = "without end"
MOST_SECTIONS = 500


def read_ladder(table: Mapping[str, object], faults: Faults) -> Ladder | None:
    """Reads [ladder] by itself; None where there is none or it cannot be read."""
    if not table:
        return None
    for key in table:
        if key not in _KEYS:
            near = nearest(key, _KEYS)
            mend = f"Did you mean {near}?" if near else f"A ladder has {listed(_KEYS)}."
            faults.add("file/unknown-key", ("ladder", key), f'a ladder has no key "{key}".', mend)
    missing = [key for key in ("from", "to", "repeated") if key not in table]
    if missing:
        faults.add(
            "ladder/incomplete",
            ("ladder",),
            f"the ladder does not say {listed(missing)}.",
            'Write from = "a, b", to = "c, b" and repeated = "without end" or a number of sections.',
        )
        return None
    start, end = (_two_points(table[key], key, faults) for key in ("from", "to"))
    count = _count(table["repeated"], faults)
    section = _section(table.get("section", []), faults)
    last = _two_points(table["last"], "last", faults) if "last" in table else None
    if start is None or end is None or count == 0 or (last is None and "last" in table):
        return None
    if start == end:
        faults.add(
            "ladder/goes-nowhere",
            ("ladder", "to"),
            f"the section ends at {start[0]} and {start[1]}, where it begins.",
            "Name in to the points at which the next section is joined on.",
        )
        return None
    if last is not None and not _is_last(last, start, end, count, faults):
        return None
    return Ladder(section, start, end, count, last)


def _is_last(
    last: tuple[str, str], start: tuple[str, str], end: tuple[str, str], count: int | None, faults: Faults
) -> bool:
    """Whether the points at which the last section ends can be called `last`: only where sections are
    counted, and where a rail that runs through keeps its name. What is wrong is put down in `faults`."""
    fault = mend = ""
    if count is None:
        fault, mend = "a ladder without end has no last section.", "Leave last out, or count the sections."
    for given, there in zip(last, end, strict=True):
        if there in start and given != there:
            fault = f"last calls {given} what is {there} in every section."
            mend = f"Write {there} in its place: that rail runs through."
    if fault:
        faults.add("ladder/no-such-last", ("ladder", "last"), fault, mend)
    return not fault


def _two_points(content: object, key: str, faults: Faults) -> tuple[str, str] | None:
    parts = content.split(",") if isinstance(content, str) else []
    points = [point_name(part) for part in parts]
    if len(points) == 2 and points[0] is not None and points[1] is not None and points[0] != points[1]:
        return points[0], points[1]
    faults.add(
        "ladder/unreadable-ends",
        ("ladder", key),
        f"{key} does not name two different points.",
        f'Write {key} = "a, b".',
    )
    return None


def _count(content: object, faults: Faults) -> int | None:
    """How many sections; None without end, 0 where it cannot be read."""
    if isinstance(content, str) and " ".join(content.lower().split()) == _ENDLESS:
        return None
    if isinstance(content, int) and not isinstance(content, bool) and 1 <= content <= MOST_SECTIONS:
        return content
    faults.add(
        "ladder/unreadable-count",
        ("ladder", "repeated"),
        f'repeated is neither "{_ENDLESS}" nor a whole number from 1 to {MOST_SECTIONS}.',
        f'Write repeated = "{_ENDLESS}" or repeated = 5.',
    )
    return 0


def _section(content: object, faults: Faults) -> tuple[str, ...]:
    if isinstance(content, list) and all(isinstance(name, str) for name in content):
        return tuple(dict.fromkeys(quantity_name(name) or name for name in content))
    faults.add(
        "file/wrong-type",
        ("ladder", "section"),
        "section is not a list of branches.",
        'Write section = ["I1", "I2"].',
    )
    return ()


def laddered(circuit: Circuit, ladder: Ladder, faults: Faults) -> Circuit:
    """The circuit with its ladder: laid out where the sections are counted, told as one section where not."""
    strangers = [name for name in ladder.section if name not in circuit.currents]
    for name in strangers:
        near = nearest(name, circuit.currents)
        mend = f"Did you mean {near}?" if near else f"The branches are {listed(circuit.currents)}."
        faults.add(
            "ladder/unknown-branch", ("ladder", "section"), f"there is no branch {name}.", mend, (name,)
        )
    section = tuple(name for name in ladder.section or circuit.currents if name not in strangers)
    touched = {p for name in section for p in (circuit.branch(name).start, circuit.branch(name).end)}
    lost = False
    for key, points in (("from", ladder.start), ("to", ladder.end)):
        for point in points:
            if point not in touched:
                lost = True
                near = nearest(point, touched)
                mend = f"Did you mean {near}?" if near else f"It touches {listed(sorted(touched))}."
                faults.add(
                    "ladder/unknown-point",
                    ("ladder", key),
                    f"no branch of the section begins or ends at {point}.",
                    mend,
                    (point,),
                )
    if strangers or lost or faults.serious:
        return circuit
    ladder = replace(ladder, section=section)
    if ladder.count is not None:
        return laid_out(circuit, ladder)
    _check_endless(circuit, ladder, faults)
    return replace(circuit, ladder=ladder)


def _check_endless(circuit: Circuit, ladder: Ladder, faults: Faults) -> None:
    """What can be worked without end: a section of resistors alone, and the resistance it shows."""
    others = [name for name in circuit.currents if name not in ladder.section]
    if others:
        faults.add(
            "ladder/branches-outside",
            ("ladder", "section"),
            f"the ladder has no end, and outside its section there {'is' if len(others) == 1 else 'are'} "
            f"{listed(others)}.",
            "Leave other branches out, and ask the resistance that the ladder shows to them.",
            tuple(others),
        )
    alien = [e.name for e in circuit.elements.values() if e.kind is not Kind.RESISTOR]
    if alien:
        faults.add(
            "ladder/not-resistors",
            ("ladder",),
            f"a ladder without end is worked for resistors alone, and its section holds {listed(alien)}.",
            "Take them out, or give a number of sections.",
            tuple(alien),
        )
    asked = f"R({', '.join(ladder.start)})"
    for number, text in enumerate(circuit.find):
        if "".join(text.split()) != "".join(asked.split()):
            faults.add(
                "ladder/asked-beyond",
                ("find", number),
                f'"{text}" is asked; of a ladder without end only {asked} is worked.',
                f'Write find = ["{asked}"], or give a number of sections.',
            )
    if circuit.expect:
        faults.add(
            "ladder/asked-beyond",
            ("expect",),
            "expectations are not examined for a ladder without end.",
            "Take them out, or give a number of sections.",
        )
