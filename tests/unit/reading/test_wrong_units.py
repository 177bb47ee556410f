"""A result whose unit is of another kind is one slip of units; its number is gone on with.

The circuit: 24 V behind 2 Ω on 8 Ω beside 4 Ω before 6 Ω beside 12 Ω. By hand: I1 = 4 A, I2 = I3 = 2 A,
8 V across the 6 Ω beside 12 Ω.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import FAR_END, circuit_of

KILOHMS = FAR_END.replace("ohm", "kohm")
REST = "I2 = 4 - 2 = 2 A\nI5 = 2*6/18 = 0.667 A\nI4 = 2*12/18 = 1.33 A"


def read(text: str, source: str = FAR_END) -> Reading:
    return read_working(circuit_of(source), text)


def slips(reading: Reading) -> list[tuple[int, str]]:
    return [
        (v.line, v.repairs[0].entry if v.repairs else "")
        for v in reading.verdicts
        if v.kind is ClaimKind.UNTRUE and not v.carried
    ]


@pytest.mark.parametrize(
    "text",
    [
        "R45 = 6 || 12 = 4 V",  # the first that is said of it
        "I1 = 24/(2 + 4) = 4 V",
        "I1 = 4 V",
        "V(c, g) = 2*6*12/18 = 8 A",
        "P = 4^2*2 = 32 V",
        "Rq = 4 A",
    ],
)
def test_unit_of_another_kind_is_told_as_that(text: str) -> None:
    assert slips(read(text)) == [(1, "unit-missing")]


def test_unit_with_a_prefix_is_mended_in_the_units_of_the_circuit() -> None:
    reading = read("R45 = 6 || 12 = 4 V\nI1 = 24/6 = 4 V", KILOHMS)
    units = [v.repairs[0].mended.right.unit for v in reading.verdicts if v.repairs]  # type: ignore[union-attr]
    assert (slips(reading), units) == ([(1, "unit-missing"), (2, "unit-missing")], ["kΩ", "mA"])


@pytest.mark.parametrize(
    "text",
    [
        "R45 = 6 || 12 = 4 ohm", "I1 = 24 V/(6 ohm) = 4 A = 4000 mA", "I1 = 24/6 = 4", "P = 4 V * 4 A = 16 W",
        "I1 = 4 A = 24 V/(6 ohm)",
    ],
)  # fmt: skip
def test_units_that_fit_are_not_questioned(text: str) -> None:
    assert read(text).right


def test_wrong_number_is_not_hidden_by_its_wrong_unit() -> None:
    assert slips(read("I1 = 24/6 = 5 V"))[0][1] != "unit-missing"
    assert slips(read("I1 = 24/5 = 4.8 V"))[0] != (1, "unit-missing")


def test_unit_costs_the_units_alone_and_what_is_below_follows() -> None:
    reading = read(
        f"R45 = 6 || 12 = 4 V\nRp = 8*8/16 = 4 ohm\nI1 = 24/(2 + 4) = 4 A\nI3 = 4*8/16 = 2 A\n{REST}"
    )
    lost = {a.part for a in propose(reading, BUILT_IN["ten"]).awards if a.points < a.of}
    assert slips(reading) == [(1, "unit-missing")]
    assert MarkPart.UNITS in lost
    assert MarkPart.ALGEBRA not in lost
