"""The words in which algebra is spoken: numbers, units, Greek letters, and the words that connect them.

Shared by the spoken writer and by the parser that hears it, so that they speak one language; how words
are put together and taken apart is theirs. Names are spelled here, since a spelled name is heard by
the same table.
"""

from __future__ import annotations

import re
import unicodedata

DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEENS = (
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
)
TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
SCALES = {"thousand": 10**3, "million": 10**6, "billion": 10**9}

PREFIXES = {
    "p": "pico",
    "n": "nano",
    "µ": "micro",
    "m": "milli",
    "k": "kilo",
    "M": "mega",
    "G": "giga",
    "T": "tera",
}
UNITS = {
    "V": "volt",
    "A": "ampere",
    "Ω": "ohm",
    "W": "watt",
    "F": "farad",
    "C": "coulomb",
    "H": "henry",
    "J": "joule",
    "s": "second",
}

BETWEEN_POINTS = {"R": "resistance", "C": "capacitance", "L": "inductance"}  # R(a, b) and the like
SPOKEN_FUNCTIONS = {"ln": "natural logarithm", "cos": "cosine", "sin": "sine"}
OF_ELEMENT = {
    "V": "voltage across",
    "Q": "charge on",
    "U": "energy in",
    "heat": "heat in",
}  # V(C1) and the like

RELATIONS = {
    "=": "equals",
    "≈": "is about",
    "→": "tends to",
    "≠": "is not equal to",
    "<": "is less than",
    ">": "is more than",
    "≤": "is at most",
    "≥": "is at least",
}
INFINITY = "∞"
WITHOUT_LIMIT = "grows without limit"  # of a side that tends to infinity

_GREEK_NAMES = (
    "alpha", "beta", "gamma", "delta", "epsilon", "zeta", "eta", "theta", "iota", "kappa", "lambda", "mu",
    "nu", "xi", "omicron", "pi", "rho", "sigma", "tau", "upsilon", "phi", "chi", "psi", "omega",
)  # fmt: skip
_UNICODE_NAMES = {"lambda": "LAMDA"}
GREEK = {
    unicodedata.lookup(f"GREEK SMALL LETTER {_UNICODE_NAMES.get(name, name.upper())}"): name
    for name in _GREEK_NAMES
}
GREEK_LETTERS = {name: letter for letter, name in GREEK.items()}

CONNECTING = frozenset((
    "sub", "small", "capital", "prime", "underscore", "plus", "minus", "times", "over", "start", "end",
    "fraction", "the", "quantity", "squared", "cubed", "to", "power", "negative", "point", "hundred",
    "and", "digits", "in", "parallel", "with", "meaning", "at", "between", "resistance", "square", "is",
    "about", "tends", "not", "equal", "less", "than", "more", "most", "least", "equals", "infinity",
    "grows", "without", "limit", "of", "root", "determinant", "row", "next",
))  # fmt: skip
NUMBER_WORDS = frozenset((*DIGITS, *TEENS, *TENS, *SCALES))
UNIT_WORDS = {
    before + word + end: prefix + symbol
    for symbol, word in UNITS.items()
    for prefix, before in (("", ""), *((p, w + ("-" if symbol == "Ω" else "")) for p, w in PREFIXES.items()))
    for end in ("", "s")
}

_CHUNK = re.compile(r"[A-Z]?[a-z]{2,}|.", re.DOTALL)
_SHORTEST_WORD = 3


def is_reserved(word: str) -> bool:
    """Whether a word has a meaning of its own and cannot stand for a name."""
    return word in CONNECTING or word in NUMBER_WORDS or word in GREEK_LETTERS or word in UNIT_WORDS


def spelled(name: str) -> list[str]:
    """The words for letters and digits one after another: `12` is "one two", `AB` "capital A capital B".

    A run of three or more small letters is said as a word unless that word means something else.
    """
    return [word for chunk in _CHUNK.findall(name) for word in _spelled_chunk(chunk)]


def _spelled_chunk(chunk: str) -> list[str]:
    if len(chunk) > 1:
        word = chunk.lower()
        if len(word) < _SHORTEST_WORD or is_reserved(word):
            return [w for letter in chunk for w in _spelled_chunk(letter)]
        return ["capital", word] if chunk[0].isupper() else [word]
    if chunk in "0123456789":
        return [DIGITS[int(chunk)]]
    if chunk.lower() in GREEK:
        return [*(["capital"] if chunk.isupper() else []), GREEK[chunk.lower()]]
    if chunk.isascii() and chunk.isupper():
        return ["capital", chunk]
    return [{"_": "underscore", "′": "prime", "'": "prime", INFINITY: "infinity"}.get(chunk, chunk)]


def letters_of(words: list[str]) -> str:
    """What was spelled, the inverse of `spelled`. Raises ValueError (the word) for a word with a meaning."""
    letters = ""
    capital = False
    for word in words:
        if word == "capital" and not capital:
            capital = True
            continue
        letter = _letter_of(word)
        letters += letter[:1].upper() + letter[1:] if capital else letter
        capital = False
    if capital:
        raise ValueError("capital")
    return letters


_SIGNS_BY_WORD = {"underscore": "_", "prime": "′", "infinity": INFINITY}


def _letter_of(word: str) -> str:
    if word in DIGITS:
        return str(DIGITS.index(word))
    if word in GREEK_LETTERS:
        return GREEK_LETTERS[word]
    if word in _SIGNS_BY_WORD:
        return _SIGNS_BY_WORD[word]
    if is_reserved(word):
        raise ValueError(word)
    return word
