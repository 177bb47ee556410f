"""The order in which symbols stand."""

from __future__ import annotations

from loopwright.expressions.order import is_source, name_key


def test_sources_stand_before_currents_and_resistances() -> None:
    names = ["R2", "Rh", "I1", "E2", "E10", "J1", "R10"]
    assert sorted(names, key=name_key) == ["E2", "E10", "J1", "I1", "R2", "R10", "Rh"]


def test_a_source_is_told_by_its_first_letter() -> None:
    assert [is_source(name) for name in ("E", "E12", "Vab", "J1", "R1", "I1")] == [True] * 4 + [False] * 2
