"""A time told is the one asked for, the one that wrong lines give, or neither; t is any time in a course."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright import read_working
from loopwright.problem.problem_file import read
from loopwright.reading.verdicts import ClaimKind, Verdict
from tests.sample_circuits import circuit_of

LATCH = Path(__file__).parents[3] / "cases" / "workings" / "circuits" / "gate-latch.toml"


def verdicts(*lines: str) -> list[Verdict]:
    return list(read_working(read(LATCH), "\n".join(lines)).verdicts)


def test_a_time_from_a_wrong_course_follows_from_it() -> None:
    found = verdicts(
        "I2(0) = 0",
        "I2(oo) = 24/(4+6) = 2.4 A",
        "tau = L/(R1+R2) = 0.09 s",
        "I2(t) = 2.4(1 - e^(-t/0.09))",
        "1 = 2.4(1 - e^(-t/0.09))",
        "t = 0.09 ln(2.4/1.4) = 0.0485 s",
    )
    carried = {v.line: v.used for v in found if v.carried}
    assert carried == {4: (2, 3), 5: (4,), 6: (4,)}


def test_another_time_than_a_wrong_course_gives_is_wrong_by_itself() -> None:
    found = verdicts("I2(0) = 0", "I2(t) = 2.4(1 - e^(-t/0.09))", "t = 0.09 ln(2.4/0.4)")
    assert [v.kind for v in found[-2:]] == [ClaimKind.UNTRUE, ClaimKind.UNTRUE]
    assert not found[-1].carried


def test_t_in_a_course_is_any_time_where_a_time_was_told_above() -> None:
    right = verdicts("I2(t) = 2(1 - e^(-10t))", "t = 0.0693 s", "I3(t) = 1 + 0.5 e^(-10t)")
    assert all(v.holds for v in right)
    wrong = verdicts("I2(t) = 2(1 - e^(-10t))", "t = 0.0693 s", "I3 = 1 + 0.7 e^(-10t)")
    assert [v.holds for v in wrong] == [True, True, False]


def test_r_is_what_the_storage_sees_unless_the_working_says_what_it_is() -> None:
    assert all(v.holds for v in verdicts("tau = L/R = 0.9/9"))
    named = verdicts("R = R1 + R2 = 10 ohm", "tau = L/R")
    assert [v.holds for v in named] == [True, True, False]


def test_a_course_that_goes_on_from_a_quantity_is_no_equation_for_a_time() -> None:
    flash = LATCH.with_name("lantern-flash.toml")
    lines = "tau = R2 C = 5k*25u = 0.125 s\nI2 = V/R2 = 25/5 e^(-8t) = 5 mA e^(-8t)"
    found = read_working(read(flash), lines).verdicts
    assert [v.holds for v in found if v.line == 2] == [
        False,
        False,
        True,
    ]  # V/R2 was so before alone


BELL = circuit_of("""
find = ["V(C1)(t)", "I2(t)", "tau", "V(C1) at 20 ms"]
[branches]
I1 = "g, +E, S1, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, C1, g"
[switching]
S1 = "open -> closed"
[start]
C1 = "0 V"
[numbers]
E = "15 V"
R1 = "6 kohm"
R2 = "3 kohm"
R3 = "1 kohm"
C1 = "5 µF"
""")


def test_a_chain_that_ends_in_a_course_speaks_of_all_times() -> None:
    """I2 R2 is the voltage of C1 long after alone, when nothing flows through R3."""
    assert read_working(BELL, "I2 = VC/R2").right
    lines = "VC = 5 (1 - e^(-t/15ms))\nI2 = VC/R2 = 1.67 (1 - e^(-t/15ms)) mA"
    assert [v.line for v in read_working(BELL, lines).verdicts if not v.holds] == [2]
    assert read_working(BELL, "I2 = (VC + R3 I3)/R2 = 1.67 - 1.11 e^(-t/15ms) mA").right


@pytest.mark.parametrize("told", ["t = 20 ms", "after 20 ms: t/tau = 1.33", "At t = 20ms e^(-t/tau) = 0.264"])
def test_what_is_worked_out_below_a_time_is_of_that_time(told: str) -> None:
    """5 (1 - e^(-4/3)) = 3.68 V."""
    assert read_working(BELL, f"{told}\nvC = 5*(1 - 0.264) = 3.68 V").right
    wrong = read_working(BELL, f"{told}\nvC = 3.86 V")
    assert [v.line for v in wrong.verdicts if not v.holds] == [2]
    carried = read_working(BELL, f"vC = 5 (1 - e^(-t/10ms))\n{told}\nvC = 5*(1 - e^(-2)) = 4.32 V")
    assert [v.carried for v in carried.verdicts if not v.holds] == [False, True]


def test_what_follows_from_a_rounded_result_follows_from_what_it_was_worked_out_of_too() -> None:
    magnet = Path(__file__).parents[4] / "examples" / "lifting-magnet.toml"
    lines = "iL(0) = E/(R1+r) = 24/7 = 3.43 A\ntau = L/R2 = 0.0667 s\niL = 3.43 e^(-15t)"
    found = read_working(read(magnet), lines).verdicts
    assert [v.used for v in found if v.carried] == [(1, 2)]
    rounded = read_working(read(magnet), lines.replace("-15t", "-t/0.0667")).verdicts
    assert [v.used for v in rounded if v.carried] == [(1, 2)]


def test_e_alone_is_the_number_unless_the_working_gives_it_a_value() -> None:
    assert all(v.holds for v in verdicts("I2(t) = 2(1 - e^(-10t))", "I2(0.1 s) = 2(1 - 1/e) = 1.264 A"))
    assert all(v.holds for v in verdicts("e = 24 V", "I1(0+) = e/16 = 1.5 A", "I2(t) = 2(1 - e^(-10t))"))
