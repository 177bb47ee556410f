"""A lecture for those who cannot see it, and the page of its recording, as documents of the sheet's model.

The description tells what moves on the board at every stage: what is drawn, written, lit, struck or wiped.
The page of a recording holds its figures, its chapters with their times, its formulas and all that is said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

from ..circuit.names import listed
from ..expressions.nodes import Equation
from ..expressions.said import OwnWords, Said
from ..expressions.terms import LANGUAGE
from ..figure.drawing import Whose
from ..sheet.document import Block, DisplayedLine, Document, Heading, Listing, Paragraph, Picture, Table, Text
from .script import clock
from .stage import Became, BoardLine, BoardStage, MarkKind, Plan, Scene, SceneChange, changes
from .timeline import Showing, chapters_of, planned

_KINDS = {"element": "", "arrow": "the arrow of ", "wire": "the wire of ", "point": "point ", "loop": "loop "}


def description(plan: Plan, showings: Sequence[Showing] = (), *, paper: str = "a4") -> Document:
    """What moves on the board, stage by stage, with the time of each."""
    showings = showings or planned(plan)
    blocks: list[Block] = []
    waiting: list[Text] = []
    chapter = ""
    before = Scene()
    for showing in showings:
        stage = showing.stage
        if stage.chapter != chapter:
            blocks += [Listing(tuple(waiting))] if waiting else []
            waiting, chapter = [], stage.chapter
            blocks.append(Heading(chapter))
        told = tuple(chain.from_iterable(_moves(plan, before, stage)))
        if told:
            waiting.append((OwnWords(f"{clock(showing.start)} "), *told))
        before = stage.scene
    blocks += [Listing(tuple(waiting))] if waiting else []
    title = f"{plan.title}: what is to be seen"
    return Document(title, tuple(blocks), plan.roles, LANGUAGE[plan.terms], paper)


def recording(plan: Plan, showings: Sequence[Showing] = (), *, paper: str = "a4") -> Document:
    """The page that stands beside a recording."""
    showings = showings or planned(plan)
    times = [((OwnWords(clock(start)),), (title,)) for title, start, _ in chapters_of(tuple(showings))]
    blocks: list[Block] = [Table("Chapters", (("Begins",), ("Chapter",)), tuple(times))]
    shown: set[str] = set()
    written: set[tuple[object, ...]] = set()
    last = {line.key: line for stage in plan.stages for line in stage.scene.lines}
    for title, start, end in chapters_of(tuple(showings)):
        blocks.append(Heading(f"{title}, {clock(start)}"))
        own = [s.stage for s in showings if s.spoken and start <= s.start < end]
        for stage in own:
            figure = plan.figures.get(stage.scene.figure.name)
            if figure is not None and figure.name not in shown:
                shown.add(figure.name)
                blocks.append(Picture(figure.drawing, figure.words, figure.caption))
        for line in dict.fromkeys(line for stage in own for line in stage.scene.lines):
            whole = last[line.key]
            if whole.sides and whole.sides not in written:
                written.add(whole.sides)
                blocks.append(DisplayedLine(whole.sides, whole.number, (), whole.result, whole.relation))
        blocks.append(Paragraph((OwnWords(" ".join(stage.words for stage in own)),)))
    return Document(f"{plan.title}: the recording", tuple(blocks), plan.roles, LANGUAGE[plan.terms], paper)


def _moves(plan: Plan, before: Scene, stage: BoardStage) -> Iterator[Said]:
    """What is to be seen as a stage comes on: what changed, then what is lit and marked."""
    for kind, name in changes(before, stage.scene):
        match kind:
            case SceneChange.FIGURE:
                yield (
                    "The figure is drawn. ",
                    OwnWords(" ".join(plan.figures[name].words.splitlines())),
                    " ",
                )
            case SceneChange.ARROW:
                yield (f"An arrow is drawn for {name}. ",)
            case SceneChange.LOOP:
                yield (f"Loop {name} is drawn with its sense of travel. ",)
            case SceneChange.ELEMENT:
                yield (_became(stage, name.split()),)
            case SceneChange.WRITTEN:
                yield ("A line is written: ", *_line(stage.scene.line(int(name))), " ")
            case SceneChange.GROWN:
                yield ("The line grows to ", *_line(stage.scene.line(int(name))), " ")
            case SceneChange.RUBBED_OUT:
                yield ("A line is rubbed out. ",)
            case SceneChange.WIPED:
                yield ("The board is wiped. ",)
    lit = [_KINDS[kind] + name for kind, name in _worth_telling(stage.light.parts)]
    if lit:
        yield (f"Lit: {listed(lit)}. ",)
    struck = [m for m in stage.light.marks if m.kind is MarkKind.STRUCK]
    if struck:
        yield (f"Struck out: {'one part' if len(struck) == 1 else f'{len(struck)} parts'}. ",)


def _became(stage: BoardStage, names: Sequence[str]) -> str:
    now = dict(stage.scene.figure.became)
    what = {Became.GAP: "a gap", Became.WIRE: "a wire"}
    told = [f"{name} fades to {what[now[name]]}" if name in now else f"{name} is back" for name in names]
    return f"{listed(told)}. "


def _line(line: BoardLine) -> Said:
    """A line as running text that ends as a sentence does."""
    if line.words:
        ended = isinstance(line.words[-1], str) and line.words[-1].rstrip()[-1:] in (".", "?", "!")
        return line.words if ended else (*line.words, ".")
    first, *rest = line.sides
    if not rest:
        return (first, ".")
    told: Said = (Equation(first, rest[0], line.displayed.relations[0]),)
    for side in rest[1:]:
        told = (*told, ", which equals ", side)
    return (*told, ".")


def _worth_telling(parts: Sequence[Whose]) -> list[Whose]:
    """Of an arrow lit with its wire the arrow alone."""
    arrows = {name for kind, name in parts if kind == "arrow"}
    return [
        (kind, name) for kind, name in parts if kind in _KINDS and not (kind == "wire" and name in arrows)
    ]
