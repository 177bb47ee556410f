"""What is to be plotted: `plots = ["P(Rh) against Rh", "sign of Ib over R1, Rh"]`.

A curve shows a quantity against one value of the circuit from 0 to ∞, a map the sign of a quantity over two,
all other values being the numbers of the file. Knows no laws and no solution.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from ..errors import FaultyMaterial
from ..expressions.values import symbols_of
from ..findings import Finding
from .circuit import Circuit
from .elements import UNIT_OF, Kind
from .names import listed, nearest, quantity_name
from .targets import Target, target

MOST_PLOTS = 8  # of one file
_CURVE = re.compile(r"\s*(?P<what>.+?)\s+against\s+(?P<over>.+?)\s*", re.IGNORECASE | re.DOTALL)
_MAP = re.compile(r"\s*sign\s+of\s+(?P<what>.+?)\s+over\s+(?P<over>.+?)\s*", re.IGNORECASE | re.DOTALL)
_BETWEEN = re.compile(r"\s*,\s*|\s+and\s+")
_FORMS = 'Write "P(R1) against R1" for a curve, or "sign of I2 over R1, E1" for a map.'
_MOVED = (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE)


@dataclass(frozen=True, slots=True)
class PlotAsked:
    """One plot: the quantity, and the symbols it is shown over, one for a curve and two for a map of its
    sign. Where elements share a symbol, all of them move with it."""

    target: Target
    over: tuple[str, ...]

    @property
    def is_map(self) -> bool:
        """Whether it is a map of two values."""
        return len(self.over) == 2

    def as_text(self) -> str:
        """The request in its one plain form."""
        what = self.target.as_text()
        return (
            f"sign of {what} over {', '.join(self.over)}" if self.is_map else f"{what} against {self.over[0]}"
        )


def plots_asked(circuit: Circuit) -> tuple[PlotAsked, ...]:
    """All plots that a file asks for, each once. Raises FaultyMaterial where one cannot be drawn."""
    return tuple(dict.fromkeys(plot_asked(text, circuit) for text in circuit.plots))


def plot_asked(text: str, circuit: Circuit) -> PlotAsked:
    """Reads one request. Raises FaultyMaterial when it cannot be read, names nothing there is, or cannot be
    drawn because a number is missing."""
    if circuit.storages or circuit.ladder is not None:
        why = "plots are of circuits in the steady state, without capacitors, coils or ladders without end."
        raise FaultyMaterial(Finding("plots/not-steady", _told(text, why), "Take the request out."))
    mapped = _MAP.fullmatch(text)
    found = mapped or _CURVE.fullmatch(text)
    if found is None:
        raise FaultyMaterial(Finding("plots/unreadable", _told(text, "it cannot be read."), _FORMS))
    parts = [part for part in _BETWEEN.split(found["over"]) if part]
    if len(parts) != (2 if mapped else 1):
        many = "a map goes over two values" if mapped else "a curve goes against one value"
        raise FaultyMaterial(Finding("plots/unreadable", _told(text, f"{many}."), _FORMS))
    asked = target(found["what"], circuit)
    over = tuple(_symbol(part, text, circuit) for part in parts)
    if len(set(over)) < len(over):
        raise FaultyMaterial(Finding("plots/unreadable", _told(text, "both values are the same."), _FORMS))
    missing = [name for name in circuit.symbols if name not in over and name not in circuit.numbers]
    if missing:
        has, them = ("has", "it a number") if len(missing) == 1 else ("have", "them numbers")
        why = f"only {listed(over)} may be without a number there, and {listed(missing)} {has} none."
        mend = f"Give {them} under [numbers]."
        raise FaultyMaterial(Finding("plots/no-number", _told(text, why), mend, about=tuple(missing)))
    return PlotAsked(asked, over)


def movable(circuit: Circuit) -> list[str]:
    """The values that a plot can move: symbols of resistors and sources, none of them negative."""
    return [s for s in circuit.symbols if circuit.role(s) in _MOVED and circuit.numbers.get(s, 0) >= 0]


def unit_of_value(circuit: Circuit, symbol: str) -> str:
    """The SI unit of a symbol of the circuit's values."""
    return UNIT_OF[circuit.role(symbol) or Kind.RESISTOR]


def _symbol(written: str, text: str, circuit: Circuit) -> str:
    """The symbol that a value is named by."""
    name = quantity_name(written) or written
    if name in circuit.field and circuit.role(name) in _MOVED:
        if circuit.numbers.get(name, 0) < 0:
            why = f"a scale from 0 to ∞ has no place for {name}, which is negative."
            mend = "Turn the source round in its branch, so that its value is positive."
            raise FaultyMaterial(Finding("plots/negative", _told(text, why), mend, about=(name,)))
        return name
    if name in circuit.elements and circuit.elements[name].kind in _MOVED:
        held = symbols_of(circuit.elements[name].value)
        why = f"{name} has no symbol of its own that could be moved."
        mend = (
            f"Name {listed(held, 'or')} instead."
            if held
            else f'Write its number under [numbers]: {name} = "...".'
        )
        raise FaultyMaterial(Finding("plots/no-symbol", _told(text, why), mend, about=(name,)))
    known = [symbol for symbol in circuit.symbols if circuit.role(symbol) in _MOVED]
    near = nearest(name, known)
    mend = f"Did you mean {near}?" if near else f"Name {listed(known, 'or')}." if known else ""
    raise FaultyMaterial(
        Finding("plots/unknown-value", _told(text, f"this circuit has no value {name}."), mend, about=(name,))
    )


def _told(text: str, why: str) -> str:
    return f'"{text}" is to be plotted, but {why}'
