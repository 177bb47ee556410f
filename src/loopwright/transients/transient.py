"""A circuit with storages before, just after and long after its switches move, and in between."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from ..algebra.ratios import Ratio
from ..algebra.surds import Surd
from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_HELD, Kind
from ..errors import FaultyMaterial
from ..expressions.values import ratio_of
from ..findings import Finding
from ..solve.exact import Solution, solve_posed, well_posed
from .amounts import adds_up, in_figures, scaled, slope_of, summed
from .course import Course, Poles, course, poles_of
from .image import Image, image
from .number_course import NumberCourse, in_numbers
from .redrawn import just_after, long_after, seen_by, solved_afresh


@dataclass(frozen=True)
class Point:
    """A stage at one set of numbers, exactly. `numbers`: those; `circuit`: the circuit without symbols;
    `held`: what its storages hold; `currents`: as the stage tells them."""

    numbers: Mapping[str, Fraction]
    circuit: Circuit
    held: Mapping[str, Ratio]
    currents: Mapping[str, Course]


@dataclass(frozen=True)
class Transient:
    """One stage: the circuit after the move, and what its storages hold when it begins. `begins`: the symbol
    of its time, counted from the first move; empty for the first stage. `carried`: by each symbol that stands
    for what a storage brings along from the stage before, that storage."""

    circuit: Circuit
    held: Mapping[str, Ratio]
    begins: str = ""
    carried: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def image(self) -> Image:
        """The stage in the rate s."""
        return image(self.circuit, self.held)

    @cached_property
    def currents(self) -> Mapping[str, Course]:
        """The course of every branch current."""
        return {name: self._course(ratio) for name, ratio in self.image.currents.items()}

    @cached_property
    def before(self) -> Solution | None:
        """The circuit just before the move, its storages standing for what they hold; None where that does
        not decide its currents."""
        return solved_afresh(just_after(before(self.circuit), self.held), self.circuit)

    @cached_property
    def start(self) -> Solution | None:
        """The circuit just after the move, redrawn and solved afresh; None where it has no one answer."""
        return solved_afresh(just_after(self.circuit, self.held), self.circuit)

    @cached_property
    def end(self) -> Solution | None:
        """The circuit long after, redrawn and solved afresh; None where it has no one answer."""
        return solved_afresh(long_after(self.circuit), self.circuit)

    @cached_property
    def rates(self) -> tuple[Surd, ...]:
        """The rates at which anything in the circuit changes, in 1/s, each once, in order of first
        meeting."""
        storages = [self.across(name) for name in self.circuit.storages]
        courses = (*self.currents.values(), *storages)
        found: list[Surd] = []
        for rate in (decay.rate for c in courses for decay in c.decays):
            found += [] if rate in found else [rate]  # few, and equal ones are mostly the same
        return tuple(found)

    def across(self, element: str) -> Course:
        """The course of the drop along its branch across an element."""
        if element not in self._across:
            self._across[element] = self._course(self.image.across(element))
        return self._across[element]

    @cached_property
    def _across(self) -> dict[str, Course]:
        return {}

    @cached_property
    def seen(self) -> Mapping[str, Ratio | None]:
        """By storage the resistance that it sees; None where that is infinite."""
        return {name: seen_by(self.circuit, name) for name in self.circuit.storages}

    def stored(self, name: str) -> Course:
        """The course of what a storage holds: the voltage of a capacitor, the current of a coil."""
        if self.circuit.elements[name].kind is Kind.CAPACITOR:
            return self.across(name)
        return self.currents[self.circuit.branch_of(name).name]

    def fills(self, name: str) -> Course:
        """The course of what changes a storage: the current of a capacitor, the voltage of a coil without
        that of its own resistance."""
        circuit = self.circuit
        current = self.currents[circuit.branch_of(name).name]
        if circuit.elements[name].kind is Kind.CAPACITOR:
            return current
        own = circuit.internal_resistance(name)
        return summed((self.across(name), 1), (scaled(current, own), -1)) if own else self.across(name)

    def obeys(self, name: str) -> bool:
        """Whether a storage obeys its law, term by term: C dV/dt is the current of a capacitor, L dI/dt the
        voltage of a coil."""
        if name not in self._obeyed:
            gains = scaled(slope_of(self.stored(name)), self.circuit.value(name))
            self._obeyed[name] = adds_up([(gains, 1), (self.fills(name), -1)])
        return self._obeyed[name]

    @cached_property
    def _obeyed(self) -> dict[str, bool]:
        return {}

    def difference(self, a: str, b: str) -> Course:
        """The course of the potential at a minus that at b."""
        return self._course(self.image.difference(a, b))

    def _course(self, ratio: Ratio) -> Course:
        below = ratio.denominator
        known = next((poles for met, poles in self._poles if met == below), None)
        if known is None:
            known = poles_of(ratio, self.circuit.field)
            self._poles.append((below, known))
        return course(ratio, self.circuit.field, known)

    @cached_property
    def _poles(self) -> list[tuple[Ratio, Poles]]:
        return []  # few: most quantities of a stage have one and the same denominator

    # -- in numbers --------------------------------------------------------------------------------

    @cached_property
    def is_whole(self) -> bool:
        """Whether every exponential has a form in symbols."""
        across = [self.across(name) for name in self.circuit.storages]
        return all(c.first is None for c in (*self.currents.values(), *across))

    @cached_property
    def error(self) -> Fraction:
        """By how much of themselves rates may be out; 0 where they are exact."""
        return max((c.error for c in self.currents.values()), default=Fraction(0))

    @cached_property
    def in_numbers(self) -> Transient:
        """The stage by which numbers are worked: itself, or, where its exponentials have no form in symbols
        or two of its rates are equal for its numbers, the same in numbers from the beginning."""
        return self.with_numbers(self.circuit.numbers)

    def with_numbers(self, numbers: Mapping[str, Fraction]) -> Transient:
        """As `in_numbers`, for these numbers of all symbols."""
        equal = any(r.factor and not r.under.value(numbers) for r in self.rates)
        if self.is_whole and not equal:
            return self
        bare = replace(self.circuit, numbers=numbers, start={}).in_numbers()
        return Transient(bare, {n: bare.field.number(v.value(numbers)) for n, v in self.held.items()})

    @cached_property
    def point(self) -> Point:
        """The stage with numbers put in: its own, small whole ones where it has none."""
        numbers = {s: self.circuit.numbers.get(s, Fraction(n)) for n, s in enumerate(self.circuit.symbols, 2)}
        work = self.with_numbers(numbers)
        if work is not self or not self.circuit.symbols:
            return Point(numbers, work.circuit, work.held, work.currents)
        bare = replace(self.circuit, numbers=numbers, start={}).in_numbers()
        held = {n: bare.field.number(v.value(numbers)) for n, v in self.held.items()}
        told = {n: in_figures(c, numbers, bare.field) for n, c in self.currents.items()}
        return Point(numbers, bare, held, told)

    def run(self, pick: Callable[[Transient], Course]) -> NumberCourse:
        """What is picked of the stage, in the circuit's numbers."""
        return self.in_numbers.numbered(pick(self.in_numbers))

    def numbered(self, course: Course) -> NumberCourse:
        """A course of the stage in the circuit's numbers; worked once for each."""
        at = id(course)
        if at not in self._numbered:
            self._numbered[at] = course, in_numbers(course, self.circuit.numbers)
        return self._numbered[at][1]

    @cached_property
    def _numbered(self) -> dict[int, tuple[Course, NumberCourse]]:
        return {}  # with the course, so that its number belongs to no other


def begun(stage: Transient) -> Fraction:
    """The time in seconds at which a stage begins. Raises KeyError where it has no number."""
    return stage.circuit.numbers[stage.begins] if stage.begins else Fraction(0)


def before(circuit: Circuit) -> Circuit:
    """The circuit as it stood before its switches moved."""
    elements = dict(circuit.elements)
    for move in reversed(circuit.switching):
        elements[move.switch] = replace(elements[move.switch], closed=move.before)
    return replace(circuit, elements=elements, switching=())


def transient(circuit: Circuit) -> Transient:
    """The circuit after the move, with what its storages hold: what [start] says, else what they come to when
    the circuit before has stood for long. Raises FaultyMaterial where that leaves it open."""
    said = {name: ratio_of(value, circuit.field) for name, value in circuit.start.items()}
    open_still = [name for name in circuit.storages if name not in said]
    if open_still:
        said |= _stood_for_long(circuit, open_still)
    return Transient(circuit, {name: said[name] for name in circuit.storages})


def steady_before(circuit: Circuit) -> Solution | None:
    """The circuit before the move when it has stood for long, capacitors gaps and coils wires; None where its
    currents are not settled."""
    try:
        return solve_posed(well_posed(replace(before(circuit), find=(), expect=(), in_time=())))
    except FaultyMaterial:
        return None


def _stood_for_long(circuit: Circuit, names: list[str]) -> dict[str, Ratio]:
    """What these storages hold when the circuit before has stood for long."""
    steady = steady_before(circuit)
    found: dict[str, Ratio] = {}
    faults: list[Finding] = []
    for name in names:
        coil = circuit.elements[name].kind is Kind.COIL
        try:
            if steady is None:
                raise FaultyMaterial()
            found[name] = steady.currents[circuit.branch_of(name).name] if coil else steady.across(name)
        except FaultyMaterial:
            faults.append(_open(circuit, name, coil))
    if faults:
        raise FaultyMaterial(*faults)
    return found


def _open(circuit: Circuit, name: str, coil: bool) -> Finding:
    what, unit = "current" if coil else "voltage", UNIT_HELD[circuit.elements[name].kind]
    moved = "before the switch moves" if circuit.switching else "at the start"
    return Finding(
        "time/start-open",
        f"Nothing decides what {what} {name} has {moved}: the circuit by itself leaves it open.",
        f'Say what it holds under [start], such as {name} = "0 {unit}".',
        circuit.place(f"elements.{name}"),
        (name,),
    )
