"""Workings that add up what each source makes alone.

The circuit: charger, battery and heater, E1 = 23 V, E2 = 18 V, R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω. By hand, D = 47:
E1 alone gives (Ic, Ib, Ih) = (184, 115, 69)/47 A, E2 alone (−90, −162, 72)/47 A, both (2, −1, 3) A.
"""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, circuit_of

PRIMES = """\
E1 alone:
Ic' = Ib' + Ih'
23 - 4 Ic' - 5 Ih' = 0
3 Ib' = 5 Ih'
Ih' = 69/47 A
Ib' = 115/47 A
Ic' = 184/47 A
E2 alone:
Ih'' = 72/47 A
Ic'' = -90/47 A
Ib'' = -162/47 A
"""
SUM = (
    "Sum:\nIc = Ic' + Ic'' = 2 A\nIb = Ib' + Ib'' = -1 A\nIh = Ih' + Ih'' = 3 A\nIb runs against its arrow.\n"
)
PLAIN = """\
E1 alone: Ic = 23/(4 + 15/8) = 184/47 A, Ih = 3/8 (184/47) = 69/47 A, Ib = 115/47 A
E2 alone: Ib = -18/(3 + 20/9) = -162/47 A, Ih = 4/9 (162/47) = 72/47 A, Ic = -90/47 A
Together: Ic = 184/47 - 90/47 = 2 A
Ib = 115/47 - 162/47 = -1 A
Ih = 69/47 + 72/47 = 3 A
Ib runs against its arrow.
"""
LETTERS = """\
With E2 shorted:
Ica = E1/(R1 + R2 Rh/(R2 + Rh))
Iha = Ica R2/(R2 + Rh)
With E1 shorted:
Iba = 0
"""


def read(text: str, source: str = CHARGE_OR_HELP_IN_NUMBERS) -> Reading:
    return read_working(circuit_of(source), text)


def lost(text: str) -> dict[MarkPart, object]:
    awards = propose(read(text), BUILT_IN["ten"]).awards
    return {a.part: a.of - a.points for a in awards if a.points != a.of and a.part is not MarkPart.CHECK}


@pytest.mark.parametrize("text", [PRIMES + SUM, PRIMES + SUM.removeprefix("Sum:\n"), PLAIN])
def test_right_parts_and_their_sums_are_all_right(text: str) -> None:
    assert read(text).right
    assert lost(text) == {}


def test_laws_of_a_part_are_laws_of_its_circuit() -> None:
    junction, loop = read(PRIMES).verdicts[:2]
    assert (junction.kind, loop.kind) == (ClaimKind.JUNCTION, ClaimKind.LOOP)
    assert as_text(loop.said) == "Loop equation round rail, E1, R1, bus, Rh, with E2 at zero."


def test_a_sum_of_parts_follows() -> None:
    verdict = next(v for v in read(PRIMES + SUM).verdicts if v.line == 13)
    assert as_text(verdict.said) == "Follows from the parts that each source makes, added up."


def test_parts_in_letters_are_true_for_all_values() -> None:
    assert [v.holds for v in read(LETTERS, CHARGE_OR_HELP).verdicts] == [True, True, False]


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("3 Ib' = 5 Ih'", "3 Ib' = -5 Ih'"),
        ("23 - 4 Ic' - 5 Ih' = 0", "23 - 4 Ic' - 5 Ih' = 18"),
        ("Ic' = 184/47 A", "Ic' = 2 A"),
        ("Ic'' = -90/47 A", "Ic'' = 90/47 A"),
    ],
)
def test_a_wrong_part_is_denied_although_its_name_is_new(right: str, wrong: str) -> None:
    first = read(PRIMES.replace(right, wrong) + SUM).first_untrue
    assert first is not None
    assert first.line == 1 + PRIMES.split("\n").index(right)


def test_a_difference_where_the_sum_is_wanted_is_denied() -> None:
    first = read(PRIMES + SUM.replace("Ic' + Ic'' = 2", "Ic' - Ic'' = 2")).first_untrue
    assert first is not None
    assert first.line == 13


def test_a_voltage_in_the_changed_circuit_is_judged_there() -> None:
    told = read("E1 alone:\nV' = 5 (69/47)\nIb' = V'/3\nIh' = V'/5\nIc' = (23 - V')/4\n")
    assert told.right
    assert not read("E1 alone:\nV' = 5 (69/47)\nIb' = (V' - 18)/3\nIh' = V'/5\nIc' = (23 - V')/4\n").right


@pytest.mark.parametrize(("ih", "carried"), [("Ih' = Ic'", True), ("Ih' = -Ic'", False)])
def test_a_law_is_carried_where_a_branch_was_cut_and_no_other_one(ih: str, carried: bool) -> None:
    told = read(f"E1 alone:\nIc' = E1/(R1 + Rh)\nIb' = 0\n{ih}\n")
    verdict = next(v for v in told.verdicts if v.line == 4)
    assert not verdict.holds
    assert verdict.carried is carried
