"""The beginning of a lecture: the bare circuit, the question, the arrows one by one, and what is expected."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from ..checks.remarks.directions import Direction, WhichWay
from ..circuit.circuit import Circuit
from ..expressions.nodes import Symbol
from ..expressions.said import OwnWords, Said
from ..figure.describe import describe
from ..figure.figure import is_drawn
from ..sheet.document import Paragraph
from ..sheet.sections import opening_blocks
from .stage import BoardFigure, LectureAct
from .staging import Staging

MOST_ASKED = 2  # questions to the room about directions


def circuit_stage(staging: Staging, circuit: Circuit, drawn: Callable[[str], BoardFigure]) -> None:
    """The bare circuit; its story where there is one. `drawn`: its figure under a name."""
    staging.begin(LectureAct.CIRCUIT, "The circuit")
    summary = describe(circuit).splitlines()[0]
    said: Said = (OwnWords(circuit.story),) if circuit.story else (summary,)
    if is_drawn(circuit):
        staging.draw(staging.made(drawn), said)
    else:
        staging.write(said, words=(summary,))


def question_stage(staging: Staging, circuit: Circuit) -> None:
    """What is given as a result, if anything, and what is to be found."""
    staging.begin(LectureAct.QUESTION, "The question")
    for block in opening_blocks(circuit):
        if isinstance(block, Paragraph) and not any(isinstance(p, OwnWords) for p in block.text):
            staging.write(block.text, words=block.text)


def arrow_stages(staging: Staging, circuit: Circuit, directions: Sequence[Direction]) -> None:
    """Every arrow put down, and a question to the room about those that may surprise."""
    put_down_stages(staging, circuit)
    if ("arrow", circuit.currents[0]) not in staging.figure.parts:
        return
    for direction in _surprising(directions):
        question: Said = ("Which way do you expect ", Symbol(direction.current), " to run?")
        parts = [("arrow", direction.current), ("wire", direction.current)]
        staging.point(question, parts=parts, pause=staging.pace.silence(LectureAct.ARROWS))


def put_down_stages(staging: Staging, circuit: Circuit) -> None:
    """Every arrow put down; none where no figure stands."""
    staging.begin(LectureAct.ARROWS, "Arrows")
    if ("arrow", circuit.currents[0]) not in staging.figure.parts:
        return
    for k, branch in enumerate(circuit.branches):
        name = Symbol(branch.name)
        if k == 0:
            said: Said = (
                "An arrow shows in which direction a current is counted positive; any choice will do. ",
                *(name, f" is counted from {branch.start} to {branch.end}."),
            )
        else:
            said = (name, f" from {branch.start} to {branch.end}.")
        staging.arrow(branch.name, said)


def _surprising(directions: Sequence[Direction]) -> list[Direction]:
    """Currents that run against their arrows, else those of which the values decide, else the first."""
    against = [d for d in directions if d.way is WhichWay.AGAINST or (d.number is not None and d.number < 0)]
    open_ones = [d for d in directions if d.way is WhichWay.DEPENDS]
    return (against or open_ones or list(directions[:1]))[:MOST_ASKED]
