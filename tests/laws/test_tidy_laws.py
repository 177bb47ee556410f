"""What holds for the tidy form of any ratio."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.algebra.ratios import Field, Ratio
from loopwright.expressions.nodes import Expr, Negative, Power, Product, Quotient, Sum, written_symbols
from loopwright.expressions.tidy import parallel_form, tidy
from loopwright.expressions.values import ratio_of

NAMES = ("E1", "E2", "R1", "R2", "R3", "R4")
FIELD = Field(NAMES)


def polynomials(highest: int, most: int = 7) -> st.SearchStrategy[Ratio]:
    exponents = st.tuples(*[st.integers(0, highest)] * len(NAMES))
    coefficients = st.sampled_from([1, 1, 1, -1, -1, 2, -2, 3, 6])
    return st.dictionaries(exponents, coefficients, min_size=1, max_size=most).map(FIELD.polynomial)


ratios = st.builds(lambda above, below: above / below, polynomials(2, 5), polynomials(1, 4))
networks = st.recursive(
    st.sampled_from(["R1", "R2", "R3", "R4"]).map(FIELD.symbol),
    lambda inner: st.tuples(inner, inner, st.booleans()).map(
        lambda made: made[0] + made[1] if made[2] else made[0] * made[1] / (made[0] + made[1])
    ),
    max_leaves=6,
)


@given(ratios)
def test_the_form_has_the_value(value: Ratio) -> None:
    assert ratio_of(tidy(value), FIELD) == value


@given(ratios)
def test_tidying_again_changes_nothing(value: Ratio) -> None:
    assert tidy(ratio_of(tidy(value), FIELD)) == tidy(value)


@given(polynomials(1, 9) | polynomials(3, 6))
def test_the_form_is_never_longer_than_the_expanded_one(value: Ratio) -> None:
    expanded = sum(sum(map(bool, e)) + (abs(c) != 1 or not any(e)) for e, c in value.terms())
    assert written_symbols(tidy(value)) <= expanded


@given(ratios, st.randoms(use_true_random=False))
def test_the_order_of_the_fields_symbols_does_not_matter(value: Ratio, chance: random.Random) -> None:
    order = [*NAMES, "R5"]
    chance.shuffle(order)
    assert tidy(value.at({}, Field(order))) == tidy(value)


@given(polynomials(1) | polynomials(2))
def test_the_opposite_has_the_same_length(value: Ratio) -> None:
    assert written_symbols(tidy(-value)) == written_symbols(tidy(value))


@given(ratios)
def test_no_sum_adds_a_negative_in_front_and_no_minus_meets_another(value: Ratio) -> None:
    assert _is_well_signed(tidy(value))


def _is_well_signed(expr: Expr) -> bool:
    match expr:
        case Sum(terms):
            return not isinstance(terms[0], Negative) and all(map(_is_well_signed, terms))
        case Product(parts):
            return not any(isinstance(p, Negative) for p in parts) and all(map(_is_well_signed, parts))
        case Negative(body):
            return not isinstance(body, Negative) and _is_well_signed(body)
        case Power(base, _):
            return not isinstance(base, Negative) and _is_well_signed(base)
        case Quotient(above, below):
            return not isinstance(below, Negative) and _is_well_signed(above) and _is_well_signed(below)
    return True


@settings(max_examples=60)
@given(networks, st.sampled_from(["E1", "E2"]))
def test_parallel_forms_have_the_value_and_are_no_longer(seen: Ratio, source: str) -> None:
    for value in (seen, FIELD.symbol(source) / seen, FIELD.symbol(source) * FIELD.symbol("R1") / seen):
        form = parallel_form(value, NAMES[2:])
        if form is not None:
            assert ratio_of(form, FIELD) == value
            assert written_symbols(form) <= written_symbols(tidy(value))
