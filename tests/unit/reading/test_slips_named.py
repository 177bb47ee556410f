"""What one slip in a whole working is called; beside it a line wrong in another way, which must not get that
name.

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


# -- ideas of how a current or a voltage divides -----------------------------------------------------

THREE = NEST + 'R4 = "4 ohm"\n'
THREE = THREE.replace('I3 = "a, R3, b"\n', 'I3 = "a, R3, b"\nI4 = "a, R4, b"\n')  # 12/11 ohm: I1 = 44/15 A


@pytest.mark.parametrize(
    ("source", "line"),
    [
        (NEST, "I1 = 2.667 A\nI2 = I1/2"),
        (NEST, "I1 = 2.667 A\nI3 = 2.667/2 = 1.333 A"),
        (THREE, "I2 = I1/3"),
        (THREE, "I1 = 2.933 A\nI4 = 2.933/3 = 0.978 A"),
        (THREE, "Rp = R2 || R3 || R4\nI1 = E/(R1 + Rp)\nI3 = I1/3"),
    ],
)
def test_a_current_divided_equally_is_named(source: str, line: str) -> None:
    assert called(source, line) == "equal-split"


@pytest.mark.parametrize(
    ("source", "line"),
    [
        (THREE, "I2 = I1/2"),  # into three it divides
        (THREE, "I1 = 2.933 A\nI4 = 2.933/2 = 1.467 A"),
        (NEST, "I1 = 2.667 A\nI2 = 2.667/3 = 0.889 A"),
        (FIVE, "I2 = I3/2"),  # that is no part of I3
        (NEST, "I2 = 8/2"),
    ],
)
def test_a_current_divided_by_another_number_is_no_equal_split(source: str, line: str) -> None:
    assert called(source, line) != "equal-split"


@pytest.mark.parametrize("line", ["U2 = 12 V", "U2 = 12", "I3 = 12/5 = 2.4 A", "I2 = E/R2"])
def test_the_whole_emf_across_one_resistor_is_named(line: str) -> None:
    assert called(FIVE, "I1 = 2.095 A\n" + line) == "whole-emf-each"


@pytest.mark.parametrize("line", ["U2 = 21 V", "U2 = 2 V", "I2 = 12/2 = 6 A", "I2 = E/R3"])
def test_another_voltage_or_resistor_is_not_the_whole_emf(line: str) -> None:
    assert called(NEST, "I1 = 2.667 A\n" + line) != "whole-emf-each"


# -- signs of voltages and sources -------------------------------------------------------------------

TWO = """
[branches]
I1 = "K, R1, +E1, x"
I2 = "K, R2, +E2, x"
I3 = "K, Rx, R3, x"
[numbers]
E1 = "12 V"
E2 = "5 V"
R1 = "4 ohm"
R2 = "5 ohm"
Rx = "3 ohm"
R3 = "6 ohm"
"""  # V(x, K) = 720/101 V, so I1 = 123/101 A, I2 = -43/101 A, I3 = -80/101 A
LEVELS = "VK = 0\n(Vx - E1)/R1 + (Vx - E2)/R2 + Vx/(Rx + R3) = 0\nVx = 7.129\n"


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("I1 = (Vx + E1)/R1", "voltage-order"),
        ("I1 = (-Vx - E1)/R1", "source-sign"),
        ("I1 = (7.129 - 12)/4", "drop-sign"),  # all of it, so the arrow was not looked at
        ("I2 = (-7.129 - 5)/5", "source-sign"),
    ],
)
def test_the_sign_that_is_wrong_above_a_line_is_told(line: str, name: str) -> None:
    assert called(TWO, LEVELS + line) == name


def test_the_sign_of_a_source_in_a_sum_of_what_sources_drive_is_told() -> None:
    opened = "R3 and Rx removed:\n"
    assert called(TWO, opened + "U0 = (E1/R1 - E2/R2)/(1/R1 + 1/R2)") in ("source-sign", "")
    assert called(TWO, LEVELS.replace("Vx - E1", "Vx + E1")) == "source-sign"
    assert called(TWO, LEVELS.replace("Vx - E1", "Vx - 12").replace("Vx - E2", "Vx + 5")) == "source-sign"


def test_where_potentials_are_called_otherwise_a_voltage_with_the_mark_of_a_resistor_is_across_it() -> None:
    right = "VK = 0\nVx = 7.129\nI3 = -0.792\nUx = -3*0.792 = -2.376\n"
    assert untrue(TWO, right) == []
    assert untrue(TWO, right.replace("-3*0.792 = -2.376", "-3*0.972 = -2.916")) == [4]
    assert untrue(TWO, "I3 = -0.792 A\nUx = 3*0.79 = 2.37 V") == []


# -- subscripts in several places --------------------------------------------------------------------

MESH = (
    "Loop current p round E1, R1, Rx, R3, through R1 from K to x\n"
    "Loop current q round E2, R2, Rx, R3, through R2 from K to x\n"
)


@pytest.mark.parametrize(
    "line",
    [
        "E1 - R1 p - (R3 + R3)(p + q) = 0",
        "(R1 + R3 + R3) p + (R3 + R3) q = E1",
        "(4 + 6 + 6) p + (6 + 6) q = 12",
        "R2 p + Rx (p + q) + R3 (p + q) = E1",
    ],
)
def test_one_subscript_for_another_in_several_places_is_told(line: str) -> None:
    assert called(TWO, MESH + line) == "subscript"


@pytest.mark.parametrize("line", ["(R1 + R3) p + R3 q = E1", "(R1 + R3 + R3) p + (Rx + R3) q = 2 E1"])
def test_what_no_subscript_mends_is_not_called_one(line: str) -> None:
    assert called(TWO, MESH + line) != "subscript"


# -- lines worked out --------------------------------------------------------------------------------

STEPS = "13 p + 9 q = 12\n9 p + 14 q = 5\np = 0.9231 - 0.6923 q\n"


@pytest.mark.parametrize(
    ("lines", "name"),
    [
        ("9 (0.9231 - 0.6923 q) + 14 q = 5\n13.308 q = -3.308", "bracket-lost"),
        ("13.308 q = -3.308", "bracket-lost"),
        ("14 q - 5 = -9 (0.9231 - 0.6923 q)\n7.769 q + 3.308 = 0", ""),
        ("14 q - 5 = -9 (0.9231 - 0.6923 q)\n20.231 q = -3.308", "minus-bracket"),
    ],
)
def test_a_bracket_lost_before_like_terms_were_put_together_is_told(lines: str, name: str) -> None:
    text = MESH + STEPS + lines
    assert untrue(TWO, text) == [] if not name else called(TWO, text) == name


def test_a_wrong_number_after_a_bracket_is_no_bracket_lost() -> None:
    found = called(TWO, MESH + STEPS + "9 (0.9231 - 0.6923 q) + 14 q = 5\n7.967 q = -3.308")
    assert found not in ("bracket-lost", "minus-bracket")


# -- parallel and series -----------------------------------------------------------------------------


def test_two_in_series_added_to_what_lies_beside_them_is_told() -> None:
    opened = "R2 removed:\n"
    nest = NEST.replace('I3 = "a, R3, b"', 'I3 = "a, R3, R4, b"') + 'R4 = "1 ohm"\n'
    assert called(nest, opened + "Ri = R1 + R3 + R4\nI2 = U0/(Ri + R2)") == "parallel-added"
    assert untrue(nest, opened + "Ri = R1 || (R3 + R4)\n") == []
    assert called(nest, opened + "Ri = R1 + R3\nI2 = U0/(Ri + R2)") != "parallel-added"


# -- resistances by the total that they are added up in ----------------------------------------------

FOUR = """
[branches]
I1 = "b, +E, R1, a"
I2 = "a, R2, b"
I3 = "a, R3, R4, b"
[elements]
E = { kind = "battery", value = "E", internal = "ri" }
[numbers]
E = "12 V"
ri = "0.5 ohm"
R1 = "2.5 ohm"
R2 = "6 ohm"
R3 = "2 ohm"
R4 = "1 ohm"
"""  # 6 beside 3 is 2 ohm, 5 ohm in all, so I1 = 2.4 A


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Rv = R2 + R3 + R4\nRt = ri + R1 + Rv\nI1 = E/Rt", "parallel-added"),
        ("Rv = 6 + 2 + 1 = 9\nRt = 0.5 + 2.5 + 9 = 12\nI1 = 12/12 = 1", "parallel-added"),
        ("Rs = R3 + R4\nRv = 1/(1/R1 + 1/Rs)\nRt = ri + R1 + Rv\nI1 = E/Rt", "subscript"),
    ],
)
def test_a_resistance_is_held_to_what_the_total_below_leaves_for_it(text: str, name: str) -> None:
    assert called(FOUR, text) == name
    at = 2 if text.startswith("Rs") else 1
    assert untrue(FOUR, text) == [at]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Rs = R3 + R4\nRv = R2 || Rs\nRt = ri + R1 + Rv\nI1 = E/Rt\nI1 = 2.4 A", []),
        ("Rs = R3 + R4\nRt = ri + R1 + Rs\nI1 = E/Rt", [2]),  # Rs is right, and the total is not
        ("Rs = 2 + 1 = 3\nRt = 0.5 + 2.5 + 3 = 6\nI1 = 12/6 = 2", [2]),
    ],
)
def test_a_right_resistance_is_not_blamed_for_a_wrong_total(text: str, lines: list[int]) -> None:
    assert untrue(FOUR, text)[:1] == lines


def test_results_by_formulas_put_one_into_the_next_are_carried() -> None:
    text = "Rv = R2 + R3 + R4\nRt = ri + R1 + Rv\nI1 = E/Rt\nU = I1 Rv\nIn numbers:\nI1 = 1 A\n"
    assert untrue(FOUR, text) == [1]
    assert untrue(FOUR, text.replace("I1 = 1 A", "I1 = 1.3 A")) == [1, 6]


def test_a_determinant_with_one_wrong_sign_is_held_to_the_one_above_zero() -> None:
    turned = ROWS.replace("9 x - 6 y = 12", "-6 y + 9 x = 12")
    assert untrue(FIVE, turned + "D = -9*11 - 6*6 = -135\nDx = 12*11 = 132\n") == [5]
    assert called(FIVE, turned + "D = -9*11 - 6*6 = -135\n") == "added-for-subtracted"


def test_a_term_left_out_of_a_row_put_together_is_told_only_where_it_is_that() -> None:
    text = "I1 + I2 + I3 = 0\n12 - 4 I1 + 5 I2 - 5 = 0\nI1 = 1.75 + 1.25 I2\n"
    assert called(TWO, text + "1.75 + 2.25 I2 = 0") in ("term-missing", "branch-missing")
    assert called(TWO, text + "1.75 + 2.25 I2 - I3 = 0") not in ("term-missing", "branch-missing")
    assert untrue(TWO, text + "1.75 + 2.25 I2 + I3 = 0") == []


@pytest.mark.parametrize(("line", "name"), [("P2 = 6 * 0.766^2", "digits"), ("P2 = 6 * 0.667^3", "")])
def test_a_number_that_stands_squared_is_told(line: str, name: str) -> None:
    found = called(NEST, RESULTS + line)
    assert found in (name, "copied-wrong") if name else found != "digits"


def test_a_name_for_another_throughout_a_product_over_a_sum_is_told() -> None:
    assert called(FIVE, "R2 and R3 in parallel: Rp = R1 R3/(R1 + R3)\nI1 = E/(R1 + Rp)") == "subscript"
    assert called(FIVE, "R2 and R3 in parallel: Rp = R1 R3/(R2 + R3)\nI1 = E/(R1 + Rp)") == "subscript"
