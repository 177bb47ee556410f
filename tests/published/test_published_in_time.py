"""Every published circuit with capacitors and coils: the printed figures, and every check of the ledger.

Sources: each fact names its own (facts/published-in-time.json), listed in sources_in_time.md.
"""

from __future__ import annotations

from math import inf
from pathlib import Path

import pytest

from loopwright.transients.entries import examine_stages
from loopwright.transients.transient import begun
from tests.published.fact_circuits import facts_of
from tests.published.facts_in_time import (
    BuiltInTime,
    Fact,
    build_in_time,
    connected,
    function_at,
    printed_in_time,
    worth,
)

FACTS = facts_of("published-in-time.json")
BACKWARDS = {("up-14-ninety-percent", "L")}  # asks for the value of an element
CASES = [
    (name, figure)
    for name, fact in FACTS.items()
    for figure in fact["published"]
    if (name, figure) not in BACKWARDS
]


@pytest.mark.parametrize(("name", "figure"), CASES)
def test_the_printed_figure_comes_out(name: str, figure: str) -> None:
    fact: Fact = FACTS[name]
    asked = fact["defines"][figure]
    built = build_in_time(fact, connected(fact, asked))
    told = printed_in_time(fact["published"][figure], built.numbers)
    if told.value is not None:
        found = abs(worth(built, asked))
        assert abs(found - abs(told.value)) <= told.half_a_digit * 1.0001
        return
    for time in times_of(built, asked):
        wanted = function_at(told.function, time, built.numbers) * told.scale
        size = abs(function_at(told.function, times_of(built, asked)[0], built.numbers) * told.scale) + abs(
            wanted
        )
        assert abs(abs(worth(built, {**asked, "at": str(time), "stage": ""})) - abs(wanted)) <= 2e-3 * size


def times_of(built: BuiltInTime, asked: Fact) -> list[float]:
    """Five times, from the first move on, of the stage of which a printed function speaks."""
    later = asked.get("stage") == "later"
    stage = built.stages[-1 if later else 0]
    tau = 1 / float(stage.rates[0].value(built.numbers))
    end = inf if later or len(built.stages) == 1 else float(begun(built.stages[1]))
    return [float(begun(stage)) + share * min(tau, 0.3 * end) for share in (1e-9, 0.5, 1, 2, 3)]


ERRORS = facts_of("printed-errors-in-time.json")
WRONG = [(name, figure) for name, fact in ERRORS.items() for figure in fact["published"]]


@pytest.mark.parametrize(("name", "figure"), WRONG)
def test_a_wrong_printed_figure_is_contradicted_and_its_correction_confirmed(name: str, figure: str) -> None:
    fact: Fact = ERRORS[name]
    asked = fact["defines"][figure]
    built = build_in_time(fact, connected(fact, asked))
    found = worth(built, asked)
    wrong = printed_in_time(fact["published"][figure], built.numbers)
    right = printed_in_time(fact["correct"][figure], built.numbers)
    if wrong.value is None or right.value is None:
        for time in times_of(built, asked):
            told, mended = (function_at(p.function, time, built.numbers) for p in (wrong, right))
            value = worth(built, {**asked, "at": str(time), "stage": ""})
            assert abs(value - mended) <= 2e-4 * abs(mended)
            assert abs(value - told) > 2e-3 * abs(mended)
        return
    assert abs(found - right.value) <= right.half_a_digit * 1.0001
    assert abs(found - wrong.value) > wrong.half_a_digit


def test_the_table_of_sources_holds_every_fact() -> None:
    table = (Path(__file__).parent / "sources_in_time.md").read_text("utf-8")
    for name, fact in {**FACTS, **ERRORS}.items():
        assert f"| {name} | " in table
        assert fact["source"] in table


def test_all_ten_printed_errors_are_judged() -> None:
    assert len(ERRORS) == 10
    assert len({name for name, _ in WRONG}) == 10


def test_every_fact_is_judged() -> None:
    assert len(FACTS) == 44
    assert len({name for name, _ in CASES}) == 44


@pytest.mark.parametrize("name", sorted(FACTS))
def test_no_check_fails_on_a_published_circuit(name: str) -> None:
    fact: Fact = FACTS[name]
    asked = next(iter(fact["defines"].values()))
    ledger = examine_stages(build_in_time(fact, connected(fact, asked)).stages)
    assert not ledger.failed
