"""Every check of the ledger in time passes on a true stage and fails on some fault put into it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property

import pytest

from loopwright.algebra.surds import Surd
from loopwright.transients.amounts import scaled
from loopwright.transients.course import Course, Decay
from loopwright.transients.entries import examine_in_time, prove_in_time
from loopwright.transients.transient import Transient
from tests.unit.transients.sample_transients import LAMP, MAGNET, RELAY, RESERVOIRS, stage_of

ENDLESS = """
[branches]
I1 = "a, +E, S1, b"
I2 = "b, L1, a"
I3 = "b, R1, a"
[switching]
S1 = "open -> closed"
[start]
L1 = "0 A"
"""
Fault = Callable[[Course], Course]


class FaultyStage(Transient):
    """A stage whose courses carry a fault: those of the currents `of`, and every voltage across an
    element."""

    fault: Fault
    of: tuple[str, ...] = ()

    @cached_property
    def currents(self) -> Mapping[str, Course]:
        whole = Transient.currents.func(self)  # type: ignore[attr-defined]
        return {n: self.fault(c) if n in self.of else c for n, c in whole.items()}

    def across(self, element: str) -> Course:
        return self.fault(super().across(element))


def _half_rate(course: Course) -> Course:
    half = course.end.field.one / 2
    return Course(
        course.end,
        tuple(Decay(d.amplitude, d.rate * half) for d in course.decays),
        course.slope,
        course.burst,
    )


def _grows(course: Course) -> Course:
    minus = course.end.field.number(-1)
    return Course(
        course.end,
        tuple(Decay(d.amplitude, d.rate * minus) for d in course.decays),
        course.slope,
        course.burst,
    )


def _end_shifted(course: Course) -> Course:
    return Course(course.end + course.just_after, course.decays, course.slope, course.burst)


def _doubled(course: Course) -> Course:
    return scaled(course, course.end.field.number(2))


def _squared_rate(course: Course) -> Course:
    return Course(
        course.end,
        tuple(Decay(d.amplitude, d.rate * d.rate) for d in course.decays),
        course.slope,
        course.burst,
    )


def _exchanged(course: Course) -> Course:
    start = course.just_after
    zero = course.end.field.zero
    return Course(
        start,
        tuple(Decay(Surd(course.end - start, zero, zero), d.rate) for d in course.decays[:1]),
        course.slope,
        zero,
    )


FAULTS: dict[str, Fault] = {
    "half the rate": _half_rate,
    "grows": _grows,
    "end shifted": _end_shifted,
    "doubled": _doubled,
    "rate squared": _squared_rate,
    "start and end exchanged": _exchanged,
}


def faulty_stage(text: str, fault: Fault, *of: str) -> FaultyStage:
    """The stage of a text with a fault in the courses of these currents, or of all, and in every voltage."""
    true = stage_of(text)
    faulty = FaultyStage(true.circuit, true.held)
    object.__setattr__(faulty, "fault", fault)
    object.__setattr__(faulty, "of", of or tuple(true.currents))
    return faulty


def failed(text: str, fault: Fault, *of: str) -> set[str]:
    """The codes of the entries that fail on a stage with this fault."""
    return {entry.code for entry in examine_in_time(faulty_stage(text, fault, *of)).failed}


@pytest.mark.parametrize("text", [LAMP, MAGNET, RELAY, RESERVOIRS])
def test_no_check_fails_on_a_true_stage(text: str) -> None:
    ledger = examine_in_time(stage_of(text))
    assert ledger.passed
    assert sum(entry.passed is True for entry in ledger.entries) >= 9


@pytest.mark.parametrize("text", [LAMP, MAGNET])
@pytest.mark.parametrize("fault", FAULTS)
def test_every_fault_is_caught_by_two_checks_at_least(text: str, fault: str) -> None:
    assert len(failed(text, FAULTS[fault])) >= 2


@pytest.mark.parametrize("text", [LAMP, MAGNET, RELAY, RESERVOIRS])
@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("of", ["one current", "all"])
def test_what_proves_a_sheet_catches_every_fault_that_the_whole_ledger_catches(
    text: str, fault: str, of: str
) -> None:
    faulty = faulty_stage(text, FAULTS[fault], *(stage_of(text).circuit.currents[:1] if of != "all" else ()))
    assert bool(prove_in_time(faulty, amounts=False).failed) == bool(examine_in_time(faulty).failed)
    assert prove_in_time(stage_of(text), amounts=True).passed


def test_every_check_catches_some_fault() -> None:
    caught: set[str] = set()
    for text in (LAMP, MAGNET, RELAY, RESERVOIRS):
        for fault in FAULTS.values():
            caught |= failed(text, fault) | failed(text, fault, stage_of(text).circuit.currents[0])
    every = {entry.code for entry in examine_in_time(stage_of(LAMP)).entries}
    assert every - caught == set()


def _result(text: str, code: str, fault: str = "") -> bool | None:
    stage = faulty_stage(text, FAULTS[fault]) if fault else stage_of(text)
    return examine_in_time(stage).entry(code).passed


def test_the_first_slope_times_the_time_constant_is_the_whole_change() -> None:
    entry = examine_in_time(stage_of(LAMP)).entry("time/first-slope")
    assert entry.passed
    assert "times τ it is end less start" in entry.as_text()
    assert _result(LAMP, "time/first-slope", "half the rate") is False


def test_charge_is_kept_where_capacitors_alone_join_a_part_to_the_rest() -> None:
    assert _result(RESERVOIRS, "time/charge")
    assert _result(RESERVOIRS, "time/charge", "end shifted") is False
    assert _result(LAMP, "time/charge") is None  # one capacitor cuts nothing off


def test_larger_storages_only_make_it_slower() -> None:
    assert _result(RELAY, "time/scaled")
    assert _result(LAMP, "time/scaled", "rate squared") is False


@pytest.mark.parametrize("text", [LAMP, MAGNET, RESERVOIRS])
def test_coils_for_capacitors_exchange_the_ends_of_every_current(text: str) -> None:
    assert _result(text, "time/exchanged")
    for fault in ("start and end exchanged", "half the rate", "end shifted"):
        assert _result(text, "time/exchanged", fault) is False


def test_a_circuit_that_rings_has_its_exchange_too() -> None:
    assert _result(RELAY, "time/exchanged", "half the rate") is False
    ringing = stage_of(RELAY, R1='"4 kohm"', R2='"1 ohm"')
    assert any(rate.under.value(ringing.circuit.numbers) < 0 for rate in ringing.rates if rate.factor)
    assert examine_in_time(ringing).entry("time/exchanged").passed


def test_begun_where_it_ends_nothing_moves() -> None:
    assert _result(MAGNET, "time/standing")
    assert _result(LAMP, "time/standing", "end shifted") is False


def test_what_grows_without_limit_has_no_end_to_begin_with() -> None:
    assert _result(ENDLESS, "time/standing") is None
    assert _result(ENDLESS, "time/exchanged")  # the coil's growth becomes the capacitor's charge in no time


def test_currents_that_cancel_by_the_numbers_are_no_difference() -> None:
    text = """
[branches]
I1 = "a, R1, -E1, b"
I2 = "b, R2, +E2, C2, a"
[numbers]
R1 = "9 ohm"
E1 = "5 V"
R2 = "6 ohm"
E2 = "2 V"
C2 = "6 mF"
[start]
C2 = "-3 V"
"""
    assert examine_in_time(stage_of(text)).failed == ()


THREE_STORAGES = """
[branches]
I1 = "a, +E1, R1, L1, b"
I2 = "b, L2, R2, a"
I3 = "b, C1, a"
I4 = "b, R3, a"
[start]
L1 = "0 A"
L2 = "0 A"
"""
COILS_AT_ONE_JUNCTION = """
[branches]
I1 = "a, +E1, S1, R1, L1, b"
I2 = "b, L2, R2, a"
I3 = "b, R3, L3, a"
[switching]
S1 = "open -> closed"
"""
NUMBERS = """
[numbers]
E1 = "12 V"
R1 = "4 ohm"
R2 = "6 ohm"
R3 = "3 ohm"
L1 = "2 mH"
L2 = "5 mH"
C1 = "40 uF"
"""


@pytest.mark.parametrize("text", [THREE_STORAGES, COILS_AT_ONE_JUNCTION])
def test_more_than_two_storages_keep_every_rule_at_both_ends(text: str) -> None:
    ledger = examine_in_time(stage_of(text))
    assert ledger.failed == ()
    assert ledger.entry("time/loops").passed


def test_a_capacitor_that_ends_where_it_began_gains_nothing() -> None:
    """What rates that are no exact numbers leave open is measured by the areas, which nearly cancel."""
    stage = stage_of(THREE_STORAGES + NUMBERS)
    assert stage.held["C1"] == stage.stored("C1").long_after
    entry = examine_in_time(stage).entry("time/areas")
    assert entry.passed
    assert "C1" in entry.result
