"""What words leave open of a claim: its sign, or which of two like quantities it is of.

"Voltage across R1 = 4 V" says no sense, nor does "1 A downwards" without a figure; a power that a battery
delivers is written with either sign; where a problem asks for `R(a, g) without E1`, `R(a, g)` is that; the
unit in `10/5 kΩ` is that of the quotient or of the 5; and `Req` may be the resistance that is asked.
Such a claim can also be meant the other way. Common practice, no source. Knows no solution.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from ...circuit.circuit import Circuit
from ...expressions.nodes import (
    ONE,
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Product,
    Quotient,
    Sum,
    Symbol,
    alike,
    negate,
    parts_of,
    put,
)
from ...expressions.values import symbols_of
from ..working import Claim

_ACROSS = re.compile(
    r"\b(?:voltage|drop|potential difference|p\.?d\.?)\b.*\b(?:across|over|on|of|at)\b", re.IGNORECASE
)
_DIRECTION = re.compile(
    r"\b(?:downwards?|upwards?|leftwards?|rightwards?|to the (?:left|right)|down|up)\b",
    re.IGNORECASE,
)
_OF_ALL = ("req", "reff", "rtot", "rtotal", "rin", "r")  # common practice, no source
_POWER = re.compile(
    r"\b(?:deliver|suppl|provid|giv|put|absorb|receiv|tak|us|dissipat)\w*\b|\b(?:in|out)put\b", re.IGNORECASE
)


def with_other_senses(claim: Claim, text: str, circuit: Circuit) -> Claim:
    """A claim with all else that it may be meant to say, by the words of its line (`text`)."""
    others = (*_others(claim.written, text, circuit), *_bound_otherwise(claim, text))
    more = [e for e in others if e not in (claim.written, *claim.otherwise)]
    return replace(claim, otherwise=(*claim.otherwise, *more)) if more else claim


def _others(written: Equation, text: str, circuit: Circuit) -> Iterator[Equation]:
    left, right = written.left, written.right
    number = right.body if isinstance(right, Negative) else right
    if isinstance(left, Symbol) and isinstance(number, Number):
        across = left.name.startswith("V(") and "," not in left.name and _ACROSS.search(text)
        power = left.name.startswith("P(") and _POWER.search(text)
        sent = left.name in circuit.currents and _DIRECTION.search(text)
        if across or power or sent:
            yield Equation(left, negate(right), written.relation)
    below = Equation(_with_unit_below(left), _with_unit_below(right), written.relation)
    if below != written:
        yield below
    asked = [one for one in circuit.find if one.startswith("R(")]
    if isinstance(left, Symbol) and left.name.lower() in _OF_ALL and len(asked) == 1:
        yield Equation(Symbol(asked[0]), right, written.relation)
    inverse = left.below if isinstance(left, Quotient) and left.above == ONE else None
    if isinstance(inverse, Symbol) and inverse.name.lower() in _OF_ALL and len(asked) == 1:
        yield Equation(Quotient(ONE, Symbol(asked[0])), right, written.relation)
    table = _asked_without(written, circuit)
    if table:
        yield Equation(put(left, table), put(right, table), written.relation)


def _bound_otherwise(claim: Claim, text: str) -> Iterator[Equation]:
    """What `R1 + r1 ∥ R3 = 1.2` says where the sum is meant to lie beside R3, as it is often typed without
    brackets at the head of a chain."""
    written, head = claim.written, re.split(r"[=≈]", text[claim.start : claim.end])[0]
    if "(" in head or text[: claim.start].rstrip().endswith(("=", "≈")) or not isinstance(written.left, Sum):
        return
    first, *amid, last = written.left.terms
    if isinstance(last, Parallel):
        one, *rest = last.parts
        yield Equation(Parallel((Sum((first, *amid, one)), *rest)), written.right, written.relation)
    elif isinstance(first, Parallel):
        *rest, one = first.parts
        yield Equation(Parallel((*rest, Sum((one, *amid, last)))), written.right, written.relation)


def _with_unit_below(expr: Expr) -> Expr:
    """The expression with a resistance's unit behind a quotient given to what stands below the line."""
    match expr:
        case Number(unit=unit, text=text) if unit.endswith("Ω") and text.count("/") == 1:
            above, below = map(Fraction, text.split("/"))
            return Quotient(Number(above), Number(below * (expr.value / (above / below)), unit, str(below)))
        case Product((Quotient(above, Number(below, "")), Number(scale, unit))) if unit.endswith("Ω"):
            return Quotient(above, Number(below * scale, unit))
    parts = parts_of(expr)
    return alike(expr, [_with_unit_below(part) for part in parts]) if parts else expr


def _asked_without(written: Equation, circuit: Circuit) -> dict[str, Expr]:
    """The resistances between points in a claim for which the problem asks with elements taken out."""
    found: dict[str, Expr] = {}
    for name in symbols_of(written):
        if name.startswith("R("):
            asked = [one for one in circuit.find if one.startswith(f"{name} without ")]
            one, _, other = name[2:-1].partition(", ")
            asked += [each for each in circuit.find if each.startswith(f"R({other}, {one}) without ")]
            if len(asked) == 1:
                found[name] = Symbol(asked[0])
    return found
