"""All independent checks of one circuit's currents, in one ledger."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...later import later
from ...solve.exact import Solution, solve
from ..limits.cases import LimitCase
from ..limits.limits import limit_cases
from .form_entries import (
    degrees,
    dimensions,
    resistance_scaling,
    source_scaling,
    spanning_trees,
    unit_coefficients,
)
from .law_entries import junction_rule, loop_rule, power_balance
from .ledger import Candidate, Ledger
from .route_entries import both_limits, node_potentials, second_route

if TYPE_CHECKING:
    from ...solve.endless_ladder import endless_ladder
    from ..limits.ladder_limits import ladder_limits
    from .ladder_entries import approach, examine_ladder
    from .response_entries import compensation, driving_point, reciprocity, superposition
    from .symmetry import symmetry
else:  # none of these belongs to what proves a solution
    endless_ladder = later("loopwright.solve.endless_ladder", "endless_ladder")
    ladder_limits = later("loopwright.checks.limits.ladder_limits", "ladder_limits")
    approach = later("loopwright.checks.ledger.ladder_entries", "approach")
    examine_ladder = later("loopwright.checks.ledger.ladder_entries", "examine_ladder")
    compensation = later("loopwright.checks.ledger.response_entries", "compensation")
    driving_point = later("loopwright.checks.ledger.response_entries", "driving_point")
    reciprocity = later("loopwright.checks.ledger.response_entries", "reciprocity")
    superposition = later("loopwright.checks.ledger.response_entries", "superposition")
    symmetry = later("loopwright.checks.ledger.symmetry", "symmetry")


def examine(
    circuit: Circuit, solution: Solution | None = None, cases: Sequence[LimitCase] | None = None
) -> Ledger:
    """The ledger of a circuit: every check of its solution that does not rest on how it was found.

    `solution` and `cases` save working them out again. Of a ladder without end the checks of its resistance
    are made. Raises FaultyMaterial for an ill-posed circuit
    when no solution is given.
    """
    if circuit.ladder is not None:
        found = endless_ladder(circuit)
        return examine_ladder(found, approach(found), ladder_limits(found))
    known = solution or solve(circuit)
    candidate = _candidate(circuit, known)
    return examine_candidate(candidate, limit_cases(circuit, known) if cases is None else cases)


def _candidate(circuit: Circuit, known: Solution) -> Candidate:
    route = known.route.name if known.route else None
    return Candidate(circuit, known.currents, known.determinant, route)


def prove(circuit: Circuit, known: Solution, cases: Sequence[LimitCase]) -> Ledger:
    """The part of the ledger that proves the results of one sheet: the currents satisfy every equation, which
    fixes them; powers balance; another exact route leads to the same; dimensions are right; and the limits
    that are told, `cases`, agree by both routes. It takes a small share of the whole ledger's time."""
    candidate = _candidate(circuit, known)
    entries = (
        junction_rule(candidate),
        loop_rule(candidate),
        power_balance(candidate),
        second_route(candidate),
        dimensions(candidate),
    )
    return Ledger((*entries, both_limits(candidate, cases)) if cases else entries)


def examine_currents(
    circuit: Circuit, currents: Mapping[str, Ratio], determinant: Ratio | None = None
) -> Ledger:
    """The ledger of currents that somebody puts forward for a well-posed circuit, right or wrong."""
    candidate = Candidate(circuit, currents, determinant)
    claimed = Solution(circuit, currents, determinant or circuit.field.one)
    return examine_candidate(candidate, limit_cases(circuit, claimed))


def examine_candidate(candidate: Candidate, cases: Sequence[LimitCase]) -> Ledger:
    """The ledger of currents put forward, with `cases`, their limit cases, worked out already."""
    return Ledger(
        (
            junction_rule(candidate),
            loop_rule(candidate),
            power_balance(candidate),
            second_route(candidate),
            node_potentials(candidate),
            both_limits(candidate, cases),
            superposition(candidate),
            reciprocity(candidate),
            compensation(candidate),
            driving_point(candidate),
            symmetry(candidate),
            spanning_trees(candidate),
            unit_coefficients(candidate),
            degrees(candidate),
            dimensions(candidate),
            source_scaling(candidate),
            resistance_scaling(candidate),
        )
    )
