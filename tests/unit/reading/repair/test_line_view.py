"""What kind of line it is, what its terms are, and which law of the circuit it is, term by term."""

from __future__ import annotations

import pytest

from loopwright.expressions.nodes import Equation
from loopwright.expressions.parse import equation
from loopwright.expressions.writers.plain import render
from loopwright.reading.repair.law_terms import monomials
from loopwright.reading.repair.line_view import LineShape, LineView, NameSort
from tests.sample_circuits import BRIDGE, TWO_BATTERIES, TWO_BATTERIES_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(TWO_BATTERIES_IN_NUMBERS)
LOOPS = {"ia": {"I1": 1}, "ib": {"I2": -1}}


def line(text: str, *more: str) -> Equation:
    return equation(text, (*CIRCUIT.symbols, *CIRCUIT.currents, *more))


def view(text: str, names: dict[str, dict[str, int]] | None = None) -> LineView:
    return LineView(line(text, *(names or {})), CIRCUIT, names or {}, {})


@pytest.mark.parametrize(
    ("text", "shape"),
    [
        ("E1 - I1 R1 - I3 R3 = 0", LineShape.LOOP),
        ("12 - 6 I1 = 9 I3", LineShape.LOOP),
        ("E1 = I1 R1 + I3 R3", LineShape.LOOP),
        ("I1 + I2 = I3", LineShape.JUNCTION),
        ("I1 = 2 A", LineShape.RESULT),
        ("I1 = (E1 - I3 R3)/R1", LineShape.RESULT),
        ("R1 + R2 = R3", LineShape.OTHER),
    ],
)
def test_the_shape_of_a_line(text: str, shape: LineShape) -> None:
    assert view(text).shape is shape


def test_what_names_stand_for() -> None:
    found = LineView(line("I1 = I1"), CIRCUIT, {"Va": {"φ top": 1}, "x": {"I1": -1}}, {})
    names = ("I1", "x", "Va", "E1", "R1", "V(top, foot)", "D")
    current, voltage = NameSort.CURRENT, NameSort.VOLTAGE
    wanted = [current, current, voltage, NameSort.SOURCE, NameSort.RESISTANCE, voltage, NameSort.OTHER]
    assert [found.sort(name) for name in names] == wanted


@pytest.mark.parametrize(
    ("text", "place", "sign"),
    [
        ("E1 - I1 R1 - I3 R3 = 0", "I1 I3", 1),
        ("I3 R3 + I1 R1 = E1", "I1 I3", -1),
        ("12 - 6 I1 - 9 I3 = 0", "I1 I3", 1),
        ("I3 = I1 + I2", "foot", 1),
        ("2 E1 = 2 I1 R1 + 2 I3 R3", "I1 I3", 1),
    ],
)
def test_a_law_is_known_by_its_terms_in_symbols_and_in_numbers(text: str, place: str, sign: int) -> None:
    found = view(text).law_of(line(text))
    assert found is not None
    assert (found[0].place, found[1]) == (place, sign)


@pytest.mark.parametrize("text", ["E1 - I1 R1 + I3 R3 = 0", "I1 = I3", "I1 = E1/R1", "E1 = E1"])
def test_what_is_no_law_is_taken_for_none(text: str) -> None:
    assert view(text).law_of(line(text)) is None


def test_branch_currents_are_written_in_the_loop_currents_of_the_writer() -> None:
    found = view("E1 - ia R1 - (ia + ib) R3 = 0", LOOPS)
    assert {branch: render(expr) for branch, expr in found.carriers.items()} == {
        "I1": "ia",
        "I2": "−ib",
        "I3": "ia − ib",
    }
    assert found.has_loop_currents


def test_quantities_of_different_kinds_clash() -> None:
    found = view("E1 - I1 R1 = 0")
    assert found.clashes(line("E1 - I1 R1 = I3"))
    assert found.clashes(line("E1 (R1 + R2 R3) = 0"))
    assert not found.clashes(line("E1 - I1 R1 = I3 R3"))


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
    assert circuit_of(TWO_BATTERIES).has_all_numbers is False
