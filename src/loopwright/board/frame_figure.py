"""A figure as it stands at one stage, as SVG by itself: what is down, lit, faded or become a wire, in the
tones of the frame. The rules are those of the page for the lecture hall."""

from __future__ import annotations

from collections.abc import Collection

from ..figure.drawing import NOBODYS, Drawing, Whose
from ..figure.svg import svg
from .figures import bridges
from .stage import Became, BoardFigure, FigureState

_TONES = {"dark": ("#f4f1e6", "#ffd75e"), "light": ("#17191f", "#9a3400")}  # ink, what is lit
_RULES = """svg {{ stroke: {ink} }} text {{ fill: {ink}; stroke: none }} [fill="black"] {{ fill: {ink} }}
.faded {{ opacity: 0.16 }} .lit {{ stroke: {lit} }} .lit text {{ fill: {lit} }}
.lit [fill="black"] {{ fill: {lit} }}
.lit path, .lit circle {{ stroke-width: 0.9 }} .arrow.lit path, .loop.lit path {{ stroke-width: 0.6 }}
.point.lit circle {{ stroke-width: 1.8 }}"""


def figure_at(figure: BoardFigure, state: FigureState, lit: Collection[Whose], look: str) -> str:
    """The figure at a stage as one `<svg>` element. `look`: `"dark"` or `"light"`."""
    became = dict(state.became)
    marked: dict[Whose, str] = dict.fromkeys(lit, "lit")
    for name in became:
        marked["element", name] = "faded lit" if ("element", name) in marked else "faded"
    ink, bright = _TONES[look]
    drawing = _standing(figure.drawing, state, became)
    return svg(drawing, named=True, marked=marked, style=_RULES.format(ink=ink, lit=bright))


def _standing(drawing: Drawing, state: FigureState, became: dict[str, Became]) -> Drawing:
    """The drawing without the arrows and loops that are not down, and with wires for what became one."""
    down = {"arrow": state.arrows, "loop": state.loops}
    whose = drawing.whose or (NOBODYS,) * len(drawing.marks)
    kept = [
        (mark, (kind, name))
        for mark, (kind, name) in zip(drawing.marks, whose, strict=True)
        if name in down.get(kind, (name,))
    ]
    strokes = bridges(drawing) if Became.WIRE in became.values() else {}
    for name, what in became.items():
        if what is Became.WIRE and name in strokes:
            kept.append((strokes[name], ("bridge", name)))
    return Drawing(
        drawing.width, drawing.height, tuple(mark for mark, _ in kept), tuple(owner for _, owner in kept)
    )
