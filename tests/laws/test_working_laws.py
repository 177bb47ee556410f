"""Laws of reading a working: what is written in any notation is read back; any text at all is borne."""

from __future__ import annotations

import random
from collections.abc import Sequence
from fractions import Fraction

import pytest
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
from loopwright.graph.loops import simple_loops
from loopwright.laws.equations import junction_equation, loop_equation
from loopwright.quantities import rounded
from loopwright.reading.page.lines import working
from loopwright.reading.working import WrittenLine
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
    laws += [loop_equation(circuit, loop) for loop in list(simple_loops(circuit.branches))[:4]]
    wanted = [law.written for law in laws]
    known = (*circuit.currents, *circuit.symbols)
    read_back(wanted, written(wanted, notation, random.Random(seed), known), circuit)


BITS = (
    "I1", "I2", "R1", "i3", " = ", "=", "+", "-", "(", ")", "[", "]", "12", "6 V", "A", " so ", "from (1)",
    "(2)",
    "$", "$$", "\\frac{", "}", "{", "_", "^", "->", "oo", "as ", "\n", "\n- ", ";", ", ", " ", "\\\\", "&",
    "**",
    "`", "#", "|", "≈", "V(a, b)", "I_{1}", "\\text{", "||", "//", "1.5e-3", "×10^-3", "'", "through", "let ",
    "I1: a -> b", "\\begin{align}", "\\end{align}", "\\lim_{", "multiply ", "by ", "ε_1", "\t", "    ", "²",
    "1,5",
)  # fmt: skip
texts = st.one_of(
    st.text(max_size=200),
    st.lists(st.one_of(st.sampled_from(BITS), st.text(max_size=3)), max_size=60).map("".join),
)


def stands_in_its_text(lines: Sequence[WrittenLine]) -> bool:
    """Whether every claim and every trouble is at a place that its line has, and lines are in order."""
    places = [(0 <= claim.start <= claim.end <= len(line.text)) for line in lines for claim in line.claims]
    troubles = [0 <= line.trouble.position <= len(line.text) for line in lines if line.trouble]
    numbers = [line.number for line in lines]
    return all(places) and all(troubles) and numbers == sorted(set(numbers))


@given(texts, st.booleans())
@settings(max_examples=500, deadline=None)
def test_any_text_is_borne(text: str, decimal_comma: bool) -> None:
    lines = working(text, EXAMPLE, decimal_comma=decimal_comma).lines
    assert stands_in_its_text(lines)


@given(texts)
@settings(max_examples=100, deadline=None)
def test_a_text_is_read_alike_every_time(text: str) -> None:
    assert working(text, EXAMPLE) == working(text, EXAMPLE)


HOSTILE = {
    "brackets": "(" * 19_000,
    "brackets round a sign": "(" * 9_000 + "=" + ")" * 9_000,
    "a chain": "1=" * 9_000 + "1",
    "a sum": "I1+" * 6_000 + "I1=0",
    "spaces": " " * 19_999,
    "dots": "I1 = 2" + "." * 19_000,
    "dashes": "- " * 9_000 + "x",
    "stars": " **a" * 4_500,
    "arrows": "lim(" + "→" * 19_000,
    "groups": "$" + "{" * 19_000,
    "fractions": "$" + r"\frac{" * 3_000,
    "texts": r"\text{a" * 2_500 + "}" * 100,
    "references": "R2*(1) - " * 2_000,
    "gaps": "I1     " * 2_700,
    "names in a row": "R1" * 9_500 + "=0",
    "digits": "1" * 19_000 + "=1",
    "divisions": "1÷(" * 6_000,
    "words": "so " * 6_000,
    "limits": "R3->0;I3->0;" * 1_500,
    "a long line": "I1 = 2 A " * 3_000,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_text_is_read_to_its_end(name: str) -> None:
    lines = working(HOSTILE[name], EXAMPLE).lines
    assert stands_in_its_text(lines)


def test_a_line_too_long_is_a_trouble() -> None:
    (line,) = working(HOSTILE["a long line"], EXAMPLE).lines
    assert line.trouble is not None
    assert "longer than 20000 signs" in line.trouble.why


def test_a_text_of_too_many_lines_says_where_it_was_cut() -> None:
    lines = working("I1 = 2 A\n" * 6_000, EXAMPLE).lines
    assert len(lines) == 5001
    assert lines[-1].trouble is not None
    assert "up to 5000 lines" in lines[-1].trouble.why


PROSE = (
    "a", "the", "we", "I", "you", "it", "is", "in", "if", "at", "on", "by", "to", "so", "as", "an", "or",
    "but", "then", "now", "here", "this", "these", "which", "where", "when", "while", "with", "without",
    "from", "into", "onto", "round", "around", "along", "against", "Junction", "Loop", "Branch", "Point",
    "Node", "Mesh", "Kirchhoff's", "Ohm's", "rule", "law", "first", "second", "left", "right", "outer",
    "top", "bottom", "clockwise", "battery", "resistor", "resistance", "current", "potential", "energy",
    "unknown", "equation", "line", "result", "answer", "check", "sign", "arrow", "direction", "opposite",
    "same", "next", "last", "again", "also", "only", "hence", "thus", "therefore", "since", "given",
    "gives", "get", "got", "find", "put", "use", "using", "take", "write", "say", "let", "need", "want",
    "have", "am", "are", "was", "be", "do", "can", "should", "may", "must", "not", "no", "both", "each",
    "every", "some", "one", "two", "three", "terms", "side", "numbers", "combine", "open", "closed",
    "wire", "solve", "solving", "substituting", "rearrange", "simplify", "Eliminating", "Inserting", "In",
    "Is", "If", "It", "Up", "Us", "Put", "Use", "Per", "Re", "End", "Even", "Every", "Each", "Via",
    "View", "Very", "Gives", "Given", "Just", "Good", "Get", "Go", "Either", "Until", "Upon", "Ratio",
    "Return", "Reduce", "Result", "Round", "Right", "Rule", "Power", "Part", "Plug", "Prove", "Ground",
    "Joint", "Join", "Inner", "Indeed", "Equal", "Equals", "Extra", "Energy", "Expect", "Vertical",
    "Value", "Voltage", "Under", "Upper", "Remove",
)  # fmt: skip
sentences = st.lists(st.sampled_from(PROSE), max_size=7)
endings = st.lists(st.sampled_from([word for word in PROSE if len(word) > 1]), max_size=7)
ENDINGS = {"in", "at", "a", "I", "to", "of"}  # after these a name is part of the sentence


@given(sentences, st.sampled_from(("", ".", ":", "?", " (see the figure).")))
@settings(max_examples=300, deadline=None)
def test_prose_is_never_read_as_algebra(words: list[str], end: str) -> None:
    lines = working(" ".join(words) + end, EXAMPLE).lines
    assert [(line.claims, line.trouble) for line in lines if line.claims or line.trouble] == []


@given(sentences, endings, st.sampled_from(("I1 = I2 + I3", "E1 = I1R1 + I2R2", "I2 = 2 A", "-I4 = 1.5 A")))
@settings(max_examples=300, deadline=None)
def test_prose_round_an_equation_is_kept_apart_from_it(
    before: list[str], after: list[str], claimed: str
) -> None:
    start = [*before, "have"] if before and before[-1] in ENDINGS else before
    (line,) = working(" ".join((*start, claimed, *after)), EXAMPLE).lines
    assert line.trouble is None
    (claim,) = line.claims
    assert line.text[claim.start : claim.end] == claimed
