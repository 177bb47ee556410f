"""Marking schemes: the two built in, and files that say what differs."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.errors import FaultyMaterial
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart, scheme_of, tolerance_of

WHOLE = """
title = "Week five"
start_from = "twenty"
bonus = ["check", "units"]
follow_on = false
slip = 0.5
grain = 0.25
tolerance = "1.5 %"
figures = [3, 5]
[points]
junctions = 2.5
check = 0
"""


def test_the_built_in_schemes_come_to_their_names() -> None:
    # common practice, no source: the usual splits of ten and of twenty points
    assert {name: scheme.out_of for name, scheme in BUILT_IN.items()} == {"ten": 10, "twenty": 20}


def test_a_file_says_what_differs() -> None:
    scheme = scheme_of(WHOLE)
    assert (scheme.title, scheme.follow_on, scheme.slip, scheme.grain) == (
        "Week five", False, Fraction(1, 2), Fraction(1, 4),
    )  # fmt: skip
    assert (scheme.tolerance, scheme.figures) == (Fraction(3, 200), (3, 5))
    assert scheme.points[MarkPart.JUNCTIONS] == Fraction(5, 2)
    assert scheme.points[MarkPart.SIGNS] == BUILT_IN["twenty"].points[MarkPart.SIGNS]
    assert scheme.out_of == Fraction(2 + 5, 2) + Fraction(3 + 4 + 2 + 3 + 1) + Fraction(2) - Fraction(1)


def test_an_empty_file_is_the_scheme_of_ten_points() -> None:
    assert scheme_of("") == BUILT_IN["ten"]


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("points = 3", "scheme/wrong-value", 1),
        ("\n[points]\nalgebra = -1", "scheme/wrong-value", 3),
        ("[points]\nalgebra = true", "scheme/wrong-value", 2),
        ("[points]\nalgebar = 1", "scheme/unknown-key", 2),
        ('bonus = ["chek"]', "scheme/unknown-key", 1),
        ('bonus = "check"', "scheme/wrong-value", 1),
        ("follow = true", "scheme/unknown-key", 1),
        ('follow_on = "yes"', "scheme/wrong-value", 1),
        ('start_from = "thirty"', "scheme/wrong-value", 1),
        ("slip = nan", "scheme/wrong-value", 1),
        ("tolerance = 1", "scheme/wrong-value", 1),
        ("figures = [4, 2]", "scheme/wrong-value", 1),
        ("title = 3", "scheme/wrong-value", 1),
        ("title = ", "scheme/not-toml", 1),
    ],
)
def test_what_is_wrong_is_told_with_its_line(text: str, code: str, line: int) -> None:
    with pytest.raises(FaultyMaterial) as caught:
        scheme_of(text)
    assert [(f.code, f.place.line) for f in caught.value.findings] == [(code, line)]


def test_the_nearest_part_is_offered_for_a_mistyped_one() -> None:
    with pytest.raises(FaultyMaterial, match="Did you mean algebra"):
        scheme_of("[points]\nalgebar = 1")


@pytest.mark.parametrize(
    ("text", "value"),
    [("1 %", Fraction(1, 100)), ("0.5%", Fraction(1, 200)), ("1", None), ("-1 %", None), ("150 %", None)],
)
def test_a_tolerance_is_a_percentage(text: str, value: Fraction | None) -> None:
    assert tolerance_of(text) == value
