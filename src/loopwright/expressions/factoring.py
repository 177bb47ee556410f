"""Polynomials grouped into the fewest written symbols: `2 R r + R R5 + R5 r` as `2 R r + R5 (R + r)`.

The search takes out what all terms share, splits what is a product, and else writes P = T + rest,
where T holds all terms with one symbol, all terms with one number, or the terms that make a product
of two sums. On small polynomials it tries every such split, on larger ones the most promising symbol
and the most promising product; both parts are then worked in the same way.

Source: algebraic factoring by kernels, Brayton and McMullen, ISCAS 1982; two-term divisors, Rajski and
Vasudevamurthy, IEEE Trans. CAD 11, 1992. The choice of splits is our own.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from math import gcd

from ..algebra.ratios import Ratio
from .nodes import ONE, ZERO, Expr, Number, Power, Symbol, negate, times, written_symbols
from .order import added, arranged_factors, is_source, name_key
from .packed import PackedTerm, Packing, Poly, held_of, minus

FactorPlan = tuple[tuple[Poly, ...], bool]  # the parts, and whether they are multiplied (else added)
PolynomialSplit = tuple[Poly, Poly]

# Measured 2026-11: the 16 terms of a bridge in 19 symbols take 5 ms, the 144 of a five-rung ladder 60 ms;
# with EXACT at 20 the bridge took 35 ms and came to the same 19.
EXACT = 8  # up to so many terms every split is tried
TWO = 6  # up to so many terms splits by two symbols are tried: R1 R2 (R3 + R4) + R3 R4 (R1 + R2)
# Measured 2026-11, processor time and written symbols: with every polynomial searched in both ways the
# 1728 terms of six points all joined took 12.2 s and came to 749, the 704 of a cube 1.9 s and 295; with
# LARGE at 100 1.2 s and 866, 0.4 s and 302; at 200 1.6 s and 823, 0.5 s and 295.
LARGE = 200  # beyond so many terms only the most promising split is followed
PAIRS = 80  # up to so many terms every pair of terms is looked at for a product of two sums
KEPT = 100_000  # polynomials remembered before a workshop starts afresh
GROUPED = 5_000  # whole numerators and denominators remembered before that memory is emptied
SYMBOL = 1000  # the price of a written symbol
BRACKET, POWER_BRACKET = 1, 400  # of a bracket; where symbols have powers, fewer brackets read better

_written: dict[object, Expr] = {}  # denominators above all, which stand below many a result


def tidy_polynomial(ratio: Ratio, *, below: bool = False) -> Expr:
    """The numerator of a ratio (or what stands below its line) in the fewest written symbols found.

    A function of the polynomial alone: the field's order of symbols and its other symbols do not matter.
    It is not proved here: `tidy.tidy` does that.
    """
    field = ratio.field
    part = ratio.below if below else ratio.above
    key = field.symbols, str(part)
    known = _written.get(key)
    if known is None:
        if len(_written) > GROUPED:
            _written.clear()
        degrees = dict(zip(field.symbols, part.degrees(), strict=False))
        names = tuple(sorted([name for name, degree in degrees.items() if degree > 0], key=name_key))
        workshop = factoring(names, max([1, *degrees.values()]).bit_length() + 1)
        terms = workshop.poly(ratio.terms(below=below), tuple(map(field.position, names)))
        known = _written[key] = workshop.written(terms)
    return known


def forget_polynomials() -> None:
    """Forgets every polynomial that was grouped; for measuring what that takes."""
    _written.clear()
    factoring.cache_clear()


@lru_cache(maxsize=64)
def factoring(names: tuple[str, ...], width: int) -> Factoring:
    """The workshop for polynomials in these names whose exponents fit `width` bits. One for all callers, so
    that the polynomials of one circuit use what was found for others."""
    return Factoring(names, width)


class Factoring(Packing):
    """A workshop for the polynomials of one packing, whose names are in written order.

    What it finds depends on the polynomial alone; the memory only saves time.
    """

    def __init__(self, names: tuple[str, ...], width: int) -> None:
        super().__init__(names, width)
        self._plans: dict[Poly, tuple[int, FactorPlan]] = {}
        self._products: dict[Poly, tuple[Poly, ...]] = {}
        self._exprs: dict[Poly, Expr] = {}
        self._whole: dict[Poly, Expr] = {}

    # -- from plan to tree -------------------------------------------------------------------------

    def written(self, p: Poly) -> Expr:
        """The polynomial as a person would leave it: in the fewest symbols found."""
        if len(self._products) > KEPT:
            self._plans.clear()
            self._products.clear()
            self._exprs.clear()
            self._whole.clear()
        known = self._whole.get(p)
        if known is None:
            known = self._whole[p] = self._written_best(p)
        return known

    def _written_best(self, p: Poly) -> Expr:
        if not p:
            return ZERO
        if all(c < 0 for _, c in p):
            return negate(self.written(minus(p)))
        form = self._written(p)
        shorter = SYMBOL * written_symbols(form) > self._flat_price(
            p
        )  # a common factor leaves a bare 1 behind
        return added(*(self._written((term,)) for term in p)) if shorter else form

    def _written(self, p: Poly) -> Expr:
        known = self._exprs.get(p)
        if known is None:
            known = self._exprs[p] = self._written_product(*self.stripped(p))
        return known

    def _written_product(self, number: int, monomial: int, q: Poly) -> Expr:
        """Number × monomial × sum as it is written. A minus in front is turned into the bracket where its
        terms then begin with a plus: `R (E2 - E1)`, not `-R (E1 - E2)`."""
        if q:
            number, q = self._loosened(number, q)
        factors: list[Expr] = [] if abs(number) == 1 else [Number(Fraction(abs(number)))]
        for name, field, unit in zip(self.names, self.fields, self.units, strict=True):
            if monomial & field:
                factors.append(_power(Symbol(name), (monomial & field) // unit))
        if q:
            parts, multiplied = self._best(q)[1]
            bodies = parts if multiplied else (q,)
            counts = {body: bodies.count(body) for body in bodies}
            turned = next((b for b in bodies if number < 0 and _is_mixed(b) and counts[b] % 2), None)
            for body, exponent in counts.items():
                factors.append(_power(self._written_sum(body, turned=body == turned), exponent))
            number = abs(number) if turned else number
            factors = arranged_factors(factors)  # symbols alone stand in order already
        written = times(*factors) if factors else ONE
        return written if number > 0 else negate(written)

    def _written_sum(self, q: Poly, *, turned: bool) -> Expr:
        parts, _ = self._best(q)[1]
        return added(*(self._written(minus(part) if turned else part) for part in parts))

    def _loosened(self, number: int, q: Poly) -> tuple[int, Poly]:
        """A common number goes back into the sum where each term needs a number of its own all the same: `4
        a + 6 b`, not `2 (2 a + 3 b)`. Gives the number left in front and the sum."""
        if abs(number) == 1 or any(abs(c) == 1 for _, c in q) or self._best(q)[1][1]:
            return number, q
        return (1 if number > 0 else -1), tuple((m, c * abs(number)) for m, c in q)

    # -- the search --------------------------------------------------------------------------------

    def _price(self, p: Poly) -> int:
        """How many symbols the shortest form found for a polynomial takes: what the search makes small."""
        number, monomial, q = self.stripped(p)
        if q:
            number, q = self._loosened(number, q)
        price = SYMBOL * ((abs(number) != 1) + self.symbols(monomial))
        if not q:
            return price or SYMBOL
        best, (_, multiplied) = self._best(q)
        return price + best + (self._bracket if price and not multiplied else 0)

    def _flat_price(self, p: Poly) -> int:
        """The price of the terms as they stand."""
        numbers = sum(1 for m, c in p if abs(c) != 1 or not m)
        return SYMBOL * (numbers + sum([self.symbols(m) for m, _ in p]))

    @property
    def _bracket(self) -> int:
        return BRACKET if self.affine else POWER_BRACKET

    def _best(self, q: Poly) -> tuple[int, FactorPlan]:
        """The price and the way of writing of a polynomial that has two or more terms and no factor common
        to all."""
        known = self._plans.get(q)
        if known is None:
            known = self._plans[q] = self._searched(q)
        return known

    def _searched(self, q: Poly) -> tuple[int, FactorPlan]:
        if not self.affine and self.is_affine(q):
            narrow = factoring(self.names, 2)
            price, (parts, multiplied) = narrow._best(self.repacked(q, narrow))
            return price, (tuple(narrow.repacked(part, self) for part in parts), multiplied)
        best = self._flat_price(q)
        plan: FactorPlan = tuple([(term,) for term in q]), False
        least = self._floor(q) + self._bracket  # of whatever is not written flat
        if len(q) == 2 or best <= least:
            return best, plan
        if gcd(*[c for _, c in q]) == 1 and (product := self._product_of(q)):
            price = sum(self._best(part)[0] + self._bracket for part in dict.fromkeys(product))
            if self.affine or len(q) > EXACT:
                return price, (product, True)
            if price < best:
                best, plan = price, (product, True)
        for taken, rest in self._splits(q):
            floor = self._floor(rest)
            if self._floor(taken) + floor >= best:
                continue
            price = self._price(taken)
            if price + floor < best and (price := price + self._price(rest)) < best:
                best, plan = price, ((taken, rest), False)
                if best <= least:
                    break
        return best, plan

    def _floor(self, p: Poly) -> int:
        """The least that a polynomial can cost: each of its symbols is written."""
        held = held_of(p)
        return SYMBOL * (held.bit_count() if self.affine else self.symbols(held))

    def _product_of(self, q: Poly) -> tuple[Poly, ...]:
        known = self._products.get(q)
        if known is None:
            known = self._products[q] = self.product(q)
        return known

    # -- the splits --------------------------------------------------------------------------------

    def _splits(self, q: Poly) -> Iterator[PolynomialSplit]:
        """Ways to write `q` as one part that is a product and the rest, the most natural first."""
        apart = self.separate(q)
        if len(apart) > 1:
            yield apart[0], tuple(sorted((t for group in apart[1:] for t in group), reverse=True))
            if all(abs(c) == 1 for _, c in q):
                return
        if len(q) <= EXACT:
            yield from self._by_symbol(q)
            yield from self._by_number(q)
            yield from self._by_two_symbols(q) if len(q) <= TWO else ()
            yield from self._by_sum(q)
        elif len(q) > LARGE:
            both = (*self._by_sum(q), *self._by_symbol(q))
            yield from sorted(both, key=self._outlook)[:1]
        else:
            yield from sorted(self._by_symbol(q), key=self._outlook)[:1]
            yield from self._by_number(q)
            yield from sorted(self._by_sum(q), key=self._outlook)[:1]

    def _by_symbol(self, q: Poly) -> list[PolynomialSplit]:
        """The terms with one symbol, the others: sources first, then symbols in most terms, then the
        one in the middle of the names (in a row of branches the shared one)."""
        held = held_of(q)
        inside = [i for i, f in enumerate(self.fields) if f & held]
        found = []
        for rank, i in enumerate(inside):
            field = self.fields[i]
            taken = tuple([t for t in q if t[0] & field])
            if 2 <= len(taken) < len(q):
                middle = abs(2 * rank - len(inside) + 1)
                found.append((not is_source(self.names[i]), -len(taken), middle, i, taken))
        found.sort()
        return [(taken, tuple([t for t in q if not t[0] & self.fields[i]])) for *_, i, taken in found]

    def _by_two_symbols(self, q: Poly) -> list[PolynomialSplit]:
        """The terms with two certain symbols where each of them stands in others too."""
        held = held_of(q)
        inside = [f for f in self.fields if f & held]
        having = {f: [t for t in q if t[0] & f] for f in inside}
        splits = []
        for j, y in enumerate(inside):
            for x in inside[:j]:
                taken = [t for t in having[x] if t[0] & y]
                if 2 <= len(taken) < min(len(having[x]), len(having[y])):
                    splits.append((tuple(taken), tuple([t for t in q if not (t[0] & x and t[0] & y)])))
        return splits

    def _by_number(self, q: Poly) -> Iterator[PolynomialSplit]:
        for number in sorted({abs(c) for _, c in q} - {1}):
            taken = tuple(t for t in q if not t[1] % number)
            if 2 <= len(taken) < len(q):
                yield taken, tuple(t for t in q if t[1] % number)

    def _by_sum(self, q: Poly) -> list[PolynomialSplit]:
        """The terms that are the product of two sums without a common symbol, the others:
        a x + b x + a y + b y = (a + b)(x + y). Sought from what two terms, or two symbols, share."""
        found: dict[Poly, None] = {}
        for quotient in self._term_pairs(q) if len(q) <= PAIRS else self._symbol_pairs(q):
            if len(quotient) < 2 or self.common(quotient):
                continue
            other = self.divided(q, quotient)
            terms = {m + n: c * d for m, c in quotient for n, d in other}
            if len(other) > 1 and len(terms) == len(quotient) * len(other) < len(q):
                found.setdefault(tuple(sorted(terms.items(), reverse=True)))
        splits = []
        for taken in found:
            chosen = set(taken)
            splits.append((taken, tuple([t for t in q if t not in chosen])))
        return splits

    def _term_pairs(self, q: Poly) -> list[Poly]:
        """For every proportion a : b of two terms, all t with both t a and t b in `q`."""
        pairs: dict[tuple[int, int, int, int], list[PackedTerm]] = {}
        for j, (n, d) in enumerate(q):
            for m, c in q[:j]:
                shared = self.shared(m, n)
                number = gcd(c, d) if c > 0 else -gcd(c, d)
                pair = m - shared, n - shared, c // number, d // number
                pairs.setdefault(pair, []).append((shared, number))
        return [tuple(quotient) for quotient in pairs.values()]

    def _symbol_pairs(self, q: Poly) -> list[Poly]:
        """As `_term_pairs`, for the proportions of two single symbols only: fewer, for long polynomials."""
        beside = [
            (u, {m - u: c for m, c in q if m & f}) for u, f in zip(self.units, self.fields, strict=True)
        ]
        pairs: dict[tuple[int, int, int, int], list[PackedTerm]] = {}
        for j, (v, right) in enumerate(beside):
            for u, left in beside[:j]:
                for m, c in left.items():
                    if d := right.get(m):
                        number = gcd(c, d) if c > 0 else -gcd(c, d)
                        pairs.setdefault((u, v, c // number, d // number), []).append((m, number))
        return [tuple(quotient) for quotient in pairs.values()]

    def _outlook(self, split: PolynomialSplit) -> int:
        """How many symbols both parts take when nothing is done but to take out what all their terms share:
        a quick guess at the price of a split."""
        total = 0
        for p in split:
            _, monomial, q = self.stripped(p)
            parts = (self._product_of(q) or (q,)) if q else ()
            total += self.symbols(monomial) + sum([self.symbols(m) for part in parts for m, _ in part])
        return total


def _power(base: Expr, exponent: int) -> Expr:
    return base if exponent == 1 else Power(base, exponent)


def _is_mixed(p: Poly) -> bool:
    return any(c < 0 for _, c in p)
