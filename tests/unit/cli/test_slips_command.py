"""`loopwright slips` as a person types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from loopwright.cli.main import main
from tests.sample_circuits import TWO_BATTERIES, TWO_BATTERIES_IN_NUMBERS


@pytest.fixture
def file(tmp_path: Path) -> str:
    path = tmp_path / "pier.toml"
    path.write_text(TWO_BATTERIES_IN_NUMBERS)
    return str(path)


def test_the_table_ends_with_its_counts(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["slips", file]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Right: I1 = −1.00 A, I2 = 3.00 A, I3 = 2.00 A\n")
    assert "no numbers can tell these apart" in text
    assert "Caught by power balance: " in text


def test_one_slip_alone_can_be_asked_for(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["slips", file, "--of", "minus-dropped", "--as", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    (only,) = data["classes"]
    assert only["answers"] == {"I1": "1", "I2": "3", "I3": "2"}


def test_a_slip_can_be_named_as_it_is_printed(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    told = []
    for name in ("minus-dropped", "Minus of a result dropped"):
        assert main(["slips", file, "--of", name]) == 0
        told.append(capsys.readouterr().out)
    assert told[0] == told[1]
    assert "minus of a result dropped: " in told[0]


def test_the_table_can_be_had_in_markdown(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["slips", file, "--as", "md"]) == 0
    assert "| wrong answers | slips | caught by |" in capsys.readouterr().out


def test_answers_are_decoded(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["slips", file, "--answers", "I1=-2.2A", "I2=-0.6A", "I3=2.8A", "--as-drawn"]) == 0
    text = capsys.readouterr().out
    assert "one sign wrong at a junction: sign of I3 in junction top" in text
    assert "They break the junction rule" in text


def test_decoded_answers_can_be_had_as_json(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["slips", file, "--answers", "I1=-1", "I2=3", "I3=2", "--as", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["right"] == {"turned_arrows": [], "exactly": True}
    assert data["without_unit"] == ["I1", "I2", "I3"]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--answers", "I1"], "no equals sign"),
        (["--answers", "I1=3,5"], "decimals have a point"),
        (["--of", "drop-sing"], "Did you mean drop-sign?"),
    ],
)
def test_what_cannot_be_read_is_told_with_its_mend(
    file: str, options: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["slips", file, *options]) == 1
    assert said in capsys.readouterr().err


def test_a_problem_without_numbers_is_told_to_give_some(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "pier.toml"
    path.write_text(TWO_BATTERIES)
    assert main(["slips", str(path)]) == 1
    assert "Add them under [numbers]" in capsys.readouterr().err
