"""Every current of a circuit from its spanning trees (Kirchhoff 1847), as ratios of polynomials.

Parts with a symbol of its own for every resistance need no common factors looked for: the sum over
the spanning trees of a network in one piece has no factors, and no current that depends on its
resistances is a multiple of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..algebra.common_form import common_multiple
from ..algebra.ratios import Polynomial, Ratio
from ..circuit.circuit import Circuit
from ..graph.forests import Forests
from .currents import Currents, NoUniqueSolution
from .network import Network, NetworkPart, network
from .tree_polynomials import PolynomialTerms


@dataclass(frozen=True, slots=True)
class _Worked:
    """A part of the circuit worked out: the `numerators` of its currents by branch; `below`, the
    denominator they share; its `determinant`; and whether the numerators are known to be `prime` to
    `below`, so that nothing can be cancelled."""

    numerators: dict[str, Polynomial]
    below: Polynomial
    determinant: Ratio
    prime: bool


def currents_by_trees(circuit: Circuit, budget: int | None = None) -> Currents:
    """All branch currents. `budget`: the most ways to be followed in a part, beyond which TooManyWays.

    Raises NoUniqueSolution for an ill-posed circuit.
    """
    taken_apart = network(circuit)
    worked: dict[str, _Worked] = {}
    determinant = circuit.field.one
    for part in taken_apart.parts:
        done = _part_currents(circuit, part, budget)
        determinant = determinant * done.determinant
        worked.update(dict.fromkeys(part.names, done))
    return Currents({n: _current(circuit, taken_apart, n, worked) for n in circuit.currents}, determinant)


def _part_currents(circuit: Circuit, part: NetworkPart, budget: int | None) -> _Worked:
    resistances = [circuit.resistance(name) for name in part.names]
    terms = PolynomialTerms(circuit.field, resistances)
    forests = Forests(part.block, terms, budget)
    values = [_value(circuit, p.source) for p in part.pushes]
    common = common_multiple(circuit.field, [v.below for v in values])
    numerators = dict.fromkeys(part.names, circuit.field.zero.above)
    for push, value in zip(part.pushes, values, strict=True):
        factor = value.above * (common // value.below)
        drive = forests.driven(push.start, push.end, push.ends, push.bit)
        if push.bit:
            own = push.bit.bit_length() - 1
            factor = factor * terms.below[own]
            numerators[part.names[own]] += factor * drive.own
        for j, along in drive.along.items():
            numerators[part.names[j]] += factor * along
        for j, against in drive.against.items():
            numerators[part.names[j]] -= factor * against
    determinant = forests.determinant()
    if determinant.is_zero():
        raise NoUniqueSolution("the determinant is zero")
    scale = circuit.field.one.above
    for below in terms.below:
        scale = scale * below
    prime = _own_symbols(resistances, values)
    return _Worked(numerators, determinant * common, Ratio(circuit.field, determinant, scale), prime)


def _value(circuit: Circuit, branch: str) -> Ratio:
    """What the source of a branch gives: its emf in volts, or the current in amperes that it fixes."""
    fixed = circuit.fixed_current(branch)
    return circuit.rise(branch) if fixed is None else fixed


def _current(circuit: Circuit, taken_apart: Network, name: str, worked: Mapping[str, _Worked]) -> Ratio:
    """A current over its part's denominator, or that of a branch without resistance by the junction rule."""
    field = circuit.field
    fixed = circuit.fixed_current(name)
    if fixed is not None:
        return fixed
    if name in worked:
        part = worked[name]
        above = part.numerators[name]
        return Ratio(field, above, part.below, reduced=part.prime and not above.is_zero())
    total = field.zero
    sums: dict[int, tuple[_Worked, Polynomial]] = {}
    for other, sign in taken_apart.wires[name].items():
        fixed = circuit.fixed_current(other)
        if fixed is not None:
            total = total + fixed * sign
            continue
        part = worked[other]
        above = sums[id(part)][1] if id(part) in sums else field.zero.above
        sums[id(part)] = (part, above + part.numerators[other] * sign)
    for part, above in sums.values():
        total = total + Ratio(field, above, part.below)
    return total


def _own_symbols(resistances: Sequence[Ratio], values: Sequence[Ratio]) -> bool:
    """Whether every resistance is a sum of symbols that stand neither in another resistance nor in a
    source; then no fraction can be cancelled."""
    seen = {name for value in values for name in value.held()}
    if not all(value.is_polynomial for value in values):
        return False
    for r in resistances:
        held = r.held()
        if not r.is_polynomial or not seen.isdisjoint(held) or len(r.above) != len(held):
            return False
        if any(c != 1 or sum(e) != 1 for e, c in r.terms()):
            return False
        seen.update(held)
    return True
