"""Node potentials: one point counts as zero, and at every other the currents balance, each by Ohm's law.

Points that a branch without resistance joins have one unknown between them: an ideal battery there says by
how much the one lies above the other, and its current drops out when their junction rules are added. Source:
the method of node potentials (IEC 60050-131), in any textbook of circuits.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ..algebra.linear import Linear
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..circuit.names import listed
from ..derive.narrate import Teller
from ..derive.plan import DerivationPlan, find_plan
from ..derive.rules import cleared, positive_first
from ..derive.search import reason_of
from ..derive.steps import Derivation, FigureNeed, Move
from ..expressions.nodes import ZERO, Equation, Expr, Negative, Symbol, add, negate, over
from ..expressions.said import Said, counted, in_a_row
from ..graph.connections import parts
from ..laws.equations import LawEquation, element_equations, junction_equation
from ..solve.exact import Solution
from ..solve.method_quantities import PointPotential, quantity_value
from .naming import free_names, taken_names

METHOD = "node potentials"


def why_not(circuit: Circuit) -> str:
    """Why node potentials do not serve a circuit; empty where they do."""
    free = _free(circuit)
    if all(b.start == b.end for b in free):
        return "no branch joins two points, so that there is no potential to find"
    return ""


@dataclass(slots=True)
class _PotentialTerms:
    """How the potential of every point is written. `levels`: as an expression and as a linear form, by point;
    `references`: the points that count as zero; `unknown`: the points whose potentials are solved for, with
    their names; `tied`: the points that branches without resistance join to another, with the names of their
    potentials; `lines`: the number of the line that gives a potential at the start."""

    levels: dict[str, tuple[Expr, Linear]] = field(default_factory=dict)
    references: list[str] = field(default_factory=list)
    lines: dict[str, int] = field(default_factory=dict)
    unknown: dict[str, str] = field(default_factory=dict)
    tied: dict[str, str] = field(default_factory=dict)


def by_node_potentials(solution: Solution, first: int = 1) -> Derivation:
    """The derivation by node potentials; its line numbers begin at `first`."""
    circuit = solution.circuit
    groups, written = _written(circuit)
    called = {**written.unknown, **written.tied}
    reference = {p: r for p, r in _references(circuit, written).items() if p in called}
    meanings = {name: PointPotential(point, reference[point]) for point, name in called.items()}
    values = {**solution.currents, **{n: quantity_value(solution, m) for n, m in meanings.items()}}
    unknown = tuple(written.unknown.values())
    teller = Teller(
        circuit, unknown, values, taken_names(circuit) | set(called.values()), first, names_at_once=True
    )
    for point, name in written.tied.items():
        if written.levels[point][1].coefficients:
            continue
        why: Said = (f"Only sources and wires lie between {point} and {reference[point]}",)
        teller.conclude(Move.BETWEEN, name, written.levels[point][0], why)
        written.lines[point] = teller.known[name]
    rows = []
    for point in written.unknown:
        law, line, linear, reason = _balance(circuit, groups[point], point, written)
        there = [b for b in circuit.branches if {b.start, b.end} & set(groups[point])]
        teller.state(law, line, linear, reason, uses=_put(written, there))
        rows.append(linear)
    plan = find_plan(rows) if rows else DerivationPlan()
    if plan is None:
        raise LookupError("the equations do not fix the potentials")
    teller.follow(plan.actions)
    teller.put_back()
    for point, name in written.tied.items():
        if written.levels[point][1].coefficients:
            why = (f"Only sources and wires lie between {point} and {_leader(groups[point], written)}",)
            teller.conclude(Move.BETWEEN, name, written.levels[point][0], why)
    _currents(circuit, teller, written)
    named = {teller.name: teller.named} if teller.named is not None else {}
    drawn = dict.fromkeys(written.references, "0") | called
    return Derivation(
        tuple(teller.steps),
        circuit.field,
        circuit.currents,
        {n: values[n] for n in circuit.currents},
        named,
        method=METHOD,
        meanings=meanings,
        opening=_opening(written),
        figures=(FigureNeed(circuit, first, levels=drawn),),
        together=unknown,
    )


# -- the potentials -------------------------------------------------------------------------------


def _free(circuit: Circuit) -> list[Branch]:
    return [b for b in circuit.branches if circuit.fixed_current(b.name) is None]


def _wires(circuit: Circuit) -> list[Branch]:
    """The branches without resistance, which fix what lies between their ends."""
    return [b for b in _free(circuit) if not circuit.resistance(b.name)]


def _written(circuit: Circuit) -> tuple[dict[str, tuple[str, ...]], _PotentialTerms]:
    """For each point the points that wires join it to, itself included; and how potentials are written."""
    wires = _wires(circuit)
    tied = parts(circuit.points, wires).groups()
    groups = {point: group for group in tied for point in group}
    written = _PotentialTerms()
    zeros = {_zero_of(circuit, part, groups) for part in parts(circuit.points, _free(circuit)).groups()}
    others = [p for p in circuit.points if p not in zeros]
    called = dict(zip(others, free_names(circuit, "V", others), strict=True))
    one, nought = circuit.field.one, circuit.field.zero
    for group in tied:
        leader = next((p for p in group if p in zeros), group[0])
        if leader in zeros:
            written.references.append(leader)
            written.levels[leader] = ZERO, Linear({}, nought)
        else:
            written.unknown[leader] = called[leader]
            written.levels[leader] = Symbol(called[leader]), Linear({called[leader]: one}, nought)
        _spread(circuit, wires, leader, called, written)
    return groups, written


def _zero_of(circuit: Circuit, part: Sequence[str], groups: Mapping[str, tuple[str, ...]]) -> str:
    """The point of a part that counts as zero: among the points that wires join to most others the one at
    which most branches end, and of several the one at the − terminal side of the first battery."""
    ends = [p for b in circuit.branches for p in (b.start, b.end)]
    returns = [
        b.start if p.sign > 0 else b.end
        for b in circuit.branches
        for p in b.passes
        if circuit.elements[p.element].kind is Kind.BATTERY
    ]
    back = next((p for p in returns if p in part), part[-1])
    return max(part, key=lambda p: (len(groups[p]), ends.count(p), p == back))


def _spread(
    circuit: Circuit,
    wires: Sequence[Branch],
    leader: str,
    called: Mapping[str, str],
    written: _PotentialTerms,
) -> None:
    """Writes the potentials of the points that wires join to `leader`, going out from it."""
    waiting = [leader]
    for point in waiting:
        level, form = written.levels[point]
        for b in wires:
            if point not in (b.start, b.end):
                continue
            to, sense = (b.end, 1) if point == b.start else (b.start, -1)
            if to in written.levels:
                continue
            rises = _rises(circuit, b, sense)
            rise = Linear({}, circuit.rise(b.name) * sense)
            written.levels[to] = add(*positive_first([level, *rises])), form + rise
            written.tied[to] = called[to]
            waiting.append(to)


def _rises(circuit: Circuit, branch: Branch, sense: int = 1) -> list[Expr]:
    """The emfs along a branch, rises positive, in the order in which the arrow (or, with −1, the way against
    it) meets them."""
    met = [(circuit.elements[p.element], p.sign * sense) for p in branch.passes]
    return [e.value if sign > 0 else negate(e.value) for e, sign in met if e.kind is Kind.BATTERY]


def _references(circuit: Circuit, written: _PotentialTerms) -> dict[str, str]:
    """For each point the one that counts as zero in its part."""
    joined = parts(circuit.points, _free(circuit))
    return {p: next(r for r in written.references if joined.joined(p, r)) for p in circuit.points}


def _leader(group: Sequence[str], written: _PotentialTerms) -> str:
    return next(p for p in group if p in written.unknown)


# -- the equations --------------------------------------------------------------------------------


def _current(circuit: Circuit, b: Branch, written: _PotentialTerms) -> tuple[Expr, Linear]:
    """The current of a branch with resistance by Ohm's law: what drops between its ends and rises along it,
    over its resistance."""
    (start, form), (end, other) = written.levels[b.start], written.levels[b.end]
    terms = [*_terms(start), *(negate(t) for t in _terms(end)), *_rises(circuit, b)]
    below = add(*_resistances(circuit, b))
    linear = (form - other + Linear({}, circuit.rise(b.name))) * (1 / circuit.resistance(b.name))
    if b.start == b.end:
        terms = _rises(circuit, b)
    above = _signed(terms)
    return over(above, below), linear


def _terms(level: Expr) -> tuple[Expr, ...]:
    return tuple(t for t in (getattr(level, "terms", None) or (level,)) if t != ZERO)


def _signed(terms: Sequence[Expr]) -> Expr:
    """The sum with what is added first; where all is subtracted, minus the sum."""
    kept = _cancelled(terms)
    if kept and all(isinstance(t, Negative) for t in kept):
        return negate(add(*(negate(t) for t in kept)))
    return add(*positive_first(kept))


def _cancelled(terms: Sequence[Expr]) -> list[Expr]:
    """The terms without those that stand there with both signs."""
    kept: list[Expr] = []
    for term in terms:
        if negate(term) in kept:
            kept.remove(negate(term))
        else:
            kept.append(term)
    return kept


def _resistances(circuit: Circuit, branch: Branch) -> list[Expr]:
    met = [circuit.elements[p.element] for p in branch.passes]
    own = [e.value if e.kind is Kind.RESISTOR else e.internal for e in met]
    return [value for value in own if value is not None]


def _balance(
    circuit: Circuit, group: Sequence[str], point: str, written: _PotentialTerms
) -> tuple[LawEquation, Equation, Linear, Said]:
    """The junction rule of the points that wires join, each current by Ohm's law: the law, as it is written,
    as a linear form, and the sentence."""
    law = junction_equation(circuit, point)
    fixed = {e.branch: e for e in element_equations(circuit)}
    sides: dict[int, list[Expr]] = {1: [], -1: []}
    total = Linear({}, circuit.field.zero)
    currents: dict[int, list[Expr]] = {1: [], -1: []}
    for b in circuit.branches:
        sense = (b.end in group) - (b.start in group)
        if not sense:
            continue
        if b.name in fixed:
            form = fixed[b.name].written.right
            linear = Linear({}, -fixed[b.name].linear.constant)
        else:
            form, linear = _current(circuit, b, written)
        if form == ZERO:
            continue
        currents[sense].append(Symbol(b.name))
        total = total + linear * sense
        side = -sense if isinstance(form, Negative) else sense
        sides[side].append(form.body if isinstance(form, Negative) else form)
    into, out = (sides[1], sides[-1]) if sides[1] else (sides[-1], sides[1])
    flow = (
        Equation(add(*currents[1]), add(*currents[-1]))
        if currents[1]
        else Equation(add(*currents[-1]), add(*currents[1]))
    )
    where = f"Junction {point}" if len(group) == 1 else f"Junctions {listed(group)} together"
    reason: Said = (f"{where}: ", flow, ", each current by Ohm's law.")
    return law, Equation(add(*into), add(*out)), cleared(total), reason


# -- the currents ---------------------------------------------------------------------------------


def _currents(circuit: Circuit, teller: Teller, written: _PotentialTerms) -> None:
    """Every branch current: given by an element, by Ohm's law, or by the junction rule where there is no
    resistance."""
    fixed = {law.branch: law for law in element_equations(circuit)}
    wires = [b.name for b in _wires(circuit)]
    for b in circuit.branches:
        if b.name in fixed:
            teller.give(fixed[b.name], reason_of(circuit, fixed[b.name]))
        elif b.name not in wires:
            form, _ = _current(circuit, b, written)
            where = f" from {b.start} to {b.end}" if b.start != b.end else f" round the loop at {b.start}"
            teller.conclude(Move.OHM, b.name, form, (f"Ohm's law{where}",), _put(written, [b]))
    while wires:
        law, name = _next_wire(circuit, wires)
        into = {b.name: (b.end == law.point) - (b.start == law.point) for b in circuit.branches}
        others = [
            Symbol(n) if s == -into[name] else Negative(Symbol(n)) for n, s in into.items() if s and n != name
        ]
        by = (
            add(*positive_first(others))
            if any(not isinstance(t, Negative) for t in others)
            else _signed(others)
        )
        teller.conclude(Move.JUNCTION, name, by, (f"Junction {law.point}",), law=law)
        wires.remove(name)


def _next_wire(circuit: Circuit, wires: Sequence[str]) -> tuple[LawEquation, str]:
    """A junction at which just one current is still unknown, and that current."""
    for point in circuit.points:
        open_here = [
            n for n in wires if (circuit.branch(n).start == point) != (circuit.branch(n).end == point)
        ]
        if len(open_here) == 1:
            return junction_equation(circuit, point), open_here[0]
    raise LookupError("a loop without resistance")


def _put(written: _PotentialTerms, branches: Sequence[Branch]) -> tuple[int, ...]:
    """The lines that give potentials at the ends of these branches."""
    ends = [point for b in branches if b.start != b.end for point in (b.start, b.end)]
    return tuple(dict.fromkeys(written.lines[point] for point in ends if point in written.lines))


def _opening(written: _PotentialTerms) -> tuple[Said, ...]:
    """What the potentials are, and why so many equations are enough."""
    zeros = listed(written.references)
    lead = f"The potential of {zeros} counts as zero"
    unknown: Said = (
        (
            "; the unknown is " if len(written.unknown) == 1 else "; the unknowns are ",
            *in_a_row([(Symbol(name), f" at {point}") for point, name in written.unknown.items()]),
        )
        if written.unknown
        else ("; nothing else is unknown",)
    )
    ties: Said = ()
    if written.tied:
        told = [(Equation(Symbol(name), written.levels[p][0]),) for p, name in written.tied.items()]
        ties = (" Branches without resistance hold ", *in_a_row(told), ".")
    count = len(written.unknown)
    enough = (
        f"{counted(count, 'equation is', 'equations are').capitalize()} enough: at each of these points as "
        "much current arrives as leaves. The current of a branch follows from the potentials at its ends by "
        "Ohm's law: their difference along the arrow, with the rises on the way, over the resistance."
    )
    return ((lead, *unknown, ".", *ties), (enough,))
