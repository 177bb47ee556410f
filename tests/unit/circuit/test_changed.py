"""Circuits changed as methods change them."""

from __future__ import annotations

import pytest

from loopwright.circuit.changed import at_rest, sources_in, with_ends_named
from loopwright.circuit.elements import Kind
from tests.sample_circuits import DRIVEN, EQUAL_CELLS, LADDER, ONE_LOOP, circuit_of

REAL_CELLS = EQUAL_CELLS.replace('internal = "r"', 'internal = "r1"', 1)


def test_only_the_sources_named_come_to_rest() -> None:
    changed = at_rest(circuit_of(LADDER), ["E2"])
    assert sources_in(changed) == ("E1",)
    assert [p.element for p in changed.branch("I5").passes] == ["R5"]


def test_an_internal_resistance_stays_under_its_own_symbol() -> None:
    changed = at_rest(circuit_of(REAL_CELLS))
    met = [p.element for b in changed.branches for p in b.passes]
    assert met == ["r1", "r", "R"]


def test_an_internal_resistance_whose_symbol_is_an_element_keeps_the_battery_s_name() -> None:
    changed = at_rest(circuit_of(EQUAL_CELLS.replace('internal = "r"', 'internal = "R"')))
    assert [p.element for b in changed.branches for p in b.passes] == ["E1", "E2", "R"]
    assert changed.elements["E1"].kind is Kind.RESISTOR


def test_a_current_source_at_rest_is_a_gap() -> None:
    assert at_rest(circuit_of(DRIVEN)).elements["J"].is_gap


@pytest.mark.parametrize(
    ("element", "ends", "along"),
    [("R1", ("p", "m"), ["E1", "p", "R1", "m", "E2", "R2"]), ("R2", ("p", "a"), None)],
)
def test_both_ends_of_an_element_get_names(
    element: str, ends: tuple[str, str], along: list[str] | None
) -> None:
    named, found = with_ends_named(circuit_of(ONE_LOOP), element)
    assert found == ends
    if along is not None:
        assert [i if isinstance(i, str) else i.element for i in named.branch("I").along] == along
