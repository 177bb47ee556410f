"""One method from its first words to its last line: what it speaks of, its figures, its laws, why they are
enough, and its algebra."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from ..circuit.circuit import Circuit
from ..derive.steps import Derivation, FigureNeed, Move, Step
from ..expressions.said import Said
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from ..graph.lines import Loop
from ..methods.methods import BRANCH_CURRENTS
from ..sheet.document import Paragraph
from ..sheet.method_blocks import picture
from ..sheet.sections import beginning, equation_blocks, is_by_reduction
from .line_stages import law_stages, loop_parts, move_stages
from .stage import BoardFigure, LectureAct
from .staging import Staging, sentences


def figure_of(circuit: Circuit, derivation: Derivation, resistors: str, name: str) -> BoardFigure:
    """The figure that a lecture begins with: the circuit with room kept for the loops of its first method."""
    loops = loops_of(circuit, derivation)
    drawing = draw(
        circuit,
        resistors=resistors,
        loops=[loop for _, loop in loops],
        loop_names=[name for name, _ in loops],
    )
    return BoardFigure(name, drawing, describe(circuit))


def loops_of(circuit: Circuit, derivation: Derivation) -> list[tuple[str, Loop]]:
    """The loops that a method travels or that its currents run round, with their names."""
    need = whole_figure(circuit, derivation)
    if need is not None:
        return list(need.loops)
    if derivation.method != BRANCH_CURRENTS:
        return []
    return [
        (f"({s.number})", s.law.loop)
        for s in derivation.steps
        if s.law is not None and s.law.loop and derivation.is_of_whole(s)
    ]


def whole_figure(circuit: Circuit, derivation: Derivation) -> FigureNeed | None:
    """What a method draws over the figure of the whole circuit, if anything."""
    for need in derivation.figures:
        if need.like is None and need.circuit.branches == circuit.branches:
            return replace(need, circuit=circuit)
    return None


def method_stages(
    staging: Staging, circuit: Circuit, derivation: Derivation, resistors: str, *, working: bool
) -> None:
    """A method told on the figure that stands, from beginning to end or, without its `working`, its equations
    alone."""
    named = derivation.method.capitalize()
    by_branches = derivation.method == BRANCH_CURRENTS
    staging.begin(LectureAct.EQUATIONS, "Equations" if by_branches else named)
    need = whole_figure(circuit, derivation)
    for text in derivation.opening:
        for sentence in sentences(text):
            staging.write(sentence, words=sentence)
    if need is not None:
        _over_the_figure(staging, circuit, need, resistors)
    waiting = [n for n in derivation.figures if n.like is not None or n.circuit.branches != circuit.branches]
    start = beginning(derivation)
    if is_by_reduction(derivation) and by_branches:
        _enough(staging, circuit, derivation)
    shown = circuit
    for k, step in enumerate(derivation.steps):
        for need in [need for need in waiting if need.before <= step.number]:
            waiting.remove(need)
            shown = need.circuit
            _redrawn(staging, need, resistors)
        if k and k == len(start) and step not in start and by_branches:
            _enough(staging, circuit, derivation)
        if k == len(start) and not working:
            return
        if k == len(start):
            staging.begin(LectureAct.WORKING, "Working" if by_branches else staging.chapter)
        _step(staging, shown if not derivation.is_of_whole(step) else circuit, step)
    if len(start) == len(derivation.steps) and start and by_branches:
        _enough(staging, circuit, derivation)


def _step(staging: Staging, circuit: Circuit, step: Step) -> None:
    if step.law is not None:
        law_stages(staging, circuit, step, step.law)
    elif step.move is Move.MAKE_ONE and step.made_one is not None:
        move_stages(staging, step, [("element", name) for name in step.made_one.parts])
    else:
        move_stages(staging, step)


def _enough(staging: Staging, circuit: Circuit, derivation: Derivation) -> None:
    """Why these equations are enough, or why none are needed."""
    last = equation_blocks(circuit, derivation, spare=False)[-1]
    if isinstance(last, Paragraph):
        for sentence in sentences(last.text):
            staging.write(sentence, words=sentence)


def _over_the_figure(staging: Staging, circuit: Circuit, need: FigureNeed, resistors: str) -> None:
    """The loops whose currents a method speaks of, one by one; potentials written at the points."""
    wanted = [name for name, _ in need.loops]
    if need.levels or any(name not in staging.figure.loops for name in wanted):
        told = [f"At {point} the potential is called {text}." for point, text in need.levels.items()]
        said: Said = (" ".join(told),) if told else ("The same figure, with room for the loops.",)
        staging.draw(staging.made(partial(_figure, need, resistors)), said, arrows=circuit.currents)
    for name, loop in need.loops:
        staging.loop(name, (f"{name} runs round this loop.",), loop_parts(circuit, loop))


def _redrawn(staging: Staging, need: FigureNeed, resistors: str) -> None:
    """The circuit as a method changes it."""
    if not is_drawn(need.circuit):
        if need.caption:
            staging.write((need.caption,), words=(need.caption,))
        return
    said: Said = (need.caption or "The circuit drawn again.",)
    staging.draw(staging.made(partial(_figure, need, resistors)), said, arrows=need.circuit.currents)


def _figure(need: FigureNeed, resistors: str, name: str) -> BoardFigure:
    drawn = picture(need, resistors)
    return BoardFigure(name, drawn.drawing, drawn.alternative, need.caption)


def agreed(methods: Sequence[str]) -> Said:
    """That two methods came to the same."""
    return (f"{methods[0].capitalize()} and {methods[1]} give the same currents.",)
