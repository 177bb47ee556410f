"""`loopwright versions` and `loopwright numbers`: what they print, write and refuse."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.cli.main import main
from loopwright.problem.problem_file import read, read_text
from loopwright.solve.exact import solve
from tests.sample_circuits import CHARGE_OR_HELP

VARIED = """
[versions]
E1 = "6 to 24 V"
E2 = "6 to 24 V"
R1 = "2 to 6 ohm"
R2 = "2 to 6 ohm"
Rh = "2 to 6 ohm"
hold = ["currents with at most 1 decimal", "currents not zero"]
"""


@pytest.fixture
def bus(tmp_path: Path) -> Path:
    file = tmp_path / "bus.toml"
    file.write_text(CHARGE_OR_HELP + VARIED)
    return file


def test_each_version_becomes_a_problem_file_with_a_line_in_the_table(
    bus: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "out"
    assert main(["versions", str(bus), "--count", "4", "-o", str(folder), "--seed", "3"]) == 0
    files = sorted(path.name for path in folder.iterdir())
    assert files == [*(f"bus-00{n}.toml" for n in range(1, 5)), "bus-versions.csv"]
    rows = list(csv.DictReader((folder / "bus-versions.csv").read_text().splitlines()))
    for row in rows:
        circuit = read(folder / f"bus-{row['version']}.toml")
        assert [row[name] for name in circuit.symbols] == [circuit.written[name] for name in circuit.symbols]
        solution = solve(circuit)
        for name, value in solution.currents.items():
            assert Fraction(row[f"{name} in A"]) == solution.number(value)
    assert "4 versions, all with" in capsys.readouterr().out


def test_the_same_seed_writes_the_same_bytes(bus: Path, tmp_path: Path) -> None:
    for folder in ("one", "two"):
        assert main(["versions", str(bus), "--count", "3", "-o", str(tmp_path / folder)]) == 0
    assert [p.read_bytes() for p in sorted((tmp_path / "one").iterdir())] == [
        p.read_bytes() for p in sorted((tmp_path / "two").iterdir())
    ]


def test_without_a_folder_the_versions_are_printed(bus: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["versions", str(bus), "--count", "2", "--hold", "E2 charged"]) == 0
    printed = capsys.readouterr().out.splitlines()
    assert printed[0].startswith("001  E1 = ")
    assert printed[-1].endswith("seed 1.")


def test_wishes_that_clash_are_told_and_nothing_is_written(
    bus: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["--hold", "E2 charged", "--hold", "Ib < 0", "--mixed", "-o", str(tmp_path / "out")]
    assert main(["versions", str(bus), *asked]) == 1
    told = capsys.readouterr().err
    assert '"E2 charged" and "Ib < 0" leave together no version' in told
    assert "all 45,125 candidates were looked at" in told
    assert not (tmp_path / "out").exists()


def test_good_numbers_are_found_for_a_file_that_says_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "bare.toml"
    file.write_text(CHARGE_OR_HELP)
    assert main(["numbers", str(file)]) == 0
    printed = capsys.readouterr().out
    circuit, findings = read_text(CHARGE_OR_HELP + printed)
    assert not findings
    assert circuit is not None
    solution = solve(circuit)
    found = [solution.number(value) for value in solution.currents.values()]
    assert all(value is not None and value.denominator == 1 and value for value in found)
    assert 1 not in circuit.numbers.values()


def test_numbers_take_wishes_from_the_command_line(bus: Path, tmp_path: Path) -> None:
    out = tmp_path / "good.toml"
    asked = ["--vary", "R1=E6 from 10 ohm to 100 ohm", "--hold", "Ic < 0", "-o", str(out)]
    assert main(["numbers", str(bus), *asked]) == 0
    circuit = read(out)
    solution = solve(circuit)
    assert (solution.number(solution.currents["Ic"]) or 0) < 0
    assert circuit.numbers["R1"] >= 10


def test_what_a_symbol_may_be_needs_an_equals_sign(bus: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["versions", str(bus), "--vary", "R1"]) == 1
    assert "no equals sign" in capsys.readouterr().err


@pytest.mark.parametrize("vary", ["R9=2 to 3 ohm", "R1=many"])
def test_choices_of_the_command_line_are_judged_as_those_of_a_file(
    bus: Path, vary: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["versions", str(bus), "--vary", vary]) == 1
    assert "R" in capsys.readouterr().err
