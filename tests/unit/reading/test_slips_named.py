"""What one slip in a whole working is called, and beside it a line that is wrong in another way, which must not
get that name.

One battery of 12 V with 3 ohm before 6 ohm and 2 ohm side by side: 1.5 ohm together, 4.5 ohm in all, so
I1 = 8/3 A, I2 = 2/3 A, I3 = 2 A, and 4 V across the two.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.show.reading_json import as_data
from tests.sample_circuits import circuit_of

NEST = """
[branches]
I1 = "b, +E, R1, a"
I2 = "a, R2, b"
I3 = "a, R3, b"
[numbers]
E = "12 V"
R1 = "3 ohm"
R2 = "6 ohm"
R3 = "2 ohm"
"""
FIVE = NEST.replace('R3 = "2', 'R3 = "5')
ROWS = (
    "Loop current x round E, R1, R2, through R1 from b to a\n"
    "Loop current y round R3, R2, through R3 from a to b\n"
    "9 x - 6 y = 12\n11 y - 6 x = 0\n"
)


def reading(source: str, text: str) -> Reading:
    return read_working(circuit_of(source), text)


def called(source: str, text: str) -> str:
    """What the first line that is not true is called first; empty where nothing is said."""
    untrue = next(v for v in reading(source, text).verdicts if not v.holds)
    return untrue.repairs[0].entry if untrue.repairs else ""


def untrue(source: str, text: str) -> list[int]:
    return [v.line for v in reading(source, text).verdicts if not v.holds and not v.carried]


def said(source: str, text: str) -> str:
    """All that is said of the first line that is not true."""
    lines = as_data(reading(source, text))["lines"]
    assert isinstance(lines, list)
    return next(" ".join(c["said"]) for line in lines for c in line["claims"] if not c["holds"])


# -- powers and voltages -----------------------------------------------------------------------------

RESULTS = "I1 = 2.667 A\nI2 = 0.667 A\nI3 = 2 A\n"


@pytest.mark.parametrize(
    "line",
    ["P2 = R2 I2", "P2 = 6 * 0.667 = 4.0 W", "P2 = 6 ohm * 0.667 A = 4.0 W", "P_2 = R_2 I_2"],
)
def test_a_current_left_unsquared_in_a_power_is_named(line: str) -> None:
    assert called(NEST, RESULTS + line) == "factor-missing"
    assert "²" in said(NEST, RESULTS + line)


@pytest.mark.parametrize("line", ["P2 = R2 I2^2", "P2 = 6 * 0.667^2 = 2.67 W", "P2 = 4 * 0.667 = 2.67 W"])
def test_a_power_of_the_square_or_of_voltage_and_current_is_right(line: str) -> None:
    assert untrue(NEST, RESULTS + line) == []


@pytest.mark.parametrize("line", ["P2 = R2 I3^2", "P2 = 2 * 0.667^2", "P2 = 6 * 0.766^2"])
def test_a_power_wrong_in_another_way_is_not_called_unsquared(line: str) -> None:
    assert called(NEST, RESULTS + line) != "factor-missing"


@pytest.mark.parametrize("line", ["U2 = R2/I2", "U2 = 6/0.667 = 9.0", "U2 = 6/0.667 = 9.0 V"])
def test_a_voltage_as_a_resistance_over_a_current_is_named(line: str) -> None:
    assert called(NEST, RESULTS + line) in ("wrong-divisor", "fraction-inverted")


@pytest.mark.parametrize("line", ["U2 = 6*0.766 = 4.6 V", "U2 = 6/2.667 = 2.25 V"])
def test_a_voltage_of_another_number_is_not_called_divided(line: str) -> None:
    assert called(NEST, RESULTS + line) not in ("wrong-divisor", "fraction-inverted")


def test_the_power_of_a_resistor_taken_out_is_that_of_the_circuit_as_drawn() -> None:
    opened = "R3 removed:\nU0 = 8 V\nRi = 2 ohm\nI3 = 8/(2 + 2) = 2 A\n"
    assert called(NEST, opened + "P3 = 2*2 = 4 W") == "factor-missing"
    assert untrue(NEST, opened + "P3 = 2*2^2 = 8 W") == []


# -- determinants ------------------------------------------------------------------------------------


@pytest.mark.parametrize("line", ["D = 9*11", "D = -6*6 = -36", "D = 9*11 - 6*6 = 63\nDy = 9*0"])
def test_a_product_left_out_of_a_determinant_is_named(line: str) -> None:
    assert called(FIVE, ROWS + line) == "term-missing"
    assert "is missing in this determinant" in said(FIVE, ROWS + line)


def test_after_a_product_left_out_the_numerators_keep_their_sign() -> None:
    assert untrue(FIVE, ROWS + "D = -6*6 = -36\nDx = 12*11 = 132\nx = 132/(-36) = -3.667\n") == [5]
    assert untrue(FIVE, ROWS + "D = -6*6 = -36\nDx = 6*11 = 66\n") == [5, 6]


@pytest.mark.parametrize("line", ["D = 9*11 - 6*11", "D = 9*11 + 6*6", "D = 9*6 - 6*6", "D = 9 - 6*6"])
def test_a_determinant_wrong_in_another_way_lacks_no_product(line: str) -> None:
    assert called(FIVE, ROWS + line) != "term-missing"


# -- units and rounding ------------------------------------------------------------------------------


def test_a_result_in_milliamperes_for_amperes_is_a_slip_of_units_as_rounded() -> None:
    assert called(NEST, "I1 = 12 V/(3 ohm + 1.5 ohm) = 2.667 mA") == "units-mixed"
    assert called(NEST, "I1 = 12 V/(3 ohm + 1.5 ohm) = 2.766 A") == "digits"


def test_a_result_to_one_figure_does_not_tell_of_a_term_left_out() -> None:
    assert called(NEST, "-(-0.13) - (-0.17) = 0.2") == "digits"
    assert called(NEST, "-(-0.13) - (-0.17) = 0.17") == "term-missing"
