"""The working by another method than branch currents, as blocks: what it speaks of, then its lines."""

from __future__ import annotations

from dataclasses import replace

from ..circuit.circuit import Circuit
from ..derive.steps import Derivation, FigureNeed
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from .document import Block, Heading, Paragraph, Picture
from .sections import ARROWS, numbers_given, step_lines, with_units


def method_blocks(
    circuit: Circuit, symbols: Derivation | None, numbers: Derivation | None, resistors: str
) -> tuple[Block, ...]:
    """What the method speaks of, and its lines in symbols, in numbers or both. Circuits that it redraws are
    drawn once, before the lines that speak of them."""
    shown = symbols or numbers
    if shown is None:
        return ()
    blocks: list[Block] = [Heading(shown.method.capitalize()), Paragraph((ARROWS,))]
    blocks += [Paragraph(told) for told in shown.opening]
    if symbols is not None:
        blocks.append(Heading("Solution in symbols"))
        blocks += _lines(circuit, symbols, resistors)
    if numbers is not None:
        blocks.append(Heading("Solution in numbers"))
        blocks.append(Paragraph((*numbers_given(circuit), f", all in {numbers.unit_words}:")))
        blocks += _lines(circuit, numbers, resistors, redrawn=symbols is None)
    return tuple(blocks)


def first_figure(circuit: Circuit, derivation: Derivation) -> FigureNeed | None:
    """What is drawn over the figure of the sheet, the circuit with its values as the person gave them; None
    where the method asks nothing of it."""
    for need in derivation.figures:
        if need.like is None and need.circuit.branches == circuit.branches:
            return replace(need, circuit=circuit)
    return None


def _lines(circuit: Circuit, derivation: Derivation, resistors: str, *, redrawn: bool = True) -> list[Block]:
    """The lines, each after the figures that stand before it."""
    waiting = [n for n in derivation.figures if n.like is not None or n.circuit.branches != circuit.branches]
    waiting = waiting if redrawn else []
    found: list[Block] = []
    for step in derivation.steps:
        for need in [need for need in waiting if need.before <= step.number]:
            waiting.remove(need)
            if is_drawn(need.circuit):
                found.append(picture(need, resistors))
            elif need.caption:
                found.append(Paragraph((need.caption,)))
        lines = step_lines(step)
        found += with_units(lines, step, derivation) if derivation.unit_words else lines
    return found


def picture(need: FigureNeed, resistors: str) -> Picture:
    """The figure that a method needs, with the words that stand for it."""
    drawing = draw(
        need.circuit,
        resistors=resistors,
        loops=[loop for _, loop in need.loops],
        loop_names=[name for name, _ in need.loops],
        levels=need.levels,
        like=need.like,
        gaps=need.gaps,
    )
    written = [f"At point {point} is written {text}." for point, text in need.levels.items()]
    return Picture(drawing, "\n".join((describe(need.circuit), *written)), need.caption)
