"""Lines between points, and walks along them: the words in which all of `graph` speaks.

A branch of a circuit is such a line; here nothing is known of what stands on it. A loop is never a list of
points: two lines may run side by side between the same two points.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple, Protocol, TypeVar

LineName = TypeVar("LineName")
AnyDart = tuple[
    LineName, int
]  # a line left along its arrow (+1) from its start, or against it (-1) from its end
Dart = AnyDart[str]
Walk = tuple[Dart, ...]  # lines gone along one after another: (("Ic", +1), ("Ih", +1))
Loop = Walk  # one that ends where it began


class Line(Protocol):
    """What joins two points: `name` tells it from every other, `start` and `end` are names of points."""

    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def start(self) -> str: ...  # noqa: D102
    @property
    def end(self) -> str: ...  # noqa: D102


AnyLine = TypeVar("AnyLine", bound=Line)


class Link(NamedTuple):
    """A line on which nothing stands."""

    name: str
    start: str
    end: str


def from_point(line: Line, sense: int) -> str:
    """The point from which a line is gone along in this sense (+1: along its arrow)."""
    return line.start if sense > 0 else line.end


def to_point(line: Line, sense: int) -> str:
    """The point at which a line gone along in this sense ends."""
    return line.end if sense > 0 else line.start


def reversed_loop(loop: Loop) -> Loop:
    """The same walk the other way round: its lines in the opposite order, each in the opposite sense."""
    return tuple((name, -sense) for name, sense in reversed(loop))


def same_loop(one: Loop, other: Loop) -> bool:
    """Whether two loops hold the same lines, whatever the start and the sense of travel."""
    return dict(one) == dict(other) or dict(one) == dict(reversed_loop(other))


def closes(lines: Iterable[Line], walk: Walk) -> bool:
    """Whether these lines lead on from one another and back to the start, none of them twice."""
    known = {line.name: line for line in lines}
    names = [name for name, _ in walk]
    if not walk or len(set(names)) < len(names) or not set(names) <= set(known):
        return False
    ends = [(from_point(known[name], sense), to_point(known[name], sense)) for name, sense in walk]
    return all(one[1] == other[0] for one, other in zip(ends, (*ends[1:], ends[0]), strict=True))
