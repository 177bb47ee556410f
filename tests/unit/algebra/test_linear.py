"""Linear equations in unknowns: one got rid of, what is linear, what follows from what."""

import random
from fractions import Fraction

import pytest
from sympy import QQ
from sympy.polys.matrices import DomainMatrix

from loopwright.algebra.linear import Linear, echelon, follows, linear_in, reduce_rows
from loopwright.algebra.ratios import Field

FIELD = Field(("E", "R1", "R2", "I1", "I2"))
E, R1, R2, I1, I2 = (FIELD.symbol(name) for name in FIELD.symbols)
CURRENTS = ("I1", "I2")


def line(first: object, second: object, constant: object) -> Linear:
    """The equation first × I1 + second × I2 + constant = 0."""
    parts = [FIELD.zero + part for part in (first, second, constant)]  # type: ignore[operator]
    return Linear.of({"I1": parts[0], "I2": parts[1]}, parts[2])


def test_getting_rid_of_an_unknown_leaves_no_fraction_and_no_common_factor() -> None:
    one, other = line(R1, 2 * R2, -E), line(-2 * R1, 4 * R1, E)
    left = one.without("I1", other)
    assert left == Linear({"I2": 4 * R2 + 4 * R1}, -E)


def test_getting_rid_of_an_unknown_is_putting_in_what_it_equals() -> None:
    one, other = line(R1 + R2, R2, -E), line(R2, R1, E / R1)
    put, left = one.put("I1", other.solved_for("I1")), one.without("I1", other)
    scale = left.constant / put.constant
    assert (put * scale).coefficients == left.coefficients


def test_a_product_of_unknowns_is_not_linear() -> None:
    assert linear_in(I1 * I2 * R1 - E, CURRENTS) is None
    assert linear_in(I1 * I1 - E, CURRENTS) is None
    assert linear_in(I1 * R1 + I2 * R2 - E, CURRENTS) == line(R1, R2, -E)


def test_only_combinations_follow() -> None:
    one, other = line(R1, R2, -E), line(1, -1, 0)
    steps = echelon([one, other], CURRENTS)
    assert follows(one * R2 + other * (E / R1), steps)
    assert not follows(one, echelon([other], CURRENTS))
    assert not follows(line(R1, R2, E), echelon([one], CURRENTS))


def some_lines(seed: int) -> list[Linear]:
    """Up to five equations in two or three unknowns; many repeat or contradict others."""
    chance = random.Random(seed)
    entries = (FIELD.zero, FIELD.one, R1, R2, R1 + R2, R1 / R2, -R1)

    def drawn() -> Linear:
        names = ("x", "y", "z")[: chance.randint(2, 3)]
        return Linear.of({n: chance.choice(entries) for n in names}, chance.choice(entries))

    lines = [drawn() for _ in range(chance.randint(1, 4))]
    return [*lines, lines[0] * R2 + lines[-1] * (1 / R1), drawn()]


def rank(lines: list[Linear], constants: bool = True) -> int:
    """SymPy's rank at values of the symbols at which nothing vanishes by chance."""
    at = {name: Fraction(n) for name, n in zip(FIELD.symbols, (101, 103, 107, 109, 113), strict=True)}
    rows = [
        [*(line.coefficients.get(n, FIELD.zero).value(at) for n in ("x", "y", "z")), line.constant.value(at)]
        for line in lines
    ]
    width = 4 if constants else 3
    entries = [[QQ(x.numerator, x.denominator) for x in row[:width]] for row in rows]
    return int(DomainMatrix(entries, (len(rows), width), QQ).rank())


@pytest.mark.parametrize("seed", range(40))
def test_rows_that_bring_nothing_new_are_the_combinations_told(seed: int) -> None:
    lines = some_lines(seed)
    reduction = reduce_rows(lines, ("x", "y", "z"))
    assert reduction.rank == len(echelon(lines, ("x", "y", "z"))) == rank(lines, constants=False)
    for i, multipliers in enumerate(reduction.combinations):
        above = lines[:i]
        new = rank(lines[: i + 1]) > rank(above)
        if multipliers is None:
            continue
        assert not new
        added = Linear({}, FIELD.zero)
        for line, multiplier in zip(above, multipliers, strict=True):
            added = added + line * multiplier
        assert not added - lines[i]


def test_a_row_that_contradicts_is_no_combination() -> None:
    lines = [line(R1, R2, E), line(R1, R2, -E), line(2 * R1, 2 * R2, 2 * E)]
    reduction = reduce_rows(lines, CURRENTS)
    assert reduction.rank == 1
    assert reduction.combinations == (None, None, (FIELD.number(2), FIELD.zero))
