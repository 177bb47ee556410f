"""Workings typed by hand, by eight methods in many manners, are read as their margins say.

Each file of `workings/` names its circuit, the method and the source in lines that begin with `#!`, and says
at the end of a line what is known of it: `## right`; `## wrong: keys` with the slips that it may fairly be
called by; `## follows`, where it is what the lines above give. A line without is words, or nobody's to deny.
`marks: full` says that nothing is to be lost by it; `not yet: reason` that the reader does not meet the
margin so far: that line goes once it does, for a working met in spite of it fails here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from loopwright import read_working
from loopwright.problem.problem_file import read
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind, Verdict

FOLDER = Path(__file__).parent / "workings"
FILES = sorted(FOLDER.glob("*.txt"))


@dataclass(frozen=True, slots=True)
class TypedWorking:
    """A file of the folder: what its head says, its lines, and what the margin says of each."""

    head: Mapping[str, str]
    lines: tuple[str, ...]
    margin: tuple[str, ...]


def typed(path: Path) -> TypedWorking:
    """Reads a file."""
    rows = path.read_text("utf-8").splitlines()
    head = dict(row.removeprefix("#! ").split(": ", 1) for row in rows if row.startswith("#! "))
    body = [row.partition(" ## ") for row in rows if not row.startswith("#! ")]
    return TypedWorking(
        head, tuple(text.rstrip() for text, _, _ in body), tuple(said.strip() for _, _, said in body)
    )


def reading_of(working: TypedWorking) -> Reading:
    """What the reader makes of it."""
    circuit = read(FOLDER / "circuits" / f"{working.head['circuit']}.toml")
    return read_working(circuit, "\n".join(working.lines))


def amiss(working: TypedWorking, reading: Reading) -> list[str]:
    """Where the reading does not say what the margin says."""
    out = []
    for number, said in enumerate(working.margin, 1):
        verdicts = [v for v in reading.verdicts if v.line == number]
        trouble = reading.working.lines[number - 1].trouble
        found = ["not read"] if trouble else [] if fits(said, verdicts) else [str([v.kind for v in verdicts])]
        out += [f"{number}: {working.lines[number - 1]} ({said}): {what}" for what in found]
    return out


def fits(said: str, verdicts: list[Verdict]) -> bool:
    """Whether the verdicts on a line are what its margin says."""
    untrue = [v for v in verdicts if v.kind is ClaimKind.UNTRUE]
    if said == "right":
        return bool(verdicts) and all(v.holds for v in verdicts)
    if said == "follows":
        return bool(verdicts) and all(v.holds or v.carried for v in verdicts)
    if said.startswith("wrong: "):
        keys = said.removeprefix("wrong: ").split(", ")
        named = [v.repairs[0].entry for v in untrue if v.repairs]
        return bool(untrue) and not untrue[0].carried and named[:1] in [[key] for key in keys]
    return not untrue


def cases() -> list[object]:
    """Every file, those that are not met yet marked as such."""
    out: list[object] = []
    for path in FILES:
        reason = typed(path).head.get("not yet")
        marks = [pytest.mark.xfail(reason=reason, strict=True)] if reason else []
        out.append(pytest.param(path, id=path.stem, marks=marks))
    return out


@pytest.mark.parametrize("path", cases())
def test_working_is_read_as_its_margin_says(path: Path) -> None:
    working = typed(path)
    reading = reading_of(working)
    assert amiss(working, reading) == []
    if working.head.get("marks") == "full":
        mark = propose(reading, BUILT_IN["ten"])
        short = [(a.part, a.points, a.of) for a in mark.awards if a.points < a.of and a.part != "check"]
        assert short == []


def test_corpus_has_every_method_right_and_wrong() -> None:
    methods = {
        "branch currents", "loop currents", "node potentials", "superposition", "series and parallel",
        "equivalent source", "determinants", "values in time", "supposed current",
    }  # fmt: skip
    found = [typed(path) for path in FILES]
    wrong = {w.head["by"] for w in found if any(m.startswith("wrong") for m in w.margin)}
    right = {w.head["by"] for w in found if not any(m.startswith("wrong") for m in w.margin)}
    assert (right, wrong) == (methods, methods)
    assert len(found) >= 672


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_margin_is_well_formed(path: Path) -> None:
    working = typed(path)
    assert working.head.keys() <= {"circuit", "by", "source", "marks", "not yet"}
    assert {"circuit", "by", "source"} <= working.head.keys()
    assert all(m in ("", "right", "follows") or m.startswith("wrong: ") for m in working.margin)
    assert all("##" not in line for line in working.lines)
