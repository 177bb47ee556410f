"""The way from junction and loop equations to every branch current, as a person would write it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from dataclasses import field as default
from fractions import Fraction
from itertools import combinations, islice

from ..algebra.linear import Linear, reduce_rows
from ..algebra.ratios import NUMBERS, Field, Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind, Pass
from ..expressions.nodes import Symbol
from ..expressions.said import Said, names
from ..expressions.terms import said_in_terms
from ..graph.lines import Loop
from ..graph.loops import simple_loops
from ..laws.equations import Law, LawEquation, junction_equation, loop_equation
from ..laws.laws import Laws, laws
from ..laws.loops import are_independent, default_loops, from_a_source, is_plain, length, points_of
from ..laws.symmetry import Alike, alike
from ..solve.exact import Solution
from .known_plans import KnownPlans
from .narrate import Teller
from .parts import reduction_of
from .plan import DerivationPlan, Shade, find_plan
from .reduction import CannotDivide, ReductionTeller
from .rules import with_given
from .steps import Derivation

LOOP_SETS = 4  # how many sets of loops are tried for the shorter way
POOL = 2  # how many loops beyond the number needed are looked at


@dataclass(frozen=True, slots=True)
class PlainNumbers:
    """A circuit with bare numbers for its values, solved. `unit_words`: in which units they are."""

    solution: Solution
    unit_words: str


def plain_numbers(circuit: Circuit, solution: Solution) -> PlainNumbers:
    """The circuit in the numbers of a working: volts, amperes and ohms, or volts, milliamperes and kilohms
    where these make the numbers handier. Every value must be given."""
    found = {n: v or Fraction(0) for n, v in solution.in_numbers.items()}
    milli = _is_small(circuit, found)
    values = {n: NUMBERS.number(v * (1000 if milli else 1)) for n, v in found.items()}
    plain = circuit.in_numbers(Fraction(1, 1000) if milli else Fraction(1))
    words = "volts, milliamperes and kilohms" if milli else "volts, amperes and ohms"
    return PlainNumbers(Solution(plain, values, NUMBERS.one), words)


@dataclass(frozen=True, slots=True)
class Onward:
    """What a derivation goes on from: the number of its `first` line, the names `taken` by then, and a
    denominator that has a `name` by then, with the number of the line that gave it. `by_symmetry`: whether
    equal parts may be told from symmetry; `made`: the resistances made one by then."""

    first: int = 1
    taken: frozenset[str] = frozenset()
    name: str = ""
    named: Ratio | None = None
    name_line: int = 0
    by_symmetry: bool = True
    made: Mapping[str, Ratio] = default(default_factory=dict)


def by_branch_currents(
    solution: Solution, like: Derivation | None = None, onward: Onward | None = None
) -> Derivation:
    """The derivation from junction and loop equations to every current, not judged yet. `solution`: of the
    circuit in symbols or in plain numbers. With `like`, a derivation in symbols, it starts from the same
    equations and counts its lines on from there; `onward`: what else it goes on from."""
    if onward is None:
        onward = Onward(like.written_lines + 1 if like else 1)
    return _derived(solution.circuit, solution.circuit.field, dict(solution.currents), like, onward)


def _teller(circuit: Circuit, values: Mapping[str, Ratio], onward: Onward) -> Teller:
    taken = frozenset((*circuit.symbols, *circuit.currents)) | onward.taken
    return Teller(
        circuit,
        circuit.currents,
        values,
        taken,
        onward.first,
        name=onward.name,
        named=onward.named,
        name_line=onward.name_line,
        made=onward.made,
    )


def lines_by_branch_currents(solution: Solution) -> int:
    """How many lines that derivation has. Without symmetry each current not known by then gets a line of its
    own in the end; these need not be written to be counted."""
    told = _led_on(solution.circuit, solution.circuit.field, dict(solution.currents), None, Onward())
    if isinstance(told, Derivation):
        return told.written_lines
    if not told.classes:
        return len(told.steps) + sum(name not in told.known for name in told.order)
    told.put_back()
    return len(told.steps)


def _derived(
    circuit: Circuit, field: Field, values: Mapping[str, Ratio], like: Derivation | None, onward: Onward
) -> Derivation:
    teller = _led_on(circuit, field, values, like, onward)
    if isinstance(teller, Derivation):
        return teller
    teller.put_back()
    names = {teller.name: teller.named} if teller.named is not None else {}
    free = tuple(n for n in circuit.currents if circuit.fixed_current(n) is None)
    return Derivation(tuple(teller.steps), field, circuit.currents, values, names, together=free)


def _led_on(
    circuit: Circuit, field: Field, values: Mapping[str, Ratio], like: Derivation | None, onward: Onward
) -> Derivation | Teller:
    """The derivation told as far as the plan leads, the other currents not found yet; or all of it where
    parts are made one."""
    known = laws(circuit)
    reduced = None if known.own_loops else _by_reduction(known, field, values, onward)
    if reduced is not None:
        return reduced
    classes = alike(circuit) if onward.by_symmetry and not known.own_loops else ()
    if like is not None:
        classes = tuple(s.group for s in like.steps if s.group is not None)
    given = _given_at_once(known, classes)
    if like is not None:
        chosen, plan = _same_equations(known, classes, like, given)
    else:
        chosen, plan = _with_symmetry(known, classes, given) if classes else _shortest(known, given)
    teller = _teller(circuit, values, onward)
    for law in given:
        teller.give(law, reason_of(circuit, law))
    teller.begin(classes, chosen, [reason_of(circuit, law) for law in chosen])
    teller.follow(plan.actions)
    return teller


def _by_reduction(
    known: Laws, field: Field, values: Mapping[str, Ratio], onward: Onward
) -> Derivation | None:
    """The derivation by making parts in series and side by side one; None where the circuit is not made of
    these."""
    circuit = known.circuit
    found = reduction_of(circuit)
    if found is None:
        return None
    teller = _teller(circuit, values, onward)
    try:
        ReductionTeller(teller, known.elements, in_numbers=not field.symbols).tell(
            found, {law.branch: reason_of(circuit, law) for law in known.elements}
        )
    except CannotDivide:
        return None
    names = {teller.name: teller.named} if teller.named is not None else {}
    return Derivation(tuple(teller.steps), field, circuit.currents, values, names)


def _given_at_once(known: Laws, classes: Sequence[Alike]) -> tuple[LawEquation, ...]:
    """The currents that elements fix, to be put into every equation as it is written; none where symmetry
    has its say on one of them."""
    said = {n for group in classes for n in (group.leader, *(n for n, _ in group.others))}
    return () if any(law.branch in said for law in known.elements) else known.elements


def _with_given(chosen: Iterable[LawEquation], given: Sequence[LawEquation]) -> tuple[LawEquation, ...]:
    """The laws with the currents given at once put in; those that give them left out."""
    return tuple(with_given(law, given) for law in chosen if law not in given)


def _same_equations(
    known: Laws, classes: Sequence[Alike], like: Derivation, given: Sequence[LawEquation]
) -> tuple[tuple[LawEquation, ...], DerivationPlan]:
    """The equations that `like`, another derivation of the circuit, starts from, written for this circuit;
    and the plan."""
    circuit = known.circuit
    fixed = {law.branch: law for law in known.elements}
    chosen = tuple(
        junction_equation(circuit, law.point)
        if law.law is Law.JUNCTION
        else loop_equation(circuit, law.loop)
        if law.law is Law.LOOP
        else fixed[law.branch]
        for law in like.laws
    )
    chosen = _with_given(chosen, given)
    equal = [e for group in classes for e in group.equations(circuit)]
    return chosen, _planned([*equal, *(law.linear for law in chosen)])


def _planned(lines: Sequence[Linear], shade: Shade | None = None) -> DerivationPlan:
    """The cheapest plan from these lines, by a thorough search."""
    plan = find_plan(lines, shade=shade) if lines else DerivationPlan()
    if plan is None:
        raise LookupError("the equations do not fix the currents")
    return plan


def _shortest(known: Laws, given: Sequence[LawEquation]) -> tuple[tuple[LawEquation, ...], DerivationPlan]:
    """The equations and the plan of the derivation with the least to write. Sets of loops about as short as
    the usual one are tried with a narrow search each; the best is then searched thoroughly."""
    circuit = known.circuit
    shade = Shade(circuit.field.symbols)
    offered = list(_loop_sets(known))
    sets = [_with_given((*known.independent_junctions, *known.elements, *loops), given) for loops in offered]
    lengths = [float(sum(length(circuit, law.loop) for law in loops)) for loops in offered]
    shadows = [[shade.row(law.linear) for law in laws] for laws in sets]
    plans = circuit.remembered_of_shape(KnownPlans)
    before = plans.recalled(shadows, lengths) if shade.numeric else None
    if before is not None:
        return sets[before.chosen], before.plan
    least, best = float("inf"), 0
    for at, (chosen, base) in enumerate(zip(sets, lengths, strict=True)):
        plan = find_plan([law.linear for law in chosen], 1, shade, least - base)
        if plan is not None and plan.cost + base < least:
            least, best = plan.cost + base, at
    thorough = _planned([law.linear for law in sets[best]], shade=shade)
    if shade.numeric:
        plans.keep(shadows, lengths, shade, best, thorough)
    return sets[best], thorough


def _with_symmetry(
    known: Laws, classes: Sequence[Alike], given: Sequence[LawEquation]
) -> tuple[tuple[LawEquation, ...], DerivationPlan]:
    """Those laws that say something new once symmetry has had its say, the shortest first; and the plan
    that starts from both."""
    circuit = known.circuit
    equal = [e for group in classes for e in group.equations(circuit)]
    offered = (*known.elements, *known.independent_junctions, *known.loops)
    reduction = reduce_rows([*equal, *(law.linear for law in offered)], circuit.currents)
    new = [reduction.combinations[len(equal) + i] is None for i in range(len(offered))]
    chosen = _with_given((law for law, is_new in zip(offered, new, strict=True) if is_new), given)
    return chosen, _planned([*equal, *(law.linear for law in chosen)])


def _loop_sets(known: Laws) -> Iterator[tuple[LawEquation, ...]]:
    """The usual set of loops first, then other independent sets of loops about as short; the person's own set
    is the only one."""
    yield known.loops
    if known.own_loops:
        return
    for loops in known.circuit.remembered_of_shape(_other_sets):
        yield tuple(loop_equation(known.circuit, loop) for loop in loops)


def _other_sets(circuit: Circuit) -> tuple[tuple[Loop, ...], ...]:
    """Independent sets of loops about as short as the usual one, the shortest first, as many as are tried."""
    usual = circuit.remembered_of_shape(default_loops)
    needed = len(usual)
    if not 2 <= needed <= 4:
        return ()
    pool = sorted(
        (loop for loop in simple_loops(circuit.branches, 200) if is_plain(circuit, loop)),
        key=lambda loop: (length(circuit, loop), len(loop)),
    )[: needed + POOL]
    sets = sorted(combinations(pool, needed), key=lambda s: sum(length(circuit, loop) for loop in s))
    others = (s for s in sets if not _same_sets(s, usual) and are_independent(s))
    return tuple(
        tuple(from_a_source(circuit, loop) for loop in loops) for loops in islice(others, LOOP_SETS - 1)
    )


def _same_sets(one: Sequence[Loop], other: Sequence[Loop]) -> bool:
    return {frozenset(n for n, _ in loop) for loop in one} == {
        frozenset(n for n, _ in loop) for loop in other
    }


def reason_of(circuit: Circuit, law: LawEquation) -> Said:
    """What law it is and where, in a sentence, in the terms wished for."""
    told = circuit.remembered_of_shape(_reasons)
    key = law.law, law.place
    if key not in told:
        told[key] = said_in_terms(_place_of(circuit, law), circuit.page.terms, circuit.own_words)
    return told[key]


def _reasons(circuit: Circuit) -> dict[tuple[Law, str], Said]:
    """The sentences told so far."""
    return {}


def _place_of(circuit: Circuit, law: LawEquation) -> Said:
    if law.law is Law.JUNCTION:
        return (f"Junction {law.point}: currents in = currents out.",)
    if law.law is Law.LOOP:
        met = [p.element for name, sense in law.loop for p in _passes(circuit, name, sense)]
        points = points_of(circuit, law.loop)
        path = (
            f"Loop from {' to '.join(points)} and back"
            if len(points) > 1
            else f"Round the loop from {points[0]}"
        )
        return (path, *((", through ", *names(met, last=", ")) if met else ()), ".")
    fixing = next(
        circuit.elements[p.element]
        for p in circuit.branch(law.branch).passes
        if circuit.elements[p.element].fixes_current
    )
    before, after = {
        Kind.CURRENT_SOURCE: ("The current source ", " fixes this current."),
        Kind.SWITCH: ("The switch ", " is open: no current."),
        Kind.VOLTMETER: ("The ideal voltmeter ", " carries no current."),
        Kind.CAPACITOR: ("The capacitor ", " carries no steady current."),
    }[fixing.kind]
    return (before, Symbol(fixing.name), after)


def _passes(circuit: Circuit, name: str, sense: int) -> list[Pass]:
    passes = list(circuit.branch(name).passes)
    return passes if sense > 0 else passes[::-1]


def _is_small(circuit: Circuit, currents: Mapping[str, Fraction]) -> bool:
    """Whether milliamperes and kilohms make the numbers handier."""
    resistances = [circuit.numbers[s] for s in circuit.symbols if circuit.role(s) is Kind.RESISTOR]
    greatest = max((abs(c) for c in currents.values()), default=Fraction(1))
    return greatest < Fraction(1, 10) and min(resistances, default=Fraction(0)) >= 100
