"""A set of loops of one's own in the problem file: read, judged, and what the derivation begins with."""

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.derive.steps import Derivation
from loopwright.laws.laws import laws
from loopwright.methods.methods import derive
from loopwright.problem.loops_key import loop_text, read_loop
from loopwright.problem.problem_file import read_text
from loopwright.sheet.build import sheet
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP_IN_NUMBERS


def with_loops(text: str, *loops: str) -> Circuit:
    circuit, findings = read_text(f"loops = {list(loops)}\n{text}")
    assert circuit is not None, findings
    return circuit


def travelled(derivation: Derivation) -> list[str]:
    return [loop_text(law.loop) for law in derivation.laws if law.loop]


@pytest.mark.parametrize(
    ("text", "written"),
    [("Ic + Ih", "Ic + Ih"), ("-Ih+Ic", "-Ih + Ic"), ("Ic − Ib", "Ic - Ib"), ("Ic, -Ib", None), ("", None)],
)
def test_a_loop_is_its_currents_in_the_order_of_travel(text: str, written: str | None) -> None:
    loop = read_loop(text)
    assert (None if loop is None else loop_text(loop)) == written


@pytest.mark.parametrize(
    ("loop", "said"),
    [("Ic + Iq", "no branch has this current"), ("Ic + Ib - Ih", "do not lead on"), ("Ic Ib", "is no loop")],
)
def test_what_is_no_loop_is_told_with_its_mend(loop: str, said: str) -> None:
    circuit, findings = read_text(f'loops = ["{loop}"]\n{CHARGE_OR_HELP_IN_NUMBERS}')
    assert circuit is None
    assert [f.code for f in findings] == ["file/no-loop"]
    assert said in findings[0].message
    assert findings[0].mend


def test_the_derivation_begins_with_ones_own_loops_as_they_are_travelled() -> None:
    outer = with_loops(CHARGE_OR_HELP_IN_NUMBERS, "Ic + Ib", "Ib - Ih")
    assert travelled(derive(outer)) == ["Ic + Ib", "Ib - Ih"]
    assert derive(outer).values == derive(with_loops(CHARGE_OR_HELP_IN_NUMBERS)).values


def test_a_loop_that_says_nothing_new_is_left_out() -> None:
    circuit = with_loops(CHARGE_OR_HELP_IN_NUMBERS, "Ic + Ib", "Ib - Ih", "Ic + Ih")
    assert travelled(derive(circuit)) == ["Ic + Ib", "Ib - Ih"]


def test_loops_that_are_not_enough_give_way_to_the_usual_ones_and_the_sheet_says_so() -> None:
    circuit = with_loops(CHARGE_OR_HELP_IN_NUMBERS, "Ic + Ib")
    assert laws(circuit).own_loops == ()
    assert [note.code for note in sheet(circuit).notes] == ["laws/loops-not-enough"]
    assert sheet(with_loops(CHARGE_OR_HELP_IN_NUMBERS)).notes == ()


def test_loop_currents_run_round_ones_own_loops() -> None:
    circuit = with_loops(CHARGE_OR_HELP_IN_NUMBERS, "Ic + Ib", "Ib - Ih")
    meanings = derive(circuit, method="loop currents").meanings
    assert [getattr(meaning, "loop", None) for meaning in meanings.values()] == [
        (("Ic", 1), ("Ib", 1)),
        (("Ib", 1), ("Ih", -1)),
    ]


def test_where_one_source_could_be_reduced_ones_own_loops_are_travelled_all_the_same() -> None:
    text = '[branches]\nI1 = "a, +E1, R1, b"\nI2 = "b, R2, a"\nI3 = "b, R3, a"\n'
    assert travelled(derive(with_loops(text))) == []
    assert travelled(derive(with_loops(text, "I1 + I2", "I2 - I3"))) == ["I1 + I2", "I2 - I3"]


def test_a_turned_arrow_leaves_the_loop_travelled_as_it_was() -> None:
    circuit = with_loops(CHARGE_OR_HELP_IN_NUMBERS, "Ic + Ih", "Ib - Ih").flipped("Ih")
    assert [loop_text(law.loop) for law in laws(circuit).own_loops] == ["Ic - Ih", "Ib + Ih"]


def test_three_loops_of_a_bridge_that_cancel_without_their_senses_are_still_enough() -> None:
    every = [loop_text(law.loop) for law in laws(with_loops(BRIDGE)).every_loop if len(law.loop) == 4]
    assert len(laws(with_loops(BRIDGE, *every[:3])).own_loops) == 3
