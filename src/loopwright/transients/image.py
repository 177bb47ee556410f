"""A circuit with storages as one of resistances: each stage solved once for all times by the closed forms.

While a switch rests, every current is a constant and exponentials. Written with a rate s in the place of
time, a capacitor C is then a resistance 1/(s C) beside the voltage it held, a coil L a resistance s L
beside the current it carried, and the circuit is one of the ordinary kind. What comes out is s times the
transform of each quantity: for s to infinity it is the value just after, for s to 0 that long after.
Source: operational method, any text on linear circuits (from memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import STORAGES, Branch, Element, Kind, Pass
from ..expressions.nodes import ONE, Expr, Product, Quotient, Sum, Symbol, times
from ..solve.exact import Solution, solve_posed, well_posed

RATE = "\0s"  # the name of the rate, which no file can give
_HELD = "\0held "


@dataclass(frozen=True)
class Image:
    """One stage in the rate s. `solution`: of the circuit of resistances; `held`: what each storage holds at
    the beginning, in volts or amperes along its branch; `field`: the circuit's symbols and s."""

    circuit: Circuit
    solution: Solution
    held: Mapping[str, Ratio]
    field: Field

    @cached_property
    def currents(self) -> Mapping[str, Ratio]:
        """The branch currents, each times s."""
        return {name: self._begun(ratio) for name, ratio in self.solution.currents.items()}

    def difference(self, a: str, b: str) -> Ratio:
        """The potential difference of two points, times s."""
        return self._begun(self.solution.difference(a, b))

    def across(self, element: str) -> Ratio:
        """The drop along its branch across an element, times s."""
        if self.circuit.elements[element].kind not in STORAGES:
            return self._begun(self.solution.across(element))
        return self._begun(self.solution.across(element) + self.solution.across(_HELD + element))

    def seen(self, a: str, b: str) -> Mapping[int, Ratio]:
        """What two points see with every source at rest, by powers of s: {0: R} where it is a resistance,
        {-1: 1/C} a capacitance, {1: L} an inductance; several powers, or none, where it is none of these."""
        rested = {name: e for name, e in self.solution.circuit.elements.items() if not name.startswith(_HELD)}
        bare = tuple(
            replace(b, along=tuple(i for i in b.along if isinstance(i, str) or i.element in rested))
            for b in self.solution.circuit.branches
        )
        plain = replace(self.solution.circuit, branches=bare, elements=rested)
        ratio = Solution(plain, {}, plain.field.one).resistance(a, b).at({}, self.field)
        above, below = ratio.coefficients_in(RATE), ratio.coefficients_in(RATE, below=True)
        if len(below) != 1:
            return {}
        ((power, bottom),) = below.items()
        return {n - power: (c / bottom).at({RATE: 0}, self.circuit.field) for n, c in above.items()}

    def _begun(self, ratio: Ratio) -> Ratio:
        """With what the storages hold put in, in the field of the circuit's symbols and s."""
        known = {_HELD + name: value.at({}, self.field) for name, value in self.held.items()}
        return ratio.at({n: v for n, v in known.items() if n in ratio.field}, self.field)


def image(
    circuit: Circuit, held: Mapping[str, Ratio], *, exchanged: bool = False, posed: bool = False
) -> Image:
    """The stage of this circuit that begins with its storages holding these voltages and currents.

    `exchanged`: with a coil of 1 s²/C in the place of each capacitor, a capacitor of 1 s²/L in that of each
    coil; what a storage held then stands beside it as a source of its own. `posed`: it is known to have one
    answer. Raises FaultyMaterial where it has none at any time."""
    elements = dict(circuit.elements)
    sources: dict[str, Element] = {}
    for name in circuit.storages:
        element = circuit.elements[name]
        rate: Expr = Symbol(RATE)
        value: Expr
        source: Expr
        if element.kind is Kind.CAPACITOR:
            value, source = Quotient(ONE, Product((rate, element.value))), Symbol(_HELD + name)
            value = Quotient(rate, element.value) if exchanged else value
        else:
            rate = Quotient(ONE, rate) if exchanged else rate
            resistance = times(rate, element.value)
            value = Sum((resistance, element.internal)) if element.internal is not None else resistance
            source = times(rate, element.value, Symbol(_HELD + name))
        elements[name] = Element(name, Kind.RESISTOR, value)
        sources[_HELD + name] = Element(_HELD + name, Kind.BATTERY, source)
    bare = replace(circuit, elements=elements, start={}, switching=(), find=(), expect=(), in_time=())
    bare = bare if posed else well_posed(bare)
    branches = tuple(_with_sources(b, circuit) for b in circuit.branches)
    solved = solve_posed(replace(bare, branches=branches, elements={**elements, **sources}))
    return Image(circuit, solved, held, Field((*circuit.field.symbols, RATE)))


def _with_sources(branch: Branch, circuit: Circuit) -> Branch:
    """The branch with a source beside each storage: against the arrow for what a capacitor held, along it for
    the current of a coil."""
    along: list[Pass | str] = []
    for item in branch.along:
        along.append(item)
        if isinstance(item, Pass) and item.element in circuit.storages:
            capacitor = circuit.elements[item.element].kind is Kind.CAPACITOR
            along.append(Pass(_HELD + item.element, -1 if capacitor else 1))
    return replace(branch, along=tuple(along))
