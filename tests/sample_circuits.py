"""Small circuits that many tests work on, as problem files."""

from __future__ import annotations

from loopwright.circuit.circuit import Circuit
from loopwright.problem.problem_file import read_text

# A charger, a battery (its arrow against its emf) and a heater on one bus: 2, -1 and 3 A in numbers. The
# battery's current turns at Rh = 14.4 ohm: beyond that it is charged, and at 52 ohm by half an ampere.
CHARGE_OR_HELP = """
[branches]
Ic = "rail, +E1, R1, bus"
Ib = "bus, R2, -E2, rail"
Ih = "bus, Rh, rail"
"""

CHARGE_OR_HELP_IN_NUMBERS = (
    CHARGE_OR_HELP
    + """
[numbers]
E1 = "23 V"
E2 = "18 V"
R1 = "4 ohm"
R2 = "3 ohm"
Rh = "5 ohm"
"""
)

CHARGING_IN_NUMBERS = CHARGE_OR_HELP_IN_NUMBERS.replace("5 ohm", "52 ohm")

ONE_LOOP = """
[branches]
I = "a, +E1, R1, (m), -E2, R2, a"
"""

LADDER = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, b"
I4 = "b, R4, g"
I5 = "g, +E2, R5, b"
"""

# By hand, 1 A in the 12 ohm needs 36 V; in truth 2/3 A flow there, 4 A from the source.
FAR_END = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, c"
I4 = "c, R4, g"
I5 = "c, R5, g"
[numbers]
E1 = "24 V"
R1 = "2 ohm"
R2 = "8 ohm"
R3 = "4 ohm"
R4 = "6 ohm"
R5 = "12 ohm"
"""

# By elimination 2.444, 0.222 and 2.667 A.
TWO_ON_ONE = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "g, +E2, R2, a"
I3 = "a, R3, g"
[numbers]
E1 = "18 V"
E2 = "12 V"
R1 = "3 ohm"
R2 = "6 ohm"
R3 = "4 ohm"
"""

# 8 V at a and 9.6 V at b: 0.4, 0.8 and -0.4 A.
WITH_SOURCE = """
[branches]
I1 = "g, +E, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, b"
Is = "g, +J, b"
I4 = "b, R4, g"
[numbers]
E = "10 V"
J = "2 A"
R1 = "5 ohm"
R2 = "10 ohm"
R3 = "4 ohm"
R4 = "6 ohm"
"""

# The same shape in kilohms, 12 V and 3 mA.
FED_IN_KILOHMS = """
[branches]
I1 = "g, +E, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, b"
Is = "g, +J, b"
I4 = "b, R4, g"
[numbers]
E = "12 V"
J = "3 mA"
R1 = "2 kohm"
R2 = "2 kohm"
R3 = "3 kohm"
R4 = "4 kohm"
"""

BRIDGE = """
[branches]
I = "d, +E, a"
I1 = "a, R1, b"
I2 = "a, R2, c"
I3 = "b, R3, d"
I4 = "c, R4, d"
I5 = "b, R5, c"
"""

CROSSED = """
[branches]
I1 = "a, R1, b"
I2 = "b, R2, d"
I3 = "a, R3, c"
I4 = "c, R4, d"
I5 = "c, R5, b"
I6 = "d, +E, a"
[numbers]
E = "15 V"
R1 = "2 ohm"
R2 = "5 ohm"
R3 = "9 ohm"
R4 = "4 ohm"
R5 = "8 ohm"
"""

REAL_BRIDGE = (
    BRIDGE
    + """
[elements]
E = { internal = "r" }
"""
)

EQUAL_CELLS = """
[branches]
Ic = "rail, +E1, bus"
Ib = "bus, -E2, rail"
Ih = "bus, R, rail"

[elements]
E1 = { value = "E", internal = "r" }
E2 = { value = "E", internal = "r" }
"""

DRIVEN = """
[branches]
I1 = "g, +J, a"
I2 = "a, R1, g"
I3 = "a, R2, b"
I4 = "b, -E, R3, g"
"""

OPEN_SWITCH = """
[branches]
I1 = "g, +E, R1, a"
I2 = "a, R2, g"
I3 = "a, S, R3, g"

[elements]
S = "open"
"""

CUBE = """
[branches]
I0 = "m, +E, a"
I1 = "a, R1, b"
I2 = "a, R2, d"
I3 = "a, R3, k"
I4 = "b, R4, c"
I5 = "b, R5, l"
I6 = "d, R6, c"
I7 = "d, R7, n"
I8 = "k, R8, n"
I9 = "k, R9, l"
I10 = "l, R10, m"
I11 = "c, R11, m"
I12 = "n, R12, m"

[elements]
E = { internal = "r" }
""" + "\n".join(f'R{i} = "R"' for i in range(1, 13))

SIDE_BY_SIDE = """
[branches]
I1 = "b, +E, R1, a"
I2 = "a, R2, b"
I3 = "a, R3, b"
"""

NESTED = """
[branches]
I1 = "g, +E, R1, a"
I2 = "g, R2, a"
I3 = "a, R3, b"
I4 = "b, R4, g"
I5 = "b, R5, R6, c"
I6 = "c, R7, g"
I7 = "g, R8, c"
"""

STRAIGHT_ACROSS = """
[branches]
I1 = "a, R1, b"
I2 = "b, R2, d"
I3 = "a, R3, d"
I4 = "b, V1, d"
I5 = "d, +E, a"

[elements]
V1 = { kind = "voltmeter" }
"""

FED = """
[branches]
I1 = "g, +J, a"
I2 = "a, R2, b"
I3 = "b, R3, g"
I4 = "b, R4, g"
I5 = "g, R5, b"
"""

SERIES_PARALLEL = {
    "side by side": SIDE_BY_SIDE,
    "nested": NESTED,
    "straight across": STRAIGHT_ACROSS,
    "fed by a current": FED,
}

SYMBOLIC = {
    "charge or help": CHARGE_OR_HELP,
    "one loop": ONE_LOOP,
    "ladder": LADDER,
    "bridge": BRIDGE,
    "real bridge": REAL_BRIDGE,
    "equal cells": EQUAL_CELLS,
    "driven": DRIVEN,
    "open switch": OPEN_SWITCH,
    "cube": CUBE,
}


def circuit_of(text: str) -> Circuit:
    """The circuit of a problem file that must be without faults."""
    circuit, findings = read_text(text, "sample")
    assert circuit is not None, [f.as_text() for f in findings]
    return circuit
