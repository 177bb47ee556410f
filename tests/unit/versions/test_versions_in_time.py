"""Versions of circuits in time: the search against every choice worked by the formulas of a textbook."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import product
from math import exp, inf, log
from typing import NamedTuple

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.errors import FaultyMaterial
from loopwright.expressions.said import as_text
from loopwright.papers.answers import paper_answers
from loopwright.papers.paper import paper_key, student_paper
from loopwright.papers.plan import PaperWishes, planned
from loopwright.papers.roster import Roster, RosterEntry
from loopwright.problem.problem_file import read_text
from loopwright.problem.problem_text import written
from loopwright.sheet.build import sheet
from loopwright.sheet.pdf import typeset, typst_source
from loopwright.versions import versions as found_by
from loopwright.versions.times_come import TIMES_COME
from loopwright.versions.told import clash_found
from loopwright.versions.usual import good_numbers
from loopwright.versions.versions import how_many, versions
from tests.sample_circuits import circuit_of as read_circuit
from tests.unit.transients.sample_transients import FILLING

LIGHT = (
    """
find = ["I1 just after", "I1(t)", "tau", "Q(C1) long after", "t when V(C1) = 7 V"]
"""
    + FILLING
)
VOLTS, OHMS, FARADS = range(9, 25), range(1, 6), (Fraction(10, 10**6), Fraction(22, 10**6))
MILLI, MICRO = Fraction(1, 1000), Fraction(1, 10**6)


def light(hold: Sequence[str], more: str = "") -> Circuit:
    told = ", ".join(f'"{wish}"' for wish in hold)
    ohms = "\n".join(f'R{n} = "1 to 5 kohm"' for n in (1, 2, 3))
    table = f'[versions]\nE = "9 to 24 V"\n{ohms}\nC1 = "10, 22 µF"\nhold = [{told}]\n{more}'
    circuit, findings = read_text(f"{LIGHT}{table}")
    assert circuit is not None, findings
    return circuit


class Filled(NamedTuple):
    """One choice, worked by hand: the top's potential by Millman's theorem, the capacitor a source of 2 V."""

    before: Fraction  # I1 just after the switch closes
    after: Fraction  # I1 long after
    tau: Fraction
    charge: Fraction  # long after
    high: Fraction  # V(C1) long after


def filled() -> Iterator[Filled]:
    """Every choice, one after another."""
    for e, r1, r2, r3, c in product(VOLTS, OHMS, OHMS, OHMS, FARADS):
        a, b, d = (Fraction(1000 * r) for r in (r1, r2, r3))
        top = (e / a + 2 / d) / (1 / a + 1 / b + 1 / d)
        high = e * b / (a + b)
        yield Filled((e - top) / a, e / (a + b), (d + a * b / (a + b)) * c, high * c, high)


BY_HAND: dict[str, Callable[[Filled], bool]] = {
    "tau whole in ms": lambda f: (f.tau / MILLI).denominator == 1,
    "tau = 55 ms": lambda f: f.tau == 55 * MILLI,
    "I1 just after with at most 1 decimal in mA": lambda f: (10 * f.before / MILLI).denominator == 1,
    "I1 long after < 2 mA": lambda f: f.after < 2 * MILLI,
    "I1 just after > 2 I1 long after": lambda f: f.before > 2 * f.after,
    "Q(C1) long after whole in µC": lambda f: (f.charge / MICRO).denominator == 1,
    "V(C1) long after >= 12 V": lambda f: f.high >= 12,
    "V(C1) just after = 2 V": lambda f: True,
    "answers whole in mA, ms and µC": lambda f: all(
        x.denominator == 1 for x in (f.before / MILLI, f.tau / MILLI, f.charge / MICRO)
    ),
}


@pytest.fixture(scope="module")
def every() -> list[Filled]:
    return [f for f in filled() if f.high > 7]  # the time asked for must come


@pytest.mark.parametrize("wish", BY_HAND)
def test_as_many_grant_a_wish_as_are_found_one_after_another(wish: str, every: list[Filled]) -> None:
    found = how_many(light([wish]))
    assert found.whole
    assert found.versions == sum(map(BY_HAND[wish], every))


def test_no_version_asks_for_a_time_that_never_comes() -> None:
    found = versions(light(["E <= 12 V"]), 40, seed=3)
    assert found.complete
    for circuit in found.circuits:
        (asked,) = [a for a in paper_answers(circuit) if " when " in as_text(a.asked)]
        assert asked.value is not None
        assert asked.value > 0


def test_versions_share_the_signs_of_all_currents_just_after_and_long_after() -> None:
    found = versions(light(["I3 long after = 0 A"]), 5)
    assert found.signed[:2] == ("I1 just after", "I1 long after")
    assert len({version.signs for version in found.versions}) == 1
    for circuit in found.circuits:
        again, _ = read_text(written(circuit))
        assert again == circuit


def test_papers_have_numbers_and_keys_proved_by_the_ledger() -> None:
    wishes = PaperWishes(forms=("html",))
    plan = planned([light(["tau whole in ms"])], Roster((RosterEntry("s1"), RosterEntry("s2"))), wishes)
    for paper in plan.papers:
        assert paper_key(plan, paper).title  # raises where a ledger fails or an answer differs by two routes
        e, a, b, d, c = (paper.circuits[0].numbers[n] for n in ("E", "R1", "R2", "R3", "C1"))
        shown = {as_text(answer.asked): answer.value for answer in paper_answers(paper.circuits[0])}
        assert shown["τ"] == (d + a * b / (a + b)) * c
        assert shown["Q(C1) long after"] == e * b / (a + b) * c
        assert shown["I1(t)"] is None


def test_good_numbers_are_found_without_a_table() -> None:
    circuit, _ = read_text(f'{LIGHT}[numbers]\nC1 = "10 µF"\n')
    assert circuit is not None
    found, wished = good_numbers(circuit)
    assert found.complete
    assert "resistances distinct" in wished


@pytest.mark.parametrize(
    ("hold", "more", "told"),
    [
        (["I1 = 2 mA"], "", "no one exact value"),
        (["t when V(C1) = 7 V = 2 ms"], "", "more than one comparison"),
        (["I1 at 2 ms < V(C1) at 3 ms"], "", "cannot be read"),
        ([], 'forms = ["arrows turned"]', "no form"),
        ([], 'asked = [["I1 just after"]]', "all ask the same"),
        (["Q(C2) long after whole in µC"], "", "C2"),
        (["tau < 2 V"], "", "compares"),
    ],
)
def test_what_cannot_be_wished_for_is_told(hold: list[str], more: str, told: str) -> None:
    circuit, findings = read_text(f'{LIGHT}[versions]\nE = "9 to 24 V"\nhold = {hold!r}\n{more}\n')
    said = " ".join(f.message for f in findings)
    if not findings:
        assert circuit is not None
        with pytest.raises(FaultyMaterial) as trouble:
            versions(circuit, 1)
        said = str(trouble.value)
    assert told in said


def test_a_figure_may_stand_otherwise_in_time_as_well() -> None:
    found = versions(light([], 'forms = ["mirrored", "turned"]'), 8)
    assert len({circuit.page.figure for circuit in found.circuits}) > 1


FILLED_TWICE = """
find = ["V(C1) at 50 ms", "t when V(C1) = 9 V"]

[branches]
I1 = "foot, +E, S1, R1, top"
I3 = "top, C1, foot"
I2 = "top, S2, R2, foot"

[switching]
S1 = "open -> closed"
S2 = "open -> closed at 30 ms"

[start]
C1 = "0 V"

[numbers]
R2 = "4 kohm"

[versions]
E = "6 to 24 V"
R1 = "1 to 9 kohm"
C1 = "E6 from 1 µF to 47 µF"
hold = ["V(C1) long after with at most 1 decimal"]
"""


def _comes(e: float, r1: float, r2: float, c: float) -> bool:
    """Whether 9 V are reached, by the exponential law of any textbook: filled through R1 for 30 ms, then
    bound for the share of the divider."""
    at_30 = e * (1 - exp(-0.03 / (r1 * c)))
    end = e * r2 / (r1 + r2)
    return at_30 > 9 or (end > 9 and at_30 <= 9)


def test_a_time_asked_for_comes_in_every_version_after_later_moves_as_well() -> None:
    circuit = read_circuit(FILLED_TWICE)
    found = versions(circuit, 30, seed=4)
    assert found.complete
    for version in found.circuits:
        assert _comes(*(float(version.numbers[n]) for n in ("E", "R1", "R2", "C1")))
    without = replace(circuit, find=("V(C1) at 50 ms",), in_time=("V(C1) at 50 ms",))
    free = versions(without, 30, seed=4).circuits
    assert not all(_comes(*(float(c.numbers[n]) for n in ("E", "R1", "R2", "C1"))) for c in free)


def test_where_a_time_never_comes_that_is_what_stands_in_the_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(found_by, "MOST_REFUSED", 50)
    found = versions(read_circuit(FILLED_TWICE.replace("= 9 V", "= 90 V")), 3)
    assert found.clash is not None
    assert TIMES_COME in found.clash.wishes
    assert not found.clash.proved
    assert "that every time asked for comes leave" in clash_found(found).message


def test_a_paper_says_what_storages_hold_and_its_key_that_a_time_never_comes() -> None:
    circuit = read_circuit(
        FILLED_TWICE.partition("[versions]")[0] + '\nE = "6 V"\nR1 = "2 kohm"\nC1 = "10 µF"\n'
    )
    handed_out = sheet(circuit, edition="problem").markdown()
    assert "At the start: " in handed_out
    (_, asked) = paper_answers(circuit)
    assert asked.value is None
    assert asked.shown.startswith("never")


def test_answers_that_find_no_room_stand_at_the_foot_of_a_page_to_work_on() -> None:
    """Eight answers below a figure, 60 mm of room between."""
    asked = ["V(C1)(t)", "I2(t)", "tau", "V(C1) at 50 ms", "t when V(C1) = 9 V"]
    text = FILLED_TWICE.replace('["V(C1) at 50 ms", "t when V(C1) = 9 V"]', str(asked).replace("'", '"'))
    plan = planned([read_circuit(text)], Roster((RosterEntry("s1"),)), PaperWishes(room=90))
    pages = typeset(typst_source(student_paper(plan, plan.papers[0])), "svg")
    assert len(pages) == 2
    heights = [float(y) for y in re.findall(r"translate\([\d.]+ ([\d.]+)\)", pages[1].decode())]
    assert min(heights) > 400  # points from the top of a page of 842


def _at_50_ms(e: float, r1: float, r2: float, c: float) -> tuple[float, float, float]:
    """V(C1) at 50 ms, the first time at which it is 9 V, and I2 just after the second move, by the
    exponential law."""
    at_30, end = e * (1 - exp(-0.03 / (r1 * c))), e * r2 / (r1 + r2)
    tau = c * r1 * r2 / (r1 + r2)
    first = -r1 * c * log(1 - 9 / e) if at_30 > 9 else inf
    if at_30 <= 9 < end:
        first = 0.03 - tau * log((end - 9) / (end - at_30))
    return end + (at_30 - end) * exp(-0.02 / tau), first, at_30 / r2


def test_values_at_a_time_and_what_later_moves_begin_with_are_compared_with_an_amount() -> None:
    wished = ["V(C1) at 50 ms >= 6.5 V", "t when V(C1) = 9 V < 25 ms", "I2 just after move 2 ≤ 3.6 mA"]
    text = FILLED_TWICE.replace('with at most 1 decimal"]', f'with at most 1 decimal", {str(wished)[1:-1]}]')
    found = versions(read_circuit(text.replace("'", '"')), 15, seed=2)
    assert found.complete
    values = [_at_50_ms(*(float(c.numbers[n]) for n in ("E", "R1", "R2", "C1"))) for c in found.circuits]
    assert all(v >= 6.5 and t < 0.025 and i <= 0.0036 for v, t, i in values)
    free = versions(read_circuit(FILLED_TWICE), 15, seed=2).circuits
    others = [_at_50_ms(*(float(c.numbers[n]) for n in ("E", "R1", "R2", "C1"))) for c in free]
    assert any(v < 6.5 for v, _, _ in others)
    assert any(t >= 0.025 for _, t, _ in others)
    assert any(i > 0.0036 for _, _, i in others)


@pytest.mark.parametrize(
    ("wish", "said"),
    [
        ("V(C1) at 50 ms >= 3 A", "3 A is not in V"),
        ("t when V(C1) = 9 V < soon", '"soon" cannot be read'),
        ("V(C1) at 50 ms whole", "no one exact value"),
    ],
)
def test_what_cannot_be_compared_is_told(wish: str, said: str) -> None:
    text = FILLED_TWICE.replace("V(C1) long after with at most 1 decimal", wish)
    with pytest.raises((FaultyMaterial, AssertionError)) as told:
        versions(read_circuit(text), 2)
    assert said in str(told.value)
