"""The slips of ideas about current, voltage and instruments, worked out where they lead to numbers.

A function that gives models says in its sentence what is done wrong, and gives one model for each place
where that can be done in the circuit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Element, Kind
from .equation_slips import EquationRow, loop_row
from .models_of_reduction import emfs_toward, lone_load
from .models_of_system import on_circuit
from .settings import Fate, Model, Setting, SettingInNumbers, SlipOutcome, of_rows, of_values, sum_of


def idea_slips(setting: Setting, here: SettingInNumbers) -> Iterator[Model]:
    """Every slip of ideas in the setting; `here` are the numbers given."""
    for at, row in enumerate(setting.junctions):
        rest = (*setting.junctions[:at], *setting.junctions[at + 1 :])
        rows = (*rest, *setting.loop_rows, *setting.fixed)
        yield of_rows("current-used-up", f"{row.name} does not add up", row.name, rows)
    yield from _splits(setting)
    yield from _whole_emf(setting)
    yield from _load(setting, here)
    yield from _internal_forgotten(setting)
    yield from _each_alone(setting)
    yield from _meters(setting)


def _splits(setting: Setting) -> Iterator[Model]:
    """A current divided equally, or all of it in the smallest resistance."""
    circuit = setting.circuit
    for p in circuit.points if len(circuit.points) > 2 else circuit.points[:1]:
        ends = [b for b in circuit.branches if p in (b.start, b.end) and b.start != b.end]
        if len(ends) < 3 or any(circuit.fixed_current(b.name) is not None for b in ends):
            continue
        for whole in ends:
            others = [b for b in ends if b is not whole]
            if len(setting.driven) < 2 and whole not in setting.driven and setting.side_by_side:
                continue  # with one battery, it is its current that divides
            yield _split("equal-split", f"{whole.name} divided equally at {p}", p, whole, others, None)
            if all(circuit.resistance(b.name) for b in others):
                place = f"{whole.name} all in the smallest resistance at {p}"
                yield _split("least-resistance", place, p, whole, others, _least)


def _least(point: SettingInNumbers, others: Sequence[Branch]) -> Branch:
    return min(others, key=lambda b: point.resistance(b.name))


def _split(
    entry: str,
    place: str,
    p: str,
    whole: Branch,
    others: Sequence[Branch],
    taker: Callable[[SettingInNumbers, Sequence[Branch]], Branch] | None,
) -> Model:
    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        into = point.right[whole.name] * (1 if whole.end == p else -1)
        found = {whole.name: point.right[whole.name]}
        for b in others:
            share = Fraction(1, len(others)) if taker is None else Fraction(int(b is taker(point, others)))
            found[b.name] = into * share * (1 if b.start == p else -1)
        return found

    return of_values(entry, place, f"junction {p}", values)


def _whole_emf(setting: Setting) -> Iterator[Model]:
    """One current from all emfs over all resistances; the whole emf on each resistor."""
    names = setting.circuit.currents
    if len(setting.driven) > 1 and setting.is_plain:

        def one_current(sign: int) -> Callable[[SettingInNumbers], Mapping[str, Fraction]]:
            def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
                emfs = sorted((abs(point.rise(b.name)) for b in setting.driven), reverse=True)
                net = emfs[0] + sign * sum_of(emfs[1:])
                total = sum_of(point.resistance(n) for n in names)
                return dict.fromkeys(names, net / total)

            return values

        for sign, told in ((-1, "the larger emf less the others"), (1, "all emfs added")):
            place = f"{told}, over all resistances, in every branch"
            yield of_values("net-emf", place, "the line for the current", one_current(sign))
    for battery in setting.batteries:
        yield _full_power(setting, battery)


def _full_power(setting: Setting, battery: str) -> Model:
    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        emf = point.values[battery, False]
        sizes = {r: point.values[r, False] for r in setting.resistors}
        return {f"P({r})": emf * emf / size for r, size in sizes.items() if size}

    return of_values("whole-emf-each", f"{battery} squared over each resistance", "the powers", values)


def _load(setting: Setting, here: SettingInNumbers) -> Iterator[Model]:
    """What one load gets from batteries side by side."""
    load = lone_load(setting)
    if load is None or len(setting.driven) < 2:
        return
    name, start = load.name, load.start

    def strongest(point: SettingInNumbers) -> Mapping[str, Fraction]:
        emf = max((e for e, _ in emfs_toward(setting, point, start)), key=abs)
        return {name: emf / point.resistance(name)}

    def added(point: SettingInNumbers) -> Mapping[str, Fraction]:
        return {name: sum_of(e for e, _ in emfs_toward(setting, point, start)) / point.resistance(name)}

    line = f"the line for {name}"
    yield of_values("stronger-wins", f"the stronger battery alone across {name}", line, strongest)
    yield of_values("load-sees-sum", f"all emfs across {name}", line, added)
    strong = max(setting.driven, key=lambda b: abs(here.rise(b.name)))
    weak = [b.name for b in setting.driven if b is not strong]
    if rows := setting.cut(*weak):
        yield of_rows("stronger-wins", f"{' and '.join(weak)} left out of account", "the loops", rows)


def _internal_forgotten(setting: Setting) -> Iterator[Model]:
    """Internal resistances not counted: of a battery, or of a resistor that stands for one."""
    circuit = setting.circuit
    internal = [b for b in setting.batteries if circuit.internal_resistance(b)]
    groups = [[name] for name in internal] + ([internal] if len(internal) > 1 else [])
    for names in groups:
        rows = tuple(
            replace(row, terms=tuple(t for t in row.terms if not (t.internal and t.element in names)))
            for row in setting.rows
        )
        place = f"internal resistance of {' and '.join(names)} not counted"
        yield of_rows("inside-forgotten", place, "the loops", rows)
    for b in setting.driven:
        series = [p.element for p in b.passes if p.element in setting.resistors]
        if len(series) == 1 and not any(p.element in internal for p in b.passes):
            rows = tuple(
                replace(row, terms=tuple(t for t in row.terms if t.element != series[0] or not t.current))
                for row in setting.rows
            )
            place = f"{series[0]}, as an internal resistance, not counted"
            yield of_rows("inside-forgotten", place, "the loops", rows)


def _each_alone(setting: Setting) -> Iterator[Model]:
    """Branches, loops and batteries taken one by one."""
    circuit = setting.circuit
    resistive = [b for b in setting.driven if circuit.resistance(b.name)]
    if len(resistive) > 1 and setting.is_plain:
        alone = tuple(
            EquationRow(f"{b.name} alone", loop_row(circuit, ((b.name, 1),)).terms) for b in resistive
        )
        yield _fixed_part("branch-alone", "each battery on its own resistance", (*alone, *setting.junctions))
    if len(setting.loops) > 1 and setting.is_plain:
        yield from _own_mesh(setting)
    if len(setting.driven) > 1:
        rows = [(b, setting.cut(*(o.name for o in setting.driven if o is not b))) for b in setting.driven]
        if all(r is not None for _, r in rows):
            found = [r for _, r in rows if r is not None]
            yield Model(
                "superposed-open",
                "the other batteries cut out",
                "the parts added",
                lambda p: _summed(p, found),
            )
        for name in setting.resistors if setting.is_plain else ():
            yield _power_sum(setting, name)


def _fixed_part(entry: str, place: str, rows: tuple[EquationRow, ...]) -> Model:
    """The slip of going by these rows alone: the currents that they fix, perhaps not all."""

    def at(point: SettingInNumbers) -> SlipOutcome:
        found = point.outcome(rows)
        if found.fate is Fate.CONTRADICTION:
            return found
        fixed = {n: v for n, v in found.values.items() if not any(way[n] for way in found.ways)}
        return SlipOutcome(Fate.ANSWER, fixed)

    return Model(entry, place, "the lines for the branches", at, rows)


def _own_mesh(setting: Setting) -> Iterator[Model]:
    """Each loop worked as if the others were not there, told of the branches in it alone."""
    count = {n: sum(n in dict(loop) for loop in setting.loops) for n in setting.circuit.currents}

    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        found: dict[str, Fraction] = {}
        for loop in setting.loops:
            total = sum_of(point.resistance(n) for n, _ in loop)
            rise = sum_of(point.rise(n) * sense for n, sense in loop)
            found.update({n: rise / total * sense for n, sense in loop if count[n] == 1 and total})
        return found

    if any(n == 1 for n in count.values()):
        yield of_values(
            "own-mesh-only", "each loop by its own batteries and resistances", "the loops", values
        )


def _summed(point: SettingInNumbers, sets: Sequence[tuple[EquationRow, ...]]) -> SlipOutcome:
    """The answers of the sets added up: one set for each battery, in which the other batteries' branches
    are cut."""
    total = dict.fromkeys(point.setting.circuit.currents, Fraction(0))
    for rows in sets:
        found = point.outcome(rows)
        if found.fate is not Fate.ANSWER:
            return found
        total = {n: v + found.values[n] for n, v in total.items()}
    return SlipOutcome(Fate.ANSWER, total)


def _power_sum(setting: Setting, resistor: str) -> Model:
    """The powers of a resistor with each battery alone (the others wires), added."""
    branch = setting.circuit.branch_of(resistor).name

    def only(battery: str) -> tuple[EquationRow, ...]:
        return tuple(
            replace(
                row,
                terms=tuple(
                    t
                    for t in row.terms
                    if t.current or t.element == battery or t.element not in setting.batteries
                ),
            )
            for row in setting.rows
        )

    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        parts = [point.outcome(only(name)).values[branch] for name in setting.batteries]
        return {f"P({resistor})": point.values[resistor, False] * sum_of(i * i for i in parts)}

    return of_values("power-superposed", f"powers of {resistor} added", f"the line for P({resistor})", values)


def _meters(setting: Setting) -> Iterator[Model]:
    """Meters taken for their opposites, or put in each other's place."""
    circuit = setting.circuit
    for b in circuit.branches:
        for p in b.passes:
            kind = circuit.elements[p.element].kind
            if kind is Kind.AMMETER and (rows := setting.cut(b.name)):
                yield of_rows("meters-ideal-wrong", f"{p.element} taken to block", "the figure", rows)
            if kind is Kind.VOLTMETER:
                wire = Element(p.element, Kind.AMMETER)
                changed: Circuit = replace(circuit, elements={**circuit.elements, p.element: wire})
                yield from on_circuit("meters-ideal-wrong", f"{p.element} taken for a wire", changed)
    for name in setting.resistors:
        rows = tuple(
            replace(row, terms=tuple(t for t in row.terms if t.element != name or not t.current))
            for row in setting.rows
        )
        yield of_rows("meter-misplaced", f"ammeter across {name}", "the readings", rows)
    for b in setting.passive:
        if rows := setting.cut(b.name):
            yield of_rows("meter-misplaced", f"voltmeter into {b.name}", "the readings", rows)
