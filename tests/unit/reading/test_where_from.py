"""Where a true line comes from that states no law: the numbers above, the junction rule, or nothing.

The circuit: charger, battery and heater, E1 = 23 V, E2 = 18 V, R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω; the currents
(Ic, Ib, Ih) are (2, −1, 3) A, the voltage of the bus is 15 V.
"""

from __future__ import annotations

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
BY_AN_EQUIVALENT_SOURCE = """\
Remove Rh. Open-circuit voltage between bus and rail:
I = (23 - 18)/(4 + 3) = 5/7 A
Voc = 23 - 4*5/7 = 141/7 = 20.14 V
Rth = 4*3/(4+3) = 12/7 = 1.714 ohm
Ih = 20.14/(1.714 + 5) = 3.00 A
V = 3*5 = 15 V
Ic = (23 - 15)/4 = 2 A
Ib = 2 - 3 = -1 A
"""


def said(text: str, line: int) -> str:
    """What is said of the first claim of a line."""
    verdicts = read_working(CIRCUIT, text).verdicts
    return as_text(next(v.said for v in verdicts if v.line == line))


def test_arithmetic_by_a_rule_unknown_to_us_is_told_by_the_lines_whose_numbers_it_takes() -> None:
    told = said(BY_AN_EQUIVALENT_SOURCE, 5)
    assert "It is worked with the values of lines 3 and 4: say by which rule." in told


def test_a_difference_of_two_currents_found_above_rests_on_these_and_on_the_junction_rule() -> None:
    """Not on the potentials, from which the number would come out as well."""
    told = said(BY_AN_EQUIVALENT_SOURCE, 8)
    assert told == "Follows from lines 5 and 7 and the junction rule at bus."


def test_the_numbers_must_be_those_currents() -> None:
    """2 is the current of the charger, but Ib is not 2 less what Rh drops."""
    (verdict,) = [
        v for v in read_working(CIRCUIT, "Ic = 2 A\nVh = 15 V\nIb = 2 - 15\n").verdicts if v.line == 3
    ]
    assert verdict.kind is ClaimKind.UNTRUE


def test_a_bare_number_from_nowhere_does_not_follow() -> None:
    assert (
        said("Ic = Ib + Ih\nIh = 3 A\n", 2)
        == "True of this circuit. It does not follow from the lines above."
    )


def test_arithmetic_of_the_problem_s_numbers_must_say_where_it_comes_from() -> None:
    told = said("Ic = Ib + Ih\nIh = (23*3 + 18*4)/(4*3 + 5*(3 + 4)) = 3 A\n", 2)
    assert told == "True of this circuit. Say where it comes from."


def test_a_coefficient_rounded_on_the_way_fixes_no_current() -> None:
    """1.667 for 5/3 is a rounding whatever Ih is: what comes next rests on the laws, not on it."""
    text = "Ic = Ib + Ih\n18 + 3 Ib - 5 Ih = 0\nIb = (5 Ih - 18)/3 = 1.667 Ih - 6\nIh = 3.00 A\n"
    verdicts = read_working(CIRCUIT, text).verdicts
    rewritten = next(v for v in verdicts if v.line == 3 and not v.used)
    assert as_text(rewritten.said) == "The same expression rewritten. Right as rounded."
    assert verdicts[-1].kind is ClaimKind.TRUE
