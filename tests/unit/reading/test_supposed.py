"""Workings that suppose a current, work back to the source that it needs, and scale.

The circuit: 24 V behind 2 Ω on 8 Ω beside 4 Ω before 6 Ω beside 12 Ω. By hand, 1 A in the 12 Ω needs 36 V; in
truth 2/3 A flow there, 4 A from the source.
"""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, FAR_END, circuit_of

KILOHMS = FAR_END.replace("ohm", "kohm")
FED = FAR_END.replace("+E1, R1", "+J1").replace('E1 = "24 V"', 'J1 = "4 A"').replace('R1 = "2 ohm"\n', "")


def read(text: str, source: str = FAR_END) -> Reading:
    return read_working(circuit_of(source), text)


def untrue(reading: Reading) -> list[int]:
    return [v.line for v in reading.verdicts if v.kind is ClaimKind.UNTRUE and not v.carried]


SUPPOSITIONS = (
    "Let 1 A flow in R5.", "Assume I5 = 1 A", "suppose that I5 is 1 A", "Let I5 be 1 A.", "Take I_5 = 1 A:",
    "Guess a current of 1 A through R5", "Assume that the current through R5 is 1 A", "Say 1 A in the 12 ohm",
    "Start with 12 V across R5", "If I5 were 1 A:", "Imagine the voltage across R4 is 12 V", "Let I5' = 1 A",
)  # fmt: skip


@pytest.mark.parametrize("said", SUPPOSITIONS)
def test_current_or_voltage_is_supposed_in_many_words(said: str) -> None:
    assert read(f"{said}\nI4 = 2 A\nI3 = 3 A\nE1 = 36 V\nk = 24/36\nI3 = 2 A").right


def test_supposition_is_in_milliamperes_where_resistances_are_in_kilohms() -> None:
    text = "Let I5 = 1 mA\nV_c = 12 V\nI4 = 2 mA\nI1 = 6 mA\nE1 = 36 V\nI1 = 6 x 24/36 = 4 mA"
    assert read(text, KILOHMS).right
    assert read(text.replace(" mA", "").replace(" V", ""), KILOHMS).right


def test_current_source_is_what_a_supposition_needs() -> None:
    reading = read("Let I5 = 1 A\nV_c = 12 V\nI3 = 3 A\nI2 = 3 A\nJ1 = 6 A\nk = 4/6\nI5 = 0.667 A", FED)
    assert reading.right


def test_what_a_line_above_found_is_no_supposition() -> None:
    reading = read("I5 = 0.7 A\nTake I5 = 0.7 A: V_c = 8.4 V")
    assert untrue(reading) == [1]
    assert not any(v.setting for v in reading.verdicts)


def test_what_is_true_anyway_is_no_supposition() -> None:
    assert not any(line.setting for line in read("Let I1 = 4 A\nI2 = 2 A").working.lines)


def test_nothing_is_supposed_where_two_sources_act() -> None:
    assert untrue(read("Let Ih = 1 A\nIh = 3 A", CHARGE_OR_HELP_IN_NUMBERS)) == [1]


def test_wrong_line_under_a_supposition_is_not_true() -> None:
    assert untrue(read("Let I5 = 1 A\nI4 = 2 A\nI3 = 4 A")) == [3]


def test_true_value_does_not_pass_under_a_supposition() -> None:
    assert untrue(read("Let I5 = 1 A\nV_c = 12 V\nI1 = 4 A")) == [3]


def test_factor_turned_round_is_right_where_all_is_divided_by_it() -> None:
    top = "Let I5 = 1 A\nI1 = 6 A\nE1 = 36 V\n"
    assert read(f"{top}k = 36/24 = 1.5\nI1 = 6/k = 4 A").right
    assert untrue(read(f"{top}k = 36/24 = 1.5\nI1 = 6 k = 9 A")) == [4]


def test_unscaled_and_wrongly_scaled_results_are_called_so() -> None:
    top = "Let I5 = 1 A\nI1 = 6 A\nE1 = 36 V\nscale by 24/36:\n"
    left, turned = (read(f"{top}I1 = {worth} A").verdicts[-1].repairs[0] for worth in ("6", "9"))
    assert (left.entry, turned.entry) == ("factor-missing", "fraction-inverted")
    assert as_text(left.said) == (
        "6 A is what it is with I5 taken as 1 A, which is still to be multiplied by 24/36"
    )


def test_note_says_what_a_marked_name_is() -> None:
    notes = [note for line in read("Let I5 = 1 A\nI4 = 2 A").working.lines for note in line.notes]
    assert notes == ["Until it is scaled, a name with ′ is of the circuit with I5 taken as 1 A"]


def test_number_worked_wrongly_does_not_stand_for_the_right_one() -> None:
    reading = read("V_c = 8 V\nI3 = 2 A\nV_a = 8 + 2*4 = 17 V\nI2 = 17/8 = 2.125 A")
    last = reading.verdicts[-2]
    assert (last.kind, last.carried, last.used) == (ClaimKind.UNTRUE, True, (3,))
