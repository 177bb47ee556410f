"""Curves against SymPy, which solves Kirchhoff's equations written here by hand, and against print."""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy

from loopwright.circuit.plots_asked import plot_asked
from loopwright.errors import FaultyMaterial
from loopwright.plots.curve_data import curve_data
from loopwright.plots.curves import CurveData, PointName
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

E1, E2, R1, R2, RH = NAMES = sympy.symbols("E1 E2 R1 R2 Rh", positive=True)
NUMBERS = {E1: 23, E2: 18, R1: 4, R2: 3, RH: 5}


def by_sympy(quantity: str, moved: sympy.Symbol | tuple[sympy.Symbol, ...]) -> sympy.Expr:
    """A quantity of the circuit of a charger, a battery and a heater, by SymPy, in the symbols moved."""
    ic, ib, ih = sympy.symbols("Ic Ib Ih")
    found = sympy.solve(
        [ic - ib - ih, E1 - ic * R1 - ih * RH, E2 + ib * R2 - ih * RH], [ic, ib, ih], dict=True
    )[0]
    quantities = {
        "Ib": ib,
        "Ic": ic,
        "P(Rh)": ih**2 * RH,
        "P(R2)": ib**2 * R2,
        "P(E2)": -E2 * ib,
        "P(heat)": ic**2 * R1 + ib**2 * R2 + ih**2 * RH,
        "Ih/Ib": ih / ib,
        "V(bus, rail)": ih * RH,
        "R(bus, rail)": 1 / (1 / R1 + 1 / R2 + 1 / RH),
    }
    free = moved if isinstance(moved, tuple) else (moved,)
    rest = {name: value for name, value in NUMBERS.items() if name not in free}
    return sympy.cancel(quantities[quantity].subs(found).subs(rest))


def curve(text: str, circuit: str = CHARGE_OR_HELP_IN_NUMBERS) -> CurveData:
    read = circuit_of(circuit)
    return curve_data(read, plot_asked(text, read))


def fraction(value: object) -> Fraction:
    return Fraction(str(sympy.nsimplify(value)))


@pytest.mark.parametrize("moved", NAMES, ids=str)
@pytest.mark.parametrize(
    "quantity", ["Ib", "P(Rh)", "P(R2)", "P(E2)", "P(heat)", "Ih/Ib", "V(bus, rail)", "R(bus, rail)"]
)
def test_ends_zeros_poles_and_extremes_are_those_of_an_unrelated_library(
    quantity: str, moved: sympy.Symbol
) -> None:
    found, form = curve(f"{quantity} against {moved}"), by_sympy(quantity, moved)
    for end, limit in zip(
        found.ends, (sympy.limit(form, moved, 0, "+"), sympy.limit(form, moved, sympy.oo)), strict=True
    ):
        assert (end.limit is None) == bool(limit.is_infinite)
        assert end.limit == fraction(limit) if end.limit is not None else end.sign == sympy.sign(limit)
    above, below = sympy.fraction(sympy.together(form))
    zeros = sorted(z for z in sympy.roots(sympy.Poly(above, moved)) if z.is_positive)
    told = (PointName.REVERSAL, PointName.TOUCH)
    assert [p.at.exact for p in found.points if p.name in told] == [fraction(z) for z in zeros]
    poles = sorted(z for z in sympy.roots(sympy.Poly(below, moved)) if z.is_positive)
    assert [pole.at.exact for pole in found.poles] == [fraction(pole) for pole in poles]
    slope = sympy.fraction(sympy.together(sympy.diff(form, moved)))[0]
    flat = [z for z in sympy.roots(sympy.Poly(slope, moved)) if z.is_positive and z not in (*zeros, *poles)]
    tops = [p for p in found.points if p.name not in (*told, PointName.OWN)]
    assert [abs(float(p.at.near) - float(z)) < 1e-12 for p, z in zip(tops, sorted(flat), strict=True)] == [
        True
    ] * len(flat)
    for point, at in zip(tops, sorted(flat), strict=True):
        second = sympy.diff(form, moved, 2).subs(moved, at)
        assert (second < 0) == (point.name in (PointName.GREATEST, PointName.LOCALLY_GREATEST))
        assert abs(float(point.result.near) - float(form.subs(moved, at))) < 1e-12
    assert found.own is not None
    assert found.own.result.exact == fraction(form.subs(moved, NUMBERS[moved]))


LOAD = """
[branches]
I = "g, +E, p"
IL = "p, RL, g"
[elements]
E = { value = "E", internal = "r" }
[numbers]
E = "12.00 V"
r = "0.100 ohm"
RL = "10.00 ohm"
"""


def test_a_load_takes_most_when_it_equals_the_internal_resistance() -> None:
    """E²/(4 r) at RL = r: any textbook; OpenStax, University Physics Volume 2, ch. 10; from memory."""
    (top, _) = curve("P(RL) against RL", LOAD).points
    assert top.name is PointName.GREATEST
    assert top.at.exact == Fraction(1, 10)
    assert top.result.exact == Fraction(12) ** 2 / (4 * Fraction(1, 10))


@pytest.mark.parametrize(("load", "current"), [("10.00", "1.188"), ("0.500", "20.00")])
def test_the_current_of_a_loaded_battery_is_as_printed(load: str, current: str) -> None:
    """OpenStax, University Physics Volume 2, Example 10.1 (a) and (b): one battery, two loads."""
    found = curve("IL against RL", LOAD).result(Fraction(load))
    assert abs(found - Fraction(current)) <= Fraction(1, 2000)


def test_the_load_of_greatest_power_of_a_network_is_as_printed() -> None:
    """T. R. Kuphaldt, Lessons In Electric Circuits, Volume I (DC), ch. 10, maximum power transfer theorem
    (from memory): 28 V, 7 V, 4 Ω and 1 Ω leave 39.2 W at most, at 0.8 Ω; 37.11 W at 0.5 Ω, 38.22 W at
    1.1 Ω."""
    found = curve(
        "P(R2) against R2",
        '[branches]\nI1 = "g, +E1, R1, p"\nI2 = "p, R2, g"\nI3 = "g, +E2, R3, p"\n'
        '[numbers]\nE1 = "28 V"\nE2 = "7 V"\nR1 = "4 ohm"\nR2 = "2 ohm"\nR3 = "1 ohm"\n',
    )
    top = next(p for p in found.points if p.name is PointName.GREATEST)
    assert (top.at.exact, top.result.exact) == (Fraction(4, 5), Fraction(196, 5))
    assert round(float(found.result(Fraction(1, 2))), 2) == 37.11
    assert round(float(found.result(Fraction(11, 10))), 2) == 38.22


DIVIDER = """
[branches]
I = "g, +E, R1, m"
I2 = "m, R2, g"
[numbers]
E = "12 V"
R1 = "1 kohm"
R2 = "2 kohm"
"""


def test_a_divider_gives_nothing_at_one_end_and_all_at_the_other() -> None:
    """E R2/(R1 + R2): the voltage divider (common practice, no source)."""
    found = curve("V(m, g) against R2", DIVIDER)
    assert [end.limit for end in found.ends] == [0, 12]
    (own,) = found.points
    assert own.name is PointName.OWN
    assert own.result.exact == 8


def test_a_current_without_bound_is_told_with_its_sign() -> None:
    found = curve("I against R1", '[branches]\nI = "a, -E1, R1, a"\n[numbers]\nE1 = "9 V"\nR1 = "3 ohm"\n')
    assert found.ends[0].limit is None
    assert found.ends[0].sign == -1
    assert found.ends[1].limit == 0


def test_a_straight_line_to_come_near_to_is_told() -> None:
    text = '[branches]\nI = "a, +J1, R1, b"\nI2 = "b, R2, a"\n'
    text += '[numbers]\nJ1 = "2 A"\nR1 = "3 ohm"\nR2 = "4 ohm"\n'
    assert curve("P(J1) against R1", text).ends[1].leaning == (Fraction(4), Fraction(16))


def test_a_zero_at_a_square_root_is_told_exactly() -> None:
    """The heats in R1 and R2 are equal where 4 Ic² = 3 Ib², at a root that is no fraction."""
    zeros = [p for p in curve("P(R1) - P(R2) against E1").points if p.name is PointName.REVERSAL]
    heats = by_sympy("Ib", E1) ** 2 * 3, by_sympy("Ic", E1) ** 2 * 4
    wanted = [z for z in sympy.solve(heats[0] - heats[1], E1) if z.is_positive]
    assert [p.at.surd is not None and p.at.exact is None for p in zeros] == [True] * len(wanted) != []
    for point, at in zip(zeros, sorted(wanted), strict=True):
        surd = point.at.surd
        assert surd is not None
        plain, factor, under = (
            sympy.Rational(part.constant()) for part in (surd.plain, surd.factor, surd.under)
        )
        assert sympy.simplify(plain + factor * sympy.sqrt(under) - at) == 0


def test_an_extreme_without_a_root_is_told_within_an_interval() -> None:
    text = (
        '[branches]\nI1 = "g, +E, R1, p"\nI2 = "p, R2, g"\nI3 = "p, R3, R4, g"\n[elements]\nR3 = "R2"\n'
        '[numbers]\nE = "10 V"\nR1 = "1 ohm"\nR2 = "2 ohm"\nR4 = "3 ohm"\n'
    )
    top = next(p for p in curve("P(R2) against R2", text).points if p.name is PointName.GREATEST)
    x = sympy.Symbol("x", positive=True)
    seen = x * (x + 3) / (2 * x + 3)
    power = (10 * seen / (1 + seen)) ** 2 / x
    slope = sympy.Poly(sympy.fraction(sympy.together(power.diff(x)))[0], x)
    assert any(abs(float(top.at.near) - float(z)) < 1e-12 for z in slope.nroots() if z.is_real)
    assert abs(float(top.result.near) - float(power.subs(x, float(top.at.near)))) < 1e-9
    assert top.at.exact is None
    assert top.at.surd is None


def test_a_value_that_others_share_moves_them_all() -> None:
    text = '[branches]\nI = "a, +E, R1, R2, a"\n[elements]\nR2 = "2 R1"\n[numbers]\nE = "6 V"\nR1 = "1 ohm"\n'
    assert curve("I against R1", text).result(Fraction(2)) == 1


def test_a_question_without_a_value_is_refused_in_words() -> None:
    text = CHARGE_OR_HELP_IN_NUMBERS
    with pytest.raises(FaultyMaterial, match=r"Ih/\(Ib - Ib\)|no value"):
        curve("Ih/(Ib - Ib) against Rh", text)
