"""Numbers with units in a problem file: `"9.00 V"`, `"4.7 kΩ"`, `"4k7"`.

Tells a number from an expression, reads it, and says when its unit is missing or of the wrong kind.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ..circuit.names import quantity_name
from ..quantities import UNITS, UnreadableQuantity, read_quantity
from .faults import Faults
from .key_lines import KeyPath

_FEATURE = {"Ω": "a resistance", "V": "a voltage", "A": "a current", "W": "a power", "": "a plain number"}
_FEATURE |= {"F": "a capacitance", "H": "an inductance", "s": "a time"}
_BEGINS_AS_NUMBER = re.compile(r"\s*[+\-−]?\s*[.\d]")
_NUMBER_AND_NAME = re.compile(r"\s*[+\-−]?\s*[.\d][\d. ]*(?P<name>[^\W\d_]\w*)\s*")
_TIMES_R = re.compile(r"\s*(?P<times>\d+)R\s*")


@dataclass(frozen=True, slots=True)
class ReadNumber:
    """A number in SI base units, exactly, and the text it was read from."""

    value: Fraction
    text: str


def is_number(content: object, unit: str, names: Collection[str]) -> bool:
    """Whether a value of the file is a number, well or badly written, and not an expression.

    `unit` is the unit wanted; `names` are those in use: `2 k` is a product where k is a name. `2R` is a
    product, as people write twice R, and `R47` a name, not the letter codes of IEC 60062.
    """
    if isinstance(content, int | Decimal) and not isinstance(content, bool):
        return True
    if not isinstance(content, str) or not _BEGINS_AS_NUMBER.match(content) or _TIMES_R.fullmatch(content):
        return False
    try:
        read_quantity(content, _units(unit))
    except UnreadableQuantity as error:
        after = _NUMBER_AND_NAME.fullmatch(content)
        if after is None or quantity_name(after["name"]) in names:
            return False
        misspelt = error.mend.startswith("did you mean") or after["name"] in ("k", "K", "M", "G")
        return misspelt or after["name"].upper() == unit
    return True


def _units(unit: str) -> tuple[str, ...]:
    """The units in which a number may be written where `unit` is wanted, a wrong one told as wrong."""
    return UNITS if unit in ("", *UNITS) else (*UNITS, unit)


def warn_if_unclear(content: str, what: str, names: Collection[str], path: KeyPath, faults: Faults) -> None:
    """Tells how a text is read that could be a number or a product: `2R`, and `2 V` where V is a name."""
    times = _TIMES_R.fullmatch(content)
    after = _NUMBER_AND_NAME.fullmatch(content)
    if times:
        faults.warn(
            "file/number-or-product",
            path,
            f"the value {content} of {what} is read as {times['times']} times R.",
            f'Write "{times["times"]} R" for the product, "{times["times"]} ohm" for a number.',
        )
    elif after and after["name"] in names and is_number(content, "", ()):
        number = content[: after.start("name")].strip()
        faults.warn(
            "file/number-or-product",
            path,
            f"the value {content} of {what} is read as a number, though {after['name']} is a name too.",
            f'Write "{number} * {after["name"]}" if the product is meant.',
        )


def read_number(content: object, unit: str, what: str, path: KeyPath, faults: Faults) -> ReadNumber | None:
    """Reads the number for `what`, which must be in `unit` (empty: a plain number).

    Puts down what is wrong with it and gives None.
    """
    text = str(content).strip()
    example = f'such as "{f"5.0 {unit}".strip()}"'
    if isinstance(content, bool) or not isinstance(content, int | Decimal | str):
        faults.add(
            "file/wrong-type", path, f"the number for {what} is not a text.", f"Write a number, {example}."
        )
        return None
    try:
        quantity = read_quantity(text, _units(unit))
    except UnreadableQuantity as error:
        told = error.mend[0].upper() + error.mend[1:]
        faults.add(
            "file/unreadable-number",
            path,
            f'the number "{text}" for {what} cannot be read: {error.why}.',
            f"{told}{'?' if told.startswith('Did') else '.'}",
        )
        return None
    if quantity.unit == unit:
        return ReadNumber(quantity.value, text)
    if not quantity.unit:
        faults.add(
            "file/missing-unit",
            path,
            f"the number {text} for {what} has no unit; {_FEATURE[unit]} is in {unit}.",
            f'Write "{text} {unit}".',
        )
        return None
    faults.add(
        "file/wrong-unit",
        path,
        f"{what} is given as {text}, which is {_FEATURE[quantity.unit]}, and must be {_FEATURE[unit]}.",
        f"Write {_FEATURE[unit]}, {example}, or look whether the right key is named.",
    )
    return None
