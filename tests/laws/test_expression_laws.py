"""Laws of expressions: what is written in any form is read back as the same algebra."""

from __future__ import annotations

import shutil
import subprocess
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest
import typst as typst_compiler
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.expressions.heard import heard, speak
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
from loopwright.expressions.notation import notation
from loopwright.expressions.parse import Unreadable, equation, expression
from loopwright.expressions.sameness import same_algebra
from loopwright.expressions.writers import latex, mathml, plain, typst
from loopwright.quantities import rounded

ROLES = {"E1": "emf", "E2": "emf", "R1": "resistance"}
SYMBOLS = [
    "R1", "R2", "R12", "E1", "E2", "I3", "r", "r2", "Rx", "RAB", "V", "A", "ε7", "R1′", "lamp2",
    "V(a, b)", "V(bus, rail)", "R(a, b)", "P(R1)", "P(E1, terminals)", "P(heat)",
    "R(a, b) without E1", "V(a, b) without R1, R2", "e", "Rover", "k",
]  # fmt: skip


def _measure(value: Fraction, unit: str, figures: int) -> Number:
    shown = rounded(value, unit, figures)
    return Number(shown.value, shown.symbol, shown.digits)


positive = st.fractions(min_value=Fraction(1, 50), max_value=2000, max_denominator=50)
numbers = st.one_of(
    positive.map(Number),
    st.integers(0, 99).map(lambda n: Number(Fraction(n))),
    st.builds(
        _measure, positive.map(lambda x: x**5), st.sampled_from(("V", "A", "Ω", "W")), st.integers(1, 4)
    ),
    positive.map(lambda x: Number(x * 1000, "kΩ")),
)
leaves: st.SearchStrategy[Expr] = st.one_of(st.sampled_from(SYMBOLS).map(Symbol), numbers)


def _grown(inner: st.SearchStrategy[Expr]) -> st.SearchStrategy[Expr]:
    several = st.lists(inner, min_size=2, max_size=3).map(tuple)
    return st.one_of(
        several.map(Sum),
        several.map(Product),
        several.map(Parallel),
        inner.map(Negative),
        st.builds(Quotient, inner, inner),
        st.builds(Power, inner, st.integers(2, 3)),
    )


expressions = st.recursive(leaves, _grown, max_leaves=9)
equations = st.builds(Equation, expressions, expressions, st.sampled_from(("=", "≈")))


def _read(text: str, like: Expr | Equation) -> Expr | Equation:
    return equation(text) if isinstance(like, Equation) else expression(text)


def _same(one: Expr | Equation, other: Expr | Equation) -> bool:
    """The same algebra, or, where a zero denominator leaves no value, the same notation."""
    return same_algebra(one, other) or plain.render(one) == plain.render(other)


def _too_steep(item: Expr | Equation) -> bool:
    match item:
        case Equation(a, b) | Quotient(a, b):
            return _too_steep(a) or _too_steep(b)
        case Sum(parts) | Product(parts) | Parallel(parts):
            return any(map(_too_steep, parts))
        case Negative(body):
            return _too_steep(body)
        case Power(base):
            return isinstance(base, Power) or _too_steep(base)
        case _:
            return False


sayable = st.one_of(expressions, equations).filter(lambda item: not _too_steep(item))


@given(sayable)
@settings(max_examples=300, deadline=None)
def test_plain_text_is_read_back_as_the_same_algebra(item: Expr | Equation) -> None:
    assert _same(_read(plain.render(item), item), item)


@given(sayable)
@settings(max_examples=150, deadline=None)
def test_plain_text_of_what_was_read_is_stable(item: Expr | Equation) -> None:
    once = _read(plain.render(item), item)
    assert plain.render(_read(plain.render(once), once)) == plain.render(once)


@given(sayable)
@settings(max_examples=300, deadline=None)
def test_spoken_words_are_heard_as_the_same_algebra(item: Expr | Equation) -> None:
    assert same_algebra(heard(speak(item, ROLES)), item)


@given(sayable)
@settings(max_examples=150, deadline=None)
def test_mathml_is_well_formed_and_every_element_is_of_the_core(item: Expr | Equation) -> None:
    core = {"math", "mrow", "mi", "mn", "mo", "mtext", "mspace", "mfrac", "msub", "msup", "msubsup"}
    root = ElementTree.fromstring(mathml.render(item, ROLES))
    counts = {"mfrac": 2, "msub": 2, "msup": 2, "msubsup": 3}
    for element in root.iter():
        assert element.tag in core
        assert len(element) == counts.get(element.tag, len(element))


@given(st.text(st.sampled_from("abR12 ()[]+-−*/^²∥|.,=E e0kΩV_'%"), max_size=30))
@settings(max_examples=400, deadline=None)
def test_any_text_is_read_or_refused_at_a_place_in_it(text: str) -> None:
    refusal = None
    try:
        found = expression(text)
    except Unreadable as refused:
        refusal = refused
    if refusal is None:
        assert plain.render(expression(plain.render(found))) == plain.render(found)
    else:
        assert 0 <= refusal.position <= len(text)
        assert refusal.why


@given(sayable)
@settings(max_examples=100, deadline=None)
def test_notation_is_the_same_however_often_it_is_made(item: Expr | Equation) -> None:
    assert notation(item, ROLES) == notation(item, ROLES)


def _samples() -> list[Expr | Equation]:
    """Formulas with every node in every place."""
    leaves: list[Expr] = [
        *map(Symbol, SYMBOLS),
        Number(Fraction(1, 6), "Ω"),
        Number(Fraction(3, 2), "µA", "1.5e6"),
    ]
    a, b = Symbol("R1"), Number(Fraction(3), "V")
    inner: list[Expr] = [
        a, b, Sum((a, b)), Product((a, b)), Negative(a), Negative(b), Quotient(a, b), Power(a, 2),
        Parallel((a, b)),
    ]  # fmt: skip
    outer: list[Expr | Equation] = []
    for part in inner:
        outer += [
            Sum((part, part)), Product((part, part)), Negative(part), Quotient(part, part), Power(part, 3),
            Parallel((part, part)), Equation(part, Symbol("∞"), "→"),
        ]  # fmt: skip
    return [*leaves, *outer, Symbol('R"\\x'), Symbol("R#$%&{}~^"), Symbol("xé")]


def test_typst_compiles_every_formula() -> None:
    source = "\n\n".join(f"$ {typst.render(item, ROLES)} $" for item in _samples())
    made = typst_compiler.compile(source.encode(), format="pdf", ignore_system_fonts=True)
    assert made.startswith(b"%PDF")


@pytest.mark.skipif(shutil.which("pdflatex") is None, reason="no pdflatex on this machine")
def test_latex_compiles_every_formula(tmp_path: Path) -> None:
    formulas = "\n".join(rf"\[{latex.render(item, ROLES)}\]" for item in _samples())
    head = "\\documentclass{article}\\usepackage{amsmath}\\begin{document}\n"
    (tmp_path / "all.tex").write_text(head + formulas + "\n\\end{document}\n", encoding="utf-8")
    command = ["pdflatex", "-interaction=nonstopmode", "-halt-on-error", "all.tex"]
    made = subprocess.run(
        command, cwd=tmp_path, capture_output=True, text=True, errors="replace", check=False
    )
    assert made.returncode == 0, made.stdout[-800:]
