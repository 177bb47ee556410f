"""Units in which a working without units is written: volts with kilohms, milliamperes and milliseconds, and
such.

Each system is coherent: an equation between numbers in it is one between quantities. Common practice, no
source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from ...circuit.circuit import Circuit
from ...circuit.elements import UNIT_OF
from ...expressions.nodes import Number
from ...expressions.tokens import scale_of


@dataclass(frozen=True, eq=False)
class UnitSystem:
    """How large the unit of each kind is, in SI units; `time`: that of t where it stands alone."""

    scales: Mapping[str, Fraction]
    time: Fraction

    def scale(self, unit: str) -> Fraction:
        """The size of the unit of this kind of quantity (`V`, `A`, `Ω`, ...)."""
        return self.scales.get(unit, Fraction(1))


def _system(ampere: int, second: int) -> UnitSystem:
    a, s = Fraction(10) ** ampere, Fraction(10) ** second
    units = {"A": a, "Ω": 1 / a, "W": a, "s": s, "C": a * s, "F": a * s, "J": a * s, "H": s / a, "S": a}
    return UnitSystem(MappingProxyType(units), s)


SI = _system(0, 0)
_COHERENT = ((0, 0), (-3, -3), (-6, 0), (0, -3), (0, -6), (-3, 0), (-3, -6), (-6, -3), (-6, -6))


def systems(circuit: Circuit) -> tuple[UnitSystem, ...]:
    """The systems in which the circuit's data may well be written: SI first, then those whose units are among
    those of the data, then the same with t in seconds."""
    shown = {_unit_shown(circuit, name) for name in circuit.numbers}
    found = [SI]
    for ampere, second in _COHERENT[1:]:
        one = _system(ampere, second)
        resistance = ("Ω", one.scale("Ω")) in shown
        storage = any((unit, one.scale(unit)) in shown for unit in "FH")
        if (resistance and storage) or (resistance and second == 0):
            found.append(one)
    found += [UnitSystem(one.scales, Fraction(1)) for one in found[1:] if one.time != 1]
    return tuple(found)


def _unit_shown(circuit: Circuit, name: str) -> tuple[str, Fraction]:
    """The kind of a datum, and the unit in which its size lies between 1 and 1000."""
    kind = circuit.role(name)
    unit = UNIT_OF.get(kind, "") if kind is not None else ""
    value, scale = abs(circuit.numbers[name]), Fraction(1)
    while value and value / scale < 1:
        scale /= 1000
    while value / scale >= 1000:
        scale *= 1000
    return unit, scale


def bare_unit(number: Number) -> str:
    """The unit of a number without its prefix; empty for one without a unit."""
    return number.unit.lstrip("pnµmkMGT") if number.unit not in ("m",) else number.unit


def in_system(number: Number, system: UnitSystem) -> Fraction:
    """A number in a system: one without a unit as it stands."""
    unit = bare_unit(number)
    return number.value / system.scale(unit.removesuffix("²")) if unit else number.value


def digit_scale(number: Number, system: UnitSystem) -> Fraction:
    """How much one in the digits of a number is worth in the system."""
    unit = bare_unit(number)
    return scale_of(number.unit) / system.scale(unit) if unit else Fraction(1)
