"""The lecture on paper for those who listen: its lines by chapters, chosen ones left empty, and the key.

Every line stands as it is at the end, with the words that lead to it. What is left empty is chosen by act or
by the number of a line. In the key the same lines stand in frames, and nothing else does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..circuit.board_wishes import ACTS, GAPS
from ..errors import FaultyMaterial
from ..expressions.nodes import Expr, Quotient, Symbol, parts_of
from ..expressions.said import Said
from ..expressions.terms import LANGUAGE
from ..findings import Finding
from ..sheet.document import Block, DisplayedLine, Document, Gap, Heading, Paragraph, Picture
from .room import pieces_of, size_of
from .stage import BoardLine, BoardStage, LectureAct, Plan, Scene, SceneChange, changes

Chosen = Sequence[str | int]  # acts and numbers of lines


def handout(plan: Plan, gaps: Chosen = (), *, filled: bool = False, paper: str = "a4") -> Document:
    """The handout or, `filled`, its key. `gaps`: what is left empty, acts and numbers of lines; by default
    the equations, the results and the numbers. Raises FaultyMaterial where a number is that of no line."""
    chosen = tuple(gaps) or GAPS
    _known(plan, chosen)
    blocks = tuple(_Handout(plan, frozenset(map(str, chosen)), filled).blocks())
    key = ": the key" if filled else ""
    return Document(f"{plan.title}{key}", blocks, plan.roles, LANGUAGE[plan.terms], paper)


def _known(plan: Plan, chosen: Chosen) -> None:
    numbers = sorted({line.number for stage in plan.stages for line in stage.scene.lines if line.number})
    for one in chosen:
        if str(one) in ACTS or (str(one).isdecimal() and int(one) in numbers):
            continue
        raise FaultyMaterial(
            Finding(
                "board/no-line",
                f"No line of this lecture can be left empty by {one}.",
                f"Name an act, such as equations, or a number from {numbers[0]} to {numbers[-1]}."
                if numbers
                else "Name an act, such as equations; no line here has a number.",
            )
        )


@dataclass(frozen=True, slots=True)
class _Handout:
    """One run: the lecture, what is left empty, and whether it is filled in."""

    plan: Plan
    chosen: frozenset[str]
    filled: bool

    def blocks(self) -> Iterator[Block]:
        """The blocks in the order in which the board is written."""
        told = "What stands in a frame was left empty." if self.filled else "Fill in the empty lines."
        yield Paragraph((told,))
        last = self._last()
        before, figure = Scene(), ""
        lead: Said = ()
        held: list[Block] = []  # the head of a chapter, until something stands below it
        for at, stage in enumerate(self.plan.stages):
            if at == 0 or stage.chapter != self.plan.stages[at - 1].chapter:
                held = [Heading(stage.chapter)]
            blocks: list[Block] = []
            if stage.scene.figure.name != figure:
                figure = stage.scene.figure.name
                shown = self.plan.figures[figure]
                blocks.append(Picture(shown.drawing, shown.words, shown.caption))
            made = changes(before, stage.scene)
            for kind, name in made:
                if kind is SceneChange.LOOP:
                    lead = stage.light.remark
                if kind is SceneChange.WRITTEN:
                    blocks += self._line(stage, last[int(name)], lead or stage.light.remark)
                    lead = ()
            if not made and stage.pause:
                blocks += [Paragraph(stage.light.remark), *([] if self.filled else [Gap()])]
            if blocks:
                yield from (*held, *blocks)
                held = []
            before = stage.scene

    def _last(self) -> dict[int, BoardLine]:
        """Every line as it stands at the end, by its key."""
        return {line.key: line for stage in self.plan.stages for line in stage.scene.lines}

    def _line(self, stage: BoardStage, line: BoardLine, lead: Said) -> Iterator[Block]:
        empty = self._is_empty(stage, line)
        if line.words:
            if not (line.head and line.words == (stage.chapter,)):
                yield from self._words(stage, line, empty)
        elif empty and not self.filled:
            asked: Said = ("What is ", line.sides[0], "?") if isinstance(line.sides[0], Symbol) else ()
            yield Gap(_rows(line), line.number, lead or asked)
        else:
            yield DisplayedLine(line.sides, line.number, lead, empty, line.relation)

    def _words(self, stage: BoardStage, line: BoardLine, empty: bool) -> Iterator[Block]:
        """A line in words; where it is left empty, only the words before its first formula stand."""
        at = next((k for k, piece in enumerate(line.words) if not isinstance(piece, str)), None)
        kept = at is None or stage.pause or (at == 0 and stage.act is not LectureAct.NUMBERS)
        if kept or not empty or self.filled:
            yield Paragraph(line.words)
        else:
            yield Gap(2 if at else 1, 0, line.words[:at])

    def _is_empty(self, stage: BoardStage, line: BoardLine) -> bool:
        if str(stage.act) in self.chosen:
            return not line.head and stage.act is not LectureAct.QUESTION
        return bool(line.number) and str(line.number) in self.chosen


def _rows(line: BoardLine) -> int:
    """How many rules a line needs: two where it holds a fraction, one more for every row it breaks into."""
    tall = any(_has_fraction(side) for side in line.sides)
    wide = sum(piece.width for piece in pieces_of(line)) * size_of(line)
    return (2 if tall else 1) + int(wide > 40)


def _has_fraction(expr: Expr) -> bool:
    return isinstance(expr, Quotient) or any(map(_has_fraction, parts_of(expr)))
