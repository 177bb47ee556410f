"""Figure and working of a steady circuit, as blocks: by branch currents, or by a method of one's choice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..circuit.circuit import Circuit
from ..derive.steps import Derivation
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn, undrawn
from ..later import later
from ..methods.methods import BRANCH_CURRENTS
from .document import Block, Paragraph, Picture
from .editions import Edition, Page
from .sections import equation_blocks, number_blocks, symbol_blocks, undrawn_blocks

if TYPE_CHECKING:
    from .method_blocks import first_figure, method_blocks, picture
else:  # no part of a working by branch currents
    first_figure = later("loopwright.sheet.method_blocks", "first_figure")
    method_blocks = later("loopwright.sheet.method_blocks", "method_blocks")
    picture = later("loopwright.sheet.method_blocks", "picture")


def figure_blocks(circuit: Circuit, printed: Derivation, page: Page, *, loops: bool) -> tuple[Block, ...]:
    """The figure, with what the method asks of it; `loops`: with those of the equations."""
    if not is_drawn(circuit):
        return (Paragraph(("The figure is left out: too many branches, or too many that cross.",)),)
    need = first_figure(circuit, printed) if printed.method != BRANCH_CURRENTS else None
    if need is not None:
        drawn = picture(need, page.resistors)
        return (drawn, *undrawn_blocks(undrawn(drawn.drawing, [name for name, _ in need.loops])))
    whole = [s for s in printed.steps if printed.is_of_whole(s)] if loops else []
    travelled = [s for s in whole if s.law is not None and s.law.loop]
    names = [f"({s.number})" for s in travelled]
    drawing = draw(
        circuit,
        resistors=page.resistors,
        loops=[s.law.loop for s in travelled if s.law is not None],
        loop_names=names,
    )
    return (Picture(drawing, describe(circuit)), *undrawn_blocks(undrawn(drawing, names)))


def working_blocks(
    circuit: Circuit, symbols: Derivation | None, numbers: Derivation | None, printed: Derivation, page: Page
) -> tuple[Block, ...]:
    """The equations, and the steps from them to the currents in symbols, in numbers, or both. `printed`: the
    derivation whose equations these are."""
    if printed.method != BRANCH_CURRENTS:
        return method_blocks(circuit, symbols, numbers, page.resistors)
    found = [*equation_blocks(circuit, printed, spare=page.edition is Edition.INSTRUCTOR)]
    if symbols is not None:
        found += symbol_blocks(symbols)
    if numbers is not None:
        found += number_blocks(circuit, numbers, alone=symbols is None)
    return tuple(found)
