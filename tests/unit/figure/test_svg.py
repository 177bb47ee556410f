"""The SVG writer: well-formed, real text, black only, and told to those who do not see it."""

import re
from xml.etree import ElementTree

import pytest

from loopwright.circuit.embedding import meshes
from loopwright.figure.drawing import Bend, Drawing, Label, Round, Run, Stroke
from loopwright.figure.figure import draw
from loopwright.figure.svg import svg
from tests.sample_circuits import SYMBOLIC, circuit_of

_SVG = "{http://www.w3.org/2000/svg}"


def tree_of(markup: str) -> ElementTree.Element:
    return ElementTree.fromstring(markup)


@pytest.mark.parametrize("name", SYMBOLIC)
def test_every_sample_is_well_formed_and_sized_in_millimetres(name: str) -> None:
    circuit = circuit_of(SYMBOLIC[name])
    drawing = draw(circuit, loops=meshes(circuit))
    root = tree_of(svg(drawing))
    assert root.get("width") == f"{drawing.width:g}mm"
    assert root.get("viewBox", "").split()[2:] == [f"{drawing.width:g}", f"{drawing.height:g}"]


def test_title_and_description_come_first_and_are_escaped() -> None:
    root = tree_of(svg(Drawing(1, 1, ()), "R < r & more", "two <lines>"))
    assert [child.tag for child in root][:2] == [f"{_SVG}title", f"{_SVG}desc"]
    assert [child.text for child in root][:2] == ["R < r & more", "two <lines>"]


def test_text_stays_text_with_its_subscript_lowered() -> None:
    root = tree_of(svg(Drawing(9, 9, (Label("R", (4, 4), "12", " = 4.7 kΩ"),))))
    spans = list(root.iter(f"{_SVG}tspan"))
    assert [span.text for span in spans] == ["R", "12", " = 4.7 kΩ"]
    assert [span.get("font-style") for span in spans] == ["italic", None, None]
    assert float(spans[1].get("dy", "0")) == -float(spans[2].get("dy", "0")) > 0


def test_nothing_is_coloured() -> None:
    circuit = circuit_of(SYMBOLIC["real bridge"])
    markup = svg(draw(circuit, loops=meshes(circuit)))
    assert set(re.findall(r'(?:fill|stroke)="([^"]*)"', markup)) <= {"none", "black"}


def test_arc_runs_clockwise_when_its_angle_grows() -> None:
    """SVG 1.1, section 8.3.8: sweep-flag 1 draws towards growing angles, which is clockwise as seen."""
    markup = svg(Drawing(9, 9, (Bend((4, 4), 2, 0, 270),)))
    assert 'd="M6 4 A2 2 0 1 1 4 2"' in markup


def test_dashes_and_fills_are_kept() -> None:
    marks = (Stroke(((0, 0), (5, 0)), dash=(1.5, 1.0)), Round((2, 2), 1, filled=True))
    markup = svg(Drawing(9, 9, marks))
    assert 'stroke-dasharray="1.5 1"' in markup
    assert '<circle cx="2" cy="2" r="1" stroke-width="0.4" fill="black"/>' in markup


@pytest.mark.parametrize(
    ("closed", "dash", "square"), [(False, (), 1), (True, (), 0), (False, (1.5, 1.0), 0)]
)
def test_only_an_open_line_without_dashes_has_square_ends(
    closed: bool, dash: tuple[float, ...], square: int
) -> None:
    stroke = Stroke(((0, 0), (5, 0), (5, 5)), closed=closed, dash=dash)
    assert svg(Drawing(9, 9, (stroke,))).count('stroke-linecap="square"') == square


def test_script_emf_stands_apart_from_its_subscript() -> None:
    """So that a renderer which falls back to another face for ℰ keeps the face of its neighbours."""
    root = tree_of(svg(Drawing(9, 9, (Label("ℰ", (4, 4), "1", italic=False),))))
    assert all(span.get("x") for span in root.iter(f"{_SVG}tspan"))


def test_runs_after_the_label_keep_their_style() -> None:
    label = Label("", (4, 4), tail=(Run("= 2 "), Run("R", italic=True), Run("3", lowered=True)))
    spans = list(tree_of(svg(Drawing(9, 9, (label,)))).iter(f"{_SVG}tspan"))
    assert [span.text for span in spans] == ["= 2 ", "R", "3"]
