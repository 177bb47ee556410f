"""The way in: where a circuit stands, and its drawing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from ..circuit.circuit import Circuit
from ..circuit.embedding import embedding
from ..graph.lines import Loop
from .compose import Composed, composed, scaled
from .drawing import Drawing, Label
from .layout_auto import automatic
from .layout_like import placed_like
from .layout_placed import is_placed, placed
from .placement import Placement, seen_otherwise
from .put_in_place import put_in_place
from .same_size import drawn_alike

STYLES = ("iec", "ieee")
MOST_DRAWN = 40  # branches; a figure of more cannot be read from a seat, and takes minutes to lay out
MOST_CROSSED = 13  # branches of a circuit that does not lie flat: leading more across takes minutes


def where(circuit: Circuit) -> Placement:
    """Where everything stands on a grid: on the circuit's places when each point has one, else automatic;
    then mirrored and turned where its page says so."""
    page = circuit.page
    if not page.figure:
        return _laid_out(circuit)
    plain = _laid_out(replace(circuit, page=replace(page, figure="")))
    return seen_otherwise(plain, mirrored=page.mirrored, turned=page.turned)


def _laid_out(circuit: Circuit) -> Placement:
    if is_placed(circuit):
        try:
            return placed(circuit)
        except ValueError:  # the places leave some wire no way: they are a wish, not a condition
            return automatic(circuit)
    return automatic(circuit)


def is_drawn(circuit: Circuit) -> bool:
    """Whether a figure is made: with places of one's own, or small enough to be read and quick to lay out."""
    count = len(circuit.branches)
    if is_placed(circuit) or count <= MOST_CROSSED:
        return True
    return count <= MOST_DRAWN and embedding(circuit) is not None


def draw(
    circuit: Circuit,
    *,
    resistors: str = "iec",
    loops: Sequence[Loop] = (),
    loop_names: Sequence[str] = (),
    width: float | None = None,
    values: bool = True,
    like: Circuit | None = None,
    gaps: Sequence[str] = (),
    levels: Mapping[str, str] | None = None,
) -> Drawing:
    """The figure of a circuit in millimetres.

    `resistors`: rectangles ("iec") or zigzags ("ieee"). `loops`: loops to be shown with their sense, each
    as (branch, sense) pairs, called `loop_names` (default 1, 2, ...; the name of a quantity is set as one).
    `levels`: what is written at points beside their names, by point. `width`: the width in mm, letters in
    proportion; by default as narrow as can be. `values`: whether values stand beside the names.
    `like`: the circuit that this one was made from by some change (a source replaced by a wire, parts made
    one, a branch cut out); what both have then stands where it stands in the figure of that one. An open
    switch named as another element of that one is shown as a gap. `gaps`: the branches of that one, cut out
    of this, that are shown with a gap.
    Raises ValueError for another style of resistor.
    """
    if resistors not in STYLES:
        raise ValueError(f"resistors are drawn as {' or '.join(STYLES)}, not {resistors}")
    names = [*loop_names, *(str(k + 1) for k in range(len(loop_names), len(loops)))][: len(loops)]
    placement, before = None, None
    if like is not None:
        original = like.remembered(_PLAIN[resistors, values])
        in_place = not (loops or levels or gaps)
        same = put_in_place(circuit, like, original, resistors, values) if in_place else None
        if same is not None:
            return _in_size(same, width)
        placement = placed_like(circuit, like, like.remembered(where), gaps, original.legs)
        before = original if placement is not None else None
    if before is None and not loops and not levels and placement is None:
        found = circuit.remembered(_PLAIN[resistors, values])
    elif before is None and not levels and placement is None:
        return _in_size(with_loops(circuit, tuple(loops), tuple(names), resistors, values), width)
    else:
        placed_so = placement or circuit.remembered(where)
        found = composed(circuit, placed_so, tuple(loops), names, resistors, values, before, levels)
    return _in_size(found.drawing, width)


def _in_size(drawing: Drawing, width: float | None) -> Drawing:
    return drawing if width is None else scaled(drawing, width)


def with_loops(
    circuit: Circuit, loops: tuple[Loop, ...], names: tuple[str, ...], resistors: str, values: bool
) -> Drawing:
    """The circuit with loops drawn into it, which takes longest of all: what was found for the same circuit
    in other numbers of as many digits is taken again."""

    def made(of: Circuit) -> Drawing:
        return composed(of, of.remembered(where), loops, names, resistors, values).drawing

    return drawn_alike(circuit, (loops, names, resistors, values), made)


def _plainly(resistors: str, values: bool) -> Callable[[Circuit], Composed]:
    """How a circuit is put down by itself: one function for each style, so that a circuit remembers it."""
    return lambda circuit: composed(circuit, circuit.remembered(where), (), (), resistors, values)


_PLAIN = {(style, values): _plainly(style, values) for style in STYLES for values in (True, False)}


def undrawn(drawing: Drawing, loop_names: Sequence[str]) -> tuple[str, ...]:
    """The loops, of those a drawing was to show, that it has no room for: not more than two are shown that
    go round several meshes, and none where nothing is free inside."""
    shown = {mark.base + mark.sub for mark in drawing.marks if isinstance(mark, Label)}
    return tuple(name for name in loop_names if name not in shown)
