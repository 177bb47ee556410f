"""Two resistances taken to zero together, where that leaves a source loop without resistance.

Two ideal batteries in parallel are the usual one: if their emfs differ, the current round them grows
without limit; if they agree, the sum of their currents is fixed and the split follows the ratio in
which the two resistances vanish. By two routes again: the closed form with x p and x q put for the
resistances and x taken to 0, and the circuit redrawn.
Stands on `cases`, `redrawn`, `splits` and `solve`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations

from ...algebra.ratios import Field, Ratio
from ...circuit.circuit import Circuit, battery
from ...circuit.elements import Pass
from ...expressions.nodes import ZERO, Equation, Expr, Symbol, add, over, times
from ...expressions.said import Said, in_a_row, names
from ...expressions.tidy import tidy
from ...solve.exact import Solution, solve_posed
from .cases import Ending, keeping, split_words, without_limit
from .limit_of_ratio import LimitOutcome, Unbounded, limit_of, sign_of
from .limit_variables import (
    LimitQuantity,
    LimitVariable,
    at_zero,
    limit_variables,
    shares_with,
    with_own_symbol,
)
from .redrawn import ideal_path, sources_of
from .splits import CurrentSplit, loop_emf, share_symbols, split_of


@dataclass(frozen=True)
class JointCase:
    """Two resistances that vanish together as x p and x q with x to 0, and what the currents do.

    `shares`: element -> its symbol p or q; `factor`: the symbol x. `split`: how the currents then divide;
    where the emfs round the loop differ, the split that would hold once they are equal, which `if_equal`
    says.
    """

    variables: tuple[LimitVariable, LimitVariable]
    shares: Mapping[str, str]
    factor: str
    sources: tuple[str, ...]
    ending: Ending
    formula: Mapping[str, LimitOutcome]
    redrawn: Mapping[str, LimitOutcome]
    agree: bool
    split: CurrentSplit | None = None
    if_equal: Equation | None = None
    kept: tuple[str, ...] = ()

    @property
    def elements(self) -> tuple[str, str]:
        """The designators of the two elements."""
        return (self.variables[0].element, self.variables[1].element)

    @cached_property
    def sentence(self) -> Said:
        """The case told in words of the trade."""
        both = in_a_row([_named(s) for s in self.variables])
        head: Said = (*both, " to zero together", *keeping(self.kept), ": ", *names(self.sources))
        if self.ending is Ending.SPLIT_OPEN and self.split is not None:
            return (
                *head,
                " then stand side by side without resistance, and agree",
                *split_words(self.split),
                ".",
            )
        grown = {n: v.leading_term for n, v in self.redrawn.items() if isinstance(v, Unbounded)}
        drive = " drives" if len(self.sources) == 1 else " do not cancel round"
        rho, a, b = self.factor, *self.shares.values()
        body: Said = (
            *head,
            f"{drive} a loop that has no resistance left; with resistances ",
            times(Symbol(rho), Symbol(a)),
            " and ",
            times(Symbol(rho), Symbol(b)),
            ", as ",
            Symbol(rho),
            " goes to 0, ",
            *without_limit(grown),
        )
        if self.split is not None and self.if_equal is not None:
            body = (*body, ". If ", self.if_equal, ", they agree", *split_words(self.split))
        return (*body, ".")


def _named(variable: LimitVariable) -> Said:
    name = Symbol(variable.element)
    return (name,) if variable.quantity is LimitQuantity.RESISTANCE else ("the internal resistance of ", name)


def joint_cases(circuit: Circuit, solution: Solution | None = None, limit: int = 6) -> tuple[JointCase, ...]:
    """The joint cases of a well-posed circuit, those with more sources in the loop first; at most
    `limit`. Only pairs of which neither alone leaves a loop without resistance."""
    known = solution or solve_posed(circuit)
    found: list[tuple[int, _Pair]] = []
    resistances = [s for s in limit_variables(circuit) if s.is_resistance and _stands_alone(circuit, s)]
    for one, other in combinations(resistances, 2):
        pair = _pair(circuit, one, other)
        if pair is not None:
            found.append((-len(pair.sources), pair))
    chosen = sorted(found, key=lambda item: item[0])[:limit]
    return tuple(_case(circuit, known, pair) for _, pair in chosen)


@dataclass(frozen=True, slots=True)
class _Pair:
    one: LimitVariable
    other: LimitVariable
    loop: Mapping[str, int]
    sources: tuple[str, ...]


def _pair(circuit: Circuit, one: LimitVariable, other: LimitVariable) -> _Pair | None:
    """The two as a pair if together, but neither alone, they leave a source loop without resistance."""
    first, second = (circuit.branch_of(s.element).name for s in (one, other))
    if first == second or any(_closes_alone(circuit, name) for name in (first, second)):
        return None
    b = circuit.branch(first)
    path = ideal_path(circuit, b.end, b.start, first, also=second)
    if path is None or second not in path:
        return None
    loop = {first: 1, **path}
    sources = sources_of(circuit, [n for n in circuit.currents if n in loop])
    return _Pair(one, other, loop, sources) if sources else None


def _stands_alone(circuit: Circuit, variable: LimitVariable) -> bool:
    """Whether it is all the resistance of its branch, and no current source or gap stands there."""
    name = circuit.branch_of(variable.element).name
    internal = variable.quantity is LimitQuantity.INTERNAL
    own = circuit.internal_resistance(variable.element) if internal else circuit.value(variable.element)
    return circuit.fixed_current(name) is None and circuit.resistance(name) == own


def _closes_alone(circuit: Circuit, branch: str) -> bool:
    """Whether this branch without its resistance would close a loop of branches that have none."""
    b = circuit.branch(branch)
    return ideal_path(circuit, b.end, b.start, branch) is not None


def _case(circuit: Circuit, known: Solution, pair: _Pair) -> JointCase:
    own, first = with_own_symbol(circuit, pair.one)
    own, second = with_own_symbol(own, pair.other)
    currents = known.currents if own is circuit else solve_posed(own).currents
    branches = [own.branch_of(s.element).name for s in (pair.one, pair.other)]
    shares, factor, field = share_symbols(own, branches)
    a, b, rho = (field.symbol(name) for name in (*shares.values(), factor))
    put = dict(zip((first, second), shares.values(), strict=True))
    formula: dict[str, LimitOutcome] = {n: _nearing(c, put, rho) for n, c in currents.items()}

    emf = loop_emf(own, pair.loop)
    lost = times(Symbol(shares[branches[1]]), tidy(emf)), add(*(Symbol(letter) for letter in shares.values()))
    cut = _with_drop(at_zero(own, pair.other), branches[1], over(*lost), pair.loop[branches[1]])
    fresh = solve_posed(cut.opened(pair.one.element).worked_in(field)).currents
    at_rest = {n: fresh.get(n, field.zero) for n in own.currents}
    redrawn: dict[str, LimitOutcome] = dict(at_rest)
    by_element = dict(zip((pair.one.element, pair.other.element), shares.values(), strict=True))
    variables = (pair.one, pair.other)
    sharing = [n for v in variables for n in shares_with(circuit, v) if n not in by_element]
    kept = tuple(dict.fromkeys(sharing))
    if not emf:
        split = split_of(at_rest, pair.loop, shares, factor)
        redrawn |= split.currents
        agree = formula == redrawn
        return JointCase(
            variables,
            by_element,
            factor,
            pair.sources,
            Ending.SPLIT_OPEN,
            formula,
            redrawn,
            agree,
            split,
            kept=kept,
        )
    for name, sense in pair.loop.items():
        redrawn[name] = limit_of(emf.at({}, field) * sense / (rho * (a + b)), factor, "0")
    agree = formula == redrawn
    equal = _equal_when(emf)
    level, agreed = None, None
    if equal is not None:
        same = {equal[1]: field.symbol(equal[0])}
        level = split_of({n: v.at(same) for n, v in at_rest.items()}, pair.loop, shares, factor)
        agreed = Equation(Symbol(equal[0]), Symbol(equal[1]))
    return JointCase(
        variables,
        by_element,
        factor,
        pair.sources,
        Ending.UNBOUNDED,
        formula,
        redrawn,
        agree,
        level,
        agreed,
        kept,
    )


def _nearing(current: Ratio, shares: Mapping[str, str], rho: Ratio) -> Ratio | Unbounded:
    """What the current does with x times its share put for each of the two symbols, as x goes to 0.

    Of numerator and denominator only the terms of the lowest power of x, the lowest joint degree in
    the two symbols, are left.
    """
    field = rho.field
    if not current:
        return field.zero
    (above, high), (below, low) = (_lowest(current, shares, field, below=b) for b in (False, True))
    if high > low:
        return field.zero
    lead = above / below
    return lead if high == low else Unbounded(sign_of(lead), lead * rho ** (high - low))


def _lowest(current: Ratio, shares: Mapping[str, str], field: Field, *, below: bool) -> tuple[Ratio, int]:
    """The terms of lowest joint degree in the symbols, with their shares put for them, and that degree.

    `field` begins with the symbols of the current's own field, so that exponents keep their places.
    """
    more = (0,) * (len(field.symbols) - len(current.field.symbols))
    places = [(current.field.position(symbol), field.position(letter)) for symbol, letter in shares.items()]
    terms = current.terms(below=below)
    least = min(sum(e[i] for i, _ in places) for e, _ in terms)
    kept: dict[tuple[int, ...], int] = {}
    for exponents, coefficient in terms:
        if sum(exponents[i] for i, _ in places) == least:
            moved = [*exponents, *more]
            for i, k in places:
                moved[i], moved[k] = 0, exponents[i]
            kept[tuple(moved)] = kept.get(tuple(moved), 0) + coefficient
    return field.polynomial(kept), least


def _with_drop(circuit: Circuit, branch: str, lost: Expr, sense: int) -> Circuit:
    """The circuit with a battery in `branch` for the voltage that its vanishing resistance keeps: the
    current grows as 1/x, the resistance falls as x p, and their product stays finite."""
    if lost == ZERO:
        return circuit
    name = "\0lost"
    branches = tuple(
        replace(b, along=(*b.along, Pass(name, -sense))) if b.name == branch else b for b in circuit.branches
    )
    return replace(circuit, branches=branches, elements={**circuit.elements, name: battery(name, lost)})


def _equal_when(emf: Ratio) -> tuple[str, str] | None:
    """The two symbols whose equality makes the emf round the loop vanish, where it is their difference."""
    terms = emf.terms()
    if not emf.is_polynomial or sorted(c for _, c in terms) != [-1, 1]:
        return None
    held = emf.held()
    return (held[0], held[1]) if len(held) == 2 else None
