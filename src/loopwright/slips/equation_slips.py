"""Every single slip in an equation set: one sign reversed, one term left out.

The equations are kept as terms with the element each stands for. Stands on `laws`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..graph.lines import Loop
from ..laws.laws import laws
from ..laws.loops import points_of


@dataclass(frozen=True, slots=True)
class EquationTerm:
    """One term of an equation: `sign` times the value of `element` (its internal resistance with `internal`;
    1 where no element is named), times `current` where one is named."""

    sign: int
    current: str = ""
    element: str = ""
    internal: bool = False

    @property
    def written(self) -> str:
        """The term as a name: `Ih`, `E1`, `Ih Rh`, `Ib r(E2)`."""
        value = f"r({self.element})" if self.internal else self.element
        return " ".join(part for part in (self.current, value) if part)


@dataclass(frozen=True, slots=True)
class EquationRow:
    """One equation as terms that add up to zero. `name`: the junction or loop it belongs to. `fixed`: it
    states a current that an element fixes; no slips are made in it."""

    name: str
    terms: tuple[EquationTerm, ...]
    fixed: bool = False


@dataclass(frozen=True, slots=True)
class Slip:
    """One slip: in which equation (its name, and its position `at` in the set) and in which term. `turned`:
    the term's sign is turned; otherwise the term is left out."""

    equation: str
    at: int
    term: EquationTerm
    turned: bool

    def as_text(self) -> str:
        """The slip in words: `sign of Ih Rh turned in loop rail-bus (Ic Ih)`."""
        name = self.term.written
        if self.turned:
            return f"sign of {name} turned in {self.equation}"
        return f"{name} left out of {self.equation}"


def junction_row(circuit: Circuit, point: str) -> EquationRow:
    """The junction rule at a point as a row."""
    terms = [
        EquationTerm(1 if b.end == point else -1, b.name)
        for b in circuit.branches
        if b.start != b.end and point in (b.start, b.end)
    ]
    return EquationRow(f"junction {point}", tuple(terms))


def loop_row(circuit: Circuit, loop: Loop) -> EquationRow:
    """The loop rule round a loop (without current sources and gaps) as a row, element by element in the
    order of travel."""
    terms: list[EquationTerm] = []
    for name, sense in loop:
        for p in circuit.branch(name).passes[::sense]:
            kind = circuit.elements[p.element].kind
            if kind is Kind.BATTERY:
                terms.append(EquationTerm(p.sign * sense, "", p.element))
            if kind is Kind.RESISTOR:
                terms.append(EquationTerm(-sense, name, p.element))
            if circuit.internal_resistance(p.element):
                terms.append(EquationTerm(-sense, name, p.element, True))
    return EquationRow(
        f"loop {'-'.join(points_of(circuit, loop))} ({' '.join(n for n, _ in loop)})", tuple(terms)
    )


def fixed_rows(circuit: Circuit) -> tuple[EquationRow, ...]:
    """The currents fixed by current sources, open switches and voltmeters; no slips are made in them."""
    rows: list[EquationRow] = []
    for b in circuit.branches:
        if circuit.fixed_current(b.name) is None:
            continue
        source = [p for p in b.passes if circuit.elements[p.element].kind is Kind.CURRENT_SOURCE]
        gap = any(circuit.elements[p.element].is_gap for p in b.passes)
        value = () if gap else tuple(EquationTerm(-p.sign, "", p.element) for p in source[:1])
        rows.append(EquationRow(f"source in {b.name}", (EquationTerm(1, b.name), *value), fixed=True))
    return tuple(rows)


def equation_rows(circuit: Circuit, loops: Sequence[Loop]) -> tuple[EquationRow, ...]:
    """The set that a person would write: junctions, then these loops; fixed currents last."""
    return (
        *(junction_row(circuit, e.point) for e in laws(circuit).independent_junctions),
        *(loop_row(circuit, loop) for loop in loops),
        *fixed_rows(circuit),
    )


def slips_in(rows: Sequence[EquationRow]) -> tuple[Slip, ...]:
    """Every sign reversed and every term left out, one at a time, in junction and loop equations."""
    return tuple(
        Slip(row.name, at, term, turned)
        for at, row in enumerate(rows)
        if not row.fixed
        for term in row.terms
        for turned in (True, False)
    )
