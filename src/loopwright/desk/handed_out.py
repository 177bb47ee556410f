"""What can be handed out of a paper: the three editions of its sheet in every form, its figure, its formulas,
the problem file itself. Bytes with the ending of their file. Knows no web.
"""

from __future__ import annotations

from ..circuit.circuit import Circuit
from ..circuit.page_wishes import EDITIONS
from ..errors import FaultyMaterial
from ..expressions.nodes import Equation, Symbol
from ..expressions.tidy import tidy
from ..expressions.writers import latex
from ..figure.describe import describe
from ..figure.figure import draw
from ..figure.latex_picture import picture
from ..figure.svg import svg
from ..findings import Finding
from ..sheet.build import sheet
from ..sheet.forms import FORMS
from ..sheet.pdf import drawing_as_png
from ..sheet.sheets import roles
from ..solve.exact import solve
from .plotting import drawn
from .read_once import sound

FIGURES = ("svg", "png", "picture")
PLOTS = ("svg", "csv")


def handed_out(
    text: str, form: str, edition: str = "", plot: str = "", middle: str = ""
) -> tuple[bytes, str]:
    """A paper in one form, and the ending of its file. `form`: one of the forms of a sheet (`html`, `pdf`,
    `tex`, `md`, `say`) in an `edition`, of its figure (`svg`, `png`, `picture`), `formulas` as LaTeX, `toml`;
    with `plot`, what is plotted, `svg` or `csv`, and `middle` stands in the middle of its scale.

    Raises FaultyMaterial where the circuit is not sound, and for a form or edition that there is not.
    """
    if form == "toml":
        return text.encode(), ".toml"
    circuit = sound(text)
    if plot and form in PLOTS:
        found = drawn(circuit, plot, _number(middle))
        return (found.csv() if form == "csv" else found.svg()).encode(), f".{form}"
    if form in FIGURES:
        return _figure(circuit, form)
    if form == "formulas":
        return _formulas(circuit).encode(), ".tex"
    if form not in FORMS or edition not in ("", *EDITIONS):
        raise FaultyMaterial(
            Finding(
                "desk/no-such-form", f"nothing is handed out as {form} {edition}.", "Take one of the list."
            )
        )
    content = FORMS[form].write(sheet(circuit, edition=edition).document)
    return content.encode() if isinstance(content, str) else content, FORMS[form].ending


def _figure(circuit: Circuit, form: str) -> tuple[bytes, str]:
    drawing = draw(circuit)
    if form == "png":
        return drawing_as_png(drawing), ".png"
    if form == "picture":
        return picture(drawing).encode(), ".tex"
    return svg(drawing, circuit.title or "Circuit", describe(circuit)).encode(), ".svg"


def _formulas(circuit: Circuit) -> str:
    """Every current in closed form, one displayed line of LaTeX each."""
    names = roles(circuit)
    lines = [
        latex.render(Equation(Symbol(name), tidy(value)), names)
        for name, value in solve(circuit).currents.items()
    ]
    return "".join(f"\\[ {line} \\]\n" for line in lines)


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None
