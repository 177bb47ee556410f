"""The ground on which slips are worked out: the equations a person would write, and the circuit in
numbers.

A `Setting` is a circuit with its equation sets. A `SettingInNumbers` is one choice of numbers for its
symbols, with the right answers there. A `Model` is one slip made in one place; asked at such numbers,
it says what comes of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from functools import cached_property
from itertools import combinations, islice
from math import lcm

from ..algebra.number_rows import CONSTANT, NumberRow, solve_number_rows
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..graph.lines import Loop, same_loop
from ..graph.loops import simple_loops
from ..laws.laws import laws
from ..laws.loops import are_independent, from_a_source, is_plain
from .equation_slips import EquationRow, EquationTerm, fixed_rows, junction_row, loop_row

LOOPS_SEEN = 12  # simple loops looked at, short circuits of loops first
SETS_SEEN = 24  # sets of loops looked at, the usual set first


class Fate(StrEnum):
    """What comes of a slip."""

    ANSWER = "an answer"
    OPEN = "left open"
    CONTRADICTION = "a contradiction"


@dataclass(frozen=True, slots=True)
class SlipOutcome:
    """What a slip gives at one point: exact values (SI units) by name.

    The names are currents (along the circuit's arrows), `V(a, b)` or `P(R1)`; possibly some only. Where
    the fate is OPEN, any multiple of each of `ways` may be added to the values.
    """

    fate: Fate
    values: Mapping[str, Fraction]
    ways: tuple[Mapping[str, Fraction], ...] = ()


@dataclass(frozen=True, slots=True)
class EquationSlot:
    """One equation seen in a set in which it is used. `others`: the rest of the set; `usual`: whether it is
    the set a person would write first. `loop`: the loop it goes round, if it is a loop equation; `beside`:
    the names of the others of its kind where the set is not the usual one."""

    row: EquationRow
    others: tuple[EquationRow, ...]
    usual: bool = True
    loop: Loop = ()
    beside: str = ""  # the other loops, or junctions, of an unusual set

    def holding(self, row: EquationRow) -> tuple[EquationRow, ...]:
        """The set with another row in the place of this equation."""
        return (*self.others, row)


class Setting:
    """A well-posed circuit with the equation sets a person might write. `loops`: the usual set of
    independent loops (by default that of `laws`)."""

    def __init__(self, circuit: Circuit, loops: Sequence[Loop] | None = None) -> None:
        self.circuit = circuit
        chosen = [e.loop for e in laws(circuit).loops] if loops is None else loops
        self.loops: tuple[Loop, ...] = tuple(chosen)
        self.junctions = tuple(junction_row(circuit, e.point) for e in laws(circuit).independent_junctions)
        self._rounds: dict[Loop, EquationRow] = {}
        self.loop_rows = tuple(self.round(loop) for loop in self.loops)
        self.fixed = fixed_rows(circuit)
        self.rows: tuple[EquationRow, ...] = (*self.junctions, *self.loop_rows, *self.fixed)

    def round(self, loop: Loop) -> EquationRow:
        """The row of a loop; the same object each time, so that it is put in numbers only once."""
        if loop not in self._rounds:
            self._rounds[loop] = loop_row(self.circuit, loop)
        return self._rounds[loop]

    @cached_property
    def known_loops(self) -> tuple[Loop, ...]:
        """The usual loops and others that avoid gaps and current sources, each started as usual."""
        found = list(self.loops)
        for loop in islice(simple_loops(self.circuit.branches), 5 * LOOPS_SEEN):
            if len(found) == LOOPS_SEEN:
                break
            if is_plain(self.circuit, loop) and not any(same_loop(loop, other) for other in found):
                found.append(from_a_source(self.circuit, loop))
        return tuple(found)

    @property
    def spare_loops(self) -> tuple[Loop, ...]:
        """The known loops that are not in the usual set."""
        return self.known_loops[len(self.loops) :]

    @cached_property
    def loop_sets(self) -> tuple[tuple[Loop, ...], ...]:
        """Sets of independent loops that are enough, the usual one first."""
        others = (
            chosen
            for chosen in islice(combinations(self.known_loops, len(self.loops)), 20 * SETS_SEEN)
            if chosen != self.loops and are_independent(chosen)
        )
        return (self.loops, *islice(others, SETS_SEEN - 1))

    def loop_slots(self, *, usual_only: bool = False) -> Iterator[EquationSlot]:
        """Every loop equation of every set seen, once for each company it is met in."""
        for n, chosen in enumerate(self.loop_sets[:1] if usual_only else self.loop_sets):
            for loop in chosen:
                rest = [other for other in chosen if other is not loop]
                others = (*self.junctions, *(self.round(other) for other in rest), *self.fixed)
                beside = " and ".join(self.round(other).name for other in rest) if n else ""
                yield EquationSlot(self.round(loop), others, n == 0, loop, beside)

    def junction_slots(self) -> Iterator[EquationSlot]:
        """Every junction equation of the usual set; then the one left out, in the place of each."""
        rest = (*self.loop_rows, *self.fixed)
        kept = self.junctions
        for at, row in enumerate(kept):
            yield EquationSlot(row, (*kept[:at], *kept[at + 1 :], *rest))
        names = {row.name for row in kept}
        for point in self.circuit.points if len(kept) > 1 else ():
            row = junction_row(self.circuit, point)
            if row.terms and row.name not in names:
                for at in range(len(kept)):
                    company = (*kept[:at], *kept[at + 1 :])
                    beside = " and ".join(other.name for other in company)
                    yield EquationSlot(row, (*company, *rest), usual=False, beside=beside)

    def cut(self, *names: str) -> tuple[EquationRow, ...] | None:
        """The equations of the circuit with these branches carrying nothing; None where the loops that
        avoid them are too few."""
        plain = [loop for loop in simple_loops(self.circuit.branches, 500) if is_plain(self.circuit, loop)]
        free = [loop for loop in plain if not any(name in dict(loop) for name in names)]
        chosen: list[Loop] = []
        for loop in free:
            if are_independent([*chosen, loop]):
                chosen.append(loop)
        nothing = tuple(EquationRow(f"{name} = 0", (EquationTerm(1, name),)) for name in names)
        rows = (*self.junctions, *self.fixed, *(self.round(loop) for loop in chosen), *nothing)
        return rows if len(rows) >= len(self.circuit.currents) else None

    # -- what is where ---------------------------------------------------------------------------

    @cached_property
    def resistors(self) -> tuple[str, ...]:
        """The resistors met, in order."""
        return tuple(
            p.element
            for b in self.circuit.branches
            for p in b.passes
            if self.circuit.elements[p.element].kind is Kind.RESISTOR
        )

    @cached_property
    def batteries(self) -> tuple[str, ...]:
        """The batteries met, in order."""
        return tuple(
            p.element
            for b in self.circuit.branches
            for p in b.passes
            if self.circuit.elements[p.element].kind is Kind.BATTERY
        )

    @cached_property
    def driven(self) -> tuple[Branch, ...]:
        """The branches that hold a battery."""
        return tuple(b for b in self.circuit.branches if self._holds(b, Kind.BATTERY))

    @cached_property
    def passive(self) -> tuple[Branch, ...]:
        """The branches with resistance and no source, gap or fixed current."""
        return tuple(
            b
            for b in self.circuit.branches
            if b not in self.driven
            and self.circuit.fixed_current(b.name) is None
            and self.circuit.resistance(b.name)
        )

    def _holds(self, b: Branch, kind: Kind) -> bool:
        return any(self.circuit.elements[p.element].kind is kind for p in b.passes)

    @property
    def is_plain(self) -> bool:
        """Whether no element fixes a current."""
        return not self.fixed

    @cached_property
    def side_by_side(self) -> bool:
        """Whether all branches, two or more with resistance, join the same two points."""
        return len(self.circuit.points) == 2 and all(
            b.start != b.end
            and self.circuit.resistance(b.name)
            and self.circuit.fixed_current(b.name) is None
            for b in self.circuit.branches
        )


class SettingInNumbers:
    """A setting with one exact number (SI units) for each symbol, and the right answers there."""

    def __init__(self, setting: Setting, symbols: Mapping[str, Fraction]) -> None:
        self.setting, self.symbols = setting, dict(symbols)
        circuit = setting.circuit
        sizes = [self.symbols[name] for name in circuit.symbols]
        self._common = lcm(*(size.denominator for size in sizes))
        self._numerators = [size.numerator * (self._common // size.denominator) for size in sizes]
        self._products: dict[tuple[int, ...], tuple[int, int]] = {}
        self._rows: dict[int, tuple[EquationRow, dict[str, Fraction]]] = {}
        met = [p.element for b in circuit.branches for p in b.passes]
        self.values: dict[tuple[str, bool], Fraction] = {}
        for name in met:
            self.values[name, False] = circuit.value(name).value(self.symbols)
            self.values[name, True] = circuit.internal_resistance(name).value(self.symbols)

    def moved(self, factors: Mapping[str, Fraction]) -> SettingInNumbers:
        """The same setting in other numbers: those of some symbols multiplied by these factors."""
        return SettingInNumbers(
            self.setting, {n: v * factors.get(n, Fraction(1)) for n, v in self.symbols.items()}
        )

    def coefficient(self, term: EquationTerm) -> Fraction:
        """A term's coefficient (or, without a current, the term itself) with its sign."""
        return self.values[term.element, term.internal] * term.sign if term.element else Fraction(term.sign)

    def row(self, row: EquationRow) -> Mapping[str, Fraction]:
        """A row in numbers; the same row object is worked out once."""
        if id(row) not in self._rows:
            self._rows[id(row)] = row, self._numbers(row)
        return self._rows[id(row)][1]

    def _numbers(self, row: EquationRow) -> dict[str, Fraction]:
        found: dict[str, Fraction] = {}
        for term in row.terms:
            key = term.current or CONSTANT
            found[key] = found.get(key, Fraction(0)) + self.coefficient(term)
        return found

    def off(self, row: EquationRow, values: Mapping[str, Fraction]) -> Fraction:
        """What a row adds up to for these currents: zero where they satisfy it."""
        numbers = self.row(row)
        return sum_of(c * values[n] if n else c for n, c in numbers.items())

    def outcome(
        self, rows: Sequence[EquationRow] = (), more: Sequence[NumberRow] = (), extra: Sequence[str] = ()
    ) -> SlipOutcome:
        """What a set of equations gives: `rows` in symbols, `more` in numbers already. `extra`: unknowns
        besides the currents, solved for and not reported."""
        currents = self.setting.circuit.currents
        found = solve_number_rows([*map(self.row, rows), *more], [*extra, *currents])
        if found.refused:
            return SlipOutcome(Fate.CONTRADICTION, {})
        base = found.base
        values = {n: base[n] for n in currents}
        ways = tuple({n: way[n] for n in currents} for way in found.ways)
        open_ways = tuple(way for way in ways if any(way.values()))
        return SlipOutcome(Fate.OPEN if open_ways else Fate.ANSWER, values, open_ways)

    @cached_property
    def right(self) -> Mapping[str, Fraction]:
        """The right currents."""
        return self.outcome(self.setting.rows).values

    def value_of(self, terms: Sequence[tuple[tuple[int, ...], int]]) -> Fraction:
        """The value of a sum of products of the circuit's symbols, each given as the powers of the symbols
        (in the order of the field) and a whole coefficient.

        Worked in whole numbers over one common denominator, for speed.
        """
        products = [(*self._product(exponents), coefficient) for exponents, coefficient in terms]
        highest = max((degree for _, degree, _ in products), default=0)
        common = [self._common**n for n in range(highest + 1)]
        above = sum(coefficient * size * common[highest - degree] for size, degree, coefficient in products)
        return Fraction(above, common[highest])

    def _product(self, exponents: tuple[int, ...]) -> tuple[int, int]:
        """A product of the symbols' numerators over the common denominator, and its degree."""
        if exponents not in self._products:
            found = 1
            for size, power in zip(self._numerators, exponents, strict=False):
                found *= size**power if power > 1 else size if power else 1
            self._products[exponents] = found, sum(exponents[: len(self._numerators)])
        return self._products[exponents]

    def resistance(self, branch: str) -> Fraction:
        """All resistance along a branch."""
        elements = self.setting.circuit.elements
        return sum_of(
            self.values[p.element, elements[p.element].kind is Kind.BATTERY]
            for p in self.setting.circuit.branch(branch).passes
            if elements[p.element].kind in (Kind.BATTERY, Kind.RESISTOR)
        )

    def rise(self, branch: str) -> Fraction:
        """The emfs along the arrow of a branch."""
        elements = self.setting.circuit.elements
        return sum_of(
            self.values[p.element, False] * p.sign
            for p in self.setting.circuit.branch(branch).passes
            if elements[p.element].kind is Kind.BATTERY
        )

    def power(self, element: str) -> Fraction:
        """The power a resistor takes in, or an emf delivers, its internal resistance left aside."""
        circuit = self.setting.circuit
        current = self.right[circuit.branch_of(element).name]
        if circuit.elements[element].kind is Kind.RESISTOR:
            return current * current * self.values[element, False]
        return self.values[element, False] * circuit.pass_of(element).sign * current

    @property
    def heat_inside(self) -> Fraction:
        """The heat in the internal resistances of all batteries."""
        circuit = self.setting.circuit
        return sum_of(
            self.right[circuit.branch_of(b).name] ** 2 * self.values[b, True] for b in self.setting.batteries
        )

    @cached_property
    def potentials(self) -> Mapping[str, Fraction]:
        """The potential of each point against the first, as far as branches that fix no current lead."""
        circuit = self.setting.circuit
        found = {circuit.points[0]: Fraction(0)}
        lines = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
        for _ in circuit.points:
            for b in lines:
                fall = self.right[b.name] * self.resistance(b.name) - self.rise(b.name)
                if b.start in found:
                    found.setdefault(b.end, found[b.start] - fall)
                elif b.end in found:
                    found[b.start] = found[b.end] + fall
        return found

    def voltage(self, a: str, b: str) -> Fraction | None:
        """V(a, b), or None where no branch leads on."""
        level = self.potentials
        return level[a] - level[b] if a in level and b in level else None


@dataclass(frozen=True, slots=True)
class Model:
    """One slip made in one place.

    `entry`: its key in the catalogue; `place`: where, and what becomes of it there; `line`: the line in
    which it would be seen; `at`: what it gives at a point; `rows`: the wrong set of equations, where the
    slip leaves one; `usual`: whether the set is the usual one but for the slip.
    """

    entry: str
    place: str
    line: str
    at: Callable[[SettingInNumbers], SlipOutcome]
    rows: tuple[EquationRow, ...] = ()
    usual: bool = True


def of_rows(entry: str, place: str, line: str, rows: Sequence[EquationRow], *, usual: bool = True) -> Model:
    """The model of a slip that leaves this set of equations."""
    kept = tuple(rows)
    return Model(entry, place, line, lambda point: point.outcome(kept), kept, usual)


def in_slot(entry: str, what: str, slot: EquationSlot, terms: Sequence[EquationTerm]) -> Model:
    """The model of a slip that leaves these terms of one equation of a set."""
    beside = f", beside {slot.beside}" if slot.beside else ""
    rows = slot.holding(EquationRow(slot.row.name, tuple(terms)))
    return of_rows(entry, f"{what} in {slot.row.name}{beside}", slot.row.name, rows, usual=slot.usual)


def of_values(
    entry: str, place: str, line: str, values: Callable[[SettingInNumbers], Mapping[str, Fraction]]
) -> Model:
    """The model of a slip that gives values straight away."""
    return Model(entry, place, line, lambda point: SlipOutcome(Fate.ANSWER, values(point)))


def turned(term: EquationTerm) -> EquationTerm:
    """The term with its other sign."""
    return replace(term, sign=-term.sign)


def sum_of(values: Iterable[Fraction]) -> Fraction:
    """The sum of fractions, 0 where there are none."""
    return sum(values, Fraction(0))


def voltage_name(a: str, b: str) -> str:
    """The one name of a potential difference."""
    return f"V({a}, {b})"
