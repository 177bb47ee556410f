"""Where a curve is zero or greatest as a formula in all symbols: `Rh = E2 R1/(E1 − E2)`.

A factor of the closed form's numerator (or of its derivative's) that is linear in the symbol moved gives one,
if it is the one that vanishes there with the circuit's numbers.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..algebra.ratios import Ratio
from ..expressions.nodes import ZERO, Equation, Symbol
from ..expressions.tidy import tidy
from ..solve.asked import value_of
from ..solve.exact import Solution
from .curves import CurveData, CurvePoint, PointName
from .maps import MapBoundary, SignMap

LONGEST = 400  # terms of a closed form that is looked into
SHOWN = 14  # terms above and below the line together of a formula that is told


def formula_at(solution: Solution, data: CurveData, point: CurvePoint) -> Ratio | None:
    """The value moved at which the point stands, in the circuit's other symbols; None where it has no short
    formula. `solution`: the circuit's closed forms in all symbols."""
    exact = point.at.exact
    if exact is None or point.name is PointName.OWN:
        return None
    form = value_of(solution, data.asked.target)
    if len(form.terms()) + len(form.terms(below=True)) > LONGEST:
        return None
    if point.name not in (PointName.REVERSAL, PointName.TOUCH):
        form = form.derivative(data.symbol)
    numbers = {n: v for n, v in solution.circuit.numbers.items() if n != data.symbol}
    for factor, _ in form.factors()[1]:
        found = solved_for(factor, data.symbol)
        if found is not None and found.value(numbers) == exact:
            return found if len(found.terms()) + len(found.terms(below=True)) <= SHOWN else None
    return None


def solved_for(factor: Ratio, symbol: str) -> Ratio | None:
    """The value of a symbol at which a polynomial vanishes; None where it is not linear in it."""
    if factor.degree(symbol) != 1:
        return None
    parts = factor.coefficients_in(symbol)
    return -parts[0] / parts[1] if 0 in parts else None


def general_boundary(solution: Solution, found: SignMap, boundary: MapBoundary) -> Equation | None:
    """A boundary in all symbols, solved for one of the two values where it is linear in one; None where it
    has no short formula. `solution`: the circuit's closed forms in all symbols."""
    form = value_of(solution, found.asked.target)
    if len(form.terms()) + len(form.terms(below=True)) > LONGEST:
        return None
    over = found.asked.over
    numbers = {n: v for n, v in solution.circuit.numbers.items() if n not in over}
    for factor, _ in form.factors(below=boundary.unbounded)[1]:
        held = factor.at(numbers, boundary.polynomial.field)
        if held and any(part == boundary.polynomial for part, _ in held.factors()[1]):
            formula = boundary_formula(factor, over)
            return formula if len(factor.terms()) <= SHOWN else None
    return None


def boundary_formula(polynomial: Ratio, over: Sequence[str]) -> Equation:
    """A boundary solved for one of the two values, where it is linear in one: for the one that gives the
    shorter formula."""
    found = [(symbol, solved_for(polynomial, symbol)) for symbol in (over[1], over[0])]
    solved = [(symbol, value) for symbol, value in found if value is not None]
    if not solved:
        return Equation(tidy(polynomial), ZERO)
    symbol, value = min(solved, key=lambda pair: len(pair[1].terms()) + len(pair[1].terms(below=True)))
    return Equation(Symbol(symbol), tidy(value))
