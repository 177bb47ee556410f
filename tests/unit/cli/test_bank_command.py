"""`loopwright bank` as it is typed: every verb, and what is told of trouble."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.bank.features import FEATURES
from loopwright.cli.bank_command import VERBS
from loopwright.cli.bank_options import BANK_VERBS
from loopwright.cli.main import main
from tests.architecture.source import ROOT
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS

PAGE = (ROOT / "docs" / "bank.md").read_text("utf-8")


def test_every_verb_and_every_feature_is_documented() -> None:
    assert tuple(VERBS) == BANK_VERBS
    assert [verb for verb in BANK_VERBS if f"| `{verb}" not in PAGE] == []
    assert [feature.name for feature in FEATURES if f"| {feature.name} |" not in PAGE] == []


def test_a_bank_is_begun_filled_looked_through_and_compared(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    week = tmp_path / "week"
    week.mkdir()
    (week / "bus.toml").write_text('title = "Bus"\n' + CHARGE_OR_HELP_IN_NUMBERS)
    (week / "tram.toml").write_text('title = "Tram"\n' + CHARGE_OR_HELP_IN_NUMBERS.replace("R1", "Rx"))
    (week / "wrong.toml").write_text('title = "No branch"\n')
    bank = str(tmp_path / "bank")
    assert main(["bank", bank, "find"]) == 1
    assert "There is no bank" in capsys.readouterr().err
    assert main(["bank", bank, "add", str(week)]) == 1  # one of them is at fault
    told = capsys.readouterr()
    assert told.out.splitlines() == ["bus: put in", "tram: put in; the same numbers: bus"]
    assert told.err.startswith("wrong.toml, branches: the file names no branch.")
    assert main(["bank", bank]) == 0
    assert (
        capsys.readouterr().out == f"{bank}: 2 problems, 0 versions, 0 quiz items; 0 sets of papers given.\n"
    )
    assert main(["bank", bank, "find", "two", "sources,", "tram"]) == 0
    assert capsys.readouterr().out == "tram  Tram\n"
    assert main(["bank", bank, "alike"]) == 0
    assert capsys.readouterr().out == "bus, tram\n"
    assert main(["bank", bank, "alike", str(week / "bus.toml")]) == 0
    assert capsys.readouterr().out.endswith("bus.toml: the same numbers: bus and tram\n")
    assert main(["bank", bank, "show", "bus", "-o", str(tmp_path / "out.toml")]) == 0
    assert (tmp_path / "out.toml").read_text() == (week / "bus.toml").read_text()
    assert main(["bank", bank, "remove", "bus"]) == 0
    assert main(["bank", bank, "show", "bus"]) == 1
    assert main(["bank", bank, "show"]) == 1
