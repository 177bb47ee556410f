"""The exact value of whatever is asked of a solved circuit.

Signs of power: a resistor's counts as positive when taken in as heat, a source's when delivered. (In
`Solution.power_taken` every element's counts as taken, so that all of them add up to zero.)
"""

from __future__ import annotations

from ..algebra.ratios import Ratio
from ..circuit.changed import taken_out
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.targets import HEAT, SOURCES, Asked, Target, target
from ..errors import FaultyMaterial
from ..expressions.nodes import Expr
from ..expressions.said import as_text
from ..expressions.values import ratio_of, symbols_of
from ..findings import Finding
from .exact import Solution, solve_posed, well_posed


def value_of(solution: Solution, asked: Target) -> Ratio:
    """The exact value of what is asked, in SI units. Raises FaultyMaterial where it has none."""
    match asked.kind:
        case Asked.CURRENT:
            return solution.currents[asked.names[0]]
        case Asked.POTENTIAL:
            a, b = asked.names
            if asked.without:
                changed = solved_without(solution.circuit, asked.without)
                return changed.difference(a, b).at({}, solution.circuit.field)
            return solution.difference(a, b)
        case Asked.POWER:
            return power(solution, asked.names)
        case Asked.RESISTANCE:
            return solution.resistance(asked.names[0], asked.names[1], asked.without)
        case Asked.EXPRESSION:
            return value_written(asked.name, solution)


def value_written(expr: Expr, solution: Solution) -> Ratio:
    """The value of what is written in currents, element values and quantities like `V(a, b)`. Raises KeyError
    for a name that stands for nothing, and FaultyMaterial for what has no value."""
    names: dict[str, Ratio] = {}
    circuit = solution.circuit
    for name in symbols_of(expr):
        if name in solution.currents:
            names[name] = solution.currents[name]
        elif "(" in name:
            names[name] = value_of(solution, target(name, circuit))
        elif name in circuit.elements and name not in circuit.field:
            names[name] = circuit.value(name)
    try:
        return ratio_of(expr, circuit.field, names)
    except ZeroDivisionError as trouble:
        fault = Finding(
            "solve/over-zero",
            f"{as_text((expr,))} has no value: what stands below a line in it is zero.",
            "Ask for the parts by themselves.",
        )
        raise FaultyMaterial(fault) from trouble


def power(solution: Solution, names: tuple[str, ...]) -> Ratio:
    """The power that `P(...)` with these names asks for, in watts: of a resistor, all resistances ("heat")
    or all sources ("sources"), of an emf or a current source, of a battery at its terminals."""
    circuit, name = solution.circuit, names[0]
    if name not in circuit.elements and name == HEAT:
        return sum((heat(solution, met) for met in _met(circuit)), circuit.field.zero)
    if name not in circuit.elements and name == SOURCES:
        sources = [n for n in _met(circuit) if circuit.elements[n].has_sign]
        return sum((power(solution, (n,)) for n in sources), circuit.field.zero)
    if circuit.elements[name].kind is Kind.RESISTOR:
        return solution.power_taken(name)
    if circuit.elements[name].kind is Kind.BATTERY and len(names) == 1:
        return circuit.value(name) * along(solution, name)
    return -solution.power_taken(name)


def heat(solution: Solution, element: str) -> Ratio:
    """The power that an element turns into heat, a battery in its internal resistance, in watts."""
    circuit = solution.circuit
    if circuit.elements[element].kind is Kind.RESISTOR:
        return solution.power_taken(element)
    internal = circuit.internal_resistance(element)
    current = solution.currents[circuit.branch_of(element).name]
    return current * current * internal if internal else circuit.field.zero


def along(solution: Solution, source: str) -> Ratio:
    """The current through a battery from its − to its + terminal, or through a current source along its own
    arrow, in amperes."""
    circuit = solution.circuit
    return solution.currents[circuit.branch_of(source).name] * circuit.pass_of(source).sign


def solved_without(circuit: Circuit, names: tuple[str, ...]) -> Solution:
    """The solution of the circuit with a gap in the place of each of these elements. Raises FaultyMaterial
    where it has none."""
    known: dict[tuple[str, ...], Solution] = circuit.remembered(_changed)
    if names not in known:
        known[names] = solve_posed(well_posed(taken_out(circuit, names)))
    return known[names]


def _changed(_: Circuit) -> dict[tuple[str, ...], Solution]:
    """The solutions with elements taken out that were asked for so far, by what was taken out."""
    return {}


def _met(circuit: Circuit) -> list[str]:
    return [p.element for b in circuit.branches for p in b.passes]
