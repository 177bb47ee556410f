"""A working that does not say what it takes out shows its load by what it divides the open voltage by.

The circuit: 36 V behind 4 Ω, 20 V behind 2.5 Ω, 10 Ω and the load of 12 Ω between the same two points:
22.67 V without the load, 1.333 Ω inside, 1.7 A.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

HOIST = """
find = ["I1", "I2", "I3", "I4"]
[branches]
I1 = "A, R1, -E1, B"
I2 = "B, R2, +E2, A"
I3 = "A, R3, B"
I4 = "A, R4, B"
[numbers]
E1 = "36 V"
E2 = "20 V"
R1 = "4 ohm"
R2 = "2.5 ohm"
R3 = "10 ohm"
R4 = "12 ohm"
"""


@pytest.mark.parametrize(
    ("voltage", "untrue"),
    [
        ("(36/4 + 20/2.5)*1.333 = 22.67", []),
        ("(36/4 - 20/2.5)*1.333 = 1.333", [2]),
        ("36 - 4*1.333 = 30.67", [2]),
        ("22.67", []),
    ],
)
@pytest.mark.parametrize("name", ["U_0", "Voc", "Eth"])
def test_the_open_voltage_is_that_without_the_load(name: str, voltage: str, untrue: list[int]) -> None:
    number = voltage.rpartition(" ")[2]
    text = f"Ri = 1/(1/4 + 1/2.5 + 1/10) = 1.333\n{name} = {voltage}\nI4 = {number}/(1.333 + 12)\n"
    reading = read_working(circuit_of(HOIST), text)
    told = [v.line for v in reading.verdicts if v.kind is ClaimKind.UNTRUE and not v.carried]
    assert told == untrue
