"""The one model of a quiz item, from which every form of output is written.

An item has a stem, a prompt, a way in which it is answered, and for every answer that can be foreseen what
is said to whoever gives it. Options know which slips of the catalogue lead to them. Knows no form of output.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType

from ..expressions.nodes import Expr
from ..sheet.document import Text


class ItemKind(StrEnum):
    """What an item asks for."""

    CHOICE = "choice"
    NUMBER = "number"
    FORMULA = "formula"
    RANKING = "ranking"
    DIRECTION = "direction"
    ENOUGH = "enough"
    LIMIT = "limit"
    WRONG_LINE = "wrong-line"


class AnsweredBy(StrEnum):
    """In which way an item is answered."""

    ONE = "one option"
    ALL = "all options that hold"
    ORDER = "the options in order"
    NUMBER = "a number typed"
    LINE = "one line of a text"


ANSWERED: Mapping[ItemKind, AnsweredBy] = MappingProxyType({
    ItemKind.CHOICE: AnsweredBy.ONE,
    ItemKind.NUMBER: AnsweredBy.NUMBER,
    ItemKind.FORMULA: AnsweredBy.ONE,
    ItemKind.RANKING: AnsweredBy.ORDER,
    ItemKind.DIRECTION: AnsweredBy.ONE,
    ItemKind.ENOUGH: AnsweredBy.ALL,
    ItemKind.LIMIT: AnsweredBy.ONE,
    ItemKind.WRONG_LINE: AnsweredBy.LINE,
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class AnswerOption:
    """One option, or one line of a text. `name`: a letter, or a letter and a number, that no other option of
    the item has; `said`: what stands there; `feedback`: what is said to whoever takes it; `right`: whether it
    is to be taken. `slips`: keys of the catalogue of the slips that lead to it; `value`: what it comes to,
    exactly, in SI units, where it is a number; `line`: a line of a working as it is written."""

    name: str
    said: Text
    feedback: str
    right: bool = False
    slips: tuple[str, ...] = ()
    value: Fraction | None = None
    line: str = ""


@dataclass(frozen=True, slots=True)
class ForeseenNumber:
    """A wrong number that can be foreseen, in the unit that is asked for, with the slips that lead to it."""

    value: Fraction
    feedback: str
    slips: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TypedNumber:
    """The number to be typed. `value` and `tolerance` (how far off an answer may be, bounds included) are in
    `unit`; `scale`: what one of that unit is in SI units. `foreseen`: wrong numbers, none of them within the
    tolerance of the right one or of one another."""

    value: Fraction
    unit: str
    scale: Fraction
    tolerance: Fraction
    foreseen: tuple[ForeseenNumber, ...] = ()


@dataclass(frozen=True, slots=True)
class ForeseenOrder:
    """A wrong order that can be foreseen: the names of all options, first to last."""

    names: tuple[str, ...]
    feedback: str
    slips: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class QuizItem:
    """One item of a quiz.

    `name`: letters, digits and hyphens, unlike that of any other item of the quiz. `title`: a line for
    whoever sets it; it gives nothing away. `stem`: paragraphs before the question, besides the circuit;
    `shown`: formulas displayed below them, each a chain of sides; `prompt`: the question. `options`: in the
    order in which they are shown; `shuffled`: whether a platform may show them in another. `number`: what is
    typed. `order`: the names of the options as they are to be put; `foreseen`: wrong orders. `yes`: what is
    said of a right number or order; `otherwise`: of one that is wrong and was not foreseen. `points`: what a
    right answer earns. `about`: the quantity asked about, or the line, as a text.
    """

    name: str
    kind: ItemKind
    title: str
    prompt: Text
    stem: tuple[Text, ...] = ()
    shown: tuple[tuple[Expr, ...], ...] = ()
    options: tuple[AnswerOption, ...] = ()
    shuffled: bool = True
    number: TypedNumber | None = None
    order: tuple[str, ...] = ()
    foreseen: tuple[ForeseenOrder, ...] = ()
    yes: str = ""
    otherwise: str = ""
    points: int = 1
    about: str = ""

    @property
    def answered(self) -> AnsweredBy:
        """In which way it is answered."""
        return ANSWERED[self.kind]

    @property
    def right(self) -> tuple[str, ...]:
        """The names of the options to be taken, in order where that matters; empty for a number."""
        return self.order or tuple(option.name for option in self.options if option.right)

    @property
    def slips(self) -> tuple[str, ...]:
        """The keys of the catalogue of all slips that an answer to it can show."""
        typed = self.number.foreseen if self.number is not None else ()
        keys = [key for option in self.options for key in option.slips]
        keys += [key for number in typed for key in number.slips]
        keys += [key for order in self.foreseen for key in order.slips]
        return tuple(dict.fromkeys(keys))


def right_answer(item: QuizItem) -> str:
    """The right answer on one line: the number with its unit and how far off it may be, the number of a line,
    or the letters."""
    if item.number is not None:
        off = decimal(item.number.tolerance)
        places = len(off.partition(".")[2])  # what lies behind these is far within the tolerance
        value = decimal(round(item.number.value, places)) if item.number.value % 1 else item.number.value
        return f"{value} ± {off} {item.number.unit}".replace("-", "−")
    if item.answered is AnsweredBy.LINE:
        return ", ".join(f"line {name.removeprefix('L')}" for name in item.right)
    return (" > " if item.order else ", ").join(item.right)


def decimal(value: Fraction, figures: int = 12) -> str:
    """A number as decimals with a plain minus sign, as a machine reads it: exact where its decimals end
    within so many figures, else rounded to them."""
    if not value:
        return "0"
    places = 0
    while value * 10**places % 1 and places < 30 and abs(value) * 10**places < 10 ** (figures - 1):
        places += 1
    count = round(abs(value) * 10**places)
    text = str(count).rjust(places + 1, "0")
    text = f"{text[:-places]}.{text[-places:]}".rstrip("0").rstrip(".") if places else text
    return f"-{text}" if value < 0 else text
