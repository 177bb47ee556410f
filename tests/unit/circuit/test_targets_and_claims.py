"""Questions and expectations as they are read."""

import pytest

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.claims import End, claim
from loopwright.circuit.elements import Branch, Pass
from loopwright.circuit.targets import Asked, target, targets
from loopwright.errors import FaultyMaterial
from loopwright.expressions.dimensions import AMPERE, OHM, PLAIN, VOLT, WATT, Dimension
from loopwright.expressions.nodes import ZERO, Symbol
from loopwright.problem.problem_file import read_text

CIRCUIT = Circuit(
    (
        Branch("I1", "a", "b", (Pass("E1", 1), Pass("R1"))),
        Branch("I2", "b", "a", (Pass("R2"), "m", Pass("R3"))),
    ),
    {"E1": battery("E1"), "R1": resistor("R1"), "R2": resistor("R2"), "R3": resistor("R3")},
)


@pytest.mark.parametrize(
    ("text", "kind", "told"),
    [
        ("I_1", Asked.CURRENT, "I1"),
        ("V( a,m )", Asked.POTENTIAL, "V(a, m)"),
        ("P(R_1)", Asked.POWER, "P(R1)"),
        ("R(a, b)", Asked.RESISTANCE, "R(a, b)"),
        ("V(a,b) without R_2 and R3", Asked.POTENTIAL, "V(a, b) without R2, R3"),
        ("P( E1 , terminals )", Asked.POWER, "P(E1, terminals)"),
        ("P(heat)", Asked.POWER, "P(heat)"),
        ("V(a, b)/I_1", Asked.EXPRESSION, "V(a, b)/I1"),
        ("2 I1 - I2", Asked.EXPRESSION, "2 I1 − I2"),
        (
            "V(a, m) without R2/R(a, m) without R2",
            Asked.EXPRESSION,
            "(V(a, m) without R2)/(R(a, m) without R2)",
        ),
    ],
)
def test_question_is_read_and_told_in_one_form(text: str, kind: Asked, told: str) -> None:
    found = target(text, CIRCUIT)
    assert (found.kind, found.as_text()) == (kind, told)


@pytest.mark.parametrize(
    ("text", "of"),
    [
        ("V(a, b)/I1", OHM),
        ("P(R1) + P(heat)", WATT),
        ("I1 R1 - V(a, b)", VOLT),
        ("I1/I2", PLAIN),
        ("I1^2 R1/V(a, b)", AMPERE),
    ],
)
def test_unit_of_what_is_put_together_is_worked_out(text: str, of: Dimension) -> None:
    assert target(text, CIRCUIT).dimension == of


def test_nothing_asked_means_every_current() -> None:
    assert [question.as_text() for question in targets(CIRCUIT)] == ["I1", "I2"]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("V(a)", "file/unreadable-target"),
        ("V(a, a)", "file/unreadable-target"),
        ("P(R1, R2)", "file/unreadable-target"),
        ("", "file/unreadable-target"),
        ("V(a, q)", "file/unknown-target"),
        ("P(R7)", "file/unknown-target"),
        ("I3", "file/unknown-target"),
        ("R1", "file/unknown-target"),
        ("P(R1, terminals)", "file/unreadable-target"),
        ("P(R1) without R2", "file/unreadable-target"),
        ("V(a, b) without R9", "file/unknown-target"),
        ("V(a, b) + V(a, q)", "file/unknown-target"),
        ("I1 + P(R1)", "file/unlike-terms"),
        ("I1 + 1", "file/unlike-terms"),
        ("R1 + R2", "file/unreadable-target"),
    ],
)
def test_question_about_nothing_there_is_a_finding(text: str, code: str) -> None:
    with pytest.raises(FaultyMaterial) as caught:
        target(text, CIRCUIT)
    assert [finding.code for finding in caught.value.findings] == [code]


@pytest.mark.parametrize("text", ["I3 -> 0 as R3 -> oo", "I_3 → 0 when R_3 → ∞", "I3 -> 0 if R3 = infinity"])
def test_limit_claim_is_read_in_its_spellings(text: str) -> None:
    said = claim(text)
    assert (said.left, said.relation, said.right, said.symbol, said.to) == (
        Symbol("I3"),
        "->",
        ZERO,
        "R3",
        End.INFINITY,
    )


def test_equality_claim_names_both_sides() -> None:
    said = claim("I1 = I2 when R3 -> 0")
    assert (said.relation, said.names(), said.to) == ("=", ("I1", "I2"), End.ZERO)


def test_growth_without_bound_has_no_right_side() -> None:
    assert claim("I1 -> oo as R1 -> 0").right is None


@pytest.mark.parametrize(
    "text", ["", "I1 -> 0", "I1 as R1 -> 0", "I1 -> 0 as R1 -> 5", "-> 0 as R -> 0", "a = b as"]
)
def test_claim_that_cannot_be_read_is_a_finding(text: str) -> None:
    with pytest.raises(FaultyMaterial) as caught:
        claim(text)
    assert [finding.code for finding in caught.value.findings] == ["file/unreadable-expectation"]


@pytest.mark.parametrize(("asked", "mend"), [("RX1", "Did you mean R1?"), ("Q", "The symbols are E1")])
def test_a_value_asked_by_a_name_that_is_none_is_mended(asked: str, mend: str) -> None:
    _, findings = read_text(
        f'find = ["{asked} for greatest P(R2)"]\n[branches]\nI1 = "b, +E1, R1, a"\nI2 = "a, R2, b"\n'
    )
    assert any(f.mend.startswith(mend) for f in findings), findings


@pytest.mark.parametrize(("asked", "mend"), [("V(R1)", "Write I1 R1 for the drop"), ("heat", "P(heat)")])
def test_a_question_near_one_that_can_be_asked_is_mended(asked: str, mend: str) -> None:
    with pytest.raises(FaultyMaterial) as caught:
        target(asked, CIRCUIT)
    assert mend in caught.value.findings[0].mend
