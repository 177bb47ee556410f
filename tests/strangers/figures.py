"""Numbers as a person has them on paper: rounded to so many figures, written as decimals or fractions; and
linear equations solved by plain elimination. Knows nothing of circuits."""

from __future__ import annotations

from fractions import Fraction


class NoAnswer(Exception):
    """A division by nothing, or equations without one solution: the working is drawn again."""


def places_for(value: Fraction, figures: int) -> int:
    """How many decimals `figures` significant figures of a value reach to (negative: tens, hundreds)."""
    size, power = abs(value), 0
    while size >= 10:
        size, power = size / 10, power + 1
    while size < 1:
        size, power = size * 10, power - 1
    return figures - 1 - power


def rounded(value: Fraction, figures: int) -> Fraction:
    """The value to so many significant figures, halves away from zero, as school rounds."""
    if value == 0:
        return value
    scale = Fraction(10) ** places_for(value, figures)
    whole, rest = divmod(abs(value) * scale, 1)
    up = whole + (1 if rest >= Fraction(1, 2) else 0)
    return (up if value > 0 else -up) / scale


def cut(value: Fraction, figures: int) -> Fraction:
    """The value with the further figures cut off instead of rounded."""
    scale = Fraction(10) ** places_for(value, figures)
    whole = abs(value) * scale // 1
    return (whole if value > 0 else -whole) / scale


def ends(value: Fraction) -> bool:
    """Whether the decimals of a value end."""
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    return rest == 1


def decimal(value: Fraction, places: int = 0) -> str:
    """A value whose decimals end, written with `places` decimals at least."""
    at_least = max(places, 0)
    while (value * 10**at_least).denominator != 1:
        at_least += 1
    digits = str(abs(int(value * 10**at_least))).rjust(at_least + 1, "0")
    text = digits if at_least == 0 else f"{digits[:-at_least]}.{digits[-at_least:]}"
    return f"-{text}" if value < 0 else text


def as_rounded(value: Fraction, figures: int) -> str:
    """A rounded result with its zeros: 2.00, 0.50, 1250."""
    near = rounded(value, figures)
    return decimal(near, places_for(near, figures) if near else 0)


def fraction(value: Fraction) -> str:
    """A value as a fraction, or as a whole number where it is one."""
    return str(value.numerator) if value.denominator == 1 else f"{value.numerator}/{value.denominator}"


Row = tuple[list[Fraction], Fraction]
"""Coefficients of the unknowns, and what they come to: a x + b y = c."""


def solved(rows: list[Row]) -> list[Fraction]:
    """The unknowns of as many equations, by elimination with whole rows; NoAnswer when there is not one."""
    table = [[*left, right] for left, right in rows]
    n = len(table)
    for i in range(n):
        pivot = next((r for r in range(i, n) if table[r][i] != 0), None)
        if pivot is None:
            raise NoAnswer
        table[i], table[pivot] = table[pivot], table[i]
        table[i] = [x / table[i][i] for x in table[i]]
        for r in range(n):
            if r != i and table[r][i] != 0:
                table[r] = [x - table[r][i] * y for x, y in zip(table[r], table[i], strict=True)]
    return [row[-1] for row in table]


def determinant(square: list[list[Fraction]]) -> Fraction:
    """The determinant, along its first row."""
    if len(square) == 1:
        return square[0][0]
    return sum(
        (
            (-1) ** j * head * determinant([row[:j] + row[j + 1 :] for row in square[1:]])
            for j, head in enumerate(square[0])
        ),
        Fraction(0),
    )
