"""The exact solver against routes that share nothing with it.

Outside references: NumPy (least squares on the written laws, node potentials), SymPy's linear solver,
NetworkX (resistance distance, spanning trees), and G. Kirchhoff's theorem of 1847 worked out by
trying every set of branches.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import combinations
from math import isclose, prod

import networkx as nx
import numpy as np
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.algebra.ratios import Ratio
from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import Branch
from loopwright.expressions.nodes import Equation, Expr, Negative, Number, Parallel, Product, Sum, Symbol
from loopwright.laws.laws import laws
from loopwright.solve.exact import solve
from loopwright.solve.node_potentials import currents_by_node_potentials
from tests.plain_elimination import solve_linear
from tests.sample_circuits import SYMBOLIC, circuit_of
from tests.strategies import amounts, circuits

SMALL = [name for name in SYMBOLIC if name != "cube"]
NETWORKS = circuits(plain=True, shared=False, wired=False, points=5, loops=4)


def in_floats(circuit: Circuit, values: dict[str, Fraction]) -> dict[str, float]:
    """Our exact currents as floating-point numbers."""
    return {name: float(ratio.value(values)) for name, ratio in solve(circuit).currents.items()}


def assert_close(found: dict[str, float], wanted: dict[str, float]) -> None:
    scale = max(map(abs, wanted.values()))
    wrong = [
        n for n in wanted if not isclose(found[n], wanted[n], rel_tol=1e-9, abs_tol=1e-9 * scale + 1e-12)
    ]
    assert wrong == []


# -- in numbers ------------------------------------------------------------------------------------


@settings(max_examples=100)
@given(circuit=circuits(points=5, loops=4), data=st.data())
def test_node_potentials_give_the_same_currents(circuit: Circuit, data: st.DataObject) -> None:
    values = data.draw(amounts(circuit))
    floats = {name: float(value) for name, value in values.items()}
    assert_close(currents_by_node_potentials(circuit, floats), in_floats(circuit, values))


@settings(max_examples=100)
@given(circuit=circuits(points=5, loops=4), data=st.data())
def test_least_squares_on_the_laws_give_the_same_currents(circuit: Circuit, data: st.DataObject) -> None:
    """All junctions and all loops at once, redundant ones included; voltages across sources unknown."""
    values = data.draw(amounts(circuit))
    book = laws(circuit)
    rows = [e.linear for e in (*book.junctions, *book.elements, *book.every_loop)]
    unknowns = list(dict.fromkeys([*circuit.currents, *(n for row in rows for n in row.coefficients)]))
    zero = circuit.field.zero
    matrix = [[float(row.coefficients.get(n, zero).value(values)) for n in unknowns] for row in rows]
    right = [-float(row.constant.value(values)) for row in rows]
    found = np.linalg.lstsq(np.array(matrix), np.array(right), rcond=None)[0]
    currents = dict(zip(unknowns, map(float, found), strict=True))
    assert_close(currents, in_floats(circuit, values))


@settings(max_examples=100)
@given(circuit=NETWORKS, data=st.data())
def test_networkx_gives_the_same_resistance_between_points(circuit: Circuit, data: st.DataObject) -> None:
    values = data.draw(amounts(circuit))
    graph = nx.MultiGraph()
    for branch in circuit.branches:
        if branch.start != branch.end:
            ohm = float(circuit.resistance(branch.name).value(values))
            graph.add_edge(branch.start, branch.end, ohm=ohm)
    a, b = circuit.points[0], circuit.points[-1]
    theirs = nx.resistance_distance(graph, a, b, weight="ohm", invert_weight=True)
    assert isclose(float(solve(circuit).resistance(a, b).value(values)), theirs, rel_tol=1e-9)


# -- in symbols ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SMALL)
def test_elimination_on_the_written_laws_gives_the_same_currents(name: str) -> None:
    circuit = circuit_of(SYMBOLIC[name])
    rows = [e.linear for e in laws(circuit).chosen]
    assert solve_linear(rows, circuit.currents) == solve(circuit).currents


@pytest.mark.parametrize("name", SMALL)
def test_sympy_gives_the_same_currents_from_the_equations_as_written(name: str) -> None:
    circuit = circuit_of(SYMBOLIC[name])
    equations = [e.written for e in laws(circuit).chosen]
    unknowns = [sympy.Symbol(current) for current in circuit.currents]
    (theirs,) = sympy.linsolve([foreign_equation(e) for e in equations], unknowns)
    ours = [foreign_ratio(solve(circuit).currents[current]) for current in circuit.currents]
    assert [sympy.cancel(a - b) for a, b in zip(ours, theirs, strict=True)] == [0] * len(ours)


def foreign_equation(equation: Equation) -> sympy.Expr:
    return foreign(equation.left) - foreign(equation.right)


def foreign(expr: Expr) -> sympy.Expr:
    match expr:
        case Number(value):
            return sympy.Rational(value.numerator, value.denominator)
        case Symbol(name):
            return sympy.Symbol(name)
        case Negative(body):
            return -foreign(body)
        case Sum(parts):
            return sympy.Add(*map(foreign, parts))
        case Product(parts):
            return sympy.Mul(*map(foreign, parts))
        case Parallel(parts):
            return 1 / sympy.Add(*(1 / foreign(part) for part in parts))
        case _:
            raise TypeError(expr)


def foreign_ratio(ratio: Ratio) -> sympy.Expr:
    symbols = [sympy.Symbol(name) for name in ratio.field.symbols]

    def polynomial(below: bool) -> sympy.Expr:
        return sympy.Add(
            *(c * prod(s**e for s, e in zip(symbols, powers, strict=True))
              for powers, c in ratio.terms(below=below))
        )  # fmt: skip

    return polynomial(below=False) / polynomial(below=True)


# -- Kirchhoff's theorem ---------------------------------------------------------------------------


def left_over(circuit: Circuit, taken: Iterable[Branch]) -> Ratio:
    """The product of the resistances of all branches not taken."""
    names = {b.name for b in taken}
    return prod((circuit.resistance(n) for n in circuit.currents if n not in names), start=circuit.field.one)


def graph_of(circuit: Circuit, branches: Iterable[Branch]) -> nx.MultiGraph:
    graph = nx.MultiGraph()
    graph.add_nodes_from(circuit.points)
    graph.add_edges_from((b.start, b.end, b.name) for b in branches)
    return graph


@settings(max_examples=60)
@given(circuit=NETWORKS)
def test_determinant_is_the_sum_over_spanning_trees(circuit: Circuit) -> None:
    total = circuit.field.zero
    for taken in combinations(circuit.branches, len(circuit.points) - 1):
        if nx.is_connected(graph_of(circuit, taken)):
            total = total + left_over(circuit, taken)
    assert solve(circuit).determinant == total


@settings(max_examples=60)
@given(circuit=NETWORKS)
def test_currents_are_the_sum_over_sets_with_one_loop(circuit: Circuit) -> None:
    """Every connected set of as many branches as points holds one loop: its emfs along the arrow drive
    its current, weighed by the resistances left over, over the determinant."""
    driven = dict.fromkeys(circuit.currents, circuit.field.zero)
    for taken in combinations(circuit.branches, len(circuit.points)):
        if not nx.is_connected(graph_of(circuit, taken)):
            continue
        (loop,) = laws(Circuit(taken, circuit.elements)).every_loop
        emf = sum((circuit.rise(n) * sense for n, sense in loop.loop), circuit.field.zero)
        for name, sense in loop.loop:
            driven[name] = driven[name] + emf * left_over(circuit, taken) * sense
    solution = solve(circuit)
    assert {n: total / solution.determinant for n, total in driven.items()} == solution.currents


@settings(max_examples=60)
@given(circuit=circuits(plain=True, shared=True, wired=False))
def test_resistances_across_the_branches_share_out_the_tree(circuit: Circuit) -> None:
    """R. M. Foster, "The average impedance of an electrical network", 1949 (from memory): the sum of
    resistance seen over own resistance, over all branches, is the number of points less one."""
    solution = solve(circuit)
    shares = [solution.resistance(b.start, b.end) / circuit.resistance(b.name) for b in circuit.branches]
    assert sum(shares, circuit.field.zero) == len(circuit.points) - 1
