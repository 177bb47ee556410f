"""A lecture being put together: the board as it stands, and the stages so far.

Each verb here does one thing to the board and tells one stage; `changes` of a scene and the next is then one
thing, or none for `point`. What is done in which order is for the files that call it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from ..expressions.nodes import Equation, Expr
from ..expressions.said import OwnWords, Said, as_text
from ..expressions.terms import said_in_terms
from ..figure.drawing import Drawing, Whose
from ..sheet.spoken import said_aloud
from .figures import from_afar
from .stage import (
    Became,
    BoardFigure,
    BoardLine,
    BoardMark,
    BoardStage,
    Cut,
    FigureState,
    LectureAct,
    Light,
    MarkKind,
    Scene,
)

SHORT = 0.5  # seconds between two stages
NO_FIGURE = BoardFigure("", Drawing(0.0, 0.0, ()), "")


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast a lecture is: words a minute, and the silence after a question in seconds, which may differ
    from act to act."""

    words_a_minute: int
    question: float
    by_act: Mapping[str, float]

    def silence(self, act: LectureAct) -> float:
        """The silence after a question in an act."""
        return self.by_act.get(act, self.question)


class Staging:
    """One lecture in the making."""

    def __init__(
        self,
        roles: Mapping[str, str],
        terms: str,
        own: frozenset[str],
        pace: Pace,
        left_out: Collection[Cut] = (),
        drawn: dict[str, BoardFigure] | None = None,
    ) -> None:
        self.roles, self.terms, self.own, self.pace, self.left_out = roles, terms, own, pace, left_out
        self._drawn = drawn if drawn is not None else {}  # what another staging of the same lecture drew
        self.scene = Scene()
        self.stages: list[BoardStage] = []
        self.figures: dict[str, BoardFigure] = {}
        self.act, self.chapter = LectureAct.CIRCUIT, "The circuit"
        self.numbers: set[int] = set()  # of lines that have stood on the board
        self.say: Mapping[str, str] = {}  # the person's own words, by act
        self._opening: Said = ()  # those of the act that begins, until they are said
        self._begun: set[LectureAct] = set()
        self._keys = 0

    # -- what changes one thing ------------------------------------------------------------------

    def begin(self, act: LectureAct, chapter: str) -> None:
        """The next stages belong to this act."""
        self.act, self.chapter = act, chapter
        if act not in self._begun:
            self._begun.add(act)
            self._opening = (OwnWords(self.say[act].strip()),) if act in self.say else ()

    def draw(self, figure: BoardFigure, said: Said, *, arrows: Sequence[str] = (), remark: Said = ()) -> None:
        """Another figure, with the arrows that are down in it; its loops are still to come. `remark`: its
        caption, where nothing is given."""
        self.figures[figure.name] = from_afar(figure)
        state = FigureState(figure.name, tuple(arrows))
        self._tell(said, replace(self.scene, figure=state), Light(remark=remark or said_or(figure.caption)))

    def arrow(self, name: str, said: Said) -> None:
        """An arrow put down."""
        figure = self.scene.figure
        scene = replace(self.scene, figure=replace(figure, arrows=(*figure.arrows, name)))
        self._tell(said, scene, Light(self._known([("arrow", name), ("wire", name)])))

    def loop(self, name: str, said: Said, parts: Sequence[Whose] = ()) -> None:
        """A loop put into the figure; only pointed at where the figure has no room for it."""
        figure = self.scene.figure
        light = Light(self._known([("loop", name), *parts]), remark=said)
        if name in self.figure.loops and name not in figure.loops:
            self._tell(said, replace(self.scene, figure=replace(figure, loops=(*figure.loops, name))), light)
        else:
            self.point(said, parts=light.parts, remark=said)

    def become(self, elements: Sequence[str], what: Became | None, said: Said) -> None:
        """Elements that fade to a gap or a wire; None: they are put back."""
        figure = self.scene.figure
        kept = tuple((name, b) for name, b in figure.became if name not in elements)
        became = kept if what is None else (*kept, *((name, what) for name in elements))
        light = Light(self._known([("element", name) for name in elements]))
        self._tell(said, replace(self.scene, figure=replace(figure, became=became)), light)

    def write(
        self,
        said: Said,
        sides: Sequence[Expr] = (),
        *,
        words: Said = (),
        relation: str = "=",
        number: int = 0,
        result: bool = False,
        head: bool = False,
        parts: Sequence[Whose] = (),
        marks: Sequence[BoardMark] = (),
        remark: Said = (),
        pause: float = 0.0,
    ) -> int:
        """A new line; its key. Marks on the line itself bear the key 0."""
        self._keys += 1
        told = said_in_terms(words, self.terms, self.own)
        line = BoardLine(self._keys, tuple(sides), relation, number, told, result, head)
        scene = replace(self.scene, lines=(*self.scene.lines, line))
        own = [replace(m, line=line.key) if not m.line else m for m in marks]
        own.append(BoardMark(line.key, MarkKind.NEW))
        if number:
            self.numbers.add(number)
        self._tell(said, scene, Light(self._known(parts), tuple(own), remark), pause)
        return line.key

    def grow(
        self,
        key: int,
        said: Said,
        sides: Sequence[Expr],
        *,
        number: int = 0,
        result: bool = False,
        parts: Sequence[Whose] = (),
        marks: Sequence[BoardMark] = (),
        remark: Said = (),
    ) -> None:
        """A line that gets more terms or another side, or its number."""
        old = self.scene.line(key)
        new = replace(old, sides=tuple(sides), number=number or old.number, result=result or old.result)
        lines = tuple(new if line.key == key else line for line in self.scene.lines)
        own = [replace(m, line=key) if not m.line else m for m in marks]
        if not any(m.line == key and m.kind is MarkKind.NEW for m in own):
            own.append(BoardMark(key, MarkKind.NEW))
        if number:
            self.numbers.add(number)
        self._tell(said, replace(self.scene, lines=lines), Light(self._known(parts), tuple(own), remark))

    def wipe(self, said: Said) -> None:
        """All lines wiped."""
        self._tell(said, replace(self.scene, lines=()), Light())

    def point(
        self,
        said: Said,
        *,
        parts: Sequence[Whose] = (),
        marks: Sequence[BoardMark] = (),
        remark: Said = (),
        pause: float = 0.0,
    ) -> None:
        """Nothing changes; something is pointed at, or asked."""
        self._tell(said, self.scene, Light(self._known(parts), tuple(marks), remark or said), pause)

    # -- looking ---------------------------------------------------------------------------------

    @property
    def figure(self) -> BoardFigure:
        """The figure that stands, an empty one where none does."""
        return self.figures.get(self.scene.figure.name) or NO_FIGURE

    def numbered(self, number: int) -> BoardLine | None:
        """The newest line with this number."""
        return next((line for line in reversed(self.scene.lines) if line.number == number), None)

    def standing(self, sides: Sequence[Expr]) -> BoardLine | None:
        """The newest line on which these sides stand, all of them."""
        wanted = set(sides)
        return next((line for line in reversed(self.scene.lines) if wanted <= set(line.sides)), None)

    def made(self, draw: Callable[[str], BoardFigure], told: str = "") -> BoardFigure:
        """The next figure under the name that it is to have; drawn unless it is drawn already. `told`: what
        tells it from others, where not its place among them."""
        name = f"figure-{len(self.figures) + 1}"
        if (told or name) not in self._drawn:
            self._drawn[told or name] = draw(name)
        return replace(self._drawn[told or name], name=name)

    def _known(self, parts: Sequence[Whose]) -> tuple[Whose, ...]:
        there = self.figure.parts
        return tuple(dict.fromkeys(part for part in parts if part in there))

    def _tell(self, said: Said, scene: Scene, light: Light, pause: float = 0.0) -> None:
        whole = (*_ended(self._opening), *said)
        self._opening = ()
        told = said_in_terms(whole, self.terms, self.own)
        words = said_aloud(told, self.roles, self.numbers, self.terms)
        remark = said_in_terms(light.remark, self.terms, self.own)
        light = replace(light, remark=remark)
        seconds = 60 * spoken_words(words) / self.pace.words_a_minute + SHORT + pause
        number = len(self.stages) + 1
        self.scene = scene
        self.stages.append(
            BoardStage(number, self.act, self.chapter, scene, light, told, words, pause, round(seconds, 1))
        )


def _ended(own: Said) -> Said:
    """Somebody's own words as whole sentences before ours."""
    if not own:
        return ()
    return (*own, " " if str(own[-1])[-1:] in ".?!" else ". ")


def spoken_words(words: str) -> int:
    """How many words a text has when it is spoken."""
    return len(re.findall(r"[^\W_]+(?:['’-][^\W_]+)*", words))


def said_or(words: str) -> Said:
    """Plain words as running text, nothing where there are none."""
    return (words,) if words else ()


def sentences(text: Said) -> list[Said]:
    """The sentences of running text one by one."""
    found: list[Said] = []
    current: list[str | Expr | Equation] = []
    for piece in text:
        if type(piece) is not str:
            current.append(piece)
            continue
        parts = re.split(r"(?<=[.?!]) +(?=[A-Z0-9(“])", piece)
        for k, part in enumerate(parts):
            if k and current:
                found.append(tuple(current))
                current = []
            if part:
                current.append(part)
    if current and as_text(tuple(current)).strip():
        found.append(tuple(current))
    return found
