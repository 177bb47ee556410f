"""The rest of a working: in its own names, from its true lines alone, judged line by line.

The circuit of charger, battery and heater: 23 V behind 4 Ω, 18 V behind 3 Ω, and 5 Ω; the currents are
(Ic, Ib, Ih) = (2, −1, 3) A, worked by hand from Ic = Ib + Ih, 23 = 4 Ic + 5 Ih, 18 = 5 Ih − 3 Ib.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright import finish, read_working
from loopwright.errors import BrokenPromise, FaultyMaterial
from loopwright.expressions.nodes import ONE, add
from loopwright.expressions.said import as_text
from loopwright.finish.finished import FinishedWorking, Lacking
from loopwright.finish.verify import verify_rest
from loopwright.finish.whereabouts import where_it_stands
from tests.sample_circuits import CROSSED, circuit_of

CIRCUIT = circuit_of("""
find = ["Ic", "Ib", "Ih", "V(bus, rail)"]
[branches]
Ic = "rail, +E1, R1, bus"
Ib = "bus, R2, -E2, rail"
Ih = "bus, Rh, rail"
[numbers]
E1 = "23 V"
E2 = "18 V"
R1 = "4 ohm"
R2 = "3 ohm"
Rh = "5 ohm"
""")
BEGUN = "y1: rail -> bus through E1\ny2: rail -> bus through E2\ny3: bus -> rail through Rh\n"
HALF = BEGUN + "y1 + y2 = y3\n23 - 4 y1 - 5 y3 = 0\n"


def rest_of(text: str) -> FinishedWorking:
    return finish(read_working(CIRCUIT, text))


def test_the_rest_ends_in_all_that_is_asked_in_figures_where_the_working_has_figures() -> None:
    lines = rest_of(HALF).text.splitlines()
    assert lines[-4:-1] == ["Ic = y1 = 2 A", "Ib = −y2 = −1 A", "Ih = y3 = 3 A"]
    assert lines[-1] == "V(bus, rail) = 5 y3 = 5 × 3 = 15 V"


def test_a_working_in_letters_is_gone_on_with_in_letters() -> None:
    rest = rest_of("Ic = Ib + Ih\nE1 - Ic R1 - Ih Rh = 0\n")
    assert "23" not in rest.text
    assert "Ih = (E1 R2 + E2 R1)/" in rest.text


def test_the_next_step_is_told_at_four_levels() -> None:
    rest = rest_of(HALF)
    assert [as_text(rest.what_next(level)) for level in (1, 2, 3, 4)] == [
        "A loop equation is missing.",
        "Loop from rail to bus and back, through E1, R1, R2, E2.",
        "E1 − y1 R1 + y2 R2 − E2 = 0",
        "23 − 4 y1 + 3 y2 − 18 = 0",
    ]


def test_enough_equations_leave_only_algebra() -> None:
    rest = rest_of(HALF + "18 - 3 y2 - 5 y3 = 0\n")
    assert rest.lines[0].lacking is Lacking.ALGEBRA
    assert as_text(rest.opening[-1]) == "The equations are enough; what is left is algebra."
    assert "=" not in as_text(rest.what_next(2))


def test_an_untrue_line_and_what_follows_from_it_are_left_out_and_said() -> None:
    rest = rest_of(HALF + "18 + 3 y2 - 5 y3 = 0\ny2 = (5 y3 - 18)/3\n")
    assert [as_text(said) for said in rest.opening[:2]] == [
        "Line 6 is left out: not true; see above.",
        "Line 7 is left out: what follows from line 6, which does not hold.",
    ]
    assert not any({6, 7} & set(line.uses) for line in rest.lines)
    assert "Ih = y3 = 3 A" in rest.text


def test_a_finished_working_is_said_to_be_finished_and_a_check_named() -> None:
    rest = rest_of("Ic = Ib + Ih\n23 - 4 Ic - 5 Ih = 0\n18 + 3 Ib - 5 Ih = 0\nIh = 3 A\n"
                   "Ic = 2 A\nIb = -1 A\nV(bus, rail) = 15 V\n")  # fmt: skip
    assert rest.is_finished
    assert as_text(rest.what_next(1)).startswith("Nothing is left to do")
    assert "loop that was not used: E1 − Ic R1 − Ib R2 − E2 = 0" in as_text(rest.closing[0])


def test_potentials_are_gone_on_with_under_their_own_name() -> None:
    rest = rest_of("Take rail as zero; the potentials: V at bus.\n(23 - V)/4 + (18 - V)/3 = V/5\n")
    assert rest.method == "node potentials"
    assert "Ic = (23 − V)/4 = (23 − 15)/4 = 2 A" in rest.text


def test_loop_currents_are_gone_on_with_and_added_at_the_end() -> None:
    rest = rest_of(
        "Loop current Ja round E1, R1, Rh, through R1 from rail to bus.\n"
        "Loop current Jb round E2, R2, Rh, through R2 from rail to bus.\n"
        "4 Ja + 5 (Ja + Jb) = 23\n"
    )
    assert rest.method == "loop currents"
    assert "Ih = Ja + Jb = 2 + 1 = 3 A" in rest.text


def test_what_is_appended_is_read_as_right_and_leaves_nothing_to_do() -> None:
    reading = read_working(CIRCUIT, HALF + rest_of(HALF).text)
    assert reading.right
    assert finish(reading).is_finished


def test_a_side_that_is_changed_is_refused() -> None:
    w, rest = where_it_stands(read_working(CIRCUIT, HALF)), rest_of(HALF)
    for at, line in enumerate(rest.lines):
        wrong = replace(line, sides=(*line.sides[:-1], add(line.sides[-1], ONE)))
        with pytest.raises(BrokenPromise):
            verify_rest(w.reading, w.meanings, (*rest.lines[:at], wrong))


def test_a_line_that_names_nothing_that_it_follows_from_is_refused() -> None:
    w, rest = where_it_stands(read_working(CIRCUIT, HALF)), rest_of(HALF)
    for at, line in enumerate(rest.lines):
        renames = line.lacking is Lacking.NAME
        bare = replace(line, uses=(), facts=())
        if renames and len(line.sides) == 2:
            continue
        with pytest.raises(BrokenPromise):
            verify_rest(w.reading, w.meanings, (*rest.lines[:at], bare))


def test_an_untrue_line_of_the_working_is_nothing_to_rest_on() -> None:
    text = HALF + "18 + 3 y2 - 5 y3 = 0\n"
    w, rest = where_it_stands(read_working(CIRCUIT, text)), rest_of(text)
    on_it = replace(rest.lines[0], uses=(6,), facts=())
    with pytest.raises(BrokenPromise):
        verify_rest(w.reading, w.meanings, (on_it,))


def test_there_is_no_fifth_level_of_help() -> None:
    with pytest.raises(FaultyMaterial, match="level 5"):
        rest_of(HALF).what_next(5)


def test_a_working_whose_currents_are_called_x_is_gone_on_with_and_read_again() -> None:
    text = HALF.replace("y", "x")
    rest = rest_of(text)
    assert rest.left_out == {}
    assert "x3 = (23 − 4 × 2)/5 = 3 A" in rest.text
    assert read_working(CIRCUIT, text + rest.text).right


def test_a_voltage_at_a_point_behind_an_open_switch_is_found_and_the_current_told_once() -> None:
    circuit = circuit_of("""
    find = ["I1", "V(a, c)"]
    [branches]
    I1 = "b, +E, R1, a"
    I2 = "a, R2, b"
    I3 = "a, S1, (c), R3, b"
    [elements]
    S1 = "open"
    [numbers]
    E = "12 V"
    R1 = "2 ohm"
    R2 = "4 ohm"
    R3 = "8 ohm"
    """)
    rest = finish(read_working(circuit, "12 - 2 I1 - 4 I2 = 0\n"))
    assert rest.text.count("I3 = 0") == 1
    assert rest.text.splitlines()[-1].endswith("= 8 V")


def test_lines_with_units_are_put_into_one_another_without_them() -> None:
    units = "Ic = Ib + Ih\n23 V - (4 ohm) Ic - (5 ohm) Ih = 0\n18 V + (3 ohm) Ib - (5 ohm) Ih = 0\n"
    rest = rest_of(units)
    assert "Ω" not in rest.text
    assert read_working(CIRCUIT, units + rest.text).right


def test_determinants_are_gone_on_with_under_the_names_that_they_have() -> None:
    rest = rest_of("9 Ia + 5 Ix = 23, Ia round E1, R1, Rh\n5 Ia + 8 Ix = 18\nD = 9*8 - 5*5 = 47\n")
    assert rest.method == "determinants"
    assert rest.text.splitlines()[:4] == [
        "Da = det(23, 5; 18, 8) = 23 × 8 − 5 × 18 = 94",
        "Dx = det(9, 23; 5, 18) = 9 × 18 − 23 × 5 = 47",
        "Ia = Da/D = 94/47 = 2 A",
        "Ix = Dx/D = 47/47 = 1 A",
    ]
    assert as_text(rest.what_next(1)) == "The equations are enough: what is left is determinants."


def test_a_wrong_determinant_is_not_gone_on_with() -> None:
    rest = rest_of("9 Ia + 5 Ix = 23, Ia round E1, R1, Rh\n5 Ia + 8 Ix = 18\nD = 9*8 = 72\n")
    assert rest.method == "loop currents"
    assert "D" not in rest.text


def test_potentials_against_two_points_are_left_in_words() -> None:
    text = "Ub is the potential of b against d, Uc the potential of c against a.\n(15 - Ub)/2 = Ub/5 - I5\n"
    rest = finish(read_working(circuit_of(CROSSED), text + "Ub/5 + Uc/9 = 1\nUc = -9 I3"))
    assert rest.method == "branch currents"
    assert "cannot be gone on with by node potentials" in rest.turned
