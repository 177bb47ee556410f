"""Faults injected into closed forms: every one is caught by two entries of the ledger at least.

A fault is one sign, one dropped term, one doubled term, or one symbol lost or squared, in the
numerator or denominator of one current. A mutant equal to the true value is no fault and is left out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import islice

import pytest
from flint import fmpz_mpoly

from loopwright.algebra.ratios import Field, Ratio
from loopwright.checks.ledger.examine import examine, examine_currents
from loopwright.checks.ledger.ledger import Ledger
from loopwright.solve.exact import Solution, solve_posed
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, EQUAL_CELLS, LADDER, circuit_of

INTERNAL = """
[branches]
Ic = "rail, +E1, bus"
Ib = "bus, -E2, rail"
Ih = "bus, R, rail"
[elements]
E1 = { internal = "r1" }
E2 = { internal = "r2" }
"""
SHARED = """
[branches]
Ic = "rail, +E1, R1, bus"
Ib = "bus, R2, -E2, rail"
Ih = "bus, Rh, rail"
[elements]
R1 = "R"
R2 = "R"
Rh = "2 R"
"""
CIRCUITS = {
    "charge or help": CHARGE_OR_HELP,
    "internal resistances": INTERNAL,
    "shared symbols": SHARED,
    "equal cells": EQUAL_CELLS,
    "ladder": LADDER,
    "bridge": BRIDGE,
}


def altered(part: fmpz_mpoly, field: Field) -> Iterator[fmpz_mpoly]:
    """Every polynomial that differs by one slip."""
    terms = dict(zip(part.monoms(), part.coeffs(), strict=True))
    for exponents, coefficient in terms.items():
        for factor in (-1, 0, 2):
            yield field.context.from_dict({**terms, exponents: coefficient * factor})
        rest = {e: c for e, c in terms.items() if e != exponents}
        at = next((i for i, e in enumerate(exponents) if e), 0)
        for more in (-1, 1):
            slipped = tuple(e + more * (i == at) for i, e in enumerate(exponents))
            if min(slipped) >= 0:
                yield field.context.from_dict({**rest, slipped: rest.get(slipped, 0) + coefficient})


def faulty(solution: Solution) -> Iterator[tuple[str, dict[str, Ratio]]]:
    """Currents with one of them altered by one slip, and which."""
    field = solution.circuit.field
    for name, true in solution.currents.items():
        pairs = [(above, true.below) for above in altered(true.above, field)]
        pairs += [(true.above, below) for below in altered(true.below, field) if not below.is_zero()]
        for above, below in pairs:
            wrong = Ratio(field, above, below)
            if wrong != true:
                yield name, {**solution.currents, name: wrong}


@cache
def ledgers(which: str, every: int = 1) -> tuple[Ledger, ...]:
    """The ledgers of the faulty currents of a circuit: of all, or of one in `every`."""
    solution = solve_posed(circuit_of(CIRCUITS[which]))
    return tuple(
        examine_currents(solution.circuit, currents, solution.determinant)
        for _, currents in islice(faulty(solution), 0, None, every)
    )


@pytest.mark.parametrize("which", CIRCUITS)
def test_true_currents_pass_every_entry(which: str) -> None:
    ledger = examine(circuit_of(CIRCUITS[which]))
    assert ledger.passed
    assert ledger.failed == ()


@pytest.mark.slow
@pytest.mark.parametrize("which", ["ladder", "bridge"])
def test_every_slip_in_three_loops_trips_two_entries(which: str) -> None:
    assert min(len(ledger.failed) for ledger in ledgers(which)) >= 2


@pytest.mark.parametrize(("which", "every"), [(w, 10 if w in ("ladder", "bridge") else 1) for w in CIRCUITS])
def test_every_slip_trips_two_entries(which: str, every: int) -> None:
    found = ledgers(which, every)
    assert len(found) > 20
    assert min(len(ledger.failed) for ledger in found) >= 2


def test_every_entry_can_fail() -> None:
    tripped: Counter[str] = Counter()
    for which in ("charge or help", "internal resistances", "shared symbols", "equal cells"):
        for ledger in ledgers(which):
            tripped.update(e.code for e in ledger.failed)
    codes = {e.code for e in examine(circuit_of(CHARGE_OR_HELP)).entries}
    assert set(tripped) == codes


@pytest.mark.parametrize("which", CIRCUITS)
def test_a_wrong_determinant_is_counted_out(which: str) -> None:
    solution = solve_posed(circuit_of(CIRCUITS[which]))
    for part in altered(solution.determinant.above, solution.circuit.field):
        wrong = Ratio(solution.circuit.field, part, solution.determinant.below)
        ledger = examine_currents(solution.circuit, solution.currents, wrong)
        assert "form/trees" in {e.code for e in ledger.failed}


def test_entries_that_do_not_apply_never_count_as_passed() -> None:
    ledger = examine(circuit_of(BRIDGE))
    entry = ledger.entry("response/superposition")
    assert entry.passed is None
    assert "does not apply" in entry.as_text()
