"""Workings in time finished from every line on: what is written is read back as right, and finishes them."""

from __future__ import annotations

from pathlib import Path

from loopwright import finish, read, read_working
from tests.published.facts_in_time import build_in_time, connected
from tests.published.test_published_in_time import FACTS

EXAMPLES = Path("examples")
PUBLISHED = ("cp-21-160uF", "e84-black-box-coil", "up-14-decay")


def test_a_working_cut_after_any_line_is_finished_and_read_back_as_right() -> None:
    circuit = read(EXAMPLES / "harbour-light.toml")
    lines = (EXAMPLES / "workings/in-time/harbour-light.txt").read_text(encoding="utf-8").splitlines()
    for count in range(0, len(lines) + 1, 3):
        head = "".join(f"{line}\n" for line in lines[:count])
        rest = finish(read_working(circuit, head))
        assert not rest.unsaid
        again = read_working(circuit, head + rest.text)
        assert again.right
        assert finish(again).is_finished


def test_published_circuits_are_finished_and_read_back_as_right() -> None:
    for name in PUBLISHED:
        fact = FACTS[name]
        stage = build_in_time(fact, connected(fact, next(iter(fact["defines"].values())))).stage
        whole = finish(read_working(stage.circuit, "")).text.splitlines()
        head = "".join(f"{line}\n" for line in whole[: len(whole) // 2])
        rest = finish(read_working(stage.circuit, head))
        assert rest.lines
        assert not rest.unsaid
        assert read_working(stage.circuit, head + rest.text).right


def test_what_is_not_written_is_said() -> None:
    rest = finish(read_working(read(EXAMPLES / "buoy-relay.toml"), ""))
    assert not rest.lines
    assert not rest.is_finished
    assert "more than one storage" in str(rest.closing)


def test_a_raised_two_belongs_to_what_stands_before_it() -> None:
    circuit = read(EXAMPLES / "harbour-light.toml")
    assert read_working(circuit, "U(C1)(oo) = C1 V_C(oo)²/2 = 320 µJ").right
    assert not read_working(circuit, "U(C1)(oo) = C1 V_C(oo)²/3 = 320 µJ").right
