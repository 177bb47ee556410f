"""Circuits that a working changes before it works in them: one source alone, an element out, a wire for it.

Each has currents and potentials of its own, which are quantities of the working beside those of the circuit
as drawn. Here they get names (`I1 with E2 at zero`) and their exact values.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from ...algebra.ratios import Ratio
from ...circuit.changed import at_rest, sources_in, taken_out
from ...circuit.circuit import Circuit
from ...circuit.elements import Element, Kind
from ...circuit.targets import target
from ...errors import FaultyMaterial
from ...expressions.nodes import Number, Product
from ...solve.asked import value_of
from ...solve.exact import Solution, solve, solve_posed, well_posed
from ..working import AS_DRAWN, CircuitChange


def part(name: str, setting: CircuitChange) -> str:
    """What a current or potential of the changed circuit is called among the unknowns of a working."""
    return f"{name} {setting.words}" if setting else name


def in_setting(circuit: Circuit, setting: CircuitChange) -> Solution | None:
    """The solution of the changed circuit; None where it has no one answer."""
    known: dict[CircuitChange, Solution | None] = circuit.remembered(_known)
    if setting not in known:
        try:
            known[setting] = solve_posed(well_posed(_changed(circuit, setting)))
        except FaultyMaterial:
            known[setting] = None
    return known[setting]


def _known(_: Circuit) -> dict[CircuitChange, Solution | None]:
    """The solutions of changed circuits that were asked for so far."""
    return {}


def worth(circuit: Circuit, name: str) -> Ratio | None:
    """The exact value of a current or potential of a changed circuit by its name among the unknowns, for
    those
    circuits that were solved already."""
    home = home_of(circuit, name)
    found = circuit.remembered(_known).get(home.setting)
    return None if found is None else home.value(found)


@dataclass(frozen=True, slots=True)
class Home:
    """An unknown of a working in the circuit that it is of: its `name` there, and what was changed in that
    circuit."""

    name: str
    setting: CircuitChange

    def value(self, found: Solution) -> Ratio:
        """Its true value in the solution of that circuit."""
        if self.name in found.currents:
            return found.currents[self.name]
        return found.potentials[self.name.removeprefix("φ ")][1]


def home_of(circuit: Circuit, name: str) -> Home:
    """Where an unknown is at home, among the changed circuits that were solved already."""
    for setting, found in circuit.remembered(_known).items():
        plain = name.removesuffix(f" {setting.words}")
        point = plain.removeprefix("φ ")
        if found is not None and plain != name and (plain in found.currents or point in found.potentials):
            return Home(plain, setting)
    return Home(name, AS_DRAWN)


def times_as_much(circuit: Circuit, setting: CircuitChange) -> Fraction | None:
    """How many times the true values the currents and voltages are where one of them is taken as something;
    None where that cannot be told: several sources, a number missing, a quantity that is zero."""
    if not setting.taken or len(sources_in(circuit)) != 1 or not circuit.has_all_numbers:
        return None
    try:
        true = value_of(circuit.remembered(solve), target(setting.taken, circuit))
        value = true.value(circuit.numbers)
    except (FaultyMaterial, ArithmeticError, LookupError):
        return None
    return setting.worth / value if value and setting.worth else None


def _changed(circuit: Circuit, setting: CircuitChange) -> Circuit:
    if setting.taken:
        times, (name,) = times_as_much(circuit, setting) or Fraction(1), sources_in(circuit)
        source = circuit.elements[name]
        free = replace(source, value=Product((Number(times), source.value)))
        return replace(circuit, elements={**circuit.elements, name: free}).worked_in(circuit.field)
    found = at_rest(taken_out(circuit, setting.out), setting.at_zero)
    wires = {name: Element(name, Kind.AMMETER) for name in setting.wired}
    return replace(found, elements={**found.elements, **wires}).worked_in(circuit.field)


def each_alone(circuit: Circuit) -> tuple[CircuitChange, ...]:
    """The circuits in which one source acts alone, in the order of the sources."""
    sources = sources_in(circuit)
    if len(sources) < 2:
        return ()
    return tuple(CircuitChange(at_zero=tuple(other for other in sources if other != one)) for one in sources)
