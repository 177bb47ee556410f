"""Superposition: each source alone in the circuit, the others at rest, and then the sum of the parts.

The laws are linear in emfs and source currents, so that the currents that all sources make together are the
sums of those that each makes alone. Every part circuit is worked by series and parallel where one source
drives such parts, else by junction and loop equations. Source: the principle of superposition, H. von
Helmholtz, Annalen der Physik 89, 211, 1853 (from memory), in any textbook of circuits.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..algebra.ratios import Field, Ratio
from ..circuit.changed import sources_in, with_currents_called
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.names import listed
from ..derive.narrate import Teller
from ..derive.search import Onward, by_branch_currents
from ..derive.steps import ChangedLines, Derivation, FigureNeed, Move, Step
from ..expressions.nodes import Symbol, add
from ..expressions.said import Said, counted, in_a_row
from ..expressions.values import ratio_of
from ..solve.alone import SourcesAlone, each_alone
from ..solve.exact import Solution
from ..solve.method_quantities import MethodQuantity, PartCurrent
from .naming import primed_currents, taken_names

METHOD = "superposition"


def why_not(circuit: Circuit) -> str:
    """Why the method does not serve; empty where it does."""
    count = len(sources_in(circuit))
    return "" if count > 1 else f"there is {counted(count, 'source')}, which has nothing to be added to"


def by_superposition(solution: Solution, first: int = 1) -> Derivation:
    """The derivation by superposition; its line numbers begin at `first`."""
    circuit = solution.circuit
    onward = Onward(first, taken_names(circuit))
    steps: list[Step] = []
    changed: list[ChangedLines] = []
    figures: list[FigureNeed] = []
    meanings: dict[str, MethodQuantity] = {}
    values: dict[str, Ratio] = dict(solution.currents)
    named: dict[str, Ratio] = {}
    together: tuple[str, ...] = ()
    lines: dict[str, int] = {}
    called: list[dict[str, str]] = []
    for count, part in enumerate(each_alone(solution), 1):
        primed = primed_currents(circuit, count)
        worked = _worked(part, primed, onward)
        own = {primed[n]: v for n, v in part.currents.items()}
        changed.append(ChangedLines(onward.first, worked.steps[-1].number, part.sources, primed))
        figures.append(_figure(circuit, part, primed, onward.first))
        meanings |= {primed[n]: PartCurrent(n, part.sources) for n in circuit.currents}
        values |= own
        steps += worked.steps
        lines |= worked.lines
        called.append(primed)
        named |= worked.names
        together = max(together, worked.together, key=len)
        onward = _after(onward, worked, circuit.field)
    teller = Teller(
        circuit,
        circuit.currents,
        values,
        onward.taken | set(meanings),
        onward.first,
        known=dict(lines),
        name=onward.name,
        named=onward.named,
        name_line=onward.name_line,
    )
    for index, name in enumerate(circuit.currents):
        _add(teller, name, [primed[name] for primed in called], lines, is_first=index == 0)
    return Derivation(
        (*steps, *teller.steps),
        circuit.field,
        circuit.currents,
        dict(solution.currents),
        named,
        method=METHOD,
        meanings=meanings,
        opening=_opening(circuit, called),
        figures=tuple(figures),
        changed=tuple(changed),
        together=together,
    )


def _worked(part: SourcesAlone, primed: Mapping[str, str], onward: Onward) -> Derivation:
    """The part circuit worked, its currents under their own names."""
    circuit = with_currents_called(part.circuit, primed).worked_in(part.whole.field)
    own = {primed[name]: value for name, value in part.currents.items()}
    worked = by_branch_currents(
        Solution(circuit, own, part.solution.determinant),
        None,
        replace(onward, taken=onward.taken | set(own)),
    )
    at_rest = {primed[b.name]: b.name for b in part.whole.branches}
    steps = tuple(_with_own_reason(part, step, at_rest) for step in worked.steps)
    return replace(worked, steps=steps)


def _with_own_reason(part: SourcesAlone, step: Step, branch: Mapping[str, str]) -> Step:
    """A current that is none because a current source is at rest: the reason told of that source."""
    if step.move is not Move.GIVEN or step.law is None:
        return step
    whole = part.whole
    resting = [
        p.element
        for p in whole.branch(branch[step.law.branch]).passes
        if whole.elements[p.element].kind is Kind.CURRENT_SOURCE and p.element not in part.sources
    ]
    return replace(step, reason=(Symbol(resting[0]), " at rest is a gap: no current.")) if resting else step


def _after(onward: Onward, worked: Derivation, field: Field) -> Onward:
    """What the next part goes on from. A resistance made one keeps its name where it is made one again; a
    name by letters says nothing of what it stands for, and is not given again."""
    made, taken = dict(onward.made), set(onward.taken)
    name, named, line = onward.name, onward.named, onward.name_line
    for step in worked.steps:
        left = step.written.left
        if step.move is Move.MAKE_ONE and isinstance(left, Symbol):
            made[left.name] = ratio_of(step.written.right, field, made)
            taken.add(left.name)
        if step.move is Move.NAME and isinstance(left, Symbol):
            name, named, line = left.name, worked.names[left.name], step.number
            taken.add(name)
    return Onward(worked.steps[-1].number + 1, frozenset(taken), name, named, line, made=made)


def _add(teller: Teller, name: str, parts: list[str], lines: Mapping[str, int], *, is_first: bool) -> None:
    """The line that adds the parts of one current; parts that are nothing are left out of the sum."""
    live = [part for part in parts if teller.values[part]]
    idle = tuple(lines[part] for part in parts if part not in live)
    reason: Said = ("The sources together: the parts add up",) if is_first else ("The parts added",)
    teller.conclude(Move.ADD_PARTS, name, add(*(Symbol(part) for part in live)), reason, rests_on=idle)


def _figure(circuit: Circuit, part: SourcesAlone, primed: Mapping[str, str], before: int) -> FigureNeed:
    """The part circuit, branches that are cut left out of it, and what became of the sources at rest."""
    cut = [
        b.name
        for b in part.circuit.branches
        if any(part.circuit.elements[p.element].is_gap for p in b.passes)
    ]
    gaps = tuple(
        name
        for name in cut
        if any(circuit.elements[p.element].kind is Kind.CURRENT_SOURCE for p in circuit.branch(name).passes)
    )
    left = replace(part.circuit, branches=tuple(b for b in part.circuit.branches if b.name not in gaps))
    return FigureNeed(
        with_currents_called(left, primed), before, caption=_caption(circuit, part), like=circuit, gaps=gaps
    )


def _caption(circuit: Circuit, part: SourcesAlone) -> str:
    """Which sources are at work and what stands in the place of the others."""
    resting = [circuit.elements[n] for n in sources_in(circuit) if n not in part.sources]
    wires = [e.name for e in resting if e.kind is Kind.BATTERY]
    gaps = [e.name for e in resting if e.kind is Kind.CURRENT_SOURCE]
    told = [f"a wire in the place of {listed(wires)}"] if wires else []
    told += [f"a gap in the place of {listed(gaps)}"] if gaps else []
    inside = [e.name for e in resting if e.internal is not None]
    stays = f" The internal resistance of {listed(inside)} stays." if inside else ""
    return f"{listed(part.sources)} alone: {listed(told)}.{stays}"


def _opening(circuit: Circuit, called: list[dict[str, str]]) -> tuple[Said, ...]:
    """What is added to what, and what the primes mean."""
    first = circuit.currents[0]
    marked: list[Said] = [
        (Symbol(primed[first]), " is the part of ", Symbol(first), " that ", Symbol(source), " alone makes")
        for primed, source in zip(called, sources_in(circuit), strict=True)
    ]
    return (
        (
            "Each source is left alone in the circuit, the others at rest, and the currents so made are "
            "added: ",
            *in_a_row(marked),
            ", and so on, all counted along the same arrows.",
        ),
    )
