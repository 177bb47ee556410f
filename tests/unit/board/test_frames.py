"""Slides, notes and frames: every stage once, in order, told apart as on the board, the same bytes again."""

from __future__ import annotations

import re
import shutil
import struct
import subprocess
from functools import cache
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from loopwright.board.frame_figure import figure_at
from loopwright.board.frames import frames, notes, settled, slides
from loopwright.board.plan import board
from loopwright.board.stage import Became, FigureState, Plan, SceneChange, changes
from loopwright.problem.problem_file import read_text
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS

needs_poppler = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
ACTS = '[board]\nacts = ["circuit", "question", "arrows", "equations"]\n'
BOTH_SHAPES = pytest.mark.parametrize(("shape", "more"), [("16:9", ""), ("4:3", ACTS)], ids=["16:9", "4:3"])


@cache
def lecture(more: str = "") -> Plan:
    found, findings = read_text('title = "A bus & <b>#more</b>"\n' + CHARGE_OR_HELP_IN_NUMBERS + more)
    assert found is not None, findings
    return board(found)


def pages(content: bytes, tmp_path: Path) -> list[str]:
    path = tmp_path / "made.pdf"
    path.write_bytes(content)
    told = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True)
    return told.stdout.split("\f")[:-1]


@needs_poppler
@BOTH_SHAPES
def test_slides_have_one_page_a_stage_and_the_same_bytes_again(shape: str, more: str, tmp_path: Path) -> None:
    plan = lecture(more)
    made = slides(plan, shape=shape)
    found = pages(made, tmp_path)
    assert [re.findall(r"(\d+) of (\d+)", page)[0] for page in found] == [
        (str(stage.number), str(len(plan.stages))) for stage in plan.stages
    ]
    assert all("A bus & <b>#more</b>" in page for page in found)
    asked = next(stage.number for stage in plan.stages if stage.words.startswith("Which way do you expect"))
    assert "Which way do you expect" in found[asked - 1]
    assert slides(plan, shape=shape) == made
    sizes = {tuple(map(float, size)) for size in re.findall(rb"/MediaBox ?\[0 0 ([\d.]+) ([\d.]+)\]", made)}
    ((width, height),) = sizes
    wide, high = map(int, shape.split(":"))
    assert width / height == pytest.approx(wide / high, rel=0.001)


@needs_poppler
@BOTH_SHAPES
def test_notes_hold_four_frames_a_page_and_leave_out_what_only_grows(
    shape: str, more: str, tmp_path: Path
) -> None:
    plan = lecture(more)
    kept = settled(plan)
    assert kept[-1] is plan.stages[-1]
    left_out = [one for one in plan.stages if one not in kept]
    assert len(left_out) > 5
    for one, after in pairwise(plan.stages):
        if one in left_out:
            kinds = {kind for kind, _ in changes(one.scene, after.scene)}
            assert kinds <= {SceneChange.GROWN, SceneChange.ARROW}
    found = pages(notes(plan, shape=shape), tmp_path)
    assert len(found) == -(-len(kept) // 4)
    numbers = [int(n) for page in found for n in re.findall(rf"(\d+) of {len(plan.stages)}", page)]
    assert sorted(numbers) == [stage.number for stage in kept]


def test_frames_are_pictures_of_one_size_in_the_order_of_the_stages() -> None:
    plan = lecture(ACTS)
    drawn = frames(plan, "svg")
    assert len(drawn) == len(plan.stages)
    sizes = {(e.get("width"), e.get("height")) for e in map(ElementTree.fromstring, drawn)}
    assert len(sizes) == 1
    assert len(set(drawn)) == len(drawn)
    pictures = frames(plan, "png", look="light")
    assert {struct.unpack(">II", picture[16:24]) for picture in pictures} == {(1920, 1080)}
    narrow = frames(plan, "png", shape="4:3")
    assert {struct.unpack(">II", picture[16:24]) for picture in narrow} == {(1440, 1080)}


def test_a_figure_shows_what_is_down_and_lit_and_what_became_of_an_element() -> None:
    figure = lecture().figures["figure-1"]
    bare = figure_at(figure, FigureState("figure-1"), (), "dark")
    assert ('class="arrow' in bare, 'class="loop' in bare, "faded" in bare.split("</style>")[1]) == (
        False,
    ) * 3
    state = FigureState("figure-1", ("Ic",), ("(2)",), (("Rh", Became.GAP), ("R2", Became.WIRE)))
    shown = figure_at(figure, state, [("element", "R1"), ("element", "Rh")], "dark")
    groups = re.findall(r'<g class="([^"]+)" data-of="([^"]*)">', shown)
    assert [name for kind, name in groups if kind.startswith("arrow")] == ["Ic"]
    assert [name for kind, name in groups if kind.startswith("loop")] == ["(2)"]
    assert {
        name: kind for kind, name in groups if kind.startswith(("element", "bridge")) and " " in kind
    } == {
        "R1": "element lit",
        "Rh": "element faded lit",
        "R2": "element faded",
    }
    assert ("bridge", "R2") in groups
