"""Workings by other methods than branch currents: determinants, V as a name, what follows from a wrong value.

The circuit: charger, battery and heater, E1 = 23 V, E2 = 18 V, R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω; (Ic, Ib, Ih) =
(2, −1, 3) A and 15 V from bus to rail. With Ih = Ic − Ib the loops are 9 Ic − 5 Ib = 23 and
−5 Ic + 8 Ib = −18: determinants 47, 94 and −47.
"""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
LOOPS = "9 Ic - 5 Ib = 23\n-5 Ic + 8 Ib = -18\n"
DETERMINANTS = """\
D = 9*8 - 5*5 = 47
D1 = 23*8 - 18*5 = 94
D2 = -9*18 + 5*23 = -47
Ic = D1/D = 94/47 = 2 A
Ib = D2/D = -47/47 = -1 A
"""
# with 9·8 + 25 = 97 for the determinant
WRONG_WHOLE = DETERMINANTS.replace("- 5*5 = 47", "+ 5*5 = 97").replace("/47 = 2", "/97 = 0.969")
WRONG_WHOLE = WRONG_WHOLE.replace("/47 = -1", "/97 = -0.485")


def read(text: str) -> Reading:
    return read_working(CIRCUIT, text)


def untrue(text: str) -> list[tuple[int, bool]]:
    return [(v.line, v.carried) for v in read(text).verdicts if v.kind is ClaimKind.UNTRUE]


@pytest.mark.parametrize("name", ["D", "det", "Δ"])
def test_determinants_are_those_of_the_lines_above(name: str) -> None:
    told = read(LOOPS + DETERMINANTS.replace("D = ", f"{name} = ").replace("/D", f"/{name}"))
    assert told.right
    assert as_text(told.verdicts[2].said) == f"{name} is the determinant of lines 1 and 2."


def test_a_wrong_determinant_is_denied_and_what_follows_from_it_is_carried() -> None:
    assert untrue(LOOPS + WRONG_WHOLE) == [(3, False), (6, True), (7, True)]


def test_a_wrong_numerator_is_denied() -> None:
    assert untrue(LOOPS + DETERMINANTS.replace("23*8 - 18*5 = 94", "23*8 + 18*5 = 274"))[0] == (4, False)


def test_a_determinant_without_equations_above_is_only_a_name() -> None:
    assert read("D = 9*8 - 5*5 = 47").verdicts[0].kind is ClaimKind.NAMED


NODE = "(23 - V)/4 + (18 - V)/3 = V/5\n345 - 15V + 360 - 20V = 12V\n47V = 705\nV = 705/47 = 15 V\n"


def test_v_behind_a_number_is_a_name_where_the_working_uses_it_so() -> None:
    assert read(NODE + "Ic = (23 - 15)/4 = 2 A\nIh = 15 V/5 ohm = 3 A\n").right


def test_what_is_made_of_a_wrong_potential_is_carried() -> None:
    text = NODE.replace("12V\n47V", "12V\n45V").replace("705/47 = 15 V", "705/45 = 15.67 V")
    told = untrue(text + "Ih = 15.67/5 = 3.134 A\nIc = (23 - 15.67)/4 = 1.833 A\n")
    assert told == [(3, False), (4, True), (5, True), (6, True)]


def test_a_new_slip_with_a_wrong_potential_is_none_that_follows() -> None:
    text = NODE.replace("12V\n47V", "12V\n45V").replace("705/47 = 15 V", "705/45 = 15.67 V")
    assert untrue(text + "Ih = 15.67/3 = 5.223 A\n")[2] == (5, False)


@pytest.mark.parametrize(
    "line",
    [
        "E1 alone: Rp = R2 + Rh",
        "E1 alone: R2h = 3 + 5 = 8 ohm",
        "Rh out: Rth = R1 + R2",
        "Rh out: Rth = 1/R1 + 1/R2 = 0.583 ohm",
    ],
)
def test_resistors_are_made_one_as_they_lie(line: str) -> None:
    assert untrue(line)[0] == (1, False)


@pytest.mark.parametrize(
    "line",
    [
        "E1 alone: Rp = R2 Rh/(R2 + Rh) = 15/8 ohm",
        "E1 alone: 1/Rp = 1/3 + 1/5",
        "Rh out: Rth = 4*3/(4 + 3) = 1.714 ohm",
        "Rh out: R12 = R1 + R2",
    ],
)
def test_a_resistance_as_it_lies_is_a_name_for_that(line: str) -> None:
    assert read(line).right


@pytest.mark.parametrize("way", ["", "-"])
def test_an_open_voltage_runs_as_the_product_with_the_short_current_says(way: str) -> None:
    text = "Rh out:\nRi = R1 R2/(R1 + R2)\nIsc = %sE1/R1 %s E2/R2\nU0 = Isc Ri\nIh = %sU0/(Ri + Rh)"
    assert untrue(text % (way, "-" if way else "+", way)) == []


@pytest.mark.parametrize(
    ("text", "entry"),
    [
        ("E1 alone: Rp = R2 Rh/(R2 + Rh)\nR1 and Rp in series: Rt = R1 Rp/(R1 + Rp)", "false-parallel"),
        ("E1 alone: Rp = R2 Rh/(R2 + Rh)\nRt = 1/(1/R1 + 1/Rp)", "false-parallel"),
        ("Rh out: Rth = R1 || R2 || Rh", "term-extra"),
        ("Rh out: Rth = 1/(1/4 + 1/3 + 1/5) = 1.28 ohm", "term-extra"),
    ],
)
def test_a_slip_with_a_resistance_of_ones_own_is_named(text: str, entry: str) -> None:
    wrong = [v for v in read(text).verdicts if v.kind is ClaimKind.UNTRUE]
    assert [r.entry for v in wrong for r in v.repairs[:1]] == [entry]
    assert wrong[0].line == text.count("\n") + 1


@pytest.mark.parametrize("line", ["R1 and Rp in series: Rt = Rp", "Rt = 4*1.88/(4 + 1.88) = 1.28 ohm"])
def test_what_a_resistance_of_ones_own_is_made_of_is_told_by_words_and_by_rounded_numbers(line: str) -> None:
    assert untrue(f"E1 alone: Rp = 3*5/(3 + 5) = 1.88 ohm\n{line}") == [(2, False)]


def test_a_result_worked_out_below_a_wrong_formula_follows() -> None:
    text = "Rh out: Rth = (R1 + R2)/(R1 R2)\nRth = 0.583 ohm"
    assert untrue(text) == [(1, False), (2, True)]


def test_a_sum_with_a_wrong_resistance_in_it_follows() -> None:
    text = "E1 alone:\nRp = 3 + 5 = 8 ohm\nIc' = 23/12 = 1.917 A\nIh' = 1.917*3/8 = 0.719 A\n"
    assert untrue(text) == [(2, False), (3, True), (4, True)]
