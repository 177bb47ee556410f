"""When which stage is shown: as reckoned, or as somebody showed it.

The page writes down when each stage came on (key T) into a file of our own, JSON with the keys

    lecture   the title
    stages    how many there are
    mark      a mark of all that is said, by which the file is known to be of this lecture
    shown     pairs of the seconds since the start and the number of the stage that came on then
    seconds   when the run was over

A stage may come on more than once; it is spoken of where it stood longest.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from itertools import pairwise

from ..errors import FaultyMaterial
from ..findings import Finding, Place
from .stage import BoardStage, Plan

LONGEST = 86_400  # seconds
SHORTEST = 0.05  # seconds: what stood shorter was only passed on the way to another stage


@dataclass(frozen=True, slots=True)
class Showing:
    """A stage on the board from `start` to `end`, in seconds. `spoken`: whether its words are said here;
    `words_end`: when they are over, for a silence may follow."""

    stage: BoardStage
    start: float
    end: float
    spoken: bool
    words_end: float


def planned(plan: Plan) -> tuple[Showing, ...]:
    """Every stage once, as long as is reckoned."""
    found: list[Showing] = []
    at = 0.0
    for stage in plan.stages:
        end = at + stage.seconds
        found.append(Showing(stage, at, end, True, end - stage.pause))
        at = end
    return tuple(found)


def mark_of(plan: Plan) -> str:
    """A short mark of all that is said in a lecture."""
    return sha256("\n".join(stage.words for stage in plan.stages).encode()).hexdigest()[:16]


def recorded(plan: Plan, text: str, file: str = "") -> tuple[Showing, ...]:
    """The stages as they were shown in a run. Raises FaultyMaterial for what is no file of a run, and for the
    run of another lecture."""
    shown, end = _read(plan, text, file)
    spans = [
        (plan.stages[number - 1], start, after)
        for (start, number), (after, _) in pairwise([*shown, (end, 0)])
        if after - start >= SHORTEST
    ]
    longest: dict[int, float] = {}
    for stage, start, after in spans:
        longest[stage.number] = max(longest.get(stage.number, 0.0), after - start)
    found: list[Showing] = []
    for stage, start, after in spans:
        spoken = longest.get(stage.number) == after - start
        if spoken:
            del longest[stage.number]
        share = 1 - stage.pause / stage.seconds if stage.seconds else 1.0
        found.append(Showing(stage, start, after, spoken, start + share * (after - start)))
    return tuple(found)


def chapters_of(showings: Sequence[Showing]) -> list[tuple[str, float, float]]:
    """The chapters in the order in which they were shown, each with its start and its end; what was only
    looked back at opens no chapter."""
    starts: list[tuple[str, float]] = []
    for showing in showings:
        if showing.spoken and (not starts or starts[-1][0] != showing.stage.chapter):
            starts.append((showing.stage.chapter, showing.start))
    ends = [start for _, start in starts[1:]] + [showings[-1].end if showings else 0.0]
    return [(title, start, end) for (title, start), end in zip(starts, ends, strict=True)]


def _read(plan: Plan, text: str, file: str) -> tuple[list[tuple[float, int]], float]:
    """What came on when, in order, and the end of the run."""
    try:
        held = json.loads(text)
    except (ValueError, RecursionError):
        held = None
    if not isinstance(held, dict) or not {"mark", "shown", "seconds"} <= held.keys():
        raise _no_run("This is no file of times of a board.", file)
    if held["mark"] != mark_of(plan):
        why = "These are the times of another lecture, or of this one before it changed."
        mend = "Give the same --method and --minutes as for the page, or make the page anew and run it again."
        raise FaultyMaterial(Finding("board/other-run", why, mend, Place(file)))
    shown, end, before = held["shown"], held["seconds"], 0.0
    if not isinstance(shown, list) or not shown or not _is_time(end):
        raise _no_run("This run shows no stage.", file)
    for pair in shown:
        fits = isinstance(pair, list) and len(pair) == 2 and _is_time(pair[0]) and type(pair[1]) is int
        if not fits or not before <= pair[0] <= end or not 1 <= pair[1] <= len(plan.stages):
            why = "The times of this run do not follow one another, or name a stage that there is not."
            raise _no_run(why, file)
        before = pair[0]
    first = float(shown[0][0])
    return [(float(time) - first, number) for time, number in shown], float(end) - first


def _is_time(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value <= LONGEST


def _no_run(why: str, file: str) -> FaultyMaterial:
    mend = "Press T on the page at the start of a run and T again at its end, and give the file saved then."
    return FaultyMaterial(Finding("board/no-run", why, mend, Place(file)))
