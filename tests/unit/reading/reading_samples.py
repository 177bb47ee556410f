"""Short ways to read a line and to say what it must come to."""

from __future__ import annotations

from loopwright.expressions.nodes import Equation, Expr, Symbol
from loopwright.expressions.parse import expression
from loopwright.expressions.sameness import same_algebra
from loopwright.reading.page.lines import working
from loopwright.reading.working import Claim, WrittenLine
from tests.sample_circuits import circuit_of

# Charger, battery and heater, numbered as in a longer problem, so that subscripts can be typed in every way.
CIRCUIT = circuit_of("""
[branches]
I4 = "rail, +E4, R4, bus"
I5 = "bus, R5, -E5, rail"
I6 = "bus, R6, rail"
[numbers]
E4 = "23 V"
E5 = "18 V"
R4 = "4 ohm"
R5 = "3 ohm"
R6 = "5 ohm"
""")
KNOWN = (*CIRCUIT.currents, *CIRCUIT.symbols)


def line_of(text: str, *, decimal_comma: bool = False) -> WrittenLine:
    """The one line of a text that has one."""
    (line,) = working(text, CIRCUIT, decimal_comma=decimal_comma).lines
    return line


def side(text: str) -> Expr:
    """A side in the strict grammar; `∞` for infinity."""
    return Symbol("∞") if text.strip() == "∞" else expression(text, KNOWN)


def relation(text: str) -> Equation:
    """A relation typed in the strict grammar, with `=`, `≈` or `→`."""
    sign = next(sign for sign in "=≈→" if sign in text)
    left, right = text.split(sign)
    return Equation(side(left), side(right), sign)


def says(claims: tuple[Claim, ...], *wanted: str) -> bool:
    """Whether the claims are these relations, in this order, side by side the same algebra."""
    expected = [relation(text) for text in wanted]
    written = [claim.written for claim in claims]
    return len(written) == len(expected) and all(
        one.relation == other.relation
        and same_algebra(one.left, other.left)
        and same_algebra(one.right, other.right)
        for one, other in zip(written, expected, strict=True)
    )
