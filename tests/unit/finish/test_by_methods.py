"""Workings cut short by people of several habits: gone on with in their letters and by their method.

Two sources: 12 V behind 2 Ω and 9 V behind 3 Ω on 6 Ω: (I1, I2, I3) = (1.5, 0, 1.5) A by I1 + I2 = I3,
12 = 2 I1 + 6 I3, 9 = 3 I2 + 6 I3. The bridge of 10 V with 1, 2, 3, 1 kΩ and 2 kΩ across: open 7.5 − 10/3 V,
seen 3/4 + 2/3 kΩ, so that 50/41 mA flow across it. Both worked by hand.
"""

from __future__ import annotations

from pathlib import Path

from loopwright import finish, read_working
from loopwright.circuit.circuit import Circuit
from loopwright.expressions.said import as_text
from loopwright.finish.finished import FinishedWorking
from loopwright.problem.problem_file import read
from tests.sample_circuits import FAR_END, WITH_SOURCE, circuit_of

BRANCHES = (
    'find = ["I1", "I2", "I3"]\n[branches]\nI1 = "g, +E1, R1, a"\nI2 = "g, +E2, R2, a"\nI3 = "a, R3, g"\n'
)
NUMBERS = '[numbers]\nE1 = "12 V"\nE2 = "9 V"\nR1 = "2 ohm"\nR2 = "3 ohm"\nR3 = "6 ohm"\n'
LETTERS, NUMBERED = circuit_of(BRANCHES), circuit_of(BRANCHES + NUMBERS)
BRIDGE = """
find = ["I5"]
[branches]
I = "d, +E, a"
I1 = "a, R1, b"
I2 = "a, R2, c"
I3 = "b, R3, d"
I4 = "c, R4, d"
I5 = "b, R5, c"
[numbers]
E = "10 V"
R1 = "1 kohm"
R2 = "2 kohm"
R3 = "3 kohm"
R4 = "1 kohm"
R5 = "2 kohm"
"""


def rest_of(circuit: Circuit, text: str) -> FinishedWorking:
    """The rest; what is appended reads as right and leaves nothing to do."""
    rest = finish(read_working(circuit, text))
    whole = read_working(circuit, text + rest.text)
    assert whole.right
    assert not finish(whole).lines
    return rest


def test_letters_set_for_currents_are_solved_for_and_the_currents_told_at_the_end() -> None:
    rest = rest_of(NUMBERED, "I1 = x, I2 = y\nleft: 2x - 3y = 3\nouter: 2x + 6(x+y) = 12\n")
    lines = rest.text.splitlines()
    assert lines[:2] == ["x + y = I3", "x = (3 + 3 y)/2"]
    assert lines[-2:] == ["I1 = x = 1.5 A", "I2 = y = 0 A"]


def test_determinants_of_two_equations_are_gone_on_with_although_there_are_three_currents() -> None:
    begun = "I3 = I1 + I2\n12 = 2I1 + 6I3\n9 = 3I2 + 6I3\n12 = 8 I1 + 6 I2\n9 = 6 I1 + 9 I2\n"
    rest = rest_of(NUMBERED, begun + "D = 8*9 - 6*6 = 36\n")
    assert rest.method == "determinants"
    lines = rest.text.splitlines()
    assert lines[:2] == [
        "D1 = det(12, 6; 9, 9) = 12 × 9 − 6 × 9 = 54",
        "D2 = det(8, 12; 6, 9) = 8 × 9 − 12 × 6 = 0",
    ]
    assert lines[-1].endswith("1.5 A")
    assert as_text(rest.missing).startswith("The equations are enough")


def test_a_part_current_given_by_another_counts_as_known() -> None:
    rest = rest_of(LETTERS, "E2 shorted: I1a = E1/(R1 + R2 R3/(R2+R3))\nI3a = I1a R2/(R2+R3)\n")
    assert rest.method == "superposition"
    assert "I3 = I3a + I3b = (E1 R2 + E2 R1)/(R1 R3 + R2 (R1 + R3))" in rest.text


def test_a_bridge_without_its_load_is_gone_on_with_by_what_the_load_sees() -> None:
    begun = "R5 taken out: Vb = 10*3/4 = 7.5 V, Vc = 10*1/3 = 3.33 V\n"
    rest = rest_of(circuit_of(BRIDGE), begun)
    assert rest.method == "an equivalent source"
    lines = rest.text.splitlines()
    assert lines[0].startswith("Voc = Vb − Vc")
    assert lines[-1].endswith("1.22 mA")
    assert as_text(rest.missing) == "The open voltage is still to be found."
    more = rest_of(circuit_of(BRIDGE.replace('"I5"', '"I5", "I"')), begun)
    assert more.method == "an equivalent source"
    assert "I ≈ 3.4146 + 2.9268 ≈ 6.34 mA" in more.text


def test_potentials_are_gone_on_with_where_a_source_fixes_a_current() -> None:
    """(10 - Va)/5 = Va/10 + (Va - Vb)/4 and (Va - Vb)/4 + 2 = Vb/6 give 8 V and 9.6 V, by hand."""
    rest = rest_of(
        circuit_of('find = ["I3", "Is", "P(R4)"]' + WITH_SOURCE), "node a: (10 - Va)/5 = Va/10 + (Va-Vb)/4\n"
    )
    assert rest.method == "node potentials"
    lines = rest.text.splitlines()
    assert lines[-4:-1] == ["Is = 2 A", "I4 = Vb/6 = 9.6/6 = 1.6 A", "P(R4) = I4² × 6 = 1.6² × 6 = 15.36 W"]
    assert as_text(rest.lines[-3].reason) == "The current source J fixes this current."


def test_nothing_is_written_that_is_not_asked() -> None:
    asked = circuit_of((BRANCHES + NUMBERS).replace('["I1", "I2", "I3"]', '["V(a, g)"]'))
    rest = rest_of(asked, "E1 alone:\nI3' = 1 A\n")
    assert "I1 =" not in rest.text
    assert rest.text.splitlines()[-3] == "Together:"


def test_resistances_of_one_size_are_not_taken_for_one_another() -> None:
    """R45 and R2345 both come to 4 Ω; R1 lies in series with the second alone."""
    rest = rest_of(circuit_of(FAR_END), "R45 = R4 R5/(R4 + R5) = 72/18 = 4 ohm\n")
    assert "R2345 = R2 (R3 + R45)/(R2 + R3 + R45)" in rest.text
    assert "I1 = E1/(R1 + R2345) = 24/(2 + 4) = 4 A" in rest.text


def test_a_name_whose_value_is_wrong_is_worked_out_again() -> None:
    begun = "R45 = 4 Ω, R345 = 8 Ω, R2345 = 4 Ω\nI1 = 24/6 = 4 A\nU2 = I1 R2345 = 16 V\n"
    wrong = "I3 = U2/R3 = 16/4 = 4 A\nU4 = I3 R45 = 4*4 = 16 V\n"
    rest = finish(read_working(circuit_of(FAR_END), begun + wrong))
    assert "I3 = U2/R345 = 16/8 = 2 A" in rest.text
    assert "U4 = I3 R45 = 2 × 4 = 8 V" in rest.text


def test_mesh_currents_said_to_run_one_way_do_so_in_the_rest() -> None:
    begun = "Mesh currents, all clockwise: x in the left mesh (E1, R1, E2, R2), y in the right (E2, R2, R3)\n"
    rest = rest_of(NUMBERED, begun)
    assert rest.method == "loop currents"
    assert "I2 = y − x = " in rest.text


FIVE_WINDOWS = Path(__file__).parents[2] / "cases" / "workings" / "circuits" / "five-windows.toml"


def test_what_would_be_too_long_in_letters_is_gone_on_with_in_numbers() -> None:
    """Elimination by hand gives 10/11 A through R6."""
    for begun in ("Nodes a, b, c against g:\n", "I1 = I2 + I6 + I8\n", "E1 - I1 R1 - I8 R8 = 0\n"):
        assert "I6 ≈ 0.909 A" in rest_of(read(FIVE_WINDOWS), begun).text


def test_after_trials_the_rest_speaks_of_the_circuit_as_it_is() -> None:
    rest = rest_of(NUMBERED, "guess Va = 6 V: I1 = 3 A, I2 = 1 A, I3 = 1 A, too much by 3 A\n")
    assert rest.text.startswith("In the actual circuit:")


def test_a_part_of_a_superposition_is_gone_on_with_by_resistances_made_one() -> None:
    rest = rest_of(NUMBERED, "E1 alone: R23 = 3*6/9 = 2\n")
    assert rest.method == "superposition"
    lines = rest.text.splitlines()
    assert lines[:2] == [
        "I1′ = E1/(R1 + R23) = 12/(2 + 2) = 3 A",
        "I2′ = −I1′ R3/(R2 + R3) = −3 × 6/(3 + 6) = −2 A",
    ]
    assert "R13 = R1 R3/(R1 + R3) = 2 × 6/(2 + 6) = 1.5 Ω" in lines


def test_a_part_begun_with_equations_is_gone_on_with_by_equations() -> None:
    rest = rest_of(NUMBERED, "E1 alone: 12 - 2 I1' - 6 I3' = 0\n")
    assert rest.text.splitlines()[0] == "I1′ + I2′ = I3′"


def test_a_current_source_alone_is_shared_out() -> None:
    problem = """
find = ["I1", "I4"]
[branches]
I1 = "g, +E1, R1, a"
I2 = "g, +J, b"
I3 = "a, R3, b"
I4 = "b, R4, g"
I5 = "a, R5, g"
[numbers]
E1 = "12 V"
J = "2 A"
R1 = "2 ohm"
R3 = "3 ohm"
R4 = "6 ohm"
R5 = "6 ohm"
"""
    rest = rest_of(circuit_of(problem), "E1 alone:\nR345 = 9*6/15 = 3.6\n")
    assert "I3′′ = −I2′′ R4/(R15 + R3 + R4) = −2 × 6/(1.5 + 3 + 6) ≈ −1.14 A" in rest.text


def test_currents_that_sources_drive_are_added_and_gone_on_with() -> None:
    rest = rest_of(NUMBERED, "Norton: 12/2 + 9/3 = 9 A\n")
    assert rest.text.splitlines() == [
        "IN = E1/R1 + E2/R2 = 12/2 + 9/3 = 9 A",
        "Rp = 1/(1/R1 + 1/R2 + 1/R3) = 1/(1/2 + 1/3 + 1/6) = 1 Ω",
        "V3 = IN Rp = 9 V",
        "I1 = (E1 − V3)/R1 = (12 − 9)/2 = 1.5 A",
        "I2 = (E2 − V3)/R2 = (9 − 9)/3 = 0 A",
        "I3 = V3/R3 = 9/6 = 1.5 A",
    ]
    assert as_text(rest.missing) == "What all sources drive together is still to be found."
    assert "IN = IN1 + IN2" in rest_of(NUMBERED, "Transformed: IN1 = E1/R1 = 6 A, IN2 = E2/R2 = 3 A\n").text
    assert (
        "Rp = RN R3/(RN + R3)" in rest_of(LETTERS, "Norton\nIN = E1/R1 + E2/R2\nRN = R1 R2/(R1 + R2)\n").text
    )
