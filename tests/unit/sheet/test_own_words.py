"""Own words stay as they are: no number in them leads to a line of ours, no slash is a fraction."""

import pytest

from loopwright.sheet.build import sheet
from tests.sample_circuits import CHARGE_OR_HELP, circuit_of

STORY = 'story = "Two packs (1) charge and/or help (2). Turn it on/off."\n'


def test_a_number_in_brackets_of_a_story_is_no_link() -> None:
    page = sheet(circuit_of(STORY + CHARGE_OR_HELP)).html()
    assert "Two packs (1) charge and/or help (2)." in page


def test_a_story_is_read_aloud_as_it_is_written() -> None:
    said = sheet(circuit_of(STORY + CHARGE_OR_HELP)).spoken()
    assert "equation one charge" not in said
    assert "charge and or help" in said
    assert "on or off" in said


@pytest.mark.parametrize("value", ["-9 V", "9 V"])
def test_a_lone_source_that_delivers_is_not_said_to_be_driven_backwards(value: str) -> None:
    alone = f'[branches]\nI = "a, +E, R, a"\n[numbers]\nE = "{value}"\nR = "3 ohm"\n'
    assert "backwards" not in sheet(circuit_of(alone)).spoken()


def test_a_starter_is_not_held_against_a_quarter_of_a_watt() -> None:
    starter = '[branches]\nI = "a, +E, R, a"\n[numbers]\nE = "12 V"\nR = "0.4 ohm"\n'
    said = sheet(circuit_of(starter)).spoken()
    assert "usual small resistor" not in said
    assert "must be made for that power" in said
