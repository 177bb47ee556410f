"""Numbers that tell slips apart, and their certificate, against slipped equations solved without us."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.versions_asked import VersionsAsked
from loopwright.problem.problem_file import read_text
from loopwright.versions.slips_apart import ApartSieve, certificate
from loopwright.versions.versions import versions

TWO_BATTERIES = """
[branches]
I1 = "b, +E1, R1, a"
I2 = "b, +E2, R2, a"
I3 = "a, R3, b"
"""
APART = (9, 22, 6, 5, 8)  # E1, E2, R1, R2, R3
NAMES = ("E1", "E2", "R1", "R2", "R3")


def circuit_with(*values: int) -> Circuit:
    units = ("V", "V", "ohm", "ohm", "ohm")
    lines = [f'{n} = "{v} {u}"' for n, v, u in zip(NAMES, values, units, strict=True)]
    circuit, findings = read_text(f"{TWO_BATTERIES}[numbers]\n" + "\n".join(lines))
    assert not findings
    assert circuit is not None
    return circuit


def slipped(values: tuple[int, ...]) -> Iterator[tuple[Fraction, ...]]:
    """The currents of the two-loop equations with one sign reversed or one term left out (Cramer's rule)."""
    e1, e2, r1, r2, r3 = map(Fraction, values)
    right = [[Fraction(1), Fraction(1), Fraction(-1), Fraction(0)], [r1, Fraction(0), r3, e1]]
    right.append([Fraction(0), r2, r3, e2])
    for row in range(3):
        for column in range(4):
            for factor in (-1, 0):
                if right[row][column]:
                    wrong = [list(line) for line in right]
                    wrong[row][column] *= factor
                    yield solved(wrong)


def solved(rows: list[list[Fraction]]) -> tuple[Fraction, ...]:
    whole = determinant([line[:3] for line in rows])
    return tuple(
        determinant([[line[3] if at == column else line[at] for at in range(3)] for line in rows]) / whole
        for column in range(3)
    )


def determinant(m: list[list[Fraction]]) -> Fraction:
    return sum(
        (m[0][i] * (m[1][j] * m[2][k] - m[1][k] * m[2][j]) for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1))),
        Fraction(0),
    )


def test_every_single_slip_of_the_equations_has_wrong_answers_of_its_own() -> None:
    found = list(slipped(APART))
    right = solved([[Fraction(x) for x in line] for line in ([1, 1, -1, 0], [6, 0, 8, 9], [0, 5, 8, 22])])
    assert len(found) == 18
    assert right not in found
    elsewhere = list(slipped((7, 31, 11, 3, 13)))  # what meets there too, meets for all numbers
    for i in range(18):
        for j in range(i):
            assert found[i] != found[j] or elsewhere[i] == elsewhere[j]


def test_the_certificate_says_how_many_slips_and_answers_there_are() -> None:
    told = certificate(circuit_with(*APART))
    assert told.apart
    assert not told.meeting
    assert not told.hidden
    assert told.answers < told.slips
    assert told.unlike
    assert all(len(group) > 1 for group in told.unlike)


def test_a_resistance_of_one_ohm_hides_a_lost_factor() -> None:
    told = certificate(circuit_with(9, 22, 6, 5, 1))
    assert not told.apart
    assert any("R3" in slip for slip in told.hidden)


def test_the_quick_sieve_judges_as_the_certificate_does() -> None:
    sieve = ApartSieve()
    met, hiding = (12, 24, 6, 2, 9), (9, 22, 6, 5, 1)
    verdicts = [sieve.passes(circuit_with(*v), circuit_with(*met)) for v in (met, APART, hiding)]
    assert verdicts == [False, True, False]
    assert not certificate(circuit_with(12, 24, 6, 2, 9)).apart


@pytest.mark.slow  # some hundreds of slips for each candidate
def test_versions_are_found_whose_slips_are_apart() -> None:
    circuit = circuit_with(*APART)
    asked = VersionsAsked({"E1": "9, 12 V", "R3": "1, 8 ohm"}, ("slips apart",), "mixed")
    found = versions(circuit, 1, asked=asked)
    assert found.complete
    told = found.versions[0].certificate
    assert told is not None
    assert told.apart
    assert found.circuits[0].numbers["R3"] == 8
    refused = versions(circuit, 1, asked=replace(asked, choices={"R3": "1 ohm"}))
    assert refused.clash is not None
    assert refused.clash.wishes == ("slips apart",)
