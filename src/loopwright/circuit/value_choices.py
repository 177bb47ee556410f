"""From what the value of a symbol may be chosen: `E12 from 10 ohm to 1 kohm`, `2 to 12 ohm`, `2, 4.7 ohm`.

Each choice is an exact value with the text by which it is written into a problem file. The series of
preferred values are those of IEC 60063, from memory. Knows no circuit.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from ..quantities import UNITS, Quantity, UnreadableQuantity, read_quantity, read_unit, simple

MOST_CHOICES = 5000  # of one symbol: more are no choice but a mistake in a step or a prefix
_E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)
_THINNED = {"E24": 1, "E12": 2, "E6": 4, "E3": 8}  # every so many-th value of E24
_FINE = {"E48": 48, "E96": 96, "E192": 192}
SERIES = ("E3", "E6", "E12", "E24", "E48", "E96", "E192")
FORMS = "2 to 12 ohm, 1.5 to 12 V in steps of 1.5 V, E12 from 10 ohm to 1 kohm, or 2, 3, 4.7 ohm"

_SERIES = re.compile(r"(?P<series>E\d+)\b\s*,?\s*(?:from\s+)?(?P<rest>.*)", re.IGNORECASE | re.DOTALL)
_RANGE = re.compile(
    r"(?:from\s+)?(?P<low>.+?)\s+(?:up\s+)?to\s+(?P<high>.+?)(?:\s*,?\s*in\s+steps\s+of\s+(?P<step>.+))?",
    re.IGNORECASE | re.DOTALL,
)


class UnreadableChoices(ValueError):
    """A text that names no choices: `why`, and how to mend it."""

    def __init__(self, why: str, mend: str) -> None:
        super().__init__(f"{why}; {mend}")
        self.why, self.mend = why, mend


@dataclass(frozen=True, slots=True)
class ValueChoice:
    """One value that may be taken: exact in the SI unit, and as it is written in a problem file."""

    value: Fraction
    text: str


def choices(text: str, unit: str) -> tuple[ValueChoice, ...]:
    """The values that a text names, in rising order, each once. `unit`: the SI unit they must have.

    A range takes the whole numbers of the unit written, or the steps said. Raises UnreadableChoices.
    """
    content = text.strip()
    if found := _SERIES.fullmatch(content):
        chosen = _of_series(found["series"].upper(), found["rest"], unit)
    elif found := _RANGE.fullmatch(content):
        chosen = _of_range(found["low"], found["high"], found["step"], unit)
    else:
        chosen = _of_list(content, unit)
    by_value = {choice.value: choice for choice in reversed(chosen)}
    if 0 in by_value:
        raise UnreadableChoices("a value of 0 leaves nothing of the element", "begin above 0")
    return tuple(by_value[value] for value in sorted(by_value))


def preferred(series: str) -> tuple[Fraction, ...]:
    """The values of one decade, from 1 up, of a series of IEC 60063."""
    if series in _THINNED:
        return tuple(Fraction(tenths, 10) for tenths in _E24[:: _THINNED[series]])
    count = _FINE[series]
    exact = {185: Fraction("9.20")} if count == 192 else {}  # where the standard departs from its rule
    return tuple(exact.get(n, Fraction(f"{10 ** (n / count):.2f}")) for n in range(count))


def _of_series(series: str, rest: str, unit: str) -> list[ValueChoice]:
    if series not in SERIES:
        raise UnreadableChoices(f"{series} is no series of IEC 60063", f"write one of {', '.join(SERIES)}")
    bounds = _RANGE.fullmatch(rest)
    if bounds is None or bounds["step"]:
        raise UnreadableChoices(
            "it does not say from where to where", f"write {series} from {_example(unit)} to {_more(unit)}"
        )
    low, high = _bounds(bounds["low"], bounds["high"], unit)
    decade, decade_of = Fraction(1), preferred(series)
    while decade > low.value:
        decade /= 10
    while decade * 10 <= low.value:
        decade *= 10
    found: list[ValueChoice] = []
    while decade <= high.value:
        for value in (decade * step for step in decade_of):
            if low.value <= value <= high.value:
                found.append(ValueChoice(value, _written(value, unit)))
        decade *= 10
        _not_too_many(len(found))
    if not found:
        raise UnreadableChoices(f"no value of {series} lies between these bounds", "widen them")
    return found


def _of_range(low: str, high: str, step: str | None, unit: str) -> list[ValueChoice]:
    first, last = _bounds(low, high, unit)
    symbol, scale = last.symbol, last.value / Fraction(last.digits) if last.value else Fraction(1)
    width = scale if step is None else _quantity(step, unit, last.symbol).value
    if width <= 0:
        raise UnreadableChoices("the step is not above 0", "write a step such as 0.5")
    start = first.value if step is not None else -(-first.value // scale) * scale
    count = int((last.value - start) // width) + 1
    _not_too_many(count)
    if count < 1:
        raise UnreadableChoices("no whole number lies between these bounds", "say in steps of what")
    values = [start + width * n for n in range(count)]
    places = max(_places(value / scale) for value in values)
    return [ValueChoice(value, f"{_decimals(value / scale, places)} {symbol}") for value in values]


def _of_list(content: str, unit: str) -> list[ValueChoice]:
    items = [item.strip() for item in content.split(",")]
    if not all(items):
        raise UnreadableChoices("nothing stands between two commas", f"write {FORMS}")
    last = _quantity(items[-1], unit, "")
    read = [_quantity(item, unit, last.symbol) for item in items]
    return [ValueChoice(quantity.value, quantity.text) for quantity in read]


def _bounds(low: str, high: str, unit: str) -> tuple[Quantity, Quantity]:
    last = _quantity(high, unit, "")
    first = _quantity(low, unit, last.symbol)
    if first.value > last.value:
        raise UnreadableChoices("the range ends below its beginning", "write the smaller bound first")
    if first.value < 0:
        raise UnreadableChoices("the range begins below 0", "turn the source in its branch instead")
    return first, last


def _quantity(text: str, unit: str, symbol: str) -> Quantity:
    """A number in the unit wanted; one without its own takes `symbol`, the unit of the last number."""
    units = UNITS if unit in ("", *UNITS) else (*UNITS, unit)
    try:
        found = read_quantity(text, units)
        if not found.unit and symbol:
            found = read_quantity(f"{text.strip()} {symbol}", units)
    except UnreadableQuantity as trouble:
        raise UnreadableChoices(f'"{text.strip()}" cannot be read: {trouble.why}', f"write {FORMS}") from None
    if found.unit != unit:
        what = f"is in {found.unit}" if found.unit else "has no unit"
        raise UnreadableChoices(f'"{text.strip()}" {what}, and must be in {unit}', f"write {FORMS}")
    return found


def _written(value: Fraction, unit: str) -> str:
    """A preferred value with the prefix that leaves 1 to 999 before it: `4.7 kΩ`."""
    power = 0
    while abs(value) >= Fraction(1000) ** (power + 1) and power < 3:
        power += 1
    while abs(value) < Fraction(1000) ** power and power > -3:
        power -= 1
    prefix = {-3: "n", -2: "µ", -1: "m", 0: "", 1: "k", 2: "M", 3: "G"}[power]
    return f"{simple(value / Fraction(1000) ** power)} {prefix}{unit}".strip()


def _places(value: Fraction) -> int:
    return len(simple(value).partition(".")[2])


def _decimals(value: Fraction, places: int) -> str:
    """A number with so many decimals, so that all of one range are written alike."""
    if "/" in (text := simple(value)):
        return text
    whole, _, part = text.partition(".")
    return f"{whole}.{part.ljust(places, '0')}" if places else whole


def _not_too_many(count: int) -> None:
    if count > MOST_CHOICES:
        raise UnreadableChoices(
            f"these are more than {MOST_CHOICES} values", "narrow the range or widen the steps"
        )


def _example(unit: str) -> str:
    return {"Ω": "10 ohm", "V": "1 V", "A": "1 A"}.get(unit, f"1 {unit}")


def _more(unit: str) -> str:
    return {"Ω": "1 kohm", "V": "24 V", "A": "3 A"}.get(unit, f"10 {unit}")


def scale_of_unit(text: str, units: Sequence[str] = UNITS) -> tuple[str, Fraction] | None:
    """The SI unit and the size of a unit as written (`mA` -> A, 1/1000); None for what is none."""
    found = read_unit(text, units)
    return None if found is None else (found[1], found[2])
