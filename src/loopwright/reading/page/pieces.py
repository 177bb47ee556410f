"""What a line of a working is made of: numbers, names, signs, words of prose, stops; each with its place.

Tells a word of prose from the name of a quantity, so that prose is never read as a product of names.
Stands on the grammar of expressions for what a name and a call (`V(a, b)`) look like.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from enum import StrEnum

from ...expressions.tokens import NAME, canonical_name, parts_of
from ...quantities import read_unit
from .naming import NamesInUse


class PieceSort(StrEnum):
    """The sorts of pieces."""

    NUMBER = "number"
    NAME = "name"
    UNIT = "unit"
    WORD = "word"
    SIGN = "sign"
    RAISED = "raised"
    OPEN = "("
    CLOSE = ")"
    RELATION = "relation"
    IMPLIES = "⇒"
    STOP = "stop"
    GAP = "gap"  # a wide space, which may part two claims
    FOREIGN = "foreign"


MATHS = frozenset((
    PieceSort.NUMBER, PieceSort.NAME, PieceSort.UNIT, PieceSort.SIGN,
    PieceSort.RAISED, PieceSort.OPEN, PieceSort.CLOSE, PieceSort.RELATION,
    PieceSort.FOREIGN,
))  # fmt: skip
OPERANDS = frozenset((PieceSort.RAISED, PieceSort.NUMBER, PieceSort.NAME, PieceSort.UNIT, PieceSort.CLOSE))
CLOSING = {"(": ")", "[": "]", "{": "}"}


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a line: its sort, its signs, where it begins and ends in the text."""

    sort: PieceSort
    words: str
    start: int
    end: int


RELATIONS = {
    "=": "=", "==": "=", ":=": "=", "≡": "=", "≝": "=",
    "≈": "≈", "~=": "≈", "=~": "≈", "≅": "≈", "≃": "≈", "∼": "≈", "~": "≈", "≐": "≈", "≒": "≈",
    "→": "→", "->": "→", "-->": "→", "−>": "→", "–>": "→", "⟶": "→", "↦": "→",
}  # fmt: skip
_INEQUALITIES = ("≠", "!=", "=/=", "<=", ">=", "≤", "≥", "<<", ">>", "≪", "≫", "<", ">")
_REMARKS = ("<--", "<-", "←", "⟵")
_IMPLIES = ("<==>", "<=>", "==>", "=>", "⇒", "⟹", "⇔", "⟺", "∴", "⟾")
_SIGNS = ("**", "||", "//", "∥", "‖", "+", "-", "−", "–", "*", "·", "⋅", "×", "∙", "/", "÷", "⁄", "∕", "^")


def _any(words: Collection[str]) -> str:
    return "|".join(map(re.escape, sorted(words, key=len, reverse=True)))


_POINTS = r"\s*\w[\w'′]*\s*,\s*\w[\w'′]*\s*"
_PIECE = re.compile(
    rf"""(?P<word>[^\W\d_]{{2,}}['’](?:s|t|re|ve|ll|d)\b)
    |(?P<foreign>[±∓%√∑∏∫∂∞°&#@_∝∠$\\½¼¾⅓⅔]|\|(?!\|)|\b(?:oo|[Ii]nf(?:inity)?)\b)
    |(?P<call>R\s{{0,3}}\({_POINTS}\)\s+without\s+{NAME.pattern}(?:\s*(?:,|\band\b)\s*[RE]\w*)*
        |[VvUuR]\s{{0,3}}\({_POINTS}\)|P\(\s*[^\W\d_]\w*['′]*\s*\))
    |(?P<number>[0-9]+(?:[.,'’][0-9]+)*|\.[0-9]+)
    |(?P<name>{NAME.pattern})
    |(?P<implies>{_any(_IMPLIES)})
    |(?P<stop>(?:{_any(_REMARKS)})(?=\s*[^\W\d_]{{2}}))
    |(?P<relation>{_any((*RELATIONS, *_INEQUALITIES))})
    |(?P<gap>[^\S\t\u2003]*[\t\u2003]\s*|[^\S\n]{{4,}})
    |(?P<sign>{_any(_SIGNS)})
    |(?P<raised>⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)
    |(?P<open>[(\[{{])
    |(?P<close>[)\]}}])
    |(?P<space>\s+|[\u2060-\u2062])
    |(?P<other>.)""",
    re.VERBOSE | re.DOTALL,
)
_SORTS = {
    "word": PieceSort.WORD, "call": PieceSort.NAME,
    "number": PieceSort.NUMBER, "name": PieceSort.NAME, "implies": PieceSort.IMPLIES,
    "relation": PieceSort.RELATION, "gap": PieceSort.GAP,
    "sign": PieceSort.SIGN, "raised": PieceSort.RAISED, "open": PieceSort.OPEN,
    "close": PieceSort.CLOSE,
    "foreign": PieceSort.FOREIGN, "stop": PieceSort.STOP,
    "other": PieceSort.STOP,
}  # fmt: skip

_ENDINGS_OF_COUNTING = ("st", "nd", "rd", "th")
_NUMBERED_WORD = re.compile(
    r"(?:loop|mesh|eqn?|equation|step|node|junction|law|line|part|case|kvl|kcl|krl|lhs|rhs|q|no)_?\d+",
    re.IGNORECASE,
)
_COUNTED = frozenset((
    "battery", "batterie", "source", "quelle", "cell", "zelle", "resistor", "lamp", "lampe", "bulb", "branch",
    "zweig", "ast", "mesh", "masche", "loop", "node", "knoten", "fuente", "pila", "pile", "rama", "branche",
))  # fmt: skip
_RELATED = re.compile(r"\s*(?:[=≈:]|is\b|ist\b|es\b|est\b)")
_QUANTITY = frozenset("VIREUPGJεℰ")
_SUBSCRIPTS = frozenset((
    "tot", "total", "eq", "equiv", "load", "in", "out", "par", "parallel", "ser", "series", "bat", "batt",
    "battery", "ab", "max", "min", "int", "inside", "ext", "net", "lamp", "bulb", "cell", "src", "source",
    "term", "meter", "sum", "ref", "oc", "sc", "th", "rise", "drop", "top", "bottom", "left", "right",
    "mid", "ges", "ers",
))  # fmt: skip
WORDS_LIKE_NAMES = frozenset((
    "in", "if", "it", "is", "re", "up", "us", "put", "use", "end", "via", "per", "rise", "even", "each",
    "its", "get", "go", "give", "given", "gives", "just", "plus", "pay", "ran", "run", "rad", "ray",
    "rod", "row", "red", "ice", "ill", "imp", "ion", "ups", "upon", "until", "under", "very", "view",
    "edge", "else", "equal", "every", "i.e", "ie", "eg", "eqn", "eq", "eqs", "vs", "ref", "rms", "rule",
    "root", "rest", "rate", "real", "read", "reads", "pd", "pds", "good", "goes", "got", "van", "vet",
    "vat", "pin", "pit", "pen", "pet", "pie", "pot", "pro", "pry", "jam", "jar", "jet", "job", "joy",
    "jug", "gap", "gas", "gel", "gem", "gut", "guy", "let", "eye", "ear", "eat", "egg", "ego", "era",
    "eve", "ever", "evil", "ep", "rig", "rip", "rob", "rot", "rub", "rug", "rye", "rid", "rim", "ink",
    "inn", "irk", "ivy", "ire",
))  # fmt: skip


def pieces_of(text: str, names: NamesInUse) -> tuple[Piece, ...]:
    """The pieces of a text in which these names are in use."""
    found: list[Piece] = []
    for match in _PIECE.finditer(text):
        group = match.lastgroup or "stop"
        if group == "space":
            continue
        sort = _SORTS[group]
        if group == "name":
            told = match[0] == "sum" and text[match.end() :].lstrip()[:1].isdigit()  # sum 2 + 3 = 5
            sort = PieceSort.WORD if told else _sort_of_name(match[0], match.start(), found, names)
        elif _is_count(match, text, found):
            sort = PieceSort.WORD
        found.append(Piece(sort, match[0], match.start(), match.end()))
    return tuple(found)


def _is_count(match: re.Match[str], text: str, before: Sequence[Piece]) -> bool:
    """Whether a number only says which one is meant, `terminal voltage of battery 2 = 12.4 V`."""
    if not before or before[-1].words.lower() not in _COUNTED or not match[0].isdigit() or len(match[0]) > 2:
        return False
    return before[-1].sort is PieceSort.WORD and _RELATED.match(text, match.end()) is not None


def _sort_of_name(written: str, start: int, before: list[Piece], names: NamesInUse) -> PieceSort:
    name = canonical_name(written)
    last = before[-1] if before else None
    if name in names.known:
        return PieceSort.NAME
    after_operand = last is not None and last.sort in OPERANDS
    if last is not None and last.sort is PieceSort.NUMBER and last.end == start:
        if written in _ENDINGS_OF_COUNTING:
            return PieceSort.WORD
        if read_unit(written):
            return PieceSort.UNIT
    if after_operand and read_unit(written) and written not in ("a", "A" if last is None else ""):
        return PieceSort.UNIT
    return PieceSort.NAME if is_name(written, names) else PieceSort.WORD


def is_name(written: str, names: NamesInUse) -> bool:
    """Whether letters and digits typed together name a quantity (or several), rather than being a word."""
    name = canonical_name(written)
    if name in names.split:
        return True
    if _NUMBERED_WORD.fullmatch(written):
        return False
    if len(name) == 1 or not name.isalpha() or "_" in written:
        return not (name.startswith(("Σ", "∑")) or (len(name) > 24 and name.isalpha()))
    if not name.isascii():
        return name[0] in "εΕεϵξρφΦ" and len(name) < 6
    lower = name.lower()
    if name in ("Vs", "sum") or (name[0] == "V" and len(name) == 3 and names.readings(name)):
        return True  # Van and Via are voltages where there are such points
    if lower in WORDS_LIKE_NAMES and not (name.isupper() and parts_of(name, names.known)):
        return False  # RE is R times E where both are the circuit's
    if name[0] in "VU" and names.point(name[1:]):
        return True  # the potential of a point
    if lower == "emf" or parts_of(name, names.known) or names.readings(name):
        return True
    if name[0].lower() in "ivru" and len(name) <= 3 and name[0].islower():
        return len(name) == 2 or name[1:].isupper()
    if name[0] in _QUANTITY and (len(name) <= 3 or lower[1:] in _SUBSCRIPTS):
        return True
    if name[0] == "R" and len(name) > 3 and lower[1:-1] in _SUBSCRIPTS:
        return True  # Reqa and Reqb, one for each source
    return lower in ("req", "rtot", "rges", "rers", "itot", "vtot") or (
        any(c.isupper() for c in name[1:]) and bool(parts_of(name, names.split))
    )
