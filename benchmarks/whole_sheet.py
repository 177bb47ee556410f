"""A circuit of three loops in symbols: from problem text to finished HTML, beside general computer
algebra (SymPy's `linsolve`) solving the bare equations. Bar: no more time than the bare solve."""

from __future__ import annotations

from collections.abc import Callable

import sympy

from benchmarks.timing import compared, milliseconds, times
from loopwright.circuit.circuit import Circuit
from loopwright.laws.laws import laws
from loopwright.problem.problem_file import read_text
from loopwright.sheet.build import sheet
from loopwright.solve.exact import solve

BRIDGE = """
[branches]
I = "d, +E, a"
I1 = "a, R1, b"
I2 = "a, R2, c"
I3 = "b, R3, d"
I4 = "c, R4, d"
I5 = "b, R5, c"

[elements]
E = { internal = "r" }
"""

LADDER = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, b"
I4 = "b, R4, g"
I5 = "g, +E2, R5, b"
"""

CIRCUITS = {
    "bridge, 6 branches, internal resistance": BRIDGE,
    "ladder, 5 branches, 2 batteries": LADDER,
}


def circuit_of(text: str) -> Circuit:
    circuit, findings = read_text(text)
    if circuit is None:
        raise SystemExit("\n".join(f.as_text() for f in findings))
    return circuit


def bare_solve(circuit: Circuit) -> Callable[[], object]:
    """SymPy's `linsolve` on the same equations in the same unknowns, the symbols made beforehand."""
    symbols = {name: sympy.Symbol(name) for name in (*circuit.symbols, *circuit.currents)}

    def expression(ratio: object) -> sympy.Expr:
        return sympy.sympify(str(ratio).replace("^", "**"), locals=symbols)

    equations = []
    for law in laws(circuit).chosen:
        left = expression(law.linear.constant)
        for name, c in law.linear.coefficients.items():
            left = left + expression(c) * symbols[name]
        equations.append(left)
    unknowns = [symbols[n] for n in circuit.currents]
    return lambda: sympy.linsolve(equations, unknowns)


def run() -> bool:
    """Prints the table; whether the bar is met on every circuit."""
    met = True
    print("\nWhole sheet (text to HTML) against SymPy linsolve on the bare equations, medians")
    for name, text in CIRCUITS.items():
        circuit = circuit_of(text)
        ours, theirs, exact = times(
            lambda text=text: sheet(circuit_of(text)).html(),  # type: ignore[misc]
            bare_solve(circuit),
            lambda text=text: solve(circuit_of(text)),  # type: ignore[misc]
        )
        against = compared(ours, theirs, 1.0)
        met = met and against.met
        print(
            f"  {name:40} sheet {milliseconds(ours)}  linsolve {milliseconds(theirs)}  {against};"
            f" exact solve alone {milliseconds(exact)}"
        )
    return met
