"""Currents round loops are read from words: round what, and which way where that is said."""

from __future__ import annotations

import pytest

from loopwright import read_working
from loopwright.reading.page.lines import working
from loopwright.reading.working import LoopSaid
from tests.sample_circuits import CHARGE_OR_HELP, WITH_SOURCE, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP)
LEFT, RIGHT = ("E1", "R1", "Rh"), ("E2", "R2", "Rh")


def said(text: str) -> tuple[LoopSaid, ...]:
    return working(text, CIRCUIT).lines[0].loops


@pytest.mark.parametrize(
    "text",
    [
        "Loop current J1 round E1, R1, Rh, through R1 from rail to bus.",
        "J1 goes round E1, R1 and Rh, from rail to bus through R1",
        "Let J1 run around the loop E1-R1-Rh, from rail through R1 to bus",
        r"Loop current $J_1$ round $E_1$, $R_1$, $R_h$, through $R_1$ from rail to bus.",
    ],
)
def test_a_loop_current_says_round_what_it_goes_and_which_way(text: str) -> None:
    assert said(text) == (LoopSaid("J1", LEFT, "R1", "rail", "bus"),)


def test_two_loop_currents_in_one_line_without_a_sense() -> None:
    text = "Loop current i_a clockwise round E1, R1, Rh; i_b clockwise round E2, R2, Rh."
    assert said(text) == (LoopSaid("ia", LEFT), LoopSaid("ib", RIGHT))


@pytest.mark.parametrize(
    "text", ["9 J1 - 5 J2 = 23, J1 round E1, R1, Rh", "rounded to R1, Rh", "J1 round Rh", "round E1, R1, Rh"]
)
def test_what_declares_no_loop_current(text: str) -> None:
    assert said(text) == ()


THREE_LOOPS = circuit_of("""
find = ["I3", "V(b, g)"]
[branches]
I1 = "g, +E1, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, b"
I4 = "b, R4, g"
I5 = "g, +E2, R5, b"
[numbers]
E1 = "24 V"
E2 = "12 V"
R1 = "4 ohm"
R2 = "12 ohm"
R3 = "2 ohm"
R4 = "6 ohm"
R5 = "3 ohm"
""")
EQUATIONS = "24 = 16 i1 - 12 i2\n0 = -12 i1 + 20 i2 - 6 i3"


@pytest.mark.parametrize(
    "said",
    [
        "Mesh currents i1, i2, i3, all clockwise.",
        "mesh currents: i1 left (E1, R1, R2), i2 middle (R2, R3, R4), i3 right (R4, R5, E2)",
        "Maschenströme i1, i2, i3 im Uhrzeigersinn",
        "corrientes de malla i1, i2, i3 en sentido horario",
        "Courants de mailles i1, i2 et i3 (sens horaire)",
        "correnti di maglia i1, i2, i3 in senso orario",
        "correntes de malha i1, i2, i3",
        "meshes i1 (left), i2 (middle) and i3",
    ],
)
def test_currents_said_to_run_round_loops_are_none_of_branches(said: str) -> None:
    """Elimination by hand gives i1 = 18/7, i2 = 10/7 and i3 = -8/21 A, unlike I2 = 8/7 and I3 = 10/7 A."""
    assert not read_working(THREE_LOOPS, EQUATIONS).right  # of the branches they would be untrue
    assert read_working(THREE_LOOPS, f"{said}\n{EQUATIONS}").right
    assert not read_working(THREE_LOOPS, f"{said}\n{EQUATIONS.replace('20', '18')}").right


def test_branch_currents_behind_a_list_of_loop_currents_stay_what_they_are() -> None:
    said = "Loop currents x1, x2: "
    assert read_working(THREE_LOOPS, f"{said}I2 = x1 - x2\n24 = 4 x1 + 12 I2\n12 I2 = 2 x2 + 6 I4").right


def test_a_list_of_loop_currents_may_end_in_what_a_source_fixes() -> None:
    reading = read_working(
        circuit_of(WITH_SOURCE), "meshes i1 (left), i2 (middle), i3 = 2A source\n15 i1 - 10 i2 = 10"
    )
    assert reading.right


def test_a_junction_with_the_current_of_a_source_put_in_adds_something() -> None:
    enough = read_working(circuit_of(WITH_SOURCE), "I1 = I2 + I3\n2 + I3 = I4").enough
    assert not enough.redundant
    assert len(enough.missing) == 2  # two loops


ADDED = "24 = 16 i1 + 12 i2\n12 i1 + 20 i2 + 6 i3 = 0\n6 i2 + 9 i3 = -12\nI2 = i1 - i2"
AGAINST = "-24 = 16 i1 - 12 i2\n-12 i1 + 20 i2 - 6 i3 = 0\n-6 i2 + 9 i3 = 12\nI2 = i2 - i1"
SUBTRACTED = "24 = 16 i1 - 12 i2\n-12 i1 + 20 i2 - 6 i3 = 0\n-6 i2 + 9 i3 = -12\nI2 = i1 - i2"


@pytest.mark.parametrize(
    ("said", "text", "wrong"),
    [
        ("Mesh currents i1, i2, i3, all clockwise", SUBTRACTED, []),
        ("Mesh currents i1, i2, i3, all anticlockwise", AGAINST, []),
        ("Mesh currents i1, i2, i3, all clockwise", ADDED, [2, 3, 4]),
        ("mesh currents i1 and i3 clockwise, i2 anticlockwise", ADDED.replace("i1 - i2", "i1 + i2"), []),
        ("loop currents i1, i2, i3", ADDED.replace("i1 - i2", "i1 + i2"), []),
    ],
)  # fmt: skip
def test_what_meshes_share_is_subtracted_if_all_run_one_way(said: str, text: str, wrong: list[int]) -> None:
    """All added, the equations would be those of a current the other way round the middle mesh."""
    reading = read_working(THREE_LOOPS, f"{said}\n{text}")
    assert [v.line for v in reading.verdicts if not v.holds] == wrong
