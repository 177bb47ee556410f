"""What a person wishes of the lecture on a circuit: which parts, by which methods, how long, in whose words.

Words only, as they stand under [board] in a problem file; what each comes to is for `board`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

ACTS = (
    "circuit",
    "question",
    "arrows",
    "equations",
    "working",
    "results",
    "numbers",
    "limits",
    "checks",
)  # in the order of `board.stage.LectureAct`
NEEDS = {
    "arrows": "circuit",
    "equations": "arrows",
    "working": "equations",
    "results": "working",
    "numbers": "working",
    "limits": "working",
}  # an act -> the one that has to come before it
GAPS = ("equations", "results", "numbers")  # acts whose lines a handout leaves empty
LOOKS = ("dark", "light")
SHAPES = ("16:9", "4:3")  # of the frame, the usual one first
MINUTES, WORDS_A_MINUTE, PAUSE = 10.0, 130, 4.0  # where nothing is said


@dataclass(frozen=True, slots=True)
class BoardWishes:
    """The wishes of one lecture; each is empty or None where nothing is said. `acts`: the parts, in order.
    `methods`: by which the circuit is worked, one after another. `minutes`: how long it may take, 0 for as
    long as it takes; `words_a_minute`: how fast it is spoken. `pauses`: the silence in seconds after a
    question, by act. `say`: the person's own words, said first in an act. `look`: `"dark"` or `"light"`.
    `shape`: of the frame, where it is a picture. `gaps`: what a handout leaves empty, acts
    and numbers of lines."""

    acts: tuple[str, ...] = ()
    methods: tuple[str, ...] = ()
    minutes: float | None = None
    words_a_minute: int | None = None
    pauses: Mapping[str, float] = field(default_factory=dict)
    say: Mapping[str, str] = field(default_factory=dict)
    look: str = ""
    shape: str = ""
    gaps: tuple[str | int, ...] = ()
