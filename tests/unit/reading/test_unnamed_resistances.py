"""Numbers put together without a name, and names and words that say of what the whole of it is.

E = 40 V behind R1 = 5 Ω; R2 = 15 Ω lies beside R3 = 5 Ω with R4 = R5 = 20 Ω side by side behind it: 12.5 Ω in
all, I1 = 3.2 A, I3 = 1.6 A, I4 = 0.8 A, 24 V at a and 16 V at b.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

LADDER = """
[branches]
I1 = "n, +E, R1, a"
I2 = "a, R2, n"
I3 = "a, R3, b"
I4 = "b, R4, n"
I5 = "b, R5, n"
[numbers]
E = "40 V"
R1 = "5 ohm"
R2 = "15 ohm"
R3 = "5 ohm"
R4 = "20 ohm"
R5 = "20 ohm"
"""
TORCH = """
[branches]
I1 = "g, +E, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, g"
[elements]
E = { kind = "battery", value = "E", internal = "r" }
[numbers]
E = "12 V"
r = "2 ohm"
R1 = "20 ohm"
R2 = "40 ohm"
R3 = "40 ohm"
"""
WITH_ONE = """
[branches]
I1 = "g, +E, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, g"
[numbers]
E = "12 V"
R1 = "1 ohm"
R2 = "3 ohm"
R3 = "6 ohm"
"""


def untrue_first(problem: str, text: str) -> tuple[int, str] | None:
    """The first line that is not true, with the slip that it is called by; None where there is none."""
    verdicts = read_working(circuit_of(problem), text).verdicts
    found = next((v for v in verdicts if v.kind is ClaimKind.UNTRUE and not v.carried), None)
    if found is None:
        return None
    return found.line, found.repairs[0].entry if found.repairs else ""


@pytest.mark.parametrize(
    ("text", "slip"),
    [
        ("R4 and R5: 20 + 20 = 40 ohm", "parallel-added"),
        ("R4 and R5 are in parallel: 20+20=40", "parallel-added"),
        ("resistance 20 + 20 = 40 ohm", "parallel-added"),
        ("20+20 = 40\n40+5 = 45\n45*15/60 = 11.25\n5+11.25 = 16.25\nI = 40/16.25 = 2.46 A", "parallel-added"),
        ("R3 and R4 in series: 5 + 20 = 25 ohm", "false-series"),
        ("R3 and R4 in series: R34 = 5 + 20 = 25 ohm", "false-series"),
        ("R1 and R2 in parallel: Rp = 15*5/20 = 3.75 ohm", "false-parallel"),
    ],
)
def test_numbers_put_together_as_their_resistors_do_not_lie_are_not_true(text: str, slip: str) -> None:
    assert untrue_first(LADDER, text) == (1, slip)


@pytest.mark.parametrize(
    "text",
    [
        "20*20/(20+20) = 10\n10 + 5 = 15\n15*15/30 = 7.5\n7.5+5 = 12.5\nI1 = 40/12.5 = 3.2 A",
        "R4 and R5 are in parallel: 20*20/(20+20)=10",
        "R3 and what R4 and R5 come to: 5 + 10 = 15 ohm",
        "20 + 20 = 40\n20*20 = 400\n400/40 = 10",
        "20 + 20 = 40 ohm\nI4 = 1.6*20/40 = 0.8 A",
        "Loop 3: 20 + 20 = 40 ohm",
        "5 + 15 = 20\n20 i1 - 15 i2 = 40",
        "Take R3 out.\n5 || 15 = 3.75 ohm",
        "R5 out: R3 and R4 in series: 5 + 20 = 25 ohm",
        "40 - 16 = 24 V\n24 - 16 = 8 V",
    ],
)
def test_arithmetic_that_is_harmless_is_not_accused(text: str) -> None:
    assert untrue_first(LADDER, text) is None


def test_what_is_made_of_a_wrong_sum_without_a_name_is_carried() -> None:
    text = "20+20 = 40 ohm\n40+5 = 45\n45*15/60 = 11.25\n5+11.25 = 16.25\nI1 = 40/16.25 = 2.46 A"
    verdicts = read_working(circuit_of(LADDER), text).verdicts
    assert [v.line for v in verdicts if v.kind is ClaimKind.UNTRUE and not v.carried] == [1]
    assert any(v.line == 5 and v.carried for v in verdicts)


def test_slip_below_a_wrong_sum_without_a_name_is_found() -> None:
    text = "20+20 = 40 ohm\n40+5 = 45\n45*15/60 = 11.25\n5+11.25 = 16.25\nI1 = 40/15.25 = 2.62 A"
    verdicts = read_working(circuit_of(LADDER), text).verdicts
    assert [v.line for v in verdicts if v.kind is ClaimKind.UNTRUE and not v.carried] == [1, 5]


@pytest.mark.parametrize(("text", "doubtful"), [("20 + 20 = 40", True), ("5 + 10 = 15", False)])
def test_bare_sum_of_what_lies_side_by_side_earns_no_credit(text: str, doubtful: bool) -> None:
    (verdict,) = read_working(circuit_of(LADDER), text).verdicts
    assert (verdict.kind is ClaimKind.UNDECIDED) is doubtful


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("I = 40/12.5 = 3.2 A", True),
        ("I = 40/65 = 0.615 A", False),
        ("Itot = 40/20 = 2 A", False),
        ("P = 40*3.2 = 128 W", True),
        ("P = 40*1.6 = 64 W", False),
        ("Rtot = 5 + 7.5 = 12.5", True),
        ("Rtot = 5 + 15 + 15 = 35", False),
        ("total resistance: 5 + 7.5 = 12.5 ohm", True),
        ("total resistance: 5 + 15 + 5 + 20 + 20 = 65 ohm", False),
        ("Va = 40 - 5*3.2 = 24 V", True),
        ("Va = 40 - 5*1.6 = 32 V", False),
        ("Vb = 24*20/25 = 19.2 V", False),
    ],
)
def test_name_of_the_whole_is_what_the_battery_does(line: str, right: bool) -> None:
    assert (untrue_first(LADDER, line) is None) is right


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("5 * 3.2 = 16 V across R1", True),
        ("5 * 3.2 = 16 V across R2", False),
        ("24/15 = 1.6 A through R2", True),
        ("24/20 = 1.2 A through R2", False),
        ("power of R4: 20 * 0.8^2 = 12.8 W", True),
        ("power of R4: 20 * 1.6^2 = 51.2 W", False),
        ("voltage across R4: 40 - 24 = 16 V", True),
        ("voltage across R4: 40 - 16 = 24 V", False),
        ("current through R2: 24/15 = 1.6 A", True),
        ("current through R2: 24/20 = 1.2 A", False),
    ],
)
def test_words_beside_numbers_say_of_which_element_they_are(line: str, right: bool) -> None:
    assert (untrue_first(LADDER, line) is None) is right
    turned = LADDER.replace('"a, R2, n"', '"n, R2, a"').replace('"b, R4, n"', '"n, R4, b"')
    assert (untrue_first(turned, line) is None) is right  # the words say no sense


@pytest.mark.parametrize(
    ("line", "credit"), [("40/12.5 = 3.2 A", True), ("40/5 = 8 A", True), ("40/65 = 0.615 A", False)]
)
def test_amperes_that_nothing_carries_earn_no_credit(line: str, credit: bool) -> None:
    (verdict,) = read_working(circuit_of(LADDER), line).verdicts
    assert (verdict.kind is not ClaimKind.UNDECIDED) is credit


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("Req = 20 + 20 = 40 ohm\nI1 = 12/(40 + 2) = 0.286 A", True),
        ("Req = 20 + 20 = 40 ohm\nI1 = 12/40 = 0.3 A", False),
        ("R = 2 + 20 + 20 = 42 ohm\nI = 12/42 = 0.286 A", True),
    ],
)
def test_resistance_inside_the_battery_belongs_to_all_that_it_sees(text: str, right: bool) -> None:
    assert (untrue_first(TORCH, text) is None) is right


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("1/Rp = 1/6 + 1/3", True),
        ("1/Rp = 1/6 + 1/6", False),
        ("R = 3 || 6 || 1 = 0.667 ohm", False),
        ("R23 = 3 || 6 = 2 ohm", True),
        ("R12 = 1 || 3 = 0.75 ohm", False),
    ],
)
def test_resistors_are_counted_once(line: str, right: bool) -> None:
    assert (untrue_first(WITH_ONE, line) is None) is right


LODGE = """
find = ["I1", "P(R4)"]
[branches]
I1 = "o, +E, R1, x"
I2 = "x, R2, o"
I3 = "x, R3, y"
I4 = "y, R4, o"
I5 = "y, R5, o"
[numbers]
E = "9 V"
R1 = "1.2 kohm"
R2 = "3.3 kohm"
R3 = "0.8 kohm"
R4 = "2.0 kohm"
R5 = "3.0 kohm"
"""


def test_numbers_with_kilohms_are_known_again() -> None:
    begun = "2k||3k: 2*3/5 = 1.2k\n1.2 + 0.8 = 2k\n"
    assert untrue_first(LODGE, f"{begun}2k + 3.3k = 5.3k\n5.3k + 1.2k = 6.5k\n") == (3, "parallel-added")
    assert untrue_first(LODGE, f"{begun}2k||3.3k = 1.245k\n1.245k + 1.2k = 2.445k\n") is None


def test_amperes_amid_a_chain_are_of_what_it_begins_with() -> None:
    text = "Rtot = 5 + 7.5 = 13 ohm\nI1 = E/Rtot = 40/13 = 3.1 A"  # 12.5, rounded to two figures
    assert all(v.holds for v in read_working(circuit_of(LADDER), text).verdicts)
    assert read_working(circuit_of(LADDER), "40/20 = 2.0 A").verdicts[-1].kind is ClaimKind.UNDECIDED
