"""Six circuits in symbols: from problem text to finished HTML in two editions, beside general algebra
(SymPy's `linsolve`) solving the bare equations. Bars: a solution in no more time than the bare solve, an
instructor's sheet in 1.6 of it."""

from __future__ import annotations

from collections.abc import Callable

import sympy

from benchmarks.timing import compared, forget, milliseconds, times
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
"""

INSIDE = """
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

TWO_LOOPS = """
[branches]
Ic = "rail, +E1, R1, bus"
Ib = "bus, R2, -E2, rail"
Ih = "bus, Rh, rail"
"""

FOUR_ABREAST = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "g, +E2, R2, a"
I3 = "g, +E3, R3, a"
I4 = "a, R4, g"
"""

THREE_SECTIONS = """
[branches]
I1 = "g, +E, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, b"
I4 = "b, R4, g"
I5 = "b, R5, c"
I6 = "c, R6, g"
"""

CIRCUITS = {
    "two loops, 3 branches, 2 batteries": TWO_LOOPS,
    "four abreast, 3 batteries": FOUR_ABREAST,
    "ladder, 5 branches, 2 batteries": LADDER,
    "three sections, 6 branches": THREE_SECTIONS,
    "bridge, 6 branches": BRIDGE,
    "bridge, 6 branches, internal resistance": BRIDGE + INSIDE,
}
BARS = {"solution": 1.0, "instructor": 1.6}  # of the time of the bare solve


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
    """Prints the table; whether both bars are met on every circuit."""
    met = True
    print("\nWhole sheet (text to HTML) against SymPy linsolve on the bare equations, medians")
    for name, text in CIRCUITS.items():

        def made(edition: str, text: str = text) -> Callable[[], object]:
            def written() -> str:
                forget()  # nothing is taken from the round before
                return sheet(circuit_of(text), edition=edition).html()

            return written

        *ours, theirs, exact = times(
            *map(made, BARS),
            bare_solve(circuit_of(text)),
            lambda text=text: solve(circuit_of(text)),  # type: ignore[misc]
        )
        print(f"  {name:40} linsolve {milliseconds(theirs)}; exact solve alone {milliseconds(exact)}")
        for (edition, bar), taken in zip(BARS.items(), ours, strict=True):
            against = compared(taken, theirs, bar)
            met = met and against.met
            print(f"    {edition:38} {milliseconds(taken)}  {against}")
    return met
