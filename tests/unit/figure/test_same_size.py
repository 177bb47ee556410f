"""Figures in other numbers of as many digits: drawn as if each were drawn for itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.figure import same_size
from loopwright.figure.compose import composed
from loopwright.figure.figure import draw, where
from loopwright.figure.svg import svg
from loopwright.laws.laws import laws
from loopwright.problem.problem_file import read_text

INSIDE = """
[branches]
Ic = "rail, +E1, R1, bus"
Ib = "bus, -E2, rail"
Ih = "bus, Rh, rail"
[elements]
E2 = { value = "E2", internal = "r2" }
Rh = "2 R1"
[numbers]
E1 = "23.0 V"
E2 = "8 V"
R1 = "4 ohm"
r2 = "8 ohm"
"""


def circuit(text: str) -> Circuit:
    found, findings = read_text(text)
    assert found is not None, findings
    return found


def both(of: Circuit) -> tuple[str, str]:
    """With loops by way of what was drawn before, and by itself."""
    loops = tuple(law.loop for law in laws(of).loops if law.loop)
    names = ("(1)", "(2)")
    alone = composed(of, where(of), loops, names, "iec", True).drawing
    return svg(draw(of, loops=loops, loop_names=names), named=True), svg(alone, named=True)


@pytest.mark.parametrize(
    "written",
    [{}, {"E1": "57.3 V", "r2": "5 ohm"}, {"E1": "5 V"}, {"R1": "4k7"}, {"R1": "1/6 ohm"}, {"E2": "1e-29 V"}],
)
def test_a_figure_from_memory_is_the_one_drawn_by_itself(written: dict[str, str]) -> None:
    plain = circuit(INSIDE)
    draw(plain, loops=[law.loop for law in laws(plain).loops if law.loop])
    known, alone = both(replace(plain, written={**plain.written, **written}))
    assert known == alone


def test_what_is_remembered_stays_few() -> None:
    rig = circuit('[branches]\nI = "a, +E, R, a"\n')
    for digits in range(1, same_size.MOST + 4):
        draw(replace(rig, written={"E": f"{'7' * digits} V"}), loops=[law.loop for law in laws(rig).loops])
    assert len(same_size._made) <= same_size.MOST
