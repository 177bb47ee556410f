"""Which route is taken to the currents, and how many terms are predicted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import networkx as nx
import pytest

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Pass
from loopwright.expressions.nodes import Expr, Number, Symbol, add, times
from loopwright.solve import closed_forms
from loopwright.solve.by_elimination import currents_by_elimination
from loopwright.solve.closed_forms import branch_currents, chosen_route, predicted_terms
from loopwright.solve.exact import solve
from tests.sample_circuits import BRIDGE, circuit_of

VALUES: dict[str, Callable[[int], Expr]] = {
    "own symbols": lambda n: Symbol(f"R{n}"),
    "one symbol": lambda n: Symbol("R"),
    "three symbols": lambda n: Symbol(f"R{n % 3}"),
    "multiples": lambda n: times(Number(Fraction(n)), Symbol(f"R{n % 2}")),
    "two in series": lambda n: add(Symbol(f"R{n}"), Symbol(f"r{n}")) if n % 3 == 0 else Symbol(f"R{n}"),
    "numbers among them": lambda n: Number(Fraction(n, 2)) if n % 4 == 0 else Symbol(f"R{n % 3}"),
}
GRAPHS = {
    "wheel": nx.wheel_graph(6),
    "cube": nx.cubical_graph(),
    "five points all joined": nx.complete_graph(5),
    "ladder": nx.grid_2d_graph(2, 6),
}


def of_graph(graph: nx.Graph, which: str) -> Circuit:
    """A battery beside the resistor of the first edge, resistors on all others."""
    branches, elements = [], {"E": battery("E")}
    for n, (a, b) in enumerate(graph.edges, start=1):
        elements[f"R{n}"] = resistor(f"R{n}", VALUES[which](n))
        along = (Pass("E", 1), Pass(f"R{n}")) if n == 1 else (Pass(f"R{n}"),)
        branches.append(Branch(f"I{n}", str(a), str(b), along))
    return Circuit(tuple(branches), elements)


@pytest.mark.parametrize("which", VALUES)
@pytest.mark.parametrize("name", GRAPHS)
def test_no_determinant_is_longer_than_predicted(name: str, which: str) -> None:
    circuit = of_graph(GRAPHS[name], which)
    assert len(branch_currents(circuit).determinant.above) <= predicted_terms(circuit)


@pytest.mark.parametrize("which", ["own symbols", "two in series"])
@pytest.mark.parametrize("name", GRAPHS)
def test_with_own_symbols_the_prediction_is_exact(name: str, which: str) -> None:
    circuit = of_graph(GRAPHS[name], which)
    assert len(branch_currents(circuit).determinant.above) == predicted_terms(circuit)


@pytest.mark.parametrize(("n", "count"), [(2, 4), (3, 192), (4, 100_352), (5, 557_568_000)])
def test_the_trees_of_a_square_grid_are_counted_without_writing_them(n: int, count: int) -> None:
    """OEIS A007341."""
    assert predicted_terms(of_graph(nx.grid_2d_graph(n, n), "own symbols")) == count


@pytest.mark.parametrize("n", [5, 10, 20])
def test_the_trees_of_points_all_joined_are_counted_without_writing_them(n: int) -> None:
    """Cayley's n^(n-2)."""
    assert predicted_terms(of_graph(nx.complete_graph(n), "own symbols")) == n ** (n - 2)


def test_branches_without_resistance_are_drawn_together_before_counting() -> None:
    assert predicted_terms(circuit_of(BRIDGE)) == len(solve(circuit_of(BRIDGE)).determinant.above) == 8


@pytest.mark.parametrize(
    ("name", "which", "route"),
    [
        ("five points all joined", "own symbols", "trees"),
        ("ladder", "own symbols", "trees"),
        ("ladder", "one symbol", "elimination"),
        ("cube", "three symbols", "elimination"),
    ],
)
def test_the_route_is_the_one_predicted_cheaper(name: str, which: str, route: str) -> None:
    solution = solve(of_graph(GRAPHS[name], which))
    assert solution.route is not None
    assert solution.route.name == route
    assert f"{solution.route.terms:,} terms" in solution.route.reason


def test_counts_that_no_float_holds_do_not_stop_the_choice() -> None:
    route = chosen_route(of_graph(nx.complete_graph(160), "one symbol"))
    assert route.name == "elimination"
    assert "about 10^348 terms" in route.reason


def test_few_loops_are_not_even_counted() -> None:
    route = solve(circuit_of(BRIDGE)).route
    assert route is not None
    assert (route.name, route.terms) == ("elimination", None)


def test_too_many_ways_lead_to_elimination(monkeypatch: pytest.MonkeyPatch) -> None:
    circuit = of_graph(nx.complete_graph(5), "own symbols")
    monkeypatch.setattr(closed_forms, "MOST_WAYS", 20)
    found = branch_currents(circuit)
    assert found.route is not None
    assert found.route.name == "elimination"
    assert replace(found, route=None) == currents_by_elimination(circuit)
