"""The laws of a circuit in what a working goes on in: branch currents, loop currents or potentials.

Each function gives the unknowns with what they come to, the laws that may be added, and how every branch
current is written in the unknowns; None where the working's quantities do not serve for that.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice

from ..algebra.linear import Linear
from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..derive.rules import collect, positive_first, put_in
from ..derive.search import reason_of
from ..derive.steps import Move
from ..expressions.nodes import ZERO, Equation, Expr, Negative, Symbol, add, negate, over
from ..expressions.said import Said, names
from ..expressions.tidy import tidy
from ..graph.lines import Loop, same_loop
from ..graph.loops import simple_loops
from ..laws.equations import Law, LawEquation, element_equations, junction_equation, loop_equation
from ..laws.laws import laws
from ..laws.loops import from_a_source, is_plain, length
from ..reading.verdicts import ClaimKind
from .going_on import LawInNames
from .stages import Stage, as_loop_currents, stage
from .whereabouts import Whereabouts

MOST_LOOPS = 12  # loops that are offered, the shortest


@dataclass(frozen=True, slots=True)
class Ground:
    """What a working goes on in. `method`: its name; `own`: the circuit; `unknown`: what is solved for;
    `values`: what these and the branch currents come to; `laws`: what may be added; `currents`: each branch
    current in the unknowns, by the move that says so; empty where they are the unknowns. `new`: quantities
    that are named here, as sums of unknowns of the circuit; `heading`: what is said of these; `last`:
    laws that give the branch currents that are not written in the unknowns."""

    method: str
    own: Stage
    unknown: tuple[str, ...]
    values: Mapping[str, Ratio]
    laws: tuple[LawInNames, ...]
    currents: Mapping[str, Expr]
    move: Move = Move.LOOP_SUM
    new: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    heading: str = ""
    last: tuple[LawInNames, ...] = ()


def in_branch_currents(own: Stage) -> Ground:
    """The branch currents themselves."""
    circuit = own.circuit
    pairs = [(law, _in_letters(own, law)) for law in _every_law(circuit, plain_loops(circuit))]
    offered = tuple(
        LawInNames(law, law.written, law.linear, reason_of(circuit, law), letters.written)
        for law, letters in pairs
    )
    return Ground("branch currents", own, circuit.currents, own.values, offered, {})


def plain_loops(circuit: Circuit) -> list[Loop]:
    """The usual loops of a circuit and the shortest others, each begun at a source."""
    usual = [law.loop for law in laws(circuit).loops]
    others = [x for x in islice(simple_loops(circuit.branches), 400) if is_plain(circuit, x)]
    others.sort(key=lambda x: (length(circuit, x), len(x)))
    more = [x for x in others if not any(same_loop(x, y) for y in usual)]
    return [*usual, *(from_a_source(circuit, x) for x in more[:MOST_LOOPS])]


def _every_law(circuit: Circuit, loops: Sequence[Loop]) -> list[LawEquation]:
    return [
        *element_equations(circuit),
        *laws(circuit).independent_junctions,
        *(loop_equation(circuit, loop) for loop in loops),
    ]


def _in_letters(own: Stage, law: LawEquation) -> LawEquation:
    """The same law with letters for the values."""
    if law.law is Law.JUNCTION:
        return junction_equation(own.letters, law.point)
    if law.law is Law.LOOP:
        return loop_equation(own.letters, law.loop)
    return next(e for e in element_equations(own.letters) if e.branch == law.branch)


# -- loop currents ---------------------------------------------------------------------------------


def loop_names(w: Whereabouts) -> tuple[str, ...]:
    """The names of the working that are those of loop currents: said to be, or because each is a sum of
    branch currents, or because the equations are loop equations in as many own names as there are loops."""
    drawn = {n: made for n, made in w.quantities.items() if all(not w.meanings.home[k][1] for k in made)}
    currents = [n for n, made in drawn.items() if "(" not in n and not any(k[0] == "φ" for k in made)]
    said = {name for line in w.reading.working.lines for name in line.round_loops}
    said |= {loop.name for line in w.reading.working.lines for loop in line.loops}
    found = tuple(n for n in currents if n in said or len(drawn[n]) > 1)
    needed = laws(w.reading.circuit).loops_needed
    if len(found) >= needed:
        return found
    junctions = any(v.kind is ClaimKind.JUNCTION for v in w.reading.verdicts)
    held = dict.fromkeys(
        n for line in w.lines if len(line.linear.coefficients) > 1 for n in line.linear.coefficients
    )
    own = tuple(n for n in held if n in currents and n not in w.reading.circuit.currents)
    if found:
        both = tuple(n for n in currents if n in found or n in own)
        return both if len(both) == needed else found
    first = next((line for line in w.lines), None)
    begun = first is not None and set(first.linear.coefficients) <= set(own)
    return own if begun and not junctions and len(own) == needed > 1 else ()


def in_loop_currents(w: Whereabouts) -> Ground | None:
    """The loop currents that the working speaks of."""
    loops = loop_names(w)
    if not loops:
        return None
    own = stage(w, avoid=loops)
    forms = as_loop_currents(own, {n: w.quantities[n] for n in loops})
    if forms is None:
        return None
    circuit = own.circuit
    sums = {name: _sum(form) for name, form in forms.items()}
    rounds = [
        _round(circuit, {b: f.coefficients[n] for b, f in forms.items() if n in f.coefficients})
        for n in loops
    ]
    chosen = [x for x in rounds if x is not None and is_plain(circuit, x)]
    around = chosen if len(chosen) == len(loops) else plain_loops(circuit)
    offered: list[LawInNames] = []
    for law in (*element_equations(circuit), *(loop_equation(circuit, x) for x in around)):
        linear = law.linear
        for name, form in forms.items():
            linear = linear.put(name, form)
        raw = put_in(law.written, sums)
        letters = put_in(_in_letters(own, law).written, sums)
        offered.append(LawInNames(law, raw, linear, reason_of(circuit, law), letters, collect(linear, loops)))
    values = {**own.values, **{n: w.values[n] for n in loops}}
    return Ground("loop currents", own, loops, values, tuple(offered), sums)


def _sum(form: Linear) -> Expr:
    """A branch current as loop currents added and subtracted, one that is added first."""
    terms = [
        Symbol(n) if (c.constant() or 0) > 0 else Negative(Symbol(n)) for n, c in form.coefficients.items()
    ]
    if terms and all(isinstance(t, Negative) for t in terms):
        return negate(add(*(negate(t) for t in terms)))
    return add(*positive_first(terms))


def _round(circuit: Circuit, senses: Mapping[str, Ratio]) -> Loop | None:
    """The loop that a loop current runs round, by the senses in which it passes the branches."""
    wanted = {b: 1 if (c.constant() or 0) > 0 else -1 for b, c in senses.items()}
    for loop in islice(simple_loops(circuit.branches), 400):
        if dict(loop) == wanted or {b: -s for b, s in loop} == wanted:
            return from_a_source(circuit, loop)
    return None


# -- potentials ------------------------------------------------------------------------------------


def in_potentials(w: Whereabouts) -> Ground | None:
    """The potentials that the working speaks of, against one point; those that it has not named get a name
    like the others. A battery alone ties two potentials, and Ohm's law says nothing of what flows through it:
    that is told by a junction at the end, or is an unknown beside them where it is needed before."""
    own = stage(w)
    circuit = own.circuit
    bare = [b for b in circuit.branches if _is_bare(circuit, b)]
    named = _levels(w, circuit)
    if named is None:
        return None
    reference, names, values = named
    levels: dict[str, Expr] = {reference: ZERO, **{p: Symbol(n) for p, n in names.items()}}
    one, zero = circuit.field.one, circuit.field.zero
    lines = {reference: Linear({}, zero), **{p: Linear({n: one}, zero) for p, n in names.items()}}
    with_ohms = [b for b in circuit.branches if b not in bare]
    sums = {b.name: _through(circuit, b, levels) for b in with_ohms}
    lettered = {b.name: _through(own.letters, own.letters.branch(b.name), levels) for b in with_ohms}
    forms = {b.name: _form(circuit, b, lines) for b in with_ohms}
    offered = [_tied(own, b, levels, lines) for b in bare]
    at_bare = {point for b in bare for point in (b.start, b.end)}
    free = [point for point in names if point not in at_bare]
    afterwards = len(offered) + len(free) == len(names)  # the others are tied to the one that counts as zero
    unknown = (*names.values(), *(() if afterwards else (b.name for b in bare)))
    for point in free if afterwards else names:
        law = junction_equation(circuit, point)
        linear = law.linear
        for name, form in forms.items():
            linear = linear.put(name, form)
        raw = put_in(law.written, sums)
        letters = put_in(_in_letters(own, law).written, lettered)
        collected = collect(linear, unknown)
        offered.append(LawInNames(law, raw, linear, reason_of(circuit, law), letters, collected))
    new = {n: {f"φ {p}": 1, f"φ {reference}": -1} for p, n in names.items() if n not in w.quantities}
    said = ", ".join(f"{n} at {p}" for p, n in names.items() if n in new)
    heading = f"Take {reference} as zero; the potentials: {said}." if new else ""
    values = {**own.values, **values}
    last = tuple(law for law in in_branch_currents(own).laws if bare and law.law.law is Law.JUNCTION)
    return Ground("node potentials", own, unknown, values, tuple(offered), sums, Move.OHM, new, heading, last)


def _is_bare(circuit: Circuit, b: Branch) -> bool:
    """Whether a branch has no resistance, so that its current is told by no voltage."""
    return circuit.fixed_current(b.name) is None and not circuit.resistance(b.name)


def _tied(own: Stage, b: Branch, levels: Mapping[str, Expr], lines: Mapping[str, Linear]) -> LawInNames:
    """What a branch without resistance says of the potentials at its ends: they differ by its emf."""
    written = _difference(own.circuit, b, levels)
    letters = _difference(own.letters, own.letters.branch(b.name), levels)
    linear = lines[b.end] - lines[b.start] - Linear({}, own.circuit.rise(b.name))
    law = LawEquation(Law.ELEMENT, written, linear, branch=b.name)
    met = names([p.element for p in b.passes])
    reason: Said = ("Only ", *met, f" lies between {b.start} and {b.end}, without a resistance.")
    return LawInNames(law, written, linear, reason, letters)


def _difference(circuit: Circuit, b: Branch, levels: Mapping[str, Expr]) -> Equation:
    """The potentials at the ends of a branch without resistance, and the emf between them."""
    met = [(circuit.elements[p.element], p.sign) for p in b.passes]
    rise = add(*(e.value if sign > 0 else negate(e.value) for e, sign in met if e.kind is Kind.BATTERY))
    above = add(*positive_first([levels[b.end], negate(levels[b.start])]))
    if isinstance(above, Negative):
        return Equation(above.body, negate(rise))
    return Equation(above, rise)


def _levels(w: Whereabouts, circuit: Circuit) -> tuple[str, dict[str, str], dict[str, Ratio]] | None:
    """The point that counts as zero, the names of the potentials by point, and what they come to."""
    pairs: dict[str, tuple[str, str]] = {}
    for name, made in w.quantities.items():
        if len(made) == 2 and all(k.startswith("φ ") for k in made) and "(" not in name:
            up = next(k for k, x in made.items() if x > 0).removeprefix("φ ")
            down = next((k for k, x in made.items() if x < 0), "").removeprefix("φ ")
            if down and {up, down} <= set(circuit.points):
                pairs.setdefault(name, (up, down))
    if not pairs:
        return None
    downs = list(dict.fromkeys(down for _, down in pairs.values()))
    if len(downs) != 1:
        return None
    reference = downs[0]
    names: dict[str, str] = {}
    for name, (up, _) in pairs.items():
        names.setdefault(up, name)
    sample = next(iter(names.items()))
    values = {n: w.values[n] for n in names.values()}
    taken = set(w.taken)
    for point in circuit.points:
        if point == reference or point in names:
            continue
        name = _like(sample, point)
        while name in taken:
            name += "′"
        taken.add(name)
        names[point] = name
        true = w.meanings.true
        values[name] = true[f"φ {point}"] - true[f"φ {reference}"]
    return reference, {p: names[p] for p in circuit.points if p in names}, values


def _like(sample: tuple[str, str], point: str) -> str:
    """A name for a potential made like another: VQ after VP at P."""
    at, name = sample
    head = name.removesuffix(at) if name.endswith(at) and name != at else name[:1]
    return head + point


def _through(circuit: Circuit, b: Branch, levels: Mapping[str, Expr]) -> Expr:
    """The current of a branch by Ohm's law: what drops between its ends and rises along it, over its
    resistance."""
    fixed = circuit.fixed_current(b.name)
    if fixed is not None:
        return tidy(fixed)
    met = [(circuit.elements[p.element], p.sign) for p in b.passes]
    rises = [e.value if sign > 0 else negate(e.value) for e, sign in met if e.kind is Kind.BATTERY]
    sides = [levels[b.start], negate(levels[b.end])]
    above = add(*positive_first([*sides, *rises]))
    below = [e.value for e, _ in met if e.kind is Kind.RESISTOR]
    inside = [e.internal for e, _ in met if e.internal is not None]
    if isinstance(above, Negative):
        return negate(over(above.body, add(*below, *inside)))
    return over(above, add(*below, *inside))


def _form(circuit: Circuit, b: Branch, levels: Mapping[str, Linear]) -> Linear:
    fixed = circuit.fixed_current(b.name)
    if fixed is not None:
        return Linear({}, fixed)
    rise = Linear({}, circuit.rise(b.name))
    return (levels[b.start] - levels[b.end] + rise) * (1 / circuit.resistance(b.name))
