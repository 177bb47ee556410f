"""What comes of one thing among many: what was made of it, or why it was set aside."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from ..findings import Finding

Thing = TypeVar("Thing")
Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class MadeOf(Generic[Result]):
    """What was made of a thing."""

    result: Result


@dataclass(frozen=True, slots=True)
class SetAside:
    """Why nothing was made of a thing. `ours`: Loopwright failed, not the material."""

    finding: Finding
    ours: bool = False


Outcome = MadeOf[Result] | SetAside


def took_too_long(name: str, longest: float) -> SetAside:
    """A thing that was given up."""
    said = f"{name}: the work was given up after {longest:g} seconds."
    return SetAside(
        Finding("work/set-aside", said, "Allow more with --longest SECONDS, or work it by itself.")
    )


def ended_its_process(name: str, times: int) -> SetAside:
    """A thing during which the process was lost again and again."""
    said = f"{name}: the process that worked on it ended {times} times without a result."
    return SetAside(
        Finding("work/set-aside", said, "Work it by itself, and look whether memory runs out."), ours=True
    )


def failed(name: str, why: str) -> SetAside:
    """A thing on which the work raised what it should not."""
    said = f"{name}: Loopwright failed on it ({why})."
    return SetAside(Finding("work/set-aside", said, "The others are not touched by it."), ours=True)
