"""A marking scheme: how many points each part of a working is worth, and by which rules they are given.

Two are built in, of ten and of twenty points (common practice, no source); any other is a TOML file that
says what differs. Knows no working.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType

from ...circuit.names import listed, nearest
from ...errors import FaultyMaterial
from ...problem.faults import Faults
from ...problem.key_lines import key_lines, load


class MarkPart(StrEnum):
    """What points are given for; the value is the key under `[points]` in a scheme's file."""

    ARROWS = "arrows"
    JUNCTIONS = "junctions"
    ELEMENTS = "elements"
    SIGNS = "signs"
    ENOUGH = "enough"
    ALGEBRA = "algebra"
    RESULT = "result"
    UNITS = "units"
    CHECK = "check"


TITLES: Mapping[MarkPart, str] = MappingProxyType({
    MarkPart.ARROWS: "Arrows, one name for each current",
    MarkPart.JUNCTIONS: "Junction equations",
    MarkPart.ELEMENTS: "Loop equations: the right elements",
    MarkPart.SIGNS: "Loop equations: the signs",
    MarkPart.ENOUGH: "Enough independent equations",
    MarkPart.ALGEBRA: "Elimination",
    MarkPart.RESULT: "Results",
    MarkPart.UNITS: "Units, figures, directions",
    MarkPart.CHECK: "A check or a limit",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Scheme:
    """How a working is marked.

    `points`: for each part. `bonus`: parts outside the full mark, which they never lift a total above.
    `follow_on`: whether lines that follow correctly from a slip earn points. `slip`: points lost for one
    slip in the elimination or in the numbers. `grain`: the smallest step of points. `tolerance`: the part
    of the true value by which a result may be off, beyond its own rounding. `figures`: fewest and most
    significant figures of a rounded result.
    """

    title: str
    points: Mapping[MarkPart, Fraction]
    bonus: frozenset[MarkPart] = frozenset()
    follow_on: bool = True
    slip: Fraction = Fraction(1)
    grain: Fraction = Fraction(1, 2)
    tolerance: Fraction = Fraction(0)
    figures: tuple[int, int] = (2, 4)

    @property
    def out_of(self) -> Fraction:
        """The full mark."""
        return sum((p for part, p in self.points.items() if part not in self.bonus), Fraction(0))


def _points(*values: int) -> Mapping[MarkPart, Fraction]:
    return {part: Fraction(value) for part, value in zip(MarkPart, values, strict=True)}


BUILT_IN: Mapping[str, Scheme] = MappingProxyType({
    "ten": Scheme("Ten points", _points(1, 1, 1, 2, 1, 2, 1, 1, 1), frozenset((MarkPart.CHECK,))),
    "twenty": Scheme("Twenty points", _points(2, 3, 3, 4, 2, 3, 1, 1, 1)),
})  # fmt: skip

KEYS = ("title", "start_from", "points", "bonus", "follow_on", "slip", "grain", "tolerance", "figures")
_PER_CENT = re.compile(r"\s*(\d+(?:\.\d+)?)\s*%\s*")
_MOST = 1000  # points of one part


def scheme_of(text: str, file: str = "scheme") -> Scheme:
    """Reads the text of a scheme's file. Raises FaultyMaterial with everything found, each with its line."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    faults = Faults(file, key_lines(text))
    content, complaints = load(text)
    for complaint in complaints:
        faults.keys.lines[("",)] = complaint.line
        faults.add("scheme/not-toml", ("",), f"{complaint.message}.", complaint.mend)
    found = _Reader(content, faults).scheme() if not complaints else None
    if found is None or faults.serious:
        raise FaultyMaterial(*faults.sorted())
    return found


def tolerance_of(text: str) -> Fraction | None:
    """A tolerance as people write it, `1 %`, as a part of the whole; None where it is not one."""
    match = _PER_CENT.fullmatch(text)
    value = Fraction(match[1]) / 100 if match else None
    return value if value is not None and value < 1 else None


class _Reader:
    """One reading of a scheme's file."""

    def __init__(self, content: Mapping[str, object], faults: Faults) -> None:
        self.content, self.faults = content, faults

    def scheme(self) -> Scheme:
        for key in self.content:
            if key not in KEYS:
                self._unknown((key,), key, "a scheme has no key", KEYS)
        base = BUILT_IN["ten"]
        start = self.content.get("start_from", "ten")
        if isinstance(start, str) and start in BUILT_IN:
            base = BUILT_IN[start]
        else:
            self._wrong("start_from", 'start_from is neither "ten" nor "twenty".', 'start_from = "ten"')
        figures = self._figures(base.figures)
        return replace(
            base,
            title=self._text("title", base.title),
            points=self._parts(base.points),
            bonus=self._bonus(base.bonus),
            follow_on=self._switch("follow_on", base.follow_on),
            slip=self._number("slip", base.slip),
            grain=self._number("grain", base.grain) or base.grain,
            tolerance=self._tolerance(base.tolerance),
            figures=figures,
        )

    def _parts(self, base: Mapping[MarkPart, Fraction]) -> Mapping[MarkPart, Fraction]:
        table = self.content.get("points", {})
        if not isinstance(table, Mapping):
            self._wrong("points", "points is not a table.", "[points]")
            return base
        found = dict(base)
        for key, value in table.items():
            part = self._part(("points", key), key)
            points = _exact(value)
            if points is None:
                message = f"the points for {key} are not a number from 0 to {_MOST}."
                self.faults.add("scheme/wrong-value", ("points", key), message, f"Write {key} = 2.")
            elif part is not None:
                found[part] = points
        return found

    def _part(self, path: tuple[str | int, ...], key: object) -> MarkPart | None:
        if isinstance(key, str) and key in list(MarkPart):
            return MarkPart(key)
        self._unknown(path, str(key), "no part of a working is called", tuple(MarkPart))
        return None

    def _bonus(self, base: frozenset[MarkPart]) -> frozenset[MarkPart]:
        items = self.content.get("bonus")
        if items is None:
            return base
        if not isinstance(items, list):
            self._wrong("bonus", "bonus is not a list of parts.", 'bonus = ["check"]')
            return base
        parts = [self._part(("bonus", at), item) for at, item in enumerate(items)]
        return frozenset(part for part in parts if part is not None)

    def _text(self, key: str, base: str) -> str:
        value = self.content.get(key, base)
        if isinstance(value, str):
            return value.strip()
        self._wrong(key, f"the {key} is not a text.", f'{key} = "..."')
        return base

    def _switch(self, key: str, base: bool) -> bool:
        value = self.content.get(key, base)
        if isinstance(value, bool):
            return value
        self._wrong(key, f"{key} is neither true nor false.", f"{key} = true")
        return base

    def _number(self, key: str, base: Fraction) -> Fraction:
        if key not in self.content:
            return base
        value = _exact(self.content[key])
        if value is not None:
            return value
        self._wrong(key, f"{key} is not a number from 0 to {_MOST}.", f"{key} = 1")
        return base

    def _tolerance(self, base: Fraction) -> Fraction:
        value = self.content.get("tolerance")
        if value is None:
            return base
        found = tolerance_of(value) if isinstance(value, str) else None
        if found is not None:
            return found
        self._wrong("tolerance", "the tolerance is not a percentage below 100 %.", 'tolerance = "1 %"')
        return base

    def _figures(self, base: tuple[int, int]) -> tuple[int, int]:
        value = self.content.get("figures", list(base))
        if (
            isinstance(value, list)
            and len(value) == 2
            and all(isinstance(v, int) and not isinstance(v, bool) for v in value)
            and 1 <= value[0] <= value[1] <= 12
        ):
            return value[0], value[1]
        self._wrong("figures", "figures are not a fewest and a most, from 1 to 12.", "figures = [2, 4]")
        return base

    def _wrong(self, key: str, message: str, example: str) -> None:
        self.faults.add("scheme/wrong-value", (key,), message, f"Write {example}.")

    def _unknown(self, path: tuple[str | int, ...], name: str, what: str, known: tuple[str, ...]) -> None:
        near = nearest(name, known)
        mend = f"Did you mean {near}?" if near else f"There are {listed(known)}."
        self.faults.add("scheme/unknown-key", path, f'{what} "{name}".', mend)


def _exact(value: object) -> Fraction | None:
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return None
    if isinstance(value, Decimal) and not value.is_finite():
        return None
    return Fraction(value) if 0 <= value <= _MOST else None
