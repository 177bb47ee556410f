"""Exact ratios as the expressions a person would leave: few symbols, common factors out, signs in order.

`tidy` gives the closed form, `parallel_form` the same with combinations of resistances in parallel,
`tidy_over` several results over one denominator with a name. Every result is proved equal to its
ratio before it is returned. Stands on `factoring` and the tree.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from ..algebra.common_form import common_factor
from ..algebra.ratios import Exponents, Ratio
from ..errors import BrokenPromise
from .factoring import forget_polynomials, tidy_polynomial
from .nodes import (
    Expr,
    Negative,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    negate,
    number,
    over,
    times,
    written_symbols,
)
from .order import added, name_key
from .series_parallel import holds_parallel, may_be_seen, series_parallel
from .values import ratio_of, symbols_of

__all__ = ["Shared", "forget", "parallel_form", "same", "tidy", "tidy_over"]

NAMED = 5  # a denominator of so many written symbols is worth a name
KEPT = 20_000  # proved forms remembered before the memory is emptied
WIDEST = 40  # numerators and denominators of more terms are not searched for parallel combinations

_proved: dict[object, Expr] = {}


def same(expr: Expr, ratio: Ratio) -> bool:
    """Whether an expression has exactly the value `ratio`: decided, not sampled."""
    if isinstance(expr, Negative):
        return same(expr.body, -ratio)
    if isinstance(expr, Quotient):
        above, below = ratio_of(expr.above, ratio.field), ratio_of(expr.below, ratio.field)
        if above == ratio.numerator and below == ratio.denominator:
            return True
        return bool(below) and above / below == ratio
    return ratio_of(expr, ratio.field) == ratio


def tidy(ratio: Ratio) -> Expr:
    """The closed form of a ratio in few written symbols: `E (2 R + R5)/(2 R r + R5 (R + r))`.

    One fraction in lowest terms, or a sum of shorter ones where that takes fewer symbols:
    `R1 + R2 R3/(R2 + R3)`, `E1/R1 + E2/R2`. A function of the value alone: the order of the field's
    symbols does not matter, and one denominator is written alike everywhere.
    Raises BrokenPromise should the form not have the value.
    """
    key = ratio.field.symbols, str(ratio.above), str(ratio.below)
    known = _proved.get(key)
    if known is None:
        if len(_proved) > KEPT:
            _proved.clear()
        known = _proved[key] = _checked(_in_pieces(ratio), ratio)
    return known


def forget() -> None:
    """Forgets all forms and what was found on the way to them; for measuring what they take."""
    _proved.clear()
    _parallel_form.cache_clear()
    series_parallel.cache_clear()
    forget_polynomials()


def _checked(expr: Expr, ratio: Ratio) -> Expr:
    if not same(expr, ratio):
        raise BrokenPromise(f"the tidy form {expr} is not {ratio}")
    return expr


# -- one fraction or several -----------------------------------------------------------------------


def _in_pieces(ratio: Ratio) -> Expr:
    """The shortest way to write the ratio: as one fraction, or as a sum of two shorter ones."""
    constant = ratio.constant()
    if constant is not None:
        return number(constant)
    if ratio.is_polynomial:
        return tidy_polynomial(ratio)
    best = _fraction(ratio)
    if isinstance(best, Negative):
        return Negative(tidy(-ratio))
    if isinstance(best, Quotient) and isinstance(best.above, Sum):
        for one, other in _cuts(ratio, best.below):
            pieces = added(tidy(one), tidy(other))
            if written_symbols(pieces) < written_symbols(best):
                best = pieces
    return best


def _fraction(ratio: Ratio) -> Expr:
    """One fraction; a denominator of mixed signs starts with plus, or spares the whole a minus."""
    above, below = tidy_polynomial(ratio), tidy_polynomial(ratio, below=True)
    if False in ratio.signs(below=True):
        turned = Ratio(ratio.field, -ratio.above, -ratio.below, reduced=True)
        if isinstance(above, Negative) or (not _starts_with_plus(ratio) and False in ratio.signs()):
            above, below = tidy_polynomial(turned), tidy_polynomial(turned, below=True)
    return over(above, below)


def _starts_with_plus(ratio: Ratio) -> bool:
    """Whether the name-first term below the line is positive: the field's order does not matter."""
    names = sorted(ratio.field.symbols, key=name_key)
    order = [ratio.field.position(name) for name in names]
    return max(([e[i] for i in order], c) for e, c in ratio.terms(below=True))[1] > 0


def _cuts(ratio: Ratio, below: Expr) -> list[tuple[Ratio, Ratio]]:
    """The ratio as a sum of the part with one symbol of the numerator and the rest, wherever one of
    the two then has a shorter denominator."""
    field = ratio.field
    lowest = 1 if isinstance(below, Product | Symbol | Power) else len(ratio.below)
    cuts = []
    degrees = zip(field.symbols, ratio.above.degrees(), ratio.below.degrees(), strict=False)
    for name in sorted([name for name, above, low in degrees if above == 1 and low == 0], key=name_key):
        slope = ratio.coefficients_in(name)[1]
        if len(slope.above) < lowest and len(ratio.above) - len(slope.above) < lowest:
            continue
        one = Ratio(field, (slope * field.symbol(name)).above, ratio.below)
        other = ratio - one
        if one.below != ratio.below or other.below != ratio.below:
            cuts.append((one, other))
    return cuts


# -- several results over one denominator ----------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Shared:
    """Several results written over one denominator. `value` is the denominator exactly, `denominator` as it
    is written; result number k is `numerators[k]` over it."""

    value: Ratio
    denominator: Expr
    numerators: tuple[Expr, ...]


def tidy_over(ratios: Sequence[Ratio]) -> Shared | None:
    """The common denominator worth a name, with the numerators over it; None where two of the ratios
    do not share one of at least five written symbols, or another ratio does not go into it."""
    if len(ratios) < 2:
        return None
    field = ratios[0].field
    common = max((r.denominator for r in ratios), key=lambda d: len(d.above))
    if sum(1 for r in ratios if r.denominator == common) < 2:
        return None
    over_it = [r * common for r in ratios]
    if not all(n.is_polynomial for n in over_it):
        return None
    written = tidy_polynomial(common)
    if isinstance(written, Negative) or written_symbols(written) < NAMED:
        return None
    numerators = tuple(tidy(n) for n in over_it)
    for numerator, ratio in zip(numerators, ratios, strict=True):
        if ratio_of(numerator, field) / ratio_of(written, field) != ratio:
            raise BrokenPromise(f"{numerator} over the common denominator is not {ratio}")
    return Shared(common, written, numerators)


# -- with combinations in parallel -----------------------------------------------------------------


def parallel_form(ratio: Ratio, resistances: Iterable[str], most: int = WIDEST) -> Expr | None:
    """The form with combinations of resistances in parallel, `E/(R1 + R2 ∥ R3)`; None where there is
    none, or it takes more written symbols than the tidy one or than `most`. Other symbols are those of
    sources.

    Where a resistance x meets the denominator as x A + B, the rest of the circuit as seen from x is
    the resistance B/A, and the ratio is (numerator/A)/(x + B/A): Thévenin's form, or a divider. It is
    offered for an x that the numerator does not hold, since else numerator/A is no open-circuit value.
    """
    return _parallel_form(ratio, frozenset(resistances), most)


@lru_cache(maxsize=2048)
def _parallel_form(ratio: Ratio, known: frozenset[str], most: int) -> Expr | None:
    held = ratio.held()
    if not ratio or len(held) > most:  # each is written at least once
        return None
    degrees = dict(zip(ratio.field.symbols, ratio.below.degrees(), strict=False))
    below = [name for name in sorted(held, key=name_key) if degrees[name] > 0]
    if not known.issuperset(below):
        return None
    if max(len(ratio.above), len(ratio.below)) > WIDEST:
        return None
    most = min(most, written_symbols(tidy(ratio)))
    scale = _source_factor(ratio, known)
    if known.union(scale.held()).issuperset(held):
        rest = ratio / scale
        ways = (_scaled_resistance, _over_resistance) if may_be_seen(rest) else ()
        for direct in (way(rest, scale) for way in ways):
            if direct and written_symbols(direct) <= most:
                return _checked(direct, ratio)
    seen = [_seen_from(ratio, name, known, most) for name in below if not ratio.degree(name)]
    best = min((form for form in seen if form), key=written_symbols, default=None)
    return _checked(best, ratio) if best and written_symbols(best) <= most else None


def _seen_from(ratio: Ratio, name: str, resistances: frozenset[str], most: int) -> Expr | None:
    """The form `open-circuit value/(x + what x sees)` for the resistance `name` = x; None where the ratio
    has none, or it surely takes more than `most` written symbols."""
    parts = ratio.coefficients_in(name, below=True)
    if sorted(parts) != [0, 1]:
        return None
    driving, outside = ratio.numerator / parts[1], parts[0] / parts[1]
    if len(driving.held()) + 1 + len(outside.held()) > most:
        return None
    rest = series_parallel(outside)
    if rest is None or not holds_parallel(rest):
        return None
    total = added(Symbol(name), rest)
    scale = _source_factor(driving, resistances)
    is_lone = resistances.union(scale.held()).issuperset(driving.held())
    above = (_scaled_resistance(driving / scale, scale) if is_lone else None) or tidy(driving)
    if isinstance(above, Negative):
        return negate(_driven(above.body, total, resistances))
    return _driven(above, total, resistances)


def _driven(above: Expr, total: Expr, resistances: frozenset[str]) -> Expr:
    """`above` over `total`, a resistance; where `above` is a source times the share of it that a divider
    leaves, that share stands beside the fraction."""
    if not isinstance(above, Quotient):
        return over(above, total)
    factors = above.above.factors if isinstance(above.above, Product) else (above.above,)
    source = [f for f in factors if not resistances.intersection(symbols_of(f))]
    share = [f for f in factors if resistances.intersection(symbols_of(f))]
    if source and share and not any(isinstance(f, Sum) for f in share):
        return times(Quotient(times(*source), total), Quotient(times(*share), above.below))
    return Quotient(above.above, times(above.below, total))


def _scaled_resistance(rest: Ratio, scale: Ratio) -> Expr | None:
    """A resistance (`rest`) with something in parallel, times the symbols of sources that all terms share."""
    seen = series_parallel(rest)
    return times(tidy(scale), seen) if seen and holds_parallel(seen) else None


def _over_resistance(rest: Ratio, scale: Ratio) -> Expr | None:
    """What a source drives through a resistance with something in parallel: `E/(R1 + R2 ∥ R3)`."""
    seen = series_parallel(1 / rest)
    return over(tidy(scale), seen) if seen and holds_parallel(seen) else None


def _source_factor(ratio: Ratio, resistances: frozenset[str]) -> Ratio:
    """The factors of the numerator without a resistance, sign and number included: what the coefficients
    share that it has as a polynomial in resistances."""
    field = ratio.field
    places = [i for i, name in enumerate(field.symbols) if name in resistances]
    coefficients: dict[Exponents, dict[Exponents, int]] = {}
    terms = ratio.terms()
    for exponents, coefficient in terms:
        others = list(exponents)
        for i in places:
            others[i] = 0
        own = tuple([exponents[i] for i in places])
        coefficients.setdefault(own, {})[tuple(others)] = coefficient
    shared = common_factor(field, [field.polynomial(part).above for part in coefficients.values()])
    return Ratio(field, shared if terms[0][1] > 0 else -shared, field.one.below, reduced=True)
