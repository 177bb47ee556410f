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
from .consequence import ClaimRow, WantedRow
from .meaning import Meanings, level
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
    homes = _homes(view, held)
    found = [one for setting in _with_potentials(view, homes) for one in _branches(view, setting).values()]
    alone = each_alone(view.meanings.circuit)
    if alone and all(setting in view.meanings.changed for setting in alone):
        for name in dict.fromkeys(h[0] for h in homes):
            found.append(Implied(view.rows.row(0, _sum_of_parts(view.meanings, name, alone))))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class InPotentials:
    """A junction equation whose currents are given by potentials: the point, the branches whose relations
    are put in, and the circuit that it is of."""

    at: str
    along: tuple[str, ...]
    setting: CircuitChange


def junction_in_potentials(
    view: View, target: WantedRow, spoken: Collection[str] = ()
) -> InPotentials | None:
    """The junction equation that a row is, with what holds along the branches put in; where it is that of two
    points, of the one whose potential is `spoken` of (`φ bus`)."""
    for setting in _with_potentials(view, _homes(view, target.difference.held())):
        branches, circuit = _branches(view, setting), view.law_in(setting).meanings.circuit
        fixing = {b.name for b in circuit.branches if not circuit.resistance(b.name)}  # potentials, from afar
        spoken_of_first = sorted(laws(circuit).junctions, key=lambda law: level(law.point) not in spoken)
        for law in spoken_of_first:
            here = [branches[n] for n in branches if n in fixing or n in law.linear.coefficients]
            junction = view.rows.row(0, _named(view.meanings, law.linear, setting))
            support = view.rows.support(target, [junction, *(one.row for one in here)])
            along = tuple(one.along for one in here if support and one.row in support)
            if support and junction in support and len(along) > 1:
                return InPotentials(law.point, along, setting)
    return None


def _homes(view: View, held: Collection[str]) -> set[tuple[str, CircuitChange]]:
    met = dict.fromkeys((*held, *(n for row in view.rows.rows for n in row.linear.coefficients)))
    return {view.meanings.home[n] for n in met if n in view.meanings.home}


def _with_potentials(view: View, homes: Collection[tuple[str, CircuitChange]]) -> list[CircuitChange]:
    """The circuits of whose potentials a working speaks."""
    spoken = {setting for name, setting in homes if name[0] == "φ"}
    return [setting for setting in (AS_DRAWN, *view.meanings.changed) if setting in spoken]


def _branches(view: View, setting: CircuitChange) -> dict[str, Implied]:
    """The relation of each branch of one circuit between its potentials."""
    relations = view.law_in(setting).meanings.relations()
    return {
        name: Implied(view.rows.row(0, _named(view.meanings, linear, setting)), name)
        for name, linear in relations.items()
    }


def junctions_kept(view: View, names: Mapping[str, Mapping[str, int]]) -> tuple[ClaimRow, ...]:
    """The junction rule at every point, where a working speaks of several currents round loops (`names`: what
    names of currents stand for): these keep it by themselves, whatever they are."""
    circuit = view.meanings.circuit
    own = [n for n, m in names.items() if n not in circuit.currents and set(m) <= set(circuit.currents)]
    return tuple(one.row for one in junctions(view)) if len(own) > 1 else ()


def junctions(view: View) -> tuple[Implied, ...]:
    """The junction rule at every point."""
    equations = laws(view.meanings.circuit).junctions
    rows = [view.rows.row(0, _named(view.meanings, law.linear, AS_DRAWN)) for law in equations]
    return tuple(Implied(row, at=law.point) for law, row in zip(equations, rows, strict=True))


def _named(meanings: Meanings, linear: Linear, setting: CircuitChange) -> Linear:
    """A row of one circuit in the names that its unknowns have in a working."""
    parts = {part(n, setting): c.at({}, meanings.symbols) for n, c in linear.coefficients.items()}
    return Linear.of(parts, linear.constant.at({}, meanings.symbols))


def _sum_of_parts(meanings: Meanings, name: str, alone: Collection[CircuitChange]) -> Linear:
    one = meanings.symbols.one
    parts = {part(name, setting): -one for setting in alone}
    return Linear.of({name: one, **parts}, meanings.symbols.zero)
