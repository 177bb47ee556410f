"""What is put on paper: small formulas, numbers with their last written figure, and the pens that write them.

A formula is a tree of the seven nodes below. It can be worked out exactly (`worth`) or for every choice of
the rounded numbers in it (`span`), and a `Pen` writes it in one person's notation.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

Env = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class Num:
    """A number as written: value, figures, unit, and half a unit of its last figure (0: exact)."""

    value: Fraction
    text: str
    unit: str = ""
    half: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Sym:
    """A name."""

    name: str


@dataclass(frozen=True, slots=True)
class Sum:
    """Terms with their signs."""

    terms: tuple[tuple[int, Tree], ...]


@dataclass(frozen=True, slots=True)
class Prod:
    """Factors in the order in which they are written."""

    factors: tuple[Tree, ...]


@dataclass(frozen=True, slots=True)
class Quot:
    """A fraction."""

    top: Tree
    bottom: Tree


@dataclass(frozen=True, slots=True)
class Beside:
    """Resistances in parallel, written with a sign for it."""

    parts: tuple[Tree, ...]


@dataclass(frozen=True, slots=True)
class Square:
    """A square."""

    of: Tree


Tree = Num | Sym | Sum | Prod | Quot | Beside | Square


def total(*terms: tuple[int, Tree]) -> Tree:
    """The sum of the terms, or the one term itself."""
    return terms[0][1] if len(terms) == 1 and terms[0][0] > 0 else Sum(tuple(terms))


def times(*factors: Tree) -> Tree:
    """The product, or the one factor itself."""
    return factors[0] if len(factors) == 1 else Prod(tuple(factors))


def worth(tree: Tree, env: Env) -> Fraction:
    """The value with the names put in; raises ZeroDivisionError and KeyError."""
    match tree:
        case Num():
            return tree.value
        case Sym():
            return env[tree.name]
        case Sum():
            return sum((sign * worth(each, env) for sign, each in tree.terms), Fraction(0))
        case Prod():
            made = Fraction(1)
            for each in tree.factors:
                made *= worth(each, env)
            return made
        case Quot():
            return worth(tree.top, env) / worth(tree.bottom, env)
        case Beside():
            return 1 / sum((1 / worth(each, env) for each in tree.parts), Fraction(0))
        case Square():
            return worth(tree.of, env) ** 2


Span = tuple[Fraction, Fraction]


def span(tree: Tree, env: Mapping[str, Span]) -> Span:
    """The least and the greatest value for every choice of the rounded numbers within their last figure."""
    match tree:
        case Num():
            return tree.value - tree.half, tree.value + tree.half
        case Sym():
            return env[tree.name]
        case Sum():
            low = high = Fraction(0)
            for sign, each in tree.terms:
                a, b = span(each, env)
                low, high = low + (a if sign > 0 else -b), high + (b if sign > 0 else -a)
            return low, high
        case Prod():
            made = (Fraction(1), Fraction(1))
            for each in tree.factors:
                made = _product(made, span(each, env))
            return made
        case Quot():
            return _product(span(tree.top, env), _inverse(span(tree.bottom, env)))
        case Beside():
            inverses = [_inverse(span(each, env)) for each in tree.parts]
            return _inverse((sum(i[0] for i in inverses), sum(i[1] for i in inverses)))  # type: ignore[arg-type]
        case Square():
            inner = span(tree.of, env)
            return _product(inner, inner)


def _product(a: Span, b: Span) -> Span:
    ends = [x * y for x in a for y in b]
    return min(ends), max(ends)


def _inverse(a: Span) -> Span:
    if a[0] <= 0 <= a[1]:
        raise ZeroDivisionError
    return 1 / a[1], 1 / a[0]


def put_in(tree: Tree, numbers: Mapping[str, Num]) -> Tree:
    """The formula with numbers for those names that have one."""
    match tree:
        case Sym():
            return numbers.get(tree.name, tree)
        case Num():
            return tree
        case Sum():
            return Sum(tuple((sign, put_in(each, numbers)) for sign, each in tree.terms))
        case Prod():
            return Prod(tuple(put_in(each, numbers) for each in tree.factors))
        case Quot():
            return Quot(put_in(tree.top, numbers), put_in(tree.bottom, numbers))
        case Beside():
            return Beside(tuple(put_in(each, numbers) for each in tree.parts))
        case Square():
            return Square(put_in(tree.of, numbers))


# -- figures ---------------------------------------------------------------------------------------


def rounded(value: Fraction, figures: int, unit: str = "", *, cut: bool = False, tidy: bool = False) -> Num:
    """The value to so many figures, halves away from zero; whole figures are never dropped. `cut`: the rest
    is cut off instead. `tidy`: an exact value is written without noughts at its end."""
    places = _places(value, figures)
    scale = Fraction(10) ** places
    size = abs(value) * scale
    whole = int(size) if cut else int(size + Fraction(1, 2))
    shown = Fraction(whole) / scale * (1 if value >= 0 else -1)
    if not cut and shown and _places(shown, figures) < places:
        places -= 1  # 9.996 became 10.00
    text = _decimal(shown, places)
    exact = shown == value
    if exact and tidy and "." in text:
        text = text.rstrip("0").rstrip(".")
    return Num(shown, text, unit, Fraction(0) if exact else Fraction(1, 2) / Fraction(10) ** places)


def plain(value: Fraction, unit: str = "") -> Num | None:
    """The value in full, where that takes six figures or fewer."""
    for places in range(6):
        if (value * 10**places).denominator == 1:
            text = _decimal(value, places)
            return Num(value, text, unit) if len(text.strip("-0.").replace(".", "")) <= 6 else None
    return None


def _places(value: Fraction, figures: int) -> int:
    if value == 0:
        return max(figures - 1, 0)
    power, size = 0, abs(value)
    while size >= 10:
        size, power = size / 10, power + 1
    while size < 1:
        size, power = size * 10, power - 1
    return max(figures - 1 - power, 0)


def _decimal(value: Fraction, places: int) -> str:
    whole = int(abs(value) * 10**places + Fraction(1, 2))
    digits = str(whole).rjust(places + 1, "0")
    sign = "-" if value < 0 and whole else ""
    return sign + (digits[:-places] + "." + digits[-places:] if places else digits)


# -- pens ------------------------------------------------------------------------------------------

SUB = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
GREEK = {"Ω": "\\Omega", "kΩ": "k\\Omega"}


@dataclass(frozen=True, slots=True)
class Pen:
    """One person's notation. `kind`: plain, unicode or latex. `dot`: between two numbers; `touch`: what
    stands between a number and a name, `join` between two names. `sub`: how a subscript is written."""

    kind: str = "plain"
    comma: bool = False
    dot: str = "*"
    touch: str = " "
    join: str = " "
    sub: str = "none"
    beside: str = "||"
    minus: str = "-"
    divide: str = "/"
    gap: str = " "
    ohm: str = "ohm"
    unit_gap: str = " "
    text_units: str = "\\mathrm"

    def name(self, name: str) -> str:
        """A name with its subscript and its marks."""
        marks = len(name) - len(name.rstrip("'"))
        bare = name.rstrip("'")
        head, low = bare.split("_", 1) if "_" in bare else (bare[0], bare[1:])
        if self.kind == "latex":
            made = head if not low else f"{head}_{low}" if len(low) == 1 else f"{head}_{{{low}}}"
            return made + "'" * marks
        if "_" in bare and self.sub != "digit":
            made = bare
        elif self.sub == "digit" and low.isdigit():
            made = head + low.translate(SUB)
        elif self.sub == "line" and low:
            made = f"{head}_{low}"
        else:
            made = bare
        return made + "'" * marks

    def number(self, num: Num) -> str:
        """A number with its unit."""
        text = num.text.replace("-", self.minus)
        if self.comma:
            text = text.replace(".", "{,}" if self.kind == "latex" else ",")
        return text + (self.unit_gap if num.unit else "") + self.unit(num.unit)

    def unit(self, unit: str) -> str:
        """A unit alone."""
        if not unit:
            return ""
        if self.kind == "latex":
            inside = GREEK.get(unit, unit)
            return f"\\,{self.text_units}{{{inside}}}" if self.text_units == "\\mathrm" else (
                f"\\ {inside}" if inside.startswith("\\") else f"\\,\\mathrm{{{inside}}}"
            )  # fmt: skip
        return unit.replace("Ω", self.ohm)

    def write(self, tree: Tree, least: int = 0, *, lead: bool = False) -> str:
        """The formula; `least`: how tightly it has to hold together (0 sum, 1 product, 2 factor). `lead`:
        nothing stands before it, so that a minus needs no brackets."""
        text, tight = self._made(tree, lead)
        if tight >= least:
            return text
        return f"\\left({text}\\right)" if self.kind == "latex" and "frac" in text else f"({text})"

    def _made(self, tree: Tree, lead: bool) -> tuple[str, int]:
        match tree:
            case Num():
                return self.number(tree), (3 if lead else 0 if tree.value < 0 else 1 if tree.unit else 3)
            case Sym():
                return self.name(tree.name), 3
            case Sum():
                return self._sum(tree), 0
            case Prod():
                return self._product(tree.factors, lead), 1
            case Quot():
                if self.divide == "frac":
                    top, bottom = self.write(tree.top, lead=True), self.write(tree.bottom, lead=True)
                    return f"\\frac{{{top}}}{{{bottom}}}", 2
                return f"{self.write(tree.top, 1, lead=lead)}{self.divide}{self.write(tree.bottom, 2)}", 1
            case Beside():
                sign = "\\parallel" if self.kind == "latex" else self.beside
                return f" {sign} ".join(self.write(each, 2) for each in tree.parts), 0
            case Square():
                up = "²" if self.kind == "unicode" else "^2"
                return f"{self.write(tree.of, 3)}{up}", 2

    def _sum(self, tree: Sum) -> str:
        text = ""
        for sign, each in tree.terms:
            inner = self.write(each, 1, lead=not text and sign > 0)
            if not text:
                text = (self.minus if sign < 0 else "") + inner
            else:
                text += f"{self.gap}{self.minus if sign < 0 else '+'}{self.gap}{inner}"
        return text

    def _product(self, factors: Sequence[Tree], lead: bool) -> str:
        text, before = "", None
        for each in factors:
            if before is None:
                whole = lead or (isinstance(each, Num) and each.value >= 0)
                inner = self.write(each, 1 if isinstance(each, Quot) else 2, lead=whole)
            else:
                inner = self.write(each, 2)
                text += self._between(before, each, inner)
            text, before = text + inner, each
        return text

    def _between(self, before: Tree, each: Tree, inner: str) -> str:
        bare = each.of if isinstance(each, Square) else each
        if (isinstance(before, Num) and before.unit) or (isinstance(bare, Num) and not inner.startswith("(")):
            return "*" if self.dot == " x " and not _bare(before) else self.dot
        if inner.startswith(("(", "\\left")):
            return self.touch if self.touch.strip() else ""
        if isinstance(before, Num):
            return self.touch
        if self.join == "" and not _fits(before, each):
            return " "
        return self.join


def _fits(before: Tree, each: Tree) -> bool:
    """Whether two names may touch: a letter and digits each."""
    both = (before, each)
    return all(isinstance(x, Sym) and re.fullmatch(r"[A-Za-z]\d", x.name) for x in both)


def _bare(before: Tree) -> bool:
    """Whether a number without a unit stands before a sign."""
    return isinstance(before, Num) and not before.unit
