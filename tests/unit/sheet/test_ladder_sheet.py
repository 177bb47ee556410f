"""The sheet of a ladder without end."""

from __future__ import annotations

import pytest

from loopwright.checks.ledger.examine import examine
from loopwright.checks.ledger.ladder_entries import FiniteLadders, approach
from loopwright.circuit.circuit import Circuit
from loopwright.errors import BrokenPromise, FaultyMaterial
from loopwright.expressions.heard import speak
from loopwright.expressions.writers import plain
from loopwright.sheet import ladder_sheet as module
from loopwright.sheet.document import DisplayedLine, Listing, Table
from loopwright.sheet.editions import page_of
from loopwright.sheet.ladder_sheet import LadderSheet
from loopwright.solve.exact import solve
from tests.sample_circuits import circuit_of

RUNGS = """
find = ["R(a, b)"]
[branches]
I1 = "a, R1, c"
I2 = "c, R2, b"
[ladder]
from = "a, b"
to = "c, b"
repeated = "without end"
"""
NUMBERS = '[numbers]\nR1 = "2.00 ohm"\nR2 = "4.00 ohm"\n'


def ladder_sheet(circuit: Circuit) -> LadderSheet:
    return module.ladder_sheet(circuit, page_of(circuit, "instructor"))


def result(worked: LadderSheet) -> str:
    (line,) = [b for b in worked.document.blocks if isinstance(b, DisplayedLine) and b.result]
    return " = ".join(map(plain.render, line.sides))


def test_the_closed_form_stands_framed() -> None:
    assert result(ladder_sheet(circuit_of(RUNGS))) == "R(a, b) = R = (R1 + √(R1 (R1 + 4 R2)))/2"


def test_equal_resistors_give_the_golden_ratio_and_another_name_for_the_rest() -> None:
    text = RUNGS + '[elements]\nR1 = "R"\nR2 = "R"\n'
    assert result(ladder_sheet(circuit_of(text))) == "R(a, b) = X = R (1 + √5)/2"


def test_numbers_give_a_number() -> None:
    worked = ladder_sheet(circuit_of(RUNGS + NUMBERS))
    assert worked.number is not None
    assert plain.render(worked.number) == "4.00 Ω"


def test_without_numbers_none_is_given_and_trial_values_are_said_to_be_such() -> None:
    worked = ladder_sheet(circuit_of(RUNGS))
    assert worked.number is None
    assert "trial values" in worked.markdown()


def test_finite_ladders_limits_and_the_ledger_are_shown() -> None:
    blocks = ladder_sheet(circuit_of(RUNGS + NUMBERS)).document.blocks
    finite, ledger = (block for block in blocks if isinstance(block, Table))
    assert [row[0] for row in finite.rows] == [(str(n),) for n in (1, 2, 3, 6, 12, 60)]
    assert [row[-1] for row in ledger.rows] == [("passed",)] * 5
    (limits,) = (block for block in blocks if isinstance(block, Listing))
    assert len(limits.items) == 4


def test_the_form_is_heard_back_as_it_is_meant() -> None:
    assert "square root of R sub one times" in speak(ladder_sheet(circuit_of(RUNGS)).form)


def test_a_failed_check_stops_the_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "approach", lambda found: _shifted(approach(found)))
    with pytest.raises(BrokenPromise, match="Finite ladders"):
        ladder_sheet(circuit_of(RUNGS))


def _shifted(near: FiniteLadders) -> FiniteLadders:
    return FiniteLadders(near.numbers, near.finite, near.limit + 1, near.lesser, near.share)


def test_a_ladder_without_a_branch_across_has_no_sheet() -> None:
    text = RUNGS.replace('I2 = "c, R2, b"', 'I2 = "b, R2, d"').replace('to = "c, b"', 'to = "c, d"')
    with pytest.raises(FaultyMaterial, match="grows without limit"):
        ladder_sheet(circuit_of(text))


def test_examine_gives_the_ledger_of_a_ladder_without_end() -> None:
    ledger = examine(circuit_of(RUNGS))
    assert ledger.passed
    assert ledger == ladder_sheet(circuit_of(RUNGS)).ledger


def test_solving_a_ladder_without_end_says_what_works_it() -> None:
    with pytest.raises(FaultyMaterial, match=r"`sheet` and `examine` work its resistance, R\(a, b\)"):
        solve(circuit_of(RUNGS))
