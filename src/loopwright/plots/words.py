"""A curve told in words: its ends, where it turns over, where it is greatest, what it is at the number given.

The same sentences stand under the figure and in place of it, where it cannot be seen.
"""

from __future__ import annotations

from fractions import Fraction

from ..algebra.real_roots import Located, known
from ..circuit.targets import Asked
from ..expressions.amounts import amount, exactly
from ..expressions.nodes import ZERO, Equation, Expr, Negative, Symbol
from ..expressions.said import Said, as_text
from ..expressions.surd_form import surd_form
from ..expressions.tidy import tidy
from ..quantities import rounded, simple
from .curves import CurveData, CurveEnd, CurvePoint, PointName

LONG_EXACT = 9  # characters: a longer exact fraction is of no use to a person
WIDE_PARTS = 12  # a result in finer parts than twelfths is told rounded
_INFINITE = Symbol("∞")
_UNIT_WORDS = {"Ω": "ohms", "V": "volts", "A": "amperes", "W": "watts"}


def curve_sentences(data: CurveData) -> tuple[Said, ...]:
    """What a curve shows, in the order of the value moved."""
    told = [_end(data, data.ends[0], ZERO)]
    points = [(point.at.near, _point(data, point)) for point in data.points]
    poles = [(pole.at.near, _pole(data, pole.at)) for pole in data.poles]
    told += [said for _, said in sorted([*points, *poles], key=lambda pair: pair[0])]
    told.append(_end(data, data.ends[1], _INFINITE))
    return tuple(told)


def curve_in_words(data: CurveData) -> str:
    """The same as one text, for those who do not see the curve."""
    head = f"{data.asked.as_text()}, on a scale that goes from 0 to ∞."
    return " ".join((head, *(as_text(said) for said in curve_sentences(data))))


def located(number: Located, unit: str, figures: int, finest: int = 0) -> tuple[Said, bool]:
    """A number as people want it: exactly where that is short, and rounded. Besides, whether what is told is
    exact. `finest`: the greatest denominator of a fraction that is told, any where it is 0."""
    exact = number.exact
    near = amount(number.near, unit, figures)
    if exact is not None:
        text = simple(abs(exact))
        if len(text) > LONG_EXACT or ("/" in text and 0 < finest < exact.denominator):
            return (near,), False
        whole = exactly(abs(exact), unit) if exact else amount(exact, unit, figures)
        shown: Expr = Negative(whole) if exact < 0 else whole
        if rounded(exact, unit, figures).value == exact:
            return (near,), True
        return (shown, ", about ", near), True
    if number.surd is not None:
        return (surd_form(number.surd), f" {_UNIT_WORDS.get(unit, '')}".rstrip(), ", about ", near), True
    return (near,), False


def _end(data: CurveData, end: CurveEnd, to: Expr) -> Said:
    name, moved = data.asked.target.name, Symbol(data.symbol)
    head: Said = ("As ", Equation(moved, to, "→"), ", ", name)
    if end.limit is not None:
        told, exact = located(known(end.limit), data.units[1], data.circuit.figures, WIDE_PARTS)
        return (*head, " → " if exact else " → about ", *told, ".")
    grows = " grows without bound" if end.sign > 0 else " falls without bound"
    if end.leaning is None or len(data.below) == 1:
        return (*head, grows, ".")
    slope, level = end.leaning
    field = data.form.field
    line = tidy(field.symbol(data.symbol) * slope + level)
    return (*head, grows, " and comes near to ", line, ".")


def _point(data: CurveData, point: CurvePoint) -> Said:
    name = data.asked.target.name
    at, exact = located(point.at, data.units[0], data.circuit.figures)
    where: Said = (Symbol(data.symbol), " = " if exact else " ≈ ", *at)
    result, sharp = located(point.result, data.units[1], data.circuit.figures, WIDE_PARTS)
    worth: Said = (" = " if sharp else " ≈ ", *result)
    match point.name:
        case PointName.OWN:
            return ("At the number given, ", *where, ", ", name, *worth, ".")
        case PointName.REVERSAL if data.asked.target.kind is Asked.CURRENT:
            before, after = ("against", "along") if rises_through(data, point) else ("along", "against")
            return (name, " turns over at ", *where, f": {before} its arrow below that, {after} it above.")
        case PointName.REVERSAL:
            before, after = (
                ("negative", "positive") if rises_through(data, point) else ("positive", "negative")
            )
            return (name, " is zero at ", *where, f": {before} below that, {after} above.")
        case PointName.TOUCH:
            return (name, " is zero at ", *where, " and keeps its sign.")
        case _:
            return (name, f" is {point.name} at ", *where, ": there ", name, *worth, ".")


def _pole(data: CurveData, at: Located) -> Said:
    told, exact = located(at, data.units[0], data.circuit.figures)
    sign = " = " if exact else " ≈ "
    return (data.asked.target.name, " has no bound at ", Symbol(data.symbol), sign, *told, ".")


def rises_through(data: CurveData, point: CurvePoint) -> bool:
    """Whether the quantity is positive just above a zero: between it and the next zero or pole."""
    marks = [p.at for p in data.points if p.name in (PointName.REVERSAL, PointName.TOUCH)]
    marks += [pole.at for pole in data.poles]
    above = [mark.low for mark in marks if mark.low > point.at.high]
    x = (point.at.high + min(above)) / 2 if above else point.at.high * 2 + Fraction(1)
    return data.result(x) > 0
