"""What a lecture at the board is made of: stages, each of which changes exactly one thing.

Values only. A `Scene` is what stands on the board: the figure with the arrows and loops that are down, the
elements that have become a gap or a wire, and the lines of the working. A `Light` points at parts of it and
changes nothing. `changes` compares two scenes and says what one has that the other has not: from one stage to
the next that is one thing, or nothing where a stage only points or asks.

Nothing here knows how a board is shown: pages, slides, captions and the script are all written from a `Plan`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from ..expressions.nodes import Expr
from ..expressions.said import Said
from ..figure.drawing import Drawing, Whose
from ..sheet.document import DisplayedLine
from ..shown import Shown


class LectureAct(StrEnum):
    """The parts of a lecture, in their usual order."""

    CIRCUIT = "circuit"
    QUESTION = "question"
    ARROWS = "arrows"
    EQUATIONS = "equations"
    WORKING = "working"
    RESULTS = "results"
    NUMBERS = "numbers"
    LIMITS = "limits"
    CHECKS = "checks"


class Cut(StrEnum):
    """What may be left out of a lecture so that it fits the time, what is missed least first."""

    RESTATED = "results in other forms than the working gave them"
    CHECKS = "the checks one by one"
    LIMITS = "limits beyond the second, and in a limit that was predicted all but what was"
    UNASKED = "what was not asked, just after and long after a switch moves"
    PIECES = "curves beyond the first piece by piece"
    BETWEEN = "lines before they are tidied, where a result is put back"
    AGAIN = "loop equations said again as a whole"
    MEANINGS = "what a voltage between points means"
    OTHER_LOOPS = "loops on which nothing is stored"
    NUMBERED = "functions of the time with their numbers"
    SECOND = "what is done at a later move as it was at the first"
    LOOPS = "loops of the whole circuit, where one is travelled as a storage sees it"


OF_CLOSED_FORMS = (Cut.RESTATED, Cut.CHECKS, Cut.LIMITS, Cut.BETWEEN, Cut.AGAIN, Cut.MEANINGS)
OF_LADDER = (Cut.CHECKS, Cut.LIMITS, Cut.BETWEEN)
OF_TIME = (
    Cut.PIECES,
    Cut.CHECKS,
    Cut.LIMITS,
    Cut.UNASKED,
    Cut.BETWEEN,
    Cut.AGAIN,
    Cut.OTHER_LOOPS,
    Cut.NUMBERED,
    Cut.SECOND,
    Cut.RESTATED,
    Cut.LOOPS,
)


class Became(StrEnum):
    """What an element is drawn as at the end of a limit."""

    GAP = "gap"
    WIRE = "wire"


@dataclass(frozen=True, slots=True)
class BoardFigure:
    """A drawing that stages share, by its `name`; `words` tell it to those who do not see it."""

    name: str
    drawing: Drawing
    words: str
    caption: str = ""

    @property
    def parts(self) -> frozenset[Whose]:
        """Whatever of it can be put down or lit by itself."""
        return frozenset(self.drawing.whose)

    @property
    def loops(self) -> tuple[str, ...]:
        """The names of the loops that it has room for."""
        return tuple(dict.fromkeys(name for kind, name in self.drawing.whose if kind == "loop"))


@dataclass(frozen=True, slots=True)
class FigureState:
    """How the figure stands: which one, the arrows and loops that are down, and what elements have become."""

    name: str = ""
    arrows: tuple[str, ...] = ()
    loops: tuple[str, ...] = ()
    became: tuple[tuple[str, Became], ...] = ()


@dataclass(frozen=True, slots=True)
class BoardLine:
    """A line on the board. `key` stays while it grows. Either a formula (`sides` joined by `relation`, one
    side alone while it is still being written) or plain `words`. `number`: in brackets beside it, 0 for none;
    `result`: framed; `head`: the head of a part."""

    key: int
    sides: tuple[Expr, ...] = ()
    relation: str = "="
    number: int = 0
    words: Said = ()
    result: bool = False
    head: bool = False

    @property
    def displayed(self) -> DisplayedLine:
        """The formula as a line of a document, for writers."""
        return DisplayedLine(self.sides, self.number, (), self.result, self.relation)


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything that stands on the board. `lines` are all since the last wipe, the newest last; which of
    them there is room for is told by `room.in_sight`."""

    figure: FigureState = FigureState()
    lines: tuple[BoardLine, ...] = ()

    def line(self, key: int) -> BoardLine:
        """The line of this key; KeyError when it does not stand."""
        for line in self.lines:
            if line.key == key:
                return line
        raise KeyError(key)


class MarkKind(StrEnum):
    """Why a part of a line is marked."""

    NEW = "new"
    USED = "used"
    STRUCK = "struck"
    CHANGED = "changed"


@dataclass(frozen=True, slots=True)
class BoardMark:
    """A line marked, or a part of one: of side `side` the part reached by `path` through `nodes.parts_of`.
    `side` is −1 for the whole line."""

    line: int
    kind: MarkKind
    side: int = -1
    path: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Light:
    """What a stage points at: parts of the figure, marks on lines, and a remark below the working. It is gone
    with the next stage."""

    parts: tuple[Whose, ...] = ()
    marks: tuple[BoardMark, ...] = ()
    remark: Said = ()


@dataclass(frozen=True, slots=True)
class BoardStage:
    """One step of the lecture. `said`: what is said, `words` the same as it is spoken, brackets and all.
    `pause`: seconds of silence after it, for a question to the room; `seconds`: how long it takes in all."""

    number: int
    act: LectureAct
    chapter: str
    scene: Scene
    light: Light
    said: Said
    words: str
    pause: float
    seconds: float


@dataclass(frozen=True)
class Plan(Shown):
    """A lecture: its stages in order, the figures they share by name, and what symbols stand for."""

    title: str
    stages: tuple[BoardStage, ...]
    figures: Mapping[str, BoardFigure]
    roles: Mapping[str, str] = field(default_factory=dict)
    terms: str = "british"
    methods: tuple[str, ...] = ()
    left_out: tuple[Cut, ...] = ()

    @property
    def seconds(self) -> float:
        """How long the lecture takes."""
        return sum(stage.seconds for stage in self.stages)

    def starts(self, stage: BoardStage) -> float:
        """When a stage begins, in seconds from the start."""
        return sum(s.seconds for s in self.stages[: stage.number - 1])

    @property
    def chapters(self) -> tuple[tuple[str, int], ...]:
        """Every chapter with the number of its first stage."""
        found: list[tuple[str, int]] = []
        for stage in self.stages:
            if not found or found[-1][0] != stage.chapter:
                found.append((stage.chapter, stage.number))
        return tuple(found)


class SceneChange(StrEnum):
    """A kind of thing that differs between two scenes."""

    FIGURE = "another figure"
    ARROW = "an arrow"
    LOOP = "a loop"
    ELEMENT = "an element that became a gap or a wire"
    WRITTEN = "a line written"
    GROWN = "a line grown"
    RUBBED_OUT = "a line rubbed out"
    WIPED = "all lines wiped"


def changes(before: Scene, after: Scene) -> tuple[tuple[SceneChange, str], ...]:
    """Everything that differs between two scenes, each with the name of what it is. Elements that go to a
    limit together are one thing, and so is a figure with all that stands in it."""
    found: list[tuple[SceneChange, str]] = []
    one, other = before.figure, after.figure
    if one.name != other.name:
        found.append((SceneChange.FIGURE, other.name))
    else:
        found += [(SceneChange.ARROW, name) for name in sorted({*one.arrows} ^ {*other.arrows})]
        found += [(SceneChange.LOOP, name) for name in sorted({*one.loops} ^ {*other.loops})]
        if one.became != other.became:
            moved = sorted({name for name, _ in {*one.became} ^ {*other.became}})
            found.append((SceneChange.ELEMENT, " ".join(moved)))
    if before.lines and not after.lines:
        return (*found, (SceneChange.WIPED, ""))
    old = {line.key: line for line in before.lines}
    new = {line.key: line for line in after.lines}
    found += [(SceneChange.RUBBED_OUT, str(key)) for key in old if key not in new]
    for key, line in new.items():
        if key not in old:
            found.append((SceneChange.WRITTEN, str(key)))
        elif line != old[key]:
            found.append((SceneChange.GROWN, str(key)))
    return tuple(found)
