"""Each term of an equation tells its reason."""

from __future__ import annotations

import pytest

from loopwright.expressions.nodes import add
from loopwright.expressions.said import as_text
from loopwright.laws.equations import Law, junction_equation, loop_equation
from loopwright.laws.laws import laws
from loopwright.laws.term_reasons import term_reasons
from tests.sample_circuits import SYMBOLIC, circuit_of

TWIN_CELLS = """
[branches]
I1 = "b, +E1, a"
I2 = "b, +E2, a"
I3 = "a, R, b"
[elements]
E1 = { value = "E", internal = "r" }
E2 = { value = "E", internal = "r" }
"""
KINDS = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "a, -E2, R2, g"
I3 = "a, +J, g"
I4 = "g, -J2, a"
I5 = "a, S1, R5, g"
I6 = "a, M, g"
[elements]
S1 = "open"
M = { kind = "voltmeter" }
"""


def told(text: str, *loop: tuple[str, int]) -> list[tuple[str, str]]:
    circuit = circuit_of(text)
    found = term_reasons(circuit, loop_equation(circuit, loop))
    return [(r.element, as_text(r.reason)) for r in found]


def test_batteries_and_resistors_are_crossed_along_and_against() -> None:
    assert told(KINDS, ("I1", 1), ("I2", 1)) == [
        ("E1", "E1 is crossed from − to +: a rise."),
        ("R1", "R1 is crossed along the arrow of I1: a drop."),
        ("E2", "E2 is crossed from + to −: a drop."),
        ("R2", "R2 is crossed along the arrow of I2: a drop."),
    ]
    assert told(KINDS, ("I2", -1), ("I1", -1))[0] == ("R2", "R2 is crossed against the arrow of I2: a rise.")


def test_internal_resistance_tells_its_own_reason() -> None:
    assert told(TWIN_CELLS, ("I1", 1), ("I3", 1))[1] == (
        "E1", "The internal resistance of E1 is crossed along the arrow of I1: a drop."
    )  # fmt: skip


def test_voltage_of_a_source_of_current_and_of_a_gap_is_a_drop_along_the_arrow() -> None:
    assert told(KINDS, ("I3", -1), ("I5", 1))[:2] == [
        ("J", "V(J) is counted as a drop along the arrow of I3, and J is crossed against it: a rise."),
        ("S1", "V(S1) is counted as a drop along the arrow of I5, and S1 is crossed along it: a drop."),
    ]


def test_junction_terms_tell_where_their_arrows_point() -> None:
    circuit = circuit_of(TWIN_CELLS)
    found = term_reasons(circuit, junction_equation(circuit, "a"))
    assert [as_text(r.reason) for r in found] == [
        "The arrow of I1 points into a.",
        "The arrow of I2 points into a.",
        "The arrow of I3 points out of a.",
    ]


@pytest.mark.parametrize(
    ("branch", "why"),
    [
        ("I3", "The arrow runs with the current that J fixes."),
        ("I4", "The arrow runs against the current that J2 fixes."),
        ("I5", "The switch S1 is open: no current."),
        ("I6", "An ideal voltmeter (M) carries no current."),
    ],
)
def test_fixed_current_tells_what_fixes_it(branch: str, why: str) -> None:
    circuit = circuit_of(KINDS)
    law = next(e for e in laws(circuit).elements if e.branch == branch)
    assert [as_text(r.reason) for r in term_reasons(circuit, law)] == [why]


@pytest.mark.parametrize("name", SYMBOLIC)
def test_terms_told_make_the_equation(name: str) -> None:
    circuit = circuit_of(SYMBOLIC[name])
    for law in laws(circuit).chosen:
        terms = [r.term for r in term_reasons(circuit, law)]
        if law.law is Law.LOOP:
            assert add(*terms) == law.written.left
        elif law.law is Law.JUNCTION:
            into = sum(as_text(r.reason).endswith(f"into {law.point}.") for r in term_reasons(circuit, law))
            left, right = add(*terms[:into]), add(*terms[into:])
            assert (law.written.left, law.written.right) in ((left, right), (right, left))
