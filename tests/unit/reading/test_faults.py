"""A fault of ours costs the line it meets, never the working; here faults are put in on purpose."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading import judge, mending
from loopwright.reading.faults import strict
from loopwright.reading.judge import read_working
from loopwright.reading.page import lines
from loopwright.reading.reading import Reading
from loopwright.reading.remarks import Standing
from loopwright.reading.verdicts import ClaimKind
from loopwright.show.reading_json import as_data
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, circuit_of

RIGHT = "Ic = Ib + Ih\nE1 - Ic R1 - Ih Rh = 0\nE2 + Ib R2 - Ih Rh = 0\n"


@pytest.fixture
def as_people_use_it() -> Iterator[None]:
    token = strict.set(False)
    yield
    strict.reset(token)


def fail(*_: object, **__: object) -> None:
    raise LookupError("put in on purpose")


def read(text: str) -> Reading:
    return read_working(circuit_of(CHARGE_OR_HELP), text)


def failing_at_second(monkeypatch: pytest.MonkeyPatch, room: object, name: str) -> None:
    """Makes a function of `room` fail at its second call."""
    usual, calls = getattr(room, name), []

    def now(*given: object, **named: object) -> object:
        calls.append(1)
        if len(calls) == 2:
            fail()
        return usual(*given, **named)

    monkeypatch.setattr(room, name, now)


@pytest.mark.usefixtures("as_people_use_it")
def test_a_line_that_we_fail_to_judge_says_so_and_the_others_are_judged(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    failing_at_second(monkeypatch, judge, "true")
    reading = read(RIGHT)
    assert [v.kind for v in reading.verdicts] == [ClaimKind.JUNCTION, ClaimKind.UNDECIDED, ClaimKind.LOOP]
    assert "Loopwright failed here" in as_text(reading.remarks[1].remarks[0])
    assert [(f.line, f.what.split(" (")[0]) for f in reading.faults] == [
        (2, "LookupError: put in on purpose")
    ]
    assert as_data(reading)["faults"] == [{"line": 2, "what": reading.faults[0].what}]
    assert not reading.right


@pytest.mark.usefixtures("as_people_use_it")
def test_a_line_that_we_fail_to_read_says_so_and_the_others_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    failing_at_second(monkeypatch, lines._Reader, "line")
    reading = read(RIGHT)
    assert [r.standing for r in reading.remarks] == [Standing.RIGHT, Standing.UNREAD, Standing.RIGHT]
    assert [f.line for f in reading.faults] == [2]


@pytest.mark.usefixtures("as_people_use_it")
def test_a_false_line_stays_false_though_we_fail_to_mend_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mending.Wanted, "mends", fail)
    reading = read(RIGHT + "E1 + Ic R1 = 0\n")
    assert reading.verdicts[-1].kind is ClaimKind.UNTRUE
    assert [f.line for f in reading.faults] == [4]


@pytest.mark.usefixtures("as_people_use_it")
@pytest.mark.parametrize("name", ["arrows_of", "enough"])
def test_what_concerns_the_whole_working_costs_no_line(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(judge, name, fail)
    reading = read(RIGHT)
    assert all(v.holds for v in reading.verdicts)
    assert [f.line for f in reading.faults] == [0]


def test_tests_hear_of_every_such_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(judge, "true", fail)
    with pytest.raises(LookupError, match="on purpose"):
        read(RIGHT)


def test_a_false_line_below_which_another_divides_by_zero_is_no_fault() -> None:
    reading = read_working(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), "Ib = 0\nE2/Ib = 3.33\n2 = Ic/(2 Ib)")
    assert [v.kind for v in reading.verdicts] == [ClaimKind.UNTRUE] * 3
