"""Results with combinations in parallel: offered where they are as short, and only then."""

from __future__ import annotations

import pytest

from loopwright.algebra.ratios import Field
from loopwright.expressions.series_parallel import may_be_seen, series_parallel
from loopwright.expressions.tidy import parallel_form, same
from tests.plain_text import plain, ratio

FIELD = Field(["E", "E1", "E2", "J", "R", "R1", "R2", "R3", "R4", "R5", "Rh", "r"])
RESISTANCES = tuple(name for name in FIELD.symbols if name[0] in "Rr")
D = "(R1*R2 + R1*Rh + R2*Rh)"


def offered(text: str) -> str | None:
    value = ratio(text, FIELD)
    form = parallel_form(value, RESISTANCES)
    assert form is None or same(form, value)
    return plain(form) if form else None


@pytest.mark.parametrize(
    ("given", "form"),
    [
        ("R1*R2/(R1 + R2)", "R1 ∥ R2"),
        (f"R1*R2*Rh/{D}", "R1 ∥ R2 ∥ Rh"),
        ("R1 + R2*R3/(R2 + R3)", "R1 + R2 ∥ R3"),
        ("R1*R2/(R1 + R2) + R3*R4/(R3 + R4)", "R1 ∥ R2 + R3 ∥ R4"),
        ("(R1 + R2)*(R3 + R4)/(R1 + R2 + R3 + R4)", "(R1 + R2) ∥ (R3 + R4)"),
        ("1/(1/R1 + 1/(R2 + 1/(1/R3 + 1/(R4 + R5))))", "R1 ∥ (R2 + R3 ∥ (R4 + R5))"),
        ("R*(R + 2*r)/(R + r)", "R + R ∥ r"),
        ("1/(1/R + 1/(R + r))", "R ∥ (R + r)"),
    ],
)
def test_a_resistance_is_written_as_it_is_connected(given: str, form: str) -> None:
    assert offered(given) == form


@pytest.mark.parametrize(
    ("given", "form"),
    [
        (f"E*(R2 + Rh)/{D}", "E/(R1 + R2 ∥ Rh)"),
        (f"E*R2*Rh/{D}", "E (R2 ∥ Rh)/(R1 + R2 ∥ Rh)"),
        (f"E*Rh/{D}", "E/(R1 + R2 ∥ Rh) Rh/(R2 + Rh)"),
        (f"-E*Rh/{D}", "-E/(R1 + R2 ∥ Rh) Rh/(R2 + Rh)"),
        (f"(E1*(R2 + Rh) - E2*Rh)/{D}", "(E1 - E2 Rh/(R2 + Rh))/(R1 + R2 ∥ Rh)"),
        (f"(E1*R2 + E2*R1)/{D}", "(E1 R2 + E2 R1)/((R1 + R2) (Rh + R1 ∥ R2))"),
        ("J*R1*R2/(R1 + R2)", "J (R1 ∥ R2)"),
        ("E*(R1 + R2)/(R1*R2)", "E/(R1 ∥ R2)"),
        ("E*(R2 + 2*R3)/(R1*R2 + 2*R1*R3 + 2*R2*R3)", "E/(R1 + R2 ∥ 2 R3)"),
    ],
)
def test_a_source_drives_what_it_sees(given: str, form: str) -> None:
    assert offered(given) == form


@pytest.mark.parametrize(
    "given",
    [
        "0",
        "R1 + R2",
        "E/R",
        "E1 - E2",
        "E/(R1*R4 - R2*R3)",
        "E*E*R/(R + r)**2",
        "R*R + r*R",
        "(R1 - R2)*R3/(R1 + R3)",
    ],
)
def test_nothing_is_offered_where_nothing_stands_in_parallel(given: str) -> None:
    assert offered(given) is None


def test_an_unbalanced_bridge_is_no_series_and_parallel_combination() -> None:
    """The bridge between its supply points: R5(R1+R2)(R3+R4) + ... over the eight-term determinant."""
    above = "R5*(R1 + R3)*(R2 + R4) + R1*R3*(R2 + R4) + R2*R4*(R1 + R3)"
    seen = ratio(f"({above})/((R1 + R2)*(R3 + R4) + R5*(R1 + R2 + R3 + R4))", FIELD)
    assert series_parallel(seen) is None
    assert parallel_form(seen, RESISTANCES) is None


def test_the_meter_of_an_ideal_bridge_sees_two_pairs_in_parallel() -> None:
    above = "R5*(R1 + R3)*(R2 + R4) + R1*R3*(R2 + R4) + R2*R4*(R1 + R3)"
    expected = "E (R2 R3 - R1 R4)/((R1 + R3) (R2 + R4) (R5 + R1 ∥ R3 + R2 ∥ R4))"
    assert offered(f"E*(R2*R3 - R1*R4)/({above})") == expected


def test_a_source_in_the_denominator_is_no_resistance() -> None:
    assert parallel_form(ratio("E1*E2/(E1 + E2)", FIELD), RESISTANCES) is None


BRIDGE = "(R1*R3*(R2 + R4) + R2*R4*(R1 + R3) + R5*(R1 + R2)*(R3 + R4))"


@pytest.mark.parametrize(
    ("given", "may_be"),
    [
        (f"{D}/(R2 + Rh)", True),
        ("R1 + 2*R2*R3/(R2 + 2*R3)", True),
        ("R*(R + 2*r)/(R + r)", True),  # a resistance met twice: nothing is said
        (f"{BRIDGE}/((R1 + R3)*(R2 + R4) + R5*(R1 + R2 + R3 + R4))", True),  # seen, though by no such form
        (f"{D}/Rh", False),  # an emf over the current in another branch
        ("(R1 + R2)/(R1 + R3)", False),
    ],
)
def test_an_emf_over_the_current_of_another_branch_is_told_from_a_resistance_seen(
    given: str, may_be: bool
) -> None:
    assert may_be_seen(ratio(given, FIELD)) is may_be
    assert may_be_seen(1 / ratio(given, FIELD)) is may_be
