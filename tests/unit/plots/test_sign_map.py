"""Maps against SymPy, which solves Kirchhoff's equations written here by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy

from loopwright.expressions.writers import plain
from loopwright.plots.formulas import general_boundary
from loopwright.plots.maps import SignMap
from loopwright.plots.plot import MapPlot, plot
from loopwright.solve.exact import solve
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of
from tests.unit.plots.made_plots import DRIVEN
from tests.unit.plots.test_curve_data import NAMES, NUMBERS, by_sympy

MAPS = [
    ("Ib", "R1", "Rh"),
    ("Ib", "E1", "E2"),
    ("Ib", "R1", "R2"),
    ("Ic", "R1", "Rh"),
    ("Ih/Ib", "Rh", "R1"),
    ("P(E2)", "E1", "R1"),
    ("P(heat) - P(Rh) - P(Rh)", "R1", "Rh"),
]


def mapped(request: str, circuit: str = CHARGE_OR_HELP_IN_NUMBERS) -> MapPlot:
    found = plot(circuit_of(circuit), request)
    assert isinstance(found, MapPlot)
    return found


@pytest.mark.parametrize(("quantity", "one", "other"), MAPS, ids=[" ".join(m) for m in MAPS])
def test_every_point_has_the_sign_that_an_unrelated_library_finds(
    quantity: str, one: str, other: str
) -> None:
    found = mapped(f"sign of {quantity} over {one}, {other}").found
    symbols = {str(name): name for name in NAMES}
    form = sympy.Integer(0)
    for k, part in enumerate(quantity.split(" - ")):
        whole = by_sympy(part, (symbols[one], symbols[other]))
        form = whole if k == 0 else form - whole
    signs = set()
    for i in range(1, 12):
        for j in range(1, 12):
            point = tuple(
                NUMBERS[symbols[name]] * Fraction(n, 12 - n) * Fraction(101, 100)
                for name, n in ((one, i), (other, j))
            )
            exact = form.subs(
                {symbols[n]: sympy.Rational(v) for n, v in zip((one, other), point, strict=True)}
            )
            sign = int(sympy.sign(exact))
            signs.add(sign)
            assert found.regions[found.region_at((point[0], point[1]))].sign == sign
    assert signs <= {region.sign for region in found.regions}


def formula(found: SignMap) -> list[str]:
    solution = solve(found.circuit)
    told = [general_boundary(solution, found, boundary) for boundary in found.boundaries]
    return [f"{plain.render(each.left)} = {plain.render(each.right)}" for each in told if each is not None]


def test_the_boundary_is_the_numerator_of_the_closed_form_solved_where_it_is_linear() -> None:
    assert formula(mapped("sign of Ib over R1, Rh").found) == ["Rh = E2 R1/(E1 − E2)"]
    assert formula(mapped("sign of I4 over R1, J1", DRIVEN).found) == ["J1 = E1/R1"]


def test_a_current_that_never_turns_has_one_region_and_no_boundary() -> None:
    found = mapped("sign of Ic over R1, Rh").found
    assert not found.boundaries
    assert [region.sign for region in found.regions] == [1]


def test_a_boundary_that_is_linear_in_neither_value_leaves_regions_that_lie_apart() -> None:
    found = mapped("sign of P(R1) - P(R2) over R1, Rh").found
    assert sorted(region.sign for region in found.regions) == [-1, -1, 1]
    assert len(found.cuts) >= 2


def test_a_boundary_without_bound_is_told_as_such() -> None:
    found = mapped("sign of Ih/Ib over R1, Rh")
    assert [boundary.unbounded for boundary in found.found.boundaries] == [True]
    assert "Ih/Ib has no bound where Rh = 18 R1/5" in found.words


def test_words_tell_the_boundary_and_which_way_the_current_runs() -> None:
    words = mapped("sign of Ib over R1, Rh").words
    assert "Ib is zero, and changes its sign, where Rh = 18 R1/5" in words
    assert "At R1 = 4.00 Ω and Rh = 3.00 Ω, Ib runs against its arrow, from rail to bus." in words
    assert "At R1 = 4.00 Ω and Rh = 30.0 Ω, Ib runs along its arrow, from bus to rail." in words
