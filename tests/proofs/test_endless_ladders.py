"""Ladders without end: the root put back, finite ladders laid out branch by branch, published values.

That R = R1/2 + sqrt(R1²/4 + R1 R2) for a series and a shunt resistance, the golden ratio for equal ones, and
(1 + √3) R for three equal resistors a section, are textbook results (Feynman, Lectures on Physics II, sec.
22-6, for the first; the others from memory, no single source).
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.circuit.circuit import Circuit, resistor
from loopwright.circuit.elements import Branch, Ladder, Pass
from loopwright.errors import FaultyMaterial
from loopwright.expressions.nodes import Symbol
from loopwright.solve.endless_ladder import EndlessLadder, endless_ladder, finite_resistance
from tests.strategies import POSITIVE

SECTIONS = {
    "series and shunt": "ac cb",
    "shunt first": "ab ac",
    "two rails": "ac cd bd",
    "T": "am mb mc",
    "crossed": "ac ad bd bc cd",
    "bridged": "am mc ac mb cb",
}


def section(edges: str, end: str, symbols: list[str] | None = None) -> Circuit:
    """One section between a, b and the two points of `end`, with these symbols for its resistances."""
    names = [f"R{n}" for n, _ in enumerate(edges.split(), 1)]
    values = symbols or names
    branches = tuple(
        Branch(f"I{n}", a, b, (Pass(f"R{n}"),)) for n, (a, b) in enumerate(map(tuple, edges.split()), 1)
    )
    elements = {name: resistor(name, Symbol(value)) for name, value in zip(names, values, strict=True)}
    ladder = Ladder(tuple(b.name for b in branches), ("a", "b"), (end[0], end[1]))
    return Circuit(branches, elements, ladder=ladder)


def worked(name: str) -> EndlessLadder:
    edges = SECTIONS[name]
    return endless_ladder(section(edges, "cd" if "d" in edges else "cb"))


def told(found: EndlessLadder) -> tuple[str, str, str]:
    return tuple(map(str, (found.resistance.plain, found.resistance.factor, found.resistance.under)))  # type: ignore[return-value]


def numbers(found: EndlessLadder) -> dict[str, Fraction]:
    return {symbol: Fraction(n, 3) for n, symbol in enumerate(found.circuit.symbols, 2)}


def test_series_and_shunt_have_the_textbook_form() -> None:
    assert told(worked("series and shunt")) == ("(R1)/(2)", "(1)/(2)", "R1^2 + 4*R1*R2")


def test_equal_resistors_show_the_golden_ratio() -> None:
    found = endless_ladder(section("ac cb", "cb", ["R", "R"]))
    assert told(found) == ("(R)/(2)", "(R)/(2)", "5")


def test_three_equal_resistors_a_section_show_one_plus_root_three() -> None:
    assert told(endless_ladder(section("ac cd bd", "cd", ["R"] * 3))) == ("R", "R", "3")


def test_a_root_that_comes_out_whole_has_no_root_left() -> None:
    """R1 = 2, R2 = 4: R = 4, in numbers from the start."""
    found = worked("series and shunt").resistance.value({"R1": Fraction(2), "R2": Fraction(4)})
    assert found == 4


@pytest.mark.parametrize("name", SECTIONS)
def test_the_root_put_back_leaves_nothing_and_any_other_number_does(name: str) -> None:
    found = worked(name)
    assert not found.residue(found.resistance)
    assert not found.residue(found.resistance.conjugate())
    assert found.residue(found.resistance + found.circuit.field.one)


@pytest.mark.parametrize("name", SECTIONS)
def test_only_one_root_is_positive(name: str) -> None:
    found = worked(name)
    a, b, c, d = found.coefficients
    assert all(count > 0 for ratio in (a, b, c, d) for _, count in ratio.terms())
    assert found.resistance.value(numbers(found)) > 0 > found.resistance.conjugate().value(numbers(found))


@pytest.mark.parametrize("name", SECTIONS)
def test_finite_ladders_fall_to_it_and_each_section_closes_the_same_share_of_the_gap(name: str) -> None:
    found = worked(name)
    values = numbers(found)
    limit, factor = found.resistance.value(values), found.gap_factor(values)
    finite = [finite_resistance(found.circuit, count, values) for count in range(1, 10)]
    gaps = [seen - limit for seen in finite if seen is not None]
    assert all(0 < after < before for before, after in pairwise(gaps))
    assert float(gaps[-1] / gaps[-2]) == pytest.approx(float(factor), rel=1e-2)


@settings(max_examples=15)
@given(data=st.data())
def test_random_sections_end_where_their_long_ladders_end(data: st.DataObject) -> None:
    """Random two-rail sections with a branch across and others beside it; 12 sections against the root."""
    extra = data.draw(st.lists(st.sampled_from(["ac", "ad", "bc", "bd", "cd", "am", "cm", "bm"]), max_size=3))
    lone = ["am", "mc"] if any("m" in edge for edge in extra) else []
    circuit = section(" ".join(["ac", "bd", "cd", *lone, *extra]), "cd")
    found = endless_ladder(circuit)
    values = {symbol: data.draw(POSITIVE) for symbol in circuit.symbols}
    limit = found.resistance.value(values)
    near, nearer = (finite_resistance(circuit, count, values) for count in (11, 12))
    assert near is not None
    assert nearer is not None
    assert near >= nearer >= limit - Fraction(1, 10**30)
    assert nearer - limit <= (near - limit) * Fraction(999, 1000) + Fraction(1, 10**20)


@pytest.mark.parametrize(("edges", "end"), [("ac bd", "cd"), ("ac", "cb")])
def test_a_section_without_a_branch_across_has_no_end_to_its_resistance(edges: str, end: str) -> None:
    with pytest.raises(FaultyMaterial) as refused:
        endless_ladder(section(edges, end))
    assert [finding.code for finding in refused.value.findings] == ["ladder/grows-without-limit"]


def test_a_section_of_wires_along_the_rails_falls_to_zero() -> None:
    circuit = section("ab", "ab")
    wired = Circuit(
        (*circuit.branches, Branch("I2", "a", "c", ())),
        circuit.elements,
        ladder=Ladder(("I1", "I2"), ("a", "b"), ("c", "b")),
    )
    with pytest.raises(FaultyMaterial) as refused:
        endless_ladder(wired)
    assert [finding.code for finding in refused.value.findings] == ["ladder/falls-to-zero"]


def test_an_ordinary_circuit_is_refused() -> None:
    circuit = section("ac cb", "cb")
    with pytest.raises(FaultyMaterial) as refused:
        endless_ladder(Circuit(circuit.branches, circuit.elements))
    assert [finding.code for finding in refused.value.findings] == ["ladder/has-an-end"]
