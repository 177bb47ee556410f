"""A film, read again by the library's decoders: every stage in its place, for its time, and its captions."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cache
from html import unescape
from io import BytesIO
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
from numpy.typing import NDArray

from loopwright.board.captions import captions
from loopwright.board.film import film
from loopwright.board.frames import frames
from loopwright.board.plan import board
from loopwright.board.stage import Plan
from loopwright.board.timeline import Showing, chapters_of, mark_of, planned, recorded
from loopwright.cli.main import main
from loopwright.problem.problem_file import read_text
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS

BUS = (
    'title = "A bus & <b>more</b>"\n' + CHARGE_OR_HELP_IN_NUMBERS + '[board]\nacts = ["circuit", "arrows"]\n'
)
Grey = NDArray[np.int16]


@cache
def lecture() -> Plan:
    found, findings = read_text(BUS)
    assert found is not None, findings
    return board(found)


@cache
def made() -> bytes:
    return film(lecture(), planned(lecture()))


def pictures(content: bytes) -> list[tuple[float, float, Grey]]:
    """Every picture of a film or a PNG: its start and its length in seconds, and every ninth of its greys."""
    with av.open(BytesIO(content), "r") as file:
        return [
            (
                frame.time,
                float((frame.duration or 0) * (frame.time_base or 0)),
                frame.reformat(format="gray").to_ndarray()[::3, ::3].astype(np.int16),
            )
            for frame in file.decode(video=0)
        ]


def cues(content: bytes) -> list[tuple[float, float, str]]:
    """Every caption of a film or of WebVTT: its start and its length in seconds, and its words."""
    with av.open(BytesIO(content), "r") as file:
        packets = [packet for packet in file.demux(subtitles=0) if packet.pts is not None]
        timed = "mp4" in file.format.name
    found = []
    for packet in packets:
        words = bytes(packet)[2:] if timed else bytes(packet)
        if words:  # in timed text, silence is a caption without words
            lasts = float((packet.duration or 0) * packet.time_base)
            found.append((float((packet.pts or 0) * packet.time_base), lasts, words.decode()))
    return found


@cache
def originals() -> list[Grey]:
    return [pictures(png)[0][2] for png in frames(lecture(), "png")]


def nearest(picture: Grey, among: Sequence[Grey]) -> int:
    return int(np.argmin([np.abs(picture - other).mean() for other in among]))


def test_every_stage_stands_in_its_order_for_its_time() -> None:
    shown, stages = pictures(made()), lecture().stages
    assert [lasts for _, lasts, _ in shown] == pytest.approx([stage.seconds for stage in stages], abs=0.002)
    with av.open(BytesIO(made()), "r") as file:
        assert (file.duration or 0) / 1e6 == pytest.approx(lecture().seconds, abs=0.1)
    assert len({grey.tobytes() for _, _, grey in shown}) == len(stages)
    assert [nearest(grey, originals()) for _, _, grey in shown] == list(range(len(stages)))


def test_its_captions_are_those_of_webvtt_and_its_chapters_those_of_the_lecture() -> None:
    expected = cues(captions(planned(lecture())).encode())
    found = cues(made())
    assert [words for _, _, words in found] == [unescape(words) for _, _, words in expected]
    assert [(at, lasts) for at, lasts, _ in found] == [(at, lasts) for at, lasts, _ in expected]
    with av.open(BytesIO(made()), "r") as file:
        told = [(chapter["metadata"]["title"], chapter["start"]) for chapter in file.chapters()]
        assert file.metadata["title"] == lecture().title
    chapters = chapters_of(planned(lecture()))
    assert told == [(title, round(start * 1000)) for title, start, _ in chapters]


def test_it_is_the_same_bytes_again_without_a_date_or_the_name_of_an_encoder(tmp_path: Path) -> None:
    problem, path = tmp_path / "bus.toml", tmp_path / "bus.mp4"
    problem.write_text(BUS, encoding="utf-8")
    assert main(["board", str(problem), "--make", "film", "-o", str(path)]) == 0
    assert path.read_bytes() == made()
    assert not [stamp for stamp in (b"Lavf", b"Lavc", b"x264") if stamp in made()]
    header = made().index(b"mvhd") + 8  # after its name, version and flags
    assert made()[header : header + 8] == bytes(8)  # when it was made and changed (ISO/IEC 14496-12)


def test_it_follows_a_run_with_a_stage_that_was_looked_back_at() -> None:
    run: dict[str, Any] = {"mark": mark_of(lecture()), "shown": [[3, 1], [13, 2], [33, 1], [34.5, 3]]}
    showings: Sequence[Showing] = recorded(lecture(), json.dumps({**run, "seconds": 60}))
    content = film(lecture(), showings)
    shown = pictures(content)
    assert [(at, lasts) for at, lasts, _ in shown] == [(0, 10), (10, 20), (30, 1.5), (31.5, 25.5)]
    assert [nearest(grey, originals()) for _, _, grey in shown] == [0, 1, 0, 2]
    assert [words for *_, words in cues(content)] == [
        unescape(words) for *_, words in cues(captions(showings).encode())
    ]


def test_in_the_narrower_shape_it_shows_the_narrower_frames_for_the_same_time() -> None:
    content = film(lecture(), planned(lecture()), shape="4:3")
    with av.open(BytesIO(content), "r") as file:
        assert (file.streams.video[0].width, file.streams.video[0].height) == (1440, 1080)
    narrow = [pictures(png)[0][2] for png in frames(lecture(), "png", shape="4:3")]
    shown = pictures(content)
    assert [nearest(grey, narrow) for *_, grey in shown] == list(range(len(narrow)))
    assert [lasts for _, lasts, _ in shown] == [lasts for _, lasts, _ in pictures(made())]
    assert cues(content) == cues(made())
