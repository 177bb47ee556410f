"""The limits in time, each by the function of time and by the circuit redrawn."""

from __future__ import annotations

from loopwright.expressions.said import as_text
from loopwright.show.limit_lines import time_limit_lines
from loopwright.transients.stages import stages
from loopwright.transients.timed_limits import time_limits
from tests.unit.transients.sample_transients import LAMP, RELAY, SHARING, circuit_of


def _told(text: str) -> list[str]:
    return [as_text(limit.sentence) for limit in time_limits(stages(circuit_of(text)))]


def test_both_ends_of_the_time_and_of_the_one_storage_are_told() -> None:
    told = _told(LAMP)
    assert [line.partition(":")[0] for line in told] == ["t → 0", "t → ∞", "C1 → 0", "C1 → ∞"]
    assert "I3 = 0." in told[1]
    limits = time_limits(stages(circuit_of(LAMP)))
    assert all(limit.agree for limit in limits)


def test_two_storages_have_the_limits_of_the_time_alone() -> None:
    assert len(_told(RELAY)) == 2


def test_a_charge_that_passes_in_no_time_is_told_and_compared_with_nothing() -> None:
    first, last = time_limits(stages(circuit_of(SHARING)))
    assert "has no value: a charge passes in no time" in as_text(first.sentence)
    assert first.agree is None
    assert "no one answer" in time_limit_lines([first])[1]
    assert last.agree is not False


def test_later_stages_count_from_their_move() -> None:
    text = LAMP.replace('"open -> closed"', '["open -> closed", "closed -> open at t1"]')
    assert any(line.startswith("t − t1 → ∞ after move 2: ") for line in _told(text))
