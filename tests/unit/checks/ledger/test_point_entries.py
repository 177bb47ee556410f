"""The ledger of named forms: every fault put in is caught, and what was not done is not called passed."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from loopwright.checks.ledger import limits_at_points, point_entries
from loopwright.checks.ledger.ledger import Ledger
from loopwright.checks.ledger.point_entries import examine_named
from loopwright.expressions.nodes import ONE, Expr, Negative, Product, Quotient, Sum, add, negate
from loopwright.solve.closed_forms import predicted_terms
from loopwright.solve.named_forms import NamedForms, named_forms
from tests.sample_circuits import DRIVEN, LADDER, REAL_BRIDGE, circuit_of
from tests.wide_circuits import complete, cube, ladder


def examined(text: str) -> Ledger:
    return examine_named(named_forms(circuit_of(text)))


@pytest.mark.parametrize("text", [complete(5), ladder(4), DRIVEN, LADDER])
def test_right_forms_pass_and_nothing_left_out_is_called_passed(text: str) -> None:
    ledger = examined(text)
    assert ledger.passed
    assert all(e.passed is None and e.mark == "not done" for e in ledger.entries if e.left_out)
    assert str(ledger).endswith("not done")


def slips(body: Expr) -> list[Expr]:
    """The body with a sign turned, a term left out, a factor doubled."""
    found = [negate(body), Sum((body, ONE)) if not isinstance(body, Sum) else add(*body.terms[1:])]
    if isinstance(body, Quotient):
        found += [
            Quotient(body.above, Product((body.below, body.below))),
            Negative(Quotient(body.above, body.below)),
        ]
    return found


@cache
def ledgers(text: str) -> tuple[Ledger, ...]:
    """The ledgers of the forms with one slip in one line, for every slip in every line."""
    forms = named_forms(circuit_of(text))
    return tuple(
        examine_named(
            NamedForms(forms.circuit, (*forms.lines[:at], replace(line, body=wrong), *forms.lines[at + 1 :]))
        )
        for at, line in enumerate(forms.lines)
        for wrong in slips(line.body)
    )


@pytest.mark.parametrize("text", [REAL_BRIDGE, ladder(3), DRIVEN])
def test_every_slip_in_any_line_is_caught_by_two_checks(text: str) -> None:
    assert min(len(ledger.failed) for ledger in ledgers(text)) >= 2


def test_every_entry_can_fail() -> None:
    """The count of terms rests on the circuit, not on its forms: its fault is in the test below."""
    tripped = {entry.code for ledger in ledgers(DRIVEN) for entry in ledger.failed}
    done = {entry.code for entry in examined(DRIVEN).entries if not entry.left_out}
    assert tripped == done - {"form/spanning-trees"}


def test_a_wrong_count_of_terms_fails_its_entry_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(point_entries, "predicted_terms", lambda circuit: predicted_terms(circuit) + 1)
    assert [entry.code for entry in examined(LADDER).failed] == ["form/spanning-trees"]


def test_short_lines_are_proved_as_formulas_and_long_ones_are_not() -> None:
    assert examined(ladder(3)).entry("form/written-out").passed is True
    assert examined(REAL_BRIDGE).entry("form/written-out").passed is True
    assert examined(cube(3)).entry("form/written-out").mark == "not done"


def test_terms_are_counted_both_ways() -> None:
    """K5 has 125 spanning trees (Cayley 1889); a battery beside one edge makes 175 terms."""
    assert examined(complete(5)).entry("form/spanning-trees").result == "175 both ways."


def test_resistances_that_were_not_taken_to_limits_are_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = " ".join(entry.as_text() for entry in examined(ladder(4)).entries)
    assert "resistances were taken" not in whole
    monkeypatch.setattr(limits_at_points, "WORK", 1)
    told = " ".join(entry.as_text() for entry in examined(ladder(4)).entries)
    assert "only the first 1 resistances were taken" in told
