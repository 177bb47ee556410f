"""The load for the greatest power, that power, and the current of a short circuit; exact, in symbols.

A power as a function of one resistance has its one greatest value where its derivative changes from plus to
minus. What decides the sign of the derivative is found by factors: what is positive, or a square, does not
count. Where the power is that of the load itself, this is the resistance that the load sees (M. H. von
Jacobi, 1840; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..circuit.unknowns import Sought, SoughtKind, sought_of
from ..errors import FaultyMaterial
from ..findings import Finding
from .asked import value_of
from .currents import NoUniqueSolution
from .exact import Solution, solve_posed
from .two_points import short_current


@dataclass(frozen=True, slots=True)
class GreatestPower:
    """The greatest power as one symbol varies: `power` in closed form, `deciding` the factor by whose sign
    the power rises or falls (linear in `symbol`, positive below `at`, negative above), `at` the value for
    the greatest power and `greatest` that power. `in_numbers`: whether the sign could only be told with the
    numbers put in."""

    sought: Sought
    symbol: str
    power: Ratio
    deciding: Ratio
    at: Ratio
    greatest: Ratio
    in_numbers: bool


@dataclass(frozen=True, slots=True)
class ShortCircuit:
    """The current from one point to another through a wire laid between them: `voltage` without it over the
    `resistance` seen. `afresh`: the same from the circuit with the wire in it; None where that has no
    one answer."""

    points: tuple[str, str]
    voltage: Ratio
    resistance: Ratio
    current: Ratio
    afresh: Ratio | None


def greatest_powers(solution: Solution) -> tuple[GreatestPower, ...]:
    """What is asked of greatest powers, in order. Raises FaultyMaterial where there is not one positive
    value with the greatest power, or it cannot be told."""
    kinds = (SoughtKind.LOAD, SoughtKind.GREATEST)
    return tuple(_greatest(s, solution) for s in sought_of(solution.circuit) if s.kind in kinds)


def _greatest(sought: Sought, solution: Solution) -> GreatestPower:
    circuit = solution.circuit
    symbol = sought.names[0]
    assert sought.power is not None
    power = value_of(solution, sought.power)
    deciding = _deciding(power, symbol)
    numbers = {n: v for n, v in circuit.numbers.items() if n != symbol}
    in_numbers = deciding is None and all(n in numbers or n == symbol for n in circuit.symbols)
    if in_numbers:
        power = power.at(numbers, Field((symbol,)))
        deciding = _deciding(power, symbol)
    if deciding is None:
        raise FaultyMaterial(
            Finding(
                "given/no-greatest",
                f"{sought.power.as_text()} has no one greatest value at a positive {symbol}, or it cannot be "
                "told for all values.",
                f"Give numbers for all but {symbol}, or ask of the load's own power.",
                circuit.place("find"),
            )
        )
    parts = deciding.coefficients_in(symbol)
    at = -parts[0] / parts[1]
    return GreatestPower(sought, symbol, power, deciding, at, power.at({symbol: at}), in_numbers)


def _deciding(power: Ratio, symbol: str) -> Ratio | None:
    """The one factor of the derivative that changes its sign as the symbol grows from 0: linear, with a
    positive constant and a negative slope. None where there is none or another may change it too."""
    slope = power.derivative(symbol)
    content, above = slope.factors()
    _, below = slope.factors(below=True)
    left = [factor for factor, times in (*above, *below) if times % 2 and not _one_sign(factor)]
    if len(left) != 1 or left[0].degree(symbol) != 1 or not any(f == left[0] for f, _ in above):
        return None
    parts = left[0].coefficients_in(symbol)
    if 0 not in parts:
        return None
    factor = left[0] * (1 if content > 0 else -1)
    parts = factor.coefficients_in(symbol)
    return factor if _one_sign(parts[0]) and _one_sign(-parts[1]) else None


def _one_sign(ratio: Ratio) -> bool:
    """Whether a polynomial is positive for all positive values of its symbols, as its signs tell."""
    return False not in ratio.signs()


def matches_open_and_short(found: GreatestPower, solution: Solution) -> bool | None:
    """Whether the load found is the voltage left when it is open over the current when it is a wire, from
    circuits changed and solved afresh, and the power a quarter of their product. None where the power is not
    that of one resistor of this symbol alone."""
    circuit = solution.circuit
    power = found.sought.power
    carriers = [e for e in circuit.elements.values() if found.symbol in _symbols(circuit, e.name)]
    if power is None or len(carriers) != 1 or power.names[0] != carriers[0].name:
        return None
    element = carriers[0].name
    if circuit.value(element) != circuit.field.symbol(found.symbol):
        return None
    branch = circuit.branch_of(element).name
    try:
        shorted = solve_posed(circuit.shorted(element)).currents[branch]
    except (NoUniqueSolution, KeyError):
        return None
    across = solution.currents[branch] * circuit.value(element)
    top = across.degree(found.symbol)
    above, below = (across.coefficients_in(found.symbol, below=part) for part in (False, True))
    if top != 1 or 1 not in below:
        return None
    opened = above[1] / below[1]
    shorted = shorted.at({}, circuit.field)
    if found.in_numbers:
        numbers = {n: v for n, v in circuit.numbers.items() if n != found.symbol}
        field = found.at.field
        opened, shorted = opened.at(numbers, field), shorted.at(numbers, field)
    return found.at * shorted == opened and found.greatest * 4 == opened * shorted


def _symbols(circuit: Circuit, element: str) -> tuple[str, ...]:
    return (*circuit.value(element).held(), *circuit.internal_resistance(element).held())


def short_circuits(solution: Solution) -> tuple[ShortCircuit, ...]:
    """The short-circuit currents asked for, in order. Raises FaultyMaterial where nothing limits one."""
    return tuple(_short(s, solution) for s in sought_of(solution.circuit) if s.kind is SoughtKind.SHORT)


def _short(sought: Sought, solution: Solution) -> ShortCircuit:
    circuit = solution.circuit
    a, b = sought.names
    voltage, resistance = solution.difference(a, b), solution.resistance(a, b)
    if not resistance:
        raise FaultyMaterial(
            Finding(
                "given/no-limit-to-current",
                f"No resistance limits the current through a wire from {a} to {b}.",
                "Give the battery an internal resistance, or ask between other points.",
                circuit.place("find"),
            )
        )
    afresh = short_current(circuit, a, b)
    return ShortCircuit((a, b), voltage, resistance, voltage / resistance, afresh)


def number_of(ratio: Ratio, circuit: Circuit) -> Fraction | None:
    """The number of a ratio with the circuit's numbers, or None where one is missing."""
    held = ratio.held()
    return ratio.value(circuit.numbers) if all(name in circuit.numbers for name in held) else None
