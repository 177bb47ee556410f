"""`loopwright read` as a person types it: one working, a folder of them, marks, forms, trouble.

The circuit of charger, battery and heater: 23 V behind 4 Ω, 18 V behind 3 Ω, and 5 Ω; the currents are
(Ic, Ib, Ih) = (2, −1, 3) A, worked by hand from Ic = Ib + Ih, 23 = 4 Ic + 5 Ih, 18 = 5 Ih − 3 Ib.
"""

from __future__ import annotations

import io
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from loopwright.cli import many_workings
from loopwright.cli.main import main
from loopwright.cli.many_workings import WorkingOutcome, WorkingSource, read_all
from loopwright.reading import judge
from loopwright.reading.faults import strict
from loopwright.slips.catalogue import CATALOGUE
from tests.architecture.source import ROOT

EXAMPLES = ROOT / "examples"
RIGHT = "Ic = Ib + Ih\nE1 - Ic R1 - Ih Rh = 0\nE2 + Ib R2 - Ih Rh = 0\nIc = 2.0 A\n"


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    shutil.copy(EXAMPLES / "charge-or-help.toml", "bus.toml")
    shutil.copytree(EXAMPLES / "workings", "workings")
    return tmp_path


def run(*arguments: str) -> int:
    return main(["read", "bus.toml", *arguments])


def test_a_right_working_with_other_arrows_is_right_in_every_line(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("workings/other-arrows.txt", "--mark", "ten") == 0
    shown = capsys.readouterr().out
    assert "✗" not in shown
    assert "Proposed mark, Ten points: 10 of 10" in shown


def test_a_working_in_latex_with_the_junction_put_in_is_right(here: Path) -> None:
    assert run("workings/typeset.tex") == 0


def test_the_first_wrong_line_is_found_and_what_follows_from_it_is_told(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("workings/wrong-from-line-four.txt", "--as", "json") == 1
    working = json.loads(capsys.readouterr().out)["workings"][0]
    assert working["first_untrue"] == 4
    standings = [line["standing"] for line in working["lines"]]
    assert standings[:3] == ["right"] * 3
    assert standings[3] == "not true"
    assert standings.count("not true") == 1
    assert standings[4:6] == ["not true, but follows"] * 2


def test_follow_on_credit_is_given_or_not(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    totals = []
    for more in ([], ["--no-follow-on"]):
        run("workings/wrong-from-line-four.txt", "--mark", "twenty", "--as", "json", *more)
        totals.append(json.loads(capsys.readouterr().out)["workings"][0]["mark"]["total"])
    assert totals[0] > totals[1]


def test_standard_input_gives_a_working(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(RIGHT))
    assert run("-") == 0


def test_problem_and_working_cannot_both_come_from_standard_input(here: Path) -> None:
    assert main(["read", "-", "-"]) == 2


def test_a_folder_is_read_in_order_with_a_summary(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("workings", "--mark", "ten", "--as", "html", "-o", "marked/") == 1
    rows = capsys.readouterr().out.splitlines()
    assert [row.split()[0] for row in rows[1:5]] == [
        "workings/half-way.txt", "workings/other-arrows.txt", "workings/typeset.tex",
        "workings/wrong-from-line-four.txt",
    ]  # fmt: skip
    assert "line 4" in rows[4]
    assert rows[5] == "3 of 4 right in every line"
    assert sorted(path.name for path in (here / "marked").iterdir()) == [
        "half-way-read.html", "other-arrows-read.html", "typeset-read.html", "wrong-from-line-four-read.html",
    ]  # fmt: skip


def test_every_form_is_written_and_the_working_itself_is_left_alone(here: Path) -> None:
    before = (here / "workings/typeset.tex").read_text()
    forms = [word for form in ("text", "json", "html", "pdf", "tex", "md", "say") for word in ("--as", form)]
    run("workings/typeset.tex", "-o", "workings/", *forms)
    assert sorted(path.name for path in (here / "workings").glob("*read*")) == [
        "readings.json", "typeset-read-aloud.txt", "typeset-read.html", "typeset-read.md",
        "typeset-read.pdf", "typeset-read.tex", "typeset-read.txt",
    ]  # fmt: skip
    assert (here / "workings/typeset.tex").read_text() == before


def test_the_ending_of_the_file_named_tells_the_form(here: Path) -> None:
    run("workings/typeset.tex", "-o", "night.html")
    assert (here / "night.html").read_text().startswith("<!DOCTYPE html>")


def test_several_forms_take_the_name_given_each_with_its_ending(here: Path) -> None:
    run("workings/typeset.tex", "-o", "night.x", "--as", "say", "--as", "json", "--as", "md")
    assert sorted(path.name for path in here.glob("night*")) == ["night-aloud.txt", "night.json", "night.md"]


def test_one_form_keeps_the_whole_name_given(here: Path) -> None:
    (here / "w.txt").write_text(RIGHT)
    run("w.txt", "-o", "night.page", "--as", "html")
    assert [path.name for path in here.glob("night*")] == ["night.page"]


def test_two_workings_of_one_name_get_two_pages(here: Path) -> None:
    for folder in ("a", "b"):
        (here / folder).mkdir()
        (here / folder / "w.txt").write_text(RIGHT)
    run("a/w.txt", "b/w.txt", "--as", "md", "-o", "out/")
    assert sorted(path.name for path in (here / "out").iterdir()) == ["w-read-2.md", "w-read.md"]


def test_bad_files_do_not_stop_the_others(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "latin.txt").write_bytes("Lösung: Ic = 2 A".encode("latin-1"))
    (here / "blank.txt").write_text("\n\n")
    (here / "good.txt").write_text(RIGHT)
    (here / "long.txt").write_text("Ic = 2 A\n" * 250_000)
    assert run("latin.txt", "none.txt", "blank.txt", "long.txt", "good.txt") == 1
    told = capsys.readouterr()
    assert told.err.splitlines() == [
        "latin.txt: the working is not UTF-8 text. Save it again as UTF-8.",
        "none.txt: the working cannot be read: no such file or directory. Look at the name and the folder.",
        "blank.txt: nothing stands in this working. Look at the file.",
        "long.txt: the working is longer than two million bytes. Look whether it is the right file.",
    ]
    assert told.out.endswith("1 of 5 right in every line\n")


def test_a_folder_without_workings_is_told(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "empty").mkdir()
    assert run("empty") == 1
    assert "no working is in this folder" in capsys.readouterr().err


def test_a_scheme_of_ones_own_is_read_from_its_file(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "week5.toml").write_text('title = "Week five"\n[points]\ncheck = 0\narrows = 3\n')
    run("workings/other-arrows.txt", "--mark", "week5.toml")
    assert "Proposed mark, Week five: 12 of 12" in capsys.readouterr().out


def test_a_faulty_scheme_is_told_with_its_line(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "week5.toml").write_text("[points]\nalgebar = 2\n")
    assert run("workings/other-arrows.txt", "--mark", "week5.toml") == 1
    assert "week5.toml, line 2, points.algebar" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "options", "status"),
    [
        ("Ic = 2.01 A", [], 1),
        ("Ic = 2.01 A", ["--tolerance", "1 %"], 0),
        ("Ic = 2,0 A", ["--decimal-comma"], 0),
        ("Ih = -3.0 A", [], 1),
        ("Ih = 3.0 A", ["--tolerance", "lots"], 2),
    ],
)
def test_how_numbers_are_judged_can_be_said(here: Path, text: str, options: list[str], status: int) -> None:
    (here / "w.txt").write_text(text + "\n")
    assert run("w.txt", *options) == status


def test_a_handout_in_prose_can_be_audited(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "handout.md").write_text(
        "# The bus\n\nAt the bus $I_c = I_b + I_h$. The heater takes $I_h = 3.0$ A, and the battery\n"
        "helps with $I_b = -1.0$ A. As $R_h \\to \\infty$ the heater is off: $I_b \\to I_c$.\n"
    )
    assert run("handout.md") == 0
    assert capsys.readouterr().out.count("✓") == 2


def test_many_at_a_time_give_the_same_bytes_in_the_same_order(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for number in range(6):
        (here / f"w{number}.txt").write_text(RIGHT.replace("2.0", f"{number}.0"))
    names = [f"w{number}.txt" for number in range(6)]
    shown = []
    for jobs in ("1", "2"):
        assert run(*names, "--jobs", jobs) == 1
        shown.append(capsys.readouterr().out)
    assert shown[0] == shown[1]
    assert shown[0].endswith("1 of 6 right in every line\n")


def test_a_fault_of_our_own_in_one_working_is_told_and_costs_no_other(
    here: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    made = many_workings._made

    def broken(job: many_workings.Job, source: WorkingSource, before: object) -> WorkingOutcome:
        if source.name == "bad.txt":
            raise ZeroDivisionError("by hand")
        return made(job, source, {})

    monkeypatch.setattr(many_workings, "_made", broken)
    (here / "bad.txt").write_text(RIGHT)
    (here / "good.txt").write_text(RIGHT)
    assert run("bad.txt", "good.txt") == 3
    told = capsys.readouterr()
    assert "bad.txt: Loopwright failed on this working (ZeroDivisionError: by hand)." in told.err
    assert "1 of 2 right in every line" in told.out


def test_nothing_is_read_when_there_is_nothing_to_read() -> None:
    assert list(read_all(None, [])) == []  # type: ignore[arg-type]


def test_progress_is_counted_on_a_terminal_only(
    here: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run("workings")
    assert "read" not in capsys.readouterr().err
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    run("workings")
    assert "\r4 of 4 read" in capsys.readouterr().err


@pytest.mark.slow
def test_a_stop_from_the_keyboard_leaves_whole_files_only(here: Path) -> None:
    (here / "many").mkdir()
    for number in range(150):
        (here / "many" / f"w{number:03}.txt").write_text((here / "workings/other-arrows.txt").read_text())
    words = [sys.executable, "-m", "loopwright", "read", "bus.toml", "many", "--as", "html", "-o", "out/"]
    where = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    with subprocess.Popen(
        words, stderr=subprocess.PIPE, text=True, start_new_session=True, env=where
    ) as running:
        for _ in range(600):
            if len(list(here.glob("out/*.html"))) > 2:
                break
            time.sleep(0.05)
        os.killpg(running.pid, signal.SIGINT)
        _, told = running.communicate(timeout=60)
    pages = sorted((here / "out").iterdir())
    assert running.returncode == 130, told
    assert 2 < len(pages) < 150
    assert all(page.read_text().endswith("</html>\n") for page in pages)
    assert "Stopped; nothing was left half written." in told
    assert "Traceback" not in told


def test_the_documentation_shows_what_the_command_prints(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run("workings/wrong-from-line-four.txt")
    example = (ROOT / "docs/marking.md").read_text().split("```text\n")[1].split("```")[0]
    assert example in capsys.readouterr().out


def test_a_fault_of_ours_in_one_line_costs_that_line_and_is_told(
    here: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise LookupError("put in on purpose")

    monkeypatch.setattr(judge, "untrue", fail)
    token = strict.set(False)
    try:
        status = run("workings/wrong-from-line-four.txt", "--as", "json")
    finally:
        strict.reset(token)
    out, err = capsys.readouterr()
    (working,) = json.loads(out)["workings"]
    assert status == 3
    assert [line["standing"] for line in working["lines"]][:4] == ["right"] * 3 + ["not decided"]
    assert "failed on a part of this working (LookupError: put in on purpose" in err


def test_the_summary_names_the_slips_in_words(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("one.txt", "two.txt"):
        (here / "workings" / name).write_text(RIGHT.replace("+ Ib R2", "- Ib R2"))
    assert run("workings/one.txt", "workings/two.txt") == 1
    (row,) = [r for r in capsys.readouterr().out.splitlines() if r.startswith("workings/one.txt  ")]
    assert CATALOGUE["drop-sign"].name in row
    assert "drop-sign" not in row


def test_the_rest_of_a_working_is_written_below_it(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("workings/half-way.txt", "--finish") == 0
    shown = capsys.readouterr().out
    assert "One loop equation is missing." in shown
    assert "Ib = −y2 = −1 A" in shown


def test_the_next_step_alone_is_told_at_the_level_asked(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run("workings/half-way.txt", "--what-next", "1")
    assert capsys.readouterr().out == "A loop equation is missing.\n"
    run("workings/half-way.txt", "--what-next", "4", "--as", "json")
    assert json.loads(capsys.readouterr().out)["workings"][0]["rest"]["next"].startswith("23 − 4 y1")


def test_the_rest_is_not_told_on_a_page_nor_twice(here: Path) -> None:
    assert run("workings/half-way.txt", "--finish", "--as", "html", "-o", "x.html") == 2
    assert run("workings/half-way.txt", "--finish", "--what-next", "2") == 2
