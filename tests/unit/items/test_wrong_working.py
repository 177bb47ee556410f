"""Workings with one slip: consistent after it, found by the reader at its line, refused where unfit."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import pytest

from loopwright import items, read_working
from loopwright.errors import FaultyMaterial
from loopwright.items.item import QuizItem
from loopwright.items.wrong_line_items import as_written
from loopwright.items.wrong_working import NotWorked, NumberTerms, WrittenWorking, slipped, worked
from loopwright.reading.remarks import Standing
from loopwright.slips.models import point_of
from loopwright.slips.settings import Setting
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
HERE = point_of(Setting(CIRCUIT))


def text_of(working: WrittenWorking) -> str:
    return "\n".join(map(as_written, working.lines))


def value(terms: NumberTerms, values: Mapping[str, Fraction]) -> Fraction:
    return sum((c * values[name] if name else c for c, name in terms), Fraction(0))


def test_a_working_without_a_slip_is_right_and_complete() -> None:
    working = worked(HERE)
    assert working.values == {"Ic": 2, "Ib": -1, "Ih": 3}
    assert text_of(working).splitlines()[:4] == [
        "Ic = Ib + Ih",
        "23 − 4 Ic − 5 Ih = 0",
        "18 + 3 Ib − 5 Ih = 0",
        "23 − 4 (Ib + Ih) − 5 Ih = 0",
    ]
    assert read_working(CIRCUIT, text_of(working)).right


def test_each_line_after_a_slip_follows_from_the_lines_it_is_made_of() -> None:
    for working in slipped(HERE):
        laws = [line.terms for line in working.lines if not line.uses]
        assert [value(terms, working.values) for terms in laws] == [0] * 3 or working.wrong > 3
        off = [line.number for line in working.lines if value(line.terms, HERE.right)]
        assert off[0] == working.wrong


def test_a_slip_in_a_law_leads_to_the_answers_of_that_law() -> None:
    found = {w.slip.place: w.values for w in slipped(HERE, 3) if w.slip}
    assert found["sign of Ib R2"] == {"Ic": Fraction(44, 7), "Ib": Fraction(47, 7), "Ih": Fraction(-3, 7)}


def test_slips_are_made_in_laws_in_moving_in_brackets_and_in_putting_back() -> None:
    entries = {w.slip.entry for w in slipped(HERE) if w.slip}
    assert entries >= {
        "junction-sign",
        "branch-missing",
        "drop-sign",
        "source-sign",
        "drop-missing",
        "source-missing",
        "wrong-current",
        "bracket-lost",
        "minus-bracket",
        "moved-sign",
        "minus-dropped",
    }


WITH_A_CURRENT_SOURCE = """
[branches]
I1 = "a, R1, b"
I2 = "b, R2, a"
I3 = "b, +J1, a"
I4 = "a, +E, R4, b"
[numbers]
R1 = "2 ohm"
R2 = "4 ohm"
R4 = "4 ohm"
J1 = "3 A"
E = "12 V"
"""
BRIDGE = """
[branches]
I1 = "a, R1, b"
I2 = "a, R2, c"
I3 = "b, R3, d"
I4 = "c, R4, d"
I5 = "b, R5, c"
I6 = "d, +E, a"
[numbers]
E = "12 V"
R1 = "2 ohm"
R2 = "4 ohm"
R3 = "8 ohm"
R4 = "2 ohm"
R5 = "4 ohm"
"""


@pytest.mark.parametrize("text", [WITH_A_CURRENT_SOURCE, BRIDGE], ids=("current source", "bridge"))
def test_bridges_and_current_sources_are_worked_and_slipped_in(text: str) -> None:
    circuit = circuit_of(text)
    here = point_of(Setting(circuit))
    right = worked(here)
    assert right.values == here.right
    assert read_working(circuit, text_of(right)).right
    (item,) = items(circuit, ["wrong-line"], each=1).items
    assert len(item.options) >= 9


def test_a_current_source_turned_round_is_carried_through() -> None:
    here = point_of(Setting(circuit_of(WITH_A_CURRENT_SOURCE)))
    (turned,) = [w for w in slipped(here, 1) if w.slip]
    assert turned.slip is not None
    assert turned.slip.entry == "source-sign"
    # the loops as before, 2 I1 = -4 I2 and I2 = 3 - I4, with the junction I1 + I4 = I2 - 3
    assert turned.values == {"I1": -3, "I2": Fraction(3, 2), "I3": -3, "I4": Fraction(3, 2)}


@pytest.mark.parametrize("line", [1, 3, 5, 6])
def test_the_reader_finds_the_slip_at_its_line_and_credits_what_follows(line: int) -> None:
    working = next(slipped(HERE, line))
    reading = read_working(CIRCUIT, text_of(working))
    assert reading.first_untrue is not None
    assert reading.first_untrue.line == line
    assert {each.standing for each in reading.remarks[line:]} <= {Standing.RIGHT, Standing.CARRIED}


@pytest.mark.slow
def test_the_reader_finds_every_other_slip_at_its_line() -> None:
    for working in list(slipped(HERE))[::2]:
        reading = read_working(CIRCUIT, text_of(working))
        first = reading.first_untrue
        assert first is not None
        assert (first.line, reading.circuit) == (working.wrong, CIRCUIT)
        assert {r.standing for r in reading.remarks[working.wrong :]} <= {Standing.RIGHT, Standing.CARRIED}


def test_resistances_in_kilohms_are_worked_in_milliamperes() -> None:
    text = CHARGE_OR_HELP_IN_NUMBERS.replace(" ohm", " kohm")
    working = worked(point_of(Setting(circuit_of(text))))
    assert working.units == "V, mA and kΩ"
    assert as_written(working.lines[-1]).endswith("= 2 mA")
    assert working.values["Ic"] == Fraction(2, 1000)


def test_unwieldy_numbers_are_not_worked() -> None:
    text = CHARGE_OR_HELP_IN_NUMBERS.replace('"23 V"', '"23.123 V"').replace('"4 ohm"', '"4.157 ohm"')
    with pytest.raises(NotWorked):
        worked(point_of(Setting(circuit_of(text))))


@pytest.fixture(scope="module")
def hunts() -> tuple[QuizItem, ...]:
    return items(CIRCUIT, ["wrong-line"], each=2, line=3).items


def test_the_line_is_of_ones_choice_and_the_slips_differ(hunts: tuple[QuizItem, ...]) -> None:
    assert [item.right for item in hunts] == [("L3",), ("L3",)]
    assert len({item.options[2].line for item in hunts}) == 2


def test_every_line_says_what_the_reader_says_of_it(hunts: tuple[QuizItem, ...]) -> None:
    told = [option.feedback for option in hunts[0].options]
    assert told[0] == "No: this line is right. Junction equation at bus."
    assert told[2].startswith("Yes. ")
    assert "It should read 18 + 3 Ib − 5 Ih = 0." in told[2]
    assert told[-1].startswith("No: what is wrong in this line was wrong before. Follows from line")


def test_a_line_without_slips_is_refused_with_those_that_have_some() -> None:
    with pytest.raises(FaultyMaterial, match="Choose one of the lines 1, 2, 3, 5, 6") as trouble:
        items(CIRCUIT, ["wrong-line"], line=4)
    assert [f.code for f in trouble.value.findings] == ["items/no-slip-in-line"]
