"""Notation as presentation MathML, after the MathML Core draft of the W3C (from memory).

Only elements and attributes that browsers set natively; no style sheet is needed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from html import escape

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
_THIN = '<mo lspace="0" rspace="0.1667em">\u2062</mo>'  # an invisible times with a thin space after it
_CROSS = '<mo lspace="0.2222em" rspace="0.2222em">×</mo>'
_UNIT_SPACE = '<mspace width="0.2em"/>'
_MEDIUM, _WIDE = "0.2222em", "0.2778em"


def render(item: Expr | Equation, roles: Mapping[str, str] = NO_ROLES, *, block: bool = False) -> str:
    """An expression or equation as a `<math>` element, displayed as a block where asked."""
    display = ' display="block"' if block else ""
    return f"<math{display}>{write(notation(item, roles))}</math>"


def write(node: Notation) -> str:
    """Notation as MathML, always one element."""
    match node:
        case Name():
            return _name(node)
        case Factors(items, crossed):
            if True not in crossed:
                return _row([_THIN.join([write(item) for item in items])])
            joints = [_CROSS if cross else _THIN for cross in crossed]
            return _joined([write(item) for item in items], joints)
        case Chain(items, signs):
            return _joined([write(item) for item in items], [_sign(sign) for sign in signs])
        case Call():
            return _call(node)
        case Figure(digits):
            return f"<mn>{escape(digits)}</mn>"
        case Measure(amount, unit):
            return _row((write(amount), _UNIT_SPACE, _unit(unit)))
        case TenTo(amount, exponent):
            return _row((write(amount), _CROSS, _power_of_ten(exponent)))
        case Signed(body):
            return _row(('<mo form="prefix" lspace="0" rspace="0.0556em">−</mo>', write(body)))
        case FractionBar(above, below, True):
            return _row((write(above), '<mo lspace="0" rspace="0">/</mo>', write(below)))
        case FractionBar(above, below):
            return f"<mfrac>{write(above)}{write(below)}</mfrac>"
        case Raised(base, exponent):
            return _raised(base, exponent)
        case Rooted(body):
            return f"<msqrt>{write(body)}</msqrt>"
        case PowerOfE(exponent):
            return f'<msup><mi mathvariant="normal">e</mi>{write(exponent)}</msup>'
        case AppliedTo(function, body):
            return _row((f"<mi>{function}</mi>", "<mo>\u2061</mo>", _in_brackets(write(body), tall=True)))
        case OfTime(of):
            return _row((write(of), "<mo>\u2061</mo>", _in_brackets("<mi>t</mi>", tall=False)))
        case RateOf(of):
            rate = '<mi mathvariant="normal">d</mi>'
            return f"<mfrac><mrow>{rate}{write(of)}</mrow><mrow>{rate}<mi>t</mi></mrow></mfrac>"
        case Bracketed(body, depth, tall):
            left, right = _BRACKETS[depth % 3]
            stretchy = "true" if tall else "false"
            opening = f'<mo form="prefix" stretchy="{stretchy}">{left}</mo>'
            return _row((opening, write(body), f'<mo form="postfix" stretchy="{stretchy}">{right}</mo>'))
        case Grid(rows):
            return _grid(rows)


def _in_brackets(inside: str, *, tall: bool) -> str:
    stretchy = "true" if tall else "false"
    opening = f'<mo form="prefix" stretchy="{stretchy}">(</mo>'
    return _row((opening, inside, f'<mo form="postfix" stretchy="{stretchy}">)</mo>'))


@lru_cache(maxsize=1024)
def _name(name: Name) -> str:
    prime = f"<mo>{'′' * name.primes}</mo>" if name.primes else ""
    base = _letters(name.base, name.style)
    sub = _upright(name.sub) if name.sub else ""
    if sub and prime:
        return f"<msubsup>{base}{sub}{prime}</msubsup>"
    if sub:
        return f"<msub>{base}{sub}</msub>"
    return f"<msup>{base}{prime}</msup>" if prime else base


def _letters(base: str, style: Style) -> str:
    match style:
        case Style.SCRIPT:
            return "<mi>ℰ</mi>"
        case Style.ITALIC:
            return f"<mi>{escape(base)}</mi>"
        case Style.UPRIGHT:
            return _upright(base)


def _upright(letters: str) -> str:
    """Letters or digits upright; an `mi` of one letter would be italic."""
    if letters.isdecimal():
        return f"<mn>{escape(letters)}</mn>"
    variant = ' mathvariant="normal"' if len(letters) == 1 else ""
    return f"<mi{variant}>{escape(letters)}</mi>"


def _call(call: Call) -> str:
    letter = _letters(call.letter, Style.ITALIC if len(call.letter) == 1 else Style.UPRIGHT)
    comma = '<mo separator="true" lspace="0" rspace="0.1667em">,</mo>'
    left_out = comma.join(map(_name, call.without))
    without = ("<mtext>\u00a0without\u00a0</mtext>", left_out) if left_out else ()
    if call.joined:
        named = f"<msub>{letter}{_upright(''.join(call.points))}</msub>"
        return _row((named, *without)) if without else named
    inside = [_name(call.of)] if call.of else [f"<mtext>{escape(point)}</mtext>" for point in call.points]
    inside += ["<mtext>terminals</mtext>"] if call.at_terminals else []
    opening, closing = (
        '<mo form="prefix" stretchy="false">(</mo>',
        '<mo form="postfix" stretchy="false">)</mo>',
    )
    return _row((letter, "<mo>\u2061</mo>", opening, comma.join(inside), closing, *without))


def _unit(unit: UnitName) -> str:
    symbol = _upright(unit.symbol)
    return symbol if unit.power == 1 else f"<msup>{symbol}<mn>{unit.power}</mn></msup>"


def _power_of_ten(exponent: int) -> str:
    shown = f"<mn>{abs(exponent)}</mn>"
    if exponent < 0:
        shown = f'<mrow><mo form="prefix" lspace="0" rspace="0">−</mo>{shown}</mrow>'
    return f"<msup><mn>10</mn>{shown}</msup>"


@lru_cache(maxsize=16)
def _sign(sign: Sign) -> str:
    space = _MEDIUM if sign in (Sign.PLUS, Sign.MINUS) else _WIDE
    return f'<mo form="infix" stretchy="false" lspace="{space}" rspace="{space}">{escape(sign)}</mo>'


def _raised(base: Notation, exponent: int) -> str:
    if isinstance(base, Name) and base.sub and not base.primes:
        letters = _letters(base.base, base.style)
        return f"<msubsup>{letters}{_upright(base.sub)}<mn>{exponent}</mn></msubsup>"
    return f"<msup>{write(base)}<mn>{exponent}</mn></msup>"


def _grid(rows: tuple[tuple[Notation, ...], ...]) -> str:
    """A table between two upright lines that grow with it."""
    lines = "".join(
        "<mtr>" + "".join(f"<mtd>{write(entry)}</mtd>" for entry in row) + "</mtr>" for row in rows
    )
    opening = '<mo form="prefix" fence="true" stretchy="true">|</mo>'
    closing = '<mo form="postfix" fence="true" stretchy="true">|</mo>'
    return _row((opening, f"<mtable>{lines}</mtable>", closing))


def _row(parts: Iterable[str]) -> str:
    return f"<mrow>{''.join(parts)}</mrow>"


def _joined(parts: list[str], joints: list[str]) -> str:
    pairs = zip(joints, parts[1:], strict=True)
    return _row([parts[0], *[piece for pair in pairs for piece in pair]])
