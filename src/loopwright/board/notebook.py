"""How a lecture shows itself: as text where it is printed, as a table with its first figure in a notebook.

Stands here and not in `show`, which lies below and knows no lecture; it is entered in the tables there.
Nothing in it is a script or a style of its own, so that a strict content policy lets it through.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..expressions.said import OwnWords, Said
from ..figure.svg import svg
from ..show.results import as_html, rows
from ..show.rows import Cells, rows_in_html
from .script import clock, length
from .stage import BoardLine, Plan, Scene, SceneChange, changes


@rows.register
def _plan(plan: Plan) -> Sequence[Cells]:
    """Each stage: when it begins, what it writes, what is said; how long the lecture takes at the end."""
    found: list[Cells] = []
    before, starts = Scene(), 0.0
    for stage in plan.stages:
        written: Said = ()
        for kind, name in changes(before, stage.scene):
            if kind in (SceneChange.WRITTEN, SceneChange.GROWN):
                written = _formula(stage.scene.line(int(name)))
        found.append(((clock(starts),), written, (OwnWords(stage.words),)))
        before, starts = stage.scene, starts + stage.seconds
    return [*found, ((clock(starts),), (), (length(plan),))]


def _formula(line: BoardLine) -> Said:
    """The formula of a line, side by side; nothing of a line in words."""
    told: Said = line.sides[:1]
    for relation, side in zip(line.displayed.relations, line.sides[1:], strict=True):
        told = (*told, f" {relation} ", side)
    return told


@as_html.register
def _plan_drawn(plan: Plan) -> str:
    """The same below the figure that the lecture begins with."""
    first = next(iter(plan.figures.values()), None)
    drawn = svg(first.drawing, first.caption or plan.title, first.words) if first else ""
    return drawn + rows_in_html(rows(plan))
