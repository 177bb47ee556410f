"""Equations written down as people write them: plain text, Markdown or LaTeX, each person with habits of
their own, which a seeded generator of chance chooses.

What is written means exactly the equations given, in their order; the reader has to find them again.
"""

from __future__ import annotations

import random
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from loopwright.expressions.nodes import (
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
    expanded,
)
from loopwright.expressions.tokens import parts_of, scale_of
from loopwright.quantities import read_unit, simple


class Notation(StrEnum):
    """In what a working is typed."""

    PLAIN = "plain text"
    MARKDOWN = "Markdown"
    LATEX = "LaTeX"


SUM, SIDE, PRODUCT, POWER = range(4)  # how tightly what is written holds together
BRACKETS = ("()", "()", "()", "[]", "{}")
LEADS = (
    "", "", "", "", "so ", "then ", "Hence ", "therefore, ", "we get ", "Junction rule: ",
    "Loop 2 (clockwise): ",
    "and so ", "Loop rule, the outer loop: ", "which gives ", "Now ", "Round the left loop: ", "At the top: ",
)  # fmt: skip
TAILS = ("", "", "", "", ".", ";", " (loop rule)", " as it must be", ", since nothing piles up")
REMARKS = (
    "Now the other loop.",
    "The arrows are drawn as in the figure",
    "We start at a and go round",
    "Put in the numbers and tidy up:",
    "",
    "",
)
CALL = re.compile(r"([VRP])\((.*)\)")
NAME = re.compile(r"([^\W\d_])(\w*?)(′*)")
LOWERED = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")


@dataclass(frozen=True)
class Hand:
    """The habits of one person."""

    notation: Notation
    rng: random.Random
    known: frozenset[str]
    latex: bool  # formulas are typed in LaTeX (always in LaTeX, sometimes in Markdown)
    subscript: str
    minus: str
    times: str
    spaced: bool
    brackets: str
    labels: str

    def maybe(self, share: float) -> bool:
        return self.rng.random() < share

    # -- expressions -------------------------------------------------------------------------------

    def equation(self, equation: Equation, joint: str = "") -> str:
        signs = {
            "=": ("=",),
            "≈": (r"\approx", r"\simeq") if self.latex else ("≈", "~=", "≅"),
            "→": (r"\to", r"\rightarrow") if self.latex else ("->", "→"),
        }[equation.relation]
        sign = joint + self.rng.choice(signs)
        return f"{self.expr(equation.left)} {sign} {self.expr(equation.right)}"

    def expr(self, expr: Expr, level: int = SUM) -> str:
        text, own = self._written(expr)
        return self._bracketed(text) if own < level else text

    def _bracketed(self, text: str) -> str:
        if self.latex:
            left, right = self.rng.choice(
                [("(", ")"), (r"\left(", r"\right)"), ("[", "]"), (r"\left[", r"\right]")]
            )
            return f"{left}{' ' if left[-1].isalpha() else ''}{text}{right}"
        return f"{self.brackets[0]}{text}{self.brackets[1]}"

    def _written(self, expr: Expr) -> tuple[str, int]:
        """The text of an expression and how tightly it holds together."""
        match expr:
            case Number():
                return self._number(expr)
            case Symbol(name):
                return self._name(name), POWER
            case Negative(body):
                return self.minus + self.expr(body, PRODUCT), SUM
            case Sum(terms):
                return self._sum(terms), SUM
            case Product(factors):
                return self._product(factors), PRODUCT
            case Quotient(above, below):
                return self._fraction(above, below)
            case Power(base, exponent):
                return self._power(base, exponent), POWER
            case Parallel(parts):
                sign = r" \parallel " if self.latex else self.rng.choice((" ∥ ", " || ", " // "))
                return sign.join(self.expr(part, PRODUCT) for part in parts), SIDE
            case Determinant(rows):
                return self._written(expanded(rows))

    def _sum(self, terms: Sequence[Expr]) -> str:
        gap = " " if self.spaced else ""
        text = self.expr(terms[0], SIDE if not isinstance(terms[0], Negative) else SUM)
        for term in terms[1:]:
            sign, body = (self.minus, term.body) if isinstance(term, Negative) else ("+", term)
            text += f"{gap}{sign}{gap}{self.expr(body, SIDE)}"
        return text

    def _product(self, factors: Sequence[Expr]) -> str:
        text = self.expr(factors[0], POWER if isinstance(factors[0], Quotient) else PRODUCT)
        for before, factor in pairwise(factors):
            written = self.expr(factor, POWER)
            text += self._joint(before, factor, text, written) + written
        return text

    def _joint(self, before: Expr, factor: Expr, text: str, written: str) -> str:
        sign = self.times.strip() or "·"
        if self.latex:
            sign = r" \cdot " if self.maybe(0.7) else r" \times "
        explicit = written[0].isdigit() or written[0] == "."
        if isinstance(factor, Symbol | Power) and self._is_like_a_unit(written):
            explicit = True
        if isinstance(before, Symbol) and before.name in "VRPUvu" and written[0] in "([{\\":
            explicit = True
        if explicit or self.times.strip() or self.maybe(0.1):
            return sign
        if self.latex:
            return self.rng.choice([" ", r"\,", r"\;", " "])
        return (
            ""
            if not self.times and self.maybe(0.7) and self._may_touch(before, factor, text, written)
            else " "
        )

    def _may_touch(self, before: Expr, factor: Expr, text: str, written: str) -> bool:
        """Whether two factors may be typed without a space: `6I1`, `R1(I1 + I2)`, `I1R1` of known names."""
        if written[0] in "([{":
            return True
        if isinstance(before, Number):
            return (not before.unit and text[-1].isdigit() and written[0] not in "eEkMGVAWΩmnpµu") or text[
                -1
            ] in ")]}"
        if isinstance(before, Symbol) and isinstance(factor, Symbol):
            both = before.name + factor.name
            plain = self.subscript in ("", "₁") and "(" not in both and "′" not in both
            return (
                plain and parts_of(both, self.known) == (before.name, factor.name) and both not in self.known
            )
        return text[-1] in ")]}"

    def _is_like_a_unit(self, written: str) -> bool:
        word = re.match(r"[^\W\d_]+", written)
        return bool(word and read_unit(word[0])) and written[:1] not in "([{\\"

    def _fraction(self, above: Expr, below: Expr) -> tuple[str, int]:
        if self.latex and self.maybe(0.85):
            return (
                rf"\{self.rng.choice(('frac', 'frac', 'dfrac'))}{{{self.expr(above)}}}{{{self.expr(below)}}}",
                POWER,
            )
        line = self.rng.choice(("/", "/", "/", " / ", "÷"))
        top = self.expr(above, POWER if isinstance(above, Quotient) else PRODUCT)
        bottom = self.expr(below, POWER)
        if isinstance(below, Number) and not re.fullmatch(r"[\d.]+", bottom) and bottom[0] not in "([{":
            bottom = self._bracketed(bottom)
        return f"{top}{line}{bottom}", PRODUCT

    def _power(self, base: Expr, exponent: int) -> str:
        text = self.expr(base, POWER)
        if isinstance(base, Number | Power) or (isinstance(base, Symbol) and self.latex and "′" in base.name):
            text = self._bracketed(text) if text[0] not in "([{" else text
        if self.latex:
            return f"{text}^{{{exponent}}}" if self.maybe(0.5) else f"{text}^{exponent}"
        return text + self.rng.choice((f"^{exponent}", str(exponent).translate(RAISED)))

    # -- numbers and names -------------------------------------------------------------------------

    def _number(self, number: Number) -> tuple[str, int]:
        digits = number.text or simple(number.value / scale_of(number.unit))
        mantissa, _, power = digits.partition("e")
        text = mantissa
        if power:
            ten = [rf"{mantissa} \times 10^{{{power}}}"] if self.latex else [
                f"{mantissa}e{power}" if power.startswith("-") else f"{mantissa}×10^{power}",
                f"{mantissa} × 10^{power}",
                f"{mantissa}·10{power.translate(RAISED)}",
            ]  # fmt: skip
            text = self.rng.choice(ten)
        if "/" in mantissa or mantissa.startswith("-"):
            text = self._bracketed(text)
        if number.unit:
            text += self._unit(number.unit)
        return text, PRODUCT if power or number.unit else POWER

    def _unit(self, unit: str) -> str:
        if self.latex:
            letters = unit.replace("Ω", r"\Omega").replace("µ", r"\mu ").replace("²", "^2")
            shape = self.rng.choice((r"\,\mathrm{%s}", r"\;\mathrm{%s}", r"~\mathrm{%s}", r"\,\text{%s}"))
            return (
                shape % letters
                if r"\mu" not in letters or "text" not in shape
                else rf"\,\mathrm{{{letters}}}"
            )
        words = {"Ω": ("Ω", "ohm", "ohms"), "V": ("V", "volts"), "A": ("A", "amps"), "kΩ": ("kΩ", "kohm")}
        gap = self.rng.choice((" ", " ", ""))
        return gap + self.rng.choice(words.get(unit, (unit,)))

    def _name(self, name: str) -> str:
        if name == "∞":
            return r"\infty" if self.latex else self.rng.choice(("oo", "∞"))
        if CALL.fullmatch(name):
            return name
        found = NAME.fullmatch(name)
        if found is None or not found[2]:
            return name.replace("′", "'")
        base, sub, primes = found[1], found[2], found[3].replace("′", "'")
        if self.latex:
            shown = sub if len(sub) == 1 and self.maybe(0.5) else f"{{{sub}}}"
            return f"{base}_{shown}{primes}"
        if self.subscript == "₁" and sub.isdigit():
            return base + sub.translate(LOWERED) + primes
        return {"_": f"{base}_{sub}", "_{}": f"{base}_{{{sub}}}"}.get(self.subscript, base + sub) + primes

    # -- lines -------------------------------------------------------------------------------------

    def line(self, equation: Equation, number: int, *, joint: str = "") -> str:
        """One line: lead, equation, tail, with its label."""
        formula = self.equation(equation, joint)
        if self.latex and not joint:
            left, right = self.rng.choice(
                [("$", "$"), ("$", "$"), (r"\(", r"\)"), ("$$ ", " $$"), (r"\[ ", r" \]")]
            )
            formula = f"{left}{formula}{right}"
        elif (
            self.notation is Notation.MARKDOWN
            and "*" not in formula
            and "`" not in formula
            and self.maybe(0.3)
        ):
            formula = self.rng.choice(("`{}`", "**{}**")).format(formula)
        lead, tail = self.rng.choice(LEADS), self.rng.choice(TAILS)
        if self.labels in ("(1) ", "[1] ", "1. "):
            return self.labels.replace("1", str(number)) + lead + formula + tail
        if self.labels == "tag":
            return f"{lead}{formula} \\tag{{{number}}}" if self.latex else f"{lead}{formula}    ({number})"
        end = self.labels.replace("1", str(number)) if self.labels else tail
        return lead + formula + end


def _hand(notation: Notation, rng: random.Random, known: Collection[str]) -> Hand:
    latex = notation is Notation.LATEX or (notation is Notation.MARKDOWN and rng.random() < 0.5)
    return Hand(
        notation,
        rng,
        frozenset(known),
        latex,
        subscript=rng.choice(("", "", "_", "₁", "_{}")),
        minus="-" if latex else rng.choice(("-", "-", "−", "–")),
        times=rng.choice(("", "", " ", "*" if notation is not Notation.MARKDOWN else "·", "·", "×")),
        spaced=rng.random() < 0.8,
        brackets=rng.choice(BRACKETS),
        labels=rng.choice(("", "", "(1) ", "[1] ", "1. ", "   (1)", " ... (1)", "    [1]", "tag")),
    )


def written(
    equations: Sequence[Equation], notation: Notation, rng: random.Random, known: Collection[str] = ()
) -> str:
    """The equations as somebody would type them, one a line (the reader finds them again, in order).

    `known`: names that the reader knows (the circuit's), which may then be typed without space: `I1R1`.
    An equation whose left side is the right side of the one before may be joined to it as a chain.
    """
    hand = _hand(notation, rng, known)
    if hand.notation is Notation.LATEX and hand.maybe(0.5):
        return _aligned(equations, hand)
    lines: list[str] = []
    bullet = (
        rng.choice(("", "", "* ", "- ")) if notation is Notation.MARKDOWN and hand.labels != "1. " else ""
    )
    if bullet == "- ":
        lines.append("- the equations:")
    for number, equation in enumerate(equations, start=1):
        if hand.maybe(0.15):
            lines.append("" if bullet else rng.choice(REMARKS))
        lines.append(bullet + hand.line(equation, number))
    return "\n".join(lines)


def _aligned(equations: Sequence[Equation], hand: Hand) -> str:
    """The equations as rows of an `align` environment."""
    name = hand.rng.choice(("align", "align*", "aligned", "eqnarray"))
    rows = []
    for number, equation in enumerate(equations, start=1):
        tag = rf" \tag{{{number}}}" if hand.labels else ""
        rows.append(f"  {hand.equation(equation, '&')}{tag}")
    joint = " \\\\\n"
    return f"\\begin{{{name}}}\n{joint.join(rows)}\n\\end{{{name}}}"
