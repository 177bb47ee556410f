"""Notation as Typst mathematics, for between two dollar signs.

Letters that are not a single ASCII letter go in as quoted text, in which nothing acts as markup.
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
    Style,
    TenTo,
    UnitName,
    notation,
)

_BRACKETS = (("(", ")"), ("[", "]"), ("{", "}"))
_COMMA = r" \, thin "
_SIGNS = {
    Sign.PLUS: "+", Sign.MINUS: "-", Sign.PARALLEL: "parallel", Sign.EQUALS: "=", Sign.ABOUT: "approx",
    Sign.TENDS: "arrow.r", Sign.UNEQUAL: "eq.not", Sign.LESS: "<", Sign.MORE: ">", Sign.AT_MOST: "lt.eq",
    Sign.AT_LEAST: "gt.eq",
}  # fmt: skip


def render(item: Expr | Equation, roles: Mapping[str, str] = NO_ROLES) -> str:
    """An expression or equation as Typst mathematics, without the dollar signs."""
    return write(notation(item, roles))


def write(node: Notation) -> str:
    """Notation as Typst mathematics."""
    match node:
        case Name():
            return _name(node)
        case Call():
            return _call(node)
        case Figure(digits):
            return digits
        case Measure(amount, unit):
            return f"{write(amount)} thin {_unit(unit)}"
        case TenTo(amount, exponent):
            return f"{write(amount)} times 10^({exponent})"
        case Factors(items, crossed):
            joints = [" times " if cross else " thin " for cross in crossed]
            return _joined([write(item) for item in items], joints)
        case Chain(items, signs):
            return _joined([write(item) for item in items], [f" {_SIGNS[sign]} " for sign in signs])
        case Signed(body):
            return f"-{write(body)}"
        case FractionBar(above, below, True):
            return f'{write(above)} class("normal", slash) {write(below)}'
        case FractionBar(above, below):
            return f"frac({write(above)}, {write(below)})"
        case Raised(base, exponent):
            return _raised(base, exponent)
        case Rooted(body):
            return f"sqrt({write(body)})"
        case PowerOfE(exponent):
            return f"upright(e)^({write(exponent)})"
        case AppliedTo(function, body):
            return f"{function} lr(( {write(body)} ))"
        case OfTime(of):
            return f"{write(of)} lr(( t ))"
        case RateOf(of):
            return f"frac(upright(d) {write(of)}, upright(d) t)"
        case Bracketed(body, depth, _):
            left, right = _BRACKETS[depth % 3]
            return f"lr({left} {write(body)} {right})"
        case Grid(rows):
            return (
                f'mat(delim: "|", column-gap: #1em, {"; ".join(", ".join(map(write, row)) for row in rows)})'
            )


def _raised(base: Notation, exponent: int) -> str:
    if isinstance(base, Bracketed) or (isinstance(base, Name) and base.primes):
        return f"attach({write(base)}, tr: {exponent})"
    return f"{write(base)}^({exponent})"


def _name(name: Name) -> str:
    match name.style:
        case Style.SCRIPT:
            base = f"cal({name.base})"
        case Style.ITALIC:
            base = _italic(name.base)
        case Style.UPRIGHT:
            base = _upright(name.base)
    sub = f"_({_upright(name.sub)})" if name.sub else ""
    return base + "'" * name.primes + sub


def _call(call: Call) -> str:
    without = f' upright("without") {_COMMA.join(map(_name, call.without))}' if call.without else ""
    if call.joined:
        return f"{call.letter}_({_upright(''.join(call.points))}){without}"
    inside = [_name(call.of)] if call.of else [_upright(point) for point in call.points]
    inside += [_upright("terminals")] if call.at_terminals else []
    letter = call.letter if len(call.letter) == 1 else _upright(call.letter)
    return f"{letter} lr(( {_COMMA.join(inside)} )){without}"


def _unit(unit: UnitName) -> str:
    return _upright(unit.symbol) + ("" if unit.power == 1 else f"^{unit.power}")


def _upright(letters: str) -> str:
    return letters if letters.isdecimal() and letters.isascii() else f"upright({_quoted(letters)})"


def _italic(letter: str) -> str:
    if letter == "∞":
        return "infinity"
    return letter if letter.isascii() and letter.isalpha() else f"italic({_quoted(letter)})"


def _quoted(letters: str) -> str:
    plain = "".join(c if c.isprintable() else " " for c in letters)
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _joined(parts: list[str], joints: list[str]) -> str:
    return parts[0] + "".join(joint + part for joint, part in zip(joints, parts[1:], strict=True))
