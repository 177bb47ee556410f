"""Ways in which people type a working, each with its false twin: the one is read or carried, the other is
denied.

Charger, battery and heater: E1 = 23 V, E2 = 18 V, R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω; (Ic, Ib, Ih) = (2, −1, 3) A
and V(bus, rail) = 15 V, worked by hand. What follows from a slip is worked by hand beside it.
"""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind, Verdict
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

LETTERS = """
[branches]
I1 = "n, +E1, R1, p"
I2 = "p, R2, +E2, n"
I3 = "p, R3, n"
[elements]
E1 = "E"
E2 = "E"
R1 = "R"
R2 = "2 R"
R3 = "3 R"
"""
CELLS = """
[branches]
I1 = "e, R1, a"
I2 = "a, R2, +E1, e"
I3 = "a, +E2, R3, e"
[elements]
E1 = { kind = "battery", value = "E1", internal = "r1" }
E2 = { kind = "battery", value = "E2", internal = "r2" }
[numbers]
E1 = "18 V"
E2 = "45 V"
r1 = "0.5 ohm"
r2 = "0.5 ohm"
R1 = "6 ohm"
R2 = "2.5 ohm"
R3 = "1.5 ohm"
"""
SWITCH = """
[branches]
I1 = "d, +E1, R1, a"
I2 = "a, R2, -E2, d"
I3 = "a, R3, d"
I4 = "a, S1, (c), R4, d"
[elements]
S1 = "open"
[numbers]
E1 = "20 V"
E2 = "8 V"
R1 = "4 ohm"
R2 = "2 ohm"
R3 = "12 ohm"
R4 = "6 ohm"
"""
DRIVEN = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "a, R2, g"
I3 = "g, +J, a"
[numbers]
E1 = "12 V"
J = "1 A"
R1 = "3 ohm"
R2 = "6 ohm"
"""


def read(text: str, circuit: str = CHARGE_OR_HELP_IN_NUMBERS) -> Reading:
    return read_working(circuit_of(circuit), text)


def accused(reading: Reading) -> list[Verdict]:
    """The claims that are wrong by themselves."""
    return [v for v in reading.verdicts if v.kind is ClaimKind.UNTRUE and not v.carried]


def in_trouble(reading: Reading) -> list[int]:
    return [line.number for line in reading.working.lines if line.trouble]


def slip(text: str, circuit: str = CHARGE_OR_HELP_IN_NUMBERS) -> str:
    """The slip named first, in the first claim that is wrong by itself."""
    wrong = accused(read(text, circuit))[0]
    return wrong.repairs[0].entry if wrong.repairs else ""


READ = {
    "names like words": (
        "9 ja - 5 jb = 23\n-5 ja + 8 jb = -18\nja = 2, jb = -1",
        "9 ja - 5 jb = 32\njb = -1\n2 ja = 4",
    ),
    "three spaces between claims": ("5 Ih = 15   Ih = 3 A", "5 Ih = 15   Ih = 4 A"),
    "a label with a space before its colon": ("heater Rh : Ic - Ib = 3 A", "heater Rh : Ic - Ib = 4 A"),
    "what is done to the line in brackets": (
        "23 = 4 Ic + 5 Ih (x2) -> 46 = 8 Ic + 10 Ih",
        "23 = 4 Ic + 5 Ih (x2) -> 46 = 8 Ic + 5 Ih",
    ),
    "a long dash before a remark": ("Ic - Ib = 3 A -- as it should be", "Ic - Ib = 4 A -- as it should be"),
    "what an element carries": (
        "Rh carries x - y\n23 = 4 x + 5(x - y)\n-18 = 3 y - 5(x - y)",
        "Rh carries x + y\n23 = 4 x + 5(x - y)\n-18 = 3 y - 5(x - y)",
    ),
    "a resistor by its size": ("current in the 5-ohm resistor = 3 A", "current in the 5-ohm resistor = 4 A"),
    "loops as lists": (
        "Loops: a = E1 R1 Rh, b = E2 R2 Rh\n9 a - 5 b = 23",
        "Loops: a = E1 R1 Rh, b = E2 R2 Rh\n9 a - 5 b = 23\n8 b - 5 a = 18",
    ),
    "a result behind a colon": ("Ic: 2 A, Ib: -1 A\nIh: 3 A", "Ic: 2 A, Ib: -1 A\nIh: 4 A"),
    "a sum behind a colon": ("Ih: 2 A + 1 A = 3 A", "Ih: 2 A + 2 A = 4 A"),
    "claims with nothing but space between": ("Ic=2A Ib=-1A Ih=3A", "Ic=2A Ib=-1A Ih=4A"),
    "bare claims with nothing but space between": (
        "z=3 x=2\n23=4x+5z",
        "z=3 x=4\n23=4x+5z",
    ),
    "loop currents p and q": (
        "meshes p, q clockwise\n9 p - 5 q = 23\n-5 p + 8 q = -18",
        "meshes p, q clockwise\n9 p - 5 q = 23\n-5 p + 8 q = 18",
    ),
    "a letter that could be an ampere": (
        "9a - 5b = 23\n-5a + 8b = -18\nIh = a - b\na = 2, b = -1",
        "9a - 5b = 23\n-5a + 8b = 18\nIh = a - b\na = 2, b = -1",
    ),
    "loops told with clockwise": (
        "k1 = E1, R1, Rh and k2 = E2, R2, Rh, clockwise\n9 k1 - 5 k2 = 23\n-5 k1 + 8 k2 = -18",
        "k1 = E1, R1, Rh and k2 = E2, R2, Rh, clockwise\n9 k1 - 5 k2 = 23\n-5 k1 + 8 k2 = -81",
    ),
    "joules in a second": (
        "the charger gives 23*2 = 46 J/s and the heater takes 9*5 = 45 J/s",
        "the charger gives 23*2 = 45 J/s and the heater takes 9*5 = 45 J/s",
    ),
    "loops in brackets": (
        "windows: u (E1 R1 Rh), v (E2 R2 Rh) clockwise\n9 u - 5 v = 23\n-5 u + 8 v = -18",
        "windows: u (E1 R1 Rh), v (E2 R2 Rh) clockwise\n9 u - 5 v = 23\n-5 u + 8 v = 18",
    ),
    "a letter for a current": ("Ih = x\n23 = 4 Ic + 5 x\nx = 3", "Ih = x\n23 = 4 Ic + 5 x\nx = 2"),
    "a sign in a remark": ("Ib = -1 A (into +) Ic = 2 A", "Ib = -1 A (into +) Ic = 3 A"),
    "what is done, with an x": ("5 Ih = 15 | x3\n15 Ih = 45", "5 Ih = 15 | x3\n15 Ih = 15"),
    "milliamperes told at the end": (
        "Ic = 2000 mA, Ib = -1000 mA\nIh = 2000 + 1000 = 3000 mA",
        "Ic = 2000 mA, Ib = -1000 mA\nIh = 2 + 1 = 3 mA",
    ),
}


@pytest.mark.parametrize(("right", "wrong"), READ.values(), ids=READ)
def test_what_is_typed_so_is_read_and_its_twin_denied(right: str, wrong: str) -> None:
    found = read(right)
    assert (accused(found), in_trouble(found)) == ([], [])
    assert all(v.holds for v in found.verdicts)
    assert found.verdicts
    assert accused(read(wrong))
    assert in_trouble(read(wrong)) == []


@pytest.mark.parametrize("text", ["Sum of the currents leaving = 0", "(all on one bus, minus pole = 0)"])
def test_a_rule_in_words_is_no_trouble(text: str) -> None:
    assert in_trouble(read(text)) == []


def test_a_current_in_words_is_still_one() -> None:
    assert in_trouble(read("current in the heater = 0")) == [1]


def test_a_ratio_with_spaces_is_still_one() -> None:
    assert in_trouble(read("Ib : Ih = 1 : 3")) == [1]


def test_what_is_hesitated_over_is_taken_back_only_where_something_stands_for_it() -> None:
    assert accused(read("Ic = Ib - Ih\nno wait, the heater: Ic = Ib + Ih")) == []
    assert accused(read("Ic = Ib - Ih\noops, I forgot my pen"))


def test_letters_are_potentials_where_their_zero_is_said() -> None:
    found = read("rail is at 0 V\n(23 - x)/4 + (18 - x)/3 = x/5\nx = 15 V")
    assert (accused(found), [v for v in found.verdicts if not v.holds]) == ([], [])
    assert accused(read("rail is at 0 V\n(23 - x)/4 + (18 - x)/3 = x/5\nx = 16 V"))


def test_a_list_of_names_set_equal_to_words_is_prose() -> None:
    assert in_trouble(read("Ic, Ib, Ih = currents of the three branches")) == []
    assert in_trouble(read("Ic, Ib, Ih = 2, 3")) == [1]


def test_the_determinant_of_a_matrix_is_one_by_its_name() -> None:
    lines = "9 x - 5 y = 23\n-5 x + 8 y = -18\n"
    assert accused(read(lines + "det A = 72 - 25 = 47")) == []
    assert accused(read(lines + "$\\det A = 72 + 25 = 97$"))


def test_what_is_between_two_signs_of_a_chain_is_a_product_still() -> None:
    assert [as_text((v.claim.written,)) for v in read("Ic = 2 Ih = 6").verdicts] == ["Ic = 2 Ih", "2 Ih = 6"]
    label = read("Ih: 5 Ih = 15").verdicts
    assert [as_text((v.claim.written,)) for v in label] == ["5 Ih = 15"]


def test_a_comparison_that_gives_a_reason_is_prose() -> None:
    assert in_trouble(read("the 18 V battery helps, since 18 V > 15 V")) == []
    assert in_trouble(read("Ib < 2 A")) == [1]


def test_a_difference_worked_in_the_head_is_as_rounded_as_its_parts() -> None:
    circuit = CHARGE_OR_HELP_IN_NUMBERS.replace('"5 ohm"', '"5.5 ohm"')  # V = 1551/101 V
    assert accused(read("V is the potential of bus\nV = 15.36 V\nIb = -2.64/3 = -0.880 A", circuit)) == []
    assert accused(read("V is the potential of bus\nV = 15.36 V\nIb = -2.74/3 = -0.913 A", circuit))


def test_what_two_lamps_take_together_may_have_a_name_of_its_own() -> None:
    circuit = CHARGE_OR_HELP_IN_NUMBERS.replace("[numbers]", 'Ix = "bus, Rx, rail"\n[numbers]\nRx = "20 ohm"')
    circuit = circuit.replace('"5 ohm"', '"20/3 ohm"')  # side by side 5 ohm: all else as it was
    found = read("Ic = Ib + IL\n23 = 4 Ic + 5 IL\nIL = 3 A", circuit)
    assert (accused(found), [v for v in found.verdicts if not v.holds]) == ([], [])
    assert "IL the current of all, Ih + Ix" in as_text(found.arrows.said)
    assert accused(read("Ic = Ib + IL\n23 = 4 Ic + 5 IL\nIL = 2 A", circuit))


def test_nothing_set_equal_to_much_is_no_slip_of_arithmetic() -> None:
    wrong = accused(read("0 = -16.5"))[0]
    assert as_text(wrong.said) == "Two different numbers: no currents can make them equal."
    assert wrong.repairs == ()
    assert accused(read("0 = 0.02"))[0].said != wrong.said


def test_a_formula_beside_the_word_loop_is_still_judged() -> None:
    assert accused(read("in this loop Ic = E1 R1"))


def test_a_potential_is_the_one_that_words_name() -> None:
    assert accused(read("Let V be the potential of bus, rail is zero\nV = 15 V")) == []
    assert accused(read("Let V be the potential of rail, bus is zero\nV = 15 V"))


def test_letters_behind_a_stroke_are_taken_in_the_sense_that_can_be_decided() -> None:
    text = "4R ja - 3R jb = E\n-3R ja + 5R jb = E\nja = 8E/11R\njb = 8E/11R"
    assert [v.line for v in accused(read(text, LETTERS))] == [4]


# -- carried -----------------------------------------------------------------------------------------

BY_DETERMINANTS = """\
4R ja - 3R jb = E
-3R ja + 5R jb = E
D = 20R^2 - 9R^2 = 11R^2
Da = 5RE + 3RE = 8RE
Db = 4RE - 3RE = RE
"""


@pytest.mark.parametrize("result", ["jb = E/(11R)", "jb = Db/D = E/(11R)"])
def test_a_wrong_determinant_in_letters_is_carried_into_its_quotient(result: str) -> None:
    assert [v.line for v in accused(read(BY_DETERMINANTS + result, LETTERS))] == [5]
    again = result.replace("= E/(11R)", "= 2E/(11R)")
    assert [v.line for v in accused(read(BY_DETERMINANTS + again, LETTERS))] == [5, 6]


def test_a_numerator_written_rightly_after_a_wrong_one_is_right() -> None:
    assert [v.line for v in accused(read(BY_DETERMINANTS + "Db = 4RE + 3RE = 7RE", LETTERS))] == [5]


# Ib with the wrong sign of E2 is (V + 18)/3, so that (23 − V)/4 = (V + 18)/3 + V/5 gives V = −15/47 V.
BY_POTENTIALS = "rail is zero, V the potential of bus\n(23 - V)/4 = (V + 18)/3 + V/5\nV = -0.319 V\n"


def test_a_wrong_term_is_carried_into_what_its_branch_carries() -> None:
    assert [v.line for v in accused(read(BY_POTENTIALS + "Ib = (-0.319 + 18)/3 = 5.89 A"))] == [2]
    assert [v.line for v in accused(read(BY_POTENTIALS + "Ib = (-0.319 + 17)/3 = 5.56 A"))] == [2, 4]


def test_a_difference_of_a_given_and_a_wrong_potential_worked_in_the_head_is_carried() -> None:
    circuit = CHARGE_OR_HELP_IN_NUMBERS.replace("rail, +E1, R1, bus", "rail, +E1, (t), R1, bus")
    text = BY_POTENTIALS + "Vt = 23\n"
    assert [v.line for v in accused(read(text + "Ic = 23.319/4 = 5.83 A", circuit))] == [2]
    assert [v.line for v in accused(read(text + "Ic = 22.319/4 = 5.58 A", circuit))] == [2, 5]


# E2 turned in Millman's quotient: (23/4 - 18/3)/(1/4 + 1/3 + 1/5) = -0.25/0.7833 = -0.319 V.
BY_MILLMAN = "V is the potential of bus\nV = (23/4 - 18/3)/(1/4 + 1/3 + 1/5) = -0.319 V\n"


def test_a_source_that_was_turned_above_is_carried_where_it_is_turned_again() -> None:
    assert [v.line for v in accused(read(BY_MILLMAN + "Ib = (-0.319 + 18)/3 = 5.89 A"))] == [2]
    assert [v.line for v in accused(read(BY_MILLMAN + "Ib = (-0.319 + 17)/3 = 5.56 A"))] == [2, 3]


def test_halves_of_a_wrong_current_are_carried_once_two_were_set_equal() -> None:
    text = "Ic = 5/12 = 0.417 A\nIb = Ih\n"
    assert [v.line for v in accused(read(text + "Ih = 0.417/2 = 0.208 A"))] == [1, 2]
    assert [v.line for v in accused(read(text + "Ih = 0.417/3 = 0.139 A"))] == [1, 2, 3]


BRIDGE = """
[branches]
I0 = "b, +E, t"
I1 = "t, R1, l"
I2 = "t, R2, r"
I3 = "r, R3, l"
I4 = "l, R4, b"
I5 = "r, R5, b"
[numbers]
E = "24 V"
R1 = "150 ohm"
R2 = "50 ohm"
R3 = "100 ohm"
R4 = "300 ohm"
R5 = "250 ohm"
"""


BALANCED = BRIDGE.replace('"50 ohm"', '"125 ohm"')  # 150/300 = 125/250


@pytest.mark.parametrize(
    "shown",
    ["R1/R4 = 0.5 = R2/R5", "150/300 = 0.5\n125/250 = 0.5", "R1 R5 = 37500 = R2 R4", "R1/R2 = 1.2 = R4/R5"],
)
def test_a_bridge_is_balanced_by_two_quotients_or_products(shown: str) -> None:
    last = read(f"{shown}\nI3 = 0", BALANCED).verdicts[-1]
    assert last.kind is ClaimKind.FOLLOWS
    assert "bridge is balanced" in as_text(last.said)


@pytest.mark.parametrize("shown", ["R1/R5 = 0.6", "R1/R4 = 0.5", "a bridge"])
def test_a_bridge_of_which_nothing_is_shown_is_not_balanced_by_a_word(shown: str) -> None:
    last = read(f"{shown}\nI3 = 0", BALANCED).verdicts[-1]
    assert (last.kind, last.holds) == (ClaimKind.TRUE, True)


def test_what_lies_in_series_without_the_middle_follows_from_that() -> None:
    text = "R1/R4 = 0.5 = R2/R5\nI3 = 0\n"
    right = read(text + "I1 = 24/(150 + 300)", BALANCED).verdicts[-1]
    assert (right.kind, right.used) == (ClaimKind.FOLLOWS, (2,))
    assert accused(read(text + "I1 = 24/(150 + 250)", BALANCED))


def test_what_is_worked_with_the_middle_of_a_bridge_cut_is_carried() -> None:
    text = "I3 = 0\nI1 = I4 = 24/(150 + 300) = 53.3 mA\n"
    assert [v.line for v in accused(read(text + "I2 = 24/(50 + 250) = 80 mA", BRIDGE))] == [1]
    assert [v.line for v in accused(read(text + "I2 = 24/(50 + 200) = 96 mA", BRIDGE))] == [1, 3]


LADDER = """
[branches]
I1 = "n, +E, R1, a"
I2 = "a, R2, n"
I3 = "a, R3, b"
I4 = "b, R4, n"
I5 = "b, R5, n"
[numbers]
E = "60 V"
R1 = "6 ohm"
R2 = "18 ohm"
R3 = "4 ohm"
R4 = "9 ohm"
R5 = "12 ohm"
"""


def test_a_share_upside_down_is_carried_outwards_in_the_letter_of_the_last_current() -> None:
    text = "I5 = x\nI4 = 9x/12 = 0.75x\n"
    assert [v.line for v in accused(read(text + "I3 = 1.75x\nV(a, n) = 4*1.75x + 12x = 19x", LADDER))] == [2]
    assert [v.line for v in accused(read(text + "I3 = 1.25x", LADDER))] == [2, 3]


# -- named -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "entry", "circuit"),
    [
        ("45 = 6 I1 + 1.5 I3", "inside-forgotten", CELLS),
        ("18 = 6 I1 + 0.5 I2", "drop-missing", CELLS),
        ("V(a, c) = 0 V", "open-no-voltage", SWITCH),
        ("V(S1) = 0", "open-no-voltage", SWITCH),
        ("V at a, d at zero\n(20 - V)/4 = V/12", "branch-missing", SWITCH),
        ("V at a, g is ground\n(12 - V)/3 = V/6", "source-missing", DRIVEN),
        ("I1 - I2 = 1", "junction-sign", DRIVEN),
        ("I2 = 1 - I1", "junction-sign", DRIVEN),
        ("Ib = Ih", "equal-split", CHARGE_OR_HELP_IN_NUMBERS),
        ("3(5 - Ib) = 2(Ic + 7)\n15 - 3 Ib = 2 Ic + 7", "bracket-lost", CHARGE_OR_HELP_IN_NUMBERS),
    ],
)  # fmt: skip
def test_the_slip_is_named(text: str, entry: str, circuit: str) -> None:
    assert slip(text, circuit) == entry


def test_an_emf_with_the_wrong_sign_between_two_potentials_is_a_source_by_its_sign() -> None:
    circuit = CHARGE_OR_HELP_IN_NUMBERS.replace("bus, R2, -E2, rail", "bus, R2, (m), -E2, rail")
    assert slip("V_rail = 0\nV_m = V_rail - 18", circuit) == "source-sign"


@pytest.mark.parametrize("below", ["1/R1 + 1/R2", "1/4 + 1/3", "0.25 + 1/3"])
def test_a_load_left_out_below_the_line_of_millman_is_missing_there(below: str) -> None:
    above = "(E1/R1 + E2/R2)" if "R" in below else "(23/4 + 18/3)"
    text = f"V is the potential of bus, rail is zero\nV = {above}/({below})\nIh = V/Rh"
    wrong = accused(read(text))[0]
    assert "+ 1/" in as_text(wrong.repairs[0].said)
    assert "is missing" in as_text(wrong.repairs[0].said)


def test_what_is_missing_inside_a_term_is_told_with_that_term() -> None:
    text = "V is the potential of bus, rail is zero\n0.45 V - 5.75 = 6"  # 1/4 + 1/5, without the 1/3 of R2
    wrong = accused(read(text))[0]
    assert wrong.repairs[0].entry == "branch-missing"
    assert as_text(wrong.repairs[0].said).startswith(
        "a branch missed at a junction: in 0.45 × V, + (1/3) × V is"
    )
    cells = accused(read("45 = 6 I1 + 1.5 I3", CELLS))[0]
    assert "in 1.5 I3, + 0.5 I3 is missing" in as_text(cells.repairs[0].said)


def test_the_gap_of_a_switch_is_told_with_what_lies_across_it() -> None:
    wrong = accused(read("V(a, c) = 0 V", SWITCH))[0]
    assert "holds its ends 10.8 V apart" in as_text(wrong.repairs[0].said)


def test_a_junction_with_an_open_branch_gives_the_third_current() -> None:
    found = read(
        "(20 - V)/4 = (V - 8)/2 + V/12\nV = 10.8 V\nI1 = 2.3 A\nI3 = 0.9 A\nI2 = 2.3 - 0.9 = 1.4 A", SWITCH
    )
    last = found.verdicts[-2]
    assert last.kind is ClaimKind.FOLLOWS
    assert "junction rule at a" in as_text(last.said)


# -- marked ------------------------------------------------------------------------------------------

RESULTS = "23 = 4 Ic + 5 Ih\n18 = 5 Ih - 3 Ib\nIc = Ib + Ih\nIc = 2{0}, Ib = -1{0}, Ih = 3{0}\n"


def units(text: str) -> tuple[str, ...]:
    """What is found amiss with how the results are presented."""
    awards = propose(read(text), BUILT_IN["ten"]).awards
    return tuple(as_text(a.said) for a in awards if a.part is MarkPart.UNITS and a.points < a.of)


@pytest.mark.parametrize(
    "said", ["All in V, Ω and A.", "(everything in volts, ohms and amps)", "Strom in A,"]
)
def test_units_told_once_for_all_numbers_are_told(said: str) -> None:
    against = "Ib runs against its arrow\n"
    assert units(f"{said}\n{RESULTS.format('')}{against}") == ()
    assert units(f"All in all,\n{RESULTS.format('')}{against}") != ()


@pytest.mark.parametrize(
    "said",
    ["Ib fließt entgegen dem Pfeil", "Le courant Ib circule en sens inverse", "Ib va en sentido contrario",
     "1 A from rail to bus"],
)  # fmt: skip
def test_the_way_of_a_negative_current_is_told_in_other_tongues_too(said: str) -> None:
    assert units(RESULTS.format(" A") + said) == ()
    assert units(RESULTS.format(" A") + "that is all") != ()
