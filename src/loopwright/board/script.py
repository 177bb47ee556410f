"""The speaker's script as a document of the sheet's own model, so that every writer of sheets writes it."""

from __future__ import annotations

from ..circuit.names import listed
from ..expressions.said import OwnWords, counted
from ..expressions.terms import LANGUAGE
from ..sheet.document import Block, Document, Heading, Listing, Paragraph, Picture, Text
from .stage import BoardStage, Plan


def clock(seconds: float) -> str:
    """A time as minutes and seconds: `3:05`."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02}"


def script(plan: Plan, *, paper: str = "a4") -> Document:
    """What is said, stage by stage: under each chapter the time it begins, then for every stage its number,
    what is to be seen and the words, as formulas and as they are spoken. `paper`: `"a4"` or `"letter"`."""
    blocks: list[Block] = [Paragraph((length(plan),))]
    chapter, figure = "", ""
    waiting: list[Text] = []
    starts = 0.0
    for stage in plan.stages:
        if stage.chapter != chapter or stage.scene.figure.name != figure:
            blocks += [Listing(tuple(waiting))] if waiting else []
            waiting = []
        if stage.chapter != chapter:
            chapter = stage.chapter
            blocks.append(Heading(f"{chapter}, from {clock(starts)}"))
        if stage.scene.figure.name != figure:
            figure = stage.scene.figure.name
            shown = plan.figures[figure]
            blocks.append(Picture(shown.drawing, shown.words, shown.caption))
        waiting.append(_told(stage))
        starts += stage.seconds
    blocks += [Listing(tuple(waiting))] if waiting else []
    title = f"{plan.title}: what is said"
    return Document(title, tuple(blocks), plan.roles, LANGUAGE[plan.terms], paper)


def length(plan: Plan) -> str:
    """How long a lecture takes and what it leaves out, in a sentence or two."""
    told = f"{counted(len(plan.stages), 'stage')}, {clock(plan.seconds)} minutes."
    if plan.left_out:
        told += f" Left out for the time: {listed([str(cut) for cut in plan.left_out])}."
    return told


def _told(stage: BoardStage) -> Text:
    """A stage: its number, what is said, and how long the silence is."""
    silence = f" (Wait {stage.pause:g} seconds.)" if stage.pause else ""
    return (OwnWords(f"{stage.number}. {stage.words}{silence}"),)
