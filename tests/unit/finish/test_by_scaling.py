"""Workings that suppose a current are finished by scaling.

The circuit: 24 V behind 2 Ω on 8 Ω beside 4 Ω before 6 Ω beside 12 Ω. By hand: 1 A in the 12 Ω makes 2 A
in the 6 Ω, 3 A in the 4 Ω, 24 V across the 8 Ω, 6 A in all and needs 36 V. In truth all
is 2/3 of that.
"""

from __future__ import annotations

import pytest

from loopwright import finish, read_working
from loopwright.finish.finished import FinishedWorking
from tests.sample_circuits import FAR_END, circuit_of

KILOHMS = FAR_END.replace("ohm", "kohm")
FED = FAR_END.replace("+E1, R1", "+J1").replace('E1 = "24 V"', 'J1 = "4 A"').replace('R1 = "2 ohm"\n', "")
WORKED_BACK = "Let I5 = 1 A\nI4 = 2 A\nI3 = 3 A\nI2 = 3 A\nI1 = 6 A"
STOPS = (
    "Let 1 A flow in R5.",
    "Let I5 = 1 A\nVc = 12 V",
    "Let I5 = 1 A\nI4 = 2 A\nI3 = 3 A",
    WORKED_BACK,
    f"{WORKED_BACK}\nE1 = 24 + 12 = 36 V",
    f"{WORKED_BACK}\nE1 = 36 V\nk = 24/36",
    f"{WORKED_BACK}\nE1 = 36 V\nk = 24/36\nI1 = 6*24/36 = 4 A",
)


def rest_of(text: str, source: str = FAR_END) -> FinishedWorking:
    return finish(read_working(circuit_of(source), text))


@pytest.mark.parametrize("text", STOPS)
def test_supposition_is_gone_on_with_and_scaled(text: str) -> None:
    rest = rest_of(text)
    assert (rest.method, rest.turned) == ("scaling", "")
    again = read_working(circuit_of(FAR_END), f"{text}\n{rest.text}")
    assert again.right, [v for v in again.verdicts if not v.holds]
    assert finish(again).is_finished


def test_only_what_is_left_is_told() -> None:
    lines = [line.as_text() for line in rest_of(f"{WORKED_BACK}\nE1 = 24 + 12 = 36 V").lines]
    assert lines[0] == "k = E1/E1′ = 24/36 ≈ 0.667"
    assert all(" = k " in line for line in lines[1:])


def test_milliamperes_stay_milliamperes() -> None:
    rest = rest_of("Let I5 = 1 mA\nVc = 12 V", KILOHMS)
    assert rest.lines[0].as_text() == "I4′ = Vc′/R4 = 12/6 = 2 mA"
    assert read_working(circuit_of(KILOHMS), f"Let I5 = 1 mA\nVc = 12 V\n{rest.text}").right


def test_current_source_is_what_is_scaled() -> None:
    rest = rest_of("Let I5 = 1 A\nI4 = 2 A", FED)
    assert any(line.as_text() == "k = J1/J1′ = 4/6 ≈ 0.667" for line in rest.lines)
    assert read_working(circuit_of(FED), f"Let I5 = 1 A\nI4 = 2 A\n{rest.text}").right


def test_next_step_is_told_before_the_source_and_at_it() -> None:
    assert rest_of("Let I5 = 1 A\nI4 = 2 A").what_next(1) == (
        "What is supposed is still to be worked back to the source.",
    )
    assert rest_of(f"{WORKED_BACK}\nE1 = 36 V").what_next(1) == (
        "What the source would have to give is known: what is left is to scale.",
    )


def test_bridge_does_not_lead_back_a_current_at_a_time() -> None:
    bridge = """
[branches]
I = "d, +E, a"
I1 = "a, R1, b"
I2 = "a, R2, c"
I3 = "b, R3, d"
I4 = "c, R4, d"
I5 = "b, R5, c"
[numbers]
E = "10 V"
R1 = "1 ohm"
R2 = "2 ohm"
R3 = "3 ohm"
R4 = "1 ohm"
R5 = "2 ohm"
"""
    rest = rest_of("Let I5 = 1 A\nV(R5) = 2 V", bridge)
    assert rest.method == "branch currents"
    assert "scaling" in rest.turned


WRONGLY = """Let I5 = 1 A
I4 = 2 A
I3 = 4 A
I2 = 3.5 A
I1 = 7.5 A
E1 = 28 + 15 = 43 V
"""


@pytest.mark.parametrize("more", ["", "k = 24/43 = 0.558\n", "k = 24/43 = 0.558\nI5 = 0.558 A\n"])
def test_supposition_wrongly_worked_is_gone_on_with_from_where_it_is_right(more: str) -> None:
    text = f"{WRONGLY}{more}"
    before = read_working(circuit_of(FAR_END), text)
    rest = finish(before)
    again = read_working(circuit_of(FAR_END), text + rest.text)
    last = before.working.lines[-1].number
    assert [v.line for v in again.verdicts if not v.holds and v.line > last] == []
    assert "E1′ = I1′ R1 + I2′ R2 = 6 × 2 + 3 × 8 = 36 V" in rest.text
    assert finish(again).is_finished
