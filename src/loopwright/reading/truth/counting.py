"""Numbers that show that a claim is not true."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction

from ...circuit.elements import Kind
from ...expressions.nodes import Equation
from ...expressions.values import symbols_of
from ..verdicts import Counter
from .dimensions import thousands
from .meaning import Meanings, UnknownName
from .size import TooLong

_RESISTANCES = (2, 3, 4, 6, 5, 8, 7, 9, 10, 12)
_SOURCES = (12, 6, 9, 24, 15, 18)


def counter(meanings: Meanings, equation: Equation, unit: Callable[[str], str]) -> Counter | None:
    """Values for the symbols, the currents that they give, and what both sides then come to; None where
    no values tried tell the sides apart. The numbers of the problem come first. `unit`: the SI unit of what
    a name stands for."""
    try:
        left, right = meanings.ratio(equation.left), meanings.ratio(equation.right)
    except (UnknownName, TooLong, ZeroDivisionError):
        return None
    for values in _choices(meanings):
        try:
            true = {n: r.value(values) for n, r in meanings.true.items()}
            sides = [side.value({**values, **true}) for side in (left, right)]
        except (ArithmeticError, KeyError):
            continue
        if sides[0] != sides[1]:
            shown = _shown(meanings, equation, values, true)
            if meanings.thousands:
                shown = {name: value / thousands(unit(name)) for name, value in shown.items()}
            return Counter(shown, sides[0], sides[1], meanings.thousands)
    return None


def _choices(meanings: Meanings) -> Iterator[Mapping[str, Fraction]]:
    symbols = meanings.symbols.symbols
    numbers = meanings.circuit.numbers
    if all(name in numbers for name in symbols):
        yield {name: numbers[name] for name in symbols}
    sources = [s for s in symbols if meanings.circuit.role(s) in (Kind.BATTERY, Kind.CURRENT_SOURCE)]
    for turn in range(4):
        found: dict[str, Fraction] = {}
        for i, name in enumerate(s for s in symbols if s in sources):
            found[name] = Fraction(_SOURCES[(i + turn) % len(_SOURCES)])
        for i, name in enumerate(s for s in symbols if s not in sources):
            found[name] = Fraction(_RESISTANCES[(i * (turn + 1) + turn) % len(_RESISTANCES)])
        yield found


def _shown(
    meanings: Meanings, equation: Equation, values: Mapping[str, Fraction], true: Mapping[str, Fraction]
) -> dict[str, Fraction]:
    """The values, among those of symbols and true currents, of what the claim names, in its order."""
    shown: dict[str, Fraction] = {}
    for name in symbols_of(equation):
        value = meanings.names[name].value({**values, **true})
        shown[name] = value
    return shown
