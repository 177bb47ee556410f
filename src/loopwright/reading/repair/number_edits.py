"""Numbers in a line that are wrong: the number that would be right is worked out, and how one became the
other is recognised.

Each function gives changes of one line, to be tried one by one; its sentence says what a change makes
of the line.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ...expressions.nodes import Expr, Negative, Number, number
from ...quantities import PREFIXES
from .edits import Change, Edit
from .line_view import LineView, NameSort
from .places import LinePlace, Sides
from .trial_arithmetic import TrialValue
from .trial_values import Trial

CLOSE = Fraction(1, 200)  # relative: as near as rounding leaves it
ROUNDED = Fraction(3, 100)  # relative: how far a number rounded too early is off
MOST_DIGITS = 7


def number_edits(view: LineView, sides: Sides) -> Iterator[Edit]:
    """Every number with the one that makes the sides equal in its place, where one slip explains it.

    `sides`: the line in an exact trial at the circuit's numbers.
    """
    for place in view.places:
        if isinstance(place.expr, Number) and place.expr.value:
            yield from _mended(view, sides, place, place.expr)


def _mended(view: LineView, sides: Sides, place: LinePlace, written: Number) -> Iterator[Edit]:
    right = _right_value(sides, place, sides.trial.number(written))
    if right is None:
        return
    value = Fraction(sides.trial.number(written))
    unit_factor = value / written.value
    for entry, meant, extra in _slips(view, place, written, value, right):
        if meant < 0 < value and entry != "minus-dropped" and meant != -value:
            continue
        new = _written_like(written, meant / unit_factor)
        yield Edit(entry, place.path, new, Change.OTHER, written, new, extra)


def _right_value(sides: Sides, place: LinePlace, value: TrialValue) -> Fraction | None:
    """The number that, in the place of one written, makes the two sides equal; None where there is none. As
    a function of it their difference is (a x + b)/(c x + 1), which three values fix."""
    try:
        x = Fraction(value)
        f0, f1, f2 = (Fraction(sides.residue_at(place.path, t)) for t in (x, 2 * x, 3 * x))
    except ZeroDivisionError:
        return None
    # in t = value/x − 1, through t = 0, 1, 2
    b, denominator = f0, 2 * (f2 - f1)
    if denominator == 0:
        return None if f1 == f0 else x * (1 + f0 / (f0 - f1))
    c = (2 * f1 - f2 - f0) / denominator
    a = f1 * (c + 1) - b
    return x * (1 - b / a) if a else None


def _slips(
    view: LineView, place: LinePlace, written: Number, value: Fraction, right: Fraction
) -> Iterator[tuple[str, Fraction, float]]:
    """The slips by which the number that would be `right` can have become the one written: (key in the
    catalogue, the number meant, how much less likely than usual)."""
    if not right:
        return
    result = view.is_result and (place.parent is None or isinstance(place.parent, Negative))
    if _near(right, -value):
        yield ("minus-dropped" if result else "digits"), -value, 0.0 if result else 0.2
    ratio = right / value
    for power in (3, -3, 6, -6):
        if _near(ratio, Fraction(10) ** power):
            own = any(_near(value * Fraction(10) ** power, v) for v in view.circuit.numbers.values())
            prefixed = own and not result
            yield ("prefix-dropped" if prefixed else "units-mixed"), value * Fraction(10) ** power, 0.0
    for power in (1, -1, 2, -2):
        if _near(ratio, Fraction(10) ** power):
            yield "digits", value * Fraction(10) ** power, 0.05
    one, other = _digits(value), _digits(right)
    worked_out = not view.used and place.parent is None  # what arithmetic comes to
    if one and other and (worked_out or Fraction(1, 20) < ratio < 20):
        if sorted(one) == sorted(other) and one != other:
            yield "digits", right, 0.0
        elif _apart(one, other) == 1:
            yield "digits", right, 0.05 if worked_out else 0.15
        elif worked_out or (not result and Fraction(1, 8) < ratio < 8):
            yield "digits", right, 0.2 if worked_out else 0.6
    if abs(ratio - 1) <= ROUNDED and written.value.denominator != 1 and not result:
        yield "early-rounding", right, 0.0


def _near(one: Fraction, other: Fraction) -> bool:
    return abs(one - other) <= CLOSE * abs(other)


def _digits(value: Fraction) -> str:
    """The digits of a short decimal without its point and end zeros; empty for a long one."""
    whole, exponent = abs(value), 0
    while whole.denominator != 1 and exponent < MOST_DIGITS:
        whole, exponent = whole * 10, exponent + 1
    if whole.denominator != 1 or whole >= 10**MOST_DIGITS:
        return ""
    return str(int(whole)).rstrip("0") or "0"


def _apart(one: str, other: str) -> int:
    """In how many places two rows of digits differ; many where they are not equally long."""
    return sum(a != b for a, b in zip(one, other, strict=True)) if len(one) == len(other) else MOST_DIGITS


def _written_like(written: Number, value: Fraction) -> Expr:
    """A number in the unit of another, with the prefix that keeps its digits where there is one."""
    if not written.unit:
        return number(value)
    base = written.unit.lstrip("pnµmkMGT")
    own = PREFIXES[written.unit[: len(written.unit) - len(base)]]
    for shift in (0, -3, 3, -6, 6):
        prefix = next((p for p, power in PREFIXES.items() if power == own + shift), None)
        if prefix is not None and abs(value) == abs(written.value) * Fraction(10) ** shift:
            shown = Number(abs(value), prefix + base, written.text)
            return Negative(shown) if value < 0 else shown
    shown = Number(abs(value), written.unit)
    return Negative(shown) if value < 0 else shown


def element_edits(view: LineView, trial: Trial) -> Iterator[Edit]:
    """The number of an element with that of another of its kind in its place."""
    circuit = view.circuit
    scales = {
        n: 1000 if trial.thousands and view.sort(n) is NameSort.RESISTANCE else 1 for n in circuit.numbers
    }
    for place in view.places:
        if not isinstance(place.expr, Number) or place.expr.unit.endswith("A"):
            continue
        scale = {n: 1 if place.expr.unit else scales[n] for n in circuit.numbers}
        own = {view.sort(n) for n, v in circuit.numbers.items() if v == place.expr.value * scale[n]}
        for name, value in circuit.numbers.items():
            meant = value / scale[name]
            if view.sort(name) in own and meant != place.expr.value:
                new = _written_like(place.expr, meant)
                yield Edit("subscript", place.path, new, Change.OTHER, place.expr, new, 0.05)


def coefficient_edits(view: LineView) -> Iterator[Edit]:
    """A counting number in a line of symbols, one more or one less, doubled or halved."""
    for place in view.places:
        match place.expr:
            case Number(value, "") if value.denominator == 1 and 1 < value <= 100:
                for meant in (value - 1, value + 1, value * 2, value / 2):
                    new = Number(Fraction(meant))
                    yield Edit("digits", place.path, new, Change.OTHER, place.expr, new, 0.3)
