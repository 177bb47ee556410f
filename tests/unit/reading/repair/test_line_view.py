"""What kind of line it is, what its terms are, and which law of the circuit it is, term by term."""

from __future__ import annotations

import pytest

from loopwright.expressions.nodes import Equation
from loopwright.expressions.parse import equation
from loopwright.expressions.writers.plain import render
from loopwright.reading.repair.law_terms import monomials
from loopwright.reading.repair.line_view import LineShape, LineView, NameSort
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
LOOPS = {"ia": {"Ic": 1}, "ib": {"Ib": 1}}


def line(text: str, *more: str) -> Equation:
    return equation(text, (*CIRCUIT.symbols, *CIRCUIT.currents, *more))


def view(text: str, names: dict[str, dict[str, int]] | None = None) -> LineView:
    return LineView(line(text, *(names or {})), CIRCUIT, names or {}, {})


@pytest.mark.parametrize(
    ("text", "shape"),
    [
        ("E1 - Ic R1 - Ih Rh = 0", LineShape.LOOP),
        ("23 - 4 Ic = 5 Ih", LineShape.LOOP),
        ("E1 = Ic R1 + Ih Rh", LineShape.LOOP),
        ("Ic = Ib + Ih", LineShape.JUNCTION),
        ("Ic = 2 A", LineShape.RESULT),
        ("Ic = (E1 - Ih Rh)/R1", LineShape.RESULT),
        ("R1 + R2 = Rh", LineShape.OTHER),
    ],
)
def test_the_shape_of_a_line(text: str, shape: LineShape) -> None:
    assert view(text).shape is shape


def test_what_names_stand_for() -> None:
    found = LineView(line("Ic = Ic"), CIRCUIT, {"Va": {"φ bus": 1}, "x": {"Ic": -1}}, {})
    names = ("Ic", "x", "Va", "E1", "R1", "V(bus, rail)", "D")
    current, voltage = NameSort.CURRENT, NameSort.VOLTAGE
    wanted = [current, current, voltage, NameSort.SOURCE, NameSort.RESISTANCE, voltage, NameSort.OTHER]
    assert [found.sort(name) for name in names] == wanted


@pytest.mark.parametrize(
    ("text", "place", "sign"),
    [
        ("E1 - Ic R1 - Ih Rh = 0", "Ic Ih", 1),
        ("Ih Rh + Ic R1 = E1", "Ic Ih", -1),
        ("23 - 4 Ic - 5 Ih = 0", "Ic Ih", 1),
        ("Ib + Ih = Ic", "rail", 1),
        ("2 E1 = 2 Ic R1 + 2 Ih Rh", "Ic Ih", 1),
    ],
)
def test_a_law_is_known_by_its_terms_in_symbols_and_in_numbers(text: str, place: str, sign: int) -> None:
    found = view(text).law_of(line(text))
    assert found is not None
    assert (found[0].place, found[1]) == (place, sign)


@pytest.mark.parametrize("text", ["E1 - Ic R1 + Ih Rh = 0", "Ic = Ih", "Ic = E1/R1", "E1 = E1"])
def test_what_is_no_law_is_taken_for_none(text: str) -> None:
    assert view(text).law_of(line(text)) is None


def test_branch_currents_are_written_in_the_loop_currents_of_the_writer() -> None:
    found = view("E1 - ia R1 - (ia + ib) Rh = 0", LOOPS)
    assert {branch: render(expr) for branch, expr in found.carriers.items()} == {
        "Ic": "ia",
        "Ib": "ib",
        "Ih": "ia − ib",
    }
    assert found.has_loop_currents


def test_quantities_of_different_kinds_clash() -> None:
    found = view("E1 - Ic R1 = 0")
    assert found.clashes(line("E1 - Ic R1 = Ih"))
    assert found.clashes(line("E1 (R1 + R2 Rh) = 0"))
    assert not found.clashes(line("E1 - Ic R1 = Ih Rh"))


def test_a_product_of_sums_is_multiplied_out() -> None:
    """(a + b)(a − b) = a² − b²: any textbook of algebra."""
    found = monomials(line("(R1 + R2) (R1 - R2) = 0").left)
    assert found is not None
    assert {key: int(n) for key, n in found.items() if n} == {("R1", "R1"): 1, ("R2", "R2"): -1}


def test_what_is_divided_by_a_name_is_not_multiplied_out() -> None:
    assert monomials(line("E1/R1 = 0").left) is None


def test_circuits_without_numbers_have_laws_in_symbols_alone() -> None:
    circuit = circuit_of(BRIDGE)
    written = equation("E - I1 R1 - I3 R3 = 0", (*circuit.symbols, *circuit.currents))
    found = LineView(written, circuit, {}, {}).law_of(written)
    assert found is not None
    assert dict(found[0].loop) == {"I": 1, "I1": 1, "I3": 1}
    assert circuit_of(CHARGE_OR_HELP).has_all_numbers is False


@pytest.mark.parametrize(
    ("text", "below"),
    [("Ic = (E1 - Ih Rh)/R1", ["R1"]), ("Ic R1 = E1 - Ih Rh", []), ("Ic = E1/(R1 + Rh)", ["R1 + Rh"])],
)
def test_what_a_solved_line_was_divided_by(text: str, below: list[str]) -> None:
    assert [render(divisor) for divisor in view(text).divisors] == below
