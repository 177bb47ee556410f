"""What a branch holds, whether a wrong idea gives what is written, and the right result in the style of
that."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Branch, Kind
from ...expressions.amounts import shortened
from ...expressions.nodes import Expr, Negative, Number, add, negate, number
from ...expressions.tidy import tidy
from ...expressions.tokens import scale_of
from ..truth.rounding import lone
from .line_view import LineView
from .places import Sides

FIGURES = 3  # of a result among decimals
NEAR = Fraction(1, 100)  # relative: how far rounding takes a lone number from what an idea gives
LONGEST = 99  # what stands below the stroke of a result among whole numbers


def same_value(sides: Sides, written: Expr, wrong: Expr) -> bool:
    """Whether `written` has the value of `wrong`, or of minus it, since the arrow may be drawn either
    way."""
    try:
        one, other = sides.value_of(written), sides.value_of(wrong)
    except (KeyError, ZeroDivisionError):
        return False
    bare = lone(written) is not None  # a number alone may be anything
    trial = replace(sides.trial, slack=min(sides.trial.slack, NEAR)) if bare else sides.trial
    return any(trial.is_zero(one - s * other, one) for s in (1, -1))


def right_result(view: LineView, sides: Sides, right: Ratio, written: Expr, unit: str) -> Expr:
    """The true result, in symbols or as a number in the style of what is written. `unit`: that of the result,
    A, V or W."""
    trial = sides.trial
    if not trial.numbers:
        return tidy(right)
    value = right.value(trial.numbers)
    own = lone(written)
    if own is not None and own.unit:
        return amount(value, own.unit)
    value = value * 1000 if trial.thousands and unit in "AW" else value
    return shortened(value, FIGURES) if view.in_decimals or value.denominator > LONGEST else number(value)


def amount(value: Fraction, unit: str) -> Expr:
    """A value in SI units as it is written with a unit."""
    shown = lone(shortened(abs(value) / scale_of(unit), FIGURES))
    found = Number(abs(value), unit, shown.text if shown is not None else "")
    return Negative(found) if value < 0 else found


def emf_of(circuit: Circuit, branch: Branch) -> Expr:
    """The emfs along a branch, as a sum; 0 where there is none."""
    met = [(circuit.elements[p.element], p.sign) for p in branch.passes if p.element in circuit.elements]
    emfs = [(e.value, sign) for e, sign in met if e.kind is Kind.BATTERY]
    return add(*(value if sign > 0 else negate(value) for value, sign in emfs))


def resistance_of(circuit: Circuit, branch: Branch) -> Expr:
    """The resistances along a branch, internal ones counted, as a sum; 0 where there is none."""
    met = [circuit.elements[p.element] for p in branch.passes if p.element in circuit.elements]
    values = [e.value for e in met if e.kind is Kind.RESISTOR]
    return add(*values, *(e.internal for e in met if e.internal is not None))
