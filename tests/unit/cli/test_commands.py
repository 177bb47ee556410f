"""The commands as a person types them: what is written, what is said, how they end."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import pytest

from loopwright.checks.ledger.ledger import Ledger, LedgerEntry
from loopwright.cli.main import main
from loopwright.cli.options import parser
from loopwright.sheet import build
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS
from tests.wide_circuits import complete

SHORTED = '[branches]\nI1 = "a, +E1, b"\nI2 = "a, b"\nI3 = "a, R1, b"\n'

IN_TIME = """
[branches]
I1 = "a, +E1, S1, R1, b"
I2 = "b, C1, a"
I3 = "b, R2, a"
[switching]
S1 = "open -> closed"
"""


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bus.toml").write_text('title = "Bus"\n' + CHARGE_OR_HELP)
    return tmp_path


def run(*arguments: str) -> int:
    return main(list(arguments))


def test_a_sheet_is_written_beside_by_the_name_of_the_problem(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("sheet", "bus.toml") == 0
    assert capsys.readouterr().out == "bus.html\n"
    assert (here / "bus.html").read_text().startswith("<!DOCTYPE html>")


def test_each_form_asked_for_is_written_into_the_folder(here: Path) -> None:
    forms = ["--as", "html", "--as", "pdf", "--as", "tex", "--as", "md", "--as", "say"]
    assert run("sheet", "bus.toml", "-o", "out/", *forms) == 0
    assert sorted(p.name for p in (here / "out").iterdir()) == [
        "bus-figure.svg",
        "bus.html",
        "bus.md",
        "bus.pdf",
        "bus.tex",
        "bus.txt",
    ]
    assert (here / "out/bus.pdf").read_bytes().startswith(b"%PDF")


def test_the_ending_of_the_file_named_tells_the_form(here: Path) -> None:
    assert run("sheet", "bus.toml", "-o", "night.md") == 0
    assert (here / "night.md").read_text().startswith("# Bus")


def test_markdown_links_its_figure_beside_and_to_standard_output_tells_it_in_words(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("sheet", "bus.toml", "-o", "out/night.md") == 0
    assert capsys.readouterr().out == "out/night.md\nout/night-figure.svg\n"
    assert "](night-figure.svg)" in (here / "out/night.md").read_text()
    assert (here / "out/night-figure.svg").read_text().startswith("<svg ")
    assert run("sheet", "bus.toml", "--as", "md", "-o", "-") == 0
    assert "> Branch Ib" in capsys.readouterr().out


def test_an_edition_and_a_paper_may_be_asked_for(here: Path) -> None:
    assert run("sheet", "bus.toml", "--edition", "problem", "--paper", "letter", "-o", "out/bus.tex") == 0
    written = (here / "out/bus.tex").read_text()
    assert "letterpaper" in written
    assert "Equations" not in written


def test_standard_input_and_output(
    here: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(CHARGE_OR_HELP))
    assert run("sheet", "-", "--as", "say", "-o", "-") == 0
    assert "Equation one: I sub c equals I sub b plus I sub h." in capsys.readouterr().out


def test_warnings_of_a_file_and_of_standard_input_are_told_alike(
    here: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    unclear = CHARGE_OR_HELP + '[elements]\nR2 = "2R"\n'
    (here / "unclear.toml").write_text(unclear)
    monkeypatch.setattr(sys, "stdin", io.StringIO(unclear))
    assert run("loops", "unclear.toml") == run("loops", "-") == 0
    of_file, of_input = capsys.readouterr().err.splitlines()
    assert of_file.startswith("unclear.toml, line ")
    assert of_file.partition(",")[2] == of_input.partition(",")[2]


def test_two_forms_do_not_fit_standard_output(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("sheet", "bus.toml", "-o", "-", "--as", "md", "--as", "say") == 2
    assert "Only one form" in capsys.readouterr().err


def test_a_refuted_expectation_is_told_and_the_sheet_still_written(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "hope.toml").write_text('expect = ["Ih -> 0 as Rh -> 0"]\n' + CHARGE_OR_HELP)
    assert run("sheet", "hope.toml") == 1
    assert "Expectation not met: Refuted" in capsys.readouterr().err
    assert (here / "hope.html").exists()


def test_an_ill_posed_circuit_is_diagnosed_and_nothing_written(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "shorted.toml").write_text(SHORTED)
    before = sorted(here.iterdir())
    assert run("sheet", "shorted.toml") == 1
    assert "E1" in capsys.readouterr().err
    assert sorted(here.iterdir()) == before


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ('[branches]\nI1 = "a, E1, b"\n', "without a sign"),
        ('[branches\nI1 = "a"', "line 1"),
        ("", "branches"),
        ('[branches]\nI1 = "a, R1, b"\nI2 = "a, R2, c"\n', "no other branch does"),
    ],
)
def test_bad_files_get_plain_words_and_status_1(
    here: Path, content: str, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "bad.toml").write_text(content)
    for command in ("sheet", "limits", "loops", "figure"):
        assert run(command, "bad.toml") == 1
        error = capsys.readouterr().err
        assert told in error
        assert "Traceback" not in error


def test_a_missing_file_is_told(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("sheet", "nowhere.toml") == 1
    assert "nowhere.toml" in capsys.readouterr().err


def test_a_folder_that_cannot_be_written_is_told(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "in-the-way").write_text("a file, not a folder")
    assert run("sheet", "bus.toml", "-o", "in-the-way/sheet.html") == 1
    assert "in-the-way" in capsys.readouterr().err


def test_limits_are_told_in_words_with_both_routes(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("limits", "bus.toml", "--of", "Rh") == 0
    told = capsys.readouterr().out
    assert "Rh open: Ih vanishes; one loop is left, so Ic = (E1 − E2)/(R1 + R2) and Ib = Ic." in told
    assert told.count("both routes agree on 3 currents") == 2


def test_limits_too_long_to_print_are_told_by_their_agreement(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "all.toml").write_text(complete(5))
    assert run("limits", "all.toml", "--of", "R3") == 0
    told = capsys.readouterr().out.splitlines()
    assert told[:2] == ["R3 → 0:", "    both routes agree on 11 currents"]
    assert "too long to print" in told[-1]


def test_a_figure_that_would_take_for_ever_is_refused_with_the_mend(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "all.toml").write_text(complete(7))
    assert run("figure", "all.toml") == 1
    assert "[places]" in capsys.readouterr().err
    assert run("figure", "all.toml", "--words") == 0


def test_limits_of_a_stranger_are_refused(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("limits", "bus.toml", "--of", "R9") == 1
    assert "no element or symbol called R9" in capsys.readouterr().err


def test_loops_lists_every_loop_and_marks_the_usual_ones(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("loops", "bus.toml") == 0
    told = capsys.readouterr().out
    assert told.count("\n* ") == 2
    assert "3 currents: 1 junction + 2 loop equations (loops marked *) are enough." in told


def test_a_loop_is_named_by_what_it_passes_either_way_round(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("loops", "bus.toml", "--through", "rail", "E1", "R1", "bus", "R2", "E2") == 0
    assert capsys.readouterr().out.endswith("E1 − Ic R1 − Ib R2 − E2 = 0\n")
    assert run("loops", "bus.toml", "--through", "rail", "E2", "R2", "bus", "R1", "E1") == 0
    assert capsys.readouterr().out.endswith("E2 + Ib R2 + Ic R1 − E1 = 0\n")


def test_a_figure_is_drawn_or_told_in_words(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("figure", "bus.toml", "--loops", "--resistors", "ieee") == 0
    assert (here / "bus.svg").read_text().startswith("<svg")
    assert run("figure", "bus.toml", "--words") == 0
    assert "resistor Rh" in capsys.readouterr().out


def test_unknown_options_end_with_status_2(here: Path) -> None:
    for arguments in (["sheet"], ["sheet", "bus.toml", "--as", "doc"], ["solve", "bus.toml"]):
        with pytest.raises(SystemExit) as ended:
            main(arguments)
        assert ended.value.code == 2


def test_help_names_every_command_with_examples(capsys: pytest.CaptureFixture[str]) -> None:
    told = parser().format_help()
    for command in ("sheet", "limits", "loops", "figure"):
        assert f"loopwright {command}" in told
        with pytest.raises(SystemExit) as ended:
            main([command, "--help"])
        assert ended.value.code == 0
        shown = capsys.readouterr().out
        assert "examples:" in shown
        assert shown.startswith(f"usage: loopwright {command} [-h]")


def test_help_loads_no_heavy_library() -> None:
    code = (
        "import sys\nfrom loopwright.cli.main import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        "heavy = {'numpy', 'flint', 'typst', 'tomllib'} & set(sys.modules)\nsys.exit(bool(heavy))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, env={"PYTHONPATH": "src"})
    assert done.returncode == 0, done


def test_the_same_problem_gives_the_same_bytes(here: Path) -> None:
    (here / "again.toml").write_text(CHARGE_OR_HELP_IN_NUMBERS)
    outputs = []
    for seed in ("1", "2"):
        arguments = ["sheet", "again.toml", "-o", f"{seed}/", "--as", "html", "--as", "pdf", "--as", "say"]
        code = f"from loopwright.cli.main import main; raise SystemExit(main({arguments}))"
        source = str(Path(__file__).parents[3] / "src")
        subprocess.run(
            [sys.executable, "-c", code], check=True, env={"PYTHONPATH": source, "PYTHONHASHSEED": seed}
        )
        outputs.append([path.read_bytes() for path in sorted((here / seed).iterdir())])
    assert outputs[0] == outputs[1]


def test_a_broken_promise_of_ours_publishes_nothing_and_ends_with_status_3(
    here: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    failed = Ledger((LedgerEntry("power", "Power balance", "sum", "1 W is missing", False),))
    monkeypatch.setattr(build, "prove", lambda *_: failed)
    assert run("sheet", "bus.toml") == 3
    assert "1 W is missing" in capsys.readouterr().err
    assert not (here / "bus.html").exists()


LADDER = """
[branches]
I1 = "a, R1, c"
I2 = "c, R2, b"
[ladder]
from = "a, b"
to = "c, b"
repeated = "without end"
"""


def test_a_ladder_without_end_has_a_sheet(here: Path) -> None:
    (here / "ladder.toml").write_text(LADDER)
    assert run("sheet", "ladder.toml", "-o", "ladder.md") == 0
    assert r"\sqrt{R_{1}" in (here / "ladder.md").read_text()


@pytest.mark.parametrize("command", ["limits", "loops", "figure", "slips"])
def test_a_ladder_without_end_has_no_currents_for_other_commands(
    here: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    (here / "ladder.toml").write_text(LADDER)
    assert run(command, "ladder.toml") == 1
    assert "without end" in capsys.readouterr().err


def test_methods_are_compared_and_the_shortest_named(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("methods", "bus.toml") == 0
    told = capsys.readouterr().out
    assert "branch currents" in told
    assert "\nShortest: " in told


@pytest.mark.parametrize(
    "line", [("methods", "lamp.toml"), ("sheet", "lamp.toml", "--method", "loop currents")]
)
def test_methods_are_of_steady_circuits(
    here: Path, capsys: pytest.CaptureFixture[str], line: tuple[str, ...]
) -> None:
    (here / "lamp.toml").write_text(IN_TIME)
    assert run(*line) == 1
    assert "worked in one way of its own" in capsys.readouterr().err


def test_loops_in_time_name_the_voltage_of_each_storage(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "lamp.toml").write_text(IN_TIME)
    assert run("loops", "lamp.toml") == 0
    told = capsys.readouterr().out
    assert "E1 − I1 R1 − V(C1) = 0" in told
    assert "I2 = C1 dV(C1)/dt" in told
    assert "is fixed" not in told
    assert run("loops", "lamp.toml", "--through", "a", "E1", "S1", "R1", "b", "C1") == 0
    assert capsys.readouterr().out.endswith(": E1 − I1 R1 − V(C1) = 0\n")


def test_a_method_that_does_not_serve_is_told_with_the_reason(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "one.toml").write_text('[branches]\nI = "a, +E1, R1, a"\n')
    assert run("sheet", "one.toml", "--method", "loop currents") == 1
    assert (
        "The method of loop currents does not serve here: there are not two loops" in capsys.readouterr().err
    )


def test_an_expectation_on_a_limit_that_is_wrong_gives_status_one(here: Path) -> None:
    text = (here / "bus.toml").read_text("utf-8")
    (here / "wrong.toml").write_text('expect = ["Ih -> E1/R1 as Rh -> oo"]\n' + text, "utf-8")
    assert run("limits", "wrong.toml") == 1
