"""The look of the page: in the light and in the dark words stand out from the page by 4.5 to 1 or more."""

from __future__ import annotations

import re

import pytest

from loopwright.sheet.build import sheet
from loopwright.sheet.html import STYLE
from tests.sample_circuits import CHARGE_OR_HELP, circuit_of

LIGHT = re.search(r":root \{ color-scheme: light dark;(.*?)\}", STYLE, re.DOTALL)
DARK = re.search(r"prefers-color-scheme: dark\) \{\s*:root \{(.*?)\}", STYLE, re.DOTALL)
ENOUGH = 4.5  # to 1: WCAG 2.2, success criterion 1.4.3
WRITING, GROUNDS = ("ink", "quiet", "link"), ("page", "wash", "mark")


def colours(rule: re.Match[str] | None) -> dict[str, str]:
    assert rule is not None
    return dict(re.findall(r"--(\w+): #([0-9a-f]+)", rule[1]))


def luminance(colour: str) -> float:
    """WCAG 2.2: relative luminance of sRGB."""
    digits = "".join(2 * digit for digit in colour) if len(colour) == 3 else colour
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_black_on_white_has_the_contrast_that_the_standard_says() -> None:
    assert contrast("000", "fff") == pytest.approx(21)
    assert contrast("777777", "ffffff") < ENOUGH < contrast("767676", "ffffff")


@pytest.mark.parametrize("rule", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("writing", WRITING)
def test_writing_stands_out_from_every_ground(rule: re.Match[str] | None, writing: str, ground: str) -> None:
    known = colours(rule)
    assert contrast(known[writing], known[ground]) >= ENOUGH


def test_both_looks_name_the_same_colours_and_rules_use_no_other() -> None:
    assert colours(LIGHT).keys() == colours(DARK).keys()
    for rule in re.sub(r":root \{.*?\}", "", STYLE, flags=re.DOTALL).splitlines():
        if not rule.strip().startswith(".written.fault .word { background: none"):
            assert not re.search(r"#[0-9a-f]{3}", rule), rule


def test_strokes_and_letters_of_the_figure_take_the_colour_of_the_ink() -> None:
    page = sheet(circuit_of(CHARGE_OR_HELP)).html()
    assert ".drawing svg { stroke: currentColor; }" in page
    assert '.drawing [fill="black"] { fill: currentColor; }' in page
    assert not re.findall(r'<(?:path|circle|text)[^>]*(?:stroke|fill)="(?!black|none)[^"]*"', page)
    assert not re.findall(r'<(?:path|circle|text)[^>]* stroke="black"', page)
