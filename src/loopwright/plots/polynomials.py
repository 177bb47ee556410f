"""Polynomials with whole coefficients, the constant first: products, differences, slopes."""

from __future__ import annotations

from ..algebra.real_roots import Coefficients


def slope_of(above: Coefficients, below: Coefficients) -> Coefficients:
    """The numerator of the derivative of `above` over `below`, whose denominator is a square: it has
    the sign of the slope."""
    return minus(times(derivative(above), below), times(above, derivative(below)))


def derivative(one: Coefficients) -> Coefficients:
    """The derivative."""
    return tuple(c * power for power, c in enumerate(one))[1:] or (0,)


def times(one: Coefficients, other: Coefficients) -> Coefficients:
    """The product."""
    product = [0] * (len(one) + len(other) - 1)
    for i, a in enumerate(one):
        for j, b in enumerate(other):
            product[i + j] += a * b
    return _trimmed(product)


def minus(one: Coefficients, other: Coefficients) -> Coefficients:
    """The difference."""
    size = max(len(one), len(other))
    padded = [(*p, *([0] * (size - len(p)))) for p in (one, other)]
    return _trimmed([a - b for a, b in zip(*padded, strict=True)])


def _trimmed(one: list[int]) -> Coefficients:
    while len(one) > 1 and not one[-1]:
        one.pop()
    return tuple(one)
