"""What currents round loops stand for depends on all the loops chosen."""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.loop_currents import any_loop_currents, declared_loops
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from loopwright.reading.working import LoopSaid
from tests.sample_circuits import circuit_of

# four branches side by side, all arrows up: in every choice of three loops with two each, some branch
# carries two loop currents that no mesh of a figure in this order has together
HUTS = """
[branches]
I1 = "low, +E1, R1, high"
I2 = "low, +E2, R2, high"
I3 = "low, R3, high"
I4 = "low, +E4, R4, high"

[numbers]
E1 = "12 V"
E2 = "9 V"
E4 = "6 V"
R1 = "2 kohm"
R2 = "3 kohm"
R3 = "5 kohm"
R4 = "4 kohm"
"""
CIRCUIT = circuit_of(HUTS)
SAID = [
    LoopSaid("x", ("E1", "R1", "R3"), "R1", "low", "high"),
    LoopSaid("y", ("E2", "R2", "R3"), "R2", "low", "high"),
    LoopSaid("z", ("R2", "R4"), "R2", "low", "high"),
]
# x = I1, z = −I4, y = −I3 − x = −I3 − I1
RIGHT = """\
R1 x + R3 (x + y) = E1
R2 (y + z) + R3 (y + x) = E2
R2 (z + y) + R4 z = E2 - E4
7 x + 5 y = 12
5 x + 8 y + 3 z = 9
3 y + 7 z = 3
I1 = x
I2 = y + z
I3 = -x - y
I4 = -z
"""
WORDS = """\
x round E1, R1, R3, through R1 from low to high
y round E2, R2, R3, through R2 from low to high
z round E2, R2, E4, R4, through R2 from low to high
"""


def read(text: str) -> Reading:
    return read_working(CIRCUIT, text)


def test_a_declared_loop_current_is_what_the_other_loops_leave_it() -> None:
    assert declared_loops(CIRCUIT, SAID) == {
        "x": ({"I1": 1},),
        "y": ({"I3": -1, "I1": -1},),
        "z": ({"I4": -1},),
    }


def test_a_loop_without_a_sense_goes_either_way() -> None:
    either = [*SAID[:2], LoopSaid("z", SAID[2].round)]
    assert set(map(str, declared_loops(CIRCUIT, either)["z"])) == {"{'I4': 1}", "{'I4': -1}"}


@pytest.mark.parametrize(
    "said", [SAID[:2], [*SAID[:2], LoopSaid("z", ("R1", "R2"))], [LoopSaid("x", ("R1",))]]
)
def test_loops_that_are_too_few_or_repeat_one_another_say_nothing(said: list[LoopSaid]) -> None:
    assert declared_loops(CIRCUIT, said) == {}


@pytest.mark.parametrize("words", [WORDS, ""])
def test_any_choice_of_loops_is_read_said_or_unsaid(words: str) -> None:
    assert read(words + RIGHT).right


def test_declared_loop_currents_are_not_said_to_be_guessed() -> None:
    assert read(WORDS + RIGHT).arrows.said == ()


def test_a_sign_lost_in_one_loop_is_found_though_the_loops_are_not_said() -> None:
    told = read(RIGHT.replace("R3 (y + x)", "R3 (y - x)", 1))
    assert [v.line for v in told.verdicts if v.kind is ClaimKind.UNTRUE] == [2]


def test_a_name_right_behind_a_resistance_is_told_apart() -> None:
    text = RIGHT.replace("x", "IA").replace("y", "IB").replace("z", "IC").replace("R4 IC", "R4IC")
    assert read(text.replace("R1 IA", "R1IA")).right


def test_sums_of_two_branches_come_each_way_round_and_once() -> None:
    found = [tuple(sorted(m.items())) for m in any_loop_currents(CIRCUIT, shared=True)]
    assert len(found) == len(set(found))
    assert {tuple((n, -s) for n, s in m) for m in found} == set(found)
