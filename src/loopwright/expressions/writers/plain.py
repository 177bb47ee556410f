"""Notation as one line of plain text, for terminals and Markdown: `E1 R2/(R1 (R2 + Rh) + R2 Rh)`.

What stands upright elsewhere lies in a line here, so fractions get the brackets that keep their
meaning. The text can be read back by `expressions.parse` and gives the same value.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..nodes import Equation, Expr
from ..notation import (
    NO_ROLES,
    AppliedTo,
    Bracketed,
    Call,
    Chain,
    Factors,
    Figure,
    FractionBar,
    Grid,
    Measure,
    Name,
    Notation,
    OfTime,
    PowerOfE,
    Raised,
    RateOf,
    Rooted,
    Sign,
    Signed,
    TenTo,
    UnitName,
    notation,
)

_RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")


def render(item: Expr | Equation, roles: Mapping[str, str] = NO_ROLES) -> str:
    """An expression or equation as plain text."""
    return write(notation(item, roles))


def write(node: Notation) -> str:
    """Notation as plain text."""
    match node:
        case Name(base, sub, _, primes):
            return base + sub + "′" * primes
        case Call():
            return _call(node)
        case Figure(digits):
            return digits
        case Measure(amount, unit):
            return f"{write(amount)} {_unit(unit)}"
        case TenTo(amount, exponent):
            return f"{_held(amount, FractionBar)} × 10^{exponent}"
        case Factors(items, crossed):
            texts = [_held(item, FractionBar) for item in items]
            joints = [" × " if cross else " " for cross in crossed]
            return _joined(texts, joints)
        case Chain(items, signs):
            texts = [_held(item, FractionBar) if Sign.PARALLEL in signs else write(item) for item in items]
            return _joined(texts, [f" {sign} " for sign in signs])
        case Signed(body):
            return f"−{write(body)}"
        case FractionBar(above, below, True):
            return f"{write(above)}/{write(below)}"
        case FractionBar(above, below):
            loose = _is_fraction(above) or (isinstance(above, Call) and above.without)
            top = f"({write(above)})" if loose else _held(above, Chain, Signed, FractionBar)
            bottom = write(below) if _is_single(below) else f"({write(below)})"
            return f"{top}/{bottom}"
        case Raised(base, exponent):
            return write(base) + str(exponent).translate(_RAISED)
        case Rooted(body):
            return f"√{write(body)}" if isinstance(body, Name | Figure) else f"√({write(body)})"
        case PowerOfE(exponent):
            return f"e^({write(exponent)})"
        case AppliedTo(function, body):
            return f"{function}({write(body)})"
        case OfTime(of):
            return f"{write(of)}(t)"
        case RateOf(of):
            return f"d{write(of)}/dt"
        case Bracketed(body):
            return f"({write(body)})"
        case Grid(rows):
            return f"det({'; '.join(', '.join(map(write, row)) for row in rows)})"


def _call(call: Call) -> str:
    inside = ", ".join(call.points) if call.of is None else write(call.of)
    without = f" without {', '.join(map(write, call.without))}" if call.without else ""
    return f"{call.letter}({inside}{', terminals' if call.at_terminals else ''}){without}"


def _unit(unit: UnitName) -> str:
    return unit.symbol + ("" if unit.power == 1 else str(unit.power).translate(_RAISED))


def _held(node: Notation, *loose: type) -> str:
    """The text, in brackets when it is of a kind that would come apart in a line."""
    return f"({write(node)})" if isinstance(node, loose) else write(node)


def _is_fraction(node: Notation) -> bool:
    return isinstance(node, Measure) and isinstance(node.amount, FractionBar)


def _is_single(node: Notation) -> bool:
    if isinstance(node, Call):
        return not node.without
    return isinstance(
        node, Name | Figure | Raised | Rooted | Bracketed | PowerOfE | AppliedTo | OfTime | RateOf | Grid
    )


def _joined(texts: list[str], joints: list[str]) -> str:
    return texts[0] + "".join(joint + text for joint, text in zip(joints, texts[1:], strict=True))
