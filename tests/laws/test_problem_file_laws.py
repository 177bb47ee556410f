"""Laws of the problem file: any text is answered, and what is written reads back the same."""

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.diagnose import diagnose
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.expressions.nodes import ZERO, Expr, Number, Product, Quotient, Sum, Symbol
from loopwright.problem.branch_lines import KIND_BY_LETTER
from loopwright.problem.problem_file import read_text, written

TABLES = ["[branches]\n", "[elements]\n", "[numbers]\n", "[places]\n", "[ratings]\n"]
KEYS = ["find = ", "expect = ", "I1 = ", "R1", "E1", " = ", "kind", "internal = ", "inside = ", "R_1.x"]
TEXTS = [
    '"a, R1, b"',
    '"b, +E1, a"',
    '"a, a"',
    '"2 R"',
    '"9 V"',
    '"4k7"',
    '"R1 -> oo"',
    '"V("',
    '"1 / (R - R)"',
]
HARD = [
    '"V("',
    '"R^99999999"',
    '"((((("',
    '["I1 -> 0 as R1 -> oo"]',
    '["V(a, b)"]',
    "1e999",
    "[1, 2]",
    "true",
]
SIGNS = ["\n", "#", '"""', "'", '"', "{ ", " }", "−"]
PIECES = st.sampled_from(TABLES + KEYS + TEXTS + HARD + SIGNS)
ENTRIES = ["a", "b", "R1", "+E1", "(m)", "E2", "-", "+", "", "A1", "S1", "C1", "ä", "x y", "-J1", "(a)"]
LINE = st.lists(st.sampled_from(ENTRIES), max_size=5).map(",".join)
VALUE = st.one_of(st.text(max_size=8), st.sampled_from(["2 R2", "R1", "9 V", "R / 0", "open", "R + 2"]))
POINTS = ["a", "b", "c"]


def assert_answered(text: str) -> None:
    """Either a circuit or at least one finding, and every finding has its sentence."""
    circuit, findings = read_text(text)
    assert circuit is not None or findings
    for finding in findings:
        assert finding.as_text()
    if circuit is not None:
        diagnose(circuit)


@given(st.text(max_size=300))
def test_any_text_is_answered_without_an_exception(text: str) -> None:
    assert_answered(text)


@settings(max_examples=400)
@given(st.lists(PIECES, max_size=25).map("".join))
def test_any_mixture_of_the_files_own_words_is_answered(text: str) -> None:
    assert_answered(text)


@settings(max_examples=300)
@given(LINE, LINE, VALUE)
def test_any_branches_and_value_are_answered(one: str, other: str, value: str) -> None:
    quoted = value.replace("\\", "").replace('"', "").replace("\n", "")
    assert_answered(f'[branches]\nI1 = "{one}"\nI2 = "{other}"\n[elements]\nR1 = "{quoted}"\n')


@st.composite
def circuits(draw: st.DrawFn) -> Circuit:
    """A circuit on three points, every point met at least twice, with numbers for all symbols or none."""
    pair = st.tuples(st.sampled_from(POINTS), st.sampled_from(POINTS))
    ends = [("a", "b"), ("b", "c"), ("c", "a"), *draw(st.lists(pair, max_size=3))]
    elements: dict[str, Element] = {}
    branches = []
    for number, (start, end) in enumerate(ends):
        along: list[Pass | str] = []
        for at in range(draw(st.integers(1, 3))):
            name = f"{draw(st.sampled_from('RrEVJSAQ'))}{len(elements)}"
            elements[name] = element = draw(element_named(name))
            along.append(Pass(name, draw(st.sampled_from([1, -1])) if element.has_sign else 0))
            if draw(st.booleans()):
                along.append(f"m{number}_{at}")
        branches.append(Branch(f"I{number}", start, end, tuple(along)))
    circuit = Circuit(
        tuple(branches),
        elements,
        title=draw(st.text(max_size=20)).strip(),
        story=draw(st.text(max_size=20)).strip(),
        find=draw(st.sampled_from([(), ("I1",), ("V(a, b)", "R(a, c)")])),
        figures=draw(st.integers(1, 12)),
        places=draw(st.sampled_from([{}, {p: (Fraction(n, 4), Fraction(n)) for n, p in enumerate(POINTS)}])),
    )
    if not draw(st.booleans()):
        return circuit
    return Circuit(
        circuit.branches,
        elements,
        numbers={name: Fraction(draw(st.integers(1, 9999)), 100) for name in circuit.symbols},
    )


@st.composite
def element_named(draw: st.DrawFn, name: str) -> Element:
    """An element whose kind mostly is the one its name tells."""
    kind = draw(st.sampled_from([KIND_BY_LETTER.get(name[0], Kind.VOLTMETER)] * 2 + [Kind.RESISTOR]))
    internal = draw(st.sampled_from([None, Symbol("rho")])) if kind is Kind.BATTERY else None
    value: Expr = ZERO
    if kind is Kind.RESISTOR:
        choices: list[Expr] = [Symbol(name), TWICE, SERIES, SIDE_BY_SIDE]
        value = draw(st.sampled_from(choices))
    elif kind in (Kind.BATTERY, Kind.CURRENT_SOURCE):
        value = draw(st.sampled_from([Symbol(name), Symbol(f"{kind[0].upper()}x")]))
    closed = draw(st.booleans()) if kind is Kind.SWITCH else True
    return Element(name, kind, value, internal, closed)


TWICE = Product((Number(Fraction(2)), Symbol("Ra")))
SERIES = Sum((Symbol("Ra"), Symbol("Rb")))
SIDE_BY_SIDE = Quotient(Product((Symbol("Ra"), Symbol("Rb"))), SERIES)


@settings(max_examples=200)
@given(circuits())
def test_what_is_written_reads_back_the_same(circuit: Circuit) -> None:
    again, findings = read_text(written(circuit))
    assert again is not None, findings
    assert (again.branches, again.elements, again.numbers) == (
        circuit.branches,
        circuit.elements,
        circuit.numbers,
    )
    assert (again.title, again.story, again.find, again.figures) == (
        circuit.title,
        circuit.story,
        circuit.find,
        circuit.figures,
    )
    assert again.places == circuit.places


@settings(max_examples=100)
@given(circuits())
def test_writing_twice_gives_the_same_bytes(circuit: Circuit) -> None:
    again, _ = read_text(written(circuit))
    assert again is not None
    twice, _ = read_text(written(again))
    assert twice is not None
    assert written(twice) == written(again)
