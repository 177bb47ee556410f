"""Numbers with units in a problem file: `"9.00 V"`, `"4.7 kΩ"`, `"4k7"`.

Tells a number from an expression, reads it, and says when its unit is missing or of the wrong kind.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from ..quantities import UnreadableQuantity, read_quantity
from .faults import Faults
from .key_lines import KeyPath

_FEATURE = {"Ω": "a resistance", "V": "a voltage", "A": "a current", "W": "a power", "": "a plain number"}
_NUMBER = re.compile(r"\s*[+\-−]?\s*[\d.,]+(\s*[eE][+\-−]?\d+)?\s*")
_SYMBOL_R = re.compile(r"\s*([\d.]+\s*R|R\d+)\s*")  # twice R and the symbol R1, not IEC 60062's 2R and R1


@dataclass(frozen=True, slots=True)
class Reading:
    """A number in SI base units, exactly, and the text it was read from."""

    value: Fraction
    text: str


def is_number(content: object) -> bool:
    """Whether a value of the file is a number (with or without unit) and not an expression."""
    if isinstance(content, int | Decimal) and not isinstance(content, bool):
        return True
    if not isinstance(content, str) or _SYMBOL_R.fullmatch(content):
        return False
    if _NUMBER.fullmatch(content):
        return True
    try:
        read_quantity(content)
    except UnreadableQuantity:
        return False
    return True


def read_number(content: object, unit: str, what: str, path: KeyPath, faults: Faults) -> Reading | None:
    """Reads the number for `what`, which must be in `unit` (empty: a plain number).

    Puts down what is wrong with it and gives None.
    """
    text = str(content).strip()
    example = _example(text, unit)
    if isinstance(content, bool) or not isinstance(content, int | Decimal | str):
        faults.add("file/wrong-type", path, f"the number for {what} is not a text.", example)
        return None
    if _NUMBER.fullmatch(text):
        if not unit and (plain := _plain(text)) is not None:
            return Reading(plain, text)
        if unit:
            faults.add(
                "file/missing-unit",
                path,
                f"the number {text} for {what} has no unit; {_FEATURE[unit]} is in {unit}.",
                example,
            )
            return None
    try:
        quantity = read_quantity(text)
    except UnreadableQuantity as error:
        faults.add(
            "file/unreadable-number",
            path,
            f'the number "{text}" for {what} cannot be read: {error}.',
            example,
        )
        return None
    if quantity.unit != unit:
        found = _FEATURE.get(quantity.unit, f"a quantity in {quantity.unit}")
        faults.add(
            "file/wrong-unit",
            path,
            f"{what} is given as {text}, which is {found}, and must be {_FEATURE[unit]}.",
            f"{example[:-1]}, or look whether the right key is named.",
        )
        return None
    return Reading(quantity.value, text)


def _example(text: str, unit: str) -> str:
    digits = re.match(r"[\d.]+", text)
    shown = digits[0].rstrip(".") if digits else "5.0"
    return f'Write "{shown} {unit}".' if unit else f'Write "{shown}".'


def _plain(text: str) -> Fraction | None:
    try:
        number = Decimal(text.strip().replace("−", "-").replace(" ", ""))
    except InvalidOperation:
        return None
    return Fraction(number) if number.is_finite() and abs(number.adjusted()) <= 30 else None
