"""Hands: how one writer spells names, products, fractions, numbers and units. What is written, not what is
true."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from tests.strangers.figures import as_rounded, decimal, ends, fraction, rounded
from tests.strangers.formulas import Formula, Num, Par, Prod, Quot, Sum, Sym, spelled

SUBSCRIPTS = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
SUM, WITH_UNIT, PRODUCT, ATOM = 1, 2, 3, 4  # how tightly a piece of text binds


@dataclass(frozen=True, slots=True)
class Hand:
    """A writer's habits.

    `notation`: plain, pretty or tex. `figures`: significant figures of results, 0 for fractions.
    `carry`: whether the rounded number is carried on, or what the calculator holds. `zeros`: 2.00 for
    an exact 2. `show`: "chain" (formula = numbers = value), "numbers" (numbers = value), "symbols"
    (the formula, and the value on a line of its own), "letters" (no numbers at all). `units`: none,
    result, all. `dot`: between numbers. `gap`: between symbols. `parallel`: how side by side is
    written. `talk`: 0 to 2, how many words stand between. `declare`: whether names are introduced in
    words. `names`: which family of names for what the method speaks of. `check`: whether the currents
    are added up at the end. `eliminate`: "subtract" or "put in". `rounds`: the sign before a rounded
    result. `point`: "0." or "." before decimals. `small`: whether small results are given in
    milliamperes as well.
    """

    name: str
    notation: str = "plain"
    figures: int = 3
    carry: bool = True
    zeros: bool = False
    show: str = "chain"
    units: str = "result"
    dot: str = "*"
    gap: str = " "
    parallel: str = "product"
    talk: int = 1
    declare: bool = True
    names: int = 0
    ohm: str = "ohm"
    check: bool = False
    labels: bool = True
    eliminate: str = "subtract"
    rounds: str = "="
    point: str = "0."
    small: bool = False

    def named(self, name: str) -> str:
        """A name in this hand: R12 -> R_{12}, R₁₂; I1'' keeps its strokes behind."""
        body = name.rstrip("'")
        strokes = name[len(body) :]
        if self.notation == "plain":
            return name
        greek = {"φ": r"\varphi", "Δ": r"\Delta"} if self.notation == "tex" else {}
        split = re.fullmatch(r"(Δ|[A-Za-zφ])_?(\w*)", body)
        if split is None:
            return name
        head, tail = greek.get(split[1], split[1]), split[2]
        if self.notation == "pretty":
            return (head + tail.translate(SUBSCRIPTS) if tail.isdigit() else body) + strokes
        if not tail:
            return head + strokes
        return f"{head}_{tail}{strokes}" if len(tail) == 1 else f"{head}_{{{tail}}}{strokes}"

    def number(self, value: Fraction, exact: bool = False) -> str:
        """A number as this hand writes a result; `exact`: a given value, never rounded."""
        if self.figures == 0 and not exact:
            return fraction(value)
        if exact or (not self.zeros and ends(value) and rounded(value, self.figures) == value):
            return decimal(value) if ends(value) else fraction(value)
        return as_rounded(value, self.figures)

    def on_paper(self, value: Fraction) -> Fraction:
        """What is carried on of a result."""
        return value if self.figures == 0 or not self.carry else rounded(value, self.figures)

    def with_unit(self, text: str, unit: str) -> str:
        """A number's text and its unit."""
        if not unit or self.units == "none":
            return text
        return rf"{text}\,\mathrm{{{unit}}}" if self.notation == "tex" else f"{text} {unit}"

    def minus(self) -> str:
        return "−" if self.notation == "pretty" else "-"

    def product_sign(self, numeric: bool) -> str:
        """What stands between two factors."""
        if not numeric:
            return self.gap
        return r" \cdot " if self.notation == "tex" else self.dot

    def equation(self, parts: list[str], sign: str = " = ") -> str:
        """A chain of equal things, in dollars where LaTeX is typed."""
        text = sign.join(parts).replace("-", self.minus())
        if self.point == ".":
            text = re.sub(r"(?<![\d.])0\.", ".", text)
        return f"${text}$" if self.notation == "tex" else text


Leaf = Callable[[str], tuple[str, int, bool]]
"""How a name is written in one place: its text, how tightly it binds, whether it is a number."""


def written(f: Formula, hand: Hand, leaf: Leaf) -> str:
    """A formula in a hand."""
    return _spell(f, hand, leaf)[0]


def _bracket(text: str) -> str:
    return f"({text})"


def _spell(f: Formula, hand: Hand, leaf: Leaf) -> tuple[str, int, bool]:
    match f:
        case Sym(name):
            return leaf(name)
        case Num(value):
            text = decimal(value) if ends(value) else fraction(value)
            binds = SUM if value < 0 else ATOM if "/" not in text else PRODUCT
            return text, binds, True
        case Sum(terms):
            return _spell_sum(terms, hand, leaf), SUM, False
        case Prod(factors):
            return _spell_product(factors, hand, leaf)
        case Quot(above, below):
            return _spell_quotient(above, below, hand, leaf)
        case Par(parts, form):
            if form != "bars":
                return _spell(spelled(f), hand, leaf)
            bars = r" \parallel " if hand.notation == "tex" else " || "
            each = [_spell(p, hand, leaf) for p in parts]
            return bars.join(t if b == ATOM else _bracket(t) for t, b, _ in each), SUM, False


def _spell_sum(terms: tuple[tuple[int, Formula], ...], hand: Hand, leaf: Leaf) -> str:
    out = ""
    for sign, term in terms:
        text, binds, _ = _spell(term, hand, leaf)
        if binds == SUM and (out or sign < 0):
            text = _bracket(text)
        out += (f" - {text}" if sign < 0 else f" + {text}") if out else (f"-{text}" if sign < 0 else text)
    return out


def _spell_product(factors: tuple[Formula, ...], hand: Hand, leaf: Leaf) -> tuple[str, int, bool]:
    each = [_spell(p, hand, leaf) for p in factors]
    each.sort(key=lambda e: not (e[2] and e[1] != SUM))  # numbers come first: 6 I1
    out, last_number = "", False
    for text, binds, number in each:
        piece = _bracket(text) if binds <= WITH_UNIT or (binds == PRODUCT and out) else text
        between = hand.product_sign(last_number and number) if out else ""
        out += between + piece
        last_number = number
    return out, PRODUCT, all(number for _, _, number in each)


def _spell_quotient(above: Formula, below: Formula, hand: Hand, leaf: Leaf) -> tuple[str, int, bool]:
    up, up_binds, up_number = _spell(above, hand, leaf)
    down, down_binds, down_number = _spell(below, hand, leaf)
    if hand.notation == "tex":
        return rf"\frac{{{up}}}{{{down}}}", PRODUCT, False
    up = _bracket(up) if up_binds <= WITH_UNIT else up
    down = down if down_binds == ATOM else _bracket(down)
    return f"{up}/{down}", PRODUCT, up_number and down_number


def in_symbols(hand: Hand) -> Leaf:
    """Names stand as names."""
    return lambda name: (hand.named(name), ATOM, False)


def in_numbers(
    hand: Hand,
    texts: Mapping[str, str],
    given: Mapping[str, Fraction],
    unit_of: Mapping[str, str],
    instead: Mapping[str, Fraction],
) -> Leaf:
    """Known names stand as their numbers, unknown ones as names."""

    def leaf(name: str) -> tuple[str, int, bool]:
        if name in instead:
            text = hand.number(instead[name], exact=True)
        elif name in given:
            text = hand.number(given[name], exact=True)
        elif name in texts:
            text = texts[name]
        else:
            return hand.named(name), ATOM, False
        if hand.units == "all":
            return hand.with_unit(text, unit_of[name]), SUM if text.startswith("-") else WITH_UNIT, True
        return text, SUM if text.startswith("-") else PRODUCT if "/" in text else ATOM, True

    return leaf
