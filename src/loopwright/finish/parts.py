"""Superposition gone on with: the parts that are still open, each source alone, and then the sums."""

from __future__ import annotations

from collections.abc import Mapping

from ..circuit.changed import sources_in
from ..circuit.names import listed
from ..derive.steps import Move
from ..expressions.nodes import Negative, Symbol, add
from ..expressions.said import Said
from ..reading.truth.changed import each_alone, part
from ..reading.working import AS_DRAWN, CircuitChange
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
        ground = in_branch_currents(own)
        first = w.last + 1 + len(lines)
        rest = begin(own.circuit, ground.unknown, ground.values, w.taken | taken, first, known)
        one_by_one(rest, ground.laws)
        inside = [x for x in w.lines if set(x.linear.coefficients) <= set(ground.unknown)]
        solve_on(rest, inside, ground.laws)
        made = [line_of(w, ground, rest, step) for step in rest.teller.steps]
        if made and setting != now:
            made[0] = _headed(w, made[0], setting, begun=bool(w.names_in(setting)))
            now = setting
        lines += made
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


def added(w: Whereabouts, rest: Rest, ground: Ground) -> list[FinishedLine]:
    """The sums as lines, with what they rest on."""
    back = {name: branch for branch, (name, _) in ground.own.called.items()}
    found: list[FinishedLine] = []
    for step in rest.teller.steps:
        line = line_of(w, ground, rest, step)
        if step.move is Move.ADD_PARTS:
            where: Said = ("Add the parts of ", Symbol(step.solves), ".")
            facts = (Fact(FactKind.PARTS, back[step.solves]),)
            line = line.with_told(Lacking.PARTS, where, facts)
        found.append(line)
    if found and w.reading.working.lines and found[0].lacking is Lacking.PARTS:
        found[0] = found[0].with_heading("Together:")
    return found


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
