r"""A drawing as a LaTeX `picture`, with lines and arcs of the standard package pict2e and nothing else.

Millimetres with the origin at the foot; text in the document's own type, quantities in mathematics.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

from .drawing import NOBODYS, XY, Bend, Drawing, Drawn, Label, Round, Run, Stroke, Whose
from .lettering import SCRIPT_E

PREAMBLE = (r"\usepackage{pict2e}",)

_POINTS_IN_MM = 72.27 / 25.4
_CAPITALS = 0.683  # height of capitals to size of the type in Computer Modern
_SIZES = (5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 10.95, 12.0, 14.4, 17.28, 20.74, 24.88)
_ANCHORS = {"middle": "b", "start": "bl", "end": "br"}
_LETTERS = {
    SCRIPT_E: r"\ensuremath{\mathcal{E}}",
    "Ω": r"\ensuremath{\Omega}",
    "µ": r"\ensuremath{\mu}",
    "μ": r"\ensuremath{\mu}",
    "′": r"\ensuremath{'}",
    "−": r"\ensuremath{-}",
    "·": r"\ensuremath{\cdot}",
    "∥": r"\ensuremath{\parallel}",
    "⁄": "/",
    "°": r"\ensuremath{^\circ}",
    "&": r"\&",
    "%": r"\%",
    "#": r"\#",
    "_": r"\_",
    "$": r"\$",
    "{": r"\{",
    "}": r"\}",
    "~": r"\textasciitilde{}",
    "^": r"\textasciicircum{}",
    "\\": r"\textbackslash{}",
}
_GREEK = {
    "α": "alpha", "β": "beta", "γ": "gamma", "δ": "delta", "ε": "varepsilon", "ζ": "zeta", "η": "eta",
    "θ": "theta", "κ": "kappa", "λ": "lambda", "ν": "nu", "ξ": "xi", "π": "pi", "ρ": "rho",
    "σ": "sigma", "τ": "tau", "φ": "varphi", "χ": "chi", "ψ": "psi", "ω": "omega",
    "Δ": "Delta", "Θ": "Theta", "Λ": "Lambda", "Φ": "Phi", "Ψ": "Psi",
}  # fmt: skip
_LETTERS |= {letter: rf"\ensuremath{{\{name}}}" for letter, name in _GREEK.items()}
_LETTERS |= {
    raised: rf"\ensuremath{{^{digit}}}" for raised, digit in zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-", strict=True)
}


def picture(drawing: Drawing, dress: Callable[[Whose, str], str] = lambda whose, drawn: drawn) -> str:
    """The drawing as a `picture` environment, as wide and high as the drawing. `dress`: what is put round
    what is drawn of a mark, by what the mark belongs to."""
    w, h = _number(drawing.width), _number(drawing.height)
    whose = drawing.whose or (NOBODYS,) * len(drawing.marks)
    drawn = [
        dress(owner, "\n  ".join(_mark(mark, drawing.height)))
        for mark, owner in zip(drawing.marks, whose, strict=True)
    ]
    body = "\n".join(f"  {lines}" for lines in drawn)
    return (
        "{\\setlength{\\unitlength}{1mm}%\n"
        f"\\begin{{picture}}({w},{h})\n  \\buttcap\\miterjoin\n{body}\n\\end{{picture}}}}"
    )


def _mark(mark: Drawn, height: float) -> Iterator[str]:
    def at(position: XY) -> str:
        return f"({_number(position[0])},{_number(height - position[1])})"

    match mark:
        case Stroke(points, weight, closed, filled, dash):
            yield _thickness(weight)
            if dash:
                ring = (*points, points[0]) if closed else points
                for a, b in _dashes(ring, dash):
                    yield rf"\polyline{at(a)}{at(b)}"
            elif closed:
                yield rf"\polygon{'*' if filled else ''}{''.join(map(at, points))}"
            else:
                yield rf"\polyline{''.join(map(at, points))}"
        case Round(centre, radius, weight, filled):
            yield _thickness(weight)
            yield rf"\put{at(centre)}{{\circle{'*' if filled else ''}{{{_number(2 * radius)}}}}}"
        case Bend(centre, radius, start, stop, weight):
            yield _thickness(weight)
            low, high = sorted((-start, -stop))
            yield rf"\put{at(centre)}{{\arc[{_number(low)},{_number(high)}]{{{_number(radius)}}}}}"
        case Label():
            yield _label(mark, height)


def _thickness(weight: float) -> str:
    return rf"\linethickness{{{_number(weight)}mm}}"


def _dashes(points: tuple[XY, ...], dash: tuple[float, ...]) -> Iterator[tuple[XY, XY]]:
    """The drawn pieces of a dashed line; the pattern starts anew at each corner."""
    for a, b in pairwise(points):
        length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
        reached, k = 0.0, 0
        while reached < length - 1e-9:
            step = min(dash[k % len(dash)], length - reached)
            if k % 2 == 0:
                ends = [
                    (a[0] + (b[0] - a[0]) * d / length, a[1] + (b[1] - a[1]) * d / length)
                    for d in (reached, reached + step)
                ]
                yield ends[0], ends[1]
            reached, k = reached + step, k + 1


def _label(label: Label, height: float) -> str:
    points = label.size / _CAPITALS * _POINTS_IN_MM
    size = min(_SIZES, key=lambda known: abs(known - points))
    x, y = label.at[0], height - label.at[1] - label.size / 2
    text = "".join(map(_run, label.runs))
    if label.bold:
        text = rf"\textbf{{{text}}}"
    font = rf"\fontsize{{{_number(size)}}}{{{_number(1.2 * size)}}}\selectfont "
    anchor = _ANCHORS[label.anchor]
    return rf"\put({_number(x)},{_number(y)}){{\makebox(0,0)[{anchor}]{{{font}{text}}}}}"


def _run(run: Run) -> str:
    text = "".join(_LETTERS.get(letter, letter) for letter in run.text)
    if run.lowered:
        return rf"\ensuremath{{_{{\mathrm{{{text}}}}}}}"
    return (
        rf"\ensuremath{{\mathit{{{text}}}}}"
        if run.italic and len(run.text) > 1
        else (rf"\ensuremath{{{text}}}" if run.italic else text)
    )


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".") if abs(value) > 5e-4 else "0"
