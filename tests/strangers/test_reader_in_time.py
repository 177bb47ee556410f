"""What the reader makes of a stranger's workings in time: right ones not accused, slips named, consequences
credited."""

from __future__ import annotations

from collections import Counter

import pytest

from loopwright.problem.problem_file import read_text
from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.strangers import in_time, in_time_elsewhere
from tests.strangers.in_time import Written
from tests.sweeps import parts

STRANGERS = {"one shape": in_time.drawn, "elsewhere": in_time_elsewhere.drawn}
COUNT, PARTS, FIRST = 40, 25, 70_000  # a thousand workings of each kind, the first part of them in CI


def read(written: Written) -> Reading:
    circuit, findings = read_text(written.problem)
    assert circuit is not None, findings
    return read_working(circuit, "\n".join(written.lines))


def seeds(part: int) -> range:
    return range(FIRST + part * COUNT, FIRST + (part + 1) * COUNT)


@pytest.mark.parametrize("stranger", STRANGERS)
@pytest.mark.parametrize("part", parts(range(PARTS), in_ci=1))
def test_a_right_working_in_time_is_not_accused(part: int, stranger: str) -> None:
    for seed in seeds(part):
        found = read(STRANGERS[stranger](seed, wrong=False))
        assert [v.claim.written for v in found.verdicts if not v.holds] == [], seed
        assert [line.text for line in found.working.lines if line.trouble or not line.claims] == [], seed


@pytest.mark.parametrize("stranger", STRANGERS)
@pytest.mark.parametrize("part", parts(range(PARTS), in_ci=1))
def test_the_slip_of_a_wrong_working_in_time_is_named_first(part: int, stranger: str) -> None:
    counts: Counter[str] = Counter()
    for seed in seeds(part):
        written = STRANGERS[stranger](seed, wrong=True)
        untrue = [v for v in read(written).verdicts if v.kind is ClaimKind.UNTRUE]
        counts["found"] += bool(untrue) and untrue[0].line == written.wrong
        slip = untrue[0].repairs[0].entry if untrue and untrue[0].repairs else ""
        counts["named"] += slip in written.keys
        counts["following"] += len(written.follow)
        accused = {v.line for v in untrue if not v.carried}
        counts["credited"] += sum(line not in accused for line in written.follow)
    assert counts["found"] == COUNT
    assert counts["named"] >= 0.95 * COUNT
    assert counts["credited"] >= 0.8 * counts["following"]  # some thirty lines a part; 0.95 of a thousand's
