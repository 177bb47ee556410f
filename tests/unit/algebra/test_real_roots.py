"""Positive roots against SymPy, and that each is as exact as it is told to be."""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy

from loopwright.algebra.real_roots import known, located_value, positive_roots, sign_beside

X = sympy.Symbol("x")
POLYNOMIALS = [
    (-6, 5),
    (-2, 0, 1),
    (10, -7, 1),
    (-10, 66, -121, 19, 75, -44, -6, 9),  # (x² − 2)(3x − 1)²(x³ − 3x + 5)
    (-1, -1, 0, 0, 0, 1),  # no root of it is told by radicals
    (1, -3, 0, 1),
    (-7, 0, 0, 3, 0, -50, 1),
    (5, 1, 3),
    (0, 0, -4, 4),
]


@pytest.mark.parametrize("polynomial", POLYNOMIALS)
def test_positive_roots_are_those_of_an_unrelated_library(polynomial: tuple[int, ...]) -> None:
    whole = sympy.Poly(list(reversed(polynomial)), X)  # SymPy isolates roots by continued fractions
    wanted = [(root, times) for root, times in whole.real_roots(multiple=False) if root > 0]
    found = positive_roots(polynomial)
    assert [root.times for root in found] == [times for _, times in wanted]
    for one, (root, _) in zip(found, wanted, strict=True):
        assert one.at.low <= sympy.Rational(str(sympy.N(root, 40))) + sympy.Rational(1, 10**35)
        assert abs(sympy.N(root, 30) - sympy.Rational(one.at.near)) < sympy.Rational(1, 10**20)


def surd_of(polynomial: tuple[int, ...]) -> list[list[Fraction | None]]:
    found = [root.at.surd for root in positive_roots(polynomial)]
    return [[part.constant() for part in (s.plain, s.factor, s.under)] for s in found if s is not None]


def test_a_linear_factor_gives_a_fraction() -> None:
    assert [root.at.exact for root in positive_roots((2, -7, 3))] == [Fraction(1, 3), 2]


def test_a_quadratic_factor_gives_a_square_root_in_lowest_terms() -> None:
    half = Fraction(1, 2)
    assert surd_of((8, -7, 1)) == [[7 * half, -half, Fraction(17)], [7 * half, half, Fraction(17)]]
    assert surd_of((-12, 0, 1)) == [[Fraction(0), Fraction(2), Fraction(3)]]
    assert surd_of((-1, 2, 4)) == [[-half / 2, half / 2, Fraction(5)]]


def test_an_interval_holds_its_root_and_no_other() -> None:
    for polynomial in POLYNOMIALS:
        for root in positive_roots(polynomial):
            if root.at.exact is None:
                ends = sign_beside(root.factor, root.at.low), sign_beside(root.factor, root.at.high)
                assert ends[0] * ends[1] == -1
                assert root.at.high - root.at.low < root.at.low / 10**20


def test_a_value_at_a_square_root_is_exact() -> None:
    (root,) = positive_roots((-2, 0, 1))
    assert located_value((0, 0, 3), (5,), root.at) == known(Fraction(6, 5))
    over = located_value((1,), (1, 1), root.at)  # 1/(1 + √2) = √2 − 1
    assert over.surd is not None
    assert over.surd.plain == -1
    assert over.surd.factor == 1
    assert over.low <= over.surd.value({}) <= over.high


def test_the_zero_polynomial_is_refused() -> None:
    with pytest.raises(ValueError, match="vanishes everywhere"):
        positive_roots((0,))
