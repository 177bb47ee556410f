"""Where a true line comes from that states no law: the numbers above, the junction rule, or nothing.

The circuit: charger, battery and heater, E1 = 23 V, E2 = 18 V, R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω; the currents
(Ic, Ib, Ih) are (2, −1, 3) A, the voltage of the bus is 15 V.
"""

from __future__ import annotations

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, CROSSED, circuit_of

# b at 10 V and c at 6 V against d: 15 × 5/(2 + 5) with the crossing taken out is another voltage
BRIDGE = circuit_of('find = ["I5", "R(a, d) without E"]\n' + CROSSED.replace("ohm", "kohm"))

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


def test_arithmetic_of_an_equivalent_source_is_told_by_the_lines_whose_numbers_it_takes() -> None:
    told = said(BY_AN_EQUIVALENT_SOURCE, 5)
    assert told.startswith("Follows from lines 3 and 4, by the equivalent source.")


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


def test_the_equations_of_the_node_method_are_laws_and_enough() -> None:
    reading = read_working(
        BRIDGE,
        "(15 - Vb)/2 = Vb/5 + (Vb - Vc)/8\n(15 - Vc)/9 + (Vb - Vc)/8 = Vc/4\nVb = 10 V\nVc = 6 V\n"
        "I1 = (15 - 10)/2k = 2.5 mA\nI3 = 9/9 = 1 mA\nI6 = I1 + I3 = 3.5 mA\nReq = 15/3.5 = 4.29 kohm\n",
    )
    assert [v.kind for v in reading.verdicts[:2]] == [ClaimKind.JUNCTION, ClaimKind.JUNCTION]
    told = as_text(reading.verdicts[0].said)
    assert told == "Junction equation at b, by the potentials along I1, I2 and I5."
    assert reading.enough.enough
    assert all(v.holds for v in reading.verdicts)


def test_a_difference_of_two_potentials_spoken_of_is_that_of_their_own_circuit() -> None:
    text = "Take out R5.\nVb = 15*5/(2+5) = 10.714 V\nVc = 15*4/(9+4) = 4.615 V\nVth = Vb - Vc = 6.099 V\n"
    assert all(v.holds for v in read_working(BRIDGE, text).verdicts)


def test_a_wrong_sign_in_a_node_equation_is_found_where_another_mend_is_true_by_chance() -> None:
    """With Va = 9 V and Vb = 6 V, −Vb/12 + (Vb + 4)/8 comes to (Va − Vb)/4 as well, but is no law."""
    jetty = circuit_of("""
        [branches]
        I1 = "n, R1, +E1, a"
        I2 = "a, R2, n"
        I3 = "a, R3, b"
        I4 = "b, R4, n"
        I5 = "b, R5, -E2, n"
        [numbers]
        E1 = "12.5 V"
        E2 = "4.0 V"
        R1 = "2.0 ohm"
        R2 = "9.0 ohm"
        R3 = "4.0 ohm"
        R4 = "12.0 ohm"
        R5 = "8.0 ohm"
    """)
    text = "(12.5 - Va)/2 = Va/9 + (Va - Vb)/4\n(Va - Vb)/4 = Vb/12 + (Vb + 4)/8\n"
    first, second = read_working(jetty, text).verdicts
    assert first.kind is ClaimKind.JUNCTION
    assert second.kind is ClaimKind.UNTRUE
    assert as_text((second.repairs[0].mended,)) == "(Va − Vb)/4 = Vb/12 + (Vb − 4)/8"


def test_a_unit_behind_a_quotient_may_be_that_of_what_stands_below() -> None:
    for text in (
        "I2 = 10/5k = 2 mA",
        "I2 = 10/5 kohm = 2 mA",
        "I2 = 10/(5k) = 2 mA",
        "R2 = 10/2 kohm = 5 kohm",
    ):
        assert all(v.holds for v in read_working(BRIDGE, text).verdicts), text
    (wrong, _) = read_working(BRIDGE, "I2 = 10/4k = 2.5 mA").verdicts
    assert wrong.kind is ClaimKind.UNTRUE


PUMP_AND_FAN = circuit_of("""
    [branches]
    I1 = "b, +E, R1, a"
    I2 = "a, R2, b"
    I3 = "a, R3, b"
    [numbers]
    E = "24 V"
    R1 = "2 ohm"
    R2 = "6 ohm"
    R3 = "3 ohm"
""")


def test_a_reciprocal_not_turned_round_at_the_end_is_called_so() -> None:
    text = "1/R23 = 1/6 + 1/3 = 1/2 so R23 = 0.5 ohm\nI1 = 24/2.5 = 9.6 A\n"
    wrong, *following = [v for v in read_working(PUMP_AND_FAN, text).verdicts if not v.holds]
    assert wrong.repairs[0].entry == "reciprocal-left"
    assert following
    assert all(v.carried for v in following)


def test_two_results_added_up_are_no_sum_of_loop_equations() -> None:
    """At these numbers 3 I2 + 3 I3 is a whole combination of drops, which nobody would think of."""
    text = "I2 = 12/6 = 2 A\nI3 = 12/3 = 4 A\nI2 + I3 = 6 A\n"
    told = as_text(read_working(PUMP_AND_FAN, text).verdicts[-1].said)
    assert told == "Follows from lines 1 and 2: their sum."
