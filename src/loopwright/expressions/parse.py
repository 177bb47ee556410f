"""The grammar of written algebra: a line of text into an expression or equation tree.

    equation  sum (= or ≈) sum
    sum       [+ or −] side { (+ or −) side }
    side      product { ∥ product }                    resistances in parallel
    product   power { [·] power  or  / power }         strictly from left to right
    power     atom [ ^ whole number, or a raised one ]
    atom      number [unit], name, V(a, b), R(a, b) without E1, P(R1), or a sum in brackets ( ) [ ] { }
              √ atom                                     where square roots are read at all
              e^ exponent, exp( sum ), ln( sum ), ln atom    where time is spoken of

A product without a sign binds like one with a sign, and products and divisions are read from left to
right without exception: `a/b c` is (a/b) c, and E/(2 R) needs its brackets. One rule, always the same;
the form shown back to the writer stands the fraction upright, where a slip is seen at once. `2 R ∥ R`
puts 2 R beside R. A number without a sign before it may only begin a product (`R 2` is refused, since
R2 may be meant). The tree keeps the form as written; nothing is evaluated.
"""

from __future__ import annotations

from collections.abc import Collection

from .nodes import (
    ONE,
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
    number,
    parts_of,
    root,
)
from .tokens import Token, TokenSort, Unreadable, scale_of, tokens_of

__all__ = ["Unreadable", "equation", "expression"]

DEEPEST = 50  # brackets within brackets, and fractions within fractions
LARGEST_EXPONENT = 20
APPLIED = ("ln", "cos", "sin")
FUNCTIONS = ("e", "exp", *APPLIED)  # in formulas of the time

_CLOSING = {"(": ")", "[": "]", "{": "}"}
_STARTS_ATOM = (TokenSort.NAME, TokenSort.OPEN, TokenSort.ROOT)


def expression(
    text: str,
    known: Collection[str] = (),
    *,
    freely: bool = False,
    tight: bool = False,
    roots: bool = False,
    in_time: bool = False,
) -> Expr:
    """Reads one expression. Raises Unreadable with the place and a plain reason.

    `known`: the names in use, if the caller has them; `R1R3` is then the product of two known names, and a
    known `V` after a number is not the volt. `freely`: read as people write in a working, with units after
    brackets (see `tokens_of`) and `(1/R1 + 1/R2)^-1` for one over the bracket. `tight`: read `E/2R` as E
    over 2R, as some people mean it, and not by the rule above. `roots`: allow square roots, which no value
    of an element and no equation of a circuit has. `in_time`: read what speaks of time as well, which is
    `e^(-t/τ)`, `exp(-1000 t)`, `ln 3`, `5 s`, `2 C` and roots.
    """
    reading = _Reading(text, known, freely, tight, in_time)
    reading.roots = roots or in_time
    found = reading.sum()
    reading.finish()
    return found


def equation(text: str, known: Collection[str] = ()) -> Equation:
    """Reads an equation of two sides joined by `=` or `≈`. Raises Unreadable."""
    reading = _Reading(text, known)
    left = reading.sum()
    sign = reading.token
    if sign.sort is TokenSort.END:
        raise Unreadable('there is no "=", so it is not an equation', text, sign.position)
    if sign.sort is not TokenSort.RELATION:
        reading.finish()
    reading.step()
    right = reading.sum()
    if reading.token.sort is TokenSort.RELATION:
        why = 'a second "=" follows; write one equation at a time'
        raise Unreadable(why, text, reading.token.position)
    reading.finish()
    return Equation(left, right, sign.words)


class _Reading:
    """One descent through the tokens of a text."""

    def __init__(
        self,
        text: str,
        known: Collection[str],
        freely: bool = False,
        tight: bool = False,
        in_time: bool = False,
    ) -> None:
        self.text, self.freely, self.tight, self.roots, self.in_time = text, freely, tight, False, in_time
        self.tokens = tokens_of(text, known, freely=freely, in_time=in_time)
        self.index = 0
        self.opened: list[Token] = []

    @property
    def token(self) -> Token:
        return self.tokens[self.index]

    def step(self) -> Token:
        token = self.tokens[self.index]
        self.index += token.sort is not TokenSort.END
        return token

    def fail(self, why: str, token: Token | None = None) -> Unreadable:
        return Unreadable(why, self.text, (token or self.token).position)

    def finish(self) -> None:
        """Sees to it that nothing is left over."""
        token = self.token
        if token.sort is TokenSort.END:
            return
        if token.sort is TokenSort.CLOSE:
            raise self.fail(f'"{token.words}" closes a bracket that was never opened')
        if token.sort is TokenSort.RELATION:
            raise self.fail(f'"{token.words}" makes it an equation, where one expression is wanted')
        if token.sort is TokenSort.NUMBER:
            why = f"a number follows without a sign; write ·{token.words}, or join it to the name before it"
            raise self.fail(why)
        raise self.fail(f'"{token.words}" does not fit here')

    # -- the levels of the grammar, loosest first -------------------------------------------------

    def sum(self) -> Expr:
        terms = [self.term(self.step() if self.token.sort in (TokenSort.PLUS, TokenSort.MINUS) else None)]
        while self.token.sort in (TokenSort.PLUS, TokenSort.MINUS):
            terms.append(self.term(self.step()))
        return terms[0] if len(terms) == 1 else Sum(tuple(terms))

    def term(self, sign: Token | None) -> Expr:
        body = self.side()
        return Negative(body) if sign is not None and sign.sort is TokenSort.MINUS else body

    def side(self) -> Expr:
        parts = [self.product()]
        while self.token.sort is TokenSort.PARALLEL:
            self.step()
            parts.append(self.product())
        return parts[0] if len(parts) == 1 else Parallel(tuple(parts))

    def product(self) -> Expr:
        factors = [self.signed_power()]
        divisions = 0
        while True:
            sort = self.token.sort
            if sort is TokenSort.TIMES:
                self.step()
                factors.append(self.signed_power())
            elif sort is TokenSort.OVER:
                if (divisions := divisions + 1) > DEEPEST:
                    raise self.fail(f"more than {DEEPEST} divisions follow one another")
                self.step()
                loose = self.freely and self.token.sort is TokenSort.NUMBER
                factors = _divided(_product(factors), self.divisor(), loose)
            elif sort in _STARTS_ATOM:
                factors.append(self.power())
            else:
                return _product(factors)

    def divisor(self) -> Expr:
        factors = [self.signed_power()]
        while self.tight and self.token.sort in _STARTS_ATOM and not isinstance(self.token.leaf, Number):
            factors.append(self.power())
        return _product(factors)

    def signed_power(self) -> Expr:
        """A factor that may have a minus of its own, as in `2·−3` and `a − −b`."""
        if (
            self.token.sort is TokenSort.MINUS
            and self.index
            and self.tokens[self.index - 1].sort is not TokenSort.OPEN
        ):
            self.step()
            return Negative(self.power())
        return self.power()

    def power(self) -> Expr:
        if self.in_time and (function := self.function()) is not None:
            return function
        base = self.atom()
        token = self.token
        if token.sort is TokenSort.RAISED:
            self.step()
            return self.raised(base, token)
        if token.sort is TokenSort.POWER:
            self.step()
            if self.freely and self.token.sort is TokenSort.OPEN:
                return self.bracketed_exponent(base, self.step())
            if self.freely and self.token.sort is TokenSort.MINUS:
                self.step()
                above, unit = _unit_apart(base)
                return Quotient(above, self.raised(unit, self.step()))
            token = self.step()
            return self.raised(base, token)
        return base

    def function(self) -> Expr | None:
        """`e^(…)`, `e^-t/τ`, `exp(…)`, `ln(…)`, `ln 3` and `cos(…)`; None where something else comes."""
        words, after = self.token.words, self.tokens[min(self.index + 1, len(self.tokens) - 1)].sort
        if words == "e" and after in (TokenSort.POWER, TokenSort.RAISED):
            self.step()
            token = self.step()
            if token.sort is TokenSort.RAISED:
                lowered = int(token.words.translate(_LOWERED)) if len(token.words) < 6 else 0
                return exponential(number(lowered))
            if self.token.sort is TokenSort.OPEN:
                return exponential(self.bracketed(self.step()))
            return exponential(self.open_exponent())
        if words == "exp" and after is TokenSort.OPEN:
            self.step()
            return exponential(self.bracketed(self.step()))
        if words in APPLIED and after in (TokenSort.OPEN, TokenSort.NUMBER, TokenSort.NAME):
            self.step()
            if after is TokenSort.OPEN:
                return applied(words, self.bracketed(self.step()))
            return applied(words, self.atom() if words == "ln" else self.open_angle())
        return None

    def open_angle(self) -> Expr:
        """An angle without brackets, as far as numbers and names follow one another: `cos 4 t`, `sin ω t`."""
        factors = [self.atom()]
        while (
            self.token.sort is TokenSort.NAME
            and isinstance(self.token.leaf, Symbol)
            and not self.begins_function()
        ):
            factors.append(self.atom())
        return _product(factors)

    def open_exponent(self) -> Expr:
        """An exponent without brackets, as far as it goes on: `e^-t/τ`, `e^-1000 t`."""
        minus = self.token.sort is TokenSort.MINUS
        if minus:
            self.step()
        factors = [self.atom()]
        while True:
            token = self.token
            if token.sort in (TokenSort.OVER, TokenSort.TIMES):
                self.step()
                other = self.atom()
                if token.sort is TokenSort.OVER:
                    factors = _divided(_product(factors), other, loose=False)
                else:
                    factors.append(other)
            elif (
                token.sort is TokenSort.NAME and isinstance(token.leaf, Symbol) and not self.begins_function()
            ):
                factors.append(self.atom())
            else:
                body = _product(factors)
                return Negative(body) if minus else body

    def begins_function(self) -> bool:
        return self.token.words in FUNCTIONS

    def bracketed_exponent(self, base: Expr, opening: Token) -> Expr:
        """`R^(2)` and `R^(-1)`."""
        upside_down = self.token.sort is TokenSort.MINUS
        above: Expr = ONE
        if upside_down:
            self.step()
            above, base = _unit_apart(base)
        found = self.raised(base, self.step(), closed=False)
        closing = self.token
        if closing.sort is not TokenSort.CLOSE or closing.words != _CLOSING[opening.words]:
            raise self.fail("an exponent is a whole number", opening)
        self.step()
        return Quotient(above, found) if upside_down else found

    def raised(self, base: Expr, token: Token, *, closed: bool = True) -> Expr:
        leaf = token.leaf
        if token.sort is TokenSort.RAISED and self.freely and token.words.startswith("⁻"):
            lowered = Token(TokenSort.RAISED, token.words[1:], token.position)
            above, unit = _unit_apart(base)
            return Quotient(above, self.raised(unit, lowered))
        if token.sort is TokenSort.RAISED:
            exponent = int(token.words.translate(_LOWERED)) if len(token.words) < 4 else LARGEST_EXPONENT + 1
        elif isinstance(leaf, Number) and not leaf.unit and leaf.value.denominator == 1:
            exponent = int(leaf.value)
        else:
            raise self.fail("an exponent is a whole number, as in R^2 (and R^-1 is written 1/R)", token)
        if not 1 <= exponent <= LARGEST_EXPONENT:
            raise self.fail(f"an exponent lies between 1 and {LARGEST_EXPONENT}", token)
        if closed and self.token.sort in (TokenSort.POWER, TokenSort.RAISED):
            raise self.fail("an exponent follows an exponent; use brackets")
        if _steepness(base) * exponent > LARGEST_EXPONENT:
            raise self.fail(f"powers of powers go beyond {LARGEST_EXPONENT}", token)
        return base if exponent == 1 else Power(base, exponent)

    def atom(self) -> Expr:
        token = self.step()
        if token.leaf is not None:
            return token.leaf
        if token.sort is TokenSort.OPEN:
            return self.bracketed(token)
        if token.sort is TokenSort.ROOT and not self.roots:
            raise self.fail("no square root is read here: values and equations have none", token)
        if token.sort is TokenSort.ROOT and self.token.sort is not TokenSort.ROOT:
            return root(self.atom())
        raise self.missing(token)

    def bracketed(self, opening: Token) -> Expr:
        if len(self.opened) == DEEPEST:
            raise self.fail(f"more than {DEEPEST} brackets stand within one another", opening)
        self.opened.append(opening)
        if self.token.sort is TokenSort.CLOSE:
            raise self.fail("the brackets hold nothing", opening)
        body = self.sum()
        closing = self.token
        if closing.sort in (TokenSort.END, TokenSort.RELATION):
            raise self.fail(f'the bracket "{opening.words}" is never closed', opening)
        if closing.sort is not TokenSort.CLOSE:
            self.finish()
        if closing.words != _CLOSING[opening.words]:
            raise self.fail(f'"{closing.words}" does not close "{opening.words}"', closing)
        self.step()
        self.opened.pop()
        return body

    def missing(self, token: Token) -> Unreadable:
        """What is wrong where a number, a name or a bracket should stand and `token` does."""
        before = (
            self.tokens[self.tokens.index(token) - 1] if token.position and len(self.tokens) > 1 else None
        )
        if before is None or before is token:
            if token.sort is TokenSort.END:
                return self.fail("nothing is written", token)
            return self.fail(f'"{token.words}" has nothing before it', token)
        if token.sort is TokenSort.END:
            return self.fail(f'"{before.words}" has nothing after it', before)
        return self.fail(f'between "{before.words}" and "{token.words}" something is missing', token)


_LOWERED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")


def _product(factors: list[Expr]) -> Expr:
    return factors[0] if len(factors) == 1 else Product(tuple(factors))


def _divided(above: Expr, below: Expr, loose: bool) -> list[Expr]:
    """The factors of a division; `(24 − 12)/6 mA`, plain numbers over one with a unit, is in mA."""
    if loose and isinstance(below, Number) and below.unit and _is_plain(above):
        scale = scale_of(below.unit)
        bare = Number(below.value / scale, "", below.text)
        return [Quotient(above, bare), Number(scale, below.unit)]
    return [Quotient(above, below)]


def _unit_apart(base: Expr) -> tuple[Expr, Expr]:
    """What stands above the line and what below for a base with an exponent below nothing: of `3 s^-1` the
    unit alone is below, of `R^-1` all."""
    if not isinstance(base, Number) or not base.unit:
        return ONE, base
    scale = scale_of(base.unit)
    return Number(base.value / scale, "", base.text), Number(scale, base.unit)


def _is_plain(expr: Expr) -> bool:
    """Whether it is made of numbers without units alone."""
    if isinstance(expr, Number):
        return not expr.unit
    return not isinstance(expr, Symbol) and all(map(_is_plain, parts_of(expr)))


def _steepness(expr: Expr) -> int:
    """The largest exponent in an expression, powers of powers multiplied."""
    if isinstance(expr, Symbol):
        return 1
    steepest = max(map(_steepness, parts_of(expr)), default=1)
    return steepest * expr.exponent if isinstance(expr, Power) else steepest
