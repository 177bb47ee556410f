"""Captions and chapters of a lecture as WebVTT, timed by its stages.

A caption holds at most two lines of 42 signs, which is what a reader takes in (common practice, no source);
within a stage the time is shared by the number of words. Format: W3C, WebVTT: The Web Video Text Tracks
Format.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from html import escape

from .stage import BoardStage, Plan

LINE = 42  # signs of a line
LINES = 2  # of a caption

_CLAUSE = re.compile(r"(?<=[.?!:;,])\s+")


def captions(plan: Plan) -> str:
    """What is said, as WebVTT."""
    cues: list[str] = []
    at = 0.0
    for stage in plan.stages:
        for start, end, text in _shares(stage, at):
            cues.append(f"{len(cues) + 1}\n{_time(start)} --> {_time(end)}\n{escape(text, quote=False)}\n")
        at += stage.seconds
    return "WEBVTT\n\n" + "\n".join(cues)


def chapters(plan: Plan) -> str:
    """The chapters, as WebVTT: each from its first stage to that of the next."""
    starts = [(title, plan.starts(plan.stages[number - 1])) for title, number in plan.chapters]
    ends = [start for _, start in starts[1:]] + [plan.seconds]
    cues = [
        f"{at}\n{_time(start)} --> {_time(end)}\n{escape(title, quote=False)}\n"
        for at, ((title, start), end) in enumerate(zip(starts, ends, strict=True), 1)
    ]
    return "WEBVTT\n\n" + "\n".join(cues)


def _shares(stage: BoardStage, at: float) -> Iterator[tuple[float, float, str]]:
    """The captions of a stage with when they stand: from its first word to the silence after its last."""
    pieces = list(pieces_of(stage.words))
    words = sum(len(piece.split()) for piece in pieces)
    spoken = stage.seconds - stage.pause
    done = 0
    for piece in pieces:
        count = len(piece.split())
        start, end = at + spoken * done / words, at + spoken * (done + count) / words
        done += count
        yield start, end, piece


def pieces_of(words: str) -> Iterator[str]:
    """A text in pieces of at most two lines, broken where a clause ends if that leaves none too short."""
    waiting = ""
    for clause in _CLAUSE.split(words.strip()):
        joined = f"{waiting} {clause}".strip()
        if len(_lines(joined)) <= LINES:
            waiting = joined
            continue
        if waiting:
            yield "\n".join(_lines(waiting))
        *whole, rest = _chunks(clause)
        yield from whole
        waiting = rest.replace("\n", " ")
    if waiting:
        yield "\n".join(_lines(waiting))


def _chunks(text: str) -> list[str]:
    lines = _lines(text)
    return ["\n".join(lines[at : at + LINES]) for at in range(0, len(lines), LINES)]


def _lines(text: str) -> list[str]:
    return textwrap.wrap(text, LINE, break_long_words=False, break_on_hyphens=False)


def _time(seconds: float) -> str:
    """A time as WebVTT has it: hours, minutes, seconds and thousandths."""
    thousandths = round(seconds * 1000)
    minutes, rest = divmod(thousandths, 60_000)
    return f"{minutes // 60:02}:{minutes % 60:02}:{rest // 1000:02}.{rest % 1000:03}"
