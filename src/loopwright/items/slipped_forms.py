"""Closed forms as single slips in the equations make them, in symbols; no numbers are needed.

Stands on `slips` for the equations as terms; they are solved here once more, slip and all.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from ..algebra.linear import Linear, echelon
from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..slips.catalogue import CATALOGUE
from ..slips.equation_slips import EquationRow, EquationTerm, Slip, slips_in
from ..slips.settings import Setting, turned


@dataclass(frozen=True, slots=True)
class SlippedForms:
    """The closed forms that one slip leads to, by current. `entry`: the key of the slip; `place`: where it is
    made, and what."""

    entry: str
    place: str
    forms: Mapping[str, Ratio]

    @property
    def told(self) -> str:
        """What was done wrong, and where."""
        return f"{CATALOGUE[self.entry].said[:-1]} ({self.place})."


def slipped_forms(setting: Setting) -> Iterator[SlippedForms]:
    """What each single slip in the usual equations leads to, the most usual slips first; those that leave no
    single answer are left out."""
    slips = slips_in(setting.rows)
    for slip in sorted(slips, key=lambda slip: (CATALOGUE[_entry(slip)].usual, not slip.turned)):
        found = closed_forms(setting.circuit, _slipped(setting.rows, slip))
        if found is not None:
            yield SlippedForms(_entry(slip), slip.as_text(), found)


def _entry(slip: Slip) -> str:
    """The key of a slip in the catalogue, by what is done to what."""
    if slip.equation.startswith("junction"):
        return "junction-sign" if slip.turned else "branch-missing"
    kind = "drop" if slip.term.current else "source"
    return f"{kind}-sign" if slip.turned else f"{kind}-missing"


def _slipped(rows: Sequence[EquationRow], slip: Slip) -> list[EquationRow]:
    """The equations with the slip made."""

    def terms(row: EquationRow) -> tuple[EquationTerm, ...]:
        return tuple(turned(t) if t == slip.term else t for t in row.terms if slip.turned or t != slip.term)

    return [replace(row, terms=terms(row)) if at == slip.at else row for at, row in enumerate(rows)]


def closed_forms(circuit: Circuit, rows: Sequence[EquationRow]) -> dict[str, Ratio] | None:
    """The currents that satisfy these equations, in symbols; None where there is no single answer."""
    steps = echelon([_linear(circuit, row) for row in rows], circuit.currents)
    if len(steps) < len(circuit.currents):
        return None
    found: dict[str, Ratio] = {}
    one = circuit.field.one.above
    for name, parts in reversed(steps):
        total = circuit.field.zero
        for other, part in parts.items():
            if other != name:
                ratio = Ratio(circuit.field, part, one)
                total = total + (ratio * found[other] if other else ratio)
        found[name] = -total / Ratio(circuit.field, parts[name], one)
    return {name: found[name] for name in circuit.currents}


def _linear(circuit: Circuit, row: EquationRow) -> Linear:
    coefficients: dict[str, Ratio] = {}
    constant = circuit.field.zero
    for t in row.terms:
        value = circuit.field.one
        if t.element:
            value = circuit.internal_resistance(t.element) if t.internal else circuit.value(t.element)
        value = value * t.sign
        if t.current:
            coefficients[t.current] = coefficients.get(t.current, circuit.field.zero) + value
        else:
            constant = constant + value
    return Linear.of(coefficients, constant)
