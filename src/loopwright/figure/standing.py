"""A figure that is worked on: its drawing, and where its points and branches stand in it.

A circuit changed a little keeps its picture: what both circuits have stands where it stood, as far as there
is room. Knows no page; a page lays what can be touched over the drawing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from ..circuit.circuit import Circuit
from .compose import Composed, composed
from .drawing import XY, Drawing, Whose
from .figure import where
from .layout_like import placed_like
from .room import Box, around, boxes_of


@dataclass(frozen=True, slots=True)
class OnPaper:
    """A circuit as it stands on paper. All lengths are in mm of its drawing. `kept`: whether it stands on the
    cells of the circuit that it was made from."""

    circuit: Circuit
    composed: Composed
    kept: bool = False

    @property
    def drawing(self) -> Drawing:
        """The drawing itself."""
        return self.composed.drawing

    @property
    def points(self) -> Mapping[str, XY]:
        """Where each point of the circuit has its dot."""
        dots = self.composed.placement.dots
        return {point: self.composed.at(dots[point][0]) for point in self.circuit.points if dots.get(point)}

    @property
    def routes(self) -> Mapping[str, tuple[XY, ...]]:
        """The corners of each branch along its arrow."""
        routes = self.composed.placement.routes
        return {name: tuple(map(self.composed.at, path)) for name, path in routes.items()}

    @property
    def places(self) -> Mapping[str, tuple[float, float]]:
        """The place of each point on the grid, to the right and upwards: the one that the circuit gives it,
        else its column and row."""
        given = self.circuit.places
        if given:
            return {point: (float(x), float(y)) for point, (x, y) in given.items()}
        page = self.circuit.page
        whole = self.composed.placement
        if page.figure:  # which mirrors and turns whatever the places are
            whole = where(replace(self.circuit, page=replace(page, figure="")))
        dots, rows = whole.dots, whole.rows
        cells = {point: dots[point][0] for point in self.circuit.points if dots.get(point)}
        return {point: (float(c), float(rows - 1 - r)) for point, (c, r) in cells.items()}

    def arrow(self, branch: str) -> tuple[XY, XY] | None:
        """The straight part of a branch beside which its arrow stands, along the arrow; None where none
        does."""
        for leg in self.composed.legs:
            if leg.branch == branch and any(slot.is_arrow for slot in leg.slots):
                return self.composed.at(leg.start), self.composed.at(leg.end)
        return None

    @property
    def boxes(self) -> Mapping[Whose, Box]:
        """The room that each element and each arrow takes, its letters included, by what it is."""
        held: dict[Whose, list[XY]] = {}
        for mark, owner in zip(self.drawing.marks, self.drawing.whose, strict=True):
            if owner[0] in ("element", "arrow"):
                corners = [((b.left, b.top), (b.right, b.foot)) for b in boxes_of(mark)]
                held.setdefault(owner, []).extend(corner for pair in corners for corner in pair)
        return {owner: around(corners) for owner, corners in held.items()}


def standing(circuit: Circuit, like: OnPaper | None = None, *, resistors: str = "iec") -> OnPaper:
    """The circuit on paper. `like`: how the circuit stood that this one was made from by a small change.

    Raises ValueError where nothing can be laid out, as when a part hangs loose.
    """
    alike = like is not None and like.circuit.page.figure == circuit.page.figure
    if like is not None and alike and like.circuit.places == circuit.places:
        was = like.composed
        placement = placed_like(circuit, like.circuit, was.placement, legs=was.legs)
        if placement is not None:
            as_before = composed(circuit, placement, (), (), resistors, True, like.composed)
            return OnPaper(circuit, as_before, kept=True)
    return OnPaper(circuit, composed(circuit, where(circuit), (), (), resistors, True))
