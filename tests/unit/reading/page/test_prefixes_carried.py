"""Units meant otherwise than they stand, sources turned in words, and what goes on beside a number."""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.page.lines import working
from tests.sample_circuits import circuit_of

BRIDGE_ARM = """
[branches]
I1 = "o, +E1, R1, p"
I2 = "p, R2, o"
[numbers]
E1 = "1.8 V"
R1 = "220 ohm"
R2 = "75 ohm"
"""


def read(text: str) -> list[str]:
    """The claims of the last line."""
    lines = working(text, circuit_of(BRIDGE_ARM)).lines
    assert [line.trouble for line in lines if line.trouble] == []
    return [as_text((claim.written,)) for claim in lines[-1].claims]


def test_milliamperes_times_ohms_are_millivolts() -> None:
    assert read("I2 = 6.1 mA\nU2 = 6.1*75 = 458 mV")[-1] == "(6.1 mA) (75 Ω) = 458 mV"
    assert read("I2 = 6.1 mA\nP2 = 0.458*6.1 = 2.79 mW")[-1] == "(0.458 V) (6.1 mA) = 2.79 mW"


@pytest.mark.parametrize("line", ["U2 = 6.1*75 = 458 V", "U2 = 7.1*75 = 533 mV", "U2 = 6.1*75 = 0.458 mV"])
def test_other_numbers_and_other_units_stay_as_they_are(line: str) -> None:
    assert "mA" not in read(f"I2 = 6.1 mA\n{line}")[-1]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("36 V in series with 6 ohm -> 6 A parallel with 6 ohm", "36 V/(6 Ω) = 6 A"),
        ("36 V + 6 ohm = 6 A || 6 ohm", "36 V/(6 Ω) = 6 A"),
        ("6 A parallel to 4.2 ohm = 25 V in series with 4.2 ohm", "(6 A) (4.2 Ω) = 25 V"),
        ("36 V, 6 ohm = 6 A source", "36 V/(6 Ω) = 6 A"),
    ],
)
def test_a_source_turned_in_words_is_a_quotient_or_a_product(line: str, said: str) -> None:
    assert read(line)[:1] == [said]


def test_what_a_bracket_says_that_a_resistance_is_made_of_is_held_to_it() -> None:
    assert read("36 V with 6 ohm (5.2 + 0.8) = 6 A with 6 ohm") == ["36 V/(6 Ω) = 6 A", "5.2 + 0.8 = 6 Ω"]


def test_what_goes_on_beside_a_number_is_beside_the_one_before() -> None:
    assert read("6 || 14 = 4.2, + 3.5 = 7.7, || 11 = 4.53 ohm")[-1] == "7.7 ∥ 11 = 4.53 Ω"


def test_a_number_of_volts_with_a_square_may_be_squared_with_them() -> None:
    lines = working("P1 = 17 V^2/(4 x 220 ohm) = 0.328 W", circuit_of(BRIDGE_ARM)).lines
    assert [as_text((each,)) for each in lines[0].claims[-1].otherwise] == ["(17 V)²/(4 (220 Ω)) = 0.328 W"]
    assert read("I1 = 6.1 mA x 75 ohm/(2 x 75 ohm)") == ["I1 = (6.1 mA) (75 Ω)/(2 (75 Ω))"]
