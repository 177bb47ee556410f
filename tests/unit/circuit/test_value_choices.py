"""From what a value may be chosen: ranges, lists and the series of preferred values."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.circuit.value_choices import UnreadableChoices, choices, preferred


def texts(text: str, unit: str) -> list[str]:
    return [choice.text for choice in choices(text, unit)]


def test_a_range_takes_the_whole_numbers_of_the_unit_written() -> None:
    assert texts("2 to 5 ohm", "Ω") == ["2 Ω", "3 Ω", "4 Ω", "5 Ω"]
    assert [choice.value for choice in choices("from 1 kohm to 3 kohm", "Ω")] == [1000, 2000, 3000]


def test_a_range_in_steps_is_written_with_as_many_decimals_throughout() -> None:
    assert texts("1.5 to 6 V in steps of 1.5 V", "V") == ["1.5 V", "3.0 V", "4.5 V", "6.0 V"]


def test_the_unit_at_the_end_of_a_list_serves_all() -> None:
    assert texts("4.7, 2, 3 kohm", "Ω") == ["2 kΩ", "3 kohm", "4.7 kΩ"]
    assert [choice.value for choice in choices("2k2, 4k7", "Ω")] == [2200, 4700]


def test_preferred_values_are_those_of_iec_60063() -> None:
    # IEC 60063:2015, from memory: E6 and E12 are thinned from E24, finer ones are powers of ten.
    assert [float(v) for v in preferred("E6")] == [1.0, 1.5, 2.2, 3.3, 4.7, 6.8]
    e12 = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2]
    assert [float(v) for v in preferred("E12")] == e12
    assert [len(preferred(f"E{n}")) for n in (3, 24, 48, 96, 192)] == [3, 24, 48, 96, 192]
    assert {Fraction("4.99"), Fraction("9.76"), Fraction("1.02")} <= set(preferred("E96"))
    assert set(preferred("E48")) < set(preferred("E96")) < set(preferred("E192"))
    assert Fraction("9.20") in preferred("E192")


def test_a_series_runs_over_decades_and_keeps_to_its_bounds() -> None:
    assert texts("E6 from 330 ohm to 10 kohm", "Ω") == [
        "330 Ω", "470 Ω", "680 Ω", "1 kΩ", "1.5 kΩ", "2.2 kΩ", "3.3 kΩ", "4.7 kΩ", "6.8 kΩ", "10 kΩ",
    ]  # fmt: skip
    assert texts("E3 from 0.1 V to 1 V", "V") == ["100 mV", "220 mV", "470 mV", "1 V"]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("2 to 12", "no unit"),
        ("2 to 12 V", "must be in Ω"),
        ("12 to 2 ohm", "ends below its beginning"),
        ("0 to 4 ohm", "leaves nothing"),
        ("E13 from 1 ohm to 2 ohm", "no series"),
        ("E12", "from where to where"),
        ("E3 from 50 ohm to 60 ohm", "no value of E3"),
        ("2,, 3 ohm", "between two commas"),
        ("1 to 4 ohm in steps of 0 ohm", "not above 0"),
        ("1 ohm to 1 Mohm in steps of 1 ohm", "more than 5000"),
        ("many", "cannot be read"),
    ],
)
def test_what_names_no_choices_is_told(text: str, why: str) -> None:
    with pytest.raises(UnreadableChoices, match=why):
        choices(text, "Ω")
