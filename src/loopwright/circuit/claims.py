"""What the person expects of a limit case: `Ib -> 0 as R2 -> ∞`, `Ic = Ib when Rh -> ∞`.

Reads the sentence; whether it is true is found out elsewhere. Knows no circuit and no solution.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum

from ..errors import FaultyMaterial
from ..expressions.nodes import Expr
from ..expressions.parse import Unreadable, expression
from ..expressions.values import symbols_of
from ..findings import Finding
from .names import quantity_name

_JOINT = re.compile(r"\b(?:as|when|if|for)\b")
_ALONE = re.compile(r"\s+alone\s*$")
_ARROW = re.compile(r"->|→")
_INFINITY = re.compile(r"oo|∞|infinity|inf")
_FORM = 'Write it as "Ib -> 0 as R2 -> ∞" (or oo) or "Ic = Ib when Rh -> ∞".'


class End(StrEnum):
    """Where an element's value is taken in a limit case."""

    ZERO = "0"
    INFINITY = "∞"


@dataclass(frozen=True, slots=True)
class Expectation:
    """One expectation: `left` tends to (`->`) or equals (`=`) `right` when `symbol` is taken to `to`.

    `right` is None where the left side is said to grow without bound. `symbol` names a symbol of the
    circuit's values, which moves all elements that carry it, or else an element; `alone`: the element of
    this name by itself is meant, whatever else carries its symbol.
    """

    left: Expr
    relation: str
    right: Expr | None
    symbol: str
    to: End
    alone: bool = False

    def names(self) -> tuple[str, ...]:
        """The quantities named on both sides, in order."""
        right = symbols_of(self.right) if self.right is not None else ()
        return tuple(dict.fromkeys((*symbols_of(self.left), *right)))


def claim(text: str, known: Collection[str] = ()) -> Expectation:
    """Reads one expectation; `known` are the names in use. Raises FaultyMaterial when it cannot be read."""
    left, relation, right, symbol, to, alone = claim_parts(text)
    told = None if right is None else _side(text, right, known)
    return Expectation(_side(text, left, known), relation, told, symbol, to, alone)


def claim_parts(text: str) -> tuple[str, str, str | None, str, End, bool]:
    """An expectation taken apart: both sides as they are written (the right one None where the left is to
    grow without bound), the relation between them, the symbol and its end, and whether it is meant alone.
    Raises FaultyMaterial when it cannot be read."""
    parts = _JOINT.split(text)
    if len(parts) != 2:
        raise FaultyMaterial(_unread(text, "it does not say in which limit case"))
    said, case = parts
    symbol, to, alone = _case(text, case)
    arrow = _ARROW.split(said)
    sides = arrow if len(arrow) == 2 else said.split("=")
    if len(sides) != 2:
        raise FaultyMaterial(_unread(text, "it does not say what the result is to be"))
    left, right = (side.strip() for side in sides)
    relation = "->" if len(arrow) == 2 else "="
    return left, relation, None if _INFINITY.fullmatch(right) else right, symbol, to, alone


def _case(text: str, case: str) -> tuple[str, End, bool]:
    sides = _ARROW.split(case) if _ARROW.search(case) else case.split("=")
    what = _ALONE.sub("", sides[0])
    symbol = quantity_name(what)
    value = sides[1].strip() if len(sides) == 2 else ""
    if symbol is None or not (value == "0" or _INFINITY.fullmatch(value)):
        raise FaultyMaterial(_unread(text, f'"{case.strip()}" is not an element taken to 0 or to ∞'))
    return symbol, End.ZERO if value == "0" else End.INFINITY, what != sides[0]


def _side(text: str, side: str, known: Collection[str]) -> Expr:
    try:
        return expression(side, known)
    except Unreadable as error:
        raise FaultyMaterial(_unread(text, f'"{side}" cannot be read: {error.why}')) from error


def _unread(text: str, why: str) -> Finding:
    return Finding("file/unreadable-expectation", f'"{text}" is expected, but {why}.', _FORM)
