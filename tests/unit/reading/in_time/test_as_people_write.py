"""Signs and names as people write them in time: halves, thousands, products without a sign, angles, separated
variables, one meaning of a name, and what a moment or a label says of the names that follow."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright import read_working
from loopwright.problem.problem_file import read
from loopwright.reading.verdicts import ClaimKind, Verdict

CIRCUITS = Path(__file__).parents[3] / "cases" / "workings" / "circuits"


def verdicts(circuit: str, *lines: str) -> list[Verdict]:
    return list(read_working(read(CIRCUITS / f"{circuit}.toml"), "\n".join(lines)).verdicts)


def entry(verdict: Verdict) -> str:
    return verdict.repairs[0].entry if verdict.repairs else ""


RIGHT = [
    ("camera-trap-flash", "U(∞) = ½CV² = 0.5 × 15×10^-6 × 20² = 3.0 mJ"),
    ("ticket-gate-buffer", "τ = RC = (10 000)(100×10^-6) = 1 s"),
    ("ticket-gate-buffer", "E - iR - q/C1 = 0"),
    ("ticket-gate-buffer", "q = EC(1 - e^(-t/RC1))"),
    ("sluice-solenoid", "V_L(2τ) = E - R I = 2 - 4(0.432) = 0.27 V"),
    ("sluice-solenoid", "dI/(E/R - I) = R dt/L"),
    ("ticket-gate-buffer", "∫ dq/(E C1 - q) = ∫ dt/(R C1)"),
    ("buoy-bell", "v_C = 10 - e^(-3t)(10 cos 4t + 7.5 sin 4t) V"),
    ("buoy-bell", "L i' + R i + q/C = E"),
    ("platform-clock", "v(1 ms) = 6.32 V"),
    ("platform-clock", "v(t) = 5 + 1.32 e^(-2000(t - 0.001)) V"),
    ("ferry-horn", "τ_C = R1 C = 100 × 20e-6 = 2 ms, τ_L = L/R3 = 1 ms"),
    ("ferry-horn", "v_L = L di/dt = 36 e^(-1000 t) V"),
    ("crane-coil-on", "long after: I2 = I3 = 1.27 A"),
    ("cable-car-brake", "S1 closed: R_th = R1||R2 = 2 kΩ, τ1 = 20 ms"),
    ("cable-car-brake", "I3 just after opening = 5.70/6 = 0.950 mA"),
    ("vineyard-sensor", "v1 = R2 i3 + v2"),
    ("vineyard-sensor", "i2 = C1 dv1/dt"),
    ("two-tide-tanks", "i(0+) = 100/1000 = 0.1 A"),
    ("bus-stop-sign", "R_th = R3 + R1‖R2 = 1k + 1.333k = 2.333 kΩ"),
    ("bus-stop-sign", r"$v_C(t) = V_\infty + (V_0 - V_\infty)e^{-t/\tau}$"),
    ("sluice-solenoid", "dU/dt = L I dI/dt"),
    ("sluice-solenoid", "t for I = 0.25 A: t = ln 2 = 0.693 s"),
    ("crane-coil-off", "V_R2(0+) = -25 V, I1(0-) = 50/(10 + 20/2) = 2.5 A"),
]


@pytest.mark.parametrize(("circuit", "line"), RIGHT)
def test_what_people_write_is_read_as_they_mean_it(circuit: str, line: str) -> None:
    found = verdicts(circuit, line)
    assert found
    assert [v.claim.written for v in found if not v.holds] == []


WRONG = [
    ("ticket-gate-buffer", "E - iR + q/C1 = 0", ""),
    ("ticket-gate-buffer", "dq/(EC - q) = R C dt", ""),
    ("camera-trap-flash", "U = C V² ", "half-forgotten"),
    ("buoy-bell", "i = 10 e^(-3t) sin(4t) A", "factor-missing"),
    ("buoy-bell", "i = 0.25 e^(-3t) sin(4t) A", "prefix-dropped"),
    ("buoy-bell", "v_C = 10 - e^(-3t)(10 cos 4t + 2.5 sin 4t)", "digits"),
    ("buoy-bell", "L i' - R i + q/C = E", ""),
    ("ferry-horn", "τ_L = R1 C", ""),
    ("crane-coil-on", "just after: I2 = I3", ""),
    ("sluice-solenoid", "dU/dt = L dI/dt", ""),
    ("sluice-solenoid", "dU/dt = (1/2) L I dI/dt", ""),
]


@pytest.mark.parametrize(("circuit", "line", "slip"), WRONG)
def test_what_is_wrong_stays_wrong_however_it_is_written(circuit: str, line: str, slip: str) -> None:
    (first, *_) = verdicts(circuit, line)
    assert first.kind is ClaimKind.UNTRUE
    assert not slip or entry(first) == slip


@pytest.mark.parametrize(
    "line",
    ["ln(E/R - I) = -R t/L + const", "s^2 + 2 s + 5 = 0", "I(t) = If + (Ii - If) e^(-t/τ)"],
)
def test_what_stands_for_nothing_known_is_not_decided(line: str) -> None:
    assert [v.kind for v in verdicts("sluice-solenoid", line) if v.kind is ClaimKind.UNTRUE] == []


def test_a_label_says_whose_start_and_end_follow() -> None:
    right = ("I1: If = 2.00 mA, Ii = 4.29 mA", "I2: If = 2.00 mA, Ii = 0.857 mA")
    assert [v.holds for v in verdicts("bus-stop-sign", *right)] == [True] * 4
    assert [v.holds for v in verdicts("bus-stop-sign", right[0], "I2: Ii = 4.29 mA")][-1] is False


def test_a_name_has_one_meaning_in_the_whole_working() -> None:
    of_capacitor = ("v1 = E - R1(i2 + i3)", "i2 = C1 dv1/dt", "v1 = R1(i2 + i3)")
    assert [v.holds for v in verdicts("vineyard-sensor", *of_capacitor)] == [True, True, False]
    of_resistor = ("v1 = R1(i2 + i3)", "v1 = R1 i1", "v1 = E - R1(i2 + i3)")
    assert [v.holds for v in verdicts("vineyard-sensor", *of_resistor)] == [True, True, False]


def test_what_follows_from_a_wrong_time_constant_does_so_whichever_way_a_current_is_counted() -> None:
    found = verdicts("two-tide-tanks", "τ = R(C1+C2) = 5 ms", "i = 0.1 e^(-t/5ms) A")
    assert [v.carried for v in found if not v.holds] == [False, True]


def test_a_unit_with_an_exponent_below_nothing_is_below_the_line_alone() -> None:
    assert [v.holds for v in verdicts("buoy-bell", "γ = R/2L = 3 s^-1", "γ = R/(2L) = 3 s⁻¹")] == [True] * 4


def test_a_line_that_begins_with_what_is_not_read_does_not_go_on_from_the_line_above() -> None:
    found = verdicts("camera-trap-flash", "V_C(∞) = 20 V", "Σ(∞) = 15 V")
    assert [v.kind for v in found if v.kind is ClaimKind.UNTRUE] == []


def test_a_voltage_said_before_its_time_is_the_condition_for_it() -> None:
    found = verdicts("ticket-gate-buffer", "V_C = 10 V when t = τ ln 3 = 1.10 s")
    assert [v.claim.written for v in found if not v.holds] == []


def test_after_with_a_colon_ends_what_before_said() -> None:
    found = verdicts("two-tide-tanks", "before: Q1 = 200 µC, Q2 = 0", "after: Q1 = 80 µC, Q2 = 120 µC")
    assert [v.holds for v in found] == [True] * 4
