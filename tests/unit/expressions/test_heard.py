"""Formulas are said with every grouping in words, and what is said is heard as the same algebra.

The forms "start fraction ... over ... end fraction", "the quantity ... end quantity", "negative" for a sign
and "minus" for an operation follow published guides to spoken mathematics (Chang 1983; the Nemeth
tradition), from memory.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.errors import BrokenPromise
from loopwright.expressions.heard import NotHeard, heard, speak
from loopwright.expressions.nodes import Equation, Number, Quotient, Symbol
from loopwright.expressions.parse import equation, expression
from loopwright.expressions.sameness import same_algebra
from loopwright.expressions.words import letters_of, spelled
from loopwright.expressions.writers import spoken
from loopwright.expressions.writers.spoken import in_words

EMF = {"E1": "emf", "E2": "emf"}


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("R12", "R sub one two"),
        ("r1", "small r sub one"),
        ("R_AB", "R sub capital A capital B"),
        ("R1 R2", "R sub one times R sub two"),
        ("-I1 R1 - I3 R3", "minus I sub one times R sub one minus I sub three times R sub three"),
        ("E1 (R2 + R3)", "e m f sub one times the quantity R sub two plus R sub three, end quantity"),
        ("E1/R1", "start fraction e m f sub one over R sub one end fraction"),
        ("E3", "E sub three"),
        ("R1 || R2", "R sub one in parallel with R sub two"),
        ("I1^2 R1", "I sub one squared times R sub one"),
        ("(a + b)^4", "the quantity small a plus small b, end quantity, to the power four"),
        ("2.0 kohm", "two point zero kilo-ohms"),
        ("20 mA", "twenty milliamperes"),
        ("1 A", "one ampere"),
        ("0 V", "zero volts"),
        ("1/6 ohm", "start fraction one over six end fraction ohms"),
        ("1.5e-15 A", "one point five times ten to the power negative fifteen amperes"),
        ("84 ohm^2", "eighty-four square ohms"),
        ("V(a, b)", "V sub a b, meaning V at a minus V at b"),
        ("V(top, n2)", "V between top and n two, meaning V at top minus V at n two"),
        ("P(R1)", "the power in R sub one"),
        ("P(E1, terminals)", "the power at the terminals of e m f sub one"),
        ("P(heat)", "the power in heat"),
        (
            "R(b, c) without R5, E1",
            "the resistance between b and c, without R sub five and without e m f sub one",
        ),
        ("V(b, c) without R5", "V sub b c, meaning V at b minus V at c, without R sub five"),
        ("R(a, b)", "the resistance between a and b"),
        ("a - (-2)", "small a minus negative two"),
        ("Rover", "R sub o v e r"),
    ],
)
def test_a_formula_is_said_unmistakably(written: str, said: str) -> None:
    assert speak(expression(written), EMF) == said
    assert same_algebra(heard(said), expression(written))


def test_a_negative_value_and_a_limit_are_said_as_such() -> None:
    assert speak(equation("I1 = -1 A")) == "I sub one equals negative one ampere"
    assert speak(Equation(Symbol("R3"), Symbol("∞"), "→")) == "R sub three grows without limit"
    assert speak(Equation(Symbol("I3"), Number(Fraction(0)), "→")) == "I sub three tends to zero"


def test_a_potential_difference_in_a_product_is_closed_off() -> None:
    assert speak(expression("V(a, b)/R + 2 V(a, c)")) == (
        "start fraction V sub a b, meaning V at a minus V at b, over R end fraction plus two times "
        "the quantity V sub a c, meaning V at a minus V at c, end quantity"
    )


@pytest.mark.parametrize(
    ("said", "position", "why"),
    [
        ("R sub one R sub two", 4, '"sub" does not fit'),
        ("R sub one plus", 4, "a name is missing at the end"),
        ("start fraction R over two", 5, '"end fraction" is missing'),
        ("the quantity R plus two", 5, '"end quantity" is missing'),
        ("V sub a b meaning V at a minus V at c", 12, "the points named are not a and b"),
        ("R to the power one", 5, "between 2 and 30"),
        ("two point volts", 2, "no digit follows"),
        ("twelve twelve", 1, "does not fit"),
        ("", 0, "is missing"),
        ("the quantity " * 5000, 160, "groups stand within one another"),
    ],
)
def test_words_that_are_no_algebra_are_refused(said: str, position: int, why: str) -> None:
    with pytest.raises(NotHeard) as refused:
        heard(said)
    assert refused.value.position == position
    assert why in refused.value.why


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("minus", "plus"),
        ("times", "plus"),
        ("sub two", "sub three"),
        (", end quantity", ""),
        ("the quantity ", ""),
        ("volts", "amperes"),
        ("point five", "point six"),
    ],
)
def test_a_slip_of_the_writer_is_not_published(
    before: str, after: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    formula = equation("I1 = (1.5 V - E1 (R2 + R3))/R2")
    write = spoken.render
    monkeypatch.setattr(spoken, "render", lambda *given: write(*given).replace(before, after))
    assert before in write(formula, {})
    with pytest.raises(BrokenPromise):
        speak(formula)


def test_algebra_is_the_same_across_forms_but_not_across_units() -> None:
    assert same_algebra(expression("a (b + c)"), expression("a b + a c"))
    assert same_algebra(expression("2 kohm"), expression("2000 ohm"))
    assert not same_algebra(expression("2 V"), expression("2 A"))
    assert not same_algebra(expression("a"), expression("b"))
    assert not same_algebra(equation("a = b"), Equation(Symbol("a"), Symbol("b"), "≈"))
    assert same_algebra(Quotient(Symbol("a"), Number(Fraction(0))), expression("a/0"))


@given(st.integers(0, 10**18))
def test_every_whole_number_is_heard_as_it_is_said(count: int) -> None:
    assert heard(in_words(count)) == Number(Fraction(count))


def test_whole_numbers_are_said_as_in_class() -> None:
    assert in_words(120) == "one hundred and twenty"
    assert in_words(1_047) == "one thousand and forty-seven"
    assert in_words(2_300_500) == "two million three hundred thousand five hundred"


@given(st.text(st.sampled_from("abexyzABRX0129_ε∆Ωλ′"), max_size=8))
def test_every_name_is_spelled_back(name: str) -> None:
    assert letters_of(spelled(name)) == name


@pytest.mark.parametrize("name", ["P(R6)(t)", "P(E1, terminals)(t)", "V(R6)(t)", "I1(t)"])
def test_a_function_of_the_time_is_heard_as_one(name: str) -> None:
    assert heard(speak(Symbol(name), EMF)) == Symbol(name)
