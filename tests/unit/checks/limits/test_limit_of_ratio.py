"""Leading behaviour of ratios."""

from __future__ import annotations

import pytest

from loopwright.algebra.common_form import LimitApproach
from loopwright.algebra.ratios import Field
from loopwright.checks.limits.limit_of_ratio import Unbounded, limit_of, sign_of

FIELD = Field(("x", "y"))
X, Y, ONE = FIELD.symbol("x"), FIELD.symbol("y"), FIELD.one


def test_limits_of_one_ratio_at_both_ends() -> None:
    ratio = (X * 2 + Y) / (X + Y * 3)
    assert limit_of(ratio, "x", "0") == ONE / 3
    assert limit_of(ratio, "x", "∞") == ONE * 2


def test_a_vanishing_numerator_gives_zero() -> None:
    assert limit_of(X / (X + Y), "x", "0") == FIELD.zero
    assert limit_of(Y / (X + Y), "x", "∞") == FIELD.zero


def test_growth_keeps_its_leading_part_and_sign() -> None:
    assert limit_of(-(Y + X) / X, "x", "0") == Unbounded(-1, -Y / X)
    assert limit_of((Y - 1) * X, "x", "∞") == Unbounded(0, (Y - 1) * X)


def test_a_symbol_that_is_not_there_changes_nothing() -> None:
    assert limit_of(Y / 2, "x", "∞") == Y / 2
    assert limit_of(Y / 2, "z", "0") == Y / 2


@pytest.mark.parametrize("to", ["0", "∞"])
def test_tends_to_says_the_same_as_the_limit(to: str) -> None:
    for ratio in (X / (X + Y), (X + Y) / X, (X * 2 + Y) / (X + Y * 3), FIELD.zero):
        limit = limit_of(ratio, "x", to)  # type: ignore[arg-type]
        for value in (FIELD.zero, ONE, ONE / 3, ONE * 2):
            approach = LimitApproach(FIELD, {"one": ratio, "other": ONE / Y}, "x")
            assert approach.tends_to("one", to, value) == (limit == value)


def test_signs_are_read_off_for_positive_symbols_only_when_sure() -> None:
    assert [sign_of(r) for r in (X / Y, -X / Y, X - Y, FIELD.zero)] == [1, -1, 0, 0]
