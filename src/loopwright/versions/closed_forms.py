"""The quantities of a circuit in its symbols: what wishes speak of, and by what versions are alike."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import DIMENSION_OF
from ..expressions.nodes import Expr
from ..solve.asked import value_written
from ..solve.exact import Solution, solve


class ClosedForms(Protocol):
    """What a search for versions needs to know of a circuit."""

    @property
    def signed(self) -> Mapping[str, Ratio]:
        """The quantities whose signs make the pattern that versions share, by their names."""

    @property
    def positive(self) -> list[Ratio]:
        """What must be above 0 in every version."""

    def ratio(self, written: Expr) -> Ratio:
        """The closed form of what is written in a wish."""


class SteadyForms:
    """Those of a circuit of constant currents. `solution`: its currents."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.solution: Solution = solve(circuit)
        self._known: dict[Expr, Ratio] = {}

    @property
    def signed(self) -> Mapping[str, Ratio]:
        """All currents."""
        return {name: self.solution.currents[name] for name in self.circuit.currents}

    @property
    def positive(self) -> list[Ratio]:
        """The values of all elements."""
        return values_of_elements(self.circuit)

    def ratio(self, written: Expr) -> Ratio:
        """The closed form of what is written."""
        if written not in self._known:
            self._known[written] = value_written(written, self.solution)
        return self._known[written]


def values_of_elements(circuit: Circuit) -> list[Ratio]:
    """The values of all elements, internal resistances among them."""
    met = [p.element for b in circuit.branches for p in b.passes]
    values = [circuit.value(n) for n in met if circuit.elements[n].kind in DIMENSION_OF]
    return values + [v for n in met if (v := circuit.internal_resistance(n))]


def closed_forms(circuit: Circuit) -> ClosedForms:
    """Those of a circuit. Raises FaultyMaterial where it has no one answer."""
    return SteadyForms(circuit)
