"""Captions: everything that is said, in order, two short lines at a time, and read by a browser's parser."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from functools import cache
from html import unescape
from itertools import pairwise

import pytest

from loopwright.board.captions import LINE, captions, chapters, pieces_of
from loopwright.board.plan import board
from loopwright.board.stage import Plan
from loopwright.board.timeline import Showing, planned
from loopwright.problem.problem_file import read_text
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS

_TIME = r"(\d\d):(\d\d):(\d\d\.\d{3})"
_CUE = re.compile(rf"\d+\n{_TIME} --> {_TIME}\n(.+?)\n(?:\n|$)", re.DOTALL)


@cache
def lecture() -> Plan:
    found, _ = read_text('title = "A bus & <b>more</b>"\n' + CHARGE_OR_HELP_IN_NUMBERS)
    assert found is not None
    return board(found)


def seconds(hours: str, minutes: str, rest: str) -> float:
    return round(int(hours) * 3600 + int(minutes) * 60 + float(rest), 3)


def cues(text: str) -> list[tuple[float, float, str]]:
    found = [match.groups() for match in _CUE.finditer(text)]
    return [(seconds(*times[:3]), seconds(*times[3:6]), unescape(times[6])) for times in found]


def test_captions_say_every_word_in_order_and_no_other() -> None:
    told = " ".join(said for _, _, said in cues(captions(planned(lecture()))))
    assert told.split() == " ".join(stage.words for stage in lecture().stages).split()


def test_captions_follow_one_another_and_end_within_the_lecture() -> None:
    found = cues(captions(planned(lecture())))
    assert all(start < end for start, end, _ in found)
    assert all(one[1] <= other[0] for one, other in pairwise(found))
    assert found[-1][1] <= lecture().seconds


def test_a_caption_is_two_lines_that_can_be_read_at_a_glance() -> None:
    text = [said for _, _, said in cues(captions(planned(lecture())))]
    assert max(said.count("\n") for said in text) == 1
    assert max(len(line) for said in text for line in said.split("\n")) <= LINE


def test_a_caption_begins_with_its_stage() -> None:
    starts = {round(start, 2) for start, _, _ in cues(captions(planned(lecture())))}
    assert {round(lecture().starts(stage), 2) for stage in lecture().stages} <= starts


def test_a_text_is_broken_where_a_clause_ends() -> None:
    words = "The junction rule at bus: what flows in flows out. The charger carries what the others take."
    assert next(pieces_of(words)) == "The junction rule at bus: what flows in\nflows out."


def test_chapters_cover_the_whole_lecture() -> None:
    found = cues(chapters(planned(lecture())))
    assert (found[0][0], round(found[-1][1], 2)) == (0, round(lecture().seconds, 2))
    assert [one[1] for one in found[:-1]] == [other[0] for other in found[1:]]
    assert [said for _, _, said in found] == [title for title, _ in lecture().chapters]


@pytest.mark.slow
@pytest.mark.parametrize("write", [captions, chapters])
def test_a_browser_reads_every_caption(write: Callable[[Sequence[Showing]], str], chromium: str) -> None:
    playwright = pytest.importorskip("playwright.sync_api")
    text = write(planned(lecture()))
    script = """async (text) => {
      const video = document.createElement('video'), track = document.createElement('track');
      track.src = URL.createObjectURL(new Blob([text], {type: 'text/vtt'}));
      const loaded = new Promise((done, failed) => { track.onload = done; track.onerror = failed; });
      video.append(track); document.body.append(video); track.track.mode = 'hidden';
      await loaded;
      const cues = [...track.track.cues];
      return JSON.stringify(cues.map(c => [c.startTime, c.endTime, c.getCueAsHTML().textContent]));
    }"""
    with playwright.sync_playwright() as started:
        browser = started.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        read = json.loads(browser.new_page().evaluate(script, text))
        browser.close()
    assert read == [list(cue) for cue in cues(text)]
