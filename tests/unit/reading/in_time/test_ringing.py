"""Courses that swing, read and judged: a coil, a resistor and a capacitor in a row across a battery.

V(C) = E − E e^(−a t) (cos w t + (a/w) sin w t) with a = R/(2 L) and w² = 1/(L C) − a² (any textbook; from
memory): here a = 100/s and w = 700/s, so that every number is whole.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright import read_working
from loopwright.expressions.said import as_text
from loopwright.reading.in_time.course_numbers import NumberSpan, NumberTerm, RoundedCourse, product_of
from tests.unit.transients.sample_transients import RINGING, TWO_STEPS, circuit_of

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


NAMED = dict(
    zip(
        WRONG,
        ("moved-sign", "tau-form", "term-missing", "rise-for-fall", "term-missing", "moved-sign", "",
         "rise-for-fall", "digits"),
        strict=True,
    )
)  # fmt: skip
MORE = {
    "V(C1)(t) = 14 V - e^(100 t) (14 V cos(700 t) + 2 V sin(700 t))": "exponent-sign",
    "V(C1)(t) = -e^(-100 t) (14 V cos(700 t) + 2 V sin(700 t))": "end-left-out",
    "V(C1)(t) = 14 V - e^(-0.1 t) (14 V cos(700 t) + 2 V sin(700 t))": "exponent-prefix",
    "i(t) = -(0.4 A) exp(-100 t) sin(700 t)": "moved-sign",
}


@pytest.mark.parametrize("line", [*WRONG, *MORE])
def test_the_slip_in_a_course_that_swings_is_named_and_its_mend_is_right(line: str) -> None:
    (verdict,) = read_working(BELL, line.replace("i(t)", "I(t)")).verdicts
    assert (verdict.repairs[0].entry if verdict.repairs else "") == {**NAMED, **MORE}[line]
    for repair in verdict.repairs:
        mended = as_text((repair.mended,)).replace("−", "-")
        assert [v.holds for v in read_working(BELL, mended).verdicts] == [True]


def test_the_slip_in_a_course_with_two_roots_is_named() -> None:
    """Two capacitors in two steps, tau (2 + sqrt 2) and (2 - sqrt 2) ms: V(C2) = 9 V - (10.86 V) e^(-t/3.414
    ms) + (1.864 V) e^(-t/0.5858 ms), by hand from V = 9 V and dV/dt = 0 at the start."""
    circuit = circuit_of(TWO_STEPS)
    right = "V(C2)(t) = 9 V - 10.86 V e^(-t/(3.414 ms)) + 1.864 V e^(-t/(0.5858 ms))"
    assert [v.holds for v in read_working(circuit, right).verdicts] == [True]
    (verdict,) = read_working(circuit, right.replace("+ 1.864", "- 1.864")).verdicts
    assert verdict.repairs[0].entry == "moved-sign"


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
