"""The one walk of written trees: every kind of node in every arithmetic, against SymPy on random trees."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from fractions import Fraction

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from loopwright.algebra.modular import PRIME
from loopwright.algebra.ratios import Field
from loopwright.expressions.fold import Arithmetic, by_signs, fold
from loopwright.expressions.nodes import (
    ZERO,
    Determinant,
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
    expanded,
    number,
    root,
)
from loopwright.expressions.values import ratio_of
from loopwright.reading.repair.trial_arithmetic import TrialArithmetic
from loopwright.reading.repair.trial_values import Trial
from loopwright.reading.truth.carried import CarriedNumbers
from loopwright.reading.truth.rounding import Policy
from loopwright.solve.named_lines import value_in

A, B, C = map(Symbol, "abc")
TWO, HALF = Number(Fraction(2)), Number(Fraction(1, 2))
POINT = {"a": Fraction(1009, 7), "b": Fraction(-443, 11), "c": Fraction(97, 13)}
NOWHERE = sympy.nan  # what a tree that divides by zero comes to; it stays whatever is done to it

# one tree of each kind of node, and what it means, in words of SymPy
KINDS: dict[str, tuple[Expr, str]] = {
    "number": (HALF, "1/2"),
    "symbol": (A, "a"),
    "sum": (Sum((A, B, TWO)), "a + b + 2"),
    "negative": (Negative(A), "-a"),
    "product": (Product((A, TWO, C)), "2*a*c"),
    "quotient": (Quotient(A, B), "a/b"),
    "power": (Power(B, 3), "b**3"),
    "parallel": (Parallel((A, B, C)), "1/(1/a + 1/b + 1/c)"),
}


def rational(value: Fraction) -> sympy.Rational:
    return sympy.Rational(value.numerator, value.denominator)


def over(above: sympy.Expr, below: sympy.Expr) -> sympy.Expr:
    return NOWHERE if below == 0 else above / below


Pair = tuple[Expr, sympy.Expr]  # a tree, and what SymPy makes of the same at POINT

LEAVES = st.one_of(
    st.sampled_from([(Symbol(name), rational(value)) for name, value in POINT.items()]),
    st.fractions(0, 9, max_denominator=9).map(lambda value: (Number(value), rational(value))),
)


def grown(parts: st.SearchStrategy[Pair]) -> st.SearchStrategy[Pair]:
    def joined(
        kind: Callable[[tuple[Expr, ...]], Expr], join: Callable[[Sequence[sympy.Expr]], sympy.Expr]
    ) -> st.SearchStrategy[Pair]:
        several = st.lists(parts, min_size=2, max_size=3)
        return several.map(lambda met: (kind(tuple(e for e, _ in met)), join([s for _, s in met])))

    return st.one_of(
        joined(Sum, lambda met: sympy.Add(*met)),
        joined(Product, lambda met: NOWHERE if NOWHERE in met else sympy.Mul(*met)),
        joined(Parallel, lambda met: over(sympy.S.One, sympy.Add(*(over(sympy.S.One, s) for s in met)))),
        parts.map(lambda part: (Negative(part[0]), -part[1])),
        st.tuples(parts, parts).map(lambda two: (Quotient(two[0][0], two[1][0]), over(two[0][1], two[1][1]))),
        st.tuples(parts, st.integers(2, 4)).map(lambda two: (Power(two[0][0], two[1]), two[0][1] ** two[1])),
    )


TREES = st.recursive(LEAVES, grown, max_leaves=10)


# -- the arithmetics, each as a function of the tree; its value at POINT as a fraction ----------------


def exactly(tree: Expr) -> Fraction:
    return ratio_of(tree, Field(POINT)).value(POINT)


def in_lowest_terms(tree: Expr) -> Fraction:
    return value_in(tree, Field(POINT), {}).value(POINT)


def in_fractions(tree: Expr) -> Fraction:
    return fold(tree, by_signs(lambda number: number.value, POINT.__getitem__))


def in_trial_fractions(tree: Expr) -> Fraction:
    return Fraction(Trial(TrialArithmetic(False), dict(POINT), {}).value_of(tree))


EXACT = [exactly, in_lowest_terms, in_fractions, in_trial_fractions]


@pytest.mark.parametrize("valued", EXACT)
@given(TREES)
def test_exact_arithmetics_agree_with_sympy(valued: Callable[[Expr], Fraction], pair: Pair) -> None:
    tree, expected = pair
    if expected is NOWHERE:
        with pytest.raises(ZeroDivisionError):
            valued(tree)
    else:
        assert rational(valued(tree)) == expected


@given(TREES)
def test_floats_agree_with_sympy(pair: Pair) -> None:
    tree, expected = pair
    floats = by_signs(lambda number: float(number.value), lambda name: float(POINT[name]))
    try:
        found = fold(tree, floats)
    except (ZeroDivisionError, OverflowError):
        return
    sizes = [abs(float(x)) for x in POINT.values()]
    if expected is not NOWHERE and abs(expected) > 1e-3:  # no figures were lost where terms cancel
        assert math.isclose(found, float(expected), rel_tol=1e-6, abs_tol=1e-9 * max(sizes))


@given(TREES)
def test_residues_modulo_the_prime_agree_with_sympy(pair: Pair) -> None:
    tree, expected = pair
    arithmetic = TrialArithmetic(True)
    trial = Trial(arithmetic, {name: arithmetic.of(value) for name, value in POINT.items()}, {})
    if expected is NOWHERE:
        with pytest.raises(ZeroDivisionError):
            trial.value_of(tree)
    else:
        assert (int(trial.value_of(tree)) * expected.q - expected.p) % PRIME == 0


def may_be(tree: Expr, value: Fraction) -> bool:
    """Whether a tree can come to a value, the decimals in it taken for rounded (a term on both sides keeps
    the tree from being judged as a result)."""
    claim = Equation(Sum((tree, A)), Sum((Symbol("x"), A)))
    return CarriedNumbers(Policy(), False, frozenset(), frozenset(), tuple).agree(
        claim, {**POINT, "x": value}
    )


@given(TREES)
def test_an_interval_of_exact_numbers_is_one_point(pair: Pair) -> None:
    tree, expected = pair
    value = Fraction(1) if expected is NOWHERE else Fraction(int(expected.p), int(expected.q))
    near = value * Fraction(1001, 1000) + Fraction(1, 10**6)
    assert may_be(tree, value) == (expected is not NOWHERE)
    assert not may_be(tree, near)


ROUNDED = Number(Fraction(30), "", "30.0")  # from 29.95 to 30.05
INTERVALS: dict[str, tuple[Expr, str]] = {
    "number": (ROUNDED, "n"),
    "sum": (Sum((ROUNDED, A)), "n + a"),
    "negative": (Negative(ROUNDED), "-n"),
    "product": (Product((ROUNDED, B)), "n*b"),
    "line above": (Quotient(ROUNDED, B), "n/b"),
    "line below": (Quotient(A, ROUNDED), "a/n"),
    "power": (Power(ROUNDED, 2), "n**2"),
    "parallel": (Parallel((ROUNDED, A)), "n*a/(n + a)"),
}


@pytest.mark.parametrize(("tree", "meaning"), INTERVALS.values(), ids=INTERVALS)
def test_an_interval_ends_where_the_rounded_number_does(tree: Expr, meaning: str) -> None:
    def holds(number: str) -> bool:
        at = {name: rational(value) for name, value in POINT.items()} | {"n": sympy.Rational(number)}
        value = sympy.sympify(meaning).subs(at)
        return may_be(tree, Fraction(int(value.p), int(value.q)))

    assert [holds(number) for number in ("29.949", "29.95", "30", "30.05", "30.051")] == [
        False,
        True,
        True,
        True,
        False,
    ]


# -- the walk itself ---------------------------------------------------------------------------------


@pytest.mark.parametrize("valued", EXACT)
@pytest.mark.parametrize(("tree", "meaning"), KINDS.values(), ids=KINDS)
def test_every_exact_arithmetic_sees_every_kind_of_node(
    valued: Callable[[Expr], Fraction], tree: Expr, meaning: str
) -> None:
    at = {name: rational(value) for name, value in POINT.items()}
    assert rational(valued(tree)) == sympy.sympify(meaning).subs(at)


class Told(Arithmetic[str]):
    """Says in words what it is asked, and what it would make of nothing but these five operations."""

    def number(self, number: Number) -> str:
        return str(number.value)

    def symbol(self, symbol: Symbol) -> str:
        return symbol.name

    def add(self, one: str, other: str) -> str:
        return f"({one} + {other})"

    def negate(self, value: str) -> str:
        return f"-{value}"

    def multiply(self, one: str, other: str) -> str:
        return f"({one} · {other})"

    def invert(self, value: str) -> str:
        return f"1/{value}"


@pytest.mark.parametrize(
    ("tree", "told"),
    [
        (HALF, "1/2"),
        (A, "a"),
        (Sum((A, B, C)), "((a + b) + c)"),
        (Negative(A), "-a"),
        (Product((A, B, C)), "((a · b) · c)"),
        (Quotient(A, B), "(a · 1/b)"),
        (Power(A, 3), "((a · a) · a)"),
        (Parallel((A, B, C)), "1/((1/a + 1/b) + 1/c)"),
        (root(A), root(A).name),
    ],
    ids=[*KINDS, "root"],
)
def test_what_is_not_given_follows_from_the_rest(tree: Expr, told: str) -> None:
    assert fold(tree, Told()) == told


PART = Sum((A, B))


@pytest.mark.parametrize(
    ("tree", "told"),
    [
        (PART, "known"),
        (Sum((C, PART)), "(c + known)"),
        (Negative(PART), "-known"),
        (Product((C, PART)), "(c · known)"),
        (Product((PART, C)), "(known · c)"),
        (Quotient(PART, PART), "(known · 1/known)"),
        (Power(PART, 2), "(known · known)"),
        (Parallel((PART, C)), "1/(1/known + 1/c)"),
    ],
)
def test_a_part_that_is_known_is_not_walked(tree: Expr, told: str) -> None:
    assert fold(tree, Told(), {id(PART): "known"}) == told


def test_a_root_is_known_by_its_name() -> None:
    field = Field(["a", root(A).name])
    assert ratio_of(Power(root(A), 2), field) == field.symbol(root(A).name) ** 2


def test_brackets_within_brackets_to_a_depth_of_600_are_walked() -> None:
    tree: Expr = A
    for _ in range(300):
        tree = Product((TWO, Sum((tree, A))))
    assert ratio_of(tree, Field("a")).value({"a": Fraction(1)}) == 3 * 2**300 - 2


def test_a_name_without_a_value_is_told() -> None:
    with pytest.raises(KeyError, match="b"):
        ratio_of(Quotient(A, B), Field("a"))


def test_a_determinant_of_three_rows_comes_to_what_another_library_finds() -> None:
    entries = [[3, -7, 2], [11, 5, -1], [0, 4, 13]]
    rows = tuple(tuple(number(entry) for entry in row) for row in entries)
    value = fold(Determinant(rows), by_signs(lambda n: n.value, lambda name: POINT[name]))
    assert value == Fraction(int(sympy.Matrix(entries).det()))


def test_a_determinant_is_written_out_along_its_first_row() -> None:
    shared = Negative(C)
    assert expanded(((A, shared), (shared, B))) == Sum((Product((A, B)), Negative(Power(C, 2))))
    assert expanded(((ZERO, A), (B, C))) == Negative(Product((A, B)))
