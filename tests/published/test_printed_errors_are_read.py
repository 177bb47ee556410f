"""The ten printed errors with capacitors and coils (facts/printed-errors-in-time.json), each as a working.

The line with the printed figure is untrue and its cause is named; with the right figure the line is right.

Sources: each fact of the collection names its own; values are those of the facts.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from loopwright.problem.problem_file import read_text
from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind, Verdict
from tests.published.fact_circuits import facts_of

LOOP = """
[branches]
I1 = "foot, +E, S1, R1, top"
I2 = "top, {}, foot"
[switching]
S1 = "open -> closed"
"""


@dataclass(frozen=True, slots=True)
class PrintedError:
    """A fact: the circuit, the lines with the printed figure, the same put right, and the fair names."""

    circuit: str
    printed: str
    right: str
    keys: tuple[str, ...]


EMPTYING = """
[branches]
I1 = "top, R1, foot"
I2 = "top, C1, foot"
[start]
C1 = "{}"
[numbers]
R1 = "{}"
C1 = "{}"
"""

ERRORS = {
    "cp-21-defibrillator-steps": PrintedError(
        EMPTYING.format("10.0 kV", "1.00 kohm", "8.00 µF"),
        "V_C(8 ms) = 3.680 kV", "V_C(8 ms) = 3.679 kV", ("early-rounding",),
    ),
    "up-10-pencil-current": PrintedError(
        LOOP.format("C1")
        + '[start]\nC1 = "0 V"\n[numbers]\nE = "0.50 V"\nR1 = "351.59 ohm"\nC1 = "10.00 mF"\n',
        "I1(0+) = 0.014 A", "I1(0+) = 0.00142 A", ("digits",),
    ),
    "cp-21-160uF-warming": PrintedError(
        EMPTYING.format("450 V", "31.2 kohm", "160 µF"),
        "heat(R1) = 16.2 J\n16.2/(2.50*1.67) = 3.87", "heat(R1) = 16.2 J\n16.2/(2.50*1.67) = 3.88",
        ("cut-off", "digits", "early-rounding"),
    ),
    "kuphaldt-lr-table-10s": PrintedError(
        LOOP.format("L1") + '[numbers]\nE = "15 V"\nR1 = "1 ohm"\nL1 = "1 H"\n',
        "I1(10 s) = 14.99 A", "I1(10 s) = 15.00 A", ("cut-off",),
    ),
    "up-14-two-loops-opening-sign": PrintedError(
        """
[branches]
I1 = "foot, +E, S1, R1, top"
I2 = "top, R2, foot"
I3 = "top, R3, L1, foot"
[switching]
S1 = "closed -> open"
[numbers]
E = "50 V"
R1 = "10 ohm"
R2 = "19.4 ohm"
R3 = "19.4 ohm"
L1 = "2.0 mH"
""",
        "I2(0+) = 1.27 A", "I2(0+) = -1.27 A", ("direction-after",),
    ),
    "e84-changeover-formula": PrintedError(
        """
[branches]
I1 = "foot, R1, L1, x"
I2 = "x, S2, R2, y"
I3 = "y, +J1, foot"
I4 = "y, R3, foot"
[switching]
S2 = "open -> closed"
[start]
L1 = "-2 A"
[numbers]
R1 = "10 ohm"
R2 = "2 ohm"
R3 = "8 ohm"
J1 = "1.25 A"
L1 = "2 H"
""",
        "V_R3(oo) = -J1 (R3 + R1 + R2)/(R3 (R1 + R2))", "V_R3(oo) = -J1 R3 (R1 + R2)/(R3 + R1 + R2)",
        ("fraction-inverted",),
    ),
    "e84-c-and-l-label": PrintedError(
        """
[branches]
I1 = "top, R1, C1, foot"
I2 = "foot, +E, near"
I3 = "top, R3, L1, foot"
I4 = "near, S1, top"
I5 = "near, R2, top"
[switching]
S1 = "open -> closed"
""",
        "tau_2 = L1/R2", "tau_2 = L1/R3", ("nearest-resistance",),
    ),
    "e84-two-independent-unit": PrintedError(
        """
[branches]
I1 = "foot, +J1, top"
I2 = "top, C1, mid"
I3 = "top, R1, mid"
I4 = "mid, L1, foot"
I5 = "mid, R2, foot"
[start]
C1 = "1 V"
L1 = "1 A"
[numbers]
J1 = "2 A"
R1 = "2 ohm"
R2 = "2 ohm"
C1 = "0.5 µF"
L1 = "1 H"
""",
        "tau_C = R1 C1 = 1 s", "tau_C = R1 C1 = 1 µs", ("prefix-dropped",),
    ),
    "astar-two-loops-coefficient": PrintedError(
        """
[branches]
I1 = "foot, +E, L1, top"
I2 = "top, R1, foot"
I3 = "top, R2, C1, foot"
[start]
L1 = "1 A"
C1 = "20 kV"
[numbers]
E = "50 V"
R1 = "200 ohm"
R2 = "300 ohm"
L1 = "0.5 H"
C1 = "50 µF"
""",
        "At any time: dI1/dt = 100 - 240 I1 + 16000 Q", "At any time: dI1/dt = 100 - 240 I1 - 16000 Q",
        ("drop-sign", "moved-sign", "source-sign"),
    ),
    "e84-rc-two-switches-shift": PrintedError(
        """
[branches]
I1 = "foot, +E, R1, top"
I2 = "top, C1, foot"
I3 = "top, S2, R2, foot"
[switching]
S2 = "open -> closed"
[start]
C1 = "6.321 V"
[numbers]
E = "10 V"
R1 = "1.00 kohm"
R2 = "1.00 kohm"
C1 = "1.00 µF"
""",
        "S2 closes at t = 1 ms\nV_C(t) = 5 V + 1.321 V e^(-2000 t)",
        "S2 closes at t = 1 ms\nV_C(t) = 5 V + 1.321 V e^(-2000 (t - 0.001))", ("second-stage",),
    ),
}  # fmt: skip


def untrue(circuit: str, text: str) -> list[Verdict]:
    """The claims of a working that are not true, or not decided."""
    found, findings = read_text(circuit)
    assert found is not None, findings
    verdicts = read_working(found, text).verdicts
    assert verdicts
    return [v for v in verdicts if not v.holds]


def test_every_printed_error_is_here() -> None:
    assert set(ERRORS) == set(facts_of("printed-errors-in-time.json"))


@pytest.mark.parametrize("error", ERRORS.values(), ids=ERRORS)
def test_a_printed_error_is_found_with_its_cause(error: PrintedError) -> None:
    (found,) = untrue(error.circuit, error.printed)
    assert found.kind is ClaimKind.UNTRUE
    assert found.repairs
    assert found.repairs[0].entry in error.keys


@pytest.mark.parametrize("error", ERRORS.values(), ids=ERRORS)
def test_the_right_figure_is_right(error: PrintedError) -> None:
    assert untrue(error.circuit, error.right) == []
