"""A ten-line working on a bridge: read line by line, beside general computer algebra (SymPy) simplifying
the ten differences of left and right with the currents put in. Bar: a third of that time."""

from __future__ import annotations

from collections.abc import Callable

import sympy

from benchmarks.timing import compared, milliseconds, times
from benchmarks.whole_sheet import BRIDGE, INSIDE, circuit_of
from loopwright.expressions.nodes import Equation, Expr, Negative, Number, Product, Quotient, Sum, Symbol
from loopwright.reading.judge import read_working
from loopwright.reading.page.lines import working
from loopwright.solve.exact import solve

WORKING = """
I = I1 + I2
I1 = I3 + I5
I4 = I2 + I5
E - I r - I1 R1 - I3 R3 = 0
I1 R1 + I5 R5 - I2 R2 = 0
I3 R3 - I4 R4 - I5 R5 = 0
I3 = I1 - I5
I1 R3 - I2 R4 = I5 (R3 + R4 + R5)
I2 = (I1 R1 + I5 R5)/R2
I1 (R2 R3 - R1 R4) = I5 (R2 (R3 + R4 + R5) + R4 R5)
"""


def by_simplifying() -> Callable[[], object]:
    """SymPy's `simplify` on the ten differences, currents put in beforehand."""
    circuit = circuit_of(BRIDGE + INSIDE)
    found = solve(circuit).currents
    names = {n: sympy.Symbol(n) for n in (*circuit.symbols, *circuit.currents)}
    values = {names[n]: sympy.sympify(str(r).replace("^", "**"), locals=names) for n, r in found.items()}
    lines = working(WORKING, circuit).lines
    differences = [_expression(claim.written, names).subs(values) for line in lines for claim in line.claims]
    return lambda: [sympy.simplify(d) for d in differences]


def _expression(written: Equation, names: dict[str, sympy.Symbol]) -> sympy.Expr:
    return _side(written.left, names) - _side(written.right, names)


def _side(expr: Expr, names: dict[str, sympy.Symbol]) -> sympy.Expr:
    match expr:
        case Symbol(name):
            return names[name]
        case Number(value):
            return sympy.Rational(value.numerator, value.denominator)
        case Sum(parts):
            return sympy.Add(*(_side(part, names) for part in parts))
        case Product(parts):
            return sympy.Mul(*(_side(part, names) for part in parts))
        case Negative(body):
            return -_side(body, names)
        case Quotient(above, below):
            return _side(above, names) / _side(below, names)
        case _:
            raise TypeError(expr)


def run() -> bool:
    """Prints the row; whether the bar is met."""
    circuit = circuit_of(BRIDGE + INSIDE)
    reading = read_working(circuit, WORKING)
    if not reading.right or len(reading.verdicts) != 10:
        raise SystemExit("the working of the benchmark is not read as right")
    ours, theirs = times(
        lambda: read_working(circuit_of(BRIDGE + INSIDE), WORKING), by_simplifying(), rounds=9
    )
    against = compared(ours, theirs, 1 / 3)
    print("\nTen lines of working on a bridge: read, against SymPy simplify on the differences, medians")
    print(f"  read {milliseconds(ours)}  simplify {milliseconds(theirs)}  {against}")
    return against.met
