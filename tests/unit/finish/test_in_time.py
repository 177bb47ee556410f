"""Workings in time finished from every line on: what is written is read back as right, and finishes them."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright import finish, read, read_working
from loopwright.expressions.said import as_text
from loopwright.problem.problem_file import read_text
from tests.published.facts_in_time import build_in_time, connected
from tests.published.test_published_in_time import FACTS
from tests.unit.transients.sample_transients import TWO_STEPS

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


@pytest.mark.parametrize("name", ["night-lamp", "two-reservoirs", "buoy-relay", "winch-brake"])
def test_moves_again_and_two_storages_are_finished_from_any_line_on(name: str) -> None:
    circuit = read(EXAMPLES / f"{name}.toml")
    whole = finish(read_working(circuit, ""))
    assert not whole.unsaid
    lines = whole.text.splitlines()
    for count in range(0, len(lines) + 1, 4):
        head = "".join(f"{line}\n" for line in lines[:count])
        rest = finish(read_working(circuit, head))
        assert not rest.unsaid
        again = read_working(circuit, head + rest.text)
        assert again.right
        assert finish(again).is_finished


def test_a_later_stage_is_told_by_what_moves_and_counts_from_the_first_move() -> None:
    text = finish(read_working(read(EXAMPLES / "night-lamp.toml"), "")).text
    assert "Then S2 closes; 0+ is just after that:\nV(C1)(0+) = 9.32 V\n" in text
    assert "8.00 V + (1.32 V) e^(−(t − 30 ms)/tau2)\n" in text
    assert "V(C1)(30 ms) = 12.0 V − (12.0 V) e^(−30 ms/tau) = 9.32 V\n" in text


def test_a_second_move_at_a_time_in_letters_is_told_in_letters() -> None:
    lines = (EXAMPLES / "night-lamp.toml").read_text(encoding="utf-8").replace("at 30 ms", "at t1")
    circuit, _ = read_text(lines[: lines.index("[numbers]")].replace(', "V(C1) at 50 ms"', ""))
    assert circuit is not None
    rest = finish(read_working(circuit, "V_C(0+) = 0\n"))
    assert "V_C(t) = V_C(oo) + (V_C(0+) − V_C(oo)) e^(−(t − t1)/tau2)" in rest.text
    assert read_working(circuit, "V_C(0+) = 0\n" + rest.text).right


def test_names_keep_their_indices_and_numbers_their_commas() -> None:
    circuit = read(EXAMPLES / "harbour-light.toml")
    head = "I_1(0+) = 3,71 mA\nV_{C1}(0+) = 2,00 V\n"
    rest = finish(read_working(circuit, head, decimal_comma=True))
    assert "I_1(oo) = E/(R1 + R2) = 2,00 mA\n" in rest.text
    assert "V_{C1}(t) = V_{C1}(oo) + (V_{C1}(0+) − V_{C1}(oo)) e^(−t/tau) = 8,00 V" in rest.text
    assert not rest.unsaid
    assert read_working(circuit, head + rest.text, decimal_comma=True).right


def test_what_is_not_written_is_said() -> None:
    text = (EXAMPLES / "night-lamp.toml").read_text(encoding="utf-8")
    circuit, _ = read_text(text.replace("find = [", 'find = ["heat(R1)", '))
    assert circuit is not None
    rest = finish(read_working(circuit, ""))
    assert rest.lines
    assert not rest.is_finished
    assert "heat(R1) is asked, and is not written here" in str(rest.closing)


def test_a_raised_two_belongs_to_what_stands_before_it() -> None:
    circuit = read(EXAMPLES / "harbour-light.toml")
    assert read_working(circuit, "U(C1)(oo) = C1 V_C(oo)²/2 = 320 µJ").right
    assert not read_working(circuit, "U(C1)(oo) = C1 V_C(oo)²/3 = 320 µJ").right


def test_of_two_time_constants_with_a_root_their_sum_and_product_are_told_in_letters() -> None:
    """By hand, for two steps R1-C1, R2-C2: tau1 + tau2 = R1 C1 + R1 C2 + R2 C2, tau1 tau2 = R1 C1 R2 C2."""
    circuit, _ = read_text(TWO_STEPS.partition("[numbers]")[0])
    assert circuit is not None
    rest = finish(read_working(circuit, "I1(0+) = E/R1"))
    (told,) = [as_text(said) for said in rest.unsaid]
    assert told.startswith("I1(t), I2(t), I3(t), V(C1)(t) and V(C2)(t) are not written in letters")
    assert "τ1 + τ2 = C1 R1 + C2 (R1 + R2) and τ1 τ2 = C1 C2 R1 R2" in told
