"""From the tree to what is set on the page: every question of notation is decided here, once.

Brackets and their shapes, which minus is a sign and which an operation, what is a subscript, what
stands between two factors and between a number and its unit. The writers read only these nodes; they
know no algebra. ISO 80000-1 (from memory): quantities in italics, units and descriptive subscripts
upright, a space between number and unit. `roles` says what a symbol stands for; an emf whose name
begins with E is set in script, so that it is not taken for a field or an energy.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from itertools import pairwise

from ..quantities import read_unit, simple
from .nodes import (
    Applied,
    Determinant,
    Equation,
    Exponential,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
    Symbol,
)
from .tokens import scale_of


class Style(StrEnum):
    """How the letters of a name are set."""

    ITALIC = "italic"
    SCRIPT = "script"
    UPRIGHT = "upright"


@dataclass(frozen=True, slots=True)
class Name:
    """A quantity: its letter (a whole word where upright), its subscript, and how many primes."""

    base: str
    sub: str = ""
    style: Style = Style.ITALIC
    primes: int = 0


@dataclass(frozen=True, slots=True)
class Call:
    """A quantity that belongs to points or to an element: `V` of a and b, `P` of R1.

    `joined` where the points are single letters and are set as a subscript, V_ab. `at_terminals`: of a
    battery, what passes its terminals. `without`: the elements taken out of the circuit.
    """

    letter: str
    points: tuple[str, ...] = ()
    of: Name | None = None
    joined: bool = False
    at_terminals: bool = False
    without: tuple[Name, ...] = ()


@dataclass(frozen=True, slots=True)
class Figure:
    """The digits of a number, with a decimal point, no sign."""

    digits: str


@dataclass(frozen=True, slots=True)
class UnitName:
    """A unit symbol with its prefix, and its power."""

    symbol: str
    power: int = 1


@dataclass(frozen=True, slots=True)
class Measure:
    """A number, a space, and its unit."""

    amount: Notation
    unit: UnitName


@dataclass(frozen=True, slots=True)
class TenTo:
    """A number times a power of ten."""

    amount: Notation
    exponent: int


@dataclass(frozen=True, slots=True)
class Factors:
    """Factors side by side; where `crossed[k]`, a multiplication sign follows factor k, else a thin space."""

    items: tuple[Notation, ...]
    crossed: tuple[bool, ...]


class Sign(StrEnum):
    """A sign between two parts of a chain."""

    PLUS = "+"
    MINUS = "−"
    PARALLEL = "∥"
    EQUALS = "="
    ABOUT = "≈"
    TENDS = "→"
    UNEQUAL = "≠"
    LESS = "<"
    MORE = ">"
    AT_MOST = "≤"
    AT_LEAST = "≥"


@dataclass(frozen=True, slots=True)
class Chain:
    """Parts with a sign between each two: a sum, a parallel combination, or the sides of an equation."""

    items: tuple[Notation, ...]
    signs: tuple[Sign, ...]


@dataclass(frozen=True, slots=True)
class Signed:
    """A minus in front; `of_number` where it belongs to a number, as its sign."""

    body: Notation
    of_number: bool = False


@dataclass(frozen=True, slots=True)
class FractionBar:
    """All of `above` over all of `below`; `level` where both stand on one line with a stroke between, as in
    an exponent."""

    above: Notation
    below: Notation
    level: bool = False


@dataclass(frozen=True, slots=True)
class Raised:
    """A base to a whole exponent."""

    base: Notation
    exponent: int


@dataclass(frozen=True, slots=True)
class Rooted:
    """The square root of a body, which stands under the sign as under a lid."""

    body: Notation


@dataclass(frozen=True, slots=True)
class PowerOfE:
    """The number e, upright, to an exponent that is any notation (ISO 80000-2, from memory)."""

    exponent: Notation


@dataclass(frozen=True, slots=True)
class AppliedTo:
    """A function such as ln or cos, upright, of a body in brackets (ISO 80000-2, from memory)."""

    function: str
    body: Notation


@dataclass(frozen=True, slots=True)
class OfTime:
    """A quantity as a function of the time t."""

    of: Notation


@dataclass(frozen=True, slots=True)
class RateOf:
    """How fast a quantity changes: its derivative by the time, dI/dt."""

    of: Notation


@dataclass(frozen=True, slots=True)
class Bracketed:
    """A body in brackets: `depth` 0 for the innermost pair; `tall` where it holds a fraction."""

    body: Notation
    depth: int = 0
    tall: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """The entries of a determinant, row by row, between two upright lines."""

    rows: tuple[tuple[Notation, ...], ...]


Notation = (
    Name
    | Call
    | Figure
    | Measure
    | TenTo
    | Factors
    | Chain
    | Signed
    | FractionBar
    | Raised
    | Rooted
    | PowerOfE
    | AppliedTo
    | OfTime
    | RateOf
    | Bracketed
    | Grid
)

_CALLED = "VRPQUCL"
_CALL = re.compile(rf"(?P<letter>[{_CALLED}]|heat)\((?P<inside>[^()]*)\)(?: without (?P<without>.+))?")
_OF_TIME = "(t)"
_RATE = re.compile(r"d(?P<of>.+)/dt")
_WORD = re.compile(r"[^\W\d_]{4,}")
NO_ROLES: Mapping[str, str] = {}


def notation(item: Expr | Equation, roles: Mapping[str, str] = NO_ROLES) -> Notation:
    """The notation of an expression or equation. Raises ValueError for a relation that is not known."""
    setting = _Setting(roles)
    if isinstance(item, Equation):
        sides = (setting.expr(item.left), setting.expr(item.right))
        return Chain(sides, (Sign(item.relation),))
    return setting.expr(item)


class _Setting:
    """One setting of an expression with the roles of its symbols."""

    def __init__(self, roles: Mapping[str, str]) -> None:
        self.roles = roles

    def expr(self, expr: Expr) -> Notation:
        if type(expr) is Symbol:  # most of all
            return self.symbol(expr.name)
        match expr:
            case Product(factors):
                return self.product(factors)
            case Sum(terms):
                return self.sum(terms)
            case Number():
                return _number(expr)
            case Root(body=body):
                return Rooted(self.expr(body))
            case Exponential(body=body):
                return PowerOfE(_level(self.expr(body)))
            case Applied(function=function, body=body):
                return AppliedTo(function, self.expr(body))
            case Symbol(name):
                return self.symbol(name)
            case Negative(body):
                inner = self.within(body, Sum, Negative)
                return Signed(inner, of_number=isinstance(body, Number) and not isinstance(inner, Bracketed))
            case Quotient(above, below):
                return FractionBar(self.expr(above), self.expr(below))
            case Power(base, exponent):
                return self.power(base, exponent)
            case Parallel(parts):
                items = tuple(self.within(part, Sum, Negative, Parallel) for part in parts)
                return _chain(items, (Sign.PARALLEL,) * (len(items) - 1))
            case Determinant(rows):
                return Grid(tuple(tuple(map(self.expr, row)) for row in rows))

    def within(self, expr: Expr, *loose: type) -> Notation:
        """The expression, in brackets when it is of a kind that binds too loosely here."""
        found = self.expr(expr)
        signed = isinstance(found, Signed) and Negative in loose
        in_words = isinstance(found, Call) and bool(found.without)
        return bracketed(found) if isinstance(expr, loose) or signed or in_words else found

    def sum(self, terms: tuple[Expr, ...]) -> Notation:
        if not terms:
            return Figure("0")
        first = self.within(terms[0], Sum) if len(terms) > 1 else self.expr(terms[0])
        items, signs = [first], []
        for term in terms[1:]:
            turned = isinstance(term, Negative)
            signs.append(Sign.MINUS if turned else Sign.PLUS)
            items.append(self.within(term.body if isinstance(term, Negative) else term, Sum, Negative))
        return _chain(tuple(items), tuple(signs))

    def product(self, factors: tuple[Expr, ...]) -> Notation:
        if len(factors) < 2:
            return self.expr(factors[0]) if factors else Figure("1")
        items: list[Notation] = []
        for index, factor in enumerate(factors):
            found = self.within(factor, Sum, Negative, Parallel, Product)
            if isinstance(found, Measure) or (isinstance(found, TenTo) and index):
                found = bracketed(found)
            items.append(found)
        crossed = tuple(_crossed(a, b) for a, b in pairwise(items))
        return Factors(tuple(items), crossed)

    def power(self, base: Expr, exponent: int) -> Notation:
        found = self.expr(base)
        plain = isinstance(found, Name | Figure) or (
            isinstance(found, Call) and found.joined and not found.without
        )
        return Raised(found if plain else bracketed(found), exponent)

    def symbol(self, name: str) -> Notation:
        if "(" not in name and "/" not in name:
            return self.name(name)
        if rate := _RATE.fullmatch(name):
            return RateOf(self.symbol(rate["of"]))
        alone = len(name) == len(_OF_TIME) + 1  # V(t) is the voltage of what is called t, I(t) a current
        if name.endswith(_OF_TIME) and not (alone and name[0] in _CALLED):
            return OfTime(self.symbol(name.removesuffix(_OF_TIME)))
        call = _CALL.fullmatch(name) if "(" in name else None
        if call is None:
            return self.name(name)
        points = tuple(point.strip() for point in call["inside"].split(","))
        if call["letter"] == "P" or len(points) == 1:
            return Call(call["letter"], of=self.name(points[0]), at_terminals=len(points) > 1)
        joined = all(len(point) == 1 for point in points)
        without = tuple(map(self.name, call["without"].split(", "))) if call["without"] else ()
        return Call(call["letter"], points, joined=joined, without=without)

    def name(self, name: str) -> Name:
        return _name(name, self.roles.get(name) == "emf")


@lru_cache(maxsize=1024)
def _name(name: str, emf: bool) -> Name:
    base, sub, primes = split_name(name)
    if len(base) > 1:
        return Name(base, sub, Style.UPRIGHT, primes)
    return Name(base, sub, Style.SCRIPT if emf and base == "E" else Style.ITALIC, primes)


def split_name(name: str) -> tuple[str, str, int]:
    """A name as letter, subscript and number of primes: `R12` is R with 12, `Rx` R with x, `r2′` r with 2.

    A word of four or more small letters (`lamp`, `heater2`) is not split.
    """
    bare = name.rstrip("′'")
    primes = len(name) - len(bare)
    word = _WORD.match(bare)
    if word and word[0].islower():
        return word[0], bare[word.end() :], primes
    return bare[:1], bare[1:].strip("_"), primes


def bracketed(body: Notation) -> Bracketed:
    """The body in brackets of the shape that fits what it holds."""
    return Bracketed(body, *_shape(body))


def _level(exponent: Notation) -> Notation:
    """An exponent whose fraction stands on one line."""
    if isinstance(exponent, Signed):
        return replace(exponent, body=_level(exponent.body))
    if isinstance(exponent, FractionBar):
        below = exponent.below
        closed = below if isinstance(below, Name | Figure) else bracketed(below)
        above = bracketed(exponent.above) if isinstance(exponent.above, Chain) else exponent.above
        return FractionBar(above, closed, level=True)
    return exponent


def _chain(items: tuple[Notation, ...], signs: tuple[Sign, ...]) -> Notation:
    return items[0] if len(items) == 1 else Chain(items, signs)


def _number(number: Number) -> Notation:
    shown = number.text or simple(number.value / scale_of(number.unit))
    sign, digits = shown[:1] in ("-", "−"), shown.lstrip("-−")
    mantissa, _, power = digits.partition("e")
    above, _, below = mantissa.partition("/")
    amount: Notation = FractionBar(Figure(above), Figure(below)) if below else Figure(above)
    if power:
        amount = TenTo(amount, int(power))
    if number.unit:
        bare = number.unit.removesuffix("²")
        amount = Measure(amount, UnitName(bare, 1 if bare == number.unit else 2))
    return Signed(amount, of_number=True) if sign else amount


def _crossed(before: Notation, after: Notation) -> bool:
    """Whether a multiplication sign is needed: before a number, and before a name that reads as a unit."""
    head = after.base if isinstance(after, Raised) else after
    if isinstance(head, Figure | TenTo):
        return True
    if isinstance(head, FractionBar) and isinstance(head.above, Figure):
        return isinstance(before, Figure | TenTo | FractionBar)  # 11 108/439 reads as a mixed number
    if not isinstance(head, Name) or not isinstance(before, Figure | TenTo | FractionBar):
        return False
    return read_unit(head.base + head.sub) is not None


def parts(node: Notation) -> tuple[Notation, ...]:
    """The notation nodes directly inside a node."""
    match node:
        case Name() | Figure():
            return ()
        case Call(of=of, without=without):
            return (of,) if of is not None else without
        case Measure(amount) | TenTo(amount):
            return (amount,)
        case Factors(items) | Chain(items):
            return items
        case Signed(body) | Bracketed(body) | Rooted(body) | AppliedTo(body=body):
            return (body,)
        case PowerOfE(body) | OfTime(body) | RateOf(body):
            return (body,)
        case FractionBar(above, below):
            return (above, below)
        case Raised(base):
            return (base,)
        case Grid(rows):
            return tuple(entry for row in rows for entry in row)


def _shape(node: Notation) -> tuple[int, bool]:
    """How many pairs of brackets stand within one another in a node, and whether it holds a fraction."""
    if isinstance(node, Bracketed):
        return node.depth + 1, node.tall
    depth, tall = 0, isinstance(node, FractionBar | Grid)
    for part in parts(node):
        if not isinstance(part, Name | Figure):
            deeper, taller = _shape(part)
            depth, tall = max(depth, deeper), tall or taller
    return depth, tall
