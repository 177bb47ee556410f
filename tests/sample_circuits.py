"""Small circuits that many tests work on, as problem files."""

from __future__ import annotations

from loopwright.circuit.circuit import Circuit
from loopwright.problem.problem_file import read_text

TWO_BATTERIES = """
[branches]
I1 = "foot, +E1, R1, top"
I2 = "foot, +E2, R2, top"
I3 = "top, R3, foot"
"""

TWO_BATTERIES_IN_NUMBERS = (
    TWO_BATTERIES
    + """
[numbers]
E1 = "12 V"
E2 = "24 V"
R1 = "6 ohm"
R2 = "2 ohm"
R3 = "9 ohm"
"""
)

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

BRIDGE = """
[branches]
I = "d, +E, a"
I1 = "a, R1, b"
I2 = "a, R2, c"
I3 = "b, R3, d"
I4 = "c, R4, d"
I5 = "b, R5, c"
"""

REAL_BRIDGE = (
    BRIDGE
    + """
[elements]
E = { internal = "r" }
"""
)

TWIN_CELLS = """
[branches]
I1 = "b, +E1, a"
I2 = "b, +E2, a"
I3 = "a, R, b"

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

SYMBOLIC = {
    "two batteries": TWO_BATTERIES,
    "one loop": ONE_LOOP,
    "ladder": LADDER,
    "bridge": BRIDGE,
    "real bridge": REAL_BRIDGE,
    "twin cells": TWIN_CELLS,
    "driven": DRIVEN,
    "open switch": OPEN_SWITCH,
    "cube": CUBE,
}


def circuit_of(text: str) -> Circuit:
    """The circuit of a problem file that must be without faults."""
    circuit, findings = read_text(text, "sample")
    assert circuit is not None, [f.as_text() for f in findings]
    return circuit
