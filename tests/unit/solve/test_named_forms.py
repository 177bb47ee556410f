"""Currents by named quantities: equal to the closed forms, short, in order, with names that are free."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.algebra.ratios import Field
from loopwright.circuit.circuit import Circuit
from loopwright.expressions.nodes import Equation, Symbol
from loopwright.expressions.said import as_text
from loopwright.expressions.values import symbols_of
from loopwright.solve.exact import solve
from loopwright.solve.named_forms import NamedForms, named_forms, source_current_at_once
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, LADDER, SYMBOLIC, circuit_of
from tests.strategies import amounts, circuits
from tests.wide_circuits import complete, cube, grid, ladder

NUMBERS = Field(())


def lines(forms: NamedForms) -> list[str]:
    return [as_text((Equation(Symbol(line.name), line.body),)) for line in forms.lines]


@pytest.mark.parametrize("name", [n for n in SYMBOLIC if n != "cube"])
def test_the_lines_put_into_one_another_are_the_closed_forms(name: str) -> None:
    circuit = circuit_of(SYMBOLIC[name])
    assert named_forms(circuit).currents(circuit.field) == solve(circuit).currents


@settings(max_examples=100)
@given(circuit=circuits(points=6, loops=5), data=st.data())
def test_any_circuit_has_the_same_currents_in_numbers(circuit: Circuit, data: st.DataObject) -> None:
    """Sources of both kinds, wires, gaps, shared symbols: whatever the strategy makes."""
    values = data.draw(amounts(circuit))
    wanted = {name: ratio.value(values) for name, ratio in solve(circuit).currents.items()}
    try:
        found = named_forms(circuit).currents(NUMBERS, {n: NUMBERS.number(v) for n, v in values.items()})
    except ZeroDivisionError:  # a line divides by what is zero for these numbers alone
        return
    assert {name: ratio.constant() for name, ratio in found.items()} == wanted


@pytest.mark.parametrize("text", [complete(5), ladder(5), cube(3), CHARGE_OR_HELP, LADDER])
def test_every_name_is_given_once_and_used_only_below(text: str) -> None:
    circuit = circuit_of(text)
    known = set(circuit.symbols)
    for line in named_forms(circuit).lines:
        assert line.name not in known
        assert set(symbols_of(line.body)) <= known
        known.add(line.name)
    assert set(circuit.currents) <= known


def test_a_bridge_is_one_star_made_a_mesh() -> None:
    forms = lines(named_forms(circuit_of(BRIDGE)))
    assert "S1 = G1 + G3 + G5" in forms
    assert "G6 = G2 + G1 G5/S1" in forms
    assert "I5 = (V(b, d) − V(c, d))/R5" in forms


def test_an_ideal_battery_holds_its_emf_between_its_points() -> None:
    assert "V(a, d) = E" in lines(named_forms(circuit_of(BRIDGE)))


def test_batteries_side_by_side_are_one_by_millman() -> None:
    assert lines(named_forms(circuit_of(CHARGE_OR_HELP)))[:2] == [
        "Ra = R1 ∥ R2 ∥ Rh",
        "Ea = Ra (E1/R1 + E2/R2)",
    ]


def test_a_ladder_needs_resistances_in_series_and_parallel_alone() -> None:
    forms = named_forms(circuit_of(ladder(10)))
    assert {line.role for line in forms.lines} == {"resistance", "current"}


def test_series_and_parallel_give_each_resistance_written_once() -> None:
    circuit = circuit_of(ladder(3))
    current = source_current_at_once(circuit)
    assert current is not None
    assert as_text((current,)) == "E/(R1 + R2 + r + R3 ∥ (R4 + R5 + R6 ∥ (R7 + R8 + R9)))"
    assert source_current_at_once(circuit_of(BRIDGE)) is None
    assert source_current_at_once(circuit_of(CHARGE_OR_HELP)) is None


@pytest.mark.parametrize(
    ("text", "most"), [(complete(6), 234), (ladder(20), 318), (grid(4), 500), (cube(3), 230)]
)
def test_the_lines_take_few_symbols(text: str, most: int) -> None:
    """The figures were measured; closed forms of these networks have from 1,000 to 10^11 terms."""
    assert named_forms(circuit_of(text)).written_symbols <= most


def test_a_name_that_the_circuit_uses_is_not_given_again() -> None:
    text = LADDER.replace("R5", "Ra").replace("E2", "V1")
    circuit = circuit_of(text)
    assert "Ra" not in [line.name for line in named_forms(circuit).lines]
    values = {n: NUMBERS.number(Fraction(i + 2)) for i, n in enumerate(circuit.symbols)}
    assert set(named_forms(circuit).currents(NUMBERS, values)) == set(circuit.currents)
