"""What a page has room for: counted in terms and in branches."""

from __future__ import annotations

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.sheet.printable import MOST_PRINTED, is_printable
from tests.sample_circuits import BRIDGE, circuit_of
from tests.unit.sheet.long_ladder import ten_sections
from tests.wide_circuits import complete


def ring(branches: int) -> Circuit:
    """One loop of so many branches, all of one resistance: few terms, however many branches."""
    lines = [f'I{n} = "p{n}, R{n}, p{(n + 1) % branches}"' for n in range(1, branches)]
    elements = [f'R{n} = "R"' for n in range(1, branches)]
    return circuit_of("\n".join(["[branches]", 'I0 = "p0, +E, p1"', *lines, "[elements]", *elements]))


def test_terms_are_counted_and_not_written() -> None:
    assert is_printable(circuit_of(BRIDGE))
    assert not is_printable(circuit_of(complete(8)))  # 327,680 terms, none of them written
    assert 100 <= MOST_PRINTED <= 500


@pytest.mark.parametrize(("branches", "printable"), [(40, True), (41, False)])
def test_too_many_steps_are_not_printed_however_short_the_forms(branches: int, printable: bool) -> None:
    assert is_printable(ring(branches)) is printable


def test_a_ladder_of_ten_sections_is_not_worked_in_steps_though_its_terms_are_few() -> None:
    assert not is_printable(circuit_of(ten_sections()))
