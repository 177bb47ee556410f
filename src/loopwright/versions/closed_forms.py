"""The quantities of a circuit in its symbols: what wishes speak of, and by what versions are alike."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from contextlib import suppress
from fractions import Fraction
from typing import Protocol

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import DIMENSION_OF
from ..circuit.timed_wishes import asked_times, currents_at, exact_question, is_in_time
from ..circuit.wishes import Wish
from ..errors import FaultyMaterial
from ..expressions.nodes import Expr
from ..expressions.values import ratio_of, symbols_of
from ..findings import Finding
from ..solve.asked import value_written
from ..solve.endless_ladder import endless_ladder
from ..solve.exact import Solution, solve
from ..transients.stages import by_move, stages, value_in_stages
from ..transients.timed_values import course_of
from .grid import ChoiceGrid
from .roots import ladder_conditions
from .sieve import Condition, conditions


class ClosedForms(Protocol):
    """What a search for versions needs to know of a circuit."""

    @property
    def signed(self) -> Mapping[str, Ratio]:
        """The quantities whose signs make the pattern that versions share, by their names."""

    @property
    def positive(self) -> list[Ratio]:
        """What must be above 0 in every version."""

    def value(self, written: Expr, numbers: Mapping[str, Fraction]) -> Fraction:
        """The value of what is written in a wish, exactly where it is a fraction."""

    def conditions(self, wish: Wish, grid: ChoiceGrid) -> tuple[Condition, ...]:
        """The conditions that a wish comes to on the grid."""


class _InFractions(ABC):
    """Closed forms that are all fractions of polynomials."""

    @abstractmethod
    def ratio(self, written: Expr) -> Ratio:
        """The closed form of what is written in a wish."""

    def value(self, written: Expr, numbers: Mapping[str, Fraction]) -> Fraction:
        """The value of what is written in a wish."""
        return self.ratio(written).value(numbers)

    def conditions(self, wish: Wish, grid: ChoiceGrid) -> tuple[Condition, ...]:
        """The conditions that a wish comes to on the grid."""
        return conditions(wish, grid, self.ratio)


class SteadyForms(_InFractions):
    """Those of a circuit of constant currents. `solution`: its currents."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.solution: Solution = solve(circuit)
        self._known: dict[Expr, Ratio] = {}

    @property
    def signed(self) -> Mapping[str, Ratio]:
        """All currents."""
        return {name: self.solution.currents[name] for name in self.circuit.currents}

    @property
    def positive(self) -> list[Ratio]:
        """The values of all elements."""
        return values_of_elements(self.circuit)

    def ratio(self, written: Expr) -> Ratio:
        """The closed form of what is written."""
        if written not in self._known:
            self._known[written] = value_written(written, self.solution)
        return self._known[written]


class TimedForms(_InFractions):
    """Those of a circuit with capacitors, coils or switches that move."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.stages = stages(circuit)
        self._known: dict[str, Ratio] = {}

    @property
    def signed(self) -> Mapping[str, Ratio]:
        """Every current just after the first move and long after the last, where it has such a value."""
        moments = [m for name in self.circuit.currents for m in currents_at(name, self.circuit)]
        found: dict[str, Ratio] = {}
        for moment in moments:
            with suppress(FaultyMaterial):
                found[moment.name] = self._quantity(moment.name)
        return found

    @property
    def positive(self) -> list[Ratio]:
        """The values of all elements; and, so that every time asked for comes, how far the value to be met
        lies from both ends, multiplied: of a quantity that goes from one end to the other and never back."""
        found = values_of_elements(self.circuit)
        for asked in asked_times(self.circuit) if len(self.stages) == 1 else ():
            if asked.of is None or asked.at is None:
                continue
            course, wanted = course_of(self.stages[0], asked.of), self.circuit.field.number(asked.at)
            if course.long_after is not None and len(course.decays) == 1 and course.decays[0].is_plain:
                found.append((course.just_after - wanted) * (wanted - course.long_after))
        return found

    def ratio(self, written: Expr) -> Ratio:
        """The closed form of what is written. Raises FaultyMaterial for what has no exact value."""
        circuit = self.circuit
        names: dict[str, Ratio] = {}
        for name in symbols_of(written):
            if name in circuit.elements and name not in circuit.field:
                names[name] = circuit.value(name)
            elif name not in circuit.field:
                names[name] = self._quantity(name)
        return ratio_of(written, circuit.field, names)

    def _quantity(self, text: str) -> Ratio:
        """The closed form of a quantity with its moment."""
        if text not in self._known:
            question = by_move(exact_question(text, self.circuit), len(self.stages))[0]
            exact = value_in_stages(self.stages, question).exact
            if exact is None or any(name not in self.circuit.field for name in exact.held()):
                message = f"{text} has no exact value that numbers could be chosen by."
                mend = "Wish for what it is made of: a value just after, long after, or tau."
                raise FaultyMaterial(Finding("versions/unreadable-wish", message, mend))
            self._known[text] = exact.at({}, self.circuit.field)
        return self._known[text]


class LadderForms:
    """Those of a ladder without end: the resistance at its beginning, with a square root in it."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        found = endless_ladder(circuit)
        self.name, self.resistance = f"R({', '.join(found.ladder.start)})", found.resistance

    @property
    def signed(self) -> Mapping[str, Ratio]:
        """Nothing: a resistance is never negative."""
        return {}

    @property
    def positive(self) -> list[Ratio]:
        """The values of all elements."""
        return values_of_elements(self.circuit)

    def value(self, written: Expr, numbers: Mapping[str, Fraction]) -> Fraction:
        """The value of what is written in a wish; to forty figures where the root is no fraction."""
        field = self.circuit.field
        resistance = field.number(self.resistance.value(numbers))
        return ratio_of(written, field, {**self._elements(), self.name: resistance}).value(numbers)

    def conditions(self, wish: Wish, grid: ChoiceGrid) -> tuple[Condition, ...]:
        """The conditions that a wish comes to. Raises FaultyMaterial for one that says more of the resistance
        than that it is a whole number of something, or how it compares with something else."""
        try:
            return ladder_conditions(wish, grid, self.name, self.resistance, self._ratio)
        except KeyError as trouble:
            message = f'"{wish.text}" is wished for, but {self.name} has a square root in it.'
            mend = f'Wish for {self.name} by itself: "{self.name} whole" or "{self.name} < 6 ohm".'
            raise FaultyMaterial(Finding("versions/unreadable-wish", message, mend)) from trouble

    def _ratio(self, written: Expr) -> Ratio:
        return ratio_of(written, self.circuit.field, self._elements())

    def _elements(self) -> dict[str, Ratio]:
        field, met = self.circuit.field, self.circuit.elements
        return {n: self.circuit.value(n) for n, e in met.items() if n not in field and e.kind in DIMENSION_OF}


def values_of_elements(circuit: Circuit) -> list[Ratio]:
    """The values of all elements, internal resistances among them."""
    met = [p.element for b in circuit.branches for p in b.passes]
    values = [circuit.value(n) for n in met if circuit.elements[n].kind in DIMENSION_OF]
    return values + [v for n in met if (v := circuit.internal_resistance(n))]


def closed_forms(circuit: Circuit) -> ClosedForms:
    """Those of a circuit. Raises FaultyMaterial where it has no one answer."""
    if circuit.ladder is not None:
        return LadderForms(circuit)
    return TimedForms(circuit) if is_in_time(circuit) else SteadyForms(circuit)
