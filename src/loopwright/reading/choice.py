"""The choice of meanings for names that a working leaves open, under which most of its lines hold.

Floating point serves the choice only; what is true under it is decided exactly elsewhere.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from ..circuit.elements import DIMENSION_OF
from ..expressions.dimensions import AMPERE, VOLT, Dimension
from ..expressions.fold import by_signs, fold
from ..expressions.nodes import Expr, Number, Symbol, numbers_in
from ..expressions.values import symbols_of
from ..solve.exact import Solution
from .loop_currents import Meaning
from .loops_together import LoopsTogether
from .quantities import settings_in
from .truth.changed import in_setting, part
from .truth.dimensions import numbers_are_values, thousands
from .truth.meaning import Meanings, UnknownName, level
from .truth.rounding import figures, half_unit, has_values, is_decimal, lone
from .truth.size import TooLong
from .working import AS_DRAWN, CircuitChange, Claim

MOST_TOGETHER = 200_000  # combinations tried at once
MOST_COMPARED = 12  # choices that are compared by which claims hold under them
BEAM = 60
_MOST_ROUNDED = 0.01
_NO_SHORTHANDS: Mapping[str, Expr] = {}
_NOTHING: Mapping[str, int] = {}


@dataclass(frozen=True, slots=True)
class _Sum:
    """A claim at one set of numbers for the symbols, as a linear form in the names still open: `constant`
    plus the sum of share × value. It holds when that comes to within `slack` of 0."""

    shares: Mapping[str, float]
    constant: float
    slack: float


class Choice:
    """The search for the meanings of open names under which most claims of a working hold. `known`: what
    the other names stand for; `open_names`: for each open name what it may stand for; `said`: the changed
    circuits of the working's words; `in_thousands`: numbers without a unit are in mA, kΩ and mW;
    `shorthands`: what the working says that names of its own stand for. A choice is kept as name -> index
    among these."""

    def __init__(
        self,
        solution: Solution,
        known: Mapping[str, Meaning],
        open_names: Mapping[str, Sequence[Meaning]],
        said: Sequence[CircuitChange] = (),
        in_thousands: bool = False,
        shorthands: Mapping[str, Expr] = _NO_SHORTHANDS,
    ) -> None:
        self.circuit = solution.circuit
        self.together = self.circuit.remembered_of_shape(LoopsTogether)
        self.open = open_names
        every = [*known.values(), *(m for meanings in open_names.values() for m in meanings)]
        settings = settings_in(self.circuit, every, said)
        self.points = [_values(solution, settings, seed) for seed in (3, 5)]
        numbers = self.circuit.numbers
        complete = all(s in numbers for s in self.circuit.field.symbols)
        self.here = _values(solution, settings, 0) if complete else None
        within = settings_in(self.circuit, known.values(), said)
        self.meanings = Meanings(solution, known, None, in_thousands, within)
        scale = float(thousands("A")) if in_thousands else 1.0
        at_all = [*self.points, *([self.here] if self.here is not None else [])]
        for name, expr in shorthands.items():
            with suppress(UnknownName, ZeroDivisionError, TooLong):
                self.meanings.learn(symbols_of(expr))
                self.meanings.names.setdefault(name, self.meanings.ratio(expr))
        self.value = {
            name: [[_total(m, at, scale) for m in meanings] for at in at_all]
            for name, meanings in open_names.items()
        }

    def best(
        self, claims: Sequence[Claim], settled: Mapping[str, int] = _NOTHING
    ) -> tuple[int, list[dict[str, int]]]:
        """The greatest number of claims that hold under one choice, and every choice found that reaches it,
        those first that give most names a meaning. The few best partial choices are kept as claim by claim
        is added. `settled`: what is chosen already."""
        sums = [s for claim in claims for s in [self._sums(claim)] if s is not None]
        sums.sort(key=lambda s: len(s[0].shares))
        beam: list[tuple[int, dict[str, int]]] = [(0, dict(settled))]
        for claim in sums:
            grown: list[tuple[int, dict[str, int]]] = []
            for score, chosen in beam:
                rest = [n for n in claim[0].shares if n not in chosen]
                if np.prod([len(self.open[n]) for n in rest], initial=1.0) > MOST_TOGETHER:
                    grown.append((score, chosen))
                    continue
                fits = list(self._fits(claim, chosen, rest))
                grown.extend((score + 1, {**chosen, **fit}) for fit in fits)
                if rest or not fits:
                    grown.append((score, chosen))
            grown.sort(key=lambda g: (-g[0], len(g[1]), sum(g[1].values())))
            beam = _each_once(grown)[:BEAM]
        most = beam[0][0]
        return most, sorted((chosen for score, chosen in beam if score == most), key=lambda c: -len(c))

    def countable(self, claims: Sequence[Claim]) -> int:
        """How many claims hold open names in a way that can be tried at all."""
        return sum(self._sums(claim) is not None for claim in claims)

    def score(self, claims: Sequence[Claim], chosen: Mapping[str, int]) -> int:
        """How many claims hold under one choice."""
        sums = [s for claim in claims for s in [self._sums(claim)] if s is not None]
        return sum(any(True for _ in self._fits(claim, chosen, [])) for claim in sums)

    def earliest_first(self, claims: Sequence[Claim], tied: Sequence[dict[str, int]]) -> list[dict[str, int]]:
        """Choices under which as many claims hold, those first by which the claims that hold come first: the
        line that gives a current, or ties it to others, says which way it runs, and a slip comes later. Not
        of those that give a voltage: which way that is counted may be just that slip."""
        heads = ((claim, claim.written.left) for claim in claims)
        gives = (c for c, head in heads if not (isinstance(head, Symbol) and head.name[:1] in "VvUuφ"))
        sums = [s for claim in gives for s in [self._sums(claim)] if s is not None]
        few, rest = tied[:MOST_COMPARED], tied[MOST_COMPARED:]

        def failing(chosen: Mapping[str, int]) -> list[bool]:
            whole = (set(claim[0].shares) <= set(chosen) for claim in sums)
            return [
                not (told and any(True for _ in self._fits(claim, chosen, [])))
                for claim, told in zip(sums, whole, strict=True)
            ]

        few = sorted(few, key=lambda c: (failing(c), -len(c))) if len(few) > 1 else list(few)
        return [*few, *rest]

    def serves(self, claims: Sequence[Claim], chosen: Mapping[str, int], name: str) -> bool:
        """Whether some claim with a name holds under a choice."""
        held = [s for claim in claims if name in symbols_of(claim.written) for s in [self._sums(claim)]]
        whole = [s for s in held if s is not None and set(s[0].shares) <= set(chosen)]
        return any(True for s in whole for _ in self._fits(s, chosen, []))

    def _fits(
        self, claim: Sequence[_Sum], chosen: Mapping[str, int], rest: Sequence[str]
    ) -> Iterator[dict[str, int]]:
        """The choices for the names in `rest` that, with those `chosen` already, make a claim hold; no two
        names are given one meaning, and currents round loops are those of one set of loops."""
        shape = tuple(len(self.open[n]) for n in rest)
        good = np.ones(shape, dtype=bool)
        first = len(self.points) if len(claim) == 1 else 0
        for at, form in enumerate(claim, start=first):
            total = np.full(shape, form.constant)
            for n, share in form.shares.items():
                if n in chosen:
                    total = total + share * self.value[n][at][chosen[n]]
                else:
                    axis = rest.index(n)
                    along = np.array(self.value[n][at]).reshape(
                        tuple(-1 if i == axis else 1 for i in range(len(rest)))
                    )
                    total = total + share * along
            good &= np.abs(total) <= form.slack
        taken = [self.open[n][i] for n, i in chosen.items()]
        for index in np.argwhere(good)[:2000]:
            fit = {n: int(i) for n, i in zip(rest, index, strict=True)}
            meanings = [*taken, *(self.open[n][i] for n, i in fit.items())]
            alike = len({tuple(sorted(m)) for m in meanings}) < len(meanings)
            if not alike and self.together.may_be(meanings):
                yield fit

    def _sums(self, claim: Claim) -> tuple[_Sum, ...] | None:
        """The claim as a linear form: at both random points, or where it holds numbers at the numbers of
        the problem; None when it is not linear in the open names."""
        names = [n for n in symbols_of(claim.written) if n in self.open]
        if claim.case or not names:
            return None
        try:
            self.meanings.learn(n for n in symbols_of(claim.written) if n not in self.open)
        except UnknownName:
            return None
        quantities = [n for n in symbols_of(claim.written) if n not in self.open]
        in_numbers = (
            (has_values(claim.written) and self.here is not None)
            or (not quantities and any(n.value for n in numbers_in(claim.written)))
            or numbers_are_values(claim.written, self._dimension)
        )
        points = self.points if not in_numbers else [self.here] if self.here is not None else []
        first = len(self.points) if in_numbers else 0
        usual = [{n: self._usual(n, first + i) for n in names} for i in range(len(points))]
        found = [self._form(claim, names, at, of) for at, of in zip(points, usual, strict=True)]
        if not found or any(form is None for form in found):
            return None
        return tuple(form for form in found if form is not None)

    def _dimension(self, name: str) -> Dimension | None:
        """What kind of quantity a name is, an open one by its letter."""
        if name in self.open:
            return VOLT if name[0] in "VvUuφ" else AMPERE if name[0] in "IiJj" else None
        kind = self.circuit.role(name)
        return AMPERE if name in self.circuit.currents else DIMENSION_OF.get(kind) if kind else None

    def _usual(self, name: str, at: int) -> float:
        """The greatest size that an open name may have at one set of numbers."""
        return max((abs(values) for values in self.value[name][at]), default=1.0)

    def _form(
        self, claim: Claim, names: Sequence[str], at: Mapping[str, float], usual: Mapping[str, float]
    ) -> _Sum | None:
        """The claim as a linear form at one set of numbers, where open names have the sizes `usual`."""
        values = dict(at)
        for name in symbols_of(claim.written):
            if name not in self.open:
                ratio = self.meanings.names[name]
                values[name] = ratio.real()(at)

        sides = [self._shown(side) for side in (claim.written.left, claim.written.right)]

        def off(more: Mapping[str, float]) -> float:
            at_these = {**values, **more}
            return _float(sides[0], at_these) - _float(sides[1], at_these)

        zero = dict.fromkeys(names, 0.0)
        try:
            constant = off(zero)
            shares = {n: off({**zero, n: 1.0}) - constant for n in names}
            check = {n: 1.7 + 0.3 * i for i, n in enumerate(names)}
            size = abs(constant) + sum(abs(s) for s in shares.values()) + 1e-12
            linear = constant + sum(shares[n] * v for n, v in check.items())
            if abs(off(check) - linear) > 1e-6 * size or not any(shares.values()):
                return None
        except (ZeroDivisionError, OverflowError):
            return None
        single = lone(claim.written.right) or lone(claim.written.left)
        slack, size = 0.0, abs(constant) + sum(abs(shares[n]) * usual[n] for n in names)
        whole = single is not None and not is_decimal(single) and not single.unit
        if single is not None and single.value and not (whole and len(names) > 1):  # 15 x + 4 y = 9 is exact
            slack = float(half_unit(single) * self._factor(single)) * 1.0001
        return _Sum(shares, constant, slack + size * max(1e-7, self._rounded_away(claim)))

    def _shown(self, side: Expr) -> Expr:
        return self.meanings.in_its_units(side) if self.meanings.thousands else side

    def _factor(self, number: Number) -> Fraction:
        return thousands(number.unit) if self.meanings.thousands and number.unit else Fraction(1)

    def _rounded_away(self, claim: Claim) -> float:
        """By which part the terms of a claim may be off, since rounded numbers are carried in it; those of
        the problem are exact."""
        given = set(self.circuit.numbers.values())
        if self.meanings.thousands:
            given |= {value / 1000 for value in given}
        carried = [
            float(half_unit(n) / abs(n.value))
            for n in numbers_in(claim.written)
            if n.value and is_decimal(n) and n.value not in given and figures(n) > 1
        ]
        return min(sum(carried), _MOST_ROUNDED)


def _each_once(grown: Sequence[tuple[int, dict[str, int]]]) -> list[tuple[int, dict[str, int]]]:
    seen: dict[tuple[tuple[str, int], ...], tuple[int, dict[str, int]]] = {}
    for score, chosen in grown:
        seen.setdefault(tuple(sorted(chosen.items())), (score, chosen))
    return list(seen.values())


def _values(solution: Solution, settings: Sequence[CircuitChange], seed: int) -> dict[str, float]:
    """Values of symbols, true currents and potentials, those of changed circuits too: random, or for seed 0
    the problem's own."""
    chance = random.Random(seed)
    circuit = solution.circuit
    symbols = {s: chance.uniform(1, 9) for s in circuit.field.symbols}
    if not seed:
        symbols.update({n: float(v) for n, v in circuit.numbers.items()})
    values = dict(symbols)
    for setting in (AS_DRAWN, *settings):
        worked = in_setting(circuit, setting) if setting else solution
        if worked is not None:
            values.update({part(n, setting): r.real()(symbols) for n, r in worked.currents.items()})
            values.update(
                {part(level(p), setting): r.real()(symbols) for p, (_, r) in worked.potentials.items()}
            )
    return values


def _total(meaning: Meaning, at: Mapping[str, float], scale: float) -> float:
    """The value of a sum of currents, in units `scale` to the ampere, or of potentials in volts."""
    return sum(m * at[n] * (1.0 if n.startswith("φ") else scale) for n, m in meaning.items())


def _float(expr: Expr, values: Mapping[str, float]) -> float:
    return fold(expr, by_signs(lambda number: float(number.value), values.__getitem__))
