"""The ledger of a circuit in time: checks that share nothing with the transform by which it was solved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..algebra.ratios import Ratio
from ..checks.ledger.ledger import Ledger, LedgerEntry, found_wrong, listed, not_applicable
from ..circuit.elements import Element, Kind
from ..circuit.unit_kinds import asked_of, settle
from ..expressions.dimensions import PLAIN, SECOND, Clash, dimension
from ..expressions.said import counted
from ..expressions.tidy import tidy
from ..graph.connections import parts
from ..graph.loops import first_independent, simple_loops
from .amounts import adds_up, area, areas, balance, scaled, slope_of, squared_area, summed
from .course import Course
from .other_ways import ENDS_ALONE, charge_kept, exchanged, first_slope, standing, storages_scaled, superposed
from .state_space import carried_over, in_state_space
from .transient import Transient


def examine_in_time(stage: Transient) -> Ledger:
    """Every check of one stage, each by a way of its own; where its exponentials have no form in symbols,
    those on what happens in between are made in numbers."""
    middle = _in_between(stage)
    return Ledger(
        (
            _no_jump(stage),
            _start(stage),
            _end(stage),
            _junctions(middle),
            _loops(middle),
            _storages(middle),
            _time_constant(stage),
            _areas(middle),
            _energy(middle),
            _settles(middle),
            _dimensions(stage),
            first_slope(middle),
            charge_kept(middle),
            storages_scaled(middle),
            exchanged(stage),
            standing(stage),
            superposed(stage),
            in_state_space(stage),
        )
    )


def prove_in_time(stage: Transient, *, amounts: bool) -> Ledger:
    """The part of the ledger that proves what a sheet tells of one stage: what is stored begins as it was
    held; constant and exponentials obey every rule and the law of each storage, which fixes them; both ends
    once more from the redrawn circuits, and the time constant from the resistance seen; all rates are rates,
    and positive. `amounts`: whether charges or energies are told, which have checks of their own. Where the
    exponentials have no form in symbols a state space is asked as well."""
    middle = _in_between(stage)
    entries = (
        _no_jump(stage),
        _start(stage),
        _end(stage),
        _junctions(middle),
        _loops(middle),
        _storages(middle),
        _time_constant(stage),
        _settles(middle),
        _dimensions(stage),
        *((_areas(middle), _energy(middle)) if amounts else ()),
    )
    return Ledger(entries if stage.is_whole else (*entries, in_state_space(stage)))


def _in_between(stage: Transient) -> Transient:
    return stage if stage.is_whole or not stage.circuit.has_all_numbers else stage.in_numbers


def examine_stages(stages: Sequence[Transient]) -> Ledger:
    """Every check of every stage, those of one kind as one entry; and what each stage begins with against a
    state space of the one before."""
    return _of_all([examine_in_time(stage) for stage in stages], stages)


def prove_stages(stages: Sequence[Transient], *, amounts: bool) -> Ledger:
    """As `examine_stages`, of each stage the part that proves what is told."""
    return _of_all([prove_in_time(stage, amounts=amounts) for stage in stages], stages)


def _of_all(ledgers: Sequence[Ledger], stages: Sequence[Transient]) -> Ledger:
    """The ledgers of the stages as one."""
    if len(stages) == 1:
        return ledgers[0]
    codes = dict.fromkeys(entry.code for ledger in ledgers for entry in ledger.entries)
    same_kind = [[e for ledger in ledgers for e in ledger.entries if e.code == code] for code in codes]
    joined = [_joined(entries) for entries in same_kind]
    return Ledger((*joined, carried_over(stages)))


def _joined(entries: Sequence[LedgerEntry]) -> LedgerEntry:
    """Checks of one kind of several stages as one."""
    done = [(k, entry) for k, entry in enumerate(entries, 1) if entry.passed is not None]
    if not done:
        return entries[0]
    told = "; ".join(f"after move {k}: {entry.result}" for k, entry in done)
    return replace(entries[0], result=told, passed=all(entry.passed for _, entry in done))


# -- the ends --------------------------------------------------------------------------------------


def _no_jump(stage: Transient) -> LedgerEntry:
    title, method = (
        "Nothing stored jumps",
        "voltage of each capacitor and current of each coil, before and just after",
    )
    wrong, bursts = [], []
    for name, held in stage.held.items():
        course = stage.stored(name)
        other = stage.fills(name)
        if other.burst:
            bursts.append(name)
        elif course.just_after != held:
            wrong.append(name)
    if len(bursts) == len(stage.held):
        return not_applicable("time/no-jump", title, method, f"{listed(bursts)} must jump: nothing limits it")
    same = f"the same for {listed([n for n in stage.held if n not in bursts])}"
    return found_wrong("time/no-jump", title, method, wrong, same)


def _start(stage: Transient) -> LedgerEntry:
    title = "Redrawn just after"
    method = "a source of its voltage for each capacitor, one of its current for each coil; solved afresh"
    solved = stage.start
    if solved is None:
        why = "with these sources the redrawn circuit has no one answer: something must jump"
        return not_applicable("time/start", title, method, why)
    wrong = [n for n, c in stage.currents.items() if solved.currents[n] != c.just_after]
    return found_wrong(
        "time/start", title, method, wrong, f"all {len(solved.currents)} currents agree with t → 0"
    )


def _end(stage: Transient) -> LedgerEntry:
    title, method = "Redrawn long after", "a gap for each capacitor, a wire for each coil; solved afresh"
    solved = stage.end
    if solved is None or any(c.long_after is None for c in stage.currents.values()):
        why = "nothing settles, or the redrawn circuit leaves a current open"
        return not_applicable("time/end", title, method, why)
    wrong = [n for n, c in stage.currents.items() if solved.currents[n] != c.long_after]
    return found_wrong(
        "time/end", title, method, wrong, f"all {len(solved.currents)} currents agree with t → ∞"
    )


# -- the rules, for the constant and each exponential by itself ------------------------------------


def _junctions(stage: Transient) -> LedgerEntry:
    title, method = (
        "Junction rule in time",
        "currents in less currents out, the constant and each exponential alone",
    )
    circuit, wrong = stage.circuit, []
    for point in circuit.junctions:
        parts = [(stage.currents[b.name], 1) for b in circuit.branches if b.end == point]
        parts += [(stage.currents[b.name], -1) for b in circuit.branches if b.start == point]
        if not adds_up(parts):
            wrong.append(point)
    if not circuit.junctions:
        return not_applicable("time/junctions", title, method, "there is no junction")
    return found_wrong(
        "time/junctions",
        title,
        method,
        wrong,
        f"nothing is left at {counted(len(circuit.junctions), 'junction')}",
    )


def _loops(stage: Transient) -> LedgerEntry:
    title, method = (
        "Loop rule in time",
        "rises less drops round independent loops, the constant and each exponential alone",
    )
    circuit, wrong = stage.circuit, []
    closed = [b for b in circuit.branches if not any(_is_open(circuit.elements[p.element]) for p in b.passes)]
    needed = len(closed) - len(circuit.points) + len(parts(circuit.points, closed).groups())
    loops = first_independent(simple_loops(closed), needed)
    if not loops:
        return not_applicable("time/loops", title, method, "there is no loop without a gap")
    drops = {b.name: [(_drop(stage, p.element), 1) for p in b.passes] for b in closed if b.passes}
    along = {name: summed(*each) for name, each in drops.items()}
    for number, loop in enumerate(loops, 1):
        met = [(along[name], sense) for name, sense in loop if name in along]
        if met and not adds_up(met):
            wrong.append(str(number))
    told = f"nothing is left round {counted(len(loops), 'independent loop')}"
    return found_wrong("time/loops", title, method, wrong, told)


def _is_open(element: Element) -> bool:
    return element.is_gap and element.kind is not Kind.CAPACITOR


def _drop(stage: Transient, element: str) -> Course:
    """The drop along its branch across an element, from the element's own law where it is no capacitor."""
    circuit = stage.circuit
    branch = circuit.branch_of(element).name
    met, current = circuit.elements[element], stage.currents[branch]
    zero = circuit.field.zero
    if met.kind is Kind.RESISTOR:
        return scaled(current, circuit.value(element))
    if met.kind is Kind.BATTERY:
        emf = Course(circuit.value(element) * -circuit.pass_of(element).sign, (), zero, zero)
        return summed((emf, 1), (scaled(current, circuit.internal_resistance(element)), 1))
    if met.kind is Kind.COIL and current.first is None:
        own = scaled(current, circuit.internal_resistance(element))
        return summed((scaled(slope_of(current), circuit.value(element)), 1), (own, 1))
    if met.kind in (Kind.COIL, Kind.CAPACITOR, Kind.CURRENT_SOURCE):
        return stage.across(element)
    return Course(zero, (), zero, zero)


def _storages(stage: Transient) -> LedgerEntry:
    title = "Law of each storage"
    method = "C dV/dt against the current of a capacitor, L dI/dt against the voltage of a coil, term by term"
    circuit = stage.circuit
    if not stage.is_whole:
        return not_applicable("time/storages", title, method, ENDS_ALONE)
    wrong = [name for name in circuit.storages if not stage.obeys(name)]
    return found_wrong(
        "time/storages", title, method, wrong, f"the same for {listed(list(circuit.storages))}"
    )


# -- the time constant and what is stored ----------------------------------------------------------


def _time_constant(stage: Transient) -> LedgerEntry:
    title, method = (
        "Time constant",
        "the resistance that the storage sees, sources at rest, found by one ampere sent in",
    )
    circuit = stage.circuit
    if len(circuit.storages) != 1 or len(stage.rates) != 1:
        return not_applicable("time/tau", title, method, "there is not one storage with one time constant")
    (name,), rate = circuit.storages, stage.rates[0].plain
    seen = stage.seen[name]
    if seen is None:
        return LedgerEntry("time/tau", title, method, "no resistance is seen, but something changes", False)
    value = circuit.value(name)
    tau = value * seen if circuit.elements[name].kind is Kind.CAPACITOR else value / seen
    good = tau * rate == circuit.field.one
    return LedgerEntry(
        "time/tau", title, method, "the same" if good else f"{tau} against one over {rate}", good
    )


def _areas(stage: Transient) -> LedgerEntry:
    title = "Charge and flux"
    method = "area under each capacitor's current and each coil's voltage against what its store gains"
    circuit, wrong, told = stage.circuit, [], []
    if not stage.is_whole:
        return not_applicable("time/areas", title, method, ENDS_ALONE)
    for name in circuit.storages:
        held, partner = stage.stored(name), stage.fills(name)
        if held.long_after is None:
            continue
        told.append(name)
        gained = circuit.value(name) * (held.long_after - stage.held[name])
        if not balance([*areas(partner), -gained], stage.error):
            wrong.append(name)
    if not told:
        return not_applicable("time/areas", title, method, "nothing settles")
    return found_wrong("time/areas", title, method, wrong, f"the same for {listed(told)}")


def _energy(stage: Transient) -> LedgerEntry:
    title, method = (
        "Energy",
        "work of the sources against what storages gain and resistances turn into heat, each integral",
    )
    circuit = stage.circuit
    if not stage.is_whole:
        return not_applicable("time/energy", title, method, ENDS_ALONE)
    if any(c.long_after is None or c.long_after or c.burst for c in stage.currents.values()):
        return not_applicable(
            "time/energy", title, method, "a current stays for ever or passes in no time: no total"
        )
    if any(e.kind is Kind.CURRENT_SOURCE for e in circuit.elements.values()):
        return not_applicable("time/energy", title, method, "a current source works for ever")
    if any(stage.fills(name).burst for name in circuit.storages):
        return not_applicable(
            "time/energy", title, method, "a coil is cut off: what it held goes into a spark"
        )
    try:
        work, heat, gained = energy_totals(stage)
    except ArithmeticError:
        why = "its rates hold roots of different numbers: left to the state space"
        return not_applicable("time/energy", title, method, why)
    good = balance([work, -heat, -gained], stage.error)
    return LedgerEntry("time/energy", title, method, "they balance" if good else "they do not balance", good)


def energy_totals(stage: Transient) -> tuple[Ratio, Ratio, Ratio]:
    """The work of the batteries, the heat in all resistances and what the storages gain, from the start on.
    Raises ArithmeticError where roots of different numbers stand in them."""
    circuit = stage.circuit
    work = heat = gained = circuit.field.zero
    for b in circuit.branches:
        course = stage.currents[b.name]
        work = work + circuit.rise(b.name) * area(course)
        heat = heat + circuit.resistance(b.name) * squared_area(course)
    for name in circuit.storages:
        end = stage.stored(name).long_after or circuit.field.zero
        gained = gained + circuit.value(name) * (end * end - stage.held[name] * stage.held[name]) / 2
    return work, heat, gained


def _settles(stage: Transient) -> LedgerEntry:
    title, method = "It settles", "the sign of every rate, from its coefficients or its numbers"
    if not stage.rates:
        return not_applicable("time/settles", title, method, "nothing changes in time")
    wrong = []
    for rate in stage.rates:
        ratio = rate.plain
        if rate.factor:  # both are positive, or have a positive real part, where sum and product are
            wrong += [] if _positive(ratio) else [str(ratio)]
            ratio = rate.plain * rate.plain - rate.factor * rate.factor * rate.under
        wrong += [] if _positive(ratio) else [str(ratio)]
    return found_wrong(
        "time/settles", title, method, wrong, f"{counted(len(stage.rates), 'rate')} positive for all values"
    )


def _positive(ratio: Ratio) -> bool:
    """Whether a ratio is positive for all positive values, by its coefficients."""
    parts = [c for below in (False, True) for _, c in ratio.terms(below=below)]
    return all(c > 0 for c in parts) or all(c < 0 for c in parts)


def _dimensions(stage: Transient) -> LedgerEntry:
    title, method = (
        "Dimensions of exponents",
        "each rate in volts, amperes and seconds, by the kinds of its symbols",
    )
    circuit = stage.circuit
    kinds, _ = settle(asked_of(circuit.elements.values(), circuit.start))
    wrong = []
    plain = [r.plain for r in stage.rates]
    if not plain:
        return not_applicable("time/dimensions", title, method, "nothing changes in time")
    if not circuit.symbols:
        return not_applicable("time/dimensions", title, method, "there are no symbols, only numbers")
    for ratio in plain:
        try:
            found = dimension(tidy(ratio), kinds.known.get, PLAIN)
        except Clash:
            found = None
        if found != PLAIN / SECOND:
            wrong.append(str(ratio))
    return found_wrong("time/dimensions", title, method, wrong, "one over seconds")
