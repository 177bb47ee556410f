"""Loop currents: one equation for each independent loop, in currents that run all the way round.

The junction rule keeps itself, since what runs round a loop leaves every point that it enters; each branch
current is the sum of the loop currents through its branch. A current source lies in one loop alone, whose
current it fixes. Source: the method of loop currents (IEC 60050-131), in any textbook of circuits.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..algebra.linear import Linear
from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch
from ..derive.narrate import Teller
from ..derive.plan import DerivationPlan, find_plan
from ..derive.rules import collect, positive_first, put_in
from ..derive.search import reason_of
from ..derive.steps import Derivation, FigureNeed, Move
from ..expressions.nodes import ZERO, Equation, Expr, Negative, Symbol, add, negate
from ..expressions.said import Said, counted, in_a_row, names
from ..expressions.tidy import tidy
from ..graph.connections import shortest_way
from ..graph.lines import Loop
from ..laws.equations import LawEquation, drop, element_equations, loop_equation
from ..laws.laws import laws
from ..solve.exact import Solution
from ..solve.method_quantities import LoopCurrent, quantity_value
from .naming import loop_current_names, taken_names

METHOD = "loop currents"


@dataclass(frozen=True, slots=True)
class LoopChoice:
    """The loops that currents run round. `free`: those whose equations are written; `through`: for each
    branch whose current a source fixes the one loop through it."""

    free: tuple[Loop, ...]
    through: Mapping[str, Loop]

    @property
    def loops(self) -> tuple[Loop, ...]:
        """All of them, in the order in which they are numbered."""
        return (*self.free, *self.through.values())


def loop_choice(circuit: Circuit) -> LoopChoice | None:
    """The loops of the method; None where a current source has no way back but through another."""
    open_to_all = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
    through: dict[str, Loop] = {}
    for b in circuit.branches:
        if not circuit.fixed_current(b.name):
            continue
        back: Sequence[tuple[str, int]] | None = (
            shortest_way(open_to_all, b.end, b.start) if b.start != b.end else ()
        )
        if back is None:
            return None
        through[b.name] = ((b.name, 1), *back)
    return LoopChoice(tuple(law.loop for law in laws(circuit).loops), through)


def _way(lines: Sequence[Branch], start: str, end: str) -> Loop | None:
    """The shortest way from a point to another, none at all from a point to itself; None where there is
    no way."""
    found = shortest_way(lines, start, end) if start != end else ()
    return None if found is None else tuple(found)


def why_not(circuit: Circuit) -> str:
    """Why loop currents do not serve a circuit; empty where they do."""
    chosen = loop_choice(circuit)
    if chosen is None:
        return "a current source has no way back but through another current source"
    if len(chosen.loops) < 2:
        return "there are not two loops, so that a loop current would be a branch current under another name"
    return ""


@dataclass(frozen=True, slots=True)
class LoopSystem:
    """The loop equations of a circuit, told as far as they stand. `names`: the loop currents, `unknown` those
    that no source fixes; `meanings`: the loops they run round; `sums`: each branch current as the sum of loop
    currents that it is; `rows`: the equations; `lines`: their numbers."""

    teller: Teller
    names: tuple[str, ...]
    unknown: tuple[str, ...]
    meanings: Mapping[str, LoopCurrent]
    sums: Mapping[str, Expr]
    rows: tuple[Linear, ...]
    lines: tuple[int, ...]


def loop_system(solution: Solution, first: int, *, in_columns: bool = False) -> LoopSystem:
    """Writes the loop equations in loop currents, collected, numbered from `first`: with the sources on the
    left, or, `in_columns`, each loop current in its place on the left. The circuit must be one that the
    method serves."""
    circuit = solution.circuit
    chosen = loop_choice(circuit)
    if chosen is None:
        raise ValueError(why_not(circuit))
    loops = chosen.loops
    called = loop_current_names(circuit, len(loops))
    meanings = {name: LoopCurrent(loop, loops) for name, loop in zip(called, loops, strict=True)}
    unknown = called[: len(chosen.free)]
    values = {**solution.currents, **{n: quantity_value(solution, m) for n, m in meanings.items()}}
    teller = Teller(circuit, unknown, values, taken_names(circuit) | set(called), first, names_at_once=True)
    sums, forms = _sums(circuit, meanings)
    fixed = {law.branch: law for law in element_equations(circuit)}
    at_once: dict[str, Expr] = {}
    for name, branch in zip(called[len(chosen.free) :], chosen.through, strict=True):
        at_once[name] = fixed[branch].written.right
        why: Said = ("The current source in its loop fixes it: ", Equation(Symbol(branch), Symbol(name)))
        teller.conclude(Move.GIVEN, name, at_once[name], why, law=fixed[branch])
    rows: list[Linear] = []
    lines: list[int] = []
    for own, loop in zip(unknown, chosen.free, strict=True):
        law = loop_equation(circuit, loop)
        raw = put_in(put_in(law.written, sums), at_once)
        linear = _linear(law, forms, {n: values[n] for n in at_once})
        if in_columns:
            linear = linear * -1  # so that what a current drops in its own loop counts positive
            written = _in_columns(linear, unknown)
        else:
            written = collect(linear, (own, *(n for n in unknown if n != own)))
        held = [n for n in at_once if any(n in forms[b].coefficients for b, _ in loop)]
        put = (*in_a_row([(f"({teller.known[n]})",) for n in held]), " put in: ") if held else ()
        reason = reason_of(circuit, law)
        told: Said = (
            *reason[:-1],
            str(reason[-1]).rstrip("."),
            ": " if not put else "; ",
            *put,
            raw,
            "; collect.",
        )
        uses = tuple(teller.known[n] for n in held)
        lines.append(teller.state(law, written, linear, told, uses=uses, on_the_way=raw))
        rows.append(linear)
    return LoopSystem(teller, called, unknown, meanings, sums, tuple(rows), tuple(lines))


def by_loop_currents(solution: Solution, first: int = 1) -> Derivation:
    """The derivation by loop currents; its line numbers begin at `first`."""
    system = loop_system(solution, first)
    plan = find_plan(system.rows) if system.rows else DerivationPlan()
    if plan is None:
        raise LookupError("the equations do not fix the loop currents")
    system.teller.follow(plan.actions)
    system.teller.put_back()
    return finished(solution, system, METHOD, opening(solution.circuit, system))


def finished(
    solution: Solution,
    system: LoopSystem,
    method: str,
    told: tuple[Said, ...],
    names: Mapping[str, Ratio] | None = None,
) -> Derivation:
    """The branch currents as sums of the loop currents, which are known by now, and the whole. `names`: what
    was given a name on the way, where it is not a shared denominator alone."""
    circuit, teller = solution.circuit, system.teller
    fixed = {law.branch: law for law in element_equations(circuit) if law.written.right == ZERO}
    for name in circuit.currents:
        if name in fixed:
            teller.give(fixed[name], reason_of(circuit, fixed[name]))
            continue
        form = system.sums[name]
        reason: Said = (
            ("No loop current passes here",) if form == ZERO else ("The loop currents through the branch",)
        )
        teller.conclude(Move.LOOP_SUM, name, form, reason)
    values = {n: teller.values[n] for n in circuit.currents}
    named = names or ({teller.name: teller.named} if teller.named is not None else {})
    drawn = tuple((n, m.loop) for n, m in system.meanings.items())
    return Derivation(
        tuple(teller.steps),
        circuit.field,
        circuit.currents,
        values,
        named,
        method=method,
        meanings=system.meanings,
        opening=told,
        figures=(FigureNeed(circuit, teller.first, drawn),),
        together=system.unknown,
    )


def opening(circuit: Circuit, system: LoopSystem) -> tuple[Said, ...]:
    """What the loop currents are, and why so many equations are enough."""
    count = len(system.names)
    round_each: list[Said] = []
    for name, meaning in system.meanings.items():
        met = [p.element for branch, _ in meaning.loop for p in circuit.branch(branch).passes]
        round_each.append((Symbol(name), " through ", *names(met)))
    sums = [(Equation(Symbol(n), form),) for n, form in system.sums.items() if form != ZERO]
    unknown = len(system.unknown)
    enough = (
        f"{counted(unknown, 'loop current is', 'loop currents are').capitalize()} unknown, so "
        f"{counted(unknown, 'loop equation is', 'loop equations are')} enough: what runs round a loop leaves "
        "every point that it enters, so that the junction rule is kept by itself."
    )
    return (
        (
            f"{counted(count, 'current').capitalize()} that run all the way round stand for the branch "
            "currents: ",
            *in_a_row(round_each, last="; and "),
            ". Each branch current is the sum of the loop currents through it, counted positive along its "
            "arrow: ",
            *in_a_row(sums),
            ".",
        ),
        (enough,),
    )


def _sums(circuit: Circuit, meanings: Mapping[str, LoopCurrent]) -> tuple[dict[str, Expr], dict[str, Linear]]:
    """Each branch current as a sum of loop currents: as written, and as a linear form."""
    one, zero = circuit.field.one, circuit.field.zero
    written: dict[str, Expr] = {}
    forms: dict[str, Linear] = {}
    for b in circuit.branches:
        senses = {n: sense for n, m in meanings.items() for branch, sense in m.loop if branch == b.name}
        terms = [Symbol(n) if sense > 0 else Negative(Symbol(n)) for n, sense in senses.items()]
        written[b.name] = (
            negate(add(*(negate(t) for t in terms)))
            if terms and all(sense < 0 for sense in senses.values())
            else add(*positive_first(terms))
        )
        forms[b.name] = Linear({n: one * sense for n, sense in senses.items()}, zero)
    return written, forms


def _in_columns(row: Linear, order: Sequence[str]) -> Equation:
    """The equation with each unknown in its place on the left and what has none on the right."""
    terms: list[Expr] = []
    for name in order:
        if name in row.coefficients:
            shape = tidy(row.coefficients[name])
            body = drop(name, shape.body if isinstance(shape, Negative) else shape)
            terms.append(negate(body) if isinstance(shape, Negative) else body)
    return Equation(add(*terms), tidy(-row.constant))


def _linear(law: LawEquation, forms: Mapping[str, Linear], known: Mapping[str, Ratio]) -> Linear:
    """A law with each branch current replaced by its sum, and the loop currents known put in."""
    found = law.linear
    for branch, form in forms.items():
        found = found.put(branch, form)
    for name, value in known.items():
        found = found.put(name, Linear({}, value))
    return found
