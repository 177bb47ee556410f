"""Slips in time against the checks of the ledger: each is caught, and no check is idle."""

from __future__ import annotations

from collections import Counter

import pytest

from loopwright.show.timed_slip_report import in_json, in_markdown, in_text
from loopwright.slips.catalogue import CATALOGUE
from loopwright.slips.caught_in_time import caught_in_time
from tests.unit.transients.sample_transients import LAMP, MAGNET, RELAY, RESERVOIRS, stage_of

FOUND = {text: caught_in_time(stage_of(text)) for text in (LAMP, MAGNET)}


@pytest.mark.parametrize("text", [LAMP, MAGNET])
def test_every_slip_is_caught_and_has_a_name(text: str) -> None:
    found = FOUND[text]
    assert found.never == ()
    assert all(slip.entry in CATALOGUE for slip in found.slips)
    assert len({slip.entry for slip in found.slips}) >= 9


def test_a_wrong_time_constant_shows_in_what_is_seen_and_a_wrong_start_in_the_redrawn_circuit() -> None:
    by_slip = {slip.said: slip.caught for slip in FOUND[LAMP].slips}
    assert "time/tau" in by_slip["R1 alone is taken for what C1 sees"]
    assert "time/no-jump" not in by_slip["R1 alone is taken for what C1 sees"]
    assert {"time/start", "time/no-jump"} <= set(by_slip["the capacitor is taken as empty"])


def test_a_current_with_the_other_direction_is_caught_where_currents_meet() -> None:
    turned = [slip for slip in FOUND[LAMP].slips if slip.entry == "direction-after"]
    assert all("time/junctions" in slip.caught for slip in turned)
    assert turned


def test_the_half_of_an_energy_shows_in_the_balance() -> None:
    halves = [slip for slip in FOUND[MAGNET].slips if slip.entry == "half-forgotten"]
    assert [slip.caught for slip in halves] == [("time/energy",)]


def test_every_check_catches_some_slip() -> None:
    counts: Counter[str] = Counter()
    for text in (LAMP, MAGNET, RELAY, RESERVOIRS):
        found = FOUND.get(text) or caught_in_time(stage_of(text))
        counts.update(dict(found.counts))
    assert [code for code, count in counts.items() if not count] == []


def test_the_smallest_set_catches_what_any_check_catches() -> None:
    found = FOUND[LAMP]
    assert found.smallest_set
    assert all(set(slip.caught) & set(found.smallest_set) for slip in found.slips if slip.caught)


def test_it_is_told_as_text_as_markdown_and_as_data() -> None:
    found = FOUND[LAMP]
    assert f"Caught by Time constant: {found.counts['time/tau']} of {len(found.slips)}." in in_text(found)
    assert "nearest resistance" in in_text(found, ["nearest-resistance"])
    assert "| Time constant |" in in_markdown(found)
    assert '"time/tau"' in in_json(found)
