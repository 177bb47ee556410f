"""What holds without being written: the relation of each branch between its potentials, that every current
and potential is the sum of its parts, one source at a time, and the junction rule.

A line may rest on these beside the lines above: `I1 = (12 − 18)/6` on V = 18 V and the branch of I1,
`I1 = 1.57 − 2.57` on the two parts of I1, `I3 = 2 − 5` on I1 = 2 A, I2 = 5 A and the junction where they
meet. Branch relations count only where potentials are spoken of, sums only where all the parts are.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from ...algebra.linear import Linear
from ...laws.laws import laws
from ..working import AS_DRAWN, CircuitChange
from .changed import each_alone, part
from .consequence import ClaimRow
from .meaning import Meanings
from .truth import View


@dataclass(frozen=True, slots=True)
class Implied:
    """One such relation as a row. `along`: the branch that it is of, `at`: the point; a sum of parts has
    neither."""

    row: ClaimRow
    along: str = ""
    at: str = ""


def implied(view: View, held: Collection[str]) -> tuple[Implied, ...]:
    """What holds unwritten of the quantities `held` (names of unknowns) and of those in the rows above."""
    met = dict.fromkeys((*held, *(n for row in view.rows.rows for n in row.linear.coefficients)))
    homes = {view.meanings.home[n] for n in met if n in view.meanings.home}
    found: list[Implied] = []
    settings = [
        s for s in (AS_DRAWN, *view.meanings.changed) if any(h[1] == s for h in homes if h[0][0] == "φ")
    ]
    for setting in settings:
        for name, linear in view.law_in(setting).meanings.relations().items():
            found.append(Implied(view.rows.row(0, _named(view.meanings, linear, setting)), name))
    alone = each_alone(view.meanings.circuit)
    if alone and all(setting in view.meanings.changed for setting in alone):
        for name in dict.fromkeys(h[0] for h in homes):
            found.append(Implied(view.rows.row(0, _sum_of_parts(view.meanings, name, alone))))
    return tuple(found)


def junctions_kept(view: View, names: Mapping[str, Mapping[str, int]]) -> tuple[ClaimRow, ...]:
    """The junction rule at every point, where a working speaks of several currents round loops (`names`: what
    names of currents stand for): these keep it by themselves, whatever they are. And what sources of current
    fix, since that is the whole current of a loop."""
    circuit = view.meanings.circuit
    own = [n for n, m in names.items() if n not in circuit.currents and set(m) <= set(circuit.currents)]
    if len(own) < 2:
        return ()
    fixed = {b.name: circuit.fixed_current(b.name) for b in circuit.branches}
    one = circuit.field.one
    sources = [Linear.of({n: one}, -value) for n, value in fixed.items() if value is not None]
    return (*(each.row for each in junctions(view)), *(law_row(view, linear) for linear in sources))


def junctions(view: View, setting: CircuitChange = AS_DRAWN) -> tuple[Implied, ...]:
    """The junction rule at every point of the circuit as drawn, or of a changed one, without the currents of
    open branches, which nobody writes."""
    circuit = view.meanings.circuit
    equations = laws(circuit).junctions
    open_ = [b.name for b in circuit.branches if any(circuit.elements[p.element].is_gap for p in b.passes)]
    plain = [_without(law.linear, open_) for law in equations]
    rows = [view.rows.row(0, _named(view.meanings, linear, setting)) for linear in plain]
    return tuple(Implied(row, at=law.point) for law, row in zip(equations, rows, strict=True))


def law_row(view: View, linear: Linear) -> ClaimRow:
    """A law of the circuit as drawn as a row that nobody wrote."""
    numbers, symbols = view.meanings.numbers, view.meanings.symbols
    parts = {n: c.at(numbers, symbols) for n, c in linear.coefficients.items()}
    return view.rows.row(0, Linear.of(parts, linear.constant.at(numbers, symbols)))


def _without(linear: Linear, names: Collection[str]) -> Linear:
    return Linear.of({n: c for n, c in linear.coefficients.items() if n not in names}, linear.constant)


def _named(meanings: Meanings, linear: Linear, setting: CircuitChange) -> Linear:
    """A row of one circuit in the names that its unknowns have in a working."""
    parts = {part(n, setting): c.at({}, meanings.symbols) for n, c in linear.coefficients.items()}
    return Linear.of(parts, linear.constant.at({}, meanings.symbols))


def _sum_of_parts(meanings: Meanings, name: str, alone: Collection[CircuitChange]) -> Linear:
    one = meanings.symbols.one
    parts = {part(name, setting): -one for setting in alone}
    return Linear.of({name: one, **parts}, meanings.symbols.zero)
