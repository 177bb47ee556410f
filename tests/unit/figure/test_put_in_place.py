"""A circuit redrawn with the same branches: what is not changed keeps its marks to the last digit."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.figure.drawing import Drawing, Label, Round, Stroke
from loopwright.figure.figure import draw
from loopwright.problem.problem_file import read_text
from tests.unit.transients.sample_transients import LAMP


@pytest.fixture
def circuit() -> Circuit:
    found, findings = read_text(LAMP)
    assert found is not None, findings
    return found


def of(drawing: Drawing, kind: str, name: str) -> list[object]:
    """The marks of one thing."""
    return [m for m, own in zip(drawing.marks, drawing.whose, strict=True) if own == (kind, name)]


def changed(circuit: Circuit, element: Element) -> Circuit:
    """The circuit with another element of the same name."""
    return replace(circuit, elements={**circuit.elements, element.name: element})


def written(drawing: Drawing, name: str) -> str:
    """All that is written at an element."""
    labels = [mark for mark in of(drawing, "element", name) if isinstance(mark, Label)]
    return " ".join(run.text for label in labels for run in label.runs)


def test_what_is_not_changed_keeps_its_marks(circuit: Circuit) -> None:
    source = changed(circuit, Element("C1", Kind.BATTERY, circuit.elements["E"].value))
    before, after = draw(circuit), draw(source, like=circuit)
    for name in ("E", "R1", "R2", "R3", "S1"):
        assert of(after, "element", name) == of(before, "element", name)
        assert of(before, "element", name)
    assert of(after, "element", "C1") != of(before, "element", "C1")
    assert after.height == before.height


def test_a_gap_is_two_open_ends_and_bears_no_letters(circuit: Circuit) -> None:
    gap = changed(circuit, Element("C1", Kind.SWITCH, circuit.elements["C1"].value, closed=False))
    marks = of(draw(gap, like=circuit), "element", "C1")
    assert [type(mark) for mark in marks] == [Round, Round]


def test_a_plain_wire_runs_through_where_a_thing_stood(circuit: Circuit) -> None:
    last = circuit.branches[-1]
    bare = replace(last, along=tuple(i for i in last.along if i != Pass("C1")))
    wired = replace(circuit, branches=(*circuit.branches[:-1], bare))
    drawing = draw(wired, like=circuit)
    assert not of(drawing, "element", "C1")
    ends = [
        sum(len(mark.points) for mark in of(each, "wire", "I3") if isinstance(mark, Stroke))
        for each in (draw(circuit), drawing)
    ]
    assert ends[1] == ends[0] - 2  # one piece of wire where there were two


def test_what_a_switch_will_do_is_not_told_any_more_where_it_does_not_move(circuit: Circuit) -> None:
    still = replace(circuit, switching=())
    assert "closes" in written(draw(circuit), "S1")
    assert "closes" not in written(draw(still, like=circuit), "S1")


def test_letters_that_find_no_room_make_a_figure_of_its_own(circuit: Circuit) -> None:
    long = replace(circuit, written={**circuit.written, "R2": "4700000000000000000 ohm"})
    drawing = draw(long, like=circuit)
    assert "4700000000000000000 Ω" in written(drawing, "R2")
    assert of(drawing, "element", "R3") != of(draw(circuit), "element", "R3")


def test_other_branches_make_a_figure_of_its_own(circuit: Circuit) -> None:
    more = replace(circuit, branches=(*circuit.branches, Branch("I4", "top", "foot", (Pass("R4"),))))
    more = changed(more, Element("R4", Kind.RESISTOR, circuit.elements["R2"].value))
    assert of(draw(more, like=circuit), "element", "R4")
