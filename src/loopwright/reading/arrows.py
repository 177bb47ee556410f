"""Which arrows a working goes by: those it declares, those of the problem, or those that fit it best.

Names that nothing explains, and all names where arrows are left unsaid, are matched with the currents
of the circuit either way along, with mesh currents, and with potential differences: the choice
that makes most of the claims true is taken. Floating point serves the choice only; what is true under
it is decided exactly elsewhere.
"""

from __future__ import annotations

import random
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from ..circuit.circuit import Circuit
from ..circuit.embedding import meshes
from ..expressions.fold import by_signs, fold
from ..expressions.nodes import Expr, Symbol, numbers_in
from ..expressions.said import Said, in_a_row
from ..expressions.values import symbols_of
from ..solve.exact import Solution
from .truth.meaning import Meanings, UnknownName, level
from .truth.rounding import half_unit, has_values, lone
from .verdicts import Arrows
from .working import ArrowSaid, Claim

Meaning = Mapping[str, int]  # a sum of branch currents or potentials
MOST_TOGETHER = 200_000  # combinations tried at once
BEAM = 60
MOST_TIES = 4


def may_be_open(name: str) -> bool:
    """Whether a name that nothing explains may be that of a current or a potential difference; letters
    that stand for resistances, powers, emfs and shorthands are not."""
    return name[:1] not in "RrPpEeεDdΔNnGgkKTtSs"


def declared(circuit: Circuit, arrows: Sequence[ArrowSaid]) -> dict[str, Meaning]:
    """What the arrows declared in a working stand for; those that fit no branch are left out."""
    found: dict[str, Meaning] = {}
    for arrow in arrows:
        fits: list[Meaning] = []
        for b in circuit.branches:
            elements = [p.element for p in b.passes]
            if not set(arrow.through) <= set(elements):
                continue
            points = list(b.points)
            if arrow.start in points and arrow.end in points:
                forward = points.index(arrow.start) < len(points) - 1 - points[::-1].index(arrow.end)
                fits.append({b.name: 1 if forward else -1})
        if len(fits) == 1 or (fits and not arrow.through):
            found[arrow.name] = fits[0]
    return found


def of_problem(circuit: Circuit) -> dict[str, Meaning]:
    """The names and arrows of the problem file."""
    return {name: {name: 1} for name in circuit.currents}


def candidates(circuit: Circuit, name: str, turned_only: bool) -> tuple[Meaning, ...]:
    """What a name may stand for, each as a sum of branch currents or potentials, likeliest first.
    `turned_only`: the name is one of the problem's, so that only its direction is open."""
    if turned_only:
        return ({name: 1}, {name: -1})
    if name[:1] in "VvUuφ":
        points = circuit.named_points
        return tuple({level(a): 1, level(b): -1} for a, b in product(points, points) if a != b)
    own: list[Meaning] = [{b: sign} for b in circuit.currents for sign in (1, -1)]
    return (*own, *_mesh_currents(circuit))


def _mesh_currents(circuit: Circuit) -> Iterator[Meaning]:
    """Mesh currents that share every branch with others, as sums of branch currents."""
    loops = [dict(loop) for loop in meshes(circuit)]
    known: dict[int, dict[str, int]] = {}
    for i, loop in enumerate(loops):
        rim = next((n for n in loop if sum(n in other for other in loops) == 1), None)
        if rim is not None:
            known[i] = {rim: loop[rim]}
    while len(known) < len(loops):
        step = next(
            (
                (i, j, n)
                for i, loop in enumerate(loops)
                if i not in known
                for j in known
                for n in loop
                if n in loops[j]
            ),
            None,
        )
        if step is None:
            return
        i, j, shared = step
        total = {shared: loops[i][shared]}
        for n, m in known[j].items():
            total[n] = total.get(n, 0) - m * loops[j][shared] * loops[i][shared]
        known[i] = {n: m for n, m in total.items() if m}
        yield known[i]
        yield {n: -m for n, m in known[i].items()}


@dataclass(frozen=True, slots=True)
class _Sum:
    """A claim at one set of numbers for the symbols, as a linear form in the names still open: `constant`
    plus the sum of share × value. It holds when that comes to within `slack` of 0."""

    shares: Mapping[str, float]
    constant: float
    slack: float


class Choice:
    """The search for the meanings of open names under which most claims of a working hold. `known`: what
    the other names stand for; `open_names`: for each open name what it may stand for. A choice is kept as
    name -> index among these."""

    def __init__(
        self, solution: Solution, known: Mapping[str, Meaning], open_names: Mapping[str, Sequence[Meaning]]
    ) -> None:
        self.circuit = solution.circuit
        self.open = open_names
        self.points = [_values(solution, seed) for seed in (3, 5)]
        numbers = self.circuit.numbers
        self.here = _values(solution, 0) if all(s in numbers for s in self.circuit.field.symbols) else None
        self.meanings = Meanings(solution, known)
        at_all = [*self.points, *([self.here] if self.here is not None else [])]
        self.value = {
            name: [[_total(m, at) for m in meanings] for at in at_all]
            for name, meanings in open_names.items()
        }

    def best(self, claims: Sequence[Claim]) -> tuple[int, list[dict[str, int]]]:
        """The greatest number of claims that hold under one choice, and every choice found that reaches it.
        The few best partial choices are kept as claim by claim is added."""
        sums = [s for claim in claims for s in [self._sums(claim)] if s is not None]
        sums.sort(key=lambda s: len(s[0].shares))
        beam: list[tuple[int, dict[str, int]]] = [(0, {})]
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
        return most, [chosen for score, chosen in beam if score == most]

    def countable(self, claims: Sequence[Claim]) -> int:
        """How many claims hold open names in a way that can be tried at all."""
        return sum(self._sums(claim) is not None for claim in claims)

    def score(self, claims: Sequence[Claim], chosen: Mapping[str, int]) -> int:
        """How many claims hold under one choice."""
        sums = [s for claim in claims for s in [self._sums(claim)] if s is not None]
        return sum(any(True for _ in self._fits(claim, chosen, [])) for claim in sums)

    def _fits(
        self, claim: Sequence[_Sum], chosen: Mapping[str, int], rest: Sequence[str]
    ) -> Iterator[dict[str, int]]:
        """The choices for the names in `rest` that, with those `chosen` already, make a claim hold; no two
        names are given one meaning."""
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
            if len({tuple(sorted(m)) for m in meanings}) == len(meanings):
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
        in_numbers = has_values(claim.written) or (
            not quantities and any(n.value for n in numbers_in(claim.written))
        )
        points = self.points if not in_numbers else [self.here] if self.here is not None else []
        found = [self._form(claim, names, at) for at in points]
        if not found or any(form is None for form in found):
            return None
        return tuple(form for form in found if form is not None)

    def _form(self, claim: Claim, names: Sequence[str], at: Mapping[str, float]) -> _Sum | None:
        values = dict(at)
        for name in symbols_of(claim.written):
            if name not in self.open:
                ratio = self.meanings.names[name]
                values[name] = ratio.real()(at)

        def off(more: Mapping[str, float]) -> float:
            return _float(claim.written.left, {**values, **more}) - _float(
                claim.written.right, {**values, **more}
            )

        zero = dict.fromkeys(names, 0.0)
        try:
            constant = off(zero)
            shares = {n: off({**zero, n: 1.0}) - constant for n in names}
            check = {n: 1.7 + 0.3 * i for i, n in enumerate(names)}
            size = abs(constant) + sum(abs(s) for s in shares.values()) + 1e-12
            linear = constant + sum(shares[n] * v for n, v in check.items())
            if abs(off(check) - linear) > 1e-6 * size:
                return None
        except (ZeroDivisionError, OverflowError):
            return None
        single = lone(claim.written.right) or lone(claim.written.left)
        slack = float(half_unit(single)) * 1.0001 if single is not None and single.value else 0.0
        return _Sum(shares, constant, slack + 1e-7 * size)


def _each_once(grown: Sequence[tuple[int, dict[str, int]]]) -> list[tuple[int, dict[str, int]]]:
    seen: dict[tuple[tuple[str, int], ...], tuple[int, dict[str, int]]] = {}
    for score, chosen in grown:
        seen.setdefault(tuple(sorted(chosen.items())), (score, chosen))
    return list(seen.values())


def _values(solution: Solution, seed: int) -> dict[str, float]:
    """Values of symbols, true currents and potentials: random, or for seed 0 the problem's own."""
    chance = random.Random(seed)
    circuit = solution.circuit
    symbols = {s: chance.uniform(1, 9) for s in circuit.field.symbols}
    if not seed:
        symbols.update({n: float(v) for n, v in circuit.numbers.items()})
    values = dict(symbols)
    values.update({n: r.real()(symbols) for n, r in solution.currents.items()})
    values.update({level(p): r.real()(symbols) for p, (_, r) in solution.potentials.items()})
    return values


def _total(meaning: Meaning, at: Mapping[str, float]) -> float:
    return sum(m * at[n] for n, m in meaning.items())


def _float(expr: Expr, values: Mapping[str, float]) -> float:
    return fold(expr, by_signs(lambda number: float(number.value), values.__getitem__))


def arrows_of(
    solution: Solution,
    claims: Sequence[Claim],
    said: Sequence[ArrowSaid],
    new_names: Collection[str],
    unsaid: bool,
) -> Arrows:
    """The arrows a working goes by. `new_names`: names it uses that stand for nothing in the problem;
    `unsaid`: the arrows of the problem were not given to the writer, so that directions are open too."""
    circuit = solution.circuit
    told = declared(circuit, said)
    known: dict[str, Meaning] = {**of_problem(circuit), **told}
    used = {n for claim in claims for n in symbols_of(claim.written)}
    turned = [n for n in circuit.currents if unsaid and n in used and n not in told]
    open_names = {n: candidates(circuit, n, True) for n in turned}
    open_names.update({n: candidates(circuit, n, False) for n in new_names if may_be_open(n)})
    if not open_names:
        return Arrows(known)
    choice = Choice(solution, {n: m for n, m in known.items() if n not in open_names}, open_names)
    _, best = choice.best(claims)
    chosen = {n: open_names[n][i] for n, i in best[0].items()}
    names: dict[str, Meaning] = dict(known)
    names.update(chosen)
    others = tuple(
        {**names, **{n: open_names[n][i] for n, i in other.items()}}
        for other in best[1 : MOST_TIES + 1]
        if set(other) == set(best[0])
    )
    return Arrows(names, tuple(chosen), others, _told(circuit, chosen, bool(others)))


def with_turned(
    solution: Solution, arrows: Arrows, claims: Sequence[Claim], said: Sequence[ArrowSaid]
) -> Arrows:
    """The same arrows, with a word on it where all claims would hold if some of the problem's ran the other
    way: the writer may have drawn them so."""
    circuit = solution.circuit
    told = {arrow.name for arrow in said}
    used = {n for claim in claims for n in symbols_of(claim.written)}
    open_names = {n: candidates(circuit, n, True) for n in circuit.currents if n in used and n not in told}
    if not open_names or 2 ** len(open_names) > MOST_TOGETHER:
        return arrows
    choice = Choice(solution, {n: m for n, m in arrows.names.items() if n not in open_names}, open_names)
    best, choices = choice.best(claims)
    if best < choice.countable(claims) or best <= choice.score(claims, dict.fromkeys(open_names, 0)):
        return arrows
    turned = [n for n, i in choices[0].items() if i]
    names = {**arrows.names, **{n: {n: -1} for n in turned}}
    verb = "runs" if len(turned) == 1 else "run"
    listed = in_a_row([(Symbol(n),) for n in turned])
    sentence: Said = ("Every line holds if ", *listed, f" {verb} the other way: look at the arrows drawn.")
    return Arrows(arrows.names, arrows.inferred, (names,), sentence)


def _told(circuit: Circuit, chosen: Mapping[str, Meaning], tie: bool) -> Said:
    """The choice in a sentence."""
    items = [told_meaning(circuit, n, m) for n, m in chosen.items()]
    if not items:
        return ()
    rest = "; another choice makes as many lines true." if tie else "."
    return ("Arrows as they make most lines true: ", *in_a_row(items), rest)


def told_meaning(circuit: Circuit, name: str, meaning: Meaning) -> Said:
    """One name in words: `Ib from bus to rail through R2`."""
    if len(meaning) == 2 and all(n.startswith("φ ") for n in meaning):
        ends = {m: n.removeprefix("φ ") for n, m in meaning.items()}
        return (Symbol(name), f" the potential of {ends[1]} against {ends[-1]}")
    if len(meaning) > 1:
        sums = " + ".join(n if m > 0 else f"(−{n})" for n, m in meaning.items())
        return (Symbol(name), f" a mesh current, {sums}")
    ((branch, sign),) = meaning.items()
    b = circuit.branch(branch)
    start, end = (b.start, b.end) if sign > 0 else (b.end, b.start)
    through = ", ".join(p.element for p in (b.passes if sign > 0 else b.passes[::-1]))
    return (Symbol(name), f" from {start} to {end}" + (f" through {through}" if through else ""))
