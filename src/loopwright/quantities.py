"""Numbers with units, exactly: `4.7 kΩ`, `4k7`, `9.00 V`, `1.5e-3 A`, `1/6 ohm`; and the way back, rounded.

Values are exact fractions in the SI base unit; no floating point anywhere. Imports nothing of ours.

Sources, from memory: SI prefixes and the space before a unit, ISO 80000-1; letter code for
resistances and capacitances (`4k7`, `R47`, `4n7`), IEC 60062.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NoReturn

UNITS = ("V", "A", "Ω", "W")  # volt, ampere, ohm, watt
STORED = ("F", "C", "H", "J", "s")  # farad, coulomb, henry, joule, second: only where they can be meant
PREFIXES = {"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9, "T": 12}
LARGEST_EXPONENT = 30
LONGEST_TEXT = 80

_UNIT_WORDS = {
    "v": "V", "volt": "V", "volts": "V",
    "a": "A", "amp": "A", "amps": "A", "ampere": "A", "amperes": "A",
    "ω": "Ω", "ohm": "Ω", "ohms": "Ω",
    "w": "W", "watt": "W", "watts": "W",
    "f": "F", "farad": "F", "farads": "F",
    "c": "C", "coulomb": "C", "coulombs": "C",
    "h": "H", "henry": "H", "henrys": "H", "henries": "H",
    "j": "J", "joule": "J", "joules": "J",
    "s": "s", "sec": "s", "second": "s", "seconds": "s",
}  # fmt: skip
_PREFIX_WORDS = {
    "pico": "p",
    "nano": "n",
    "micro": "µ",
    "milli": "m",
    "kilo": "k",
    "mega": "M",
    "meg": "M",
    "giga": "G",
    "tera": "T",
}
_UNUSED_PREFIXES = ("da", "h", "d", "c")  # SI, but no one measures a current with them
_SIGN = r"(?P<sign>[+\-−]?)\s*"
_DIGITS = r"\d{1,3}(?:[ \u2009\u202f]\d{3})+(?:\.\d+)?|\d+(?:\.\d*)?|\.\d+"
_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_TEN_TO = r"\^\s*\(?(?P<ten>[+\-−]?\d+)\)?|(?P<raised>[⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)"
_POWER = rf"(?:[eE](?P<e>[+\-−]?\d+)|\s*[×x*·]\s*10\s*(?:{_TEN_TO}))?"
_DECIMAL = re.compile(rf"{_SIGN}(?P<digits>{_DIGITS}){_POWER}(?P<unit>(?![\d.,]).*|)", re.DOTALL)
_FRACTION = re.compile(rf"{_SIGN}(?P<above>\d+)\s*[/⁄]\s*(?P<below>\d+)(?P<unit>(?![\d.,/]).*|)", re.DOTALL)
_FARAD_CODE = re.compile(
    r"(?:(?P<whole>\d+)(?P<letter>[pnuµμmF])(?P<part>\d*)|(?P<first>[pnuµμmF])(?P<only>\d+))\s*F?"
)
_LETTER_CODE = re.compile(r"(?P<whole>\d+)(?P<letter>[RkKMGT])(?P<part>\d*)|(?P<first>R)(?P<only>\d+)")
_LETTERS = {"R": "", "k": "k", "K": "k", "M": "M", "G": "G", "T": "T"}
_FARAD_LETTERS = {"p": "p", "n": "n", "u": "µ", "µ": "µ", "μ": "µ", "m": "m", "F": ""}
_COMMA = re.compile(r"(?P<whole>\d+),(?P<part>\d+)")


class UnreadableQuantity(ValueError):
    """A text that is no number with unit. `why` says what is wrong with it, `mend` how to write it."""

    def __init__(self, text: str, why: str, mend: str) -> None:
        super().__init__(f"{why}; {mend}")
        self.text, self.why, self.mend = text, why, mend


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit.

    `value` is exact, in `unit` (`"V"`, `"A"`, `"Ω"`, `"W"` or `""` for a plain number); `figures` are the
    significant figures written (0: an exact fraction); `text` is what was written or is to be shown;
    `digits` and `symbol` are its two parts, the unit with its prefix (`"4.7"`, `"kΩ"`).
    """

    value: Fraction
    unit: str
    figures: int
    text: str
    digits: str
    symbol: str

    def __str__(self) -> str:
        return self.text


# -- reading ---------------------------------------------------------------------------------------


def read_quantity(text: str, units: Sequence[str] = UNITS) -> Quantity:
    """Reads a number with or without a unit, exactly. `units`: which units may stand there, without prefix.

    Every digit written counts as significant, the end zeros of a whole number too. Raises
    UnreadableQuantity (a ValueError) with the reason and the mend.
    """
    if len(text) > LONGEST_TEXT:
        raise UnreadableQuantity(
            text[:20], f"it is longer than {LONGEST_TEXT} signs", "write a shorter number"
        )
    written = text.strip()
    code = _letter_code(written) or (_farad_code(written) if "F" in units else None)
    if code is not None:
        return code
    if found := _FRACTION.fullmatch(written):
        return _fraction(written, found, units)
    if found := _DECIMAL.fullmatch(written):
        return _decimal(written, found, units)
    _not_a_number(written)


def _letter_code(written: str) -> Quantity | None:
    """IEC 60062: the letter stands for the decimal point and the multiplier, in ohms."""
    bare = re.sub(r"\s*(?:[ΩΩ]|[oO]hms?)$", "", written)
    return _coded(_LETTER_CODE.fullmatch(bare), _LETTERS, "Ω", written)


def _farad_code(written: str) -> Quantity | None:
    """The same in farads: `4n7`, `100p`."""
    return _coded(_FARAD_CODE.fullmatch(written), _FARAD_LETTERS, "F", written)


def _coded(
    found: re.Match[str] | None, letters: Mapping[str, str], unit: str, written: str
) -> Quantity | None:
    """What a letter code stands for; `letters`: the prefix of each letter."""
    if found is None:
        return None
    whole, part = (found["whole"], found["part"]) if found["whole"] else ("0", found["only"])
    prefix = letters[found["letter"] or found["first"]]
    digits = f"{whole}.{part}" if part else whole
    value = Fraction(digits) * Fraction(10) ** PREFIXES[prefix]
    return Quantity(value, unit, _figures(digits), written, digits, f"{prefix}{unit}")


def _fraction(written: str, found: re.Match[str], units: Sequence[str]) -> Quantity:
    if not int(found["below"]):
        raise UnreadableQuantity(written, "its denominator is 0", "write a denominator other than 0")
    symbol, unit, scale = _unit(found["unit"], written, units)
    value = Fraction(int(found["above"]), int(found["below"])) * _sign(found) * scale
    digits = f"{_minus(found)}{int(found['above'])}/{int(found['below'])}"
    return Quantity(value, unit, 0, written, digits, symbol)


def _decimal(written: str, found: re.Match[str], units: Sequence[str]) -> Quantity:
    digits = re.sub(r"\s", "", found["digits"])
    digits = f"0{digits}" if digits.startswith(".") else digits.removesuffix(".")
    power = found["e"] or found["ten"] or (found["raised"] or "0").translate(_SUPERSCRIPTS)
    exponent = int(power.replace("−", "-"))
    if abs(exponent) > LARGEST_EXPONENT:
        why = f"a power of ten beyond {LARGEST_EXPONENT} is no quantity of a circuit"
        raise UnreadableQuantity(written, why, "look at the exponent again")
    symbol, unit, scale = _unit(found["unit"], written, units)
    value = Fraction(digits) * Fraction(10) ** exponent * _sign(found) * scale
    shown = f"{_minus(found)}{digits}" + (f"e{exponent}" if exponent else "")
    return Quantity(value, unit, _figures(digits), written, shown, symbol)


def _sign(found: re.Match[str]) -> int:
    return -1 if found["sign"] in ("-", "−") else 1


def _minus(found: re.Match[str]) -> str:
    return "-" if _sign(found) < 0 else ""


def _figures(digits: str) -> int:
    """Significant figures: from the first digit that is not 0; a zero has those after its point, or 1."""
    significant = digits.replace(".", "").lstrip("0")
    return len(significant) or max(1, len(digits.partition(".")[2]))


def figures_of_data(texts: Iterable[str]) -> int:
    """How many significant figures results bear that rest on these numbers as written: as many as the
    least exact number with decimals, 2 at least. Whole numbers count as exact, as they are meant in most
    exercises; where nothing has decimals, 3 (common practice, no source)."""
    least: list[int] = []
    for text in texts:
        try:
            found = read_quantity(text)
        except UnreadableQuantity:
            continue
        if "." in found.digits:
            least.append(found.figures)
    return min(max(2, min(least, default=3)), 12)


def read_unit(text: str, units: Sequence[str] = UNITS) -> tuple[str, str, Fraction] | None:
    """The symbol with prefix, the base unit and the scale of a unit as written (`kohm` -> kΩ, Ω, 1000).

    None when it is none of `units`: of volts, amperes, ohms or watts, where nothing else is said.
    """
    plain = text.replace("\u2126", "Ω").replace("\u03bc", "µ").strip()
    whole = _UNIT_WORDS.get(plain.lower(), "")
    if whole in units and (len(plain) > 1 or plain in units):
        return whole, whole, Fraction(1)
    word = next((word for word in _PREFIX_WORDS if plain.lower().startswith(word)), None)
    if word is not None:
        prefix, rest = _PREFIX_WORDS[word], plain[len(word) :].lstrip("- ").lower()
        rest = f"o{rest}" if rest in ("hm", "hms") else rest  # kilohm, megohm
    else:
        prefix, rest = plain[:1].replace("u", "µ"), plain[1:]
        rest = rest.lower() if len(rest) > 1 else rest
        if prefix not in PREFIXES or (len(rest) == 1 and rest not in units):
            return None
    unit = _UNIT_WORDS.get(rest, rest)
    if not prefix or unit not in units:
        return None
    return prefix + unit, unit, Fraction(10) ** PREFIXES[prefix]


def _unit(text: str, written: str, units: Sequence[str]) -> tuple[str, str, Fraction]:
    plain = text.strip()
    if not plain:
        return "", "", Fraction(1)
    found = read_unit(plain, units)
    return found if found is not None else _not_a_unit(plain, written, units)


def _not_a_unit(unit: str, written: str, units: Sequence[str]) -> NoReturn:
    number = written[: len(written) - len(unit)].strip()
    if unit in ("k", "K", "M", "G"):
        prefix = _LETTERS[unit]
        mend = f"write {number} {prefix}Ω if it is a resistance"
        raise UnreadableQuantity(written, f'"{unit}" alone is a prefix, not a unit', mend)
    if unit[0] == "K" and read_unit("k" + unit[1:], units):
        raise UnreadableQuantity(
            written, "the prefix kilo is a small k (K is the kelvin)", f"write {number} k{unit[1:]}"
        )
    for prefix in _UNUSED_PREFIXES:
        if unit.startswith(prefix) and read_unit(unit[len(prefix) :], units):
            mend = "use m, µ, n or k, M, G, or a power of ten"
            raise UnreadableQuantity(written, f'the prefix "{prefix}" is not used for circuits', mend)
    words = [word for word, meant in _UNIT_WORDS.items() if len(word) > 1 and meant in units]
    near = difflib.get_close_matches(unit.lower(), words, n=1)
    if tuple(units) != UNITS:
        mend = f"did you mean {near[0]}" if near else f"use {units[-1]}, with a prefix such as m or µ"
        raise UnreadableQuantity(written, f'"{unit}" is not a unit of what is meant', mend)
    mend = f"did you mean {near[0]}" if near else "use V, A, Ω (or ohm) or W, with a prefix such as m or k"
    raise UnreadableQuantity(
        written, f'"{unit}" is not a unit of voltage, current, resistance or power', mend
    )


def _not_a_number(written: str) -> NoReturn:
    if comma := _COMMA.search(written):
        whole, part = comma["whole"], comma["part"]
        point = written.replace(comma[0], f"{whole}.{part}")
        mend = f"write {point}"
        if len(part) == 3:
            mend += f", or {written.replace(comma[0], whole + part)} if the comma marks thousands"
        raise UnreadableQuantity(written, "a comma stands in the number; decimals have a point", mend)
    if not written:
        raise UnreadableQuantity(written, "nothing is written", "write a number and its unit, such as 4.7 kΩ")
    if read_unit(written):
        raise UnreadableQuantity(
            written, "it is a unit without a number", f"write the number first, as in 5.0 {written}"
        )
    raise UnreadableQuantity(
        written, "it is not a number with a unit", "write a number and its unit, such as 4.7 kΩ"
    )


# -- writing ---------------------------------------------------------------------------------------


def rounded(value: Fraction, unit: str, figures: int = 3) -> Quantity:
    """The value rounded to significant figures, shown with the prefix that leaves 1 to 999 before it.

    Below one unit a number of one or two figures may begin with a nought instead, so that every digit shown
    is a figure: `0.50 A`, not `500 mA`. A half is rounded away from zero, as is taught at school and done by
    calculators. End zeros are kept (`2.00 A`); zero is `0 A`; past the prefixes a power of ten is written.
    `value` of the result is the rounded one. Raises ValueError for fewer than 1 figure.
    """
    if figures < 1:
        raise ValueError(f"{figures} significant figures asked for; ask for 1 or more")
    if value == 0:
        return Quantity(Fraction(0), unit, figures, f"0 {unit}".strip(), "0", unit)
    size = abs(value)
    last = _magnitude(size) - figures + 1  # the power of ten of the last figure kept
    count = _half_away(size.numerator * 10 ** max(0, -last), size.denominator * 10 ** max(0, last))
    if count == 10**figures:
        count, last = count // 10, last + 1
    near = Fraction(count * 10**last) if last >= 0 else Fraction(count, 10**-last)
    group, prefix, power = _scale(_magnitude(near), figures, unit)
    digits = _decimal_text(count, last - group)
    digits = ("-" if value < 0 else "") + digits + (f"e{power}" if power else "")
    symbol = prefix + unit
    text = f"{_with_true_signs(digits)} {symbol}".strip()
    return Quantity(near if value > 0 else -near, unit, figures, text, digits, symbol)


def simple(value: Fraction) -> str:
    """The exact value as a person writes it: `12`, `0.05`, or `1/6` where decimals would not end."""
    top, bottom = value.numerator, value.denominator
    rest, places = bottom, 0
    for prime in (2, 5):
        count = 0
        while rest % prime == 0:
            rest, count = rest // prime, count + 1
        places = max(places, count)
    if rest != 1 or places > 6:
        return f"{top}/{bottom}"
    shown = _decimal_text(abs(top) * 10**places // bottom, -places)
    return f"-{shown}" if top < 0 else shown


def _with_true_signs(digits: str) -> str:
    """Digits for people: a true minus sign and `× 10^-30` for `e-30`."""
    mantissa, _, power = digits.partition("e")
    return (f"{mantissa} × 10^{power}" if power else mantissa).replace("-", "−")


def _magnitude(size: Fraction) -> int:
    """The power of ten of the first figure: 2 for 123, −3 for 0.004."""
    top, bottom = size.numerator, size.denominator
    guess = len(str(top)) - len(str(bottom))
    return guess if top * 10 ** max(0, -guess) >= bottom * 10 ** max(0, guess) else guess - 1


def _half_away(top: int, bottom: int) -> int:
    """The whole number next to a positive fraction."""
    return (2 * top + bottom) // (2 * bottom)


def _scale(magnitude: int, figures: int, unit: str) -> tuple[int, str, int]:
    """What the digits are counted in (a power of ten), the prefix, and the power of ten to be written."""
    if not unit:
        written_out = -4 <= magnitude <= max(figures, 6)
        return (0, "", 0) if written_out else (magnitude, "", magnitude)
    group = magnitude // 3 * 3
    if magnitude < 0 and magnitude - group == 2 and figures < 3:
        group += 3
    for prefix, power in PREFIXES.items():
        if power == group:
            return group, prefix, 0
    return magnitude, "", magnitude


def _decimal_text(count: int, power: int) -> str:
    """`count` times ten to `power`, as decimals with every figure of `count` shown."""
    digits = str(count)
    if power >= 0:
        return digits + "0" * power
    digits = digits.rjust(1 - power, "0")
    return f"{digits[:power]}.{digits[power:]}"
