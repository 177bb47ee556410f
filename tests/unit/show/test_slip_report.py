"""Decoded numbers in each form: what they tell, with the details set in below."""

from __future__ import annotations

import json
from fractions import Fraction

from loopwright.quantities import read_quantity
from loopwright.show.slip_report import DECODED_FORMS, _undetermined, amounts
from loopwright.slips.decoder import decode
from loopwright.slips.settings import Fate, SlipOutcome
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
ANSWERS = {"Ic": "-44/23A", "Ib": "97/23A", "Ih": "141/23A"}
FOUND = decode(CIRCUIT, {n: read_quantity(v) for n, v in ANSWERS.items()}, arrows=dict.fromkeys(ANSWERS, 1))


def test_details_are_set_in_below_what_they_belong_to() -> None:
    text = DECODED_FORMS["text"](FOUND, 3).splitlines()
    assert not text[0].startswith(" ")
    detail = next(line for line in text if line.startswith("    "))
    markdown = DECODED_FORMS["md"](FOUND, 3).splitlines()
    assert markdown[0] == f"- {text[0]}"
    assert f"  - {detail.strip()}" in markdown
    assert len(markdown) == len(text)


def test_data_and_text_tell_the_same_slips() -> None:
    data = json.loads(DECODED_FORMS["json"](FOUND, 3))
    slips = [slip for match in data["slips"] for slip in match["slips"]]
    text = DECODED_FORMS["text"](FOUND, 3)
    assert slips[0]["place"] in text
    assert data["given"] == {"Ic": "-44/23", "Ib": "97/23", "Ih": "141/23"}


def test_each_amount_has_the_unit_of_what_is_asked() -> None:
    """A current may have any name; only what is written with brackets is a voltage or a power."""
    values = {"V1": Fraction(-1), "V(a, b)": Fraction(2), "P(R1)": Fraction(1, 4), "Ip": Fraction(3)}
    assert amounts(values, 3) == "V1 = −1.00 A, V(a, b) = 2.00 V, P(R1) = 250 mW, Ip = 3.00 A"


def test_what_is_open_is_told_with_its_letters() -> None:
    ways = ({"I1": Fraction(-3, 2), "I2": Fraction(1)}, {"I1": Fraction(1), "I2": Fraction(0)})
    open_still = SlipOutcome(Fate.OPEN, {"I1": Fraction(2), "I2": Fraction(0)}, ways)
    assert _undetermined(open_still, 3) == "I1 = 2.00 A − 1.5 t + u, I2 = t"


def test_numbers_of_no_slip_are_told_without_an_empty_list() -> None:
    numbers = {"Ic": "1.7137A", "Ib": "0.2939A", "Ih": "7.1731A"}
    strange = decode(CIRCUIT, {n: read_quantity(v) for n, v in numbers.items()})
    text = DECODED_FORMS["text"](strange, 3)
    assert "No single slip of the catalogue gives these numbers." in text
    assert ("filled in somehow" in text) == bool([m for c in strange.open_ for m in c.members])
