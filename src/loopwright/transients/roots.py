"""The roots of polynomials with rational coefficients that have none of their own: to some fifty figures.

NumPy gives them to the precision of the machine, Newton's rule over exact fractions carries them on. What
comes out is the polynomial again, as factors of degree one and two, and by how much a root may be out.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

import numpy as np

_FIGURES = 50
_LARGEST = Fraction(1, 10**30)  # error that is taken
_STEPS = 8  # of Newton's rule, each doubling the figures
_Pair = tuple[Fraction, Fraction]  # a complex number: its real part, its imaginary part


@lru_cache(maxsize=256)
def factors_of(polynomial: tuple[Fraction, ...]) -> tuple[tuple[tuple[Fraction, ...], ...], Fraction]:
    """The factors of a polynomial without repeated roots, by its coefficients from the constant up: s - a for
    a real root, s² - 2 a s + a² + b² for two complex ones. And the error: the greatest distance of a root
    from the true one, as a share of its size (n |p(z)/p'(z)| holds a root; Laguerre, from memory). Raises
    ArithmeticError where roots lie too near each other to be told apart.
    """
    degree = len(polynomial) - 1
    scale = _scale(polynomial)
    scaled = [c * scale**n for n, c in enumerate(polynomial)]
    largest = max(map(abs, scaled))
    found: list[tuple[Fraction, ...]] = []
    error = Fraction(0)
    real = _real_roots(scaled)
    near = sorted(np.roots([float(c / largest) for c in reversed(scaled)]), key=lambda z: abs(z.imag / z))
    starts: list[_Pair] = [(Fraction(z.real) + Fraction(z.imag), Fraction(0)) for z in near[:real]]
    starts += [(Fraction(z.real), Fraction(z.imag)) for z in near[real:] if z.imag > 0]
    for z in starts:
        for _ in range(_STEPS):
            z = _rounded(_minus(z, _over(*_value(scaled, z))))
        error = max(error, degree * _size(_over(*_value(scaled, z))) / _size(z))
        a, b = z[0] * scale, z[1] * scale
        found.append((a * a + b * b, -2 * a, Fraction(1)) if b else (-a, Fraction(1)))
    if error > _LARGEST or len(set(found)) < len(found) or sum(len(f) - 1 for f in found) != degree:
        raise ArithmeticError("roots too near each other")
    return tuple(found), error


def _scale(polynomial: Sequence[Fraction]) -> Fraction:
    """A power of two near the mean size of the roots, so that the scaled ones are near one."""
    degree = len(polynomial) - 1
    ratio = abs(polynomial[0] / polynomial[-1])
    bits = ratio.numerator.bit_length() - ratio.denominator.bit_length()
    return Fraction(2) ** round(bits / degree)


def _real_roots(polynomial: Sequence[Fraction]) -> int:
    """How many real roots there are (Sturm's rule)."""
    chain = [list(polynomial), [c * n for n, c in enumerate(polynomial)][1:]]
    while len(chain[-1]) > 1:
        rest = list(chain[-2])
        low = chain[-1]
        while len(rest) >= len(low):
            factor = rest[-1] / low[-1]
            at = len(rest) - len(low)
            rest = [c - factor * low[n - at] if n >= at else c for n, c in enumerate(rest)][:-1]
        while rest and not rest[-1]:
            rest.pop()
        if not rest:
            break
        chain.append([-c for c in rest])
    ends = [[(p[-1] > 0) == (sign > 0 or len(p) % 2 == 1) for p in chain] for sign in (-1, 1)]
    left, right = (sum(a != b for a, b in pairwise(e)) for e in ends)
    return left - right


def _value(polynomial: Sequence[Fraction], z: _Pair) -> tuple[_Pair, _Pair]:
    """The value there and that of the derivative (Horner's scheme)."""
    value: _Pair = (Fraction(0), Fraction(0))
    slope = value
    for c in reversed(polynomial):
        slope = _plus(_times(slope, z), value)
        value = _plus(_times(value, z), (c, Fraction(0)))
    return value, slope


def _plus(a: _Pair, b: _Pair) -> _Pair:
    return (a[0] + b[0], a[1] + b[1])


def _minus(a: _Pair, b: _Pair) -> _Pair:
    return (a[0] - b[0], a[1] - b[1])


def _times(a: _Pair, b: _Pair) -> _Pair:
    return (a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0])


def _over(a: _Pair, b: _Pair) -> _Pair:
    size = b[0] * b[0] + b[1] * b[1]
    above = _times(a, (b[0], -b[1]))
    return (above[0] / size, above[1] / size)


def _size(a: _Pair) -> Fraction:
    """Not less than the size of a complex number, and no more than the root of two of it."""
    return abs(a[0]) + abs(a[1])


def _rounded(z: _Pair) -> _Pair:
    scale = 10**_FIGURES
    return (Fraction(round(z[0] * scale), scale), Fraction(round(z[1] * scale), scale))
