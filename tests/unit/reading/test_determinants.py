"""Determinants that are written wrongly are denied with how that came about, and what follows is carried.

The circuit: charger, battery and heater; with Ih = Ic − Ib the loops are 9 Ic − 5 Ib = 23 and
−5 Ic + 8 Ib = −18: determinants 47, 94 and −47, so that Ic = 2 A and Ib = −1 A.
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
WHOLE, FIRST, SECOND = "D = 9*8 - 5*5 = 47\n", "D1 = 23*8 - 18*5 = 94\n", "D2 = -9*18 + 5*23 = -47\n"
RESULTS = "Ic = D1/D = 94/47 = 2 A\nIb = D2/D = -47/47 = -1 A\n"


def read(text: str) -> Reading:
    return read_working(CIRCUIT, text)


def untrue(text: str) -> list[tuple[int, bool]]:
    return [(v.line, v.carried) for v in read(text).verdicts if v.kind is ClaimKind.UNTRUE]


def mend(text: str) -> tuple[str, str]:
    """The slip named first and its sentence."""
    first = next(v for v in read(text).verdicts if v.kind is ClaimKind.UNTRUE)
    return first.repairs[0].entry, as_text(first.repairs[0].said)


@pytest.mark.parametrize(
    ("written", "entry", "said"),
    [
        ("D = 9*8 + 5*5 = 97", "added-for-subtracted", "− 5 × 5 is wanted in this determinant"),
        ("D = 9*8 - 5*3 = 57", "copied-wrong", "5 belongs where 3 stands"),
    ],
)
def test_a_slip_in_a_determinant_is_named(written: str, entry: str, said: str) -> None:
    found = mend(LOOPS + written)
    assert found[0] == entry
    assert said in found[1]


def test_the_constants_in_the_wrong_column_are_denied_by_the_mark_of_the_name() -> None:
    text = LOOPS + WHOLE + FIRST + SECOND.replace("D2 = -9*18 + 5*23 = -47", "D2 = 23*8 - 18*5 = 94")
    assert untrue(text) == [(5, False)]
    assert mend(text) == (
        "subscript",
        "the constants stand in the column of Ic; here they belong in that of Ib",
    )


def test_marks_that_are_letters_of_the_unknowns_may_come_in_any_order() -> None:
    text = LOOPS + WHOLE + SECOND.replace("D2", "Db") + FIRST.replace("D1", "Dc")
    assert untrue(text) == []


def test_results_of_a_wrong_set_of_equations_follow_from_it() -> None:
    text = LOOPS.replace("= 23", "= 32") + WHOLE + "D1 = 32*8 - 18*5 = 166\nIc = D1/D = 166/47 = 3.53 A\n"
    assert untrue(text)[0] == (1, False)
    assert all(carried for _, carried in untrue(text)[1:])


def test_an_equation_that_lost_its_other_unknown_is_one_of_the_set() -> None:
    text = (
        LOOPS.replace("-5 Ic + 8 Ib", "8 Ib")
        + "D = 9*8 - 0*5 = 72\nD2 = 9*(-18) - 0*23 = -162\nIb = D2/D = -2.25 A\n"
    )
    assert untrue(text)[0] == (2, False)
    assert all(carried for _, carried in untrue(text)[1:])


def test_a_quotient_of_determinants_turned_round_is_named() -> None:
    text = LOOPS + WHOLE + FIRST + "Ic = D/D1 = 47/94 = 0.5 A\n"
    assert untrue(text) == [(5, False)]
    assert mend(text)[0] == "fraction-inverted"
