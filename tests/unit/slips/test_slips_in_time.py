"""Where slips in time lead, against starts, ends and time constants worked here by hand, in numbers."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.versions_asked import VersionsAsked
from loopwright.errors import FaultyMaterial
from loopwright.slips.slips_in_time import SlipsInTime, TimedAnswer
from loopwright.versions.slips_apart import certificate
from loopwright.versions.versions import versions
from tests.sample_circuits import circuit_of
from tests.unit.transients.sample_transients import FILLING

CISTERN = f"""
    find = ["tau", "V(C1) at 20 ms", "I1 just after", "Q(C1) long after", "U(C1) long after"]
    {FILLING}
"""
TWICE = """
    find = ["V(C1) at 50 ms", "I3 at 30 ms"]
    [branches]
    I1 = "foot, +E, S1, R1, top"
    I2 = "top, R2, S2, foot"
    I3 = "top, C1, foot"
    [switching]
    S1 = ["open -> closed", "closed -> open at t1"]
    S2 = "open -> closed at t1"
    [start]
    C1 = "0 V"
    [numbers]
    t1 = "20 ms"
"""
HOIST = """
    find = ["IL at 10 ms", "V(L1) just after", "U(L1) before", "heat(R2)"]
    [branches]
    IE = "rail, +E, S1, R1, hook"
    IR = "hook, R2, rail"
    IL = "hook, L1, rail"
    [switching]
    S1 = "closed -> open"
"""


def _numbers(text: str, seed: int) -> tuple[SlipsInTime, dict[str, float]]:
    """The slips of a circuit with numbers that a seed draws, and these."""
    circuit, chance = circuit_of(text), random.Random(seed)
    drawn = dict(circuit.numbers)
    for name in circuit.symbols:
        if name in drawn:
            continue
        small = {"C": Fraction(1, 10**5), "L": Fraction(1, 10)}.get(name[0], Fraction(1))
        large = 100 if name[0] == "R" and name[-1].isdigit() and "C1" in circuit.storages else 1
        drawn[name] = Fraction(chance.randint(3, 40), 1) * small * large
    return SlipsInTime(replace(circuit, numbers=drawn)), {n: float(v) for n, v in drawn.items()}


def _compare(
    slips: SlipsInTime, right: Sequence[float], wrong: Mapping[tuple[str, str], Sequence[float]]
) -> None:
    """Holds the right answers, and those of each slip, by its kind and a word of its place, against ours."""
    assert _plain(slips.answers(slips.right, slips.circuit.numbers)) == pytest.approx(right)
    for (entry, place), wanted in wrong.items():
        meant = [s for s in slips.slips if s.entry == entry and place in s.place]
        found = [_plain(slips.answers(slip, slips.circuit.numbers)) for slip in meant]
        assert any(told == pytest.approx(wanted) for told in found), (entry, place, wanted, found)


def _plain(told: Sequence[TimedAnswer]) -> list[float]:
    return [float(answer[0]) for answer in told]


@pytest.mark.parametrize("seed", range(6))
def test_slips_at_a_capacitor_lead_where_they_do_by_hand(seed: int) -> None:
    slips, n = _numbers(CISTERN, seed)
    emf, r1, r2, r3, c = (n[name] for name in ("E", "R1", "R2", "R3", "C1"))
    start, end, seen = 2.0, emf * r2 / (r1 + r2), r3 + r1 * r2 / (r1 + r2)
    top = np.linalg.solve([[1 / r1 + 1 / r2 + 1 / r3]], [emf / r1 + start / r3])[0]
    first = (emf - top) / r1

    def answers(
        *, begin: float = start, rest: float = end, tau: float = seen * c, current: float = first
    ) -> list[float]:
        at = rest + (begin - rest) * float(np.exp(-0.02 / tau))
        return [tau, at, current, c * rest, c * rest**2 / 2]

    empty = np.linalg.solve([[1 / r1 + 1 / r2 + 1 / r3]], [emf / r1])[0]
    by_hand = {
        ("nearest-resistance", "R1 alone"): answers(tau=r1 * c),
        ("nearest-resistance", "R3 alone"): answers(tau=r3 * c),
        ("seen-combined", "R1 + R2 + R3"): answers(tau=(r1 + r2 + r3) * c),
        ("battery-left-in", "E"): answers(tau=(r2 + r3) * c),
        ("tau-form", "τ = R/C"): answers(tau=seen / c),
        ("tau-form", "τ = 1/(R C)"): answers(tau=1 / (seen * c)),
        ("currents-for-charge", "empty"): answers(begin=0.0, current=(emf - empty) / r1),
        ("capacitor-always", "gap already"): answers(begin=end, current=emf / (r1 + r2)),
        ("charge-of-emf", "whole of E"): answers(rest=emf),
        ("half-forgotten", "U(C1)"): [*answers()[:4], c * end**2],
    }
    _compare(slips, answers(), by_hand)


@pytest.mark.parametrize("seed", range(6))
def test_slips_in_one_stage_are_carried_into_the_next(seed: int) -> None:
    slips, n = _numbers(TWICE, seed)
    emf, r1, r2, c = (n[name] for name in ("E", "R1", "R2", "C1"))

    def answers(*, tau1: float = r1 * c, tau2: float = r2 * c, since: float = 0.02) -> list[float]:
        left = emf * float(1 - np.exp(-0.02 / tau1))
        late, early = (float(np.exp(-(at - since) / tau2)) for at in (0.05, 0.03))
        return [left * late, -left / r2 * early]

    by_hand = {
        ("nearest-resistance", "R2 alone is taken for what C1 sees, after move 1"): answers(tau1=r2 * c),
        ("tau-form", "τ = C/R is used, after move 2"): answers(tau2=c / r2),
        ("second-stage", "after move 2"): answers(since=0.0),
    }
    _compare(slips, answers(), by_hand)


@pytest.mark.parametrize("seed", range(6))
def test_slips_at_a_coil_lead_where_they_do_by_hand(seed: int) -> None:
    slips, n = _numbers(HOIST, seed)
    emf, r1, r2, coil = (n[name] for name in ("E", "R1", "R2", "L1"))
    held = emf / r1

    def answers(*, tau: float = coil / r2, spark: float = -held * r2, share: float = 0.5) -> list[float]:
        left = held * float(np.exp(-0.01 / tau))
        return [left, spark, share * coil * held**2, r2 * held**2 * tau / 2]

    by_hand = {
        ("tau-form", "τ = L R"): answers(tau=coil * r2),
        ("bypassed-counted", "R1"): answers(tau=coil / (r1 + r2)),
        ("spark-limit", "E"): answers(spark=-emf),
        ("half-forgotten", "U(L1)"): answers(share=1.0),
    }
    _compare(slips, answers(), by_hand)


def _light(r1: int, r2: int) -> Circuit:
    circuit, numbers = circuit_of(CISTERN), {"E": 12, "R1": r1, "R2": r2, "R3": 700}
    drawn = {n: Fraction(v) for n, v in numbers.items()}
    return replace(circuit, numbers={**circuit.numbers, **drawn, "C1": Fraction(1, 10**5)})


def test_equal_resistances_are_told_as_slips_that_meet() -> None:
    """With R1 = R2 whoever takes the one for what is seen gives what comes of the other."""
    apart, alike = certificate(_light(600, 1100)), certificate(_light(600, 600))
    assert apart.apart
    assert not alike.apart
    assert any("R1 alone" in told and "R2 alone" in told for told in map("; ".join, alike.meeting))


def test_versions_in_time_tell_slips_apart() -> None:
    """Each by its own certificate; and by hand no two of twelve time constants are the same."""
    asked = VersionsAsked(
        {"E": "9 to 24 V", "R1": "200, 300, 600 ohm", "R2": "300, 600 ohm", "R3": "100, 300, 700 ohm"},
        ("slips apart",),
        "mixed",
    )
    circuit = replace(_light(600, 600), versions=asked)
    found = versions(circuit, 8, seed=3)
    assert found.complete
    for version in found.versions:
        assert version.certificate is not None
        assert version.certificate.apart
        r1, r2, r3 = (int(version.circuit.numbers[name]) for name in ("R1", "R2", "R3"))
        seen = Fraction(r1 * r2, r1 + r2) + r3
        pair = [Fraction(a * b, a + b) for a, b in ((r1, r2), (r1, r3), (r2, r3))]
        taken = [r1, r2, r3, r1 + r2, r1 + r3, r1 + r2 + r3, *pair, r1 + pair[2], r2 + pair[1], seen]
        assert len(set(taken)) == len(taken)


def test_versions_of_a_circuit_that_moves_twice_tell_slips_apart_as_well() -> None:
    """Among them whoever counts the second stage from the first move, whose answer is worked by hand."""
    circuit = circuit_of(TWICE)
    numbers = {**circuit.numbers, "C1": Fraction(1, 10**5)}
    asked = VersionsAsked({"E": "9 to 24 V", "R1": "1, 2, 3 kohm", "R2": "3, 4, 6 kohm"}, ("slips apart",))
    found = versions(replace(circuit, numbers=numbers, versions=asked), 4, seed=2)
    assert found.complete
    for version in found.versions:
        assert certificate(version.circuit).apart
        emf, r1, r2 = (float(version.circuit.numbers[name]) for name in ("E", "R1", "R2"))
        left = emf * (1 - np.exp(-0.02 / (r1 * 1e-5)))
        late, early = (left * np.exp(-at / (r2 * 1e-5)) for at in (0.05, 0.03))
        assert late != pytest.approx(early, rel=1e-6)


def test_slips_are_not_followed_without_numbers() -> None:
    with pytest.raises(FaultyMaterial, match="gives none for"):
        certificate(replace(circuit_of(CISTERN), numbers={}))
