"""A lecture through the typesetter: slides, notes with four frames on a page, and numbered frames.

What a frame looks like stands in `board_frame.typ`; what is written here is only calls of it. A line is
written once for each way it is marked, and a figure once for each state it is in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Literal

from ..expressions.nodes import Equation, Expr
from ..expressions.said import Said
from ..expressions.terms import LANGUAGE
from ..expressions.writers import spoken
from ..expressions.writers import typst as maths
from ..figure.drawing import Whose
from ..legible import legible
from ..sheet.pdf import RELATIONS, quoted, typeset
from .figures import scale_of
from .frame_figure import figure_at
from .marked_parts import PartMarks, marked, marked_pieces, part_marks
from .parts import Path as PartPath
from .room import USUAL_SHAPE, in_sight, is_wide, remark_size, size_of, title_size
from .stage import BoardFigure, BoardLine, BoardStage, FigureState, MarkKind, Plan, SceneChange, changes

TEMPLATE = Path(__file__).with_name("board_frame.typ").read_text(encoding="utf-8")
UNIT = 4.5  # mm: the fortieth part of the height of a slide, which is 180 mm high
PER_INCH = 1080 / (40 * UNIT) * 25.4  # pixels, so that a frame is 1080 high
NEWEST = 16  # lines that there might be room for; the typesetter measures them
_CALLS = {"new": "fresh", "used": "used", "changed": "changed", "struck": "struck"}


def slides(plan: Plan, *, look: str = "dark", shape: str = USUAL_SHAPE) -> bytes:
    """One page a stage, as a tagged PDF; the same lecture gives the same bytes. `shape`: of the frame, one of
    `room.SHAPES`, here and below."""
    return typeset(_source(plan, plan.stages, look, shape, f"slides({UNIT}mm,"), "pdf")[0]


def notes(plan: Plan, *, paper: str = "a4", shape: str = USUAL_SHAPE) -> bytes:
    """Four frames on a page with rules to write on, those after which something else begins."""
    sheet = "us-letter" if paper == "letter" else "a4"
    return typeset(_source(plan, settled(plan), "light", shape, f"notes({quoted(sheet)},"), "pdf")[0]


def frames(
    plan: Plan, form: Literal["svg", "png"], *, look: str = "dark", shape: str = USUAL_SHAPE
) -> list[bytes]:
    """Every stage as a picture by itself, as PNG 1080 high and 1920 or 1440 wide."""
    return typeset(_source(plan, plan.stages, look, shape, f"slides({UNIT}mm,"), form, PER_INCH)


def settled(plan: Plan) -> list[BoardStage]:
    """The stages that are whole: the next one does not merely add to the same line, put down another arrow or
    point at something."""
    found: list[BoardStage] = []
    for stage, after in pairwise(plan.stages):
        made = changes(stage.scene, after.scene)
        grows = all(kind in (SceneChange.GROWN, SceneChange.ARROW) for kind, _ in made)
        if not grows or after.chapter != stage.chapter:
            found.append(stage)
    return [*found, plan.stages[-1]]


def _source(plan: Plan, stages: Sequence[BoardStage], look: str, shape: str, call: str) -> str:
    language, _, region = LANGUAGE[plan.terms].partition("-")
    opening = (
        f"#let look = {quoted(look)}\n#let shape = {quoted(shape)}\n"
        f"#set document(title: {quoted(plan.title)}, date: none)\n"
        f"#set text(lang: {quoted(language)}, region: {quoted(region) if region else 'none'})\n"
    )
    writer = _Frames(plan, look, shape)
    called = "".join(f"  {stage},\n" for stage in writer.stages(stages))
    return legible(f"{opening}{TEMPLATE}\n{''.join(writer.defined)}#{call}\n{called})\n")


class _Frames:
    """One run of the writer: the lines and figures met so far, each defined once."""

    def __init__(self, plan: Plan, look: str, shape: str) -> None:
        self.plan, self.look, self.shape = plan, look, shape
        self.title = title_size(plan, shape)
        self.defined: list[str] = []
        self.names: dict[object, str] = {}

    def stages(self, stages: Sequence[BoardStage]) -> Iterator[str]:
        """Every stage as the arguments of a frame."""
        chapter = ""
        for stage in stages:
            begins, chapter = stage.chapter != chapter, stage.chapter
            whole = {m.line: str(m.kind) for m in stage.light.marks if m.side < 0}
            newest = {line.key for line in stage.scene.lines[-NEWEST:]}
            lines = "".join(
                f"({self.line(line, part_marks(stage, line.key))}, {quoted(self.kind(whole, line))}), "
                for line in stage.scene.lines
                if line.key in newest or line.key in whole
            )
            figure = self.plan.figures.get(stage.scene.figure.name)
            aside = any(
                is_wide(stage.scene.line(key), self.shape)
                for key in in_sight(stage.scene, stage.light, self.shape)
            )
            drawn = self.figure(figure, stage) if figure and not aside else "none"
            told = f"{stage.chapter} · {stage.number} of {len(self.plan.stages)}"
            remark = self.remark(stage.light.remark, aside) if stage.light.remark else "none"
            first = f"{quoted(self.plan.title)}, {self.title:.2f}, {quoted(told)}, {str(begins).lower()}"
            yield f"({first}, {str(aside).lower()}, {drawn}, ({lines}), {remark})"

    @staticmethod
    def kind(whole: Mapping[int, str], line: BoardLine) -> str:
        """How a line is marked as a whole."""
        kind = whole.get(line.key, "")
        return kind if kind in (MarkKind.NEW, MarkKind.USED) else ""

    def line(self, line: BoardLine, marks: PartMarks) -> str:
        """The name of a line as it is marked."""
        return self._named((line, marks), "line", lambda: self._line(line, marks))

    def figure(self, figure: BoardFigure, stage: BoardStage) -> str:
        """The name of a figure in the state of a stage."""
        state, lit = stage.scene.figure, stage.light.parts
        return self._named((state, lit), "figure", lambda: self._figure(figure, state, lit))

    def _named(self, key: object, kind: str, write: Callable[[], str]) -> str:
        if key not in self.names:
            self.names[key] = f"{kind}-{len(self.names) + 1}"
            self.defined.append(f"#let {self.names[key]} = {write()}\n")
        return self.names[key]

    def _figure(self, figure: BoardFigure, state: FigureState, lit: Sequence[Whose]) -> str:
        width = figure.drawing.width * scale_of(figure, self.shape)
        markup = quoted(figure_at(figure, state, lit, self.look))
        return (
            f"(svg: {markup}, said: {quoted(figure.words)}, width: {width:.2f}, "
            f"caption: {quoted(figure.caption)})"
        )

    def _line(self, line: BoardLine, marks: PartMarks) -> str:
        number = f"({line.number})" if line.number else ""
        kind = (
            f"words: {str(bool(line.words)).lower()}, head: {str(line.head).lower()}, "
            f"result: {str(line.result).lower()}, number: {quoted(number)}, "
            f"size: {size_of(line, self.shape):.2f}"
        )
        if line.words:
            return f"({kind}, body: {self.text(line.words)})"
        pieces = "".join(f"{self.piece(*piece)}, " for piece in marked_pieces(line, marks, self.shape))
        return f"({kind}, pieces: ({pieces}))"

    def piece(self, before: str, expr: Expr, marks: Sequence[tuple[PartPath, str]]) -> str:
        """A piece of a formula as a call of the template."""
        roles = self.plan.roles
        joint = f"{RELATIONS.get(before, before)} " if before else ""
        markup = marked(expr, roles, marks, maths.render, lambda part, kind: f"{_CALLS[kind]}({part})")
        said = spoken.render(expr, roles)
        return f"piece(${joint}{markup}$, {quoted(said)})"

    def remark(self, remark: Said, aside: bool) -> str:
        """A remark with its size of type."""
        return f"(size: {remark_size(remark, self.shape, aside=aside):.2f}, body: {self.text(remark)})"

    def text(self, text: Said) -> str:
        """Running text as a content literal."""
        return "[" + "".join(map(self.words, text)) + "]"

    def words(self, piece: str | Expr | Equation) -> str:
        """A piece of running text."""
        if isinstance(piece, str):
            return f"#{quoted(piece)};"
        roles = self.plan.roles
        return f"#piece(${maths.render(piece, roles)}$, {quoted(spoken.render(piece, roles))});"
