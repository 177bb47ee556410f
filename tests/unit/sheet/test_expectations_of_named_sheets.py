"""Sheets by named quantities judge what is expected: right and wrong claims are told apart."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.checks.limits import expectations_at_points
from loopwright.checks.limits.expectations import Judgement
from loopwright.cli.main import main
from loopwright.expressions.said import as_text
from loopwright.sheet.build import sheet
from loopwright.sheet.named import NamedSheet
from tests.sample_circuits import circuit_of
from tests.unit.sheet.long_ladder import ten_sections

NUMBERS = '[numbers]\nE = "6 V"\nr = "1 ohm"\nR1 = "2 ohm"\nR2 = "1 ohm"\nR3 = "4 ohm"\n'
RIGHT = [
    "I1 -> 0 as R1 -> oo",
    "I2 -> 0 as R2 -> oo",
    "I1 -> E/(r + R1 + R3) as R2 -> oo",
    "V(a, b) -> E as r -> 0",
    "I2 -> 0 as R2 alone -> oo",
]
WRONG = ["I1 -> E/R1 as R2 -> 0", "I0 -> oo as r -> 0", "I0 -> 0 as R2 alone -> oo"]


def worked(claims: list[str], rest: str = "") -> NamedSheet:
    found = sheet(circuit_of(ten_sections(expect=str(claims).replace("'", '"'), rest=rest)))
    assert isinstance(found, NamedSheet)
    return found


def test_claims_of_a_long_ladder_are_confirmed_and_refuted() -> None:
    found = worked(RIGHT + WRONG)
    assert [v.judgement is Judgement.CONFIRMED for v in found.verdicts] == [True] * 5 + [False] * 3
    assert len(found.unmet) == 3
    assert "## Expectations" in found.markdown()


def test_a_refuted_claim_tells_the_true_end_where_numbers_are_given() -> None:
    (verdict,) = worked(["I0 -> 0 as R2 alone -> oo"], NUMBERS).unmet
    # one section is left: 6 V over 1 + 2 + 4 ohms
    assert "R2 alone goes to ∞, I0 → 857 mA." in as_text(verdict.sentence)


def test_a_false_expectation_of_a_long_circuit_gives_exit_status_1(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "long.toml"
    file.write_text(ten_sections(expect='["I1 -> E/R1 as R2 -> 0"]'))
    assert main(["sheet", str(file), "-o", str(tmp_path / "long.md")]) == 1
    assert "Expectation not met" in capsys.readouterr().err


def test_an_expectation_that_cannot_be_decided_gives_exit_status_1_and_the_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(expectations_at_points, "MOST_BRANCHES", 30)
    file = tmp_path / "long.toml"
    file.write_text(ten_sections(expect=str(RIGHT[:1]).replace("'", '"')))
    assert main(["sheet", str(file), "-o", str(tmp_path / "long.md")]) == 1
    assert "Expectation not decided: I1 → 0 as R1 → ∞ cannot be decided" in capsys.readouterr().err
    assert "cannot be decided: more than 30 branches" in (tmp_path / "long.md").read_text()
