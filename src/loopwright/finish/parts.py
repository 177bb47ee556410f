"""Superposition gone on with: the parts that are still open, each source alone, and then the sums."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ..circuit.changed import sources_in
from ..circuit.names import listed
from ..derive.steps import Move
from ..expressions.nodes import Negative, Symbol, add
from ..expressions.said import Said
from ..reading.truth.changed import each_alone, part
from ..reading.working import AS_DRAWN, CircuitChange
from .by_ohm import OhmTeller
from .by_reduction import by_reduction
from .finished import Fact, FactKind, FinishedLine, Lacking
from .going_on import Rest, begin, one_by_one, solve_on
from .lines import line_of
from .stages import Stage, stage
from .unknowns import Ground, in_branch_currents
from .whereabouts import Whereabouts


def speaks_of_parts(w: Whereabouts) -> bool:
    """Whether the working takes the sources one at a time."""
    alone = each_alone(w.reading.circuit)
    said = {line.setting for line in w.reading.working.lines}
    return bool(alone) and bool(said & set(alone) or any(w.names_in(setting) for setting in alone))


def by_parts(w: Whereabouts) -> tuple[list[FinishedLine], Rest, Ground]:
    """The lines that give the open parts and add them, for every branch; what gives the sums, and what it
    stands on. Raises LookupError where the parts cannot be found so."""
    circuit = w.reading.circuit
    lines: list[FinishedLine] = []
    known = dict(w.known)
    new: dict[str, Mapping[str, int]] = {}
    stages: list[Stage] = []
    now = w.reading.working.lines[-1].setting if w.reading.working.lines else AS_DRAWN
    taken: set[str] = set()
    for setting in each_alone(circuit):
        own = stage(w, setting, taken, _mark(w, setting))
        stages.append(own)
        taken |= {name for name, _ in own.called.values()}
        new |= {
            name: {part(branch, setting): sign}
            for branch, (name, sign) in own.called.items()
            if name not in w.quantities
        }
        if all(name in known for name, _ in own.called.values()):
            continue
        first = w.last + 1 + len(lines)
        teller = _made_one(w, own, first, known)
        if teller is not None:
            lines += _below(w, teller.lines, setting, now)
            now = setting if teller.lines else now
            known |= teller.known
            continue
        ground = in_branch_currents(own)
        rest = begin(own.circuit, ground.unknown, ground.values, w.taken | taken, first, known)
        one_by_one(rest, ground.laws)
        inside = [x for x in w.lines if set(x.linear.coefficients) <= set(ground.unknown)]
        solve_on(rest, inside, ground.laws)
        made = [line_of(w, ground, rest, step) for step in rest.teller.steps]
        lines += _below(w, made, setting, now)
        now = setting if made else now
        known |= {name: rest.teller.known[name] for name, _ in own.called.values()}
    whole = stage(w, AS_DRAWN, taken)
    values = {**whole.values}
    for own in stages:
        values |= own.values
    rest = begin(
        whole.circuit, whole.circuit.currents, values, w.taken | taken, w.last + 1 + len(lines), known
    )
    for branch, (name, sign) in whole.called.items():
        if name in known:
            continue
        parts = [(own.called[branch][0], own.called[branch][1] * sign) for own in stages]
        form = add(*(Symbol(n) if s > 0 else Negative(Symbol(n)) for n, s in parts))
        rest.teller.conclude(Move.ADD_PARTS, name, form, ("The parts added",))
    ground = Ground("superposition", whole, whole.circuit.currents, values, (), {}, Move.ADD_PARTS, new)
    return lines, rest, ground


def _made_one(w: Whereabouts, own: Stage, first: int, known: Mapping[str, int]) -> OhmTeller | None:
    """The lines that give the currents of a part with resistances made one and currents shared out; None
    where the circuit is not of that kind, or the working writes equations for any part."""
    alone = {name for setting in each_alone(w.reading.circuit) for name in w.names_in(setting)}
    if any(len(x.linear.coefficients) > 1 and alone.issuperset(x.linear.coefficients) for x in w.lines):
        return None
    teller = OhmTeller(w, own, first, known)
    try:
        by_reduction(w, teller)
    except LookupError:
        return None
    return teller if all(name in teller.known for name, _ in own.called.values()) else None


def _below(
    w: Whereabouts, made: list[FinishedLine], setting: CircuitChange, now: CircuitChange
) -> list[FinishedLine]:
    """Lines of a part, the first with its heading where the working does not stand in that part."""
    if not made or setting == now:
        return made
    return [_headed(w, made[0], setting, begun=bool(w.names_in(setting))), *made[1:]]


def added(w: Whereabouts, before: Sequence[FinishedLine], rest: Rest, ground: Ground) -> list[FinishedLine]:
    """The sums as lines, with what they rest on: in letters all that the parts come from (`before`)."""
    uses = {line.number: line.uses for line in before}
    back = {name: branch for branch, (name, _) in ground.own.called.items()}
    found: list[FinishedLine] = []
    for step in rest.teller.steps:
        line = line_of(w, ground, rest, step)
        if step.move is Move.ADD_PARTS:
            where: Said = ("Add the parts of ", Symbol(step.solves), ".")
            facts = (Fact(FactKind.PARTS, back[step.solves]),)
            line = line.with_told(Lacking.PARTS, where, facts)
            line = line if w.in_numbers else replace(line, uses=_all_used(line.uses, uses))
        found.append(line)
    if found and w.reading.working.lines and found[0].lacking is Lacking.PARTS:
        found[0] = found[0].with_heading("Together:")
    return found


def _all_used(numbers: Sequence[int], uses: Mapping[int, Sequence[int]]) -> tuple[int, ...]:
    """Some lines and every line that they were worked from."""
    found: dict[int, None] = {}
    waiting = list(numbers)
    while waiting:
        number = waiting.pop()
        if number not in found:
            found[number] = None
            waiting.extend(uses.get(number, ()))
    return tuple(sorted(found))


def _headed(w: Whereabouts, line: FinishedLine, setting: CircuitChange, *, begun: bool) -> FinishedLine:
    at_work = [name for name in sources_in(w.reading.circuit) if name not in setting.at_zero]
    line = line.with_heading(f"{listed(at_work)} alone:")
    return line if begun else line.with_told(Lacking.ALONE, line.where, line.facts)


def _mark(w: Whereabouts, setting: CircuitChange) -> str:
    """What parts in a circuit get after the name of the current: as those that the working has named there,
    else the next mark of that kind."""
    alone = each_alone(w.reading.circuit)
    marks: dict[CircuitChange, str] = {}
    for other in alone:
        for name, made in w.names_in(other).items():
            branch = next(iter(made))
            if len(made) == 1 and name.startswith(branch) and name != branch:
                marks.setdefault(other, name.removeprefix(branch))
    if setting in marks:
        return marks[setting]
    used = set(marks.values())
    at = alone.index(setting)
    lettered = any(len(mark) == 1 and mark.isalpha() for mark in used)
    wanted = "abcdefgh"[at : at + 1] if lettered else "′" * (at + 1)
    while not wanted or wanted in used:
        wanted += "′"
    return wanted
