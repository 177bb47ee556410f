"""Spoken algebra heard back: the grammar of the words, and the promise that what is said is what was meant.

    equation  sum relation sum
    sum       [minus] side { (plus or minus) side }
    side      product { "in parallel with" product }
    product   power { "times" power }
    power     atom [ "squared", "cubed" or "to the power" number ]
    atom      number [unit], name, "the quantity" sum "end quantity",
              "start fraction" sum "over" sum "end fraction",
              "the square root of" sum "end root",
              "the determinant with" { "row" sum { "next" sum } } "end determinant", ...

Commas and full stops are not heard. The grammar is written apart from the spoken writer and reads no
notation, so that the one can judge the other.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from ..errors import BrokenPromise
from ..quantities import simple
from .amounts import as_shown
from .nodes import (
    Determinant,
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    applied,
    exponential,
    root,
)
from .sameness import same_algebra
from .tokens import scale_of
from .words import (
    BETWEEN_POINTS,
    DIGITS,
    GREEK_LETTERS,
    INFINITY,
    NUMBER_WORDS,
    OF_ELEMENT,
    RELATIONS,
    SCALES,
    SPOKEN_FUNCTIONS,
    TEENS,
    TENS,
    UNIT_WORDS,
    WITHOUT_LIMIT,
    is_reserved,
    letters_of,
)
from .writers import spoken

DEEPEST = 80
MOST_WORDS = 200_000
LARGEST_EXPONENT = 30

_IN_SPELLING = frozenset(("capital", "underscore", "infinity", *DIGITS, *GREEK_LETTERS))


class NotHeard(ValueError):
    """Words that are not algebra as it is spoken here: `why`, at word `position` (counted from 0)."""

    def __init__(self, why: str, position: int) -> None:
        super().__init__(why)
        self.why, self.position = why, position


def speak(item: Expr | Equation, roles: Mapping[str, str] | None = None) -> str:
    """An expression or equation in words that have been heard back as the same algebra, numbers as shown.

    Raises BrokenPromise when they would not be.
    """
    said = spoken.render(item, roles or {})
    try:
        back = heard(said)
    except NotHeard as error:
        raise BrokenPromise(f'"{said}" cannot be heard back: {error}') from error
    meant = (
        Equation(as_shown(item.left), as_shown(item.right), item.relation)
        if isinstance(item, Equation)
        else as_shown(item)
    )
    if not same_algebra(meant, back):
        raise BrokenPromise(f'"{said}" is heard as {back}, not as {item}')
    return said


def heard(said: str) -> Expr | Equation:
    """The expression or equation that was spoken. Raises NotHeard."""
    words = re.sub(r"[,.;:]", " ", said).split()
    if len(words) > MOST_WORDS:
        raise NotHeard(f"more than {MOST_WORDS} words", MOST_WORDS)
    hearing = _Hearing(words)
    left = hearing.sum()
    found: Expr | Equation = left
    if hearing.comes(WITHOUT_LIMIT):
        found = Equation(left, Symbol(INFINITY), "→")
    elif relation := hearing.relation():
        found = Equation(left, hearing.sum(), relation)
    if hearing.at != len(words):
        raise hearing.fail(f'"{hearing.word}" does not fit here')
    return found


class _Hearing:
    """One descent through the words."""

    def __init__(self, words: list[str]) -> None:
        self.words, self.at, self.depth = words, 0, 0

    @property
    def word(self) -> str:
        return self.words[self.at] if self.at < len(self.words) else ""

    def fail(self, why: str) -> NotHeard:
        return NotHeard(why, self.at)

    def comes(self, phrase: str) -> bool:
        """Whether the phrase comes next; then it is passed."""
        wanted = phrase.split()
        if self.words[self.at : self.at + len(wanted)] != wanted:
            return False
        self.at += len(wanted)
        return True

    def expect(self, phrase: str) -> None:
        if not self.comes(phrase):
            raise self.fail(
                f'"{phrase}" is missing' + (f' before "{self.word}"' if self.word else " at the end")
            )

    def relation(self) -> str | None:
        for sign, words in RELATIONS.items():
            if self.comes(words):
                return sign
        return None

    # -- the levels of the grammar, loosest first -------------------------------------------------

    def sum(self) -> Expr:
        if self.depth == DEEPEST:
            raise self.fail(f"more than {DEEPEST} groups stand within one another")
        self.depth += 1
        terms = [Negative(self.side()) if self.comes("minus") else self.side()]
        while True:
            if self.comes("plus"):
                terms.append(self.side())
            elif self.comes("minus"):
                terms.append(Negative(self.side()))
            else:
                break
        self.depth -= 1
        return terms[0] if len(terms) == 1 else Sum(tuple(terms))

    def side(self) -> Expr:
        parts = [self.product()]
        while self.comes("in parallel with"):
            parts.append(self.product())
        return parts[0] if len(parts) == 1 else Parallel(tuple(parts))

    def product(self) -> Expr:
        factors = [self.power()]
        while self.comes("times"):
            factors.append(self.power())
        return factors[0] if len(factors) == 1 else Product(tuple(factors))

    def power(self) -> Expr:
        if self.comes("negative"):
            return Negative(self.amount())
        base = self.atom()
        if self.comes("squared"):
            return Power(base, 2)
        if self.comes("cubed"):
            return Power(base, 3)
        if self.comes("to the power"):
            exponent = self.count()
            if not 2 <= exponent <= LARGEST_EXPONENT:
                raise self.fail(f"an exponent lies between 2 and {LARGEST_EXPONENT}")
            return Power(base, exponent)
        return base

    def atom(self) -> Expr:
        if self.comes("the quantity"):
            body = self.sum()
            self.expect("end quantity")
            return body
        if self.comes("the square root of"):
            body = self.sum()
            self.expect("end root")
            return root(body)
        if self.comes("the determinant with"):
            return self.determinant()
        if _is_number_word(self.word) or self.word in ("digits", "start"):
            return self.amount()
        if self.comes("the power in"):
            return self.timed(f"P({self.name()})")
        if self.comes("the power at the terminals of"):
            return self.timed(f"P({self.name()}, terminals)")
        for letter, words in OF_ELEMENT.items():
            if self.comes(f"the {words}"):
                return self.timed(f"{letter}({self.name()})")
        for letter, words in BETWEEN_POINTS.items():
            if self.comes(f"the {words} between"):
                return Symbol(f"{letter}({self.point()}, {self.second_point()}){self.without()}")
        if self.comes("the rate of change of"):
            return Symbol(f"d{self.atom_name()}/dt")
        if self.comes("e to the power of"):
            body = self.sum()
            self.expect("end power")
            return exponential(body)
        for function, words in SPOKEN_FUNCTIONS.items():
            if self.comes(f"the {words} of"):
                body = self.sum()
                self.expect(f"end {words.split()[-1]}")
                return applied(function, body)
        return self.quantity()

    def determinant(self) -> Expr:
        rows: list[tuple[Expr, ...]] = []
        while self.comes("row"):
            row = [self.sum()]
            while self.comes("next"):
                row.append(self.sum())
            rows.append(tuple(row))
        self.expect("end determinant")
        if not rows or any(len(row) != len(rows) for row in rows):
            raise self.fail("a determinant has as many rows as entries in each")
        return Determinant(tuple(rows))

    def atom_name(self) -> str:
        """The name of the quantity that follows."""
        found = self.atom()
        if not isinstance(found, Symbol):
            raise self.fail("a quantity is missing")
        return found.name

    def timed(self, name: str) -> Symbol:
        """A quantity, as a function of the time where that is said."""
        return Symbol(f"{name}(t)" if self.comes("at the time t") else name)

    def fraction(self) -> Expr:
        self.expect("start fraction")
        above = self.sum()
        self.expect("over")
        below = self.sum()
        self.expect("end fraction")
        return Quotient(above, below)

    # -- numbers -----------------------------------------------------------------------------------

    def amount(self) -> Expr:
        """A number or fraction with the unit that may follow."""
        if self.word == "start":
            fraction = self.fraction()
            return self.with_unit(fraction, "") if self.is_unit() else fraction
        digits = self.decimal()
        if self.comes("times ten to the power"):
            power = -self.count() if self.comes("negative") else self.count()
            if abs(power) > LARGEST_EXPONENT:
                raise self.fail(f"a power of ten goes beyond {LARGEST_EXPONENT}")
            return self.with_unit(Number(Fraction(digits) * Fraction(10) ** power), f"{digits}e{power}")
        return self.with_unit(Number(Fraction(digits)), digits)

    def is_unit(self) -> bool:
        return self.word == "square" or self.word in UNIT_WORDS

    def with_unit(self, amount: Expr, digits: str) -> Expr:
        value = _number_value(amount)
        if value is None:
            raise self.fail("a unit follows something that is not a number")
        unit = ""
        if self.is_unit():
            power = "²" if self.comes("square") else ""
            if self.word not in UNIT_WORDS:
                raise self.fail("no unit follows")
            unit = UNIT_WORDS[self.word] + power
            self.at += 1
        return Number(value * scale_of(unit), unit, "" if digits == simple(value) else digits)

    def decimal(self) -> str:
        whole = str(self.count())
        if not self.comes("point"):
            return whole
        part = self.digits()
        if not part:
            raise self.fail('no digit follows "point"')
        return f"{whole}.{part}"

    def digits(self) -> str:
        start = self.at
        while self.word in DIGITS:
            self.at += 1
        return "".join(str(DIGITS.index(word)) for word in self.words[start : self.at])

    def count(self) -> int:
        """A whole number in words."""
        if self.comes("digits"):
            digits = self.digits()
            if not digits or len(digits) > 4000:
                raise self.fail("no number of that length can be heard")
            return int(digits)
        total = 0
        while True:
            group = self.below_thousand()
            if self.word not in SCALES:
                return total + group
            total += group * SCALES[self.word]
            self.at += 1
            self.comes("and")
            if not _is_number_word(self.word):
                return total

    def below_thousand(self) -> int:
        total = self.below_hundred()
        if self.comes("hundred"):
            total *= 100
            self.comes("and")
            if _is_number_word(self.word) and self.word not in SCALES:
                total += self.below_hundred()
        return total

    def below_hundred(self) -> int:
        word = self.word
        tens, hyphen, ones = word.partition("-")
        if tens in TENS and (not hyphen or ones in DIGITS[1:]):
            found = 10 * TENS.index(tens) + 20 + (DIGITS.index(ones) if hyphen else 0)
        elif word in TEENS:
            found = 10 + TEENS.index(word)
        elif word in DIGITS:
            found = DIGITS.index(word)
        else:
            raise self.fail(
                f'a number is missing before "{word}"' if word else "a number is missing at the end"
            )
        self.at += 1
        return found

    # -- names -------------------------------------------------------------------------------------

    def quantity(self) -> Symbol:
        start = self.at
        if self.comes("V between"):
            a, b = self.point(), self.second_point()
            self.meaning(a, b)
            return self.timed(f"V({a}, {b}){self.without()}")
        name = self.name()
        if self.word != "meaning":
            return self.timed(name)
        a, b = name[1:2], name[2:]
        if name[0] != "V" or not b:
            raise NotHeard(f"{name} has no two points", start)
        self.meaning(a, b)
        return self.timed(f"V({a}, {b}){self.without()}")

    def without(self) -> str:
        """The elements that are said to be taken out."""
        found: list[str] = []
        while self.comes("and without" if found else "without"):
            found.append(self.name())
        return f" without {', '.join(found)}" if found else ""

    def meaning(self, a: str, b: str) -> None:
        self.expect("meaning V at")
        first = self.point()
        self.expect("minus V at")
        if (first, self.point()) != (a, b):
            raise self.fail(f"the points named are not {a} and {b}")

    def name(self) -> str:
        name = self.base()
        if self.comes("sub"):
            name += self.spelling()
        while self.comes("prime"):
            name += "′"
        return name

    def base(self) -> str:
        if self.comes("e m f"):
            return "E"
        if self.comes("infinity"):
            return INFINITY
        if self.comes("small"):
            letter = self.word
            if len(letter) != 1:
                raise self.fail('no letter follows "small"')
            self.at += 1
            return letter
        word = self.word
        if len(word) == 1 and not word.islower():
            self.at += 1
            return word
        return self.spelling()

    def point(self) -> str:
        return self.spelling(primes=True)

    def second_point(self) -> str:
        self.expect("and")
        return self.point()

    def spelling(self, *, primes: bool = False) -> str:
        start = self.at
        while self.word and (
            self.word in _IN_SPELLING or not is_reserved(self.word) or self.is_inner_prime(primes)
        ):
            self.at += 1
        if self.at == start:
            raise self.fail(
                f'a name is missing before "{self.word}"' if self.word else "a name is missing at the end"
            )
        try:
            return letters_of(self.words[start : self.at])
        except ValueError as error:
            raise self.fail(f'"{error}" cannot stand in a name') from error

    def is_inner_prime(self, primes: bool) -> bool:
        """A prime that belongs to the spelling, not to the end of a name."""
        if self.word != "prime":
            return False
        rest = self.words[self.at + 1 :] if not primes else []
        after = next((word for word in rest if word != "prime"), "")
        return primes or after in _IN_SPELLING or (bool(after) and not is_reserved(after))


def _is_number_word(word: str) -> bool:
    tens, hyphen, ones = word.partition("-")
    return tens in NUMBER_WORDS and (not hyphen or (tens in TENS and ones in DIGITS))


def _number_value(amount: Expr) -> Fraction | None:
    match amount:
        case Number(value, ""):
            return value
        case Quotient(Number(above, ""), Number(below, "")) if below:
            return above / below
        case _:
            return None
