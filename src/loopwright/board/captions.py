"""Captions and chapters of a lecture as WebVTT, timed by when its stages are shown.

A caption holds at most two lines of 42 signs, which is what a reader takes in (common practice, no source);
within a stage the time is shared by the number of words. Format: W3C, WebVTT: The Web Video Text Tracks
Format.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from html import escape

from .timeline import Showing, chapters_of

LINE = 42  # signs of a line
LINES = 2  # of a caption

_CLAUSE = re.compile(r"(?<=[.?!:;,])\s+")


def captions(showings: Sequence[Showing]) -> str:
    """What is said while the stages are shown, as WebVTT."""
    return _as_cues(said(showings))


def chapters(showings: Sequence[Showing]) -> str:
    """The chapters, as WebVTT: each from its first stage to that of the next."""
    return _as_cues((start, end, title) for title, start, end in chapters_of(showings))


def _as_cues(cues: Iterable[tuple[float, float, str]]) -> str:
    told = [
        f"{at}\n{_time(start)} --> {_time(end)}\n{escape(text, quote=False)}\n"
        for at, (start, end, text) in enumerate(cues, 1)
    ]
    return "WEBVTT\n\n" + "\n".join(told)


def said(showings: Sequence[Showing]) -> list[tuple[float, float, str]]:
    """Every caption with when it stands, in order. One of a stage passed on the way that would stand for less
    than a thousandth of a second is left out, since none may last no time."""
    found = [caption for showing in showings if showing.spoken for caption in shares(showing)]
    return [caption for caption in found if thousandths(caption[0]) < thousandths(caption[1])]


def thousandths(seconds: float) -> int:
    """A time in whole thousandths of a second, which is as fine as WebVTT has it."""
    return round(seconds * 1000)


def shares(showing: Showing) -> Iterator[tuple[float, float, str]]:
    """The captions of a stage with when they stand: from its first word to the silence after its last."""
    pieces = list(pieces_of(showing.stage.words))
    words = sum(len(piece.split()) for piece in pieces)
    at, spoken = showing.start, showing.words_end - showing.start
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
    minutes, rest = divmod(thousandths(seconds), 60_000)
    return f"{minutes // 60:02}:{minutes % 60:02}:{rest // 1000:02}.{rest % 1000:03}"
