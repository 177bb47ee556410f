"""The commands on a circuit in time: its twin, its limits, its slips."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.cli.main import main
from tests.unit.transients.sample_transients import LAMP, MAGNET

EXPECTED = 'expect = ["I3(t) -> 0 as t -> oo", "I1 just after -> E/(R1 + R2) as R3 -> oo"]\n'


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "lamp.toml").write_text(EXPECTED + LAMP)
    (tmp_path / "magnet.toml").write_text(MAGNET)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_twin_is_a_problem_file_that_has_a_sheet(here: Path) -> None:
    assert main(["twin", "lamp.toml", "-o", "twin.toml"]) == 0
    assert "L1, -E1" in (here / "twin.toml").read_text()
    assert main(["sheet", "twin.toml"]) == 0


def test_a_circuit_without_a_twin_says_why(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "again.toml").write_text(
        LAMP.replace('"open -> closed"', '["open -> closed", "closed -> open at 1 s"]')
    )
    assert main(["twin", "again.toml"]) == 1
    assert "its switches move again later" in capsys.readouterr().err


def test_limits_in_time_and_what_is_expected_of_them(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["limits", "lamp.toml"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("t → 0: I1 = ")
    assert "Long after, when nothing changes any more:\nR1 shorted" in told
    assert told.count("Confirmed: ") == 2


def test_a_wrong_expectation_in_time_is_refuted(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "lamp.toml").write_text('expect = ["I3(t) -> E/R1 as t -> oo"]\n' + LAMP)
    assert main(["limits", "lamp.toml"]) == 1
    assert "Refuted: as t → ∞, I3 → 0." in capsys.readouterr().out


def test_limits_of_one_element_leave_the_time_aside(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["limits", "lamp.toml", "--of", "R3"]) == 0
    told = capsys.readouterr().out
    assert "R3 shorted" in told
    assert "t → 0" not in told
    assert "R1 shorted" not in told


def test_slips_in_time_are_told_with_what_catches_them(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["slips", "lamp.toml", "--of", "nearest-resistance"]) == 0
    told = capsys.readouterr().out
    assert "time constant from the nearest resistance: R1 alone is taken for what C1 sees" in told
    assert "Law of each storage; Time constant; " in told
