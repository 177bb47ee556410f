"""Factors of polynomials whose coefficients no machine word holds; what is seen of a polynomial."""

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


@pytest.mark.parametrize("symbols", [(), ("a",), ("a", "b")])
def test_the_terms_of_the_number_1_have_an_exponent_for_each_place_of_the_kernel(
    symbols: tuple[str, ...],
) -> None:
    one = Field(symbols).one
    assert (
        one.terms() == [(tuple(map(int, e)), int(c)) for e, c in one.above.terms()] == one.terms(below=True)
    )


def test_signs_tell_one_sign_from_both_and_from_none() -> None:
    field = Field("ab")
    a, b = field.symbol("a"), field.symbol("b")
    ratio = (a - 2 * b) / (a + b)
    assert ratio.signs() == {True, False}
    assert ratio.signs(below=True) == {True}
    assert (-a - b).signs() == {False}
    assert field.zero.signs() == set()
