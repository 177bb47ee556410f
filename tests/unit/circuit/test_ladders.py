"""A ladder in the problem file: laid out where its sections are counted, kept as a section where not."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.circuit.elements import Ladder
from loopwright.errors import FaultyMaterial
from loopwright.problem.problem_file import read_text
from loopwright.problem.problem_text import written
from loopwright.solve.exact import solve
from tests.sample_circuits import circuit_of

RUNGS = """
[branches]
I  = "b, +E, a"
I1 = "a, R1, c"
I2 = "c, R2, b"
[ladder]
from = "a, b"
to = "c, b"
section = ["I1", "I2"]
repeated = {count}
"""
ENDLESS = """
find = ["R(a, b)"]
[branches]
I1 = "a, R1, c"
I2 = "c, R2, b"
[ladder]
from = "a, b"
to = "c, b"
repeated = "without end"
"""


def lines(text: str) -> list[str]:
    """The branches of a problem file once its ladder is laid out."""
    return [line for line in written(circuit_of(text)).splitlines() if line.startswith("I")]


def test_sections_are_joined_end_to_end_with_the_next_free_names() -> None:
    assert lines(RUNGS.format(count=3))[3:] == [
        'I3 = "c, R3, c2"',
        'I4 = "c2, R4, b"',
        'I5 = "c2, R5, c3"',
        'I6 = "c3, R6, b"',
    ]


def test_one_section_is_the_circuit_itself() -> None:
    assert lines(RUNGS.format(count=1)) == ['I = "b, +E, a"', 'I1 = "a, R1, c"', 'I2 = "c, R2, b"']


def test_later_sections_have_the_values_numbers_and_ratings_of_the_first() -> None:
    text = RUNGS.format(count=2) + '[numbers]\nE = "9 V"\nR1 = "2 ohm"\nR2 = "4 ohm"\n[ratings]\nR1 = "1 W"\n'
    circuit = circuit_of(text)
    assert circuit.value("R3") == circuit.value("R1")
    assert circuit.ratings == {"R1": 1, "R3": 1}
    assert circuit.has_all_numbers


def test_a_section_of_two_rails_and_a_point_on_the_way_is_repeated_whole() -> None:
    text = """
[branches]
I1 = "a, R1, (m), R2, c"
I2 = "b, R3, d"
I3 = "c, R4, d"
[ladder]
from = "a, b"
to = "c, d"
repeated = 2
"""
    assert lines(text)[3:] == ['I4 = "c, R5, (m2), R6, c2"', 'I5 = "d, R7, d2"', 'I6 = "c2, R8, d2"']


def test_rails_may_cross_from_section_to_section() -> None:
    text = (
        '[branches]\nI1 = "a, R1, c"\nI2 = "c, R2, b"\n[ladder]\nfrom = "a, b"\nto = "b, c"\nrepeated = 3\n'
    )
    assert lines(text)[2:] == [
        'I3 = "b, R3, c2"',
        'I4 = "c2, R4, c"',
        'I5 = "c, R5, c3"',
        'I6 = "c3, R6, c2"',
    ]


LOADED = """
[branches]
I  = "b, +E, a"
I1 = "a, R1, c"
I2 = "c, R2, b"
IL = "k, RL, b"
[ladder]
from = "a, b"
to = "c, b"
section = ["I1", "I2"]
repeated = {count}
last = "k, b"
"""


def test_the_last_points_have_a_name_that_other_branches_may_meet() -> None:
    assert lines(LOADED.format(count=2))[2:] == [
        'I2 = "c, R2, b"',
        'IL = "k, RL, b"',
        'I3 = "c, R3, k"',
        'I4 = "k, R4, b"',
    ]
    assert lines(LOADED.format(count=1))[1:] == ['I1 = "a, R1, k"', 'I2 = "k, R2, b"', 'IL = "k, RL, b"']
    assert solve(circuit_of(LOADED.format(count=4))).currents["IL"]


@pytest.mark.parametrize(("count", "last"), [('"without end"', "k, b"), ("3", "k, m")])
def test_a_last_section_that_cannot_be_is_refused(count: str, last: str) -> None:
    _, findings = read_text(LOADED.format(count=count).replace('"k, b"', f'"{last}"'))
    assert [(f.code, f.place.key) for f in findings] == [("ladder/no-such-last", "ladder.last")]


def test_places_of_later_sections_follow_at_the_same_distance() -> None:
    text = RUNGS.format(count=3) + "[places]\na = [0, 1]\nb = [0, 0]\nc = [1, 1.5]\n"
    places = circuit_of(text).places
    assert places["c2"] == (Fraction(2), Fraction(2))
    assert places["c3"] == (Fraction(3), Fraction(5, 2))


def test_questions_may_name_what_was_laid_out() -> None:
    circuit = circuit_of('find = ["I4", "V(c2, b)"]' + RUNGS.format(count=2))
    assert solve(circuit).currents["I4"]


def test_a_ladder_without_end_is_kept_as_its_section_and_written_back() -> None:
    circuit = circuit_of(ENDLESS)
    assert circuit.ladder == Ladder(("I1", "I2"), ("a", "b"), ("c", "b"))
    assert circuit_of(written(circuit)) == circuit


def test_no_currents_are_listed_for_a_ladder_without_end() -> None:
    with pytest.raises(FaultyMaterial) as refused:
        solve(circuit_of(ENDLESS))
    assert [finding.code for finding in refused.value.findings] == ["ladder/without-end"]


@pytest.mark.parametrize("count", ["501", "true", "2.5", '"for ever"', "-1"])
def test_a_count_beyond_reason_is_refused(count: str) -> None:
    circuit, findings = read_text(RUNGS.format(count=count))
    assert circuit is None
    assert [(f.code, f.place.key) for f in findings] == [("ladder/unreadable-count", "ladder.repeated")]
