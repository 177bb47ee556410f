"""What is cautioned against: common practice, no source; every caution defers to the rules."""

from __future__ import annotations

from loopwright.checks.remarks.cautions import RULES
from loopwright.transients.time_cautions import time_cautions
from tests.unit.transients.sample_transients import LAMP, MAGNET, RINGING, stage_of


def codes(text: str, **changes: str) -> dict[str, tuple[str, ...]]:
    found = time_cautions(stage_of(text, **changes))
    assert all(RULES in caution.text for caution in found)
    return {caution.code: caution.about for caution in found}


def test_a_small_lamp_needs_no_caution() -> None:
    assert codes(LAMP) == {}


def test_a_capacitor_past_sixty_volts_is_told_to_stay_charged() -> None:
    found = time_cautions(stage_of(LAMP, E='"300 V"'))
    told = next(c for c in found if c.code == "caution/capacitor-charged")
    assert told.about == ("C1",)
    assert any("Measure before touching" in str(piece) for piece in told.text)


def test_a_capacitor_whose_voltage_turns_over_must_not_be_polarised() -> None:
    assert "caution/capacitor-reversed" in codes(LAMP.replace('C1 = "2 V"', 'C1 = "-3 V"'))


def test_a_coil_let_go_through_a_large_resistance_is_told_of() -> None:
    assert codes(MAGNET)["caution/coil-voltage"] == ("L1",)


def test_a_coil_with_no_way_on_is_told_of_without_numbers_too() -> None:
    cut = MAGNET.replace('IR = "hook, R2, rail"\n', "").replace('R2 = "30 ohm"\n', "")
    assert codes(cut)["caution/coil-cut-off"] == ("L1",)


def test_a_battery_driven_backwards_on_the_way_alone_is_told_of() -> None:
    assert codes(RINGING)["caution/battery-backwards"] == ("E",)  # i = 0.4 A e^(-100 t) sin(700 t)
    assert "caution/battery-backwards" not in codes(RINGING, R1='"100 ohm"')  # it only creeps to its end


def test_a_marked_capacitor_is_cautioned_of_where_its_voltage_is_ever_the_other_way() -> None:
    right = LAMP.replace("C1, foot", "-C1, foot")
    assert "caution/capacitor-reversed" not in codes(right)
    assert codes(right.replace('C1 = "2 V"', 'C1 = "-3 V"'))["caution/capacitor-reversed"] == ("C1",)
    assert codes(LAMP.replace("C1, foot", "+C1, foot"))["caution/capacitor-reversed"] == ("C1",)


def test_how_far_a_voltage_swings_counts_and_not_its_ends_alone() -> None:
    assert "caution/capacitor-charged" not in codes(RINGING, E='"29 V"')
    assert codes(RINGING, E='"40 V"')["caution/capacitor-charged"] == ("C1",)  # it swings to 66 V
