"""Curves that the tests of plots work on."""

from __future__ import annotations

from loopwright.plots.plot import CurvePlot, plot
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

DRIVEN = """
[branches]
I1 = "g, +J1, R0, a"
I2 = "a, R1, g"
I3 = "a, R2, b"
I4 = "b, -E1, R3, g"
[numbers]
J1 = "2 A"
R0 = "1 ohm"
R1 = "10 ohm"
R2 = "4 ohm"
R3 = "2 ohm"
E1 = "9 V"
"""
CURVES = [
    (CHARGE_OR_HELP_IN_NUMBERS, "P(Rh) against Rh"),
    (CHARGE_OR_HELP_IN_NUMBERS, "Ib against Rh"),
    (CHARGE_OR_HELP_IN_NUMBERS, "P(R2) against Rh"),
    (CHARGE_OR_HELP_IN_NUMBERS, "Ih/Ib against Rh"),
    (CHARGE_OR_HELP_IN_NUMBERS, "P(R1) - P(R2) against E1"),
    (DRIVEN, "P(J1) against R0"),
    (DRIVEN, "I4 against E1"),
    (DRIVEN, "P(R1) against R1"),
]


def curve_plot(circuit: str, request: str) -> CurvePlot:
    """The plot of a request."""
    found = plot(circuit_of(circuit), request)
    assert isinstance(found, CurvePlot)
    return found


def all_curves() -> list[CurvePlot]:
    """All of them."""
    return [curve_plot(*curve) for curve in CURVES]
