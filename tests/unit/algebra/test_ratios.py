"""Factors of polynomials whose coefficients no machine word holds."""

from __future__ import annotations

from math import prod

import pytest

from loopwright.algebra.ratios import Field

LARGE = 10**30


@pytest.mark.parametrize("symbols", [("s",), ("a", "s", "b")])
def test_factors_of_one_degree_with_very_large_coefficients_are_told_apart(symbols: tuple[str, ...]) -> None:
    field = Field(symbols)
    s = field.symbol("s")
    slow, fast = s + field.number(LARGE), s * LARGE + field.number(2 * LARGE + 1)
    content, found = (slow * slow * fast * -6).factors()
    assert content == -6
    assert {str(factor): power for factor, power in found} == {str(slow): 2, str(fast): 1}
    assert prod((factor for factor, power in found for _ in range(power)), start=field.number(content)) == (
        slow * slow * fast * -6
    )
