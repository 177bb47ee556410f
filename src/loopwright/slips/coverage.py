"""Which check catches which slip: a table for one circuit, and the smallest set that catches all.

Every single sign reversed and every single term left out of the default equation set gives a wrong set
of equations, solved exactly. Each check is then applied to its currents as a person would apply it to
a closed form. Values are one set of random fractions, the same in every run: two different closed
forms agree there by chance only with negligible probability, and no closed form is needed.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, islice

from flint import nmod

from ..checks.ledger.form_entries import own_emfs
from ..checks.ledger.symmetry import Symmetry, symmetries
from ..checks.limits.limit_variables import LimitQuantity, LimitVariable, limit_variables
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import Symbol
from ..expressions.said import Said
from ..graph.lines import Loop, same_loop
from ..graph.loops import simple_loops
from ..laws.laws import laws
from ..laws.loops import is_plain
from ..shown import Shown
from .equation_slips import EquationRow, Slip, equation_rows, junction_row, loop_row, slips_in
from .workbench import Key, NoWorkbench, ResidueByKey, Workbench, element_values, residue

SEED = 1845
SPARE_LIMIT = 12  # loops not used that are tried
LARGEST_SET = 4  # checks in a set at most, when the smallest set is searched


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One check and what it catches: `caught` holds positions among the slips. `shared`: for a limit,
    whether its resistance stands in two loops of the set or more. `part_of`: the check that this one is a
    part of. `about`: the element whose name stands in `check`, if one does."""

    check: str
    caught: frozenset[int]
    shared: bool = False
    part_of: str = ""
    about: str = ""

    @property
    def said(self) -> Said:
        """The check with the element in it set as a symbol."""
        if not self.about:
            return (self.check,)
        before, name, after = self.check.partition(self.about)
        return (before, Symbol(name), after)


@dataclass(frozen=True)
class Coverage(Shown):
    """The slips of a circuit's equation set, the checks with what each catches, and the smallest set of
    checks that catches all that can be caught (empty when no set of four does).

    `singular`: slips that leave the equations without one answer. That shows in solving, so they are told
    apart and count neither as caught by a check nor for the smallest set.
    """

    slips: tuple[Slip, ...]
    rows: tuple[CheckRow, ...]
    smallest_set: tuple[str, ...]
    singular: frozenset[int]

    @property
    def never(self) -> tuple[Slip, ...]:
        """The slips that no check of the table catches."""
        caught = frozenset[int]().union(*(row.caught for row in self.rows))
        return tuple(slip for i, slip in enumerate(self.slips) if i not in caught)

    def row(self, check: str) -> CheckRow:
        """The row of this check; KeyError when there is none."""
        for row in self.rows:
            if row.check == check:
                return row
        raise KeyError(check)


@dataclass(frozen=True, slots=True)
class _Check:
    """One check applied: `catches` tells of each slip in `seen` whether it is caught; None for a check made
    of parts, which catches what they catch."""

    name: str
    catches: Sequence[bool] | None
    shared: bool = False
    part_of: str = ""
    about: str = ""


@dataclass(frozen=True)
class _Case:
    """A circuit with its equation set put in one set of values. `base`: the workbench at these values;
    `seen`: the slips that leave the equations with one answer, to which every check is applied."""

    circuit: Circuit
    rows: tuple[EquationRow, ...]
    symbols: Mapping[str, nmod]
    values: ResidueByKey
    base: Workbench
    seen: Sequence[Slip]

    @cached_property
    def found(self) -> list[list[nmod]]:
        """The wrong currents of each slip seen."""
        return [currents for currents in self.base.wrong(self.seen) if currents is not None]

    def workbench(self, values: ResidueByKey, infinite: Key | None = None) -> Workbench:
        return Workbench(self.rows, self.circuit.currents, values, infinite)

    def at(self, symbols: Mapping[str, nmod]) -> Workbench:
        return self.workbench(element_values(self.circuit, symbols))


def coverage(circuit: Circuit, loops: Sequence[Loop] | None = None) -> Coverage:
    """The table of a well-posed circuit, by the slips of an equation set: the junctions but one and the
    default loops, or the independent `loops` given."""
    chance = random.Random(SEED)
    symbols = {n: residue(chance.randint(100, 999)) / chance.randint(7, 99) for n in circuit.symbols}
    chosen = [e.loop for e in laws(circuit).loops] if loops is None else loops
    rows = equation_rows(circuit, chosen)
    values = element_values(circuit, symbols)
    base = Workbench(rows, circuit.currents, values)
    slips = slips_in(rows)
    singular = frozenset(i for i, f in enumerate(base.factors(slips)) if f is None)
    seen = [i for i in range(len(slips)) if i not in singular]
    checks = _checks(_Case(circuit, rows, symbols, values, base, [slips[i] for i in seen]), chosen)
    caught: dict[str, frozenset[int]] = {c.name: frozenset() for c in checks}
    for c in checks:
        if c.catches is not None:
            caught[c.name] = frozenset(i for i, catch in zip(seen, c.catches, strict=True) if catch)
            if c.part_of:
                caught[c.part_of] |= caught[c.name]
    table = [CheckRow(c.name, caught[c.name], c.shared, c.part_of, c.about) for c in checks]
    smallest = _smallest(table)
    if singular:
        table.append(CheckRow("the equations have one answer", singular))
    return Coverage(slips, tuple(table), smallest, singular)


def _checks(case: _Case, chosen: Sequence[Loop]) -> list[_Check]:
    """The checks in the order in which a tie is settled: limits of shared resistances first."""
    circuit = case.circuit
    resistances = [s for s in limit_variables(circuit) if s.is_resistance]
    branches = [circuit.branch_of(s.element).name for s in resistances]
    shared = [sum(name in dict(loop) for loop in chosen) > 1 for name in branches]
    limits = [_limit_checks(case, s, often) for s, often in zip(resistances, shared, strict=True)]
    first = [c for cs, often in zip(limits, shared, strict=True) if often for c in cs]
    last = [c for cs, often in zip(limits, shared, strict=True) if not often for c in cs]
    return [
        *first,
        *_power_check(case),
        *_loop_checks(case, chosen),
        *_junction_checks(case),
        *_symmetry_checks(case),
        *_reciprocity_checks(case),
        *last,
        _scaling_check(case),
    ]


def _limit_checks(case: _Case, variable: LimitVariable, shared: bool) -> list[_Check]:
    """Both ends of one resistance. An end at which the redrawn circuit has no single answer is left
    out."""
    key = (variable.element, variable.quantity is LimitQuantity.INTERNAL)
    name = f"internal resistance of {variable.element}" if key[1] else variable.element
    both = f"{name} to 0 and to infinity"
    ends: list[tuple[str, Workbench]] = []
    for end, values, infinite in (
        ("0", {**case.values, key: residue(0)}, None),
        ("infinity", case.values, key),
    ):
        try:
            ends.append((end, case.workbench(values, infinite)))
        except NoWorkbench:
            continue
    if not ends:
        return []
    parts = [_Check(f"{name} to {end}", workbench.moved(case.seen), shared, both) for end, workbench in ends]
    return [_Check(both, None, shared, about=variable.element), *parts]


def _power_check(case: _Case) -> list[_Check]:
    """Heat against source power; none with current sources, whose voltage the currents do not give."""
    circuit = case.circuit
    if any(e.kind is Kind.CURRENT_SOURCE for e in circuit.elements.values()):
        return []
    resistance = [residue(0) for _ in circuit.currents]
    rise = [residue(0) for _ in circuit.currents]
    for i, b in enumerate(circuit.branches):
        for p in b.passes:
            kind = circuit.elements[p.element].kind
            resistance[i] += case.values[p.element, kind is Kind.BATTERY]
            rise[i] += case.values[p.element, False] * p.sign if kind is Kind.BATTERY else 0
    power_left = [
        sum((x * (r * x - e) for x, r, e in zip(found, resistance, rise, strict=True)), residue(0))
        for found in case.found
    ]
    return [_Check("power balance", [bool(left) for left in power_left])]


def _loop_checks(case: _Case, chosen: Sequence[Loop]) -> list[_Check]:
    """The loops not in the set, each and all."""
    circuit = case.circuit
    spare = [
        loop
        for loop in islice(simple_loops(circuit.branches), SPARE_LIMIT + len(chosen))
        if is_plain(circuit, loop) and not any(same_loop(loop, other) for other in chosen)
    ]
    return _rule_checks(case, [loop_row(circuit, loop) for loop in spare], "loops not used", "not used: ")


def _junction_checks(case: _Case) -> list[_Check]:
    """All junctions, the one not needed included."""
    rows = [row for row in (junction_row(case.circuit, p) for p in case.circuit.points) if row.terms]
    return _rule_checks(case, rows, "every junction", "")


def _rule_checks(case: _Case, rows: Sequence[EquationRow], whole: str, before: str) -> list[_Check]:
    if not rows:
        return []
    tell = [(slip.at, bool(f)) for slip, f in zip(case.seen, case.base.factors(case.seen), strict=True)]

    def caught(row: EquationRow) -> list[bool]:
        reach = [bool(far) for far in case.base.reach(row)]
        return [tells and reach[at] for at, tells in tell]

    return [_Check(whole, None), *(_Check(before + row.name, caught(row), part_of=whole) for row in rows)]


def _symmetry_checks(case: _Case) -> list[_Check]:
    found = [_broken(case, s) for s in symmetries(case.circuit)]
    return [_Check("symmetry", list(map(any, zip(*found, strict=True))))] if found else []


def _broken(case: _Case, s: Symmetry) -> list[bool]:
    """Of each slip, whether the wrong currents fail to change places when the values do."""
    moved = dict(case.symbols)
    for name, (other, sign) in s.symbols.items():
        if name in moved:  # an element without a value (a meter, a switch) has no symbol
            moved[name] = case.symbols[other] * sign
    at = case.base.column
    changed = [(at[other], sense) for other, sense in (s.branches[name] for name in at)]
    return [
        there != [here[other] * sense for other, sense in changed]
        for here, there in zip(case.found, case.at(moved).wrong(case.seen), strict=True)
    ]


def _reciprocity_checks(case: _Case) -> list[_Check]:
    """For two batteries with symbols of their own: one volt more of each, and the other's current."""
    own = own_emfs(case.circuit)
    pairs = [(a, b) for a, b in combinations(sorted(own), 2) if own[a][0] != own[b][0]]
    if not pairs:
        return []
    sources = [n for n in case.circuit.symbols if case.circuit.role(n) is not Kind.RESISTOR]
    rest = {**case.symbols, **dict.fromkeys(sources, residue(0))}
    alone = {name: case.at({**rest, name: residue(1)}).wrong(case.seen) for name in own}

    def response(slip: int, emf: str, at: str) -> nmod:
        branch, sign = own[at]
        found = alone[emf][slip]
        return found[case.base.column[branch]] * sign if found else residue(0)

    broken = [any(response(i, a, b) != response(i, b, a) for a, b in pairs) for i, _ in enumerate(case.seen)]
    return [_Check("reciprocity", broken)]


def _scaling_check(case: _Case) -> _Check:
    """All sources × 3, and all resistances × 3: what dimensions demand."""
    kinds = {name: e.kind for name, e in case.circuit.elements.items()}
    resistive = {key for key in case.values if key[1] or kinds[key[0]] is Kind.RESISTOR}
    fixed = {key for key in case.values if kinds[key[0]] is Kind.CURRENT_SOURCE}
    strong = case.workbench({k: v if k in resistive else v * 3 for k, v in case.values.items()})
    heavy = case.workbench(
        {k: v * 3 if k in resistive else v / 3 if k in fixed else v for k, v in case.values.items()}
    )
    fails = [
        less is None or more != [3 * x for x in here] or here != [3 * x for x in less]
        for here, more, less in zip(case.found, strong.wrong(case.seen), heavy.wrong(case.seen), strict=True)
    ]
    return _Check("dimensions and scaling", fails)


def _smallest(table: Sequence[CheckRow]) -> tuple[str, ...]:
    """The fewest checks that together catch all that any check catches; the first such set in order."""
    units = [row for row in table if not row.part_of and row.caught]
    goal = frozenset[int]().union(*(row.caught for row in units))
    for size in range(1, min(LARGEST_SET, len(units)) + 1):
        for chosen in combinations(units, size):
            if frozenset[int]().union(*(row.caught for row in chosen)) == goal:
                return tuple(row.check for row in chosen)
    return ()
