"""What is expected of a circuit in time, confirmed where it is so and refuted where it is not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.checks.limits.expectations import Judgement
from loopwright.circuit.timed_claims import timed_claim
from loopwright.errors import FaultyMaterial
from loopwright.expressions.said import as_text
from loopwright.transients import timed_expectations
from loopwright.transients.stages import stages
from loopwright.transients.timed_expectations import judge_in_time
from tests.unit.transients.sample_transients import LAMP, MAGNET, SHARING, circuit_of

LAMP_CLAIMS = {
    "I1 -> E/(R1 + R2) as t -> oo": True,
    "I3 -> 0 as t -> oo": True,
    "I3(t) -> E/R1 as t -> 0": False,
    "V(C1) -> E R2/(R1 + R2) as t -> oo": True,
    "Q(C1) -> C1 E R2/(R1 + R2) as t -> oo": True,
    "I3 -> oo as t -> oo": False,
    "tau -> (R3 + R2) C1 as R1 -> oo": True,
    "tau -> (R3 + R1) C1 as R1 -> oo": False,
    "V(C1) long after -> E as R2 -> oo": True,
    "V(C1) long after -> 0 as R2 -> oo": False,
    "tau -> oo as C1 -> oo": True,
    "tau -> oo as R3 -> 0": False,
    "I1 just after -> E/(R1 + R2) as R3 -> oo": True,
}
GROWS = """
[branches]
I1 = "g, +E, S1, L1, g"
[switching]
S1 = "open -> closed"
[start]
L1 = "0 A"
"""


def judged(text: str, claim: str) -> Judgement:
    circuit = replace(circuit_of(text), expect=(claim,))
    (verdict,) = judge_in_time(stages(circuit), circuit)
    return verdict.judgement


@pytest.mark.parametrize(("claim", "right"), LAMP_CLAIMS.items())
def test_a_claim_is_confirmed_or_refuted(claim: str, right: bool) -> None:
    assert judged(LAMP, claim) is (Judgement.CONFIRMED if right else Judgement.REFUTED)


def test_a_coil_across_an_ideal_battery_grows_without_limit() -> None:
    assert judged(GROWS, "I1 -> oo as t -> oo") is Judgement.CONFIRMED
    assert judged(GROWS, "I1 -> 0 as t -> oo") is Judgement.REFUTED


def test_what_has_no_value_at_the_move_is_not_decided() -> None:
    assert judged(SHARING, "I2 -> 0 as t -> 0") is Judgement.UNDECIDED


def test_a_refuted_claim_is_told_with_the_true_end() -> None:
    circuit = replace(circuit_of(MAGNET), expect=("V(L1) just after -> 0 as R2 -> oo",))
    (verdict,) = judge_in_time(stages(circuit), circuit)
    assert as_text(verdict.sentence) == "Refuted: as R2 → ∞, V(L1) just after grows without limit."


def test_a_closed_form_that_the_circuit_afresh_contradicts_is_not_believed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(timed_expectations, "limit_of", lambda ratio, name, to: ratio.field.zero)
    assert judged(LAMP, "V(C1) long after -> 0 as R2 -> oo") is Judgement.UNDECIDED


@pytest.mark.parametrize(
    ("claim", "code"),
    [
        ("I1 -> 0 as R1 -> oo", "file/unreadable-expectation"),
        ("tau -> 0 as t -> oo", "file/unreadable-expectation"),
        ("I1 long after -> 0 as R9 -> oo", "file/unknown-in-expectation"),
        ("I1 long after -> E/R9 as R1 -> oo", "file/unknown-in-expectation"),
        ("I9 -> 0 as t -> oo", "file/unknown-target"),
        ("I1 long after -> 0 as R1 alone -> oo", "file/unreadable-expectation"),
    ],
)
def test_a_claim_that_cannot_be_meant_is_told(claim: str, code: str) -> None:
    with pytest.raises(FaultyMaterial) as told:
        timed_claim(claim, circuit_of(LAMP))
    assert told.value.findings[0].code == code
