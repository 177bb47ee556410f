"""Equations in numbers, against SymPy: one answer, answers left open, equations that contradict others."""

import random
from fractions import Fraction

import pytest
from sympy import QQ
from sympy.polys.matrices import DomainMatrix

from loopwright.algebra.modular import PRIME
from loopwright.algebra.number_rows import (
    CONSTANT,
    rows_for_multipliers,
    solve_number_rows,
    solve_residue_rows,
)

NAMES = ("a", "b", "c", "d")
Rows = list[dict[str, Fraction]]


def some_rows(seed: int) -> Rows:
    """Up to six rows with small entries, so that many sets are open, contradictory or both."""
    chance = random.Random(seed)
    width = chance.randint(1, 3)

    def entry() -> Fraction:
        return Fraction(chance.randint(-1, 1), chance.choice((1, 1, 2)))

    return [{n: entry() for n in (*NAMES[:width], CONSTANT)} for _ in range(chance.randint(0, 6))]


def rank(rows: Rows, names: tuple[str, ...]) -> int:
    values = [[row.get(n, Fraction(0)) for n in names] for row in rows]
    entries = [[QQ(x.numerator, x.denominator) for x in line] for line in values]
    return int(DomainMatrix(entries, (len(rows), len(names)), QQ).rank())


def agreeing(rows: Rows) -> tuple[Rows, list[int]]:
    """The rows that do not contradict those kept before, and the positions of the others: by ranks."""
    kept: Rows = []
    refused = []
    for i, row in enumerate(rows):
        more = [*kept, row]
        if rank(more, (*NAMES, CONSTANT)) > rank(more, NAMES):
            refused.append(i)
        else:
            kept = more
    return kept, refused


def left_of(row: dict[str, Fraction], values: dict[str, Fraction]) -> Fraction:
    return sum((x * values[n] if n else x for n, x in row.items()), Fraction(0))


@pytest.mark.parametrize("seed", range(60))
def test_the_rows_refused_are_those_that_contradict_the_ones_before(seed: int) -> None:
    rows = some_rows(seed)
    assert list(solve_number_rows(rows, NAMES).refused) == agreeing(rows)[1]


@pytest.mark.parametrize("seed", range(60))
def test_any_values_of_the_open_unknowns_satisfy_all_rows_that_agree(seed: int) -> None:
    kept, _ = agreeing(some_rows(seed))
    found = solve_number_rows(some_rows(seed), NAMES)
    assert len(found.open) == len(NAMES) - rank(kept, NAMES)
    values = found.at({name: Fraction(7 * i + 3, 5) for i, name in enumerate(found.open)})
    assert not any(left_of(row, values) for row in kept)


@pytest.mark.parametrize("seed", range(40))
def test_base_and_ways_add_up_to_an_answer(seed: int) -> None:
    found = solve_number_rows(some_rows(seed), NAMES)
    added = {n: found.base[n] + sum(2 * way[n] for way in found.ways) for n in NAMES}
    assert added == found.at(dict.fromkeys(found.open, Fraction(2)))


@pytest.mark.parametrize("seed", range(60))
def test_modulo_the_prime_the_answers_are_the_same(seed: int) -> None:
    def residue(x: Fraction) -> int:
        return x.numerator * pow(x.denominator, -1, PRIME) % PRIME

    rows = some_rows(seed)
    exact = solve_number_rows(rows, NAMES)
    found = solve_residue_rows([{n: residue(x) for n, x in row.items()} for row in rows], NAMES)
    assert (found.refused, found.open) == (exact.refused, exact.open)
    assert found.base == {n: residue(x) for n, x in exact.base.items()}


def test_multipliers_are_found_and_a_row_that_brings_nothing_new_gets_none() -> None:
    one, other = {"x": Fraction(1), "y": Fraction(2)}, {"y": Fraction(3)}
    twice = {"x": Fraction(2), "y": Fraction(4)}
    rows, names = rows_for_multipliers({"x": Fraction(1), "y": Fraction(0)}, (one, twice, other))
    found = solve_number_rows(rows, names)
    assert found.open == names[1:2]
    assert list(found.base.values()) == [1, 0, Fraction(-2, 3)]
    rows, names = rows_for_multipliers({"z": Fraction(1)}, (one, other))
    assert solve_number_rows(rows, names).refused


def test_a_name_that_is_no_unknown_is_an_error() -> None:
    with pytest.raises(KeyError):
        solve_number_rows([{"e": Fraction(1)}], NAMES)
