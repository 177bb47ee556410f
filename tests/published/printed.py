"""What a printed figure says: its exact value in SI units, and how far its printed digits can bear.

Knows no circuit. A figure is a text such as `3.00 A`, `40/7 A`, `1.73e-2 ohm` or `4**2 1` (a count).
"""

from __future__ import annotations

import ast
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

PREFIXES = {"m": Fraction(1, 1000), "k": Fraction(1000)}
UNITS = ("A", "V", "ohm", "W", "1")
OPERATIONS: dict[type[ast.operator], Callable[[Fraction, Fraction], Fraction]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}


@dataclass(frozen=True)
class Printed:
    """A figure as printed: its value in SI units, half a unit of its last printed digit (zero for a
    fraction or another exact expression), and its unit without prefix."""

    value: Fraction
    half_a_digit: Fraction
    unit: str

    def bears(self, value: Fraction, *, exact: bool) -> bool:
        """Whether the figure may stand for `value`: equal to it, or rounded from it."""
        return abs(value - self.value) <= (0 if exact else self.half_a_digit)


def printed(text: str) -> Printed:
    """Reads a printed figure; KeyError for a unit that circuits of resistances do not need."""
    figure, unit = text.rsplit(maxsplit=1)
    plain = next((u for u in UNITS if unit == u), None)
    scale = Fraction(1) if plain else PREFIXES[unit[0]]
    plain = plain or next(u for u in UNITS if unit[1:] == u)
    return Printed(value_of(figure) * scale, _half_a_digit(figure) * scale, plain)


def value_of(expression: str, names: Mapping[str, Fraction] | None = None) -> Fraction:
    """The exact value of an arithmetic expression in numbers and `names`."""

    def of(node: ast.expr) -> Fraction:
        match node:
            case ast.Constant():
                return Fraction(ast.get_source_segment(expression, node) or "")
            case ast.Name(id=name):
                return (names or {})[name]
            case ast.UnaryOp(op=ast.USub(), operand=body):
                return -of(body)
            case ast.BinOp(left=left, op=op, right=right):
                return Fraction(OPERATIONS[type(op)](of(left), of(right)))
            case _:
                raise ValueError(expression)

    return of(ast.parse(expression, mode="eval").body)


def _half_a_digit(figure: str) -> Fraction:
    mantissa, _, exponent = figure.lstrip("-").partition("e")
    whole, _, decimals = mantissa.partition(".")
    if not (whole + decimals).isdigit():
        return Fraction(0)
    return Fraction(10) ** (int(exponent or 0) - len(decimals)) / 2
