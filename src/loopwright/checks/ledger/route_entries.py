"""Ledger entries from other routes to the same answer: the other exact one, node potentials, limits.

Each public function takes the currents put forward and gives one entry; its first sentence is what must
hold of them.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from ...expressions.nodes import Number, Power
from ...expressions.said import Said
from ...later import later
from ...solve.closed_forms import currents_by_other_route
from ...solve.currents import NoUniqueSolution
from ...solve.node_potentials import currents_by_node_potentials
from ..limits.cases import LimitCase
from .ledger import Candidate, LedgerEntry, listed, not_applicable

if TYPE_CHECKING:
    import numpy as np
else:
    np = later("numpy")

SETS = 3  # random sets of values
SEED = 1847
TOLERANCE = 9  # decimals, of the largest current of the set or of what the sources could drive
FINEST = 12  # decimals to which the agreement is told at most
SECOND_ROUTE = 100.0  # milliseconds that the second exact route may be predicted to take


def second_route(candidate: Candidate) -> LedgerEntry:
    """The currents once more by the exact route that was not taken: spanning trees or elimination.

    The two share nothing but the circuit and the arithmetic of polynomials.
    """
    circuit = candidate.circuit
    code, title = "route/second", "A second exact route"
    way = "elimination" if candidate.route in ("trees", "numbers") else "spanning trees (Kirchhoff 1847)"
    method = f"currents again by {way}, exact"
    try:
        found = currents_by_other_route(circuit, candidate.route or "elimination", SECOND_ROUTE)
    except NoUniqueSolution:
        return LedgerEntry(code, title, method, "That route has no answer.", False)
    if found is None:
        why = f"By {way} it would take far longer than all other checks."
        return not_applicable(code, title, method, why)
    bad = [name for name, current in found.by_branch.items() if candidate.currents[name] != current]
    if candidate.determinant is not None and candidate.determinant != found.determinant:
        bad.append("the determinant")
    count = len(found.by_branch)
    result = f"Not so for {listed(bad)}." if bad else f"{count} of {count} currents are the same."
    return LedgerEntry(code, title, method, result, not bad)


def node_potentials(candidate: Candidate) -> LedgerEntry:
    """The closed forms against node potentials in floating point, at random values of the symbols."""
    circuit = candidate.circuit
    method: Said = (
        f"node potentials in floating point at {SETS} random sets of values, to 1 part in ",
        Power(Number(Fraction(10)), TOLERANCE),
    )
    chance = random.Random(SEED)
    forms = _Forms(candidate)
    worst = 0.0
    for _ in range(SETS):
        values = {name: chance.uniform(0.5, 10.0) for name in circuit.field.symbols}
        try:
            expected = currents_by_node_potentials(circuit, values)
            found = forms.at(values)
        except (np.linalg.LinAlgError, ZeroDivisionError) as trouble:
            result: Said = (f"One of the routes has no answer: {trouble}.",)
            return LedgerEntry("route/node-potentials", "Node potentials", method, result, False)
        size = max([_drive(candidate, values), *(abs(x) for x in expected.values())])
        worst = max([worst, *(abs(found[n] - expected[n]) / size for n in expected)])
    passed = bool(worst <= 10.0**-TOLERANCE)
    agreed = max((n for n in range(FINEST + 1) if worst < 10.0**-n), default=0)
    result = ("Largest difference below 1 part in ", Power(Number(Fraction(10)), agreed), ".")
    if agreed < 2:
        result = (f"Largest difference {worst:.2g} of the largest current.",)
    return LedgerEntry("route/node-potentials", "Node potentials", method, result, passed)


class _Forms:
    """The closed forms of all currents over their common denominator, prepared to be worked out in floating
    point for many values."""

    def __init__(self, candidate: Candidate) -> None:
        parts = [*candidate.above.values(), candidate.below]
        self.names = tuple(candidate.above)
        self.symbols = candidate.circuit.field.symbols
        monomials = [tuple(map(int, e)) for part in parts for e in part.monoms()]
        self.exponents = np.array(monomials, dtype=np.float64).reshape(len(monomials), -1)
        self.coefficients = np.array([float(int(c)) for part in parts for c in part.coeffs()])
        self.owner = np.repeat(np.arange(len(parts)), [len(part) for part in parts])

    def at(self, values: Mapping[str, float]) -> dict[str, float]:
        """Every current; raises ZeroDivisionError where the denominator vanishes."""
        point = np.array([values[name] for name in self.symbols] or [1.0])
        terms = self.coefficients * np.prod(point**self.exponents, axis=1)
        sums = np.bincount(self.owner, weights=terms, minlength=len(self.names) + 1)
        if sums[-1] == 0:
            raise ZeroDivisionError("the denominator is zero")
        return {name: float(sums[i] / sums[-1]) for i, name in enumerate(self.names)}


def _drive(candidate: Candidate, values: Mapping[str, float]) -> float:
    """The current that the strongest source could drive through all resistances in a row: the size
    against which a current is called zero."""
    circuit = candidate.circuit
    resistance = sum(r.real()(values) for name in circuit.currents if (r := circuit.resistance(name)))
    emfs = [abs(e.real()(values)) for name in circuit.currents if (e := circuit.rise(name))]
    fixed = [
        abs(f.real()(values)) for name in circuit.currents if (f := circuit.fixed_current(name)) is not None
    ]
    return max([*(emf / (resistance or 1.0) for emf in emfs), *fixed], default=0.0) or 1.0


def both_limits(candidate: Candidate, cases: Sequence[LimitCase]) -> LedgerEntry:
    """Every limit of the closed forms against the circuit redrawn and solved afresh.

    `cases` must have been worked out with the candidate's currents.
    """
    method = (
        "every resistance to 0 and to infinity, every source to 0, the redrawn circuit solved afresh; exact"
    )
    if not cases or not candidate.currents:
        return not_applicable("route/limits", "Limits", method, "There is nothing to take to a limit.")
    bad = [_named(case) for case in cases if not case.agree]
    result = (
        f"Not so for {listed(bad)}."
        if bad
        else f"{len(cases)} of {len(cases)} limit cases agree in every current."
    )
    return LedgerEntry("route/limits", "Limits", method, result, not bad)


def _named(case: LimitCase) -> str:
    end = "0" if case.to == "0" else "infinity"
    return f"{case.variable.quantity} of {case.element} to {end}"
