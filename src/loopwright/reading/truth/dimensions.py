"""Units of what is written: whether both sides of a claim, and all terms of a sum, can be the same
kind of quantity. A number without a unit may stand for a quantity of any kind, so what it multiplies
may be of any kind too.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from ...expressions.nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    numbers_in,
)

Dimension = tuple[int, int]  # powers of volt and ampere: Ω is (1, -1), W is (1, 1)
OF_UNIT = {"": (0, 0), "V": (1, 0), "A": (0, 1), "Ω": (1, -1), "W": (1, 1), "S": (-1, 1)}


class Clash(ValueError):
    """Two quantities of different kinds are added or set equal; `args` are their dimensions."""


def dimension(
    expr: Expr, of_name: Callable[[str], Dimension | None], bare: Dimension | None = None
) -> Dimension | None:
    """The dimension of an expression; None where that is left open. `bare`: the dimension of numbers without
    a unit (None: of any; zero always is of any). Raises Clash."""
    match expr:
        case Number(value, unit, _):
            return _of_unit(unit) if unit else bare if value else None
        case Symbol(name):
            return of_name(name)
        case Negative(body):
            return dimension(body, of_name, bare)
        case Sum(parts) | Parallel(parts):
            return _one([dimension(part, of_name, bare) for part in parts])
        case Product(parts):
            met = [dimension(part, of_name, bare) for part in parts]
            return None if None in met else (sum(d[0] for d in met if d), sum(d[1] for d in met if d))
        case Quotient(above, below):
            one = dimension(above, of_name, bare)
            other = dimension(below, of_name, bare)
            return (one[0] - other[0], one[1] - other[1]) if one and other else None
        case Power(base, exponent):
            root = dimension(base, of_name, bare)
            return (root[0] * exponent, root[1] * exponent) if root else None


def thousands(unit: str) -> Fraction:
    """What turns an amount in SI units into one in mA, kΩ, mW and volts; `unit` with or without a prefix."""
    bare = unit.removesuffix("²")
    factor = _THOUSANDS.get(bare[-1:], Fraction(1))
    return factor * factor if bare != unit else factor


_THOUSANDS = {"A": Fraction(1000), "Ω": Fraction(1, 1000), "W": Fraction(1000), "S": Fraction(1000)}


def _of_unit(unit: str) -> Dimension | None:
    """The dimension of a unit with its prefix; `kΩ²` is squared."""
    bare = unit.removesuffix("²")
    found = OF_UNIT.get(bare[-1:])
    return (found[0] * 2, found[1] * 2) if found and bare != unit else found


def clash(equation: Equation, of_name: Callable[[str], Dimension | None]) -> tuple[Dimension, ...] | None:
    """The dimensions that meet in a claim and do not fit; None when they do, or when no unit is written."""
    if not any(number.unit for number in numbers_in(equation)):
        return None
    try:
        _one([dimension(equation.left, of_name), dimension(equation.right, of_name)])
    except Clash as found:
        return found.args
    return None


def numbers_are_values(equation: Equation, of_name: Callable[[str], Dimension | None]) -> bool:
    """Whether a claim fits together only when numbers without a unit stand for quantities: `I1 = 5` does,
    `I3 = 0.5 I4` does not."""
    try:
        _one([dimension(side, of_name, (0, 0)) for side in (equation.left, equation.right)])
    except Clash:
        return True
    return any(number.unit for number in numbers_in(equation))


def _one(found: list[Dimension | None]) -> Dimension | None:
    known = [d for d in found if d is not None]
    for other in known[1:]:
        if other != known[0]:
            raise Clash(known[0], other)
    return known[0] if known else None
