"""The line that gives the resistance of resistors made one, in symbols or in numbers."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.made_one import MadeOne, side_by_side
from ..derive.narrate import GUARD
from ..derive.steps import Move, PartsMadeOne, Step
from ..expressions.amounts import shortened
from ..expressions.nodes import Equation, Expr, Symbol, add, written_symbols
from ..expressions.said import names
from ..expressions.tidy import tidy
from ..expressions.values import ratio_of


def made_one_step(
    number: int, made: MadeOne, lines: Mapping[str, int], values: Mapping[str, Ratio], circuit: Circuit
) -> Step:
    """The line `R23 = R2 R3/(R2 + R3)`. `lines`: the numbers of those that give a resistance made one before;
    `values`: of resistors, where `circuit` (the one at the outset) is in plain numbers."""
    in_numbers = not circuit.field.symbols
    shares: list[Expr] = [
        shortened(values[name].constant() or Fraction(0), circuit.figures + GUARD)
        if in_numbers
        else made.before.elements[name].value
        for name in made.parts
    ]
    form = add(*shares) if made.in_series else side_by_side(shares)
    local = ratio_of(made.formula, made.before.field)
    if in_numbers:
        written = shortened(local.constant() or Fraction(0), circuit.figures)
    else:
        short = tidy(local)
        written = short if len(shares) > 2 and not made.in_series else form
        if written_symbols(short) < written_symbols(form):
            written = short
    a, b = made.ends
    why = "carry one current: in series." if made.in_series else f"join {a} and {b}: side by side."
    left = Symbol(made.whole)
    return Step(
        number,
        Move.MAKE_ONE,
        Equation(left, written),
        tuple(lines[p] for p in made.parts if p in lines),
        (*names(made.parts), f" {why}"),
        Equation(left, form) if form != written else None,
        made_one=PartsMadeOne(made.whole, made.parts, made.in_series),
    )
