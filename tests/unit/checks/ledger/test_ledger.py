"""The ledger as a value and as text, and entries by themselves."""

from __future__ import annotations

import pytest

from loopwright.checks.ledger import law_entries
from loopwright.checks.ledger.examine import examine, examine_currents
from loopwright.checks.ledger.ledger import Candidate, Ledger, LedgerEntry
from loopwright.checks.ledger.route_entries import second_route
from loopwright.checks.ledger.symmetry import symmetries
from loopwright.checks.ledger.trees import weighted_trees
from loopwright.circuit.circuit import Circuit, resistor
from loopwright.circuit.elements import Branch, Pass
from loopwright.errors import FaultyMaterial
from loopwright.expressions.said import as_text
from loopwright.solve.currents import RouteName
from loopwright.solve.exact import solve_posed
from loopwright.solve.node_potentials import currents_by_node_potentials
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, CUBE, DRIVEN, LADDER, SYMBOLIC, circuit_of


def graph(pairs: list[tuple[int, int]]) -> Circuit:
    """A circuit of equal resistances on the edges of a graph."""
    names = [f"R{i}" for i in range(len(pairs))]
    branches = [Branch(f"I{i}", f"p{a}", f"p{b}", (Pass(names[i]),)) for i, (a, b) in enumerate(pairs)]
    return Circuit(tuple(branches), {n: resistor(n) for n in names})


@pytest.mark.parametrize("which", SYMBOLIC)
def test_every_sample_passes(which: str) -> None:
    ledger = examine(circuit_of(SYMBOLIC[which]))
    assert [e.as_text() for e in ledger.failed] == []
    assert sum(e.passed is True for e in ledger.entries) >= 9


def test_charge_or_help_meets_every_check() -> None:
    ledger = examine(circuit_of(CHARGE_OR_HELP))
    assert all(e.passed for e in ledger.entries)
    assert str(ledger).endswith("17 passed, 0 failed, 0 do not apply")


def test_every_entry_names_its_method_and_result() -> None:
    entries = examine(circuit_of(LADDER)).entries
    assert all(e.method and as_text(e.told).endswith(".") for e in entries)
    assert len({e.code for e in entries}) == len(entries)


def test_a_ledger_of_entries_that_do_not_apply_has_not_passed() -> None:
    ledger = Ledger((LedgerEntry("a/b", "Title", "way", "No battery.", None),))
    assert not ledger.passed
    assert ledger.failed == ()


def test_a_failed_entry_says_where() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    currents = dict(solve_posed(circuit).currents)
    currents["Ih"] = currents["Ih"] * 2
    ledger = examine_currents(circuit, currents)
    assert "junction bus" in ledger.entry("laws/junctions").result
    assert not ledger.passed


@pytest.mark.parametrize(("limit", "told"), [(6, True), (7, False)])
def test_loops_that_are_not_looked_at_are_told(
    monkeypatch: pytest.MonkeyPatch, limit: int, told: bool
) -> None:
    """A bridge has seven loops."""
    monkeypatch.setattr(law_entries, "LOOP_LIMIT", limit)
    result = examine(circuit_of(BRIDGE)).entry("laws/loops").result
    assert ("only the first 6 loops were looked at" in result) is told


def test_power_counts_current_sources() -> None:
    ledger = examine(circuit_of(DRIVEN))
    assert ledger.entry("laws/power").passed
    solution = solve_posed(circuit_of(DRIVEN))
    wrong = {n: c * 2 for n, c in solution.currents.items()}
    assert examine_currents(solution.circuit, wrong).entry("laws/power").passed is False


def test_an_ill_posed_circuit_is_not_examined() -> None:
    shorted = '[branches]\nI1 = "a, +E, b"\nI2 = "b, a"\nI3 = "a, R, b"\n'
    with pytest.raises(FaultyMaterial):
        examine(circuit_of(shorted))


def test_spanning_trees_of_known_graphs() -> None:
    """Cayley's formula: the complete graph on n points has n^(n−2) trees (Cayley, Quart. J. Math. 23,
    376, 1889); the cube has 384 (Stanley, Enumerative Combinatorics 2, example 5.6.10). From memory."""
    complete = [(a, b) for a in range(5) for b in range(a)]
    cube = [(a, a | bit) for a in range(8) for bit in (1, 2, 4) if not a & bit]
    assert weighted_trees(graph(complete)) == 5**3
    assert weighted_trees(graph(cube)) == 384


def test_the_bridge_has_eight_terms_with_an_ideal_battery() -> None:
    assert weighted_trees(circuit_of(BRIDGE)) == 8
    assert len(solve_posed(circuit_of(BRIDGE)).determinant.terms()) == 8


def test_charger_and_battery_change_places_with_their_symbols() -> None:
    found = [s for s in symmetries(circuit_of(CHARGE_OR_HELP)) if s.branches["Ic"] == ("Ib", -1)]
    assert found[0].symbols["R1"] == ("R2", 1)
    assert not found[0].exchanges_equals


def test_the_cube_has_symmetries_of_equal_elements() -> None:
    found = symmetries(circuit_of(CUBE))
    assert found
    assert all(s.exchanges_equals for s in found)


def test_node_potentials_by_hand() -> None:
    """E1 = 23 V, E2 = 18 V, R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω: 2 A, −1 A, 3 A, worked by hand."""
    values = {"E1": 23.0, "E2": 18.0, "R1": 4.0, "R2": 3.0, "Rh": 5.0}
    found = currents_by_node_potentials(circuit_of(CHARGE_OR_HELP), values)
    assert found == pytest.approx({"Ic": 2, "Ib": -1, "Ih": 3})


def test_the_common_denominator_is_taken_once() -> None:
    solution = solve_posed(circuit_of(LADDER))
    candidate = Candidate(solution.circuit, solution.currents)
    assert candidate.below == solution.determinant.above


@pytest.mark.parametrize(("taken", "told"), [("trees", "elimination"), ("elimination", "spanning trees")])
def test_the_second_route_is_the_one_not_taken(taken: RouteName, told: str) -> None:
    solution = solve_posed(circuit_of(LADDER))
    entry = second_route(Candidate(solution.circuit, solution.currents, solution.determinant, taken))
    assert entry.passed
    assert told in entry.method
    assert entry.result == "5 of 5 currents are the same."


@pytest.mark.parametrize("taken", ["trees", "elimination"])
def test_the_second_route_names_what_is_wrong(taken: RouteName) -> None:
    solution = solve_posed(circuit_of(LADDER))
    currents = {**solution.currents, "I2": -solution.currents["I2"]}
    entry = second_route(Candidate(solution.circuit, currents, solution.determinant * 2, taken))
    assert entry.result == "Not so for I2, the determinant."


def test_a_second_route_that_would_take_minutes_is_not_gone() -> None:
    pairs = [(i, j) for i in range(8) for j in range(i)]
    entry = second_route(Candidate(graph(pairs), {}, route="trees"))
    assert entry.passed is None
    assert "elimination" in entry.result
