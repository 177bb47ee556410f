"""Printed answers that are wrong: our solution contradicts them and confirms the correction.

The sources stand in facts/printed-errors.json, each with the reason for the error.
"""

from __future__ import annotations

import pytest

from tests.published.fact_circuits import FORMS, Asked, build, facts_of
from tests.published.printed import printed

ERRORS = facts_of("printed-errors.json")
LEFT_OUT = {"up-10-75-formula": "capacitors come later", "up-8-cyu-a-Q3": "capacitors come later"}
CASES = [(name, form) for name in ERRORS if name not in LEFT_OUT for form in FORMS]


@pytest.mark.parametrize(("name", "form"), CASES)
def test_a_wrong_printed_answer_is_contradicted(name: str, form: str) -> None:
    fact = ERRORS[name]
    asked = Asked(fact, build(fact, form))
    believed = [
        f"{fact['source']}: {quantity} = {text}"
        for quantity, text in fact["published"].items()
        if printed(text).bears(asked.number(quantity), exact=fact["exact"])
    ]
    assert believed == []


@pytest.mark.parametrize(("name", "form"), CASES)
def test_the_corrected_answer_is_confirmed(name: str, form: str) -> None:
    fact = ERRORS[name]
    asked = Asked(fact, build(fact, form))
    doubted = [
        f"{fact['source']}: {quantity} = {text}"
        for quantity, text in fact["correct"].items()
        if not printed(text).bears(asked.number(quantity), exact=fact["exact"])
    ]
    assert doubted == []


def test_only_errors_with_capacitors_are_left_out() -> None:
    holding = [n for n, fact in ERRORS.items() if any("capacitor" in edge for edge in fact["branches"])]
    assert dict.fromkeys(holding, "capacitors come later") == LEFT_OUT
    assert len(ERRORS) == 9
