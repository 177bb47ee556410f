"""Whether a circuit has one answer, against the rank of its whole set of equations.

The diagnosis looks at loops and parts; here every current and potential is an unknown, the symbols
are numbers, and exact elimination says whether the currents are settled.
"""

import random
from fractions import Fraction

import pytest
import sympy

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.diagnose import has_one_answer
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.expressions.nodes import ZERO, Symbol

KINDS = (
    [Kind.RESISTOR] * 5
    + [Kind.BATTERY] * 4
    + [Kind.CURRENT_SOURCE, Kind.SWITCH, Kind.AMMETER, Kind.VOLTMETER]
)
NUMBERS = dict(zip("abcde", map(Fraction, (1009, 2003, 3001, 4001, 5003)), strict=True))


def some_circuit(seed: int) -> Circuit:
    """A connected circuit of up to seven branches; few symbols, so that batteries often agree."""
    chance = random.Random(seed)
    points = [f"p{n}" for n in range(chance.randint(1, 4))]
    ends = [(points[n], chance.choice(points[:n])) for n in range(1, len(points))]
    ends += [(chance.choice(points), chance.choice(points)) for _ in range(chance.randint(1, 4))]
    elements: dict[str, Element] = {}
    branches: list[Branch] = []
    for number, (start, end) in enumerate(ends):
        along: list[Pass | str] = []
        for _ in range(chance.choice([0, 1, 1, 2])):
            kind = chance.choice(KINDS)
            name = f"X{len(elements)}"
            value = Symbol(chance.choice("ab")) if kind in (Kind.BATTERY, Kind.CURRENT_SOURCE) else ZERO
            value = Symbol(chance.choice("cde")) if kind is Kind.RESISTOR else value
            elements[name] = Element(name, kind, value, closed=chance.random() < 0.5)
            along.append(Pass(name, chance.choice([1, -1]) if elements[name].has_sign else 0))
        branches.append(Branch(f"I{number}", start, end, tuple(along)))
    return Circuit(tuple(branches), elements)


def ranks(circuit: Circuit) -> tuple[bool, bool]:
    """Whether the equations agree with one another, and whether they settle every current."""
    currents, points = list(circuit.currents), list(circuit.points)
    width = len(currents) + len(points)
    rows: list[list[Fraction]] = []
    for point in points:
        row = [Fraction(0)] * (width + 1)
        for at, b in enumerate(circuit.branches):
            row[at] += (b.start == point) - (b.end == point)
        rows.append(row)
    for at, b in enumerate(circuit.branches):
        for p in b.passes:
            element = circuit.elements[p.element]
            if element.fixes_current:
                row = [Fraction(0)] * (width + 1)
                row[at] = Fraction(1)
                row[-1] = (
                    NUMBERS[str(element.value.name)] * p.sign
                    if isinstance(element.value, Symbol)
                    else Fraction(0)
                )
                rows.append(row)
        if not any(circuit.elements[p.element].fixes_current for p in b.passes):
            row = [Fraction(0)] * (width + 1)
            row[len(currents) + points.index(b.start)] += 1
            row[len(currents) + points.index(b.end)] -= 1
            for p in b.passes:
                value = circuit.elements[p.element].value
                number = NUMBERS[value.name] if isinstance(value, Symbol) else Fraction(0)
                if circuit.elements[p.element].kind is Kind.RESISTOR:
                    row[at] -= number
                else:
                    row[-1] -= number * p.sign
            rows.append(row)
    whole = sympy.Matrix([[sympy.Rational(x.numerator, x.denominator) for x in row] for row in rows])
    plain = whole[:, :-1]
    consistent = plain.rank() == whole.rank()
    settled = all(vector[at] == 0 for vector in plain.nullspace() for at in range(len(currents)))
    return consistent, settled


@pytest.mark.parametrize("seed", range(300))
def test_diagnosis_agrees_with_the_rank_of_all_equations(seed: int) -> None:
    circuit = some_circuit(seed)
    consistent, settled = ranks(circuit)
    assert has_one_answer(circuit) == (consistent and settled)


def test_the_random_circuits_hold_both_sound_and_ill_posed_ones() -> None:
    sound = sum(has_one_answer(some_circuit(seed)) for seed in range(300))
    assert 60 < sound < 240
