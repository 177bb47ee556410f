"""Notation as words to be said aloud, every grouping in the words and none in the pauses.

House rules, after published guides to spoken mathematics (Chang's handbook of 1983 and the Nemeth
tradition: "start fraction ... over ... end fraction", "negative" for a sign, "minus" for an operation;
from memory). Captions lose pauses, so the text alone can be heard back by `expressions.heard`.
Publish through `expressions.heard.speak`, which makes sure of that.
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
from ..words import (
    BETWEEN_POINTS,
    DIGITS,
    INFINITY,
    OF_ELEMENT,
    PREFIXES,
    RELATIONS,
    SCALES,
    SPOKEN_FUNCTIONS,
    TEENS,
    TENS,
    UNITS,
    WITHOUT_LIMIT,
    spelled,
)

_LARGEST_SPOKEN = 10**12  # beyond it, digit by digit
_POWERS = {2: "squared", 3: "cubed"}
_BETWEEN = {Sign.PLUS: "plus", Sign.MINUS: "minus", Sign.PARALLEL: "in parallel with"}


def render(item: Expr | Equation, roles: Mapping[str, str] = NO_ROLES) -> str:
    """An expression or equation in words."""
    return write(notation(item, roles))


def write(node: Notation) -> str:
    """Notation in words."""
    match node:
        case Name():
            return _name(node)
        case Call():
            return _call(node)
        case Figure(digits):
            return _figure(digits)
        case Measure(amount, unit):
            return f"{write(amount)} {_unit(unit, one=amount == Figure('1'))}"
        case TenTo(amount, exponent):
            power = ("negative " if exponent < 0 else "") + in_words(abs(exponent))
            return f"{write(amount)} times ten to the power {power}"
        case Factors(items):
            return " times ".join(map(_grouped, items))
        case Chain(items, signs):
            return _chain(items, signs)
        case Signed(body, of_number):
            return f"negative {write(body)}" if of_number else f"minus {write(body)}"
        case FractionBar(above, below):
            under = below.body if node.level and isinstance(below, Bracketed) else below
            return f"start fraction {_closed(above)} over {_closed(under)} end fraction"
        case Raised(base, exponent):
            said = _quantity(base) if isinstance(base, Call) else write(base)
            closed = "," if isinstance(base, Bracketed | Call) else ""
            return f"{said}{closed} {_POWERS.get(exponent) or f'to the power {in_words(exponent)}'}"
        case Rooted(body):
            return f"the square root of {_closed(body)}, end root"
        case PowerOfE(exponent):
            return f"e to the power of {_closed(exponent)}, end power"
        case AppliedTo(function, body):
            called = SPOKEN_FUNCTIONS[function]
            return f"the {called} of {_closed(body)}, end {called.split()[-1]}"
        case OfTime(of):
            return f"{write(of)} at the time t"
        case RateOf(of):
            return f"the rate of change of {write(of)}"
        case Bracketed(body):
            return _quantity(body)
        case Grid(rows):
            said = "; ".join("row " + ", next ".join(map(_closed, row)) for row in rows)
            return f"the determinant with {said}, end determinant"


def in_words(count: int) -> str:
    """A whole number in words: 47 is "forty-seven", 120 "one hundred and twenty"."""
    if count >= _LARGEST_SPOKEN:
        return "digits " + " ".join(DIGITS[int(digit)] for digit in str(count))
    for word, scale in reversed(SCALES.items()):
        if count >= scale:
            return _with_rest(f"{in_words(count // scale)} {word}", count % scale)
    if count >= 100:
        return _with_rest(f"{DIGITS[count // 100]} hundred", count % 100)
    if count >= 20:
        tens = TENS[count // 10 - 2]
        return f"{tens}-{DIGITS[count % 10]}" if count % 10 else tens
    return DIGITS[count] if count < 10 else TEENS[count - 10]


def _with_rest(said: str, rest: int) -> str:
    if not rest:
        return said
    return f"{said} and {in_words(rest)}" if rest < 100 else f"{said} {in_words(rest)}"


def _figure(digits: str) -> str:
    whole, point, part = digits.partition(".")
    said = in_words(int(whole))
    return f"{said} point {' '.join(DIGITS[int(digit)] for digit in part)}" if point else said


def _unit(unit: UnitName, one: bool) -> str:
    symbol = unit.symbol
    word = UNITS.get(symbol[-1:])
    prefix = PREFIXES.get(symbol[:-1], "")
    if word is None or (symbol[:-1] and not prefix):
        return " ".join(spelled(symbol))
    hyphen = "-" if prefix and word == "ohm" else ""
    return f"{'square ' if unit.power == 2 else ''}{prefix}{hyphen}{word}{'' if one else 's'}"


def _name(name: Name) -> str:
    if name.style is Style.SCRIPT:
        words = ["e", "m", "f"]
    elif name.base == INFINITY:
        words = ["infinity"]
    elif len(name.base) == 1 and name.base.isascii():
        words = [name.base] if name.base.isupper() else ["small", name.base]
    else:
        words = spelled(name.base)
    if name.sub:
        words += ["sub", *spelled(name.sub)]
    return " ".join([*words, *["prime"] * name.primes])


def _call(call: Call) -> str:
    if call.of is not None and call.letter != "P":
        return f"the {OF_ELEMENT[call.letter]} {_name(call.of)}"
    if call.of is not None:
        return f"the power {'at the terminals of' if call.at_terminals else 'in'} {_name(call.of)}"
    points = [" ".join(spelled(point)) for point in call.points]
    a, b = points
    if call.letter in BETWEEN_POINTS:
        return f"the {BETWEEN_POINTS[call.letter]} between {a} and {b}{_without(call)}"
    said = f"V sub {a} {b}" if call.joined else f"V between {a} and {b}"
    return f"{said}, meaning V at {a} minus V at {b}{_without(call)}"


def _without(call: Call) -> str:
    return f", without {' and without '.join(map(_name, call.without))}" if call.without else ""


def _chain(items: tuple[Notation, ...], signs: tuple[Sign, ...]) -> str:
    if signs == (Sign.TENDS,) and items[1] == Name(INFINITY):
        return f"{_closed(items[0])} {WITHOUT_LIMIT}"
    said = ""
    for item, sign in zip(items, signs, strict=False):
        is_side = sign in RELATIONS
        said += f"{_closed(item) if is_side else _grouped(item)} {_BETWEEN.get(sign) or RELATIONS[sign]} "
    return said + (write(items[-1]) if signs[-1] in RELATIONS else _grouped(items[-1]))


def _grouped(node: Notation) -> str:
    """A factor or term, its end said where it would not be heard."""
    if isinstance(node, Call) and node.of is None:
        return _quantity(node)
    if isinstance(node, Bracketed) and _is_number(node.body):
        return write(node.body)
    return write(node)


def _closed(node: Notation) -> str:
    return f"{write(node)}," if isinstance(node, Call) and node.letter == "V" else write(node)


def _is_number(node: Notation) -> bool:
    inner = node.body if isinstance(node, Signed) and node.of_number else node
    return isinstance(inner, Figure | Measure | TenTo)


def _quantity(node: Notation) -> str:
    return f"the quantity {write(node)}, end quantity"
