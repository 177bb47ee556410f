"""What is said of a resistance for a case, and is no claim that it is so: `greatest power when R3 = Rth`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...expressions.nodes import Expr, Number, Sum, Symbol
from ...expressions.values import symbols_of
from .pieces import PieceSort
from .stretches import Stretch

NOT_WEIGHED = "a condition is not weighed"  # what is noted of such a line
_MOST = frozenset((
    "max", "maximum", "maximal", "maximised", "maximized", "greatest", "largest", "most", "matched",
    "matching", "optimum", "best", "maximale", "maximales",
))  # fmt: skip
_AT = frozenset(("at", "bei", "for", "when"))
_NAMED_MOST = re.compile(r"(?<![^\W\d_])P[\w(),{} ]{0,8}max\b|\bPmax", re.IGNORECASE)  # P4,max and P_max
_CONDITIONS = frozenset(("when", "if", "whenever", "provided", "for", "where", "unless"))
_WORD = re.compile(r"[^\W\d_]+")


def is_condition(circuit: Circuit, stretch: Stretch, sides: Sequence[Expr]) -> bool:
    """Whether it is said for the case that resistances are such, by a word before it. R4 = 0 is a case of
    which something is said."""
    before = stretch.before[-1] if stretch.before else None
    if before is None or before.words.lower() not in _CONDITIONS:
        return False
    held = {name for side in sides for name in symbols_of(side)}
    given = any(circuit.role(name) is Kind.RESISTOR or name in circuit.elements for name in held)
    bare = any(not symbols_of(side) for side in sides)
    return not bare and given and all(name[:1] in "Rr" for name in held)


def is_where_most(text: str, stretch: Stretch, sides: Sequence[Expr]) -> bool:
    """Whether it says where a power is greatest, `the power is greatest at RL = Rth = 2 ohm`: that the load
    would be that is no claim that it is."""
    said = {p.words.lower() for p in stretch.before if p.sort is PieceSort.WORD}
    before = {word.lower() for word in _WORD.findall(text[: stretch.pieces[0].start])}
    cased = said & (_AT | _CONDITIONS) and (before & _MOST or _NAMED_MOST.search(text))
    given, other = sides[0], sides[1]
    loads = given.terms if isinstance(given, Sum) else (given,)
    if not (said & _MOST or cased) or not all(isinstance(n, Symbol) and n.name[:1] in "Rr" for n in loads):
        return False
    last = stretch.before[-1].words.lower() if stretch.before else ""
    at = last in _CONDITIONS | _AT | _MOST and isinstance(other, Number)
    return at or (isinstance(other, Symbol) and other.name[:1] in "Rr")
