"""Courses that swing, read and judged: a coil, a resistor and a capacitor in a row across a battery.

V(C) = E − E e^(−a t) (cos w t + (a/w) sin w t) with a = R/(2 L) and w² = 1/(L C) − a² (any textbook; from
memory): here a = 100/s and w = 700/s, so that every number is whole.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright import read_working
from loopwright.reading.in_time.course_numbers import NumberSpan, NumberTerm, RoundedCourse, product_of
from tests.unit.transients.sample_transients import RINGING, circuit_of

BELL = circuit_of(RINGING)
RIGHT = (
    "V(C1)(t) = 14 V - e^(-100 t) (14 V cos(700 t) + 2 V sin(700 t))",
    "v_C(t) = 14 - 14 e^(-100 t) [cos(700 t) + sin(700 t)/7]",
    "V(C1)(t) = 14 V + e^(-t/(10 ms)) (-14 V cos(t/(1.429 ms)) - 2.00 V sin(t/(1.429 ms)))",
    "V(C1)(t) = 14 V - (14.14 V) e^(-100 t) cos(700 t - 0.1419)",
    "V(C1)(t) = 14 V - (14.14 V) e^(-100 t) cos(0.1419 - 700 t)",
    "V(C1)(t) = 14 V - (14.14 V) e^(-100 t) sin(700 t + 1.429)",
    "i(t) = (0.4 A) exp(-100 t) sin(700 t)",
    "U(C1)(t) = (40 uF/2) (14 V - e^(-100 t) (14 V cos(700 t) + 2 V sin(700 t)))^2",
)
WRONG = (
    "V(C1)(t) = 14 V - e^(-100 t) (14 V cos(700 t) - 2 V sin(700 t))",
    "V(C1)(t) = 14 V - e^(-200 t) (14 V cos(700 t) + 2 V sin(700 t))",
    "V(C1)(t) = 14 V - e^(-100 t) (14 V cos(707 t) + 2 V sin(707 t))",
    "V(C1)(t) = 14 V - e^(-100 t) (14 V sin(700 t) + 2 V cos(700 t))",
    "V(C1)(t) = 14 V - 14 V e^(-100 t) cos(700 t)",
    "V(C1)(t) = 14 V - (14.14 V) e^(-100 t) cos(700 t + 0.1419)",
    "V(C1)(t) = 14 V (1 - e^(-100 t))",
    "i(t) = (0.4 A) exp(-100 t) cos(700 t)",
    "i(t) = (0.41 A) exp(-100 t) sin(700 t)",
)


@pytest.mark.parametrize("line", RIGHT)
def test_a_right_course_that_swings_is_true(line: str) -> None:
    found = read_working(BELL, line.replace("i(t)", "I(t)"))
    assert [v.holds for v in found.verdicts] == [True]


@pytest.mark.parametrize("line", WRONG)
def test_a_wrong_course_is_not_true_and_is_shown_by_numbers(line: str) -> None:
    found = read_working(BELL, line.replace("i(t)", "I(t)"))
    assert [str(v.kind) for v in found.verdicts] == ["not true"]
    assert "the left side comes to" in str(found)


def test_two_swings_multiplied_are_the_swings_of_sum_and_difference() -> None:
    def at(terms: tuple[NumberTerm, ...], time: float) -> float:
        return RoundedCourse(terms, 1.0).at(NumberSpan(time, time)).middle

    for turns in ((3.0, 5.0), (5.0, 3.0), (4.0, 4.0)):
        for waves in ((False, False), (False, True), (True, False), (True, True)):
            one, other = (
                replace(NumberTerm(NumberSpan(2.0, 2.0)), turning=NumberSpan(w, w), sine=sine)
                for w, sine in zip(turns, waves, strict=True)
            )
            for time in (0.0, 0.3, 1.1):
                wanted = at((one,), time) * at((other,), time)
                assert at(product_of(one, other), time) == pytest.approx(wanted, abs=1e-12)
