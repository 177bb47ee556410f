"""When which stage is shown: as reckoned, and as it was in a run that the page noted."""

from __future__ import annotations

import json
from functools import cache
from itertools import pairwise

import pytest

from loopwright.board.captions import captions, shares
from loopwright.board.plan import board
from loopwright.board.stage import Plan
from loopwright.board.timeline import chapters_of, mark_of, planned, recorded
from loopwright.errors import FaultyMaterial
from loopwright.problem.problem_file import read_text
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS


@cache
def lecture() -> Plan:
    found, _ = read_text(CHARGE_OR_HELP_IN_NUMBERS)
    assert found is not None
    return board(found)


def run(shown: object, seconds: object = 900, mark: str = "") -> str:
    return json.dumps({"mark": mark or mark_of(lecture()), "shown": shown, "seconds": seconds})


def test_as_reckoned_the_stages_follow_one_another_for_the_whole_lecture() -> None:
    showings = planned(lecture())
    assert [s.stage for s in showings] == list(lecture().stages)
    assert all(one.end == other.start for one, other in pairwise(showings))
    assert showings[-1].end == pytest.approx(lecture().seconds)


def test_a_run_gives_its_own_times() -> None:
    showings = recorded(lecture(), run([[0, 1], [7.5, 2], [9.25, 3]], 20))
    assert [(s.stage.number, s.start, s.end) for s in showings] == [
        (1, 0, 7.5),
        (2, 7.5, 9.25),
        (3, 9.25, 20),
    ]
    for showing in showings:
        found = list(shares(showing))
        assert found[0][0] == showing.start
        assert found[-1][1] == pytest.approx(showing.words_end)
        assert showing.words_end <= showing.end


def test_what_was_looked_back_at_is_spoken_once_where_it_stood_longest() -> None:
    shown = [[0, 1], [1, 2], [9, 3], [12, 2], [13, 3], [40, 4]]
    showings = recorded(lecture(), run(shown, 50))
    assert [(s.stage.number, s.start) for s in showings if s.spoken] == [(1, 0), (2, 1), (3, 13), (4, 40)]
    told = " ".join(line for line in captions(showings).split("\n") if line and "-->" not in line)
    assert told.count("To find") == 1


def test_a_stage_passed_on_the_way_to_another_is_not_shown() -> None:
    showings = recorded(lecture(), run([[0, 1], [5, 2], [5.01, 3], [5.02, 4]], 30))
    assert [s.stage.number for s in showings] == [1, 4]


def test_chapters_follow_the_run_and_looking_back_opens_none() -> None:
    numbers = [number for _, number in lecture().chapters]
    shown = [[10 * k, number] for k, number in enumerate(numbers)]
    shown[3:3] = [[25, numbers[1]]]
    found = chapters_of(recorded(lecture(), run(shown, 200)))
    assert [title for title, _, _ in found] == [title for title, _ in lecture().chapters]
    assert all(one[2] == other[1] for one, other in pairwise(found))


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "board/no-run"),
        ("[" * 100_000, "board/no-run"),
        ("[1, 2]", "board/no-run"),
        (run([[0, 1]], mark="0"), "board/other-run"),
        (run([]), "board/no-run"),
        (run([[0, 99999]]), "board/no-run"),
        (run([[5, 1], [4, 2]]), "board/no-run"),
        (run([[0, True]]), "board/no-run"),
        (run([["0", 1]]), "board/no-run"),
        (run([[0, 1]], seconds=None), "board/no-run"),
        (run([[0, 1]], seconds=1e99), "board/no-run"),
        (run([[5, 1]], seconds=4), "board/no-run"),
    ],
)
def test_what_is_no_run_of_this_lecture_is_told_with_file_and_mend(text: str, code: str) -> None:
    with pytest.raises(FaultyMaterial) as caught:
        recorded(lecture(), text, "times.json")
    finding = caught.value.findings[0]
    assert (finding.code, finding.place.file, bool(finding.mend)) == (code, "times.json", True)
