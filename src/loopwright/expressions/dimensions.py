"""What kind of quantity is written: volts, amperes, ohms, watts or a plain number.

Every kind is counted in powers of volt, ampere and second. Both sides of an equation, and all terms of a
sum, must be of one kind. Source: the ohm as V/A, the watt as V A, the farad as s/Ω, the henry as s Ω, the SI
brochure, table of derived units (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import NamedTuple

from .fold import Arithmetic, fold
from .nodes import Equation, Expr, Number, Sum, Symbol


@dataclass(frozen=True, slots=True)
class Dimension:
    """A kind of quantity as powers of volt, ampere and second: the ohm is V¹ A⁻¹, the farad V⁻¹ A¹ s¹."""

    volts: int = 0
    amperes: int = 0
    seconds: int = 0

    def __mul__(self, other: Dimension) -> Dimension:
        return Dimension(self.volts + other.volts, self.amperes + other.amperes, self.seconds + other.seconds)

    def __truediv__(self, other: Dimension) -> Dimension:
        return Dimension(self.volts - other.volts, self.amperes - other.amperes, self.seconds - other.seconds)

    def __pow__(self, exponent: int) -> Dimension:
        return Dimension(self.volts * exponent, self.amperes * exponent, self.seconds * exponent)

    def root(self, exponent: int) -> Dimension | None:
        """What, raised to `exponent`, is of this kind; None where nothing is."""
        powers = (self.volts, self.amperes, self.seconds)
        if any(power % exponent for power in powers):
            return None
        return Dimension(*(power // exponent for power in powers))


PLAIN = Dimension()
VOLT, AMPERE = Dimension(1, 0), Dimension(0, 1)
OHM, WATT = VOLT / AMPERE, VOLT * AMPERE
SECOND = Dimension(0, 0, 1)
FARAD, HENRY, COULOMB, JOULE = SECOND / OHM, SECOND * OHM, AMPERE * SECOND, WATT * SECOND
OF_UNIT = {"": PLAIN, "V": VOLT, "A": AMPERE, "Ω": OHM, "W": WATT, "S": PLAIN / OHM}
OF_UNIT |= {"F": FARAD, "C": COULOMB, "H": HENRY, "J": JOULE, "s": SECOND}


class Clash(ValueError):
    """Quantities of two kinds are added or set equal: `found` stands where `wanted` must stand. `part`: the
    number, the symbol or the whole value that is `found`; None where that is put together from others."""

    def __init__(self, wanted: Dimension, found: Dimension, part: Expr | None = None) -> None:
        super().__init__(f"{found} where {wanted} is wanted")
        self.wanted, self.found, self.part = wanted, found, part


def of_unit(unit: str) -> Dimension | None:
    """The dimension of a unit with or without a prefix; `kΩ²` is squared. None for what is no unit."""
    bare = unit.removesuffix("²")
    found = OF_UNIT.get(bare[-1:])
    return found**2 if found is not None and bare != unit else found


def dimension(
    item: Expr | Equation, of_name: Callable[[str], Dimension | None], bare: Dimension | None = None
) -> Dimension | None:
    """The dimension of an expression or of both sides of an equation; None where that is left open.

    `of_name`: that of a symbol. `bare`: that of numbers without a unit (None: of any); zero is of any. Raises
    Clash.
    """
    expr = Sum((item.left, item.right)) if isinstance(item, Equation) else item
    return fold(expr, _Dimensions(of_name, bare)).dimension


class _Found(NamedTuple):
    dimension: Dimension | None
    leaf: Expr | None = None  # the number or symbol that it is


@dataclass(frozen=True, slots=True)
class _Dimensions(Arithmetic[_Found]):
    of_name: Callable[[str], Dimension | None]
    bare: Dimension | None

    def number(self, number: Number) -> _Found:
        if number.unit:
            return _Found(of_unit(number.unit), number)
        return _Found(self.bare if number.value else None, number)

    def symbol(self, symbol: Symbol) -> _Found:
        return _Found(self.of_name(symbol.name), symbol)

    def add(self, one: _Found, other: _Found) -> _Found:
        if one.dimension is None or other.dimension is None:
            return _Found(one.dimension or other.dimension)
        if one.dimension != other.dimension:
            raise Clash(one.dimension, other.dimension, other.leaf)
        return _Found(one.dimension)

    def negate(self, value: _Found) -> _Found:
        return _Found(value.dimension)

    def multiply(self, one: _Found, other: _Found) -> _Found:
        if one.dimension is None or other.dimension is None:
            return _Found(None)
        return _Found(one.dimension * other.dimension)

    def invert(self, value: _Found) -> _Found:
        return _Found(None if value.dimension is None else PLAIN / value.dimension)

    def parallel(self, parts: Sequence[_Found]) -> _Found:
        return reduce(self.add, parts)
