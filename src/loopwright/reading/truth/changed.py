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
from ...circuit.elements import Branch, Element, Kind, Pass
from ...circuit.targets import target
from ...errors import FaultyMaterial
from ...expressions.nodes import Number, Product
from ...solve.asked import value_of
from ...solve.exact import Solution, solve, solve_posed, well_posed
from ..working import AS_DRAWN, CircuitChange

HELD = "voltage tried"  # the battery that holds a voltage, and its branch: no file can give such a name


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


def may_be_supposed(circuit: Circuit, setting: CircuitChange) -> bool:
    """Whether what is taken can be supposed, and is not so in truth."""
    if len(sources_in(circuit)) == 1:
        return times_as_much(circuit, setting) not in (None, 1)
    if not circuit.has_all_numbers or in_setting(circuit, setting) is None:
        return False
    true = value_of(circuit.remembered(solve), target(setting.taken, circuit))
    return true.value(circuit.numbers) != setting.worth


def is_trial(circuit: Circuit, setting: CircuitChange) -> bool:
    """Whether a change holds a voltage at what is tried out, so that the junction rule fails at its ends."""
    return bool(setting.taken) and len(sources_in(circuit)) > 1


def points_tried(setting: CircuitChange) -> tuple[str, ...]:
    """The two points between which a voltage is tried out."""
    return tuple(setting.taken.removeprefix("V(").removesuffix(")").split(", "))


def _held_at(circuit: Circuit, setting: CircuitChange) -> Circuit:
    """The circuit with a battery of no resistance between two points, that holds a voltage as it is tried
    out: what comes in too much or too little at the points is its current."""
    one, other = points_tried(setting)
    held = Element(HELD, Kind.BATTERY, Number(setting.worth))
    branch = Branch(HELD, other, one, (Pass(HELD, 1),))
    elements, branches = {**circuit.elements, HELD: held}, (*circuit.branches, branch)
    own = replace(circuit, elements=elements, branches=branches, find=(), expect=(), sought=(), given=())
    return replace(own, lettered=None).worked_in(circuit.field)


def _changed(circuit: Circuit, setting: CircuitChange) -> Circuit:
    if is_trial(circuit, setting):
        return _held_at(circuit, setting)
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
