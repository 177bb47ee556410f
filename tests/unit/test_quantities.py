"""Numbers with units: read exactly, refused with reason and mend, rounded and shown.

Outside sources, from memory: IEC 60062 (letter code: R47 is 0.47 Ω, 4K7 is 4.7 kΩ, 2M2 is 2.2 MΩ);
ISO 80000-1 (prefixes, space before the unit). Rounding of halves away from zero: common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.quantities import (
    UNITS,
    UnreadableQuantity,
    figures_of_data,
    read_quantity,
    read_unit,
    rounded,
    simple,
)


@pytest.mark.parametrize(
    ("text", "value", "unit", "figures"),
    [
        ("4.7 kΩ", Fraction(4700), "Ω", 2),
        ("4.7kohm", Fraction(4700), "Ω", 2),
        ("4.7 k\u2126", Fraction(4700), "Ω", 2),  # the ohm sign
        ("4k7", Fraction(4700), "Ω", 2),
        ("4K7", Fraction(4700), "Ω", 2),
        ("R47", Fraction(47, 100), "Ω", 2),
        ("4R7", Fraction(47, 10), "Ω", 2),
        ("2M2", Fraction(2_200_000), "Ω", 2),
        ("47R", Fraction(47), "Ω", 2),
        ("9.00 V", Fraction(9), "V", 3),
        ("1.5e-3 A", Fraction(3, 2000), "A", 2),
        ("1.5 × 10^-3 A", Fraction(3, 2000), "A", 2),
        ("1.5·10⁻³ A", Fraction(3, 2000), "A", 2),
        ("20 mA", Fraction(1, 50), "A", 2),
        ("3 \u00b5A", Fraction(3, 10**6), "A", 1),  # the micro sign
        ("3 \u03bcA", Fraction(3, 10**6), "A", 1),  # the Greek letter mu
        ("3 uA", Fraction(3, 10**6), "A", 1),
        ("−3 V", Fraction(-3), "V", 1),
        ("1/6 ohm", Fraction(1, 6), "Ω", 0),
        ("4 700 Ω", Fraction(4700), "Ω", 4),
        ("0.050 W", Fraction(1, 20), "W", 2),
        ("2 kilo-ohms", Fraction(2000), "Ω", 1),
        ("7 megohm", Fraction(7_000_000), "Ω", 1),
        ("0.00 V", Fraction(0), "V", 2),
        ("47", Fraction(47), "", 2),
    ],
)
def test_a_quantity_is_read_exactly(text: str, value: Fraction, unit: str, figures: int) -> None:
    found = read_quantity(text)
    assert (found.value, found.unit, found.figures) == (value, unit, figures)
    assert found.text == text


@pytest.mark.parametrize(
    ("text", "value", "figures"),
    [
        ("4n7", Fraction(47, 10**10), 2),
        ("100p", Fraction(1, 10**10), 3),
        ("n47", Fraction(47, 10**11), 2),
        ("2m2 F", Fraction(22, 10**4), 2),
        ("10u", Fraction(1, 10**5), 2),
        ("1F5", Fraction(3, 2), 2),
    ],
)
def test_the_letter_code_of_capacitances_is_read_where_one_may_stand(
    text: str, value: Fraction, figures: int
) -> None:
    found = read_quantity(text, (*UNITS, "F"))
    assert (found.value, found.unit, found.figures) == (value, "F", figures)
    with pytest.raises(UnreadableQuantity):
        read_quantity(text)


@pytest.mark.parametrize(
    ("text", "why", "mend"),
    [
        ("4,7 kΩ", "a comma", "write 4.7 kΩ"),
        ("4,700 Ω", "a comma", "or 4700 Ω if the comma marks thousands"),
        ("47 olm", '"olm" is not a unit', "did you mean ohm"),
        ("4.7 k", "a prefix, not a unit", "write 4.7 kΩ"),
        ("5 Kohm", "a small k", "write 5 kohm"),
        ("3 dA", 'the prefix "d" is not used', "use m, µ, n"),
        ("V", "a unit without a number", "5.0 V"),
        ("", "nothing is written", "4.7 kΩ"),
        ("1/0 V", "its denominator is 0", "other than 0"),
        ("1e99 V", "beyond 30", "exponent"),
        ("9" * 81, "longer than 80 signs", "shorter"),
        ("3 v", '"v" is not a unit', "use V"),
        ("R + )", "not a number", "4.7 kΩ"),
    ],
)
def test_what_is_no_quantity_is_refused_with_reason_and_mend(text: str, why: str, mend: str) -> None:
    with pytest.raises(UnreadableQuantity) as refused:
        read_quantity(text)
    assert why in refused.value.why
    assert mend in refused.value.mend
    assert isinstance(refused.value, ValueError)


@pytest.mark.parametrize(
    ("value", "unit", "figures", "text"),
    [
        (Fraction(2), "A", 3, "2.00 A"),
        (Fraction(1, 3), "A", 3, "333 mA"),
        (Fraction(0), "A", 3, "0 A"),
        (Fraction(4700), "Ω", 2, "4.7 kΩ"),
        (Fraction(9995, 10), "Ω", 3, "1.00 kΩ"),  # rounding reaches the next prefix
        (Fraction(-1, 1000), "W", 3, "−1.00 mW"),
        (Fraction(1, 10**15), "A", 2, "1.0 × 10^-15 A".replace("-", "−")),
        (Fraction(10**17), "V", 3, "1.00 × 10^17 V"),
        (Fraction(5, 2), "A", 1, "3 A"),
        (Fraction(-5, 2), "A", 1, "−3 A"),
        (Fraction(120), "A", 1, "100 A"),
        (Fraction(1, 2), "A", 2, "0.50 A"),  # not 500 mA, whose second nought is no figure
        (Fraction(-1, 2000), "A", 2, "−0.50 mA"),
        (Fraction(1, 4), "W", 1, "0.3 W"),
        (Fraction(1, 2), "A", 3, "500 mA"),
        (Fraction(1, 20), "A", 1, "50 mA"),
        (Fraction(1, 7), "", 4, "0.1429"),
    ],
)
def test_a_value_is_rounded_and_shown_with_a_fitting_prefix(
    value: Fraction, unit: str, figures: int, text: str
) -> None:
    assert str(rounded(value, unit, figures)) == text


def test_fewer_than_one_figure_is_refused() -> None:
    with pytest.raises(ValueError, match="0 significant figures"):
        rounded(Fraction(1), "A", 0)


@given(st.fractions(min_value=-(10**14), max_value=10**14), st.integers(1, 6))
def test_rounding_moves_a_value_by_half_a_last_figure_at_most(value: Fraction, figures: int) -> None:
    near = rounded(value, "A", figures).value
    assert abs(near - value) * 2 * 10 ** (figures - 1) <= abs(value)


@given(st.fractions(min_value=Fraction(1, 10**11), max_value=10**14), st.integers(1, 6))
def test_0_1_to_999_stands_before_the_prefix_and_reads_back(value: Fraction, figures: int) -> None:
    shown = rounded(value, "Ω", figures)
    below_one = value < 1 and figures < 3
    assert (Fraction(1, 10) if below_one else 1) <= Fraction(shown.digits) < 1000
    assert read_quantity(shown.text).value == shown.value


@given(st.fractions(max_denominator=5000))
def test_simple_text_is_exact(value: Fraction) -> None:
    assert Fraction(simple(value)) == value


def test_simple_text_has_decimals_where_they_end() -> None:
    assert [simple(Fraction(t)) for t in ("12", "1/20", "4.70", "-1/6", "1/3000")] == [
        "12",
        "0.05",
        "4.7",
        "-1/6",
        "1/3000",
    ]


def test_a_unit_word_and_its_symbol_are_one_unit() -> None:
    assert read_unit("kilohms") == read_unit("kΩ") == ("kΩ", "Ω", Fraction(1000))
    assert read_unit("farad") is None


@pytest.mark.parametrize(
    ("texts", "figures"),
    [
        (["24.0 V", "2.0 ohm"], 2),
        (["24.0 V", "12 ohm"], 3),
        (["6 V", "12 ohm"], 3),
        (["0.5 V", "12.00 ohm"], 2),
        (["12.00 V", "8.000 ohm"], 4),
        (["4k7", "1/6 ohm"], 2),
        ([], 3),
    ],
)
def test_results_have_the_figures_that_the_data_bear(texts: list[str], figures: int) -> None:
    assert figures_of_data(texts) == figures
