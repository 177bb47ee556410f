"""What a chain rounds to is worked with below; a total may hold a resistance inside the battery; a ratio of
two currents is no set of equations; and parts that are added up end the circuit of one source.

The circuits: 30 V and −18 V behind 15 and 2 Ω on 4 Ω; 20 V with 1 Ω inside on 20 and 4.7 Ω beside 9 Ω; 24 V
with 0.5 Ω inside and 4 Ω, 3 A and 4 Ω side by side.
"""

from __future__ import annotations

from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

TWO = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "a, +E1, R1, b"
I2 = "a, -E2, R2, b"
I3 = "a, R3, b"
[numbers]
R1 = "15 ohm"
E1 = "30 V"
R2 = "2 ohm"
E2 = "18 V"
R3 = "4 ohm"
"""
INSIDE = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "C, +E, A"
I2 = "A, R1, R2, C"
I3 = "A, R3, C"
[elements]
E = { value = "E", internal = "r" }
[numbers]
r = "1 ohm"
E = "20 V"
R1 = "20 ohm"
R2 = "4.7 ohm"
R3 = "9 ohm"
"""
WITH_CURRENT_SOURCE = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "A, -E1, R1, B"
I2 = "B, -J2, A"
I3 = "A, R3, B"
[elements]
E1 = { value = "E1", internal = "r1" }
[numbers]
r1 = "0.5 ohm"
R1 = "4 ohm"
E1 = "24 V"
J2 = "3 A"
R3 = "4 ohm"
"""
ELIMINATED = """E1 = R1 I1 - E2 - R2 I2
0 = E2 + R2 I2 - R3 I3
17 I1 + 2 I3 - 48 = 0
51 I1 + 6 I3 - 144 = 0
49 I1 = 126
I1 = 126/49 = 2.57 A
I3 = 2.16 A"""
TOTAL = """R12 = R1 + R2 = 24.7
R123 = R12 || R3 = 6.6
in series: Rtot = 1 + 6.6 = 7.6
I1 = E/Rtot = 20/7.6 = 2.6 A
I2 = I1 R3/(R12 + R3) = 0.70 A
I3 = I1 - I2 = 1.9 A"""
PARTS = """only E1:
I1' = -24/(4.5 + 4) = -2.82 A
I3' = -I1' = 2.82 A
only J2:
I1'' = -J2 R3/(r1 + R1 + R3) = -1.41 A
I3'' = -3·4.5/(4 + 4.5) = -1.59 A
I1 = I1' + I1'' = -4.23 A
I2 = -J2 = -3 A
I3 = I3' + I3'' = 1.23 A
I1 and I2 run the other way"""


def slips(text: str, source: str) -> list[int]:
    verdicts = read_working(circuit_of(source), text).verdicts
    return [v.line for v in verdicts if v.kind is ClaimKind.UNTRUE and not v.carried]


def lost(text: str, source: str) -> set[MarkPart]:
    """The parts of a mark that lose points, other than for units and for a check."""
    mark = propose(read_working(circuit_of(source), text), BUILT_IN["ten"])
    return {part.part for part in mark.awards if part.points < part.of} - {MarkPart.CHECK, MarkPart.UNITS}


def test_rounded_end_of_a_chain_is_put_into_an_equation() -> None:
    assert slips(ELIMINATED, TWO) == []
    assert slips(ELIMINATED.replace("2.16", "2.17"), TWO) == [7]


def test_total_of_what_a_battery_drives_may_hold_what_is_inside() -> None:
    assert slips(TOTAL, INSIDE) == []
    assert slips(
        TOTAL.replace("1 + 6.6 = 7.6", "1 + 5.6 = 6.6").replace("20/7.6 = 2.6", "20/6.6 = 3.0"), INSIDE
    ) == [3]


def test_resistance_inside_left_out_of_the_total_is_found() -> None:
    assert slips(TOTAL.replace("Rtot = 1 + 6.6 = 7.6", "Rtot = R123 = 6.6").replace("7.6", "6.6"), INSIDE)


def test_ratio_of_two_currents_asks_for_no_set_of_equations() -> None:
    assert lost(TOTAL, INSIDE) == set()
    assert lost(f"{TOTAL}\nI2/I3 = R3/R12 = 0.36", INSIDE) == set()


def test_parts_that_are_added_up_end_the_circuit_of_one_source() -> None:
    assert lost(PARTS, WITH_CURRENT_SOURCE) == set()
    assert slips(PARTS.replace("-J2 = -3", "J2 = 3"), WITH_CURRENT_SOURCE) == [8]
