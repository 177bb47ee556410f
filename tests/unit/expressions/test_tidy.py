"""Ratios in the shape a person leaves them: which shape, and that it is proved."""

from __future__ import annotations

import itertools
import subprocess
import sys
import time

import networkx as nx
import pytest
import sympy

from loopwright.algebra.ratios import Exponents, Field, Ratio
from loopwright.errors import BrokenPromise
from loopwright.expressions import tidy as tidy_module
from loopwright.expressions.nodes import ONE, Expr, Negative, Product, Quotient, Sum, Symbol, written_symbols
from loopwright.expressions.tidy import same, tidy, tidy_over
from tests.plain_text import plain, ratio

FIELD = Field(["E", "E1", "E2", "J", "R", "R1", "R2", "R3", "R4", "R5", "Rh", "r"])
Edges = list[tuple[str, str, str]]
D = "(R1*R2 + R1*Rh + R2*Rh)"


def tidied(text: str) -> str:
    return plain(tidy(ratio(text, FIELD)))


def determinant(edges: Edges) -> Ratio:
    """Kirchhoff 1847: the sum over spanning trees of the product of the resistances not in the tree."""
    field = Field(dict.fromkeys(name for *_, name in edges))
    points = {p for a, b, _ in edges for p in (a, b)}
    terms: dict[Exponents, int] = {}
    for tree in itertools.combinations(range(len(edges)), len(points) - 1):
        graph = nx.MultiGraph([edges[i][:2] for i in tree])
        if len(graph) == len(points) and nx.is_tree(graph):
            names = [edges[i][2] for i in range(len(edges)) if i not in tree]
            exponents = tuple(names.count(name) for name in field.symbols)
            terms[exponents] = terms.get(exponents, 0) + 1
    return field.polynomial(terms)


BRIDGE = [("s", "a", "R1"), ("s", "b", "R2"), ("a", "t", "R3"), ("b", "t", "R4"), ("a", "b", "R5")]


def ladder(rungs: int) -> Edges:
    sides = [(str(i), str(i + 1), f"R{2 * i + 1}") for i in range(rungs)]
    return [*sides, *((str(i + 1), "g", f"R{2 * i + 2}") for i in range(rungs)), ("0", "g", "r")]


@pytest.mark.parametrize(
    ("given", "left"),
    [
        ("R1*R2 + R1*Rh + R2*Rh", "R1 Rh + R2 (R1 + Rh)"),
        (f"E*R2/{D}", "E R2/(R1 Rh + R2 (R1 + Rh))"),
        (f"(E1*R2 + E2*R1)/{D}", "(E1 R2 + E2 R1)/(R1 Rh + R2 (R1 + Rh))"),
        (f"(E1*(R2 + Rh) - E2*Rh)/{D}", "(E1 (R2 + Rh) - E2 Rh)/(R1 Rh + R2 (R1 + Rh))"),
        (f"(E1*Rh - E2*(R1 + Rh))/{D}", "(E1 Rh - E2 (R1 + Rh))/(R1 Rh + R2 (R1 + Rh))"),
        ("2*R/3", "2 R/3"),
        ("E/(3*R)", "E/(3 R)"),
        ("2*(E1 + E2)/(3*R)", "2 (E1 + E2)/(3 R)"),
        ("(E1 - E2)/R", "(E1 - E2)/R"),
        ("4*E1 + 6*E2", "4 E1 + 6 E2"),
        ("6*R1 + 2", "6 R1 + 2"),
        ("R1*(4*E1 + 6*E2)", "R1 (4 E1 + 6 E2)"),
        ("2*R1 + 2*R2 + R3", "R3 + 2 (R1 + R2)"),
        ("(E1 - E2)*(R2 + R3) + E*R2", "E R2 + (E1 - E2) (R2 + R3)"),
        ("(R1*R2*R3 + R1*R2*R4 + R1*R3*R4 + R2*R3*R4)/R", "(R1 R2 (R3 + R4) + R3 R4 (R1 + R2))/R"),
    ],
)
def test_it_leaves_the_shape_an_instructor_writes(given: str, left: str) -> None:
    assert tidied(given) == left


@pytest.mark.parametrize(
    ("given", "left"),
    [
        ("E2 - E1", "E2 - E1"),
        ("(E2 - E1)/R", "(E2 - E1)/R"),
        ("-E1/R", "-E1/R"),
        ("-(E1 + E2)*R", "-R (E1 + E2)"),
        ("-R*(E1 - E2)", "R (E2 - E1)"),
        ("E/(R1*R4 - R2*R3)", "E/(R1 R4 - R2 R3)"),
        ("-E/(R1*R4 - R2*R3)", "E/(R2 R3 - R1 R4)"),
        ("(E1 - E2)/(R2*R3 - R1*R4)", "(E2 - E1)/(R1 R4 - R2 R3)"),
        ("-E1*R1 - E2*R2", "-(E1 R1 + E2 R2)"),
        ("1 - R1", "1 - R1"),
        ("-6*R1 - 2", "-(6 R1 + 2)"),
        ("(-3*E1*R2 - 2*R4)/(3*R2)", "-(E1 + 2 R4/(3 R2))"),
    ],
)
def test_a_minus_stands_in_front_only_when_every_term_has_one(given: str, left: str) -> None:
    assert tidied(given) == left


@pytest.mark.parametrize(
    ("given", "left"),
    [
        ("R*R + 3*R*r + r*r", "R^2 + 3 R r + r^2"),
        ("R*R - r*r", "R^2 - r^2"),
        ("R*R + 2*R*r + r*r", "(R + r)^2"),
        ("E*E*R/(R + r)**2", "E^2 R/(R + r)^2"),
        (f"(E1*R2 + E2*R1)**2*Rh/{D}**2", "Rh (E1 R2 + E2 R1)^2/(R1 Rh + R2 (R1 + Rh))^2"),
    ],
)
def test_powers_stay_flat_or_become_squares_of_brackets(given: str, left: str) -> None:
    assert tidied(given) == left


@pytest.mark.parametrize(
    ("given", "left"),
    [
        ("R1 + R2*R3/(R2 + R3)", "R1 + R2 R3/(R2 + R3)"),
        ("E1/R1 + E2/R2", "E1/R1 + E2/R2"),
        ("J + E/R", "J + E/R"),
        ("E*(R1 + R2)/(R1*R2)", "E (R1 + R2)/(R1 R2)"),
    ],
)
def test_a_fraction_is_cut_in_two_where_that_is_shorter(given: str, left: str) -> None:
    assert tidied(given) == left


def test_numbers_are_numbers() -> None:
    assert [tidied("0"), tidied("-3"), tidied("E/E"), tidied("R/(-4*R)")] == ["0", "-3", "1", "-1/4"]


def test_names_are_ordered_as_numbers_and_emfs_before_resistances() -> None:
    field = Field(["R10", "R2", "E2", "E1"])
    assert plain(tidy(ratio("R10*E2 + R2*E1", field))) == "E1 R2 + E2 R10"


def test_the_order_of_the_fields_symbols_does_not_matter() -> None:
    text = f"(E1*(R2 + Rh) - E2*Rh)/({D}*(R1*R4 - R2*Rh))"
    forms = {
        plain(tidy(ratio(text, Field(order))))
        for order in itertools.permutations(["E1", "E2", "R1", "R2", "R4", "Rh"])
    }
    assert len(forms) == 1


def test_the_same_bytes_come_out_under_any_hash_seed() -> None:
    program = (
        "from loopwright.algebra.ratios import Field; from loopwright.expressions.tidy import tidy\n"
        "f = Field('abcdefg'); a, b, c, d, e, x, y = map(f.symbol, f.symbols)\n"
        "print(tidy((a*b + c*d)*(e + x) + a*c*y - b*d*x*y + e*x*a))"
    )
    outputs = {
        subprocess.run(
            [sys.executable, "-c", program],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": "src"},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "1", "77")
    }
    assert len(outputs) == 1


@pytest.mark.parametrize(
    ("edges", "terms", "most"),
    [
        (BRIDGE, 8, 8),
        ([*BRIDGE, ("s", "t", "r")], 16, 19),
        (ladder(3), 21, 15),
        (ladder(5), 144, 42),
    ],
)
def test_determinants_come_out_in_few_symbols(
    edges: list[tuple[str, str, str]], terms: int, most: int
) -> None:
    """Expanded, the last three take 48, 63 and 720 symbols; the value is checked by another system."""
    value = determinant(edges)
    form = tidy(value)
    assert len(value.terms()) == terms
    assert written_symbols(form) <= most
    names = dict(zip(value.field.symbols, sympy.symbols(value.field.symbols), strict=True))
    expected = sum(
        c * sympy.prod(names[n] ** k for n, k in zip(value.field.symbols, e, strict=True))
        for e, c in value.terms()
    )
    assert sympy.expand(_to_sympy(form, names) - expected) == 0


def _to_sympy(expr: Expr, names: dict[str, sympy.Symbol]) -> sympy.Expr:
    match expr:
        case Sum(terms):
            return sympy.Add(*(_to_sympy(t, names) for t in terms))
        case Product(factors):
            return sympy.Mul(*(_to_sympy(f, names) for f in factors))
        case Symbol(name):
            return names[name]
    raise AssertionError(f"a determinant of resistances of their own names holds no {expr}")


def test_small_polynomials_reach_the_fewest_symbols_there_are() -> None:
    """Against every way to split the terms in two and every common factor, for all at once."""
    field = Field("abcde")
    monomials = [e for e in itertools.product((0, 1), repeat=5) if 2 <= sum(e) <= 3]
    for start in range(0, len(monomials) - 5, 2):
        terms = {e: 1 if (i + start) % 3 else -1 for i, e in enumerate(monomials[start::3][:5])}
        value = field.polynomial(terms)
        assert written_symbols(tidy(value)) == _fewest(value)


def _fewest(p: Ratio) -> int:
    terms = p.terms()
    content, factors = p.factors()
    if len(terms) == 1 or len(factors) > 1 or factors[0][1] > 1:
        return ((abs(content) != 1) + sum(1 if len(f.terms()) == 1 else _fewest(f) for f, _ in factors)) or 1
    splits = (
        [{e: c for i, (e, c) in enumerate(terms) if (chosen >> i & 1) == side} for side in (0, 1)]
        for chosen in range(1, 2 ** (len(terms) - 1))
    )
    return min(sum(_fewest(p.field.polynomial(part)) for part in split) for split in splits)


def test_currents_of_one_circuit_share_one_written_denominator() -> None:
    texts = (f"(E1*(R2 + Rh) - E2*Rh)/{D}", f"(E1*Rh - E2*(R1 + Rh))/{D}", f"(E1*R2 + E2*R1)/{D}")
    shared = tidy_over([ratio(text, FIELD) for text in texts])
    assert shared is not None
    assert plain(shared.denominator) == "R1 Rh + R2 (R1 + Rh)"
    assert [*map(plain, shared.numerators)] == [
        "E1 (R2 + Rh) - E2 Rh",
        "E1 Rh - E2 (R1 + Rh)",
        "E1 R2 + E2 R1",
    ]


def test_a_reduced_current_is_put_over_the_common_denominator() -> None:
    shared = tidy_over([ratio(text, FIELD) for text in (f"E1/{D}", f"E2/{D}", "J")])
    assert shared is not None
    assert plain(shared.numerators[2]) == "J (R1 Rh + R2 (R1 + Rh))"


def test_short_or_unlike_denominators_get_no_name() -> None:
    assert tidy_over([ratio(t, FIELD) for t in ("E1/(R1 + R2)", "E2/(R1 + R2)")]) is None
    assert tidy_over([ratio(t, FIELD) for t in (f"E1/{D}", f"E2/{D}", "E/(R4 + R5)")]) is None
    assert tidy_over([ratio(f"E1/{D}", FIELD)]) is None


def test_same_tells_equal_from_unequal() -> None:
    value = ratio(f"-E*R2/{D}", FIELD)
    assert same(tidy(value), value)
    assert not same(tidy(-value), value)
    assert not same(tidy(value + 1), value)
    assert same(Quotient(Negative(Symbol("E")), Negative(Symbol("R"))), ratio("E/R", FIELD))


def test_a_wrong_form_is_a_broken_promise(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tidy_module, "tidy_polynomial", lambda _ratio, below=False: ONE)
    with pytest.raises(BrokenPromise, match="is not"):
        tidy(ratio("R1 + 17*R5*r", FIELD))


def test_hundreds_of_terms_take_no_more_than_seconds() -> None:
    value = determinant(ladder(6))
    started = time.perf_counter()
    form = tidy(value)
    assert time.perf_counter() - started < 5
    assert len(value.terms()) == 377
    assert written_symbols(form) < 100
