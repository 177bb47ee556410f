"""A working on the page: each line with its verdict and mend, and the next step at four levels."""

import re

import pytest

from loopwright.desk.annotated import annotated, next_step
from loopwright.errors import FaultyMaterial
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS as TEXT

WRONG = "Ic = Ib + Ih\nE1 - Ic R1 + Ih Rh = 0\n"


def test_a_false_line_says_what_it_is_about_and_brings_its_mend() -> None:
    right, wrong = annotated(TEXT, WRONG).split("<li ")[1:3]
    assert "untrue" not in right
    assert "class=untrue" in wrong
    assert 'data-lights="Rh"' in wrong
    assert 'data-mended="E1 − Ic R1 − Ih Rh = 0"' in wrong


def test_what_is_typed_is_shown_as_typed_and_never_as_markup() -> None:
    assert "<img" not in annotated(TEXT, "Ic = <img src=x onerror=alert(1)>")
    assert "not a table" in annotated("branches = 3", "Ic = 2 A")


def test_the_next_step_is_told_at_four_levels() -> None:
    told = [next_step(TEXT, "Ic = Ib + Ih", level) for level in (1, 2, 3, 4)]
    assert told[0]["said"] == "A loop equation is missing."
    assert len({each["said"] for each in told}) == 3  # here the line is the equation itself
    assert [bool(each["line"]) for each in told] == [False, False, False, True]
    assert "4 of 4" in told[3]["html"]
    assert "class=untrue" not in annotated(TEXT, f"Ic = Ib + Ih\n{told[3]['line']}")
    with pytest.raises(FaultyMaterial, match="no level 5"):
        next_step(TEXT, "Ic = Ib + Ih", 5)


def test_following_the_next_steps_finishes_the_working() -> None:
    working = "Ic = Ib + Ih"
    for _ in range(20):
        step = next_step(TEXT, working, 4)
        if not step["line"]:
            break
        working += f"\n{step['line']}"
    assert "finished" in step["said"] or "Nothing is left" in step["said"]
    assert not re.search("class=untrue", annotated(TEXT, working))
