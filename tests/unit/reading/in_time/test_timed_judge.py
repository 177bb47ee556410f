"""Workings of a circuit in time: what is true at which moment, what follows, which slip."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.expressions.said import as_text
from loopwright.problem.problem_file import read, read_text
from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind, Truth, Verdict
from tests.unit.transients.sample_transients import FILLING

EXAMPLES = Path(__file__).parents[4] / "examples"
FILLED = FILLING.replace('"2 V"', '"0 V"')
NUMBERS = """
[numbers]
E = "12 V"
R1 = "2 kohm"
R2 = "4 kohm"
R3 = "1 kohm"
C1 = "10 µF"
"""
COIL = """
[branches]
IE = "a, +E, S1, R1, b"
IR = "b, R2, a"
IL = "b, L1, a"
[switching]
S1 = "closed -> open"
[numbers]
E = "24 V"
R1 = "2 ohm"
R2 = "30 ohm"
L1 = "2 H"
"""


def reading(problem: str, text: str) -> Reading:
    circuit, findings = read_text(problem)
    assert circuit is not None, findings
    return read_working(circuit, text)


def verdicts(problem: str, *lines: str) -> list[Verdict]:
    return list(reading(problem, "\n".join(lines)).verdicts)


RIGHT = (
    "V_C(0+) = 0",
    "i_1(0+) = E (R2 + R3)/(R1 R2 + R1 R3 + R2 R3)",
    "Long after: I1 = I2 = E/(R1 + R2)",
    "R_seen = R3 + R1 || R2",
    "tau = R_seen C",
    "V_C(t) = E R2/(R1 + R2) (1 - e^(-t/tau))",
    r"$v_C(t) = \frac{E R_2}{R_1 + R_2}\left(1 - e^{-t/\tau}\right)$",
    "V_C(t) = E R2/(R1 + R2) - E R2/(R1 + R2) exp(-t (R1 + R2)/(C1 (R1 R2 + R1 R3 + R2 R3)))",
    "i3 = C dv_C/dt",
    "dQ/dt = I3(t)",
    "At any time: E = I1 R1 + I3 R3 + Q/C",
    "U_C(oo) = 1/2 C V_C(oo)^2",
    "V_C(tau) = E R2/(R1 + R2) (1 - 1/e^1)",
)


@pytest.mark.parametrize("line", RIGHT)
def test_what_is_true_for_all_values_is_right_in_symbols(line: str) -> None:
    found = verdicts(FILLED, line)
    assert found
    assert [v.truth for v in found] == [Truth.ALWAYS] * len(found)


IN_NUMBERS = (
    "tau = 2.33 kohm × 10 µF = 23.3 ms",
    "tau = 23.3 ms",
    "I1(0+) = 4.29 mA",
    "V_C(t) = 8 V (1 - e^(-t/(23.3 ms)))",
    "V_C(t) = 8 - 8 e^(-t/23.3)",
    "V_C(t) = 8 V (1 - exp(-42.9 t))",
    "After 5 ms: V_C = 8 (1 - e^(-5/23.3)) = 1.54 V",
    "Just after: 12 = 2 I1 + 4 I2",
    "Q(oo) = 80 µC",
    "U_C = 0.5 × 10 µF × (8 V)^2 = 320 µJ, long after",
)


@pytest.mark.parametrize("line", IN_NUMBERS)
def test_what_is_true_with_the_numbers_is_right_as_rounded(line: str) -> None:
    found = verdicts(FILLED + NUMBERS, line)
    assert found
    assert [v.kind for v in found if not v.holds] == []


UNTRUE = (
    ("tau = R1 C1", "nearest-resistance"),
    ("tau = (R1 + R2 + R3) C1", "seen-combined"),
    ("tau = (R3 + R1 R2/(R1 + R2))/C1", "tau-form"),
    ("V_C(t) = E R2/(R1 + R2) (1 - e^(t/tau))", "exponent-sign"),
    ("V_C(t) = E R2/(R1 + R2) e^(-t/tau)", "rise-for-fall"),
    ("V_C(oo) = E", "charge-of-emf"),
    ("I1(0+) = E/(R1 + R2)", "capacitor-always"),
    ("U_C(oo) = C V_C(oo)^2", "half-forgotten"),
    ("Just after: E = I1 R1 - I3 R3", "drop-sign"),
)


@pytest.mark.parametrize(("line", "slip"), UNTRUE)
def test_a_slip_is_named_first(line: str, slip: str) -> None:
    (found,) = verdicts(FILLED, line)
    assert found.kind is ClaimKind.UNTRUE
    assert found.repairs[0].entry == slip


@pytest.mark.parametrize(
    ("line", "slip"),
    [
        ("V_C(t) = 8 V (1 - e^(-42900 t))", "exponent-prefix"),
        ("tau = 23.3 µs", "prefix-dropped"),
        ("Q(oo) = 80 µF", "unit-missing"),
        ("I1(0+) = -4.29 mA", "minus-dropped"),
    ],
)
def test_a_slip_in_numbers_is_named_first(line: str, slip: str) -> None:
    (found,) = verdicts(FILLED + NUMBERS, line)
    assert found.kind is ClaimKind.UNTRUE
    assert found.repairs[0].entry == slip


@pytest.mark.parametrize(
    ("line", "slip"),
    [
        ("IR(0+) = 12 A", "direction-after"),
        ("IL(0+) = 0", "coil-current-jumps"),
        ("tau = 60 s", "tau-form"),
        ("V(b, a)(0+) = -24 V", "spark-limit"),
    ],
)
def test_slips_with_a_coil_are_named_first(line: str, slip: str) -> None:
    (found,) = verdicts(COIL, line)
    assert found.repairs[0].entry == slip


def test_what_comes_of_a_wrong_time_constant_is_carried() -> None:
    first, *rest = verdicts(
        FILLED + NUMBERS, "tau = R1 C1", "V_C(t) = 8 V (1 - e^(-t/(20 ms)))", "V_C(10 ms) = 3.15 V"
    )
    assert not first.carried
    assert [(v.carried, v.cause) for v in rest] == [(True, 1), (True, 1)]


def test_what_does_not_come_of_a_wrong_line_is_a_slip_of_its_own() -> None:
    _, second = verdicts(FILLED + NUMBERS, "tau = R1 C1", "V_C(t) = 8 V (1 - e^(-t/(30 ms)))")
    assert not second.carried


def test_a_law_is_told_for_the_moment_that_words_name() -> None:
    found = verdicts(FILLED, "Long after:", "E = I1 R1 + I2 R2", "I1 = I2")
    assert found[0].kind is ClaimKind.LOOP
    assert all(v.holds for v in found)
    assert "long after" in str(found[0].said)


def test_a_declared_polarity_holds() -> None:
    right = verdicts(COIL, "V_L is counted from a to b", "V_L(0+) = 360 V")
    wrong = verdicts(COIL, "V_L(0+) = 360 V")
    assert [v.holds for v in right] == [True]
    assert [v.holds for v in wrong] == [False]


def test_a_time_is_held_against_what_is_asked() -> None:
    asked = 'find = ["t when V(C1) = 4 V"]\n' + FILLED + NUMBERS
    right = verdicts(asked, "4 = 8 (1 - e^(-t/tau))", "t = tau ln 2 = 16.2 ms")
    assert all(v.holds for v in right)
    assert [v.holds for v in verdicts(asked, "t = 26.2 ms")] == [False]


def test_an_equation_that_agrees_at_one_time_only_is_no_course() -> None:
    (found,) = verdicts(FILLED + NUMBERS, "V_C(t) = 8 V - 8 V e^(-t/(23.3 ms)) + 1 V e^(-t/(1 ms))")
    assert found.kind is ClaimKind.UNTRUE


def test_a_right_working_in_time_has_full_marks() -> None:
    circuit = read(EXAMPLES / "harbour-light.toml")
    text = (EXAMPLES / "workings/in-time/harbour-light.txt").read_text("utf-8")
    mark = propose(read_working(circuit, text), BUILT_IN["ten"])
    assert [(a.part, a.points) for a in mark.awards if a.points < a.of] == []


def test_names_of_another_circuit_are_asked_for_and_cost_nothing_else() -> None:
    found = reading(FILLED + NUMBERS, "12 - 4 y1 = 8\n12 - 2 I9 = 0\ntau = 23.3 ms\n")
    assert [v.kind for v in found.verdicts[:2]] == [ClaimKind.UNDECIDED] * 2
    assert found.verdicts[2].holds
    assert found.faults == ()


def test_a_name_in_letters_that_the_circuit_lacks_is_a_name_all_the_same() -> None:
    """Taken for a word it left `/4 = 2` of the chain, which was then denied."""
    found = reading(FILLED + NUMBERS, "I1 = Ib/4 = 2 Ic\n5 + 4 Ic - 3 Ib = 0\n")
    assert [v.kind for v in found.verdicts] == [ClaimKind.UNDECIDED] * 3


def _without(part: str) -> dict[str, str]:
    """Why points are lost, by part, when the lines that hold this are left out of a right working."""
    circuit = read(EXAMPLES / "harbour-light.toml")
    text = (EXAMPLES / "workings/in-time/harbour-light.txt").read_text("utf-8")
    kept = "\n".join(line for line in text.splitlines() if part not in line)
    mark = propose(read_working(circuit, kept), BUILT_IN["ten"])
    return {a.part: as_text(a.said) for a in mark.awards if a.points < a.of}


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("tau = R_seen", "τ"),
        ("V_C(t) =", "V(C1)(t)"),
        ("Q(oo)", "Q(C1)(∞)"),
        ("U(oo)", "U(C1)(∞)"),
        ("so t =", "t"),
    ],
)
def test_what_is_asked_beside_currents_is_a_result_too(line: str, asked: str) -> None:
    assert _without(line)["result"] == f"{asked}: not stated"


def test_the_value_at_another_moment_is_no_answer() -> None:
    assert _without("I1(t) =")["result"] == "I1(t): not stated"


def test_a_number_in_a_circuit_of_letters_is_not_true_and_no_fault_of_ours() -> None:
    reading = read_working(read(EXAMPLES / "two-reservoirs.toml"), "Q(C2)(oo) = 1 C")
    assert [v.kind for v in reading.verdicts] == [ClaimKind.UNTRUE]
    assert reading.faults == ()


def test_nothing_is_no_rounded_number_whatever_was_rounded_above() -> None:
    circuit, _ = read_text(FILLED.replace("C1, foot", "L1, foot").replace('C1 = "0 V"', 'L1 = "0 A"') + SMALL)
    assert circuit is not None
    found = read_working(circuit, "R_seen = 9.467 Ω\nJust after: I1 = 0 A\nJust after: I1 = 0.417 A")
    assert [v.holds for v in found.verdicts] == [True, False, True]


SMALL = """
[numbers]
E = "5 V"
R1 = "8 ohm"
R2 = "4 ohm"
R3 = "6.8 ohm"
L1 = "40 mH"
"""
