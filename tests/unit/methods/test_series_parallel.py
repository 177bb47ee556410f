"""A circuit worked by series and parallel, step by step, and what the judge refuses."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.circuit.made_one import collapse
from loopwright.derive.steps import Derivation, PartsMadeOne
from loopwright.errors import BrokenPromise, FaultyMaterial
from loopwright.expressions.said import as_text
from loopwright.expressions.writers import plain
from loopwright.methods.methods import derive, derive_in_numbers
from loopwright.methods.series_parallel import by_series_and_parallel
from loopwright.methods.verify import verify_method
from loopwright.solve.exact import Solution, solve
from tests.sample_circuits import (
    BRIDGE,
    FED,
    NESTED,
    OPEN_SWITCH,
    SIDE_BY_SIDE,
    circuit_of,
)

TWO_SUPPLIES = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "a, R2, b"
I3 = "b, R3, g"
I4 = "g, R4, b"
I5 = "g, +E2, R5, a"
[numbers]
E1 = "12 V"
E2 = "10 V"
R1 = "2 ohm"
R2 = "3 ohm"
R3 = "4 ohm"
R4 = "12 ohm"
R5 = "1 ohm"
"""


def lines(derivation: Derivation) -> list[str]:
    """Each line on one line of text, as `a = b = c`."""
    return [" = ".join(plain.render(side) for side in step.chain) for step in derivation.steps]


def worked(text: str) -> tuple[Solution, Derivation]:
    solution = solve(circuit_of(text))
    return solution, by_series_and_parallel(solution)


def test_resistors_are_made_one_and_the_way_is_gone_back_outwards() -> None:
    """Common practice, no source."""
    assert lines(derive(circuit_of(SIDE_BY_SIDE), method="series and parallel")) == [
        "R23 = R2 R3/(R2 + R3)",
        "R123 = R1 + R23",
        "E − I1 R123 = 0",
        "I1 = E/R123",
        "V23 = I1 R23 = E R23/R123",
        "I2 = V23/R2 = E R23/(R2 R123)",
        "I3 = V23/R3 = E R23/(R3 R123)",
    ]


def test_with_two_supplies_only_the_parts_between_them_are_made_one() -> None:
    """6 ohm of the feeder between 12 V behind 2 ohm and 10 V behind 1 ohm: 1.6 A; worked by hand."""
    derivation = derive_in_numbers(circuit_of(TWO_SUPPLIES), method="series and parallel")
    assert derivation is not None
    found = lines(derivation)
    assert found[:2] == ["R34 = 4 × 12/(4 + 12) = 3", "R234 = 3 + 3 = 6"]
    assert found[-3:] == ["V34 = 1.6 × 3 = 4.8", "I3 = 4.8/4 = 1.2", "I4 = −4.8/12 = −0.4"]
    assert as_text(derivation.steps[-1].reason) == "Likewise, I4 = −V34/R4; (10) put in."


def test_equal_resistances_are_written_short() -> None:
    text = SIDE_BY_SIDE + '[elements]\nR2 = "R"\nR3 = "R"\n'
    assert lines(worked(text)[1])[0] == "R23 = R R/(R + R) = R/2"


def test_a_current_source_leaves_only_the_parts_to_divide_its_current() -> None:
    found = lines(worked(FED)[1])
    assert found[0] == "R345 = 1/(1/R3 + 1/R4 + 1/R5) = R3 R4 R5/(R3 R5 + R4 (R3 + R5))"
    assert found[1:3] == ["I1 = J", "V345 = I1 R345 = J R345"]


def test_an_open_branch_is_given_first() -> None:
    assert lines(worked(OPEN_SWITCH)[1])[0] == "I3 = 0"


def test_circuits_are_drawn_with_each_resistance_made_one() -> None:
    solution, derivation = worked(SIDE_BY_SIDE)
    captions = [need.caption for need in derivation.figures]
    assert captions == ["R23 in the place of R2 and R3.", "R123 in the place of R1 and R23."]
    assert all(need.like is solution.circuit for need in derivation.figures)
    assert [need.before for need in derivation.figures] == [2, 3]


def test_of_many_steps_only_those_side_by_side_are_drawn() -> None:
    _, derivation = worked(NESTED)
    assert [need.caption.split()[0] for need in derivation.figures] == ["R78", "Rp", "Rs", "Rt"]


def test_a_circuit_with_nothing_to_make_one_is_refused_with_the_reason() -> None:
    with pytest.raises(FaultyMaterial, match="no two resistors are in series or side by side"):
        derive(circuit_of(BRIDGE), method="series and parallel")


@pytest.mark.parametrize(
    ("made", "why"),
    [
        (PartsMadeOne("R23", ("R1", "R3"), in_series=False), "do not join the same two points"),
        (PartsMadeOne("R23", ("R2", "R3"), in_series=True), "they are not in series"),
        (PartsMadeOne("R23", ("R2", "E"), in_series=False), "is no resistor"),
        (PartsMadeOne("R23", ("R2", "R2"), in_series=False), "made one with nothing"),
        (PartsMadeOne("R24", ("R2", "R3"), in_series=False), "another than it says"),
    ],
)
def test_parts_that_do_not_lie_as_is_said_are_refused(made: PartsMadeOne, why: str) -> None:
    solution, derivation = worked(SIDE_BY_SIDE)
    first, *rest = derivation.steps
    with pytest.raises(BrokenPromise, match=why):
        verify_method(replace(derivation, steps=(replace(first, made_one=made), *rest)), solution)


def test_another_circuit_than_the_one_drawn_by_then_is_refused() -> None:
    """With R5 where R1 stands, and the other way round, every value is still somewhere."""
    solution, derivation = worked(TWO_SUPPLIES)
    (left,) = derivation.changed
    earlier = collapse(solution.circuit).steps[0].after
    for wrong in (earlier, solution.circuit):
        with pytest.raises(BrokenPromise, match="is another"):
            verify_method(replace(derivation, changed=(replace(left, drawn=wrong),)), solution)


def test_a_drawn_circuit_with_elements_in_other_loops_is_refused() -> None:
    solution, derivation = worked(TWO_SUPPLIES)
    (left,) = derivation.changed
    assert left.drawn is not None
    one, two, three = left.drawn.branches
    across = replace(
        left.drawn, branches=(replace(one, along=three.along), two, replace(three, along=one.along))
    )
    with pytest.raises(BrokenPromise):
        verify_method(replace(derivation, changed=(replace(left, drawn=across),)), solution)
