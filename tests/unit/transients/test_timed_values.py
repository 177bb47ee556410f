"""What is asked at a moment, against figures worked by hand from the redrawn circuits."""

from __future__ import annotations

from math import exp, log

import pytest

from loopwright.circuit.in_time import timed_question
from loopwright.errors import FaultyMaterial
from loopwright.expressions.nodes import Applied, Product, Symbol
from loopwright.expressions.values import ratio_of
from loopwright.transients.timed_values import TimedValue, timed_value
from tests.unit.transients.sample_transients import LAMP, MAGNET, RELAY, stage_of

TAU = 10e-6 * (1000 + 8000 / 6)


def asked(text: str, question: str) -> TimedValue:
    stage = stage_of(text)
    return timed_value(stage, timed_question(question, stage.circuit))


def number(text: str, question: str) -> float:
    found = asked(text, question)
    if found.number is not None:
        return found.number
    assert found.exact is not None, found.words
    return float(found.exact.value(stage_of(text).circuit.numbers))


@pytest.mark.parametrize(
    ("question", "value"),
    [
        ("I1 before", 0.0),
        ("I2 before", 2 / 5000),
        ("I1 just after", (12 * 5000 - 2 * 4000) / (2000 * 4000 + 6000 * 1000)),
        ("I1 long after", 0.002),
        ("V(C1) just after", 2.0),
        ("V(C1) long after", 8.0),
        ("V(top, foot) long after", 8.0),
        ("V(C1) at 10 ms", 8 - 6 * exp(-0.01 / TAU)),
        ("tau", TAU),
        ("Q(C1) long after", 80e-6),
        ("U(C1) before", 20e-6),
        ("P(E) long after", 0.024),
        ("P(R1) long after", 0.008),
        ("t when V(C1) = 7 V", TAU * log(6)),
        ("heat(R3)", 1000 * (6 / (TAU / 10e-6)) ** 2 * TAU / 2),
    ],
)
def test_a_lamp_with_a_reservoir(question: str, value: float) -> None:
    assert number(LAMP, question) == pytest.approx(value, rel=1e-9, abs=1e-15)


def test_all_that_a_coil_held_becomes_heat_in_what_it_runs_through() -> None:
    held = number(MAGNET, "U(L1) before")
    assert number(MAGNET, "heat(R2)") == pytest.approx(held * 30 / 35)


@pytest.mark.parametrize("question", ["t when V(C1) = 9 V", "t when V(C1) = 8 V", "t when V(C1) = 1 V"])
def test_a_value_that_is_never_reached_is_said_so(question: str) -> None:
    assert asked(LAMP, question).words.startswith("never")


def test_a_time_is_found_with_two_rates_too() -> None:
    time = number(RELAY, "t when V(C1) = 9 V")
    assert number(RELAY, f"V(C1) at {time:.12f} s") == pytest.approx(9.0, rel=1e-8)


FALLING = """
[branches]
I1 = "a, -E1, S1, R1, b"
I2 = "b, R2, a"
I3 = "b, C1, a"
[switching]
S1 = "open -> closed"
[start]
C1 = "5 V"
[numbers]
E1 = "9.0 V"
R1 = "20 kohm"
R2 = "10 kohm"
C1 = "47 uF"
"""


@pytest.mark.parametrize(
    ("text", "question"),
    [
        *((LAMP, f"t when {what}") for what in ("V(C1) = 7 V", "I1 = 2.1 mA")),
        *(
            (FALLING, f"t when {what}")
            for what in ("V(C1) = -2 V", "V(C1) = 1 V", "V(C1) = 0 V", "I3 = -0.1 mA", "V(a, b) = 2 V")
        ),
    ],
)
def test_the_time_in_symbols_is_the_time_in_numbers(text: str, question: str) -> None:
    found, circuit = asked(text, question), stage_of(text).circuit
    assert isinstance(found.form, Product)
    tau, logarithm = found.form.factors
    assert tau == Symbol("τ")
    assert isinstance(logarithm, Applied)
    assert logarithm.function == "ln"
    of = float(ratio_of(logarithm.body, circuit.field).value(circuit.numbers))
    assert found.number == pytest.approx(number(text, "tau") * log(of), rel=1e-9)


def test_where_two_rates_hold_sway_a_time_has_no_form() -> None:
    assert asked(RELAY, "t when V(C1) = 9 V").form is None


def test_a_heat_that_never_ends_is_said_so() -> None:
    assert asked(LAMP, "heat(R2)").words == "grows without limit, for a current stays"


@pytest.mark.parametrize(
    "question",
    [
        "I9 just after",
        "Q(R1) long after",
        "tau just after",
        "heat(C1)",
        "V(top, top)(t)",
        "I1 at 3 V",
        "x y",
        "C(R1)",
    ],
)
def test_a_question_that_means_nothing_is_refused_with_a_mend(question: str) -> None:
    with pytest.raises(FaultyMaterial) as told:
        asked(LAMP, question)
    assert told.value.findings[0].mend


def _answered(question: str) -> TimedValue:
    stage = stage_of(LAMP)
    return timed_value(stage, timed_question(question, stage.circuit))


def test_what_has_faded_to_nothing_measurable_is_told_as_practically_nothing() -> None:
    late, early = _answered("I3 at 5 s"), _answered("I3 at 100 ms")
    assert late.number == 0
    assert "practically" in late.words
    assert early.number
    assert not early.words


def test_a_time_beyond_all_figures_is_answered_at_once() -> None:
    assert _answered("V(C1) at 100000 s").number == 8.0
