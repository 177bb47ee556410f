"""What the benchmarks call too slow, and what they take for noise."""

import time

from benchmarks.timing import compared, times


def test_noise_in_a_few_rounds_does_not_miss_the_bar() -> None:
    assert compared([1.3, 1.3, 1.3, 1.1, 1.1], [1.0] * 5, 1.2).met


def test_what_lies_above_in_three_quarters_of_the_rounds_misses_the_bar() -> None:
    assert not compared([1.3, 1.3, 1.3, 1.3, 1.1], [1.0] * 5, 1.2).met


def test_a_ratio_is_taken_within_its_round() -> None:
    found = compared([1.0, 10.0, 100.0], [2.0, 20.0, 200.0], 1.0)
    assert (found.lower, found.median, found.upper) == (0.5, 0.5, 0.5)


def test_waiting_costs_no_processor_time_and_work_does() -> None:
    waiting, working = times(lambda: time.sleep(0.02), lambda: sum(range(400_000)), rounds=3)
    assert max(waiting) < min(working)


def test_works_follow_one_another_there_and_back() -> None:
    done: list[str] = []
    times(lambda: done.append("a"), lambda: done.append("b"), rounds=2)
    assert "".join(done) == "abbaab"


def test_the_verdict_stands_beside_the_quartiles() -> None:
    assert (
        str(compared([2.0, 3.0, 4.0], [1.0] * 3, 2.4)) == "ratio 3.000 (2.500 to 3.500; bar 2.400: NOT met)"
    )
