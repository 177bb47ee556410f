"""No correct line is called wrong and no false line true: random workings, and random changes in them.

The truth comes from an oracle that shares nothing with the reading (`tests/random_workings`).
"""

from __future__ import annotations

import random

import pytest

from loopwright.expressions.nodes import Equation, Expr, Symbol, negate, put
from loopwright.expressions.values import symbols_of
from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind, Truth
from loopwright.reading.working import Claim, Working, WrittenLine
from tests.random_workings import Case, Oracle, case, changed
from tests.sweeps import parts
from tests.workings import Notation, written

QUICK, ALL = range(60), range(60, 2100)


def read(found: Case, lines: tuple[Equation, ...], *, unsaid: bool = False) -> Reading:
    working = Working(tuple(WrittenLine(i, "", (Claim(e),)) for i, e in enumerate(lines, start=1)))
    return read_working(found.circuit, working, arrows_unsaid=unsaid)


def assert_accepted(seed: int) -> None:
    found = case(seed)
    reading = read(found, found.lines)
    wrong = [(v.line, str(found.lines[v.line - 1]), v.kind) for v in reading.verdicts if not v.holds]
    assert not wrong, (seed, wrong)
    astray = [v.line for v in reading.verdicts if v.kind is ClaimKind.TRUE]
    assert not astray, (seed, "true, but said not to follow", astray)
    assert reading.enough.enough, (seed, reading.enough)


def assert_caught(seed: int) -> None:
    """One line changed: the reading and the oracle agree on it, and every line before it is accepted."""
    found, chance = case(seed), random.Random(seed)
    oracle = Oracle(found.circuit, found.in_numbers)
    at = chance.randrange(len(found.lines))
    known = {*found.circuit.symbols, *found.circuit.currents}
    others = [c for c in changed(found.lines[at]) if known.issuperset(symbols_of(c))]
    if not others:
        return
    line = chance.choice(others)
    reading = read(found, (*found.lines[:at], line, *found.lines[at + 1 :]))
    assert all(v.holds for v in reading.verdicts[:at]), seed
    verdict = reading.verdicts[at]
    is_true = oracle.close(line) if verdict.truth is Truth.ROUNDED else oracle.true(line)
    assert verdict.holds == is_true, (seed, line, verdict)


def assert_arrows_found(seed: int) -> None:
    """The same working under other arrows, or in names of the writer's own, neither of them told."""
    found, chance = case(seed), random.Random(seed)
    currents = found.circuit.currents
    names = chance.choice([currents, tuple(f"x{i}" for i in range(len(currents)))])
    values: dict[str, Expr] = {
        own: chance.choice([Symbol(name), negate(Symbol(name))])
        for own, name in zip(currents, names, strict=True)
    }
    lines = tuple(Equation(put(e.left, values), put(e.right, values)) for e in found.lines)
    reading = read(found, lines, unsaid=True)
    wrong = [(v.line, v.kind) for v in reading.verdicts if not v.holds]
    assert not wrong, (seed, lines, wrong, reading.arrows)


def assert_accepted_in_writing(seed: int) -> None:
    """The same working typed by some hand, in plain text, Markdown or LaTeX."""
    found, chance = case(seed), random.Random(seed)
    known = [*found.circuit.currents, *found.circuit.elements, *found.circuit.symbols]
    text = written(found.lines, chance.choice(list(Notation)), chance, known)
    reading = read_working(found.circuit, text)
    wrong = [(v.line, str(v.claim.written), v.kind) for v in reading.verdicts if not v.holds]
    troubles = [line for line in reading.working.lines if line.trouble]
    assert (wrong, troubles, len(reading.verdicts)) == ([], [], len(found.lines)), (seed, text)


@pytest.mark.parametrize("seed", QUICK)
def test_a_correct_working_is_accepted_in_any_writing(seed: int) -> None:
    assert_accepted_in_writing(seed)


@pytest.mark.parametrize("start", parts(range(60, 660, 60), in_ci=3))
def test_six_hundred_correct_workings_are_accepted_in_any_writing(start: int) -> None:
    for seed in range(start, start + 60):
        assert_accepted_in_writing(seed)


def assert_carried(seed: int) -> None:
    """After a slip every line is true in fact or carried from it, since it was worked on with it."""
    found = case(seed, slip=True)
    oracle = Oracle(found.circuit, found.in_numbers)
    if oracle.true(found.lines[found.slip]):
        return
    reading = read(found, found.lines)
    for verdict, line in zip(reading.verdicts, found.lines, strict=True):
        assert verdict.holds == oracle.true(line), (seed, verdict)
        if verdict.line - 1 != found.slip:
            assert verdict.holds or verdict.carried, (seed, found.slip, verdict.line, verdict)
            assert verdict.holds or verdict.cause == found.slip + 1, (seed, verdict)


@pytest.mark.parametrize("seed", QUICK)
def test_what_follows_from_a_slip_is_carried(seed: int) -> None:
    assert_carried(seed)


@pytest.mark.parametrize("start", parts(range(60, 660, 60), in_ci=3))
def test_what_follows_from_a_slip_is_carried_in_six_hundred(start: int) -> None:
    for seed in range(start, start + 60):
        assert_carried(seed)


@pytest.mark.parametrize("seed", QUICK)
def test_arrows_left_unsaid_are_found(seed: int) -> None:
    assert_arrows_found(seed)


@pytest.mark.parametrize("start", parts(range(60, 660, 60), in_ci=3))
def test_arrows_left_unsaid_are_found_in_six_hundred(start: int) -> None:
    for seed in range(start, start + 60):
        assert_arrows_found(seed)


@pytest.mark.parametrize("seed", QUICK)
def test_a_correct_working_is_accepted_line_by_line(seed: int) -> None:
    assert_accepted(seed)


@pytest.mark.parametrize("seed", QUICK)
def test_a_changed_line_is_judged_as_the_oracle_judges_it(seed: int) -> None:
    assert_caught(seed)


@pytest.mark.parametrize("start", parts(ALL[::60], in_ci=8))
def test_two_thousand_correct_workings_are_accepted(start: int) -> None:
    for seed in range(start, start + 60):
        assert_accepted(seed)


@pytest.mark.parametrize("start", parts(ALL[::60], in_ci=8))
def test_two_thousand_changed_lines_are_judged_as_the_oracle_judges_them(start: int) -> None:
    for seed in range(start, start + 60):
        assert_caught(seed)
