"""Before, just after and long after, and what a circuit leaves open."""

from __future__ import annotations

import pytest

from loopwright.errors import FaultyMaterial
from loopwright.transients.redrawn import seen_by
from tests.unit.transients.sample_transients import LAMP, MAGNET, RELAY, SHARING, stage_of


def test_the_two_redrawn_circuits_give_the_ends_of_every_current() -> None:
    for text in (LAMP, MAGNET, RELAY):
        stage = stage_of(text)
        assert stage.start is not None
        assert stage.end is not None
        for name, course in stage.currents.items():
            assert course.just_after == stage.start.currents[name]
            assert course.long_after == stage.end.currents[name]


def test_a_coil_begins_with_the_current_that_it_had_for_long() -> None:
    stage = stage_of(MAGNET)
    numbers = stage.circuit.numbers
    assert stage.held["L1"].value(numbers) == stage.currents["IL"].just_after.value(numbers)
    assert float(stage.held["L1"].value(numbers)) == pytest.approx(24 * 30 / (1 * 5 + 30 * 6))


def test_the_time_constant_is_capacitance_times_the_resistance_seen() -> None:
    stage = stage_of(LAMP)
    seen = seen_by(stage.circuit, "C1")
    assert seen is not None
    r1, r2, r3, c1 = (stage.circuit.value(n) for n in ("R1", "R2", "R3", "C1"))
    assert seen == r3 + r1 * r2 / (r1 + r2)
    assert stage.rates[0].plain == stage.circuit.field.one / (seen * c1)


def test_sharing_without_resistance_keeps_the_charge_and_jumps() -> None:
    stage = stage_of(SHARING)
    c1, c2, v = (stage.circuit.field.symbol(n) for n in ("C1", "C2", "V0"))
    assert stage.across("C1").just_after == v * c1 / (c1 + c2)
    assert stage.currents["I2"].burst == v * c1 * c2 / (c1 + c2)
    assert stage.rates == ()


def test_a_charge_that_nothing_decides_is_asked_for() -> None:
    unsaid = SHARING.replace('C1 = "V0"', "").replace('C2 = "0 V"', "")
    with pytest.raises(FaultyMaterial) as told:
        stage_of(unsaid)
    assert {f.code for f in told.value.findings} == {"time/start-open"}
    assert {f.about for f in told.value.findings} == {("C1",), ("C2",)}
    assert "under [start]" in told.value.findings[0].mend
