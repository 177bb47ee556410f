"""Ledger entries from how currents respond to sources and resistances.

Superposition, reciprocity, compensation, and the sign of a battery's effect on its own branch. Stands
on `solve` for fresh solutions of changed circuits. Each public function takes the currents put forward
and gives one entry; its first sentence is what must hold of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import combinations

from ...algebra.ratios import Ratio
from ...circuit.changed import at_rest
from ...circuit.circuit import Circuit, battery
from ...circuit.elements import Kind, Pass
from ...expressions.nodes import Number
from ...expressions.said import Said, counted, names
from ...solve.exact import solve_posed
from ..limits.limit_of_ratio import sign_of
from ..limits.limit_variables import LimitQuantity, LimitVariable, at_zero, limit_variables
from .form_entries import own_emfs, own_resistances
from .ledger import Candidate, LedgerEntry, listed, not_applicable


def superposition(candidate: Candidate) -> LedgerEntry:
    """Each source alone, solved afresh; the currents added."""
    circuit = candidate.circuit
    method = "each source alone in the circuit (the others at zero) solved afresh and added; exact"
    sources = [
        s for s in limit_variables(circuit) if s.quantity in (LimitQuantity.EMF, LimitQuantity.SOURCE_CURRENT)
    ]
    if len(sources) < 2:
        return not_applicable("response/superposition", "Superposition", method, "There is only one source.")
    total = dict.fromkeys(circuit.currents, circuit.field.zero)
    for kept in sources:
        alone = _alone(circuit, kept, sources).worked_in(circuit.field)
        for name, current in solve_posed(alone).currents.items():
            total[name] = total[name] + current
    bad = [name for name, current in candidate.currents.items() if current != total[name]]
    if bad:
        result = f"The parts do not add up to {listed(bad)}."
    else:
        result = f"The currents of {len(sources)} sources, each alone, add up to every current."
    return LedgerEntry("response/superposition", "Superposition", method, result, not bad)


def _alone(circuit: Circuit, kept: LimitVariable, sources: list[LimitVariable]) -> Circuit:
    for other in sources:
        if other != kept:
            circuit = at_zero(circuit, other)
    return circuit


def reciprocity(candidate: Candidate) -> LedgerEntry:
    """An emf in branch k moves the current of branch j as the same emf in j moves that of k.

    With two or more batteries of their own symbols: the derivatives crosswise. Otherwise: probe emfs
    put in the branches, the circuit's own sources set to zero, and solved afresh.
    Source: reciprocity theorem; e.g. Desoer & Kuh, Basic Circuit Theory, 1969, ch. 16 (from memory).
    """
    circuit = candidate.circuit
    own = own_emfs(circuit)
    emfs = [name for name in circuit.symbols if circuit.role(name) is Kind.BATTERY]
    branches = {branch for branch, _ in own.values()}
    if not emfs:
        why = "There is no battery."
        return not_applicable("response/reciprocity", "Reciprocity", "derivatives crosswise", why)
    if len(branches) > 1 and set(emfs) == set(own):
        return _crosswise(candidate, own)
    return _probed(candidate, emfs)


def _crosswise(candidate: Candidate, own: Mapping[str, tuple[str, int]]) -> LedgerEntry:
    method = "what either of two batteries does to the other's current, counted along the emf; exact"
    pairs = [(a, b) for a, b in combinations(sorted(own), 2) if own[a][0] != own[b][0]]
    bad: list[str] = []
    for a, b in pairs:
        (branch_a, sign_a), (branch_b, sign_b) = own[a], own[b]
        one = candidate.currents[branch_a].derivative(b) * sign_a
        other = candidate.currents[branch_b].derivative(a) * sign_b
        if one != other:
            bad.append(f"{a} and {b}")
    result = f"Not so for {listed(bad)}." if bad else f"Equal for {counted(len(pairs), 'pair')} of batteries."
    return LedgerEntry("response/reciprocity", "Reciprocity", method, result, not bad)


def _probed(candidate: Candidate, emfs: list[str]) -> LedgerEntry:
    """Puts 1, 2, 3, ... volts in the branches, in order, all sources set to zero, and solves afresh.

    Reciprocity: the sum over branches of (volts in j) × dI_j/dE is the current which these volts
    drive through the battery that E belongs to (counted as often as E stands in its branch).
    """
    circuit = candidate.circuit
    method = "a probe emf in every branch, all sources at zero, solved afresh: its effect on the batteries"
    live = [n for n in circuit.currents if circuit.fixed_current(n) is None]
    probes = {name: volts for volts, name in enumerate(live, start=1)}
    seen = solve_posed(_with_probes(at_rest(circuit), probes).worked_in(circuit.field)).currents
    bad: list[str] = []
    for name in emfs:
        found, expected = circuit.field.zero, circuit.field.zero
        for k in circuit.currents:
            turns = circuit.rise(k).derivative(name)
            expected = expected + turns * seen[k] if turns else expected
        for j, volts in probes.items():
            found = found + _by_symbol(candidate, j, name) * volts
        if found != expected:
            bad.append(name)
    result = f"Not so for {listed(bad)}." if bad else f"Probes in {len(live)} branches agree crosswise."
    return LedgerEntry("response/reciprocity", "Reciprocity", method, result, not bad)


def _by_symbol(candidate: Candidate, branch: str, name: str) -> Ratio:
    """The derivative of a current by a symbol; quicker where, as is the rule, the current's denominator
    does not hold it."""
    field, current = candidate.circuit.field, candidate.currents[branch]
    if current.degree(name, below=True) > 0:
        return current.derivative(name)
    slope = candidate.above[branch].derivative(field.position(name))
    return Ratio(field, slope, candidate.below)


def _with_probes(circuit: Circuit, probes: Mapping[str, int]) -> Circuit:
    elements = dict(circuit.elements)
    branches = []
    for b in circuit.branches:
        if b.name in probes:
            name = f"\0probe {b.name}"
            elements[name] = battery(name, Number(Fraction(probes[b.name])))
            b = replace(b, along=(*b.along, Pass(name, 1)))
        branches.append(b)
    return replace(circuit, branches=tuple(branches), elements=elements)


def driving_point(candidate: Candidate) -> LedgerEntry:
    """A stronger battery never lessens the current it drives through its own branch."""
    method = "whether each battery, were it stronger, would drive more current through its own branch"
    own = own_emfs(candidate.circuit)
    if not own:
        why = "No battery has a symbol of its own."
        return not_applicable("response/driving-point", "Driving-point conductance", method, why)
    bad: list[str] = []
    for name, (branch, sign) in own.items():
        conductance = _by_symbol(candidate, branch, name) * sign
        if conductance and sign_of(conductance) != 1:
            bad.append(name)
    result: Said = (f"Not so for {listed(bad)}.",) if bad else ("So it is for ", *names(sorted(own)), ".")
    return LedgerEntry("response/driving-point", "Driving-point conductance", method, result, not bad)


def compensation(candidate: Candidate) -> LedgerEntry:
    """A small resistance more in a branch acts like an emf −I there: dI_j/dR_k = −I_k dI_j/dE_k.

    Source: compensation (substitution) theorem; any textbook of networks, from memory.
    """
    circuit = candidate.circuit
    method = "a little more resistance in a branch against as much less emf as its current loses there; exact"
    emf_in = {branch: (name, sign) for name, (branch, sign) in own_emfs(circuit).items()}
    pairs = [(r, *emf_in[k], k) for r, k in own_resistances(circuit).items() if k in emf_in]
    if not pairs:
        why = "No branch has both a battery and a resistance of their own symbols."
        return not_applicable("response/compensation", "Compensation", method, why)
    bad = sorted(
        {
            f"{j} by {resistance}"
            for resistance, emf, sign, k in pairs
            for j in circuit.currents
            if not _compensates(candidate, j, k, resistance, emf, sign)
        }
    )
    count = len(pairs) * len(circuit.currents)
    result = f"Not so for {listed(bad)}." if bad else f"{count} pairs of current and resistance agree."
    return LedgerEntry("response/compensation", "Compensation", method, result, not bad)


def _compensates(candidate: Candidate, j: str, k: str, resistance: str, emf: str, sign: int) -> bool:
    """Whether d(n/d)/dR = −s (m/d) d(n/d)/dE, with n, m over the common denominator d."""
    field = candidate.circuit.field
    r, e = field.position(resistance), field.position(emf)
    n, m, d = candidate.above[j], candidate.above[k], candidate.below
    by_r = n.derivative(r) * d - n * d.derivative(r)
    if d.derivative(e).is_zero():  # nearly always: then d divides the whole
        return bool((by_r + m * n.derivative(e) * sign).is_zero())
    by_e = n.derivative(e) * d - n * d.derivative(e)
    return bool((by_r * d + m * by_e * sign).is_zero())
