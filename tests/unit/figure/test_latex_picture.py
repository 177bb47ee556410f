"""The LaTeX picture: what it writes, and that a plain distribution compiles it."""

import subprocess
from pathlib import Path

from loopwright.circuit.embedding import meshes
from loopwright.figure import latex_picture
from loopwright.figure.drawing import Bend, Drawing, Drawn, Label, Round, Run, Stroke
from loopwright.figure.figure import draw
from tests.sample_circuits import SYMBOLIC, circuit_of


def lines_of(*marks: Drawn) -> list[str]:
    return [line.strip() for line in latex_picture.picture(Drawing(20, 10, marks)).splitlines()]


def test_rows_that_count_downwards_are_turned_over() -> None:
    assert r"\polyline(1,8)(5,8)" in lines_of(Stroke(((1, 2), (5, 2))))


def test_filled_shapes_are_starred() -> None:
    lines = lines_of(
        Stroke(((0, 0), (1, 0), (0, 1)), closed=True, filled=True), Round((4, 4), 1, filled=True)
    )
    assert r"\polygon*(0,10)(1,10)(0,9)" in lines
    assert r"\put(4,6){\circle*{2}}" in lines


def test_arc_is_told_counter_clockwise() -> None:
    assert r"\put(4,6){\arc[-270,0]{2}}" in lines_of(Bend((4, 4), 2, 0, 270))


def test_dashes_are_cut_by_hand() -> None:
    lines = lines_of(Stroke(((0, 0), (5, 0)), dash=(2, 1)))
    assert [line for line in lines if line.startswith(r"\polyline")] == [
        r"\polyline(0,10)(2,10)",
        r"\polyline(3,10)(5,10)",
    ]


def test_names_are_mathematics_and_units_upright() -> None:
    (line,) = (x for x in lines_of(Label("R", (4, 4), "1", " = 2 kΩ")) if "makebox" in x)
    assert line.endswith(r"\ensuremath{R}\ensuremath{_{\mathrm{1}}} = 2 k\ensuremath{\Omega}}}")


def test_characters_that_mean_something_to_latex_are_escaped() -> None:
    (line,) = (x for x in lines_of(Label("", (4, 4), tail=(Run("a_b#%&"),))) if "makebox" in x)
    assert r"a\_b\#\%\&" in line


def test_plain_distribution_compiles_every_sample(pdflatex: str, tmp_path: Path) -> None:
    pictures = []
    for value in SYMBOLIC.values():
        circuit = circuit_of(value)
        pictures.append(latex_picture.picture(draw(circuit, loops=meshes(circuit))))
    source = "\n".join(
        [
            r"\documentclass{article}",
            *latex_picture.PREAMBLE,
            r"\begin{document}",
            "\n\n".join(pictures),
            r"\end{document}",
        ]
    )
    (tmp_path / "page.tex").write_text(source, encoding="utf-8")
    command = [pdflatex, "-interaction=nonstopmode", "-halt-on-error", "page.tex"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, timeout=120, check=False)
    assert done.returncode == 0, done.stdout[-2000:]
