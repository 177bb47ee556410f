"""Numbers whose unit is meant otherwise than it stands: milliamperes put in as they are where a chain ends in
thousandths (`6.09·75 = 457 mV` after `I5 = 6.09 mA`), and `17 V^2`, which may be (17 V)² or 17 V²."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from fractions import Fraction

from ...expressions.nodes import Equation, Expr, Number, Power, Product, alike, numbers_in, parts_of
from ..working import Claim

_BESIDE = {"mV": "Ω", "mW": "V"}  # the unit of the other factor
_NEAR = 10  # how many times the result, at the most: a prefix makes a thousand


def milliamperes_in(claims: Sequence[Claim]) -> set[Fraction]:
    """The numbers of milliamperes in some claims, as they stand."""
    return {abs(n.value) * 1000 for c in claims for n in numbers_in(c.written) if n.unit == "mA"}


def with_prefixes_carried(
    claims: Sequence[Claim], known: Collection[Fraction], kilohms: Collection[Fraction]
) -> tuple[Claim, ...]:
    """The claims, in each chain that ends in mV or mW the products of bare numbers that come near to it with
    the milliamperes known from above in these; but not where the other is one of the circuit's `kilohms`."""
    found: list[Claim] = []
    last: Number | None = None
    end: Expr | None = None
    for claim in reversed(claims):
        left, right = claim.written.left, claim.written.right
        last = last if right == end else right if isinstance(right, Number) else None
        end = left
        if last is not None and last.unit in _BESIDE:
            left, right = (_carried(side, known, kilohms, last) for side in (left, right))
            claim = replace(claim, written=Equation(left, right, claim.written.relation))
        found.append(claim)
    return tuple(reversed(found))


def with_squares(claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims, those with a number in V² or A² also with the number squared with its unit."""
    found: list[Claim] = []
    for claim in claims:
        left, right = _squared(claim.written.left), _squared(claim.written.right)
        if (left, right) != (claim.written.left, claim.written.right):
            meant = Equation(left, right, claim.written.relation)
            claim = replace(claim, otherwise=(*claim.otherwise, meant))
        found.append(claim)
    return tuple(found)


def _squared(expr: Expr) -> Expr:
    if isinstance(expr, Number) and expr.unit.endswith("²"):
        unit = expr.unit.removesuffix("²")
        scale = 1000 if unit[:-1] == "m" else 1  # of what stands before mA²
        return Power(replace(expr, value=expr.value * scale, unit=unit), 2)
    parts = parts_of(expr)
    return alike(expr, [_squared(part) for part in parts]) if parts else expr


def _carried(side: Expr, known: Collection[Fraction], kilohms: Collection[Fraction], last: Number) -> Expr:
    """A product of two bare numbers, one of them known to be of milliamperes, with its units."""
    beside = _BESIDE[last.unit]
    factors = side.factors if isinstance(side, Product) else ()
    numbers = [n for n in factors if isinstance(n, Number) and not n.unit and n.value]
    own = next((n for n in numbers if n.value in known), None)
    if len(factors) != 2 or len(numbers) != 2 or own is None or not last.value:
        return side
    if any(n is not own and n.value in kilohms for n in numbers):
        return side
    one, other = numbers
    if not Fraction(1, _NEAR) < abs(one.value * other.value / 1000 / last.value) < _NEAR:
        return side
    units = [Number(n.value / 1000, "mA", n.text) if n is own else replace(n, unit=beside) for n in numbers]
    return Product(tuple(units))
