"""The ledger of a ladder without end: every wrong root is caught, by more than one check."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from loopwright.algebra.surds import Surd
from loopwright.checks.ledger.ladder_entries import approach, examine_ladder
from loopwright.checks.limits.ladder_limits import ladder_limits
from loopwright.solve.endless_ladder import EndlessLadder, endless_ladder
from tests.sample_circuits import circuit_of

RUNGS = """
[branches]
I1 = "a, R1, c"
I2 = "c, R2, b"
[ladder]
from = "a, b"
to = "c, b"
repeated = "without end"
"""


def failing(found: EndlessLadder) -> set[str]:
    ledger = examine_ladder(found, approach(found), ladder_limits(found))
    return {entry.code for entry in ledger.failed}


def of_another_ladder(found: EndlessLadder) -> EndlessLadder:
    a, b, c, d = found.coefficients
    return replace(found, coefficients=(a + d, b, c, d))


FAULTS: dict[str, Callable[[Surd], Surd]] = {
    "the other root": Surd.conjugate,
    "halved": lambda root: Surd(root.plain / 2, root.factor / 2, root.under),
    "a sign under the root": lambda root: Surd(root.plain, root.factor, root.under - root.plain**2 * 8),
    "the root forgotten": lambda root: Surd(root.plain, root.under.field.zero, root.under),
    "the other part forgotten": lambda root: Surd(root.under.field.zero, root.factor, root.under),
    "four became two": lambda root: Surd(root.plain, root.factor, (root.under + root.plain**2 * 4) / 2),
    "not squared": lambda root: Surd(
        root.plain, root.factor, root.under + root.plain * 2 - root.plain**2 * 4
    ),
}


def test_a_right_root_passes_every_check() -> None:
    found = endless_ladder(circuit_of(RUNGS))
    ledger = examine_ladder(found, approach(found), ladder_limits(found))
    assert [entry.mark for entry in ledger.entries] == ["passed"] * 5


@pytest.mark.parametrize("name", FAULTS)
def test_a_wrong_root_fails_two_checks_or_more(name: str) -> None:
    found = endless_ladder(circuit_of(RUNGS))
    assert len(failing(replace(found, resistance=FAULTS[name](found.resistance)))) >= 2


def test_every_entry_can_fail() -> None:
    """By a wrong root, or by the quadratic of another ladder."""
    found = endless_ladder(circuit_of(RUNGS))
    roots = (replace(found, resistance=fault(found.resistance)) for fault in FAULTS.values())
    tripped = set().union(*map(failing, (*roots, of_another_ladder(found))))
    assert tripped == {
        entry.code for entry in examine_ladder(found, approach(found), ladder_limits(found)).entries
    }


def test_limits_are_worked_afresh_and_agree() -> None:
    cases = ladder_limits(endless_ladder(circuit_of(RUNGS)))
    assert [(case.symbol, case.to_infinity, case.agree) for case in cases] == [
        ("R1", False, True),
        ("R1", True, True),
        ("R2", False, True),
        ("R2", True, True),
    ]
    told = [case.resistance and str(case.resistance.plain) for case in cases]
    assert told[1:] == [None, "R1", None]
    assert not cases[0].resistance


def test_a_quadratic_of_another_ladder_is_seen_in_the_limits() -> None:
    wrong = of_another_ladder(endless_ladder(circuit_of(RUNGS)))
    assert not all(case.agree for case in ladder_limits(wrong))


def test_a_symbol_inside_other_values_has_no_limit_case() -> None:
    text = RUNGS + '[elements]\nR1 = "2 R"\nR2 = "R + r"\n'
    assert [case.symbol for case in ladder_limits(endless_ladder(circuit_of(text)))] == []


def test_a_root_put_back_says_what_is_left() -> None:
    true = endless_ladder(circuit_of(RUNGS))
    entry = examine_ladder(true, approach(true), ladder_limits(true)).entry("ladder/put-back")
    assert entry.result == "nothing is left"


def test_finite_ladders_tell_their_figures() -> None:
    true = endless_ladder(circuit_of(RUNGS))
    entry = examine_ladder(true, approach(true), ladder_limits(true)).entry("ladder/finite")
    assert "for one section" in entry.result
    assert "of the excess in the end" in entry.result


REST_UNSEEN = """
[branches]
I1 = "a, R1, b"
I2 = "a, R2, b"
I3 = "c, R3, d"
[ladder]
from = "a, b"
to = "c, d"
repeated = "without end"
"""


def test_sections_that_see_nothing_of_the_rest_are_all_alike() -> None:
    found = endless_ladder(circuit_of(REST_UNSEEN))
    ledger = examine_ladder(found, approach(found), ladder_limits(found))
    told = {entry.code: (entry.mark, entry.result) for entry in ledger.entries}
    assert told["ladder/finite"] == ("passed", "all are alike")
    assert told["ladder/one-positive-root"] == (
        "does not apply",
        "there is one root: nothing of the rest is seen",
    )


def test_the_entry_says_how_many_ladders_were_laid_out() -> None:
    found = endless_ladder(circuit_of(RUNGS))
    near = approach(found)
    entry = examine_ladder(found, near, ladder_limits(found)).entry("ladder/finite")
    assert str(entry.method).startswith("1 to 12 and 60 sections")
    assert list(near.finite) == [*range(1, 13), 60]


def test_a_ladder_whose_root_is_a_fraction_is_told_without_a_root() -> None:
    """Rungs of twice the rail: R∞ = 2 R, since R + 2 R ∥ 2 R = 2 R (common practice, no source)."""
    found = endless_ladder(circuit_of(RUNGS + '[elements]\nR2 = "2 R1"\n'))
    assert str(found.resistance.plain) == "2*R1"
    assert not found.resistance.factor
