"""`loopwright slips` as a person types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from loopwright.cli.main import main
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS


@pytest.fixture
def file(tmp_path: Path) -> str:
    path = tmp_path / "pier.toml"
    path.write_text(CHARGE_OR_HELP_IN_NUMBERS)
    return str(path)


def test_the_table_ends_with_its_counts(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["slips", file]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Right: Ic = 2.00 A, Ib = −1.00 A, Ih = 3.00 A\n")
    assert "no numbers can tell these apart" in text
    assert "Caught by power balance: " in text


def test_one_slip_alone_can_be_asked_for(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["slips", file, "--of", "minus-dropped", "--as", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    (only,) = data["classes"]
    assert only["answers"] == {"Ic": "2", "Ib": "1", "Ih": "3"}


def test_a_slip_can_be_named_as_it_is_printed(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    told = []
    for name in ("minus-dropped", "Minus sign of a result lost"):
        assert main(["slips", file, "--of", name]) == 0
        told.append(capsys.readouterr().out)
    assert told[0] == told[1]
    assert "minus sign of a result lost: " in told[0]


def test_the_table_can_be_had_in_markdown(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["slips", file, "--as", "md"]) == 0
    assert "| wrong answers | slips | caught by |" in capsys.readouterr().out


def test_answers_are_decoded(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["slips", file, "--answers", "Ic=-1.91A", "Ib=4.22A", "Ih=6.13A", "--as-drawn"]) == 0
    text = capsys.readouterr().out
    assert "one sign wrong at a junction: sign of Ih in junction bus" in text
    assert "They break the junction rule" in text


def test_decoded_answers_can_be_had_as_json(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["slips", file, "--answers", "Ic=2", "Ib=-1", "Ih=3", "--as", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["right"] == {"turned_arrows": [], "exactly": True}
    assert data["without_unit"] == ["Ic", "Ib", "Ih"]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--answers", "Ic"], "no equals sign"),
        (["--answers", "Ic=3,5"], "decimals have a point"),
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
    path.write_text(CHARGE_OR_HELP)
    assert main(["slips", str(path)]) == 1
    assert "Add them under [numbers]" in capsys.readouterr().err
