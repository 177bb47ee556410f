"""The branches of a problem file: each read along its arrow, from its start to its end.

`"bus, R2, (m), -E2, rail"`: a point, what the arrow meets in order, a point. A point on the way
stands in brackets; a source carries a sign. Says all that is wrong with the lines.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

from ..circuit.elements import Branch, Kind, Pass
from ..circuit.names import listed, nearest, point_name, quantity_name
from .faults import Faults

_SIGNS = {"+": 1, "-": -1, "−": -1, "–": -1, "": 0}
_ENTRY = re.compile(r"(?P<sign>[+\-−–]?)\s*(?P<name>[^+\-−–()]+)")
_ON_THE_WAY = re.compile(r"\((?P<point>[^()]*)\)")
_DESIGNATOR = re.compile(r"[A-Za-z]{1,2}\d+'*")
_EXAMPLE = 'Write it as "start, +E1, R1, end", with commas.'

# First letters: IEC 81346-2 and IEEE 315 practice for R, C, L and S (from memory); E, V and J for
# sources, A for an ammeter and a small r for an internal resistance: common practice, no source.
KIND_BY_LETTER: Mapping[str, Kind] = {
    "R": Kind.RESISTOR,
    "r": Kind.RESISTOR,
    "E": Kind.BATTERY,
    "V": Kind.BATTERY,
    "ε": Kind.BATTERY,
    "J": Kind.CURRENT_SOURCE,
    "S": Kind.SWITCH,
    "A": Kind.AMMETER,
    "C": Kind.CAPACITOR,
    "L": Kind.COIL,
}


@dataclass(frozen=True, slots=True)
class BranchEntry:
    """One entry between the ends of a branch: an element with its sign, or a point on the way."""

    name: str
    sign: int = 0
    is_point: bool = False


@dataclass(frozen=True, slots=True)
class BranchLine:
    """One branch as written: the name of its current, its ends, and what the arrow meets.

    `start` or `end` is empty where the line does not tell it; such a line is not `whole`.
    """

    key: str  # the key in the file
    name: str
    start: str
    end: str
    entries: tuple[BranchEntry, ...]
    whole: bool = True

    @property
    def elements(self) -> tuple[BranchEntry, ...]:
        """The entries that are elements."""
        return tuple(entry for entry in self.entries if not entry.is_point)

    @property
    def on_the_way(self) -> tuple[str, ...]:
        """The points on the way."""
        return tuple(entry.name for entry in self.entries if entry.is_point)


def read_lines(
    table: Mapping[str, object], known: Iterable[str], faults: Faults, joined: Collection[str] | None = ()
) -> tuple[BranchLine, ...]:
    """Reads the lines of [branches]; `known` are the names that [elements] has, `joined` the points at which
    more than these branches meet (None: that cannot be told).

    What is wrong is put down in `faults`; a line that cannot be read in full is not `whole`.
    """
    lines: list[BranchLine] = []
    named: dict[str, BranchLine] = {}
    doubles: list[BranchLine] = []
    for key, text in table.items():
        line = _line(key, text, faults)
        if line is None:
            continue
        twin = named.get(line.name)
        if twin is not None:
            faults.add(
                "circuit/repeated-branch",
                ("branches", key),
                f"branches {twin.key} and {key} have the same name {line.name}.",
                "Give each branch its own current.",
            )
            doubles.append(replace(line, whole=False))
            continue
        lines.append(line)
        if line.name:
            named[line.name] = line
    lines += doubles
    lines = _bare_points_taken_out(lines, set(known), faults)
    elements = {*known, *(entry.name for line in lines for entry in line.elements)}
    _check_points(lines, elements, faults, joined)
    _check_repeats(lines, faults)
    return tuple(lines)


def branch(line: BranchLine, kinds: Mapping[str, Kind], faults: Faults) -> Branch:
    """The branch of a line, once the kinds of its elements are known; checks the signs."""
    along: list[Pass | str] = []
    for entry in line.entries:
        if entry.is_point:
            along.append(entry.name)
            continue
        kind = kinds.get(entry.name)
        if kind in (Kind.BATTERY, Kind.CURRENT_SOURCE) and not entry.sign:
            _missing_sign(line, entry.name, kind, faults)
        if kind not in (Kind.BATTERY, Kind.CURRENT_SOURCE, Kind.CAPACITOR, None) and entry.sign:
            faults.add(
                "circuit/needless-sign",
                ("branches", line.key),
                f"branch {line.key} passes {kind} {entry.name} with a sign, and a {kind} has none.",
                f"Write {entry.name} alone; only batteries, current sources and capacitors with a marked "
                "polarity carry a sign.",
                (entry.name, line.name),
            )
        along.append(Pass(entry.name, entry.sign))
    return Branch(line.name, line.start, line.end, tuple(along))


# -- one line ------------------------------------------------------------------------------------


def _line(key: str, text: object, faults: Faults) -> BranchLine | None:
    path = ("branches", key)
    name = quantity_name(key)
    if name is None:
        faults.add(
            "file/unreadable-name",
            path,
            f'a branch is named "{key}", which cannot stand in a formula as the name of its current.',
            "Name it with a letter and letters or digits, such as I1.",
        )
    if not isinstance(text, str):
        faults.add("file/wrong-type", path, f"branch {key} is not a text.", _EXAMPLE)
        return None
    pieces = [piece.strip() for piece in text.split(",")]
    if len(pieces) < 2:
        what = f'names only "{text.strip()}"' if text.strip() else "is empty"
        faults.add(
            "circuit/branch-to-nowhere",
            path,
            f"branch {key} {what}; a branch has a start, what its arrow meets, and an end.",
            _EXAMPLE,
            (key,),
        )
        return None
    sound = True
    if "" in pieces:
        faults.add(
            "file/empty-entry", path, f"branch {key} has nothing between two commas.", "Take one comma out."
        )
        pieces, sound = [piece for piece in pieces if piece], False
        if len(pieces) < 2:
            return None
    entries: list[BranchEntry] = []
    for piece in pieces[1:-1]:
        entry = _entry(key, piece, faults)
        sound = sound and entry is not None
        if entry is not None:
            entries.append(entry)
    start, end = _end(key, pieces[0], "begins", faults), _end(key, pieces[-1], "ends", faults)
    if name is None or not start or not end:
        return BranchLine(key, name or "", start, end, tuple(entries), whole=False)
    if start == end and sound and not any(not entry.is_point for entry in entries):
        faults.add(
            "circuit/empty-chain",
            path,
            f"branch {name} begins and ends at {start} and meets nothing on the way.",
            "Leave it out, or name what its arrow meets.",
            (name, start),
        )
    return BranchLine(key, name, start, end, tuple(entries), whole=sound)


def _entry(key: str, piece: str, faults: Faults) -> BranchEntry | None:
    on_the_way = _ON_THE_WAY.fullmatch(piece)
    if on_the_way:
        point = point_name(on_the_way["point"])
        if point is not None:
            return BranchEntry(point, is_point=True)
    match = _ENTRY.fullmatch(piece)
    name = quantity_name(match["name"]) if match else None
    if match is not None and name is not None:
        return BranchEntry(name, _SIGNS[match["sign"]])
    faults.add(
        "file/unreadable-entry",
        ("branches", key),
        f'branch {key} meets "{piece}", which is neither an element nor a point on the way.',
        "Write an element as R1, a source with its sign as +E1 or -E1, a point on the way as (m).",
    )
    return None


def _end(key: str, piece: str, how: str, faults: Faults) -> str:
    """The point named at an end; empty, with a finding, where it is none."""
    bracketed = _ON_THE_WAY.fullmatch(piece)
    point = point_name(bracketed["point"] if bracketed else piece)
    if point is not None and not bracketed:
        return point
    if piece[:1] in _SIGNS and len(piece) > 1:
        what, mend = f"the source {piece}", f"Write the point at which it {how}, with a comma."
    elif bracketed and point:
        what, mend = f"({point}), a point in brackets", f"Write {point} without brackets at an end."
    else:
        what, mend = f'"{piece}", which is not the name of a point', "Name a point with letters and digits."
    faults.add(
        "circuit/branch-to-nowhere", ("branches", key), f"branch {key} {how} with {what}.", mend, (key,)
    )
    return ""


# -- all lines together --------------------------------------------------------------------------


def _bare_points_taken_out(lines: list[BranchLine], known: set[str], faults: Faults) -> list[BranchLine]:
    """The lines without those entries that can only be points, written without the brackets that a point on
    the way needs; each is told as a finding."""
    ends = {point for line in lines for point in (line.start, line.end)} - known
    kept: list[BranchLine] = []
    for line in lines:
        bare = {e for e in line.elements if e.name in ends and not e.sign and not _is_designator(e.name)}
        for entry in sorted(bare, key=lambda entry: entry.name):
            faults.add(
                "circuit/point-without-brackets",
                ("branches", line.key),
                f"branch {line.key} meets {entry.name}, which is a point.",
                f"End the branch at {entry.name} and begin another there: a branch runs from junction to "
                f"junction. (If only this branch touches it, write ({entry.name}).)",
                (entry.name, line.name),
            )
        kept.append(replace(line, entries=tuple(entry for entry in line.entries if entry not in bare)))
    return kept


def _check_points(
    lines: list[BranchLine], elements: set[str], faults: Faults, joined: Collection[str] | None
) -> None:
    ends = [point for line in lines for point in (line.start, line.end) if point]
    ends += ends if joined is None else joined
    times = Counter(ends)
    inner = {line.name: line.on_the_way for line in lines}
    for line in lines:
        for point, how in ((line.start, "begins"), (line.end, "ends")):
            if not point:
                continue
            if point in elements or (_is_designator(point) and times[point] == 1):
                _ends_with_element(line, point, how, faults)
            elif times[point] == 1:
                _used_once(line, point, how, [end for end in ends if end not in elements], inner, faults)
        for point in dict.fromkeys(line.on_the_way):
            _check_on_the_way(line, point, lines, ends, faults)


def _check_on_the_way(
    line: BranchLine, point: str, lines: list[BranchLine], ends: list[str], faults: Faults
) -> None:
    others = [other.name for other in lines if other is not line and point in other.on_the_way]
    if point in ends or others:
        faults.add(
            "circuit/junction-inside-branch",
            ("branches", line.key),
            f"branch {line.key} passes through ({point}), but other wires meet there too, so its current "
            "may divide on the way.",
            f"End the branch at {point} and begin another one there.",
            (point, line.name),
        )
    elif line.on_the_way.count(point) > 1:
        faults.add(
            "circuit/repeated-point",
            ("branches", line.key),
            f"branch {line.key} passes through ({point}) twice.",
            "Name each point on the way once; a current that comes back to a point makes a loop of its own.",
            (point, line.name),
        )


def _is_designator(name: str) -> bool:
    return bool(_DESIGNATOR.fullmatch(name)) and (name[0] in KIND_BY_LETTER or name[0] in "CL")


def _ends_with_element(line: BranchLine, name: str, how: str, faults: Faults) -> None:
    faults.add(
        "circuit/branch-to-nowhere",
        ("branches", line.key),
        f"branch {line.key} {how} with {name}, which is an element; every branch {how} at a point.",
        f"Write the point at which it {how}, with a comma.",
        (line.name, name),
    )


def _used_once(
    line: BranchLine,
    point: str,
    how: str,
    ends: list[str],
    inner: Mapping[str, tuple[str, ...]],
    faults: Faults,
) -> None:
    inside = next((name for name, points in inner.items() if point in points), None)
    if inside is not None:
        return  # told where the other branch passes through
    other_ends = [end for end in ends if end != point]
    near = nearest(point, other_ends)
    mend = f"Did you mean {near}? " if near else ""
    faults.add(
        "circuit/point-used-once",
        ("branches", line.key),
        f"branch {line.key} {how} at {point}, and no other branch does, so no current could pass.",
        f"{mend}Join {point} to {listed(dict.fromkeys(other_ends), 'or')}, or leave the branch out.",
        (point, line.name),
    )


def _check_repeats(lines: list[BranchLine], faults: Faults) -> None:
    met: dict[str, BranchLine] = {}
    for line in lines:
        for entry in line.elements:
            if entry.name not in met:
                met[entry.name] = line
                continue
            before = met[entry.name]
            where = (
                f"{entry.name} twice"
                if before is line
                else f"{entry.name}, which branch {before.key} meets already"
            )
            faults.add(
                "circuit/repeated-element",
                ("branches", line.key),
                f"branch {line.key} meets {where}; each element stands in the circuit once.",
                "Give one of them another designator; if they are equal, say so under [elements], as in "
                f'R9 = "{entry.name}".',
                (entry.name, before.name, line.name),
            )


def _missing_sign(line: BranchLine, name: str, kind: Kind, faults: Faults) -> None:
    if kind is Kind.BATTERY:
        mend = f"Write +{name} if the arrow meets its − terminal first, -{name} if its + terminal."
    else:
        mend = f"Write +{name} if the source drives its current along the arrow, -{name} if against it."
    if name.startswith("V"):
        mend += f' (A voltmeter is said so under [elements]: {name} = {{ kind = "voltmeter" }}.)'
    faults.add(
        "circuit/missing-sign",
        ("branches", line.key),
        f"branch {line.key} passes {kind} {name} without a sign.",
        mend,
        (name, line.name),
    )
