"""Determinants: the loop equations as a matrix, and each loop current as a quotient of two determinants.

The determinant D holds the coefficients; in that of a current the right sides stand in the place of its
column. Each is written out along its first row, which nobody does for more than three rows. Source: Cramer's
rule, in any textbook of linear algebra.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.names import listed
from ..derive.narrate import Teller
from ..derive.steps import Derivation, Move, Step
from ..expressions.nodes import Determinant, Equation, Expr, Symbol, expanded, over
from ..expressions.said import Said, counted
from ..expressions.tidy import tidy
from ..expressions.values import ratio_of
from ..solve.exact import Solution
from . import loop_currents
from .loop_currents import LoopSystem, finished, loop_choice, loop_system, opening
from .naming import free_names

METHOD = "determinants"
MOST_ROWS = 3


def why_not(circuit: Circuit) -> str:
    """Why determinants do not serve a circuit; empty where they do."""
    why = loop_currents.why_not(circuit)
    chosen = loop_choice(circuit)
    if why or chosen is None:
        return why
    if len(chosen.free) < 2:
        return "there is but one equation to solve"
    if len(chosen.free) > MOST_ROWS:
        return f"nobody writes out a determinant of {len(chosen.free)} rows"
    return ""


def by_determinants(solution: Solution, first: int = 1) -> Derivation:
    """The derivation by determinants; its line numbers begin at `first`."""
    circuit = solution.circuit
    system = loop_system(solution, first, in_columns=True)
    teller = system.teller
    endings = ["", *(name.removeprefix("I").removeprefix("K") for name in system.unknown)]
    whole, *parts = free_names(circuit, "D", endings)
    columns = [
        [tidy(row.coefficients.get(n, circuit.field.zero)) for row in system.rows] for n in system.unknown
    ]
    sides = [tidy(-row.constant) for row in system.rows]
    rows = listed(f"({n})" for n in system.lines)
    why: Said = (f"The coefficients of {rows}, a column for each loop current.",)
    value = _told(system, whole, "", columns, why)
    if circuit.field.symbols:
        teller.name, teller.named = whole, value
    for at, (called, name) in enumerate(zip(parts, system.unknown, strict=True)):
        put = [sides if at == column else entries for column, entries in enumerate(columns)]
        why = ("The right sides in the place of the column of ", Symbol(name), ".")
        _told(system, called, name, put, why)
    for called, name in zip(parts, system.unknown, strict=True):
        quotient = over(Symbol(called), Symbol(whole))
        teller.conclude(Move.CRAMER, name, quotient, ("Cramer's rule",), rests_on=system.lines)
    count = counted(len(system.unknown) + 1, "determinant")
    told: Said = (f"Solved together by {count}: each loop current is that of its column over that of all.",)
    return finished(solution, system, METHOD, (*opening(circuit, system), told), {whole: value})


def _told(
    system: LoopSystem, called: str, unknown: str, columns: Sequence[Sequence[Expr]], why: Said
) -> Ratio:
    """Writes a determinant, given by its columns, as a line; gives its value. `unknown`: the loop current in
    the place of whose column the right sides stand, empty where they stand nowhere."""
    teller = system.teller
    matrix = Determinant(tuple(zip(*columns, strict=True)))
    value = ratio_of(matrix, teller.circuit.field)
    teller.values = {**teller.values, called: value}
    write_out(teller, called, matrix, tidy(value), system.lines, why, unknown)
    return value


def write_out(
    teller: Teller,
    called: str,
    matrix: Determinant,
    result: Expr,
    lines: tuple[int, ...],
    why: Said,
    solves: str = "",
) -> None:
    """Writes a determinant as a line: what it is called, as it stands, along its first row, and what
    it comes to. `lines`: those that its rows are from; `solves`: the unknown whose column it has changed."""
    expansion = expanded(matrix.rows)
    forms = (matrix,) if expansion == result else (matrix, expansion)
    number = teller.next_number
    written = Equation(Symbol(called), result)
    teller.steps.append(Step(number, Move.DETERMINANT, written, lines, why, solves=solves, forms=forms))
    teller.known[called] = number
