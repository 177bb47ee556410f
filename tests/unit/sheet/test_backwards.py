"""What a sheet says of what was asked backwards, in every writer."""

from __future__ import annotations

import pytest

from loopwright.errors import BrokenPromise, FaultyMaterial
from loopwright.expressions.nodes import Symbol
from loopwright.expressions.said import as_text
from loopwright.problem.problem_file import read_text
from loopwright.problem.problem_text import written
from loopwright.sheet import backwards as module
from loopwright.sheet.build import FullSheet, sheet
from loopwright.sheet.document import DisplayedLine, Paragraph
from loopwright.solve.exact import Solution
from loopwright.solve.unknown_values import UnknownValues, unknown_values
from tests.sample_circuits import circuit_of
from tests.unit.sheet.long_ladder import ten_sections

CIRCUIT = '[branches]\nI1 = "b, +E1, R1, a"\nI2 = "a, R2, b"\nI3 = "a, R3, b"\n'
NUMBERS = '[numbers]\nE1 = "12 V"\nR1 = "3 ohm"\nR3 = "6 ohm"\n'
BACK = f'find = ["R2", "I3"]\ngiven = ["I1 = 2.0 A"]\n{CIRCUIT}{NUMBERS}'


def worked(text: str) -> FullSheet:
    found = sheet(circuit_of(text))
    assert isinstance(found, FullSheet)
    return found


def said(found: FullSheet) -> str:
    return " ".join(as_text(b.text) for b in found.document.blocks if isinstance(b, Paragraph))


def test_a_value_is_found_in_numbered_lines_and_other_results_follow() -> None:
    found = worked(BACK)
    lines = [b for b in found.document.blocks if isinstance(b, DisplayedLine)]
    numbers = [line.number for line in lines if line.number]
    assert numbers == list(range(1, len(numbers) + 1))
    (last,) = (line for line in lines if line.number == numbers[-1])
    assert last.result
    assert last.sides[0] == Symbol("R2")
    assert "R_{2} = 6\\,\\mathrm{\\Omega}" in found.markdown()
    assert "I_{3} \\approx 1.00\\,\\mathrm{A}" in found.markdown()
    assert "backwards/put-back" in [e.code for e in found.ledger.entries]


def test_all_writers_say_what_was_found() -> None:
    found = worked(BACK)
    assert "Values from what is given" in found.html()
    assert "Values from what is given" in found.latex()
    assert "R sub two equals six ohms" in found.spoken()
    assert found.pdf().startswith(b"%PDF")


def test_a_negative_resistance_is_said_to_be_none() -> None:
    told = said(worked(BACK.replace("2.0 A", "1.0 A")))
    assert "R2 is negative: no resistor has it." in told
    assert "The solution is not positive: no resistor gives I1 = 1.0 A in this circuit." in told


def test_a_power_that_cannot_be_is_said_to_be_none() -> None:
    text = f'find = ["R2"]\ngiven = ["P(R2) = 50 W"]\n{CIRCUIT}{NUMBERS}'
    assert "they are not real, and no value gives P(R2) = 50 W." in said(worked(text))


def test_a_false_value_stops_the_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    real = unknown_values

    def wrong(solution: Solution) -> UnknownValues:
        found = real(solution)
        for one in found.solutions:
            object.__setattr__(one, "put_back", False)
        return found

    monkeypatch.setattr(module, "unknown_values", wrong)
    with pytest.raises(BrokenPromise, match="Values put back"):
        worked(BACK)


def test_one_missing_number_leaves_the_others() -> None:
    text = f'find = ["I1", "R(a, b) without R2"]\n{CIRCUIT}{NUMBERS}'
    circuit, _ = read_text(text)
    assert circuit is not None
    found = sheet(circuit).markdown()
    assert "2.00\\,\\mathrm{\\Omega}" in found  # 3 ∥ 6, free of R2
    assert "I_{1} = \\frac{4 \\, (R_{2} + 6)}{3 \\, (R_{2} + 2)}" in found


def test_a_long_ladder_is_not_turned_round() -> None:
    text = ten_sections(find='["R1"]').replace("expect = []", 'given = ["I0 = 1 A"]')
    with pytest.raises(FaultyMaterial, match="too long to be turned round"):
        sheet(circuit_of(text))


def test_what_is_asked_backwards_is_written_down_and_read_again() -> None:
    circuit = circuit_of(BACK)
    assert read_text(written(circuit)) == (circuit, ())


def test_one_value_is_found_from_its_form_cleared_of_fractions() -> None:
    in_symbols = BACK.replace(NUMBERS, "")
    reasons = [as_text(b.reason) for b in worked(in_symbols).document.blocks if isinstance(b, DisplayedLine)]
    assert sum("cleared of fractions, all on one side." in reason for reason in reasons) == 1
