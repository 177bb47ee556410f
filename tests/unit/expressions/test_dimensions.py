"""Kinds of quantity: counted as SymPy counts the units put in, and told where two of them meet."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st
from sympy.physics import units
from sympy.physics.units.systems.si import dimsys_SI

from loopwright.circuit.elements import DIMENSION_OF, Kind
from loopwright.expressions.dimensions import (
    AMPERE,
    OF_UNIT,
    OHM,
    PLAIN,
    SECOND,
    VOLT,
    WATT,
    Clash,
    Dimension,
    dimension,
    of_unit,
)
from loopwright.expressions.nodes import Equation, Expr, Symbol
from loopwright.expressions.parse import expression

KINDS = {"V": VOLT, "J": AMPERE, "R": OHM, "P": WATT, "k": PLAIN}
UNITS = {"V": units.volt, "A": units.ampere, "Ω": units.ohm, "W": units.watt, "S": units.siemens}


def of(text: str, bare: Dimension | None = PLAIN) -> Dimension | None:
    return dimension(expression(text), KINDS.get, bare)


@pytest.mark.parametrize("unit", UNITS)
def test_every_unit_is_the_product_of_volts_and_amperes_that_the_si_makes_of_it(unit: str) -> None:
    kind = OF_UNIT[unit]
    made = units.volt.dimension**kind.volts * units.ampere.dimension**kind.amperes
    assert dimsys_SI.equivalent_dims(made, UNITS[unit].dimension)


@pytest.mark.parametrize(("unit", "kind"), [("kΩ", OHM), ("kΩ²", OHM**2), ("mA", AMPERE), ("", PLAIN)])
def test_a_prefix_changes_no_kind_and_a_square_doubles_it(unit: str, kind: Dimension) -> None:
    assert of_unit(unit) == kind
    assert of_unit("kg") is None


def test_an_element_has_the_kind_of_its_unit() -> None:
    assert DIMENSION_OF == {
        Kind.RESISTOR: OHM,
        Kind.BATTERY: VOLT,
        Kind.CURRENT_SOURCE: AMPERE,
        Kind.CAPACITOR: SECOND / OHM,
        Kind.COIL: SECOND * OHM,
    }


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("5 V", VOLT),
        ("R", OHM),
        ("V + R J", VOLT),
        ("-J", AMPERE),
        ("2 R J", VOLT),
        ("V/R", AMPERE),
        ("J^2 R", WATT),
        ("R ∥ R ∥ 3 Ω", OHM),
        ("1/(1/R + 1/R)", OHM),
        ("k^3", PLAIN),
    ],
)
def test_the_kind_of_every_kind_of_node(text: str, kind: Dimension) -> None:
    assert of(text) == kind


@pytest.mark.parametrize(
    ("text", "wanted", "found", "part"),
    [
        ("V + R", VOLT, OHM, Symbol("R")),
        ("R (V + x + J)", VOLT, AMPERE, Symbol("J")),
        ("R ∥ V", OHM, VOLT, Symbol("V")),
        ("V - R", VOLT, OHM, None),
        ("x (V + R V)", VOLT, OHM * VOLT, None),
    ],
)
def test_a_sum_tells_what_does_not_fit_what_stands_before_it(
    text: str, wanted: Dimension, found: Dimension, part: Expr | None
) -> None:
    with pytest.raises(Clash) as clash:
        of(text)
    assert (clash.value.wanted, clash.value.found, clash.value.part) == (wanted, found, part)


def test_both_sides_of_an_equation_are_of_one_kind() -> None:
    assert dimension(Equation(expression("V"), expression("J R")), KINDS.get) == VOLT
    with pytest.raises(Clash):
        dimension(Equation(expression("V"), expression("J")), KINDS.get)


@pytest.mark.parametrize(("text", "kind"), [("x", None), ("3 R", None), ("R + 3", OHM), ("3", None)])
def test_a_number_without_a_unit_may_be_of_any_kind(text: str, kind: Dimension | None) -> None:
    assert of(text, bare=None) == kind


def test_zero_is_of_any_kind_and_other_plain_numbers_are_not() -> None:
    assert of("V + 0 J + 0 V") == VOLT
    assert of("V + 0") == VOLT
    with pytest.raises(Clash):
        of("V + 1")


# -- random products and fractions --------------------------------------------------------------------

FACTORS = st.lists(st.tuples(st.sampled_from([*"VJRP"]), st.integers(1, 3)), min_size=1, max_size=4)


def written(factors: Sequence[tuple[str, int]]) -> str:
    return " * ".join(f"{name}^{power}" if power > 1 else name for name, power in factors)


@given(FACTORS, FACTORS)
def test_products_and_fractions_count_as_sympy_counts_powers(
    above: Sequence[tuple[str, int]], below: Sequence[tuple[str, int]]
) -> None:
    volt, ampere = sympy.symbols("volt ampere", positive=True)
    meaning = {"V": volt, "J": ampere, "R": volt / ampere, "P": volt * ampere}
    parts = [sympy.Mul(*(meaning[name] ** power for name, power in part)) for part in (above, below)]
    powers = (parts[0] / parts[1]).as_powers_dict()
    fraction = f"({written(above)})/({written(below)})"
    assert of(f"{fraction} + {fraction}") == Dimension(int(powers[volt]), int(powers[ampere]))
