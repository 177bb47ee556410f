"""What a line of algebra is made of: numbers with units, names, signs and brackets, each with its place.

Knows nothing of precedence; the grammar is in `parse`. Stands on `quantities` and the tree.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from ..quantities import LARGEST_EXPONENT, STORED, UNITS, read_unit, simple
from .nodes import Number, Symbol

LONGEST_TEXT = 20_000  # signs; a longer line is not one that a person wrote
LONGEST_NUMBER = 40  # digits
LONGEST_NAME = 80


class Unreadable(ValueError):
    """A line of algebra that cannot be read: `why`, at `position` (counted from 0) of `text`."""

    def __init__(self, why: str, text: str, position: int) -> None:
        super().__init__(why)
        self.why, self.text, self.position = why, text, position

    def shown(self) -> str:
        """The text with a caret under the place, and the reason, for a terminal."""
        start = max(0, self.position - 40)
        return f"{self.text[start : self.position + 40]}\n{' ' * (self.position - start)}^ {self.why}"


class TokenSort(StrEnum):
    """The sorts of tokens; signs that mean the same are one sort (`*`, `·`, `×`)."""

    NUMBER = "number"
    NAME = "name"
    PLUS = "+"
    MINUS = "−"
    TIMES = "·"
    OVER = "/"
    PARALLEL = "∥"
    POWER = "^"
    RAISED = "raised"
    ROOT = "√"
    OPEN = "("
    CLOSE = ")"
    RELATION = "="
    END = "end"


@dataclass(frozen=True, slots=True)
class Token:
    """One token: its sort, the words as written, its place, and the leaf of the tree it stands for."""

    sort: TokenSort
    words: str
    position: int
    leaf: Number | Symbol | None = None


_SIGNS = {
    "||": TokenSort.PARALLEL, "//": TokenSort.PARALLEL, "∥": TokenSort.PARALLEL, "‖": TokenSort.PARALLEL,
    "+": TokenSort.PLUS, "-": TokenSort.MINUS, "−": TokenSort.MINUS, "–": TokenSort.MINUS,
    "**": TokenSort.POWER, "^": TokenSort.POWER,
    "*": TokenSort.TIMES, "·": TokenSort.TIMES,
    "⋅": TokenSort.TIMES, "×": TokenSort.TIMES, "∙": TokenSort.TIMES,
    "/": TokenSort.OVER, "÷": TokenSort.OVER, "⁄": TokenSort.OVER, "∕": TokenSort.OVER,
    "√": TokenSort.ROOT,
    "(": TokenSort.OPEN, "[": TokenSort.OPEN, "{": TokenSort.OPEN,
    ")": TokenSort.CLOSE, "]": TokenSort.CLOSE, "}": TokenSort.CLOSE,
    "=": TokenSort.RELATION, "≈": TokenSort.RELATION,
}  # fmt: skip
_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
_SPACE = re.compile(r"[\s\u2060\u2061\u2062]*")  # white space and the invisible signs of copied formulas
_RAISED = re.compile(r"⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+")
_DIGITS = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+")
_COMMA = re.compile(r"[0-9]*,[0-9]+")
_EXPONENT = re.compile(r"e[+\-−][0-9]+")
_UNCLEAR_EXPONENT = re.compile(r"e[0-9]+\b|E[+\-−][0-9]+")
_TEN_TO = re.compile(r"\s*[×x*·⋅]\s*10\s*(?:\^\s*(?:([+\-−]?[0-9]+)|\(([+\-−]?[0-9]+)\))|(⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+))")
_LETTER_CODE = re.compile(r"([0-9]{1,12})([kMG])([0-9]{1,12})(?!\w)")
_WHOLE_FRACTION = re.compile(r"([0-9]{1,40})\s*/\s*([0-9]{1,40})\s*(?=[^\W\d_])")
_SQUARED = re.compile(r"²|\^\s*2(?!\d)")
NAME = re.compile(r"[^\W\d_](?:_\{[^{}\s]*\}|[^\W⁰¹²³⁴⁵⁶⁷⁸⁹])*['′]*")
_TEN_ALONE = re.compile(r"10\s*(?:\^\s*(?:([\-−][0-9]+)|\(([\-−][0-9]+)\))|(⁻[⁰¹²³⁴⁵⁶⁷⁸⁹]+))")
_PAIR = re.compile(r"\s*\(\s*(\w[\w'′]*)\s*,\s*(\w[\w'′]*)\s*\)")
_ONE = re.compile(r"\(\s*([^\W\d_](?:_\{[^{}\s]*\}|\w)*['′]*)\s*\)")
_WITHOUT = re.compile(rf"\s+without\s+({NAME.pattern})")
_AND_WITHOUT = re.compile(rf"\s*(?:,|\band\b)\s*({NAME.pattern})")
TERMINALS = "terminals"  # P(E1, terminals): what a battery with internal resistance gives to the rest
_BEFORE_FRACTION = (
    None,
    TokenSort.PLUS,
    TokenSort.MINUS,
    TokenSort.TIMES,
    TokenSort.PARALLEL,
    TokenSort.OPEN,
    TokenSort.RELATION,
)


def canonical_name(written: str) -> str:
    """A name as it is kept: `R_1`, `R_{1}` and `R₁` are `R1`; a prime is `′`."""
    bare = re.sub(r"_\{([^{}]*)\}", r"\1", written).replace("_", "")
    return unicodedata.normalize("NFKC", bare).replace("'", "′")


def tokens_of(
    text: str, known: Collection[str] = (), *, freely: bool = False, in_time: bool = False
) -> tuple[Token, ...]:
    """The tokens of a line, closed by an END. Raises Unreadable.

    `known` are the names in use: a run such as `R1R3` is split into known names when it is none itself,
    and a known name right after a number is not taken for a unit. `freely`: as in a working, where a
    unit may also follow a bracket or a name, `2E3` is a power of ten unless E is in use, and `10^-3`
    stands alone; and a `V(R1)` among the known names is the voltage across R1. `in_time`: 2 C is a charge
    and 5 s a time, and `1000/s` is a rate.
    """
    if len(text) > LONGEST_TEXT:
        raise Unreadable(f"it is longer than {LONGEST_TEXT} signs", text[:LONGEST_TEXT], LONGEST_TEXT)
    return _Scan(text, frozenset(known), freely, in_time).run()


class _Scan:
    """One run over a text."""

    def __init__(self, text: str, known: frozenset[str], freely: bool, in_time: bool) -> None:
        self.text, self.known, self.freely, self.in_time = text, known, freely, in_time
        self.at = 0
        self.found: list[Token] = []

    def run(self) -> tuple[Token, ...]:
        while True:
            self.at = _SPACE.match(self.text, self.at).end()  # type: ignore[union-attr]
            if self.at == len(self.text):
                return (*self.found, Token(TokenSort.END, "the end", self.at))
            self.next()

    def next(self) -> None:
        text, at = self.text, self.at
        if _COMMA.match(text, at):
            raise Unreadable("a comma stands in a number; decimals have a point", text, text.index(",", at))
        if match := _DIGITS.match(text, at):
            self.number(match)
        elif match := _RAISED.match(text, at):
            self.put(TokenSort.RAISED, match.end())
        elif match := NAME.match(text, at):
            self.name(match)
        else:
            for length in (2, 1):
                if sort := _SIGNS.get(text[at : at + length]):
                    self.put(sort, at + length)
                    return
            raise Unreadable(_foreign(text[at]), text, at)

    def put(self, sort: TokenSort, end: int, leaf: Number | Symbol | None = None) -> None:
        self.found.append(Token(sort, self.text[self.at : end], self.at, leaf))
        self.at = end

    # -- numbers -----------------------------------------------------------------------------------

    def number(self, match: re.Match[str]) -> None:
        if self.letter_code() or self.whole_fraction():
            return
        digits = match[0]
        if len(digits) > LONGEST_NUMBER:
            raise Unreadable(f"a number has more than {LONGEST_NUMBER} digits", self.text, self.at)
        power, end = self.power_of_ten(digits, match.end())
        if power < 0 and self.freely and _TEN_ALONE.match(self.text, self.at):
            digits = "1"
        if abs(power) > LARGEST_EXPONENT:
            raise Unreadable(f"a power of ten goes beyond {LARGEST_EXPONENT}", self.text, self.at)
        symbol, end = self.unit(end) or ("", end)
        self.put(TokenSort.NUMBER, end, _leaf(digits, power, symbol))

    def letter_code(self) -> bool:
        """`4k7`, after IEC 60062, where k7 is no name; with R (`4R7`) it would be taken for a product."""
        code = _LETTER_CODE.match(self.text, self.at)
        if code and f"{code[2]}{code[3]}" in self.known:
            return False
        if code:
            self.put(TokenSort.NUMBER, code.end(), _leaf(f"{code[1]}.{code[3]}", 0, f"{code[2]}Ω"))
        return code is not None

    def whole_fraction(self) -> bool:
        """`1/6 Ω` is one sixth of an ohm, not 1 over 6 Ω."""
        whole = _WHOLE_FRACTION.match(self.text, self.at)
        before = self.found[-1].sort if self.found else None
        if whole is None or not int(whole[2]) or before not in _BEFORE_FRACTION:
            return False
        unit = self.unit(whole.end())
        if unit is None:
            return False
        self.put(TokenSort.NUMBER, unit[1], _leaf(f"{int(whole[1])}/{int(whole[2])}", 0, unit[0]))
        return True

    def power_of_ten(self, digits: str, end: int) -> tuple[int, int]:
        """The power of ten written after the digits, and where it ends."""
        text = self.text
        if self.freely and digits == "10" and (ten := _TEN_ALONE.match(text, self.at)):
            return _whole(ten[1] or ten[2] or ten[3].translate(_SUPERSCRIPTS)), ten.end()
        if text[end : end + 1] == "." and text[end + 1 : end + 2].isdigit():
            raise Unreadable("a number has two decimal points", text, end)
        if ten := _EXPONENT.match(text, end):
            return _whole(ten[0][1:]), ten.end()
        in_exponent = bool(self.found) and self.found[-1].sort is TokenSort.POWER  # x^2·10^4
        if (ten := _TEN_TO.match(text, end)) and not in_exponent:
            return _whole(ten[1] or ten[2] or ten[3].translate(_SUPERSCRIPTS)), ten.end()
        if unclear := _UNCLEAR_EXPONENT.match(text, end):
            letters = unclear[0]
            if self.freely and letters[0] not in self.known and canonical_name(letters) not in self.known:
                return _whole(letters[1:]), unclear.end()
            if letters[0] == "E" or canonical_name(letters) not in self.known:
                either = f"write {digits} × 10^{letters[1:]} or {digits} {letters}"
                raise Unreadable(f'"{digits}{letters}" can be read in two ways; {either}', text, self.at)
        return 0, end

    def unit(self, at: int) -> tuple[str, int] | None:
        """The unit that follows a number, with its power, and where it ends."""
        match = NAME.match(self.text, _SPACE.match(self.text, at).end())  # type: ignore[union-attr]
        if match is None or canonical_name(match[0]) in self.known:
            return None
        if self.call(match[0], match.end()):  # 2 V(a, b) is twice a potential difference
            return None
        found = read_unit(match[0])
        if found is None and (len(match[0]) > 1 or self.in_time):  # 2 C is twice a capacitance, 2 µC a charge
            found = read_unit(match[0], STORED)
        if found is None:
            return None
        if raised := _SQUARED.match(self.text, match.end()):
            return f"{found[0]}²", raised.end()
        return found[0], match.end()

    # -- names -------------------------------------------------------------------------------------

    def name(self, match: re.Match[str]) -> None:
        written = match[0]
        if len(written) > LONGEST_NAME:
            raise Unreadable(f"a name is longer than {LONGEST_NAME} signs", self.text, self.at)
        name = canonical_name(written)
        call = self.call(name, match.end())
        if call is not None:
            self.put(TokenSort.NAME, call[1], Symbol(call[0]))
            return
        if self.freely and name not in self.known and self.lone_unit(match):
            return
        if name == "Ω":
            raise Unreadable("Ω is a unit and stands after a number", self.text, self.at)
        parts = (name,) if name in self.known else parts_of(name, self.known) or (name,)
        for part in parts[:-1]:
            self.found.append(Token(TokenSort.NAME, part, self.at, Symbol(part)))
        self.put(TokenSort.NAME, match.end(), Symbol(parts[-1]))

    def lone_unit(self, match: re.Match[str]) -> bool:
        """The unit after a bracket or a name, `(24 − 12)/6 A` and `E/R A`: a factor of one unit."""
        before = self.found[-1].sort if self.found else None
        after: tuple[TokenSort, ...] = (TokenSort.CLOSE, TokenSort.NAME, TokenSort.RAISED)
        after = (*after, TokenSort.OVER) if self.in_time else after
        found = read_unit(match[0]) if before in after else None
        if found is None and self.in_time and before in after:
            found = read_unit(match[0], STORED)
        if found is None or parts_of(canonical_name(match[0]), self.known):
            return False
        self.put(TokenSort.NAME, match.end(), Number(found[2], found[0]))
        return True

    def call(self, name: str, at: int) -> tuple[str, int] | None:
        """`V(a, b)`, `R(a, b) without E1`, `P(R1)` and `P(E1, terminals)` are the name of one quantity."""
        known = name in self.known
        if self.freely and name in ("U", "v", "u") and (not known or _ONE.match(self.text, at)):
            name = "V"
        if name in ("V", "R") and (pair := _PAIR.match(self.text, at)):
            a, b = (unicodedata.normalize("NFKC", p).replace("'", "′") for p in pair.groups())
            without, end = self.without(pair.end())
            return f"{name}({a}, {b}){without}", end
        if name == "V" and self.freely and (one := _ONE.match(self.text, at)):
            across = f"V({canonical_name(one[1])})"
            return (across, one.end()) if across in self.known else None
        if name == "P" and (one := _ONE.match(self.text, at)):
            return f"P({canonical_name(one[1])})", one.end()
        if name == "P" and (pair := _PAIR.match(self.text, at)) and pair[2] == TERMINALS:
            return f"P({canonical_name(pair[1])}, {TERMINALS})", pair.end()
        return None

    def without(self, at: int) -> tuple[str, int]:
        """The elements that are taken out, as the name of the quantity tells them, and where they end."""
        found: list[str] = []
        while match := (_AND_WITHOUT if found else _WITHOUT).match(self.text, at):
            name = canonical_name(match[1])
            if found and self.known and name not in self.known:
                break
            found.append(name)
            at = match.end()
        return (f" without {', '.join(found)}" if found else ""), at


def _leaf(digits: str, power: int, unit: str) -> Number:
    scale = scale_of(unit)
    digits = f"0{digits}" if digits.startswith(".") else digits
    shown = Fraction(digits) * Fraction(10) ** power
    text = f"{digits}e{power}" if power else digits
    return Number(shown * scale, unit, "" if text == simple(shown) else text)


def scale_of(unit: str) -> Fraction:
    """How many SI base units one `unit` is: 1000 for kΩ, 10⁶ for kΩ²; 1 for a unit not known."""
    bare = unit.removesuffix("²")
    found = read_unit(bare, (*UNITS, *STORED)) if bare else None
    scale = found[2] if found else Fraction(1)
    return scale * scale if bare != unit else scale


def parts_of(name: str, known: Collection[str]) -> tuple[str, ...]:
    """The known names that follow one another in `name`; nothing when there is no or more than one way."""
    ways: list[list[tuple[str, ...]]] = [[()], *([] for _ in name)]
    longest = max(map(len, known), default=0)
    for end in range(1, len(name) + 1):
        for start in range(max(0, end - longest), end):
            if name[start:end] in known:
                ways[end] += [(*way, name[start:end]) for way in ways[start]]
        ways[end] = ways[end][:2]
    return ways[-1][0] if len(ways[-1]) == 1 else ()


def _whole(text: str) -> int:
    return int(text.replace("−", "-")) if len(text) < 9 else LARGEST_EXPONENT + 1


def _foreign(sign: str) -> str:
    if sign in ",;":
        return f'"{sign}" has no meaning in an expression'
    if sign == "_":
        return 'a name begins with a letter, not with "_"'
    if sign in "<>→":
        return f'"{sign}" does not belong in an expression or equation'
    return f'the sign "{sign}" is not understood here'
