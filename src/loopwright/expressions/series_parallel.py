"""A resistance as a person draws it: what stands in series added, what stands side by side with `∥`.

A ratio in resistances is taken apart from outside. What its symbols add independently of one another
is in series; what they add so to its dual is in parallel. Knows no circuits.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from math import isqrt

from ..algebra.ratios import Exponents, Ratio
from .nodes import Expr, Number, Parallel, Product, Quotient, Sum, Symbol, over, times
from .order import added, arranged_terms


@lru_cache(maxsize=1024)
def series_parallel(ratio: Ratio, *, again: bool = True) -> Expr | None:
    """The series and parallel combination of resistances whose value a ratio is, each resistance written
    once (with `again`, one of them may be written twice); None where there is none, as for a bridge. The
    caller must still prove that the form has the value."""
    held = ratio.held()
    if len(held) == 1:
        return _multiple(ratio, held[0])
    if not held or not _may_be_resistance(ratio):
        return None
    in_series = _independent(ratio)
    if len(in_series) > 1:
        written = [series_parallel(part, again=again) for part in in_series]
        found = [expr for expr in written if expr is not None]
        return added(*found) if len(found) == len(written) else None
    in_parallel = _independent(_dual(ratio))
    if len(in_parallel) > 1:
        written = [series_parallel(_dual(part), again=again) for part in in_parallel]
        found = [expr for expr in written if expr is not None]
        return Parallel(tuple(arranged_terms(found))) if len(found) == len(written) else None
    return _repeated(ratio) if again else None


def _repeated(ratio: Ratio) -> Expr | None:
    """A resistance of a value that occurs once more within: `R + R ∥ r`, `R ∥ (R + r)`."""
    for name in ratio.held():
        own = ratio.field.symbol(name)
        if ratio.degree(name) > 1:
            if inner := series_parallel(ratio - own, again=False):
                return added(Symbol(name), inner)
            if ratio != own and (inner := series_parallel(1 / (1 / ratio - 1 / own), again=False)):
                return Parallel(tuple(arranged_terms([Symbol(name), inner])))
    return None


def may_be_seen(ratio: Ratio) -> bool:
    """Whether a ratio, or one over it, may be a combination in which each resistance is written once: what it
    gains by one of them is then a constant times a square, and so two values of that at whole numbers make a
    square together. (A current squared is in it: heat per resistance; Cohn, Proc. AMS 1, 316, 1950, from
    memory.) Nothing is said where a symbol has a power."""
    above, below = ratio.above, ratio.below
    highest = list(map(max, above.degrees(), below.degrees()))
    if max(highest) > 1:
        return True
    points = [[2 * i + 3 for i in range(len(highest))], [i * i + 2 for i in range(len(highest))]]
    values = [(int(above(*point)), int(below(*point))) for point in points]
    for at, degree in enumerate(highest):
        if not degree:
            continue
        up, down = above.derivative(at), below.derivative(at)
        product = 1
        for point, (top, foot) in zip(points, values, strict=True):
            product *= int(up(*point)) * foot - top * int(down(*point))
        if product < 0 or isqrt(product) ** 2 != product:
            return False
    return True


def holds_parallel(expr: Expr) -> bool:
    """Whether anything in a sum, product or fraction stands in parallel."""
    match expr:
        case Parallel():
            return True
        case Sum(parts) | Product(parts):
            return any(map(holds_parallel, parts))
        case Quotient(above, below):
            return holds_parallel(above) or holds_parallel(below)
    return False


def _may_be_resistance(ratio: Ratio) -> bool:
    """Whether no sign is negative and the dimension is that of one resistance."""
    above, below = ratio.terms(), ratio.terms(below=True)
    dimensions = {sum(e) for e, _ in above} | {sum(e) + 1 for e, _ in below}
    return len(dimensions) == 1 and all(c > 0 for _, c in (*above, *below))


def _multiple(ratio: Ratio, name: str) -> Expr | None:
    """One resistance some times over: `R`, `2 R`, `R/2`."""
    factor = (ratio / ratio.field.symbol(name)).constant()
    if factor is None or factor < 0:
        return None
    above = times(Number(Fraction(factor.numerator)), Symbol(name))
    return over(above, Number(Fraction(factor.denominator)))


def _dual(ratio: Ratio) -> Ratio:
    """The conductance as a function of conductances, under the same names: 1/Z(1/R1, 1/R2, ...)."""
    above, below = ratio.terms(), ratio.terms(below=True)
    top = tuple(map(max, zip(*(e for e, _ in above + below), strict=True)))
    field = ratio.field
    turned = [
        field.polynomial({tuple(t - x for t, x in zip(top, e, strict=True)): c for e, c in terms})
        for terms in (below, above)
    ]
    return turned[0] / turned[1]


def _holds_together(terms: Sequence[tuple[Exponents, int]]) -> bool:
    """Whether a polynomial is surely no product of two that hold different symbols. In such a product, at 1
    for every symbol, the terms with x and those with y obey n(x, y) n = n(x) n(y) for x and y of different
    factors; symbols that do not obey stay together. Never said where a symbol has a power."""
    packed = [(sum([1 << i for i, x in enumerate(e) if x]), c) for e, c in terms]
    if any(max(e) > 1 for e, _ in terms):
        return False
    held = 0
    for monomial, _ in packed:
        held |= monomial
    apart = [1 << i for i in range(held.bit_length()) if held >> i & 1]
    if not apart:
        return True
    whole = sum([c for _, c in packed])
    own = {x: sum([c for m, c in packed if m & x]) for x in apart}
    together = [apart.pop(0)]
    for x in together:
        for y in tuple(apart):
            both = x | y
            if sum([c for m, c in packed if m & both == both]) * whole != own[x] * own[y]:
                apart.remove(y)
                together.append(y)
    return not apart


def _independent(ratio: Ratio) -> list[Ratio]:
    """The parts, with no symbol in common, whose sum the ratio is; itself alone where there are none.

    A symbol that stands alone is added with a constant factor; every other part of a resistance keeps
    a factor of the denominator for itself, and the parts without it vanish as their symbols go to 0.
    """
    field = ratio.field
    parts: list[Ratio] = []
    rest = ratio
    for name, above, below in zip(field.symbols, ratio.above.degrees(), ratio.below.degrees(), strict=False):
        if above == 1 and below == 0:
            slope = (ratio.coefficients_in(name)[1] / ratio.denominator).constant()
            if slope is not None:
                parts.append(field.symbol(name) * slope)
                rest = rest - parts[-1]
    if not rest:
        return parts
    if _holds_together(rest.terms(below=True)):
        return [*parts, rest]
    groups = [factor.held() for factor, _ in rest.factors(below=True)[1]]
    if len(groups) < 2:
        return [*parts, rest]
    apart: list[Ratio] = []
    for own in groups:
        part = rest
        for name in rest.held():
            if name not in own:
                if part.coefficients_in(name, below=True).get(0) is None:
                    return [*parts, rest]
                part = part.at({name: 0})
        apart.append(part)
    total = sum(apart, field.zero)
    names = [name for part in apart for name in part.held()]
    disjoint = len(names) == len(set(names)) and all(part.held() for part in apart)
    return [*parts, *apart] if disjoint and total == rest else [*parts, rest]
