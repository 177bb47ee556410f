"""Equations whose coefficients were rounded, and what lines above give of these: 67.742 V = −65.169 after
two lines with 1.0787 V and 232 V. Each coefficient may be off by as much as the last figures of the numbers
it comes of allow, and no more; so a slip in any of them shows, however little the currents are off by it.

The bounds are those of first order. Common practice (no source): half a unit of the last figure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from ...expressions.fold import by_signs, fold
from ...expressions.nodes import Equation, Expr, Number, Product, Quotient, Sum, Symbol, numbers_in, parts_of
from ...expressions.values import symbols_of
from .carried import CarriedNumbers
from .meaning import Meanings
from .rounding import ends_in_zero, is_decimal, lone, value_of

NEAREST = 20  # claims above among which pairs are tried
NEAREST_SOLVED = 3  # of them solved for a name, whose coefficients may have been rounded when it was put in
FIGURES_PUT_IN = (2, 3, 4, 5)
WIDEST = 0.02  # of the greatest coefficient: bounds wider than this decide nothing
WIDEST_OWN = 0.1  # the same of the bounds of a row itself, where those it comes of stand as they are
FARTHEST = 0.05  # of its terms: what an equation may be off by when the true values are put in
ROUNDED_WHOLE = 100  # whole numbers from this size on have figures enough to be rounded ones
_Vector = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Near:
    """An equation as coefficients of the unknowns and, last, its constant; by how much each may be off."""

    line: int
    values: _Vector
    bounds: _Vector


class NearlyGiven:
    """The claims of one view that are of the first degree, as far as they were looked at."""

    def __init__(self, meanings: Meanings, numbers: CarriedNumbers) -> None:
        self.meanings, self.numbers = meanings, numbers
        self._claims: list[tuple[int, Equation, bool, bool]] = []  # the last: whether it is true
        self._rows: dict[int, _Near | None] = {}
        self._put_in: dict[int, list[_Near]] = {}
        self._names: dict[str, _Vector] = {}
        self._true: _Vector | None = None

    def keep(self, line: int, claim: Equation, *, rounded: bool) -> None:
        """Adds a true claim, and what it puts in for a name as a line above gives that. `rounded`: whether it
        is right only as rounded, so that its whole numbers may be rounded ones."""
        for put_in in _brackets(claim):
            made = (Equation(Symbol(name), put_in) for name in self._given_above(put_in))
            own = next((each for each in made if self._is_given(each, 1, 0)), None)
            if own is not None:
                self._claims.append((line, own, True, True))
        self._claims.append((line, claim, rounded, True))

    def keep_untrue(self, line: int, claim: Equation) -> None:
        """Adds a claim that is not true, from which others may follow."""
        self._claims.append((line, claim, True, False))

    def given(self, claim: Equation, before: int = 0) -> bool:
        """Whether each coefficient of an equation is, as rounded, what one or two lines above give. `before`:
        only lines before this one are looked at (0: all)."""
        return self._is_given(claim, 2, before)

    def _is_given(self, claim: Equation, most: int, before: int) -> bool:
        """The same of so many lines at the most. In an equation of whole numbers these are rounded only where
        one of the lines has rounded numbers."""
        decimals = any(map(is_decimal, numbers_in(claim)))
        wanted = self._row(0, claim, rounded=True, sums=False)
        if wanted is None or (decimals and self._is_a_value(claim)):
            return False
        return self._comes_from(wanted, most, before, of_rounded=not decimals)

    def _is_a_value(self, claim: Equation) -> bool:
        """Whether a claim gives a formula of one quantity a number, U/R7 = 0.237: a result, and no equation
        that is gone on with; what rounding allows it is told by the results above."""
        formula, numbers = claim.left, self.meanings.circuit.numbers
        unknown = [name for name in symbols_of(formula) if name not in numbers]
        return len(unknown) == 1 and not numbers_in(formula) and lone(claim.right) is not None

    def _comes_from(self, wanted: _Near, most: int, before: int, *, of_rounded: bool) -> bool:
        if self._true is None:
            fields = [self.meanings.field.symbol(n) for n in self.meanings.unknowns]
            worth = [value.constant() for f in fields if (value := self.meanings.value(f)) is not None]
            self._true = np.array([*(float(x or 0) for x in worth), 1.0])
        if len(self._true) != len(wanted.values):
            return False
        sets = [rows for size in range(1, most + 1) for rows in self._sets(size, before)]
        put_in = list(self._with_one_put_in(before)) if most > 1 else []
        if any(_is_of_as_they_stand(wanted, rows) for rows in (*sets, *put_in)):
            return True
        terms = wanted.values * self._true
        if abs(terms.sum()) > FARTHEST * np.abs(terms).max():
            return False
        return any(
            _comes_of(wanted, rows)
            if not of_rounded or any(row.bounds.any() for row in rows)
            else len(rows) == 1 and _is_multiple(wanted, rows[0])
            for rows in sets
        ) or any(_is_left(wanted, *rows) for rows in put_in)

    def _with_one_put_in(self, before: int) -> Iterator[tuple[_Near, _Near]]:
        """Each line above with another that is solved for a name and is to be put into it with its
        coefficients rounded, each to so many figures: x = (48 − 15 y)/39 as 1.231 − 0.3846 y."""
        solved: list[list[_Near]] = []
        for place in range(len(self._claims) - 1, max(len(self._claims) - 1 - NEAREST, -1), -1):
            line, claim, _, true = self._claims[place]
            later = before and line >= before
            if true and _is_solved(claim) and not later and len(solved) < NEAREST_SOLVED:
                if place not in self._put_in:
                    self._put_in[place] = list(self._rounded_when_put_in(line, claim))
                solved.append(self._put_in[place])
        near = [row for (row,) in self._sets(1, before)] if solved else []
        yield from ((other, row) for rows in solved for row in rows for other in near)

    def _rounded_when_put_in(self, line: int, claim: Equation) -> Iterator[_Near]:
        """A claim solved for a name, with its coefficients rounded to each number of figures."""
        thousands = self.meanings.thousands
        side = self.meanings.in_its_units(claim.right) if thousands else claim.right
        names = symbols_of(side)
        nothing = dict.fromkeys(names, Fraction(0))
        try:
            constant = value_of(side, nothing)
            shares = {n: value_of(side, {**nothing, n: Fraction(1)}) - constant for n in names}
        except ZeroDivisionError:
            return
        for figures in FIGURES_PUT_IN:
            terms = [Product((Number(_to(share, figures)), Symbol(n))) for n, share in shares.items()]
            put_in = Sum((Number(_to(constant, figures)), *terms))
            row = self._row(line, Equation(claim.left, put_in), rounded=False)
            if row is not None:
                yield row

    def _given_above(self, bracket: Expr) -> list[str]:
        """The names that the nearest lines give and a bracket does not hold, the nearest first."""
        held = set(symbols_of(bracket))
        near = (claim for _, claim, _, _ in self._claims[: -NEAREST - 1 : -1])
        names = dict.fromkeys(n for claim in near for n in symbols_of(claim))
        return [n for n in names if n not in held and n in self.meanings.names]

    def follows(self, claim: Equation) -> tuple[int, ...]:
        """The lines, one or two, an untrue one among them, that give an untrue equation so; none where there
        are none."""
        wanted = self._row(0, claim, rounded=True)
        if wanted is None:
            return ()
        wrong = {line for line, _, _, true in self._claims if not true}
        for size in (1, 2) if wrong else ():
            for rows in self._sets(size, 0, untrue=True):
                lines = {row.line for row in rows}
                if lines & wrong and _comes_of(wanted, rows):
                    return tuple(sorted(lines))
        return ()

    def _sets(self, size: int, before: int, *, untrue: bool = False) -> Iterator[tuple[_Near, ...]]:
        """So many of the nearest true claims, or of all where `untrue` ones count too."""
        found: list[_Near] = []
        for place in range(len(self._claims) - 1, -1, -1):
            line, claim, rounded, true = self._claims[place]
            if (before and line >= before) or not (true or untrue):
                continue
            if place not in self._rows:
                self._rows[place] = self._row(line, claim, rounded=rounded)
            row = self._rows[place]
            if row is not None:
                found.append(row)
            if len(found) == NEAREST:
                break
        yield from combinations(found, size)

    def _row(self, line: int, claim: Equation, *, rounded: bool, sums: bool = True) -> _Near | None:
        """A claim as a row; None where it is not of the first degree, or says nothing of the unknowns.
        `rounded`: its numbers may be rounded, whole ones with figures enough too; `sums`: but not those that
        are sums of what is given."""
        try:
            values = self._coefficients(claim)
            if values is None or not np.abs(values[:-1]).any():
                return None
            bounds = np.zeros_like(values)
            for number in numbers_in(claim) if rounded else ():
                off = self._off(number, sums)
                moved = self._coefficients(claim, number, off) if off else None
                if moved is not None:
                    bounds += np.abs(moved - values)
        except (KeyError, ZeroDivisionError, OverflowError):
            return None
        return _Near(line, values, bounds)

    def _off(self, number: Number, sums: bool) -> float:
        """How far a number may be from what it was rounded from; 0 for one that is exact. A whole one is
        rounded where it has figures enough, 58.0 K = −168, and so is 12.0 where 12 is given."""
        value = self.numbers.written(number)
        own = value in self.numbers.given or (sums and value in self.numbers.sums)
        exact = own and not ends_in_zero(number)
        rounded = is_decimal(number) or abs(value) >= ROUNDED_WHOLE
        return float(self.numbers.half(number)) if rounded and not exact else 0.0

    def _coefficients(self, claim: Equation, moved: Number | None = None, off: float = 0.0) -> _Vector | None:
        """Left minus right as coefficients, with one of its numbers moved; None where it is not of the first
        degree."""
        size = len(self.meanings.unknowns)
        at = np.vstack([np.zeros(size), np.eye(size), np.ones(size)])
        names = {n: at @ self._name(n)[:-1] + self._name(n)[-1] for n in symbols_of(claim)}
        worth = by_signs(
            lambda number: np.full(size + 2, float(self.numbers.written(number)) + off * (number is moved)),
            names.__getitem__,
        )

        def side(expr: Expr) -> _Vector:
            return fold(expr, worth)

        with np.errstate(all="ignore"):
            found = side(claim.left) - side(claim.right)
        if not np.isfinite(found).all():
            return None
        values = np.append(found[1:-1] - found[0], found[0])
        whole = float(values.sum())
        return values if abs(whole - found[-1]) <= 1e-9 * (np.abs(values).sum() + 1e-30) else None

    def _name(self, name: str) -> _Vector:
        """What a name stands for, as coefficients of the unknowns and a constant."""
        if name not in self._names:
            worth = self.meanings.names[name]
            held = set(worth.held())
            if not held <= set(self.meanings.unknowns) or self.meanings.row(worth) is None:
                raise KeyError(name)
            nothing = dict.fromkeys(held, Fraction(0))
            constant = worth.value(nothing)
            slopes = {n: worth.value({**nothing, n: Fraction(1)}) - constant for n in held}
            if worth.value(dict.fromkeys(held, Fraction(1))) != constant + sum(slopes.values()):
                raise KeyError(name)
            found = [slopes.get(n, 0) for n in self.meanings.unknowns]
            self._names[name] = np.array([float(x) for x in (*found, constant)])
        return self._names[name]


def _brackets(claim: Equation) -> Iterator[Expr]:
    """What stands in brackets for a name in an equation with rounded numbers: `11 x − 9 (0.2 y − 5) = 0`."""
    if not any(map(is_decimal, numbers_in(claim))):
        return
    parts = [claim.left, claim.right]
    while parts:
        part = parts.pop()
        if isinstance(part, Product):
            yield from (f for f in part.factors if isinstance(f, Sum) and symbols_of(f))
        parts.extend(parts_of(part))


def _is_multiple(wanted: _Near, row: _Near) -> bool:
    """Whether a row is a multiple of another whose factor is told by a coefficient that is exact in both:
    13 V = 138 of 13 V = 138.4375."""
    exact = (wanted.bounds == 0) & (row.bounds == 0) & (wanted.values != 0) & (row.values != 0)
    exact[-1] = False
    for k in np.flatnonzero(exact)[:1]:
        share = float(wanted.values[k] / row.values[k])
        allowed = wanted.bounds + abs(share) * row.bounds + 1e-9 * np.abs(wanted.values).max()
        return bool((np.abs(share * row.values - wanted.values) <= allowed).all())
    return False


def _is_solved(claim: Equation) -> bool:
    """Whether a claim gives a name as a fraction over a number: x = (48 − 15 y)/39."""
    right = claim.right
    fraction = isinstance(right, Quotient) and lone(right.below) is not None
    return isinstance(claim.left, Symbol) and fraction and bool(symbols_of(right))


def _to(value: Fraction, figures: int) -> Fraction:
    """A number to so many significant figures."""
    return Fraction(f"{float(value):.{figures - 1}e}")


def _is_left(wanted: _Near, one: _Near, other: _Near) -> bool:
    """Whether a row is what is left of two of which one unknown cancels."""
    above, bounds = np.array([one.values, other.values]), np.array([one.bounds, other.bounds])
    if not _may_come_of(wanted, above):
        return False
    held = np.flatnonzero((above != 0).all(axis=0) & (wanted.values == 0))
    return any(_is_cancelled(wanted, above, bounds, int(k)) for k in held)


def _may_come_of(wanted: _Near, above: _Vector) -> bool:
    """Whether no unknown of a row is in none of some rows, and none that it lacks in one of them alone."""
    how_many = (above[:, :-1] != 0).sum(axis=0)
    held = wanted.values[:-1] != 0
    return not (held & (how_many == 0)).any() and not (~held & (how_many == 1)).any()


def _is_cancelled(wanted: _Near, above: _Vector, bounds: _Vector, k: int, widest: float = WIDEST) -> bool:
    """Whether a row is what is left of two where one unknown is made to cancel by multiplying with what
    stands before it in the other, as people do it: then the multiples are known, however much of the rest
    cancels too."""
    one, other = float(above[0, k]), float(above[1, k])
    if wanted.values[k] or not one or not other:
        return False
    share = one / other
    unsure = abs(share) * (bounds[0, k] / abs(one) + bounds[1, k] / abs(other))
    left = above[0] - share * above[1]
    off = bounds[0] + abs(share) * bounds[1] + unsure * np.abs(above[1])
    for times in (1.0, 1 / share, other):
        allowed = wanted.bounds + abs(times) * off + 1e-9 * np.abs(above).max()
        allowed[k] = 0.0
        if allowed.max() > widest * np.abs(wanted.values).max():
            continue
        if any((np.abs(sign * times * left - wanted.values) <= allowed).all() for sign in (1, -1)):
            return True
    return False


def _is_of_as_they_stand(wanted: _Near, rows: tuple[_Near, ...]) -> bool:
    """Whether a row is what one or two others give exactly as they are written, but for its own last figures:
    so much may cancel that these others, unsure as they are, decide nothing of it."""
    if wanted.bounds.max() > WIDEST_OWN * np.abs(wanted.values).max() or len(rows) > 2:
        return False
    exact = tuple(replace(row, bounds=np.zeros_like(row.bounds)) for row in rows)
    above = np.array([row.values for row in exact])
    if not _may_come_of(wanted, above):
        return False
    held = np.flatnonzero(np.abs(above).max(axis=0) > 0)
    if len(rows) == 2:
        own = np.array([row.bounds for row in exact])
        return any(_is_cancelled(wanted, above, own, int(k), WIDEST_OWN) for k in held)
    largest = int(np.argmax(np.abs(wanted.values)))
    times = [1.0, -1.0]
    if above[0, largest] and wanted.values[largest]:
        times.append(float(wanted.values[largest] / above[0, largest]))
    allowed = wanted.bounds + 1e-9 * np.abs(above).max()
    return any(bool((np.abs(t * above[0] - wanted.values) <= allowed).all()) for t in times)


def _comes_of(wanted: _Near, rows: tuple[_Near, ...]) -> bool:
    """Whether a row is a sum of multiples of others to within the bounds of all."""
    above = np.array([row.values for row in rows])
    bounds = np.array([row.bounds for row in rows])
    if not _may_come_of(wanted, above):
        return False
    scale = np.abs(above).max(axis=0) + np.abs(wanted.values)
    held = [int(k) for k in np.flatnonzero(scale)]

    def rank(k: int) -> tuple[bool, float, float]:
        """What fixes the multiples: what is nothing in the row wanted first, then the largest."""
        own = abs(float(wanted.values[k]))
        return bool(own), -float(np.abs(above[:, k]).min()), -own

    order = sorted(held, key=rank)
    if len(rows) == 1 and _is_multiple(wanted, rows[0]):
        return True
    if len(rows) == 2 and any(_is_cancelled(wanted, above, bounds, k) for k in held):
        return True
    for chosen in combinations(order[:6], len(rows)):
        if not wanted.values[list(chosen)].any():
            continue
        square = above[:, chosen].T
        if np.linalg.cond(square) > 1e4:
            continue
        inverse = np.linalg.inv(square)
        shares = inverse @ wanted.values[list(chosen)]
        off = wanted.bounds + np.abs(shares) @ bounds
        unsure = np.abs(inverse) @ off[list(chosen)]
        allowed = off + unsure @ np.abs(above) + 1e-9 * scale
        if allowed.max() > WIDEST * np.abs(wanted.values).max():
            continue
        return bool((np.abs(shares @ above - wanted.values) <= allowed).all())
    return False
