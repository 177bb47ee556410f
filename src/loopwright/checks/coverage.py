"""Which check catches which slip: a table for one circuit, and the smallest set that catches all.

Every single sign turned and every single term left out of the default equation set gives a wrong set
of equations, solved exactly. Each check is then applied to its currents as a person would apply it to
a closed form. Values are one set of random fractions, the same in every run: two different closed
forms agree there by chance only with negligible probability, and no closed form is needed.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations, islice

from flint import fmpq

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..laws.laws import laws
from ..laws.loops import Loop, is_plain, same_loop, simple_loops
from .form_entries import own_emfs
from .slips import Row, Slip, Values, equation_rows, junction_row, loop_row, residue, slips_in, solve_rows
from .subjects import Quantity, Subject, subjects
from .symmetry import Symmetry, symmetries

SEED = 1845
SPARE_LIMIT = 12  # spare loops tried
LARGEST_SET = 4  # checks in a set at most, when the smallest set is searched


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One check: `caught` holds the positions of the slips it catches. `shared`: for limits, whether
    the resistance stands in two loops of the set or more. `part_of`: the check of which it is a part."""

    check: str
    caught: frozenset[int]
    shared: bool = False
    part_of: str = ""


@dataclass(frozen=True)
class Coverage:
    """The slips of a circuit, the checks with what each catches, and the smallest set that catches
    all that can be caught (empty when no set of four does). `singular`: slips that leave the equations
    without one answer, which shows in solving; a row of their own, and no other check's catch."""

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

    def told(self) -> str:
        """The table as plain text: check, caught of all."""
        width = max(len(row.check) for row in self.rows)
        lines = [f"{row.check:<{width}}  {len(row.caught)} of {len(self.slips)}" for row in self.rows]
        return "\n".join([*lines, f"smallest set: {'; '.join(self.smallest_set)}"])

    def __str__(self) -> str:
        return self.told()


@dataclass(frozen=True)
class _Bench:
    """A circuit put in numbers, for solving equation sets again and again."""

    circuit: Circuit
    symbols: Mapping[str, fmpq]
    kept: dict[int, tuple[list[fmpq], fmpq]] = field(default_factory=dict)

    @cached_property
    def base(self) -> dict[tuple[str, bool], fmpq]:
        """Every element's value and inside resistance on this bench."""
        return self.values(self.symbols)

    def values(self, numbers: Mapping[str, fmpq]) -> dict[tuple[str, bool], fmpq]:
        """Every element's value and inside resistance for these values of the symbols."""
        found: dict[tuple[str, bool], fmpq] = {}
        for b in self.circuit.branches:
            for p in b.passes:
                for inside, ratio in (
                    (False, self.circuit.value(p.element)),
                    (True, self.circuit.inside(p.element)),
                ):
                    found[p.element, inside] = _value(ratio.terms(), numbers, ratio.field.symbols) / _value(
                        ratio.terms(below=True), numbers, ratio.field.symbols
                    )
        return found

    def scaled(self, rows: tuple[Row, ...]) -> tuple[list[fmpq], fmpq]:
        """Currents times determinant, and the determinant, at the base values; kept for each set of
        rows (by identity: the slips keep the rows alive)."""
        if id(rows) not in self.kept:
            self.kept[id(rows)] = solve_rows(rows, self.circuit.currents, self.base)
        return self.kept[id(rows)]

    def solve(self, rows: Sequence[Row], values: Values) -> dict[str, fmpq] | None:
        """The currents, or None when the rows do not fix them."""
        scaled, determinant = solve_rows(rows, self.circuit.currents, values)
        if determinant == 0:
            return None
        return {n: s / determinant for n, s in zip(self.circuit.currents, scaled, strict=True)}


def _value(
    terms: list[tuple[tuple[int, ...], int]], numbers: Mapping[str, fmpq], symbols: Sequence[str]
) -> fmpq:
    total = fmpq(0)
    for exponents, coefficient in terms:
        piece = fmpq(coefficient)
        for name, exponent in zip(symbols, exponents, strict=False):
            piece *= numbers[name] ** exponent if exponent else 1
        total += piece
    return total


Found = dict[str, fmpq]
Judge = Callable[[tuple[Row, ...], Found], bool]  # whether a check catches these rows with these currents


@dataclass(frozen=True, slots=True)
class _Check:
    name: str
    catches: Judge
    shared: bool = False
    part_of: str = ""


def coverage(circuit: Circuit, loops: Sequence[Loop] | None = None) -> Coverage:
    """The table of a well-posed circuit, by the slips of an equation set: the junctions but one and the
    default loops, or the independent `loops` given."""
    chance = random.Random(SEED)
    bench = _Bench(
        circuit, {n: fmpq(chance.randint(100, 999), chance.randint(7, 99)) for n in circuit.symbols}
    )
    chosen = [e.loop for e in laws(circuit).loops] if loops is None else loops
    rows = equation_rows(circuit, chosen)
    slips = slips_in(rows)
    values = bench.base
    solved = [bench.solve(slip.rows, values) for slip in slips]
    table = [
        CheckRow(
            check.name,
            frozenset(i for i, found in enumerate(solved) if found and check.catches(slips[i].rows, found)),
            check.shared,
            check.part_of,
        )
        for check in _checks(bench, rows, chosen)
    ]
    singular = frozenset(i for i, found in enumerate(solved) if found is None)
    if singular:
        table.append(CheckRow("the equations have one answer", singular))
    return Coverage(slips, tuple(table), _smallest(table), singular)


def _checks(bench: _Bench, rows: tuple[Row, ...], chosen: Sequence[Loop]) -> list[_Check]:
    """The checks in the order in which a tie is settled: limits of shared resistances first."""
    circuit = bench.circuit
    resistances = [s for s in subjects(circuit) if s.is_resistance]
    branches = [circuit.branch_of(s.element).name for s in resistances]
    shared = [sum(name in dict(loop) for loop in chosen) > 1 for name in branches]
    limits = [_limit_checks(bench, rows, s, often) for s, often in zip(resistances, shared, strict=True)]
    first = [c for cs, often in zip(limits, shared, strict=True) if often for c in cs]
    last = [c for cs, often in zip(limits, shared, strict=True) if not often for c in cs]
    return [
        *first,
        *_power_check(bench),
        *_loop_checks(bench, chosen),
        *_junction_checks(bench),
        *_symmetry_checks(bench),
        *_reciprocity_checks(bench),
        *last,
        _Check("dimensions and scaling", lambda wrong, found: _breaks_scaling(bench, wrong, found)),
    ]


# -- limits ------------------------------------------------------------------------------------------


def _limit_checks(bench: _Bench, true: tuple[Row, ...], subject: Subject, shared: bool) -> list[_Check]:
    key = (subject.element, subject.quantity is Quantity.INSIDE)
    name = f"inside resistance of {subject.element}" if key[1] else subject.element
    both = f"{name} to 0 and to infinity"
    ends = _ends(bench, true, key)
    known: dict[int, tuple[End, End]] = {}  # by identity of the rows, which the slips keep alive

    def differs(wrong: tuple[Row, ...], at: int) -> bool:
        if id(wrong) not in known:
            known[id(wrong)] = _ends(bench, wrong, key)
        return known[id(wrong)][at] != ends[at]

    return [
        _Check(both, lambda wrong, _: differs(wrong, 0) or differs(wrong, 1), shared),
        _Check(f"{name} to 0", lambda wrong, _: differs(wrong, 0), shared, both),
        _Check(f"{name} to infinity", lambda wrong, _: differs(wrong, 1), shared, both),
    ]


End = list[tuple[str, fmpq]]


def _ends(bench: _Bench, rows: tuple[Row, ...], key: tuple[str, bool]) -> tuple[End, End]:
    """Every current as the resistance goes to 0 and to infinity.

    Determinant and current × determinant are linear in one resistance (it stands with one current
    only), so that two values give them whole.
    """
    values = bench.base
    at = values[key]
    here, below_here = bench.scaled(rows)
    step = 1
    while True:
        there, below_there = solve_rows(rows, bench.circuit.currents, {**values, key: at + step})
        if below_there != 0:
            break
        step += 1
    d1 = (below_there - below_here) / step
    d0 = below_here - d1 * at
    zero: End = []
    infinity: End = []
    for one, other in zip(here, there, strict=True):
        n1 = (other - one) / step
        n0 = one - n1 * at
        zero.append(_end(n0, d0, n1, d1))
        infinity.append(_end(n1, d1, n0, d0))
    return zero, infinity


def _end(n: fmpq, d: fmpq, n_next: fmpq, d_next: fmpq) -> tuple[str, fmpq]:
    """The limit of (n + n_next x)/(d + d_next x) at x = 0."""
    if d != 0:
        return "value", n / d
    return ("grows", n / d_next) if n != 0 else ("value", n_next / d_next)


# -- laws --------------------------------------------------------------------------------------------


def _power_check(bench: _Bench) -> list[_Check]:
    """The power balance; none with current sources, whose voltage the currents do not give."""
    if any(e.kind is Kind.CURRENT_SOURCE for e in bench.circuit.elements.values()):
        return []
    return [_Check("power balance", lambda _, found: _lost_power(bench, found) != 0)]


def _lost_power(bench: _Bench, currents: Found) -> fmpq:
    """Heat in the resistances less the power given by the batteries."""
    values = bench.base
    total = fmpq(0)
    for b in bench.circuit.branches:
        current = currents[b.name]
        for p in b.passes:
            kind = bench.circuit.elements[p.element].kind
            if kind is Kind.RESISTOR:
                total += current * current * values[p.element, False]
            if kind is Kind.BATTERY:
                total += (
                    current * current * values[p.element, True] - p.sign * values[p.element, False] * current
                )
    return total


def _loop_checks(bench: _Bench, chosen: Sequence[Loop]) -> list[_Check]:
    """The loops not in the set, each and all."""
    circuit = bench.circuit
    spare = [
        loop
        for loop in islice(simple_loops(circuit), SPARE_LIMIT + len(chosen))
        if is_plain(circuit, loop) and not any(same_loop(loop, other) for other in chosen)
    ]
    rows = [loop_row(circuit, loop) for loop in spare]
    return _rule_checks(bench, rows, "spare loops", "spare ")


def _junction_checks(bench: _Bench) -> list[_Check]:
    """All junctions, the one not needed included."""
    circuit = bench.circuit
    rows = [row for row in (junction_row(circuit, p) for p in circuit.points) if row.terms]
    return _rule_checks(bench, rows, "every junction", "")


def _rule_checks(bench: _Bench, rows: Sequence[Row], whole: str, before: str) -> list[_Check]:
    if not rows:
        return []
    values = bench.base

    def judge(row: Row) -> Judge:
        return lambda _, found: residue(row, found, values) != 0

    each = [_Check(before + row.name, judge(row), part_of=whole) for row in rows]
    return [_Check(whole, lambda wrong, found: any(c.catches(wrong, found) for c in each)), *each]


# -- symmetry, reciprocity, scaling ------------------------------------------------------------------


def _symmetry_checks(bench: _Bench) -> list[_Check]:
    found = symmetries(bench.circuit)
    if not found:
        return []
    judges = [_symmetry_judge(bench, s) for s in found]
    return [_Check("symmetry", lambda wrong, currents: any(judge(wrong, currents) for judge in judges))]


def _symmetry_judge(bench: _Bench, s: Symmetry) -> Judge:
    moved = dict(bench.symbols)
    for name, (other, sign) in s.symbols.items():
        moved[name] = bench.symbols[other] * sign
    values = bench.values(moved)

    def judge(wrong: tuple[Row, ...], found: Found) -> bool:
        there = bench.solve(wrong, values)
        if there is None:
            return True
        return any(found[other] * sense != there[name] for name, (other, sense) in s.branches.items())

    return judge


def _reciprocity_checks(bench: _Bench) -> list[_Check]:
    own = own_emfs(bench.circuit)
    pairs = [(a, b) for a, b in combinations(sorted(own), 2) if own[a][0] != own[b][0]]
    if not pairs:
        return []

    def slope(wrong: tuple[Row, ...], found: Found, emf: str, at: str) -> fmpq:
        more = bench.solve(wrong, bench.values({**bench.symbols, emf: bench.symbols[emf] + 1}))
        branch, sign = own[at]
        return (more[branch] - found[branch]) * sign if more else fmpq(0)

    def judge(wrong: tuple[Row, ...], found: Found) -> bool:
        return any(slope(wrong, found, a, b) != slope(wrong, found, b, a) for a, b in pairs)

    return [_Check("reciprocity", judge)]


def _breaks_scaling(bench: _Bench, wrong: tuple[Row, ...], found: Found) -> bool:
    """Whether all sources × 3, or all resistances × 3, fail to change the currents as they must."""
    values = bench.base
    resistive = {
        (name, inside)
        for name, inside in values
        if inside or bench.circuit.elements[name].kind is Kind.RESISTOR
    }
    currents = {key for key in values if bench.circuit.elements[key[0]].kind is Kind.CURRENT_SOURCE}
    sources = bench.solve(wrong, {k: v if k in resistive else v * 3 for k, v in values.items()})
    heavy = bench.solve(
        wrong, {k: v * 3 if k in resistive else v / 3 if k in currents else v for k, v in values.items()}
    )
    if sources is None or heavy is None:
        return True
    return any(sources[n] != 3 * found[n] or heavy[n] * 3 != found[n] for n in found)


def _smallest(table: Sequence[CheckRow]) -> tuple[str, ...]:
    """The fewest checks that together catch all that any check catches; the first such set in order."""
    units = [row for row in table if not row.part_of and row.caught]
    goal = frozenset[int]().union(*(row.caught for row in units))
    for size in range(1, min(LARGEST_SET, len(units)) + 1):
        for chosen in combinations(units, size):
            if frozenset[int]().union(*(row.caught for row in chosen)) == goal:
                return tuple(row.check for row in chosen)
    return ()
