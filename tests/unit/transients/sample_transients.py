"""Circuits with storages that the tests of this folder share."""

from __future__ import annotations

from loopwright.circuit.circuit import Circuit
from loopwright.problem.problem_file import read_text
from loopwright.transients.transient import Transient, transient

# A capacitor filled through one resistor beside another, 2 V in it at the start.
FILLING = """
[branches]
I1 = "foot, +E, S1, R1, top"
I2 = "top, R2, foot"
I3 = "top, R3, C1, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "2 V"
"""
LAMP = (
    FILLING
    + """
[numbers]
E = "12 V"
R1 = "2 kohm"
R2 = "4 kohm"
R3 = "1 kohm"
C1 = "10 uF"
"""
)
TWO_STEPS = """
[branches]
I1 = "foot, +E, S1, R1, a"
I2 = "a, C1, foot"
I3 = "a, R2, C2, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "0 V"
C2 = "0 V"
[numbers]
E = "9 V"
R1 = "1 kohm"
R2 = "2 kohm"
C1 = "1 uF"
C2 = "1 uF"
"""
RINGING = """
[branches]
I = "foot, +E, S1, R1, L1, top"
I2 = "top, C1, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "0 V"
[numbers]
E = "14 V"
R1 = "10 ohm"
L1 = "50 mH"
C1 = "40 uF"
"""
MAGNET = """
[branches]
IE = "rail, +E, S1, R1, hook"
IR = "hook, R2, rail"
IL = "hook, L1, rail"
[elements]
L1 = { internal = "r" }
[switching]
S1 = "closed -> open"
[numbers]
E = "24 V"
R1 = "1 ohm"
R2 = "30 ohm"
r = "5 ohm"
L1 = "2 H"
"""
RELAY = """
[branches]
IE = "mast, +E, R1, deck"
IC = "deck, C1, mast"
IL = "deck, S1, R2, L1, mast"
[switching]
S1 = "open -> closed"
[numbers]
E = "12 V"
R1 = "40 ohm"
R2 = "80 ohm"
C1 = "2 mF"
L1 = "0.4 H"
"""
RESERVOIRS = """
[branches]
I1 = "top, C1, foot"
I2 = "top, S1, R1, C2, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "9 V"
C2 = "3 V"
[numbers]
C1 = "20 uF"
C2 = "40 uF"
R1 = "5 kohm"
"""
SHARING = """
[branches]
I1 = "top, C1, foot"
I2 = "top, S1, C2, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "V0"
C2 = "0 V"
"""


def circuit_of(text: str, **changes: str) -> Circuit:
    """The circuit of a text, pieces of it replaced: `circuit_of(LAMP, R3=...)` replaces that line."""
    lines = [
        f"{key} = {changes[key]}" if (key := line.partition(" = ")[0]) in changes else line
        for line in text.splitlines()
    ]
    circuit, findings = read_text("\n".join(lines))
    assert circuit is not None, findings
    return circuit


def stage_of(text: str, **changes: str) -> Transient:
    """The stage that the text's switches begin."""
    return transient(circuit_of(text, **changes))
