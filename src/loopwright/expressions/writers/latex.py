"""Notation as LaTeX for inside a formula; needs only amsmath.

Greek letters and letters with accents are written by commands, so that any engine compiles them.
"""

from __future__ import annotations

import unicodedata
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

_BRACKETS = (("(", ")"), ("[", "]"), (r"\{", r"\}"))
_SIGNS = {
    Sign.PLUS: "+", Sign.MINUS: "-", Sign.PARALLEL: r"\parallel", Sign.EQUALS: "=", Sign.ABOUT: r"\approx",
    Sign.TENDS: r"\to", Sign.UNEQUAL: r"\neq", Sign.LESS: "<", Sign.MORE: ">", Sign.AT_MOST: r"\leq",
    Sign.AT_LEAST: r"\geq",
}  # fmt: skip
_GREEK_LIKE_LATIN = {"Α": "A", "Β": "B", "Ε": "E", "Ζ": "Z", "Η": "H", "Ι": "I", "Κ": "K", "Μ": "M", "Ν": "N",
                     "Ο": "O", "Ρ": "P", "Τ": "T", "Υ": "Y", "Χ": "X", "ο": "o"}  # fmt: skip
_COMMA = r",\, "
_ESCAPES = {
    "\\": r"\textbackslash{}", "{": r"\{", "}": r"\}", "_": r"\_", "^": r"\textasciicircum{}", "&": r"\&",
    "%": r"\%", "$": r"\$", "#": r"\#", "~": r"\textasciitilde{}",
}  # fmt: skip


def render(item: Expr | Equation, roles: Mapping[str, str] = NO_ROLES) -> str:
    """An expression or equation as LaTeX, without the signs that open and close a formula."""
    return write(notation(item, roles))


def write(node: Notation) -> str:
    """Notation as LaTeX."""
    match node:
        case Name():
            return _name(node)
        case Call():
            return _call(node)
        case Figure(digits):
            return digits
        case Measure(amount, unit):
            return rf"{write(amount)}\,{_unit(unit)}"
        case TenTo(amount, exponent):
            return rf"{write(amount)} \times 10^{{{exponent}}}"
        case Factors(items, crossed):
            joints = [r" \times " if cross else r" \, " for cross in crossed]
            return _joined([write(item) for item in items], joints)
        case Chain(items, signs):
            return _joined([write(item) for item in items], [f" {_SIGNS[sign]} " for sign in signs])
        case Signed(body):
            return f"-{write(body)}"
        case FractionBar(above, below, True):
            return f"{write(above)}/{write(below)}"
        case FractionBar(above, below):
            return rf"\frac{{{write(above)}}}{{{write(below)}}}"
        case Raised(base, exponent):
            return (
                f"{write(base)}^{{{exponent}}}"
                if not _has_primes(base)
                else f"({write(base)})^{{{exponent}}}"
            )
        case Rooted(body):
            return rf"\sqrt{{{write(body)}}}"
        case PowerOfE(exponent):
            return rf"\mathrm{{e}}^{{{write(exponent)}}}"
        case AppliedTo(function, body):
            return rf"\{function}\left({write(body)}\right)"
        case OfTime(of):
            return f"{write(of)}(t)"
        case RateOf(of):
            return rf"\frac{{\mathrm{{d}}{write(of)}}}{{\mathrm{{d}}t}}"
        case Bracketed(body, depth, tall):
            left, right = _BRACKETS[depth % 3]
            return rf"\left{left} {write(body)} \right{right}" if tall else f"{left}{write(body)}{right}"
        case Grid(rows):
            lines = r" \\ ".join(" & ".join(map(write, row)) for row in rows)
            return rf"\begin{{vmatrix}} {lines} \end{{vmatrix}}"


def _has_primes(node: Notation) -> bool:
    return isinstance(node, Name) and node.primes > 0


def _name(name: Name) -> str:
    match name.style:
        case Style.SCRIPT:
            base = rf"\mathcal{{{name.base}}}"
        case Style.ITALIC:
            base = _italic(name.base)
        case Style.UPRIGHT:
            base = _upright(name.base)
    sub = f"_{{{_upright(name.sub)}}}" if name.sub else ""
    return base + sub + "'" * name.primes


def _call(call: Call) -> str:
    without = rf"\text{{ without }}{_COMMA.join(map(_name, call.without))}" if call.without else ""
    if call.joined:
        return f"{call.letter}_{{{_upright(''.join(call.points))}}}{without}"
    inside = [_name(call.of)] if call.of else [_upright(point) for point in call.points]
    inside += [_upright("terminals")] if call.at_terminals else []
    letter = call.letter if len(call.letter) == 1 else _upright(call.letter)
    return f"{letter}({_COMMA.join(inside)}){without}"


def _unit(unit: UnitName) -> str:
    symbol = "".join(r"{\mu}" if c == "µ" else r"\Omega" if c == "Ω" else _boxed(c) for c in unit.symbol)
    return rf"\mathrm{{{symbol}}}" + ("" if unit.power == 1 else f"^{{{unit.power}}}")


def _italic(letter: str) -> str:
    if letter.isascii():
        return _boxed(letter)
    if letter == "∞":
        return r"\infty"
    return _greek(letter) or rf"\text{{\textit{{{_text(letter)}}}}}"


def _upright(letters: str) -> str:
    if letters.isdecimal() and letters.isascii():
        return letters
    if letters == "∞":
        return r"\infty"
    return rf"\mathrm{{{''.join(_greek(c) or _boxed(c) for c in letters)}}}"


def _boxed(letter: str) -> str:
    """A letter or digit as it is; any other sign as text, for its command is one of text."""
    return letter if letter.isascii() and letter.isalnum() else rf"\text{{{_text(letter)}}}"


def _greek(letter: str) -> str:
    """The command of a Greek letter; empty for any other."""
    if letter in _GREEK_LIKE_LATIN:
        return _GREEK_LIKE_LATIN[letter]
    words = unicodedata.name(letter, "").split()
    if words[:1] != ["GREEK"] or words[2:3] != ["LETTER"] or len(words) != 4 or words[3] == "FINAL":
        return ""
    command = {"LAMDA": "lambda"}.get(words[3], words[3].lower())
    return "\\" + (command.capitalize() if words[1] == "CAPITAL" else command) + " "


def _text(letter: str) -> str:
    """A sign that LaTeX would act on, or a letter with an accent, by its command; any other as it is."""
    if letter in _ESCAPES:
        return _ESCAPES[letter]
    plain, *marks = list(unicodedata.normalize("NFD", letter))
    if plain.isascii() and len(marks) == 1 and marks[0] in _ACCENTS:
        return f"\\{_ACCENTS[marks[0]]}{{{plain}}}"
    return letter


_ACCENTS = {
    "\u0300": "`",
    "\u0301": "'",
    "\u0302": "^",
    "\u0303": "~",
    "\u0308": '"',
    "\u030a": "r",
    "\u0327": "c",
}


def _joined(parts: list[str], joints: list[str]) -> str:
    return parts[0] + "".join(joint + part for joint, part in zip(joints, parts[1:], strict=True))
