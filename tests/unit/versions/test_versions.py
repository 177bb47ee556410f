"""Versions of a problem: the search against a count that shares nothing with it; what is promised."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, product
from typing import NamedTuple

import pytest

from loopwright.checks.ledger.examine import examine
from loopwright.circuit.circuit import Circuit
from loopwright.errors import FaultyMaterial
from loopwright.findings import Finding
from loopwright.many.each import CrewWish
from loopwright.many.outcomes import SetAside
from loopwright.methods.methods import derive_in_numbers
from loopwright.problem.problem_file import read_text
from loopwright.problem.problem_text import written
from loopwright.solve.exact import solve
from loopwright.versions import search as searched_by
from loopwright.versions import versions as found_by
from loopwright.versions.search import SAME_SIGNS
from loopwright.versions.version import SAME_LINES
from loopwright.versions.versions import how_many, versions

TWO_BATTERIES = """
[branches]
I1 = "b, +E1, R1, a"
I2 = "b, +E2, R2, a"
I3 = "a, R3, b"
"""


def problem(volts: str, ohms: str, hold: Sequence[str], difficulty: str = "same") -> Circuit:
    """Two batteries and one load, all five values chosen from the same volts and ohms."""
    lines = [f'E{n} = "{volts}"' for n in (1, 2)] + [f'R{n} = "{ohms}"' for n in (1, 2, 3)]
    told = ", ".join(f'"{wish}"' for wish in hold)
    table = "\n".join(["[versions]", *lines, f"hold = [{told}]", f'difficulty = "{difficulty}"'])
    circuit, findings = read_text(f"{TWO_BATTERIES}{table}\n")
    assert not findings
    assert circuit is not None
    return circuit


class Tried(NamedTuple):
    """One choice of numbers with its currents, over the determinant `D`, by the formulas of a textbook."""

    emfs: tuple[Fraction, ...]
    ohms: tuple[Fraction, ...]
    currents: tuple[Fraction, ...]


def tried(volts: Sequence[Fraction], ohms: Sequence[Fraction]) -> Iterator[Tried]:
    """Every choice, one after another, worked by the solved two-loop equations."""
    for e1, e2 in product(volts, repeat=2):
        for r1, r2, r3 in product(ohms, repeat=3):
            d = r1 * r2 + r1 * r3 + r2 * r3
            i1, i2 = (e1 * (r2 + r3) - e2 * r3) / d, (e2 * (r1 + r3) - e1 * r3) / d
            yield Tried((e1, e2), (r1, r2, r3), (i1, i2, i1 + i2))


BY_HAND: dict[str, Callable[[Tried], bool]] = {
    "currents whole": lambda t: all(i.denominator == 1 for i in t.currents),
    "currents with at most 1 decimal": lambda t: all((10 * i).denominator == 1 for i in t.currents),
    "currents with at most 2 decimals in mA": lambda t: all(
        (100000 * i).denominator == 1 for i in t.currents
    ),
    "currents not zero": lambda t: 0 not in t.currents,
    "currents distinct": lambda t: len({abs(i) for i in t.currents}) == 3,
    "resistances distinct": lambda t: len(set(t.ohms)) == 3,
    "emfs distinct": lambda t: t.emfs[0] != t.emfs[1],
    "no resistance of 1 ohm": lambda t: 1 not in t.ohms,
    "one current negative": lambda t: sum(i < 0 for i in t.currents) == 1,
    "no current negative": lambda t: min(t.currents) >= 0,
    "E1 charged": lambda t: t.currents[0] < 0,
    "E2 not charged": lambda t: t.currents[1] > 0,
    "I2 < I3": lambda t: t.currents[1] < t.currents[2],
    "|I1| >= 0.5 A": lambda t: abs(t.currents[0]) >= Fraction(1, 2),
    "|I1| < I2": lambda t: abs(t.currents[0]) < t.currents[1],
    "V(a, b) = 6 V": lambda t: t.currents[2] * t.ohms[2] == 6,
    "P(R3) <= 9 W": lambda t: t.currents[2] ** 2 * t.ohms[2] <= 9,
    "E1 + E2 > 9 V": lambda t: sum(t.emfs) > 9,
    "V(a, b) with 1 decimal": lambda t: (10 * t.currents[2] * t.ohms[2]).denominator == 1,
}
SIX_VOLTS, FIVE_OHMS = [Fraction(n) for n in range(1, 7)], [Fraction(n) for n in range(1, 6)]


@pytest.fixture(scope="module")
def small() -> list[Tried]:
    return list(tried(SIX_VOLTS, FIVE_OHMS))


@pytest.mark.parametrize("wish", BY_HAND)
def test_as_many_grant_a_wish_as_are_found_one_after_another(wish: str, small: list[Tried]) -> None:
    found = how_many(problem("1 to 6 V", "1 to 5 ohm", [wish]))
    assert found.whole
    assert found.looked_at == len(small) == 4500
    assert found.versions == sum(map(BY_HAND[wish], small))


@pytest.mark.parametrize(
    "hold",
    [
        ("currents whole", "currents not zero", "resistances distinct"),
        ("currents with at most 1 decimal", "E1 charged", "no resistance of 1 ohm", "emfs distinct"),
        ("V(a, b) with 1 decimal", "one current negative"),
        ("currents with at most 1 decimal", "I2 < I3", "|I1| < I2", "E1 + E2 > 9 V"),
    ],
    ids=" & ".join,
)
def test_the_very_same_sets_are_found_as_one_after_another(hold: tuple[str, ...], small: list[Tried]) -> None:
    by_hand = {(*t.emfs, *t.ohms) for t in small if all(BY_HAND[wish](t) for wish in hold)}
    assert by_hand
    found = versions(problem("1 to 6 V", "1 to 5 ohm", hold, "mixed"), len(by_hand), seed=3)
    assert found.complete
    assert {tuple(c.numbers[n] for n in ("E1", "E2", "R1", "R2", "R3")) for c in found.circuits} == by_hand


def test_values_that_are_no_whole_numbers_are_exact() -> None:
    volts = [Fraction(n, 2) for n in range(3, 10, 3)]  # 1.5, 3.0, 4.5
    ohms = [Fraction(n) for n in (330, 470, 680, 1000)]
    hold = ["currents with at most 2 decimals in mA", "currents not zero"]
    circuit = problem("1.5 to 4.5 V in steps of 1.5 V", "E6 from 330 ohm to 1 kohm", hold)
    expected = [t for t in tried(volts, ohms) if BY_HAND[hold[0]](t) and BY_HAND[hold[1]](t)]
    assert how_many(circuit).versions == len(expected) > 0


def test_counts_over_a_million_sets_are_those_worked_out_before() -> None:
    # Our own count over the two-battery circuit, E 1 to 24 V and R 1 to 12 ohm, made by another program.
    wider = ["currents whole", "currents not zero", "currents distinct"]
    circuits = [problem("1 to 24 V", "1 to 12 ohm", wider[:n]) for n in (1, 2, 3)]
    assert [how_many(circuit).versions for circuit in circuits] == [14168, 7568, 4944]
    everything = [*wider, "resistances distinct", "emfs distinct"]
    assert how_many(problem("1 to 24 V", "1 to 12 ohm", everything)).versions == 2652
    everything.append("no resistance of 1 ohm")
    assert how_many(problem("1 to 24 V", "1 to 12 ohm", everything)).versions == 884


# -- what is promised ------------------------------------------------------------------------------

NICE = ("currents whole", "currents not zero", "currents distinct", "no resistance of 1 ohm")


def test_versions_are_distinct_alike_and_the_same_again_for_the_same_seed() -> None:
    circuit = problem("1 to 24 V", "1 to 12 ohm", NICE)
    found = versions(circuit, 30, seed=7, same_lines=False)
    assert found.complete
    assert found.clash is None
    assert len({tuple(c.numbers.values()) for c in found.circuits}) == 30
    assert len({v.signs for v in found.versions}) == 1
    assert found.circuits == versions(circuit, 30, seed=7, same_lines=False).circuits
    assert found.circuits != versions(circuit, 30, seed=8, same_lines=False).circuits


def test_all_versions_have_the_lines_and_signs_they_say() -> None:
    found = versions(problem("1 to 24 V", "1 to 12 ohm", NICE), 8, seed=2)
    for version in found.versions:
        solution = solve(version.circuit)
        derivation = derive_in_numbers(version.circuit, solution)
        assert derivation is not None
        assert derivation.written_lines == version.lines == found.versions[0].lines
        values = [solution.number(current) for current in solution.currents.values()]
        assert tuple((v > 0) - (v < 0) for v in values if v is not None) == version.signs


def test_the_key_of_a_version_is_verified_by_the_ledger() -> None:
    for circuit in versions(problem("1 to 24 V", "1 to 12 ohm", NICE), 3, seed=5).circuits:
        ledger = examine(circuit)
        assert ledger.entries
        assert ledger.passed


def test_mixed_versions_may_have_any_signs() -> None:
    found = versions(problem("1 to 24 V", "1 to 12 ohm", NICE, "mixed"), 60)
    assert len({v.signs for v in found.versions}) > 1


def test_a_version_is_a_problem_file_without_versions() -> None:
    for circuit in versions(problem("1 to 24 V", "1 to 12 ohm", NICE), 3).circuits:
        again, findings = read_text(written(circuit))
        assert not findings
        assert again == circuit
        assert not circuit.versions


def test_the_same_versions_are_found_by_one_process_and_by_two(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(found_by, "WORTH_SHARING", 0.0)
    monkeypatch.setattr(found_by, "TRIED", 1)
    monkeypatch.setattr(found_by, "SINGLE", 1)  # the second portion already goes to others
    monkeypatch.setattr(searched_by, "SINGLE", 1)
    circuit = problem("1 to 24 V", "1 to 12 ohm", NICE)
    here, there = (versions(circuit, 4, seed=2, crew=CrewWish(hands)) for hands in (1, 2))
    assert here.versions == there.versions
    assert here.looked_at == there.looked_at
    count = how_many(circuit, crew=CrewWish(2))
    assert count == how_many(circuit)
    assert count.versions > 1000


def test_a_portion_that_could_not_be_worked_stops_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    lost = SetAside(Finding("work/set-aside", "the search for versions: lost.", ""), ours=True)
    monkeypatch.setattr(found_by, "SINGLE", 0)
    monkeypatch.setattr(found_by, "each", lambda *given, **more: (outcome for outcome in [lost]))
    with pytest.raises(FaultyMaterial, match="lost"):
        versions(problem("1 to 6 V", "1 to 5 ohm", NICE), 3, crew=CrewWish(2))


# -- wishes that clash -----------------------------------------------------------------------------


def smallest_short(hold: Sequence[str], sets: list[Tried], enough: int) -> int:
    """The size of the smallest set of wishes that fewer than `enough` candidates grant, by trying all."""
    for size in range(len(hold) + 1):
        for chosen in combinations(hold, size):
            if sum(all(BY_HAND[wish](t) for wish in chosen) for t in sets) < enough:
                return size
    return len(hold) + 1


@pytest.mark.parametrize(
    ("hold", "enough"),
    [
        (("no current negative", "currents whole", "E1 charged", "resistances distinct"), 1),
        (("I2 < I3", "E1 charged", "currents not zero"), 1),
        (("currents whole", "currents distinct", "no resistance of 1 ohm", "V(a, b) = 6 V"), 20),
        (("|I1| < I2", "E2 not charged", "currents whole", "emfs distinct", "P(R3) <= 9 W"), 150),
    ],
)
def test_the_clash_is_a_smallest_one(hold: tuple[str, ...], enough: int, small: list[Tried]) -> None:
    clash = versions(problem("1 to 6 V", "1 to 5 ohm", hold, "mixed"), enough).clash
    assert clash is not None
    assert clash.proved
    granting = [t for t in small if all(BY_HAND[wish](t) for wish in clash.wishes)]
    assert len(granting) == clash.found < enough
    assert len(clash.wishes) == smallest_short(hold, small, enough)


def test_one_pattern_of_signs_may_be_what_stands_in_the_way() -> None:
    same, mixed = (problem("1 to 6 V", "1 to 5 ohm", ["currents whole"], d) for d in ("same", "mixed"))
    count = how_many(mixed)
    assert versions(mixed, count.versions).complete
    clash = versions(same, count.versions).clash
    assert clash is not None
    assert SAME_SIGNS in clash.wishes
    found = versions(same, max(count.by_signs.values()), same_lines=False)
    assert found.complete


def test_lines_may_be_what_stands_in_the_way() -> None:
    circuit = problem("1 to 6 V", "1 to 3 ohm", ["currents whole"])
    most = max(how_many(circuit).by_signs.values())
    found = versions(circuit, most)
    assert not found.complete
    assert found.clash is not None
    assert found.clash.wishes == (SAME_LINES,)
    assert len({v.lines for v in found.versions}) == 1


def test_a_walk_that_was_cut_short_does_not_claim_a_proof() -> None:
    circuit = problem("1 to 24 V", "1 to 12 ohm", ["E1 charged", "no current negative"])
    clash = versions(circuit, 5, most=20_000).clash
    assert clash is not None
    assert not clash.proved


def test_numbers_too_large_for_64_bits_are_still_exact() -> None:
    volts = "1234567.891, 2469135.782, 7654321.123 V"
    ohms = "987654.321, 123456.789, 192837.465, 999.999 ohm"
    hold = ["|I1| < I2", "currents distinct"]
    sets = tried(
        [Fraction(t) for t in ("1234567.891", "2469135.782", "7654321.123")],
        [Fraction(t) for t in ("987654.321", "123456.789", "192837.465", "999.999")],
    )
    expected = sum(BY_HAND[hold[0]](t) and BY_HAND[hold[1]](t) for t in sets)
    assert how_many(problem(volts, ohms, hold)).versions == expected > 0


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (TWO_BATTERIES, "versions/nothing-varies"),
        (f'{TWO_BATTERIES}[versions]\nE1 = "1 to 3 V"\n', "versions/numbers-missing"),
    ],
)
def test_a_circuit_that_has_no_versions_is_told_why(text: str, code: str) -> None:
    circuit, _ = read_text(text)
    assert circuit is not None
    with pytest.raises(FaultyMaterial) as trouble:
        versions(circuit, 1)
    assert [finding.code for finding in trouble.value.findings] == [code]


def test_a_question_asked_backwards_has_no_versions() -> None:
    circuit = problem("1 to 6 V", "1 to 5 ohm", [])
    with pytest.raises(FaultyMaterial) as trouble:
        versions(replace(circuit, sought=("R2",)), 1)
    assert trouble.value.findings[0].code == "versions/asked-backwards"
