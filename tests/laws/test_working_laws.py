"""Laws of reading a working: what is written in any notation is read back; any text at all is borne."""

from __future__ import annotations

import random
from collections.abc import Sequence
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.circuit.circuit import Circuit
from loopwright.expressions.nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
)
from loopwright.expressions.sameness import same_algebra
from loopwright.laws.equations import junction_equation, loop_equation
from loopwright.laws.loops import simple_loops
from loopwright.quantities import rounded
from loopwright.reading.lines import working
from tests.sample_circuits import LADDER, circuit_of
from tests.strategies import circuits
from tests.workings import Notation, written

EXAMPLE = circuit_of(LADDER)
KNOWN = (*EXAMPLE.currents, *EXAMPLE.symbols)
notations = st.sampled_from(Notation)
seeds = st.integers(0, 10**6)


def _measure(value: Fraction, unit: str, figures: int) -> Number:
    shown = rounded(value, unit, figures)
    return Number(shown.value, shown.symbol, shown.digits)


positive = st.fractions(min_value=Fraction(1, 50), max_value=2000, max_denominator=50)
numbers = st.one_of(
    st.integers(1, 99).map(lambda n: Number(Fraction(n))),
    st.decimals(Fraction(1, 10), 99, places=2).map(lambda d: Number(Fraction(d), "", str(d))),
    st.builds(_measure, positive.map(lambda x: x**3), st.sampled_from("VAΩW"), st.integers(1, 4)),
    positive.map(Number),
)
leaves: st.SearchStrategy[Expr] = st.one_of(
    st.sampled_from((*KNOWN, "V(a, b)", "Ix", "R(a, g)", "P(R1)", "I1′")).map(Symbol), numbers
)


def _grown(inner: st.SearchStrategy[Expr]) -> st.SearchStrategy[Expr]:
    several = st.lists(inner, min_size=2, max_size=3).map(tuple)
    return st.one_of(
        several.map(Sum),
        several.map(Product),
        several.map(Parallel),
        inner.map(Negative),
        st.builds(Quotient, inner, inner),
        st.builds(Power, leaves, st.integers(2, 3)),
    )


expressions = st.recursive(leaves, _grown, max_leaves=8)
equations = st.builds(Equation, expressions, expressions, st.sampled_from("==≈"))


def read_back(wanted: Sequence[Equation], text: str, circuit: Circuit) -> None:
    """Sees to it that the working holds exactly these equations, in this order, and no trouble."""
    lines = working(text, circuit).lines
    assert [line.trouble for line in lines if line.trouble] == []
    claims = [claim.written for line in lines for claim in line.claims]
    assert len(claims) == len(wanted)
    for one, other in zip(claims, wanted, strict=True):
        assert same_algebra(one, other)


@given(st.lists(equations, min_size=1, max_size=4), notations, seeds)
@settings(max_examples=200, deadline=None)
def test_what_is_written_in_any_notation_is_read_back(
    wanted: list[Equation], notation: Notation, seed: int
) -> None:
    read_back(wanted, written(wanted, notation, random.Random(seed), KNOWN), EXAMPLE)


@given(circuits(), notations, seeds)
@settings(max_examples=150, deadline=None)
def test_the_laws_of_any_circuit_are_read_back_in_any_notation(
    circuit: Circuit, notation: Notation, seed: int
) -> None:
    laws = [junction_equation(circuit, point) for point in circuit.junctions]
    laws += [loop_equation(circuit, loop) for loop in list(simple_loops(circuit))[:4]]
    wanted = [law.written for law in laws]
    known = (*circuit.currents, *circuit.symbols)
    read_back(wanted, written(wanted, notation, random.Random(seed), known), circuit)
