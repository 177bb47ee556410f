"""Whether an equation is true of a circuit, decided exactly from its solution: a small judge for tests."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction

from loopwright.algebra.ratios import Field, Ratio
from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import Kind
from loopwright.circuit.targets import target
from loopwright.expressions.nodes import Equation, Expr, Number
from loopwright.expressions.values import difference_of, ratio_of, symbols_of
from loopwright.reading.repair.places import places
from loopwright.solve.asked import value_of
from loopwright.solve.exact import Solution, solve

_THOUSANDS = {"Ω": Fraction(1, 1000), "A": Fraction(1000)}
_NEAR = Fraction(1, 200)


def truth_of(
    circuit: Circuit, names: Mapping[str, Mapping[str, int]] | None = None
) -> Callable[[Equation], bool]:
    """The judge of a circuit: identically true when the true currents are put in; or true with the
    circuit's numbers (in SI, or without units in mA and kΩ), within half a per cent where a decimal or a
    unit stands in the equation."""
    solution = solve(circuit)
    field = Field((*circuit.symbols, *circuit.currents))
    true = {n: r.at({}, field) for n, r in solution.currents.items()}
    own = {n: _total(field, m) for n, m in (names or {}).items()}

    def known(equation: Equation) -> dict[str, Ratio]:
        called = [n for n in symbols_of(equation) if "(" in n]
        return own | {n: _called(solution, n).at({}, field) for n in called}

    def holds(equation: Equation) -> bool:
        try:
            difference = difference_of(equation, field, known(equation))
            if not difference.at(true):
                return True
        except ArithmeticError:
            return False
        return circuit.has_all_numbers and _holds_in_numbers(circuit, solution, equation, known(equation))

    return holds


def _total(field: Field, branches: Mapping[str, int]) -> Ratio:
    return sum((field.symbol(b) * s for b, s in branches.items()), field.zero)


def _called(solution: Solution, name: str) -> Ratio:
    inside = re.fullmatch(r".\((.*)\)", name)
    element = inside[1] if inside else ""
    if name[0] == "V" and element in solution.circuit.elements:
        drop = solution.across(element)
        is_battery = solution.circuit.elements[element].kind is Kind.BATTERY
        return drop * -solution.circuit.pass_of(element).sign if is_battery else drop
    return value_of(solution, target(name, solution.circuit))


def _holds_in_numbers(
    circuit: Circuit, solution: Solution, equation: Equation, known: Mapping[str, Ratio]
) -> bool:
    numbers = [s.expr for s in places(equation) if isinstance(s.expr, Number)]
    slack = _NEAR if any(n.unit or "." in n.text for n in numbers) else Fraction(0)
    values = {**circuit.numbers, **{n: r.value(circuit.numbers) for n, r in solution.currents.items()}}
    frames = [values] if any(n.unit for n in numbers) else [values, _in_thousands(circuit, values)]
    field = Field((*circuit.symbols, *circuit.currents))
    for frame in frames:
        left, right = (_value_of(side, field, known, frame) for side in (equation.left, equation.right))
        if left is None or right is None:
            continue
        if abs(left - right) <= slack * max(abs(left), abs(right)):
            return True
    return False


def _in_thousands(circuit: Circuit, values: Mapping[str, Fraction]) -> dict[str, Fraction]:
    units = {n: "Ω" if circuit.role(n) is Kind.RESISTOR else "" for n in circuit.symbols}
    units |= dict.fromkeys(circuit.currents, "A")
    return {n: v * _THOUSANDS.get(units[n], Fraction(1)) for n, v in values.items()}


def _value_of(
    expr: Expr, field: Field, known: Mapping[str, Ratio], values: Mapping[str, Fraction]
) -> Fraction | None:
    try:
        return ratio_of(expr, field, known).value(values)
    except ArithmeticError:
        return None
