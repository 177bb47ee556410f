"""The source for Beamer: every stage an overlay, no frame longer than its room, set by pdflatex."""

from __future__ import annotations

import re
import shutil
import subprocess
from functools import cache
from pathlib import Path

import pytest

from loopwright.board.beamer import MOST, groups, write
from loopwright.board.plan import board
from loopwright.board.stage import Plan
from loopwright.problem.problem_file import read, read_text
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS

EXAMPLES = Path(__file__).parents[3] / "examples"
HAS_BEAMER = (
    shutil.which("kpsewhich") is not None
    and subprocess.run(["kpsewhich", "beamer.cls"], capture_output=True, check=False).returncode == 0
)


@cache
def lecture() -> Plan:
    found, _ = read_text('title = "A bus & 50 % #1"\n' + CHARGE_OR_HELP_IN_NUMBERS)
    assert found is not None
    return board(found)


def test_every_stage_is_an_overlay_once_and_in_order() -> None:
    made = groups(lecture())
    assert [stage for group in made for stage in group] == list(lecture().stages)
    assert max(map(len, made)) <= MOST
    counts = [int(n) for n in re.findall(r"\\begin\{frame\}<1-(\d+)>", write(lecture()))]
    assert counts == [len(group) for group in made]


def test_arrows_come_down_one_by_one_and_words_go_into_the_notes() -> None:
    source = write(lecture())
    arrows = next(frame for frame in source.split("\\begin{frame}") if "{Arrows}" in frame)
    assert {"\\visible<2-4>", "\\visible<3-4>"} <= set(re.findall(r"\\visible<[\d,-]+>", arrows))
    assert "\\note<4>{Which way do you expect I sub b to run?}" in arrows
    assert r"A bus \& 50 \% \#1" in source


@pytest.mark.slow
@pytest.mark.skipif(not HAS_BEAMER, reason="the class beamer is not installed")
@pytest.mark.parametrize(
    ("name", "shape"), [("charge-or-help", "16:9"), ("charge-or-help", "4:3"), ("harbour-light", "16:9")]
)
def test_pdflatex_sets_every_overlay(name: str, shape: str, tmp_path: Path, pdfinfo: str) -> None:
    plan = board(read(EXAMPLES / f"{name}.toml"))
    (tmp_path / "board.tex").write_text(write(plan, shape=shape), encoding="utf-8")
    command = ["pdflatex", "-interaction=nonstopmode", "-halt-on-error", "board.tex"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, check=False)
    log = (tmp_path / "board.log").read_text(encoding="utf-8", errors="replace")
    assert done.returncode == 0, log[-2000:]
    assert f"({len(plan.stages)} pages" in log
    assert "Overfull \\vbox" not in log
    told = subprocess.run([pdfinfo, "board.pdf"], cwd=tmp_path, capture_output=True, text=True, check=True)
    size = re.search(r"Page size: +([\d.]+) x ([\d.]+)", told.stdout)
    assert size is not None
    wide, high = map(int, shape.split(":"))
    assert float(size[1]) / float(size[2]) == pytest.approx(wide / high, rel=0.001)
