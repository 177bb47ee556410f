"""Ledger entries from the laws themselves: every equation, and the balance of powers.

Each public function takes the currents put forward and gives one entry; its first sentence is what must
hold of them.
"""

from __future__ import annotations

from itertools import islice

from ...algebra.ratios import Ratio
from ...circuit.elements import Kind
from ...errors import FaultyMaterial
from ...graph.loops import simple_loops
from ...laws.equations import element_equations, junction_equation, loop_equation
from ...laws.loops import is_plain, points_of
from ...solve.exact import Solution
from .ledger import Candidate, LedgerEntry, listed, not_applicable

LOOP_LIMIT = 60  # simple loops examined; more are left out, and the entry says so


def junction_rule(candidate: Candidate) -> LedgerEntry:
    """Sum in = sum out at every junction, the one that need not be written included."""
    circuit = candidate.circuit
    points = [p for p in circuit.points if any((b.start == p) != (b.end == p) for b in circuit.branches)]
    method = "the currents put into every junction equation, one more than is needed included; exact"
    if not points:
        return not_applicable("laws/junctions", "Junction rule", method, "One loop has no junction.")
    bad = [p for p in points if not candidate.satisfies(junction_equation(circuit, p).linear)]
    fixed = [e for e in element_equations(circuit) if not candidate.satisfies(e.linear)]
    wrong = [*(f"junction {p}" for p in bad), *(f"source current in {e.branch}" for e in fixed)]
    result = (
        f"Not satisfied at {listed(wrong)}."
        if wrong
        else f"{len(points)} of {len(points)} junction equations hold."
    )
    return LedgerEntry("laws/junctions", "Junction rule", method, result, not wrong)


def loop_rule(candidate: Candidate) -> LedgerEntry:
    """Rises = drops round every loop, unused ones included."""
    circuit = candidate.circuit
    every = list(islice(simple_loops(circuit.branches), LOOP_LIMIT + 1))
    loops = [loop for loop in every[:LOOP_LIMIT] if is_plain(circuit, loop)]
    method = "the currents put into the equation of every loop, used or not; exact"
    if not loops:
        why = "Every loop passes a current source or an open branch, whose voltage is not known beforehand."
        return not_applicable("laws/loops", "Loop rule", method, why)
    bad = [
        "-".join(points_of(circuit, loop))
        for loop in loops
        if not candidate.satisfies(loop_equation(circuit, loop).linear)
    ]
    result = f"{len(loops) - len(bad)} of {len(loops)} loop equations hold"
    if bad:
        result += f"; not satisfied round {listed(bad)}"
    if len(every) > LOOP_LIMIT:
        result += f"; only the first {LOOP_LIMIT} loops were looked at"
    left = min(len(every), LOOP_LIMIT) - len(loops)
    if left:
        result += f"; {left} through an open branch or a current source were left out"
    return LedgerEntry("laws/loops", "Loop rule", method, result + ".", not bad)


def power_balance(candidate: Candidate) -> LedgerEntry:
    """Power given by the sources = power turned into heat in the resistances, as an identity."""
    circuit = candidate.circuit
    method = "sum of emf × current (and voltage × current of current sources) against sum of I²R; exact"
    has_source = any(
        circuit.elements[p.element].kind is Kind.CURRENT_SOURCE for b in circuit.branches for p in b.passes
    )
    given = circuit.field.zero
    heat = circuit.field.zero
    below = candidate.below
    for b in circuit.branches:
        n = candidate.above[b.name]
        given = given + circuit.rise(b.name) * Ratio(circuit.field, n * below, circuit.field.one.below)
        heat = heat + circuit.resistance(b.name) * Ratio(circuit.field, n * n, circuit.field.one.below)
    lost = heat - given
    if has_source:
        solution = Solution(circuit, candidate.currents, circuit.field.one)
        square = Ratio(circuit.field, below * below, circuit.field.one.below)
        try:
            for b in circuit.branches:
                for p in b.passes:
                    if circuit.elements[p.element].kind is Kind.CURRENT_SOURCE:
                        lost = lost + solution.power_taken(p.element) * square
        except FaultyMaterial as trouble:
            why = " ".join(f.message for f in trouble.findings)
            return not_applicable("laws/power", "Power balance", method, why)
    verb = "differ" if lost else "are equal"
    result = f"Source power and heat {verb} as formulas."
    return LedgerEntry("laws/power", "Power balance", method, result, not lost)
