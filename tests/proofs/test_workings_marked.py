"""Marks on random workings: a right one loses nothing, one slip in setting up is charged once.

The workings come from `tests/random_workings`. After a slip in one law the wrong set is solved as it was
written, so that every result follows correctly from the slip.
"""

from __future__ import annotations

import random

import pytest

from loopwright.expressions.nodes import Equation, Symbol
from loopwright.expressions.tidy import tidy
from loopwright.expressions.values import symbols_of
from loopwright.reading.enough import LAWS
from loopwright.reading.marking.mark import Mark
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from loopwright.reading.truth.meaning import Meanings
from loopwright.reading.verdicts import ClaimKind
from loopwright.solve.exact import solve
from tests.plain_elimination import solve_linear
from tests.proofs.test_workings_judged import read
from tests.random_workings import Case, case, changed

TWENTY = BUILT_IN["twenty"]
QUICK, ALL = range(25), range(25, 400)
OF_FORM = {MarkPart.UNITS, MarkPart.CHECK}  # bare numbers and no check: the random workings are so


def lost(mark: Mark) -> set[MarkPart]:
    return {a.part for a in mark.awards if a.points != a.of} - OF_FORM


def assert_full(seed: int) -> None:
    found = case(seed)
    assert lost(propose(read(found, found.lines), TWENTY)) == set(), seed


def with_one_slip(seed: int) -> tuple[Case, tuple[Equation, ...]] | None:
    """The laws of a working with one of them changed, and what they then give; None where that is no
    equation in several currents or the set gives nothing."""
    found, chance = case(seed), random.Random(seed)
    laws = [v.claim.written for v in read(found, found.lines).verdicts if v.kind in LAWS]
    at = chance.randrange(len(laws))
    known = {*found.circuit.symbols, *found.circuit.currents}
    others = [c for c in changed(laws[at]) if known.issuperset(symbols_of(c))]
    if not others:
        return None
    lines = [*laws[:at], chance.choice(others), *laws[at + 1 :]]
    numbers = found.circuit.numbers if found.in_numbers else None
    meanings = Meanings(solve(found.circuit), {n: {n: 1} for n in found.circuit.currents}, numbers)
    rows = [meanings.row(meanings.difference(line)) for line in lines]
    whole = [row for row in rows if row is not None]
    slipped = rows[at]
    if len(whole) < len(rows) or slipped is None or len(slipped.coefficients) < 2:
        return None
    given = solve_linear(whole, found.circuit.currents)
    if given is None:
        return None
    return found, (*lines, *(Equation(Symbol(n), tidy(value)) for n, value in given.items()))


def assert_charged_once(seed: int) -> None:
    made = with_one_slip(seed)
    if made is None:
        return
    found, lines = made
    reading = read(found, lines)
    if any(v.kind is ClaimKind.UNDECIDED for v in reading.verdicts):
        return
    mark = propose(reading, TWENTY)
    parts = lost(mark) - {MarkPart.RESULT}
    assert len(parts) == (0 if reading.first_untrue is None else 1), (seed, parts)
    assert MarkPart.RESULT not in lost(mark) or "nothing for following" in str(mark), seed


@pytest.mark.parametrize("seed", QUICK)
def test_a_right_working_loses_nothing_but_for_its_form(seed: int) -> None:
    assert_full(seed)


@pytest.mark.parametrize("seed", QUICK)
def test_one_slip_in_setting_up_is_charged_to_one_part(seed: int) -> None:
    assert_charged_once(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", ALL)
def test_so_it_is_for_many_workings(seed: int) -> None:
    assert_full(seed)
    assert_charged_once(seed)


def test_slips_are_really_made() -> None:
    assert sum(with_one_slip(seed) is not None for seed in QUICK) >= 10
