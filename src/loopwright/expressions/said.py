"""Sentences made of pieces: plain words, expressions and equations, for any writer to set.

The one shape of running text: reasons of steps, sentences of checks and the text of a published document.
"""

from __future__ import annotations

from collections.abc import Sequence

from .nodes import Equation, Expr, Symbol
from .writers import plain

Said = tuple[str | Expr | Equation, ...]


class OwnWords(str):
    """A piece of running text in the person's own words: it stays as it is, and a number in brackets there is
    no line of ours."""

    __slots__ = ()


class Letters(OwnWords):
    """The letters of options: they stand for nothing else, whatever the symbols of a circuit are called."""

    __slots__ = ()


_COUNTED = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def counted(number: int, noun: str, plural: str = "") -> str:
    """A number with its noun as it stands in running text: `one loop`, `two loops`, `12 loops`."""
    word = _COUNTED[number] if 0 <= number < len(_COUNTED) else str(number)
    return f"{word} {noun if number == 1 else plural or noun + 's'}"


def in_a_row(items: Sequence[Said], last: str = " and ") -> Said:
    """The items one after another: `a, b and c`."""
    pieces: list[str | Expr | Equation] = []
    for i, item in enumerate(items):
        if i:
            pieces.append(last if i == len(items) - 1 else ", ")
        pieces.extend(item)
    return tuple(pieces)


def names(symbols: Sequence[str], last: str = " and ") -> Said:
    """Symbols one after another: `R1, R2 and R3`."""
    return in_a_row([(Symbol(name),) for name in symbols], last)


def as_text(said: Said) -> str:
    """The sentence on one line, its formulas in plain signs."""
    return "".join(piece if isinstance(piece, str) else plain.render(piece) for piece in said)
