"""Equations of the first degree worked by hand on paper: one unknown, two unknowns by subtracting or by
putting in, more by calculator; with the slips that are made on the way."""

from __future__ import annotations

import random
from fractions import Fraction
from math import gcd, lcm

from tests.strangers.figures import NoAnswer, Row, ends, places_for, rounded
from tests.strangers.formulas import Formula, Num, Prod, Quot, Sum, Sym
from tests.strangers.hands import in_symbols, written
from tests.strangers.paper import Paper, answer, misworked


def linear(weights: list[Fraction], names: list[str], constant: Fraction = Fraction(0)) -> Formula:
    """a x + b y + c as a person writes it: no factor 1, no term 0."""
    terms: list[tuple[int, Formula]] = []
    for w, n in zip(weights, names, strict=True):
        if w != 0:
            size = abs(w)
            terms.append((1 if w > 0 else -1, Sym(n) if size == 1 else Prod((Num(size), Sym(n)))))
    if constant != 0 or not terms:
        terms.append((1 if constant >= 0 else -1, Num(abs(constant))))
    return terms[0][1] if len(terms) == 1 and terms[0][0] > 0 else Sum(tuple(terms))


def put_down(paper: Paper, left: Formula, right: Formula, lead: str = "") -> None:
    """An equation in plain numbers."""
    hand = paper.hand
    paper.say(lead + hand.equation([written(f, hand, in_symbols(hand)) for f in (left, right)]))


def neat(paper: Paper, row: Row) -> Row:
    """The row as a person would go on with it: fractions multiplied out, or decimals rounded (or, by somebody
    who mixes, now and then left as the calculator holds them, or anything that rounds to the same)."""
    weights, constant = row
    every = [*weights, constant]
    if all(ends(x) and (x * 1000).denominator == 1 for x in every):
        return row
    scale = Fraction(lcm(*(x.denominator for x in every)))
    whole = [x * scale for x in every]
    common = gcd(*(int(x) for x in whole))
    whole = [x / common for x in whole] if common else whole
    if max(abs(x) for x in whole) < 2000:
        return whole[:-1], whole[-1]
    if paper.mixes and paper.mixes.random() < 0.5:
        return row
    figures = max(paper.hand.figures, 3) + 1
    if paper.mixes:
        return [near(paper.mixes, x, figures) for x in weights], near(paper.mixes, constant, figures)
    return [rounded(x, figures) for x in weights], rounded(constant, figures)


def near(chance: random.Random, value: Fraction, figures: int) -> Fraction:
    """A rounded value, or the least or the greatest that rounds to it."""
    if value == 0:
        return value
    half = Fraction(1, 2) / Fraction(10) ** places_for(value, figures)
    return rounded(value, figures) + chance.choice((-1, 0, 1)) * half


def off(paper: Paper, value: Fraction) -> Fraction:
    """A number worked out on the way, or what a slip of arithmetic makes of it."""
    if value != 0 and paper.slipped("digits"):
        paper.made("digits", True)
        return misworked(value)
    return value


def one_unknown(paper: Paper, weight: Fraction, constant: Fraction, name: str, dim: str) -> Fraction:
    """weight x = constant, and x = constant/weight = value."""
    put_down(paper, linear([weight], [name]), Num(constant))
    return divided(paper, weight, constant, name, dim)


def divided(paper: Paper, weight: Fraction, constant: Fraction, name: str, dim: str) -> Fraction:
    """x = constant/weight = value, or the fraction upside down."""
    hand = paper.hand
    if weight == 0 or constant == 0:
        raise NoAnswer
    above, below = constant, weight
    if paper.slipped("inverted"):
        paper.made("inverted", abs(above) != abs(below))
        above, below = below, above
    value, text = paper.result(above / below, dim, name)
    parts = [paper.name(name)]
    if below != 1 and hand.figures:
        parts.append(written(Quot(Num(above), Num(below)), hand, in_symbols(hand)))
    paper.say(hand.equation([*parts, text]))
    paper.note(name, dim, value)
    return paper.known[name]


def two_unknowns(paper: Paper, rows: list[Row], names: list[str], dim: str) -> None:
    """Both unknowns, by the way of the hand."""
    (first, c1), (second, c2) = rows
    if 0 in (*first, *second):
        by_calculator(paper, rows, names, dim)
    elif paper.hand.eliminate == "subtract":
        _by_subtracting(paper, first, c1, second, c2, names, dim)
    else:
        _by_putting_in(paper, first, c1, second, c2, names, dim)


def _by_subtracting(
    paper: Paper,
    first: list[Fraction],
    c1: Fraction,
    second: list[Fraction],
    c2: Fraction,
    names: list[str],
    dim: str,
) -> None:
    (a, b), (d, e) = first, second
    lines = []
    for label, (p, q, r), k in (("1", (a, b, c1), abs(e)), ("2", (d, e, c2), abs(b))):
        constant = r * k
        if paper.slipped("one-term-unmultiplied"):
            paper.made("one-term-unmultiplied", k != 1 and r != 0)
            constant = r
        elif r != 0:
            constant = off(paper, constant)
        lead = f"({label}) times {Num(k).value}: " if paper.hand.labels and k.denominator == 1 else ""
        put_down(paper, linear([p * k, q * k], names), Num(constant), lead)
        lines.append((p * k, q * k, constant))
    (p, q, r), (s, t, u) = lines
    sign = -1 if q == t else 1
    verb = "Subtract" if sign < 0 else "Add"
    weight = p + sign * s
    if paper.slipped("added-for-subtracted"):
        paper.made("added-for-subtracted", True)
        weight = p - sign * s
    paper.talk(f"{verb} the two lines:")
    one_unknown(paper, weight, r + sign * u, names[0], dim)
    _put_back(paper, a, b, c1, names, dim)


def _put_back(paper: Paper, a: Fraction, b: Fraction, c: Fraction, names: list[str], dim: str) -> None:
    """The second unknown from the first: y = (c - a x)/b."""
    x, y = names
    sign = -1
    if paper.slipped("moved-sign"):
        paper.made("moved-sign", True)
        sign = 1
    value = (c + sign * a * paper.known[x]) / b
    value, text = paper.result(value, dim, y)
    hand = paper.hand
    a_sign = sign if a > 0 else -sign
    product = Sym(x) if abs(a) == 1 else Prod((Num(abs(a)), Sym(x)))
    top: Formula = Sum((*(((1, Num(c)),) if c else ()), (a_sign, product)))
    whole = top if b == 1 else Quot(top, Num(b))
    parts = [paper.name(y), written(whole, hand, in_symbols(hand)), written(whole, hand, paper.leaf())]
    paper.say(hand.equation([*parts, text]))
    paper.note(y, dim, value)


def _by_putting_in(
    paper: Paper,
    first: list[Fraction],
    c1: Fraction,
    second: list[Fraction],
    c2: Fraction,
    names: list[str],
    dim: str,
) -> None:
    (a, b), (d, e) = first, second
    x, y = names
    sign = -1
    if paper.slipped("moved-sign"):
        paper.made("moved-sign", True)
        sign = 1
    a_sign = sign if a > 0 else -sign
    product = Sym(x) if abs(a) == 1 else Prod((Num(abs(a)), Sym(x)))
    top: Formula = Sum((*(((1, Num(c1)),) if c1 else ()), (a_sign, product)))
    put_down(paper, Sym(y), top if b == 1 else Quot(top, Num(b)), "From (1): " if paper.hand.labels else "")
    # d x + e (c1 + sign a x)/b = c2, times b
    weight, constant = d * b + sign * e * a, c2 * b - e * c1
    if paper.slipped("minus-bracket"):
        paper.made("minus-bracket", e * c1 != 0)
        constant = c2 * b + e * c1
    elif paper.slipped("one-term-unmultiplied"):
        paper.made("one-term-unmultiplied", b != 1 and c2 != 0)
        constant = c2 - e * c1
    paper.talk("Put into (2) and multiplied out:" if paper.hand.labels else "Put in and multiplied out:")
    one_unknown(paper, weight, off(paper, constant), x, dim)
    value = (c1 + sign * a * paper.known[x]) / b
    value, text = paper.result(value, dim, y)
    hand = paper.hand
    whole = top if b == 1 else Quot(top, Num(b))
    paper.say(hand.equation([paper.name(y), written(whole, hand, paper.leaf()), text]))
    paper.note(y, dim, value)


def by_calculator(paper: Paper, rows: list[Row], names: list[str], dim: str) -> None:
    """All unknowns at once, as a calculator or a matrix gives them."""
    found = answer(rows)
    paper.talk("Solved with the calculator:")
    parts = [paper.state(n, dim, x) for n, x in zip(names, found, strict=True)]
    if paper.hand.talk == 0:
        for part in parts:
            paper.say(part)
    else:
        paper.say(", ".join(parts))
