"""Circuits with one storage: their sheet, from problem text to HTML, beside that of the same circuit with a
resistor in the place of the storage and the switch closed: one and a half times the time at most."""

from __future__ import annotations

from collections.abc import Callable

from benchmarks.timing import compared, milliseconds, times
from benchmarks.whole_sheet import circuit_of
from loopwright.figure.same_size import forget
from loopwright.sheet.build import sheet
from tests.unit.transients.sample_transients import LAMP

BRIDGE = """
[branches]
I = "d, +E, S1, R6, a"
I1 = "a, R1, b"
I2 = "a, R2, c"
I3 = "b, R3, d"
I4 = "c, R4, d"
I5 = "b, L1, c"
[switching]
S1 = "open -> closed"
[start]
L1 = "0 A"
[numbers]
E = "12 V"
R1 = "2 ohm"
R2 = "4 ohm"
R3 = "3 ohm"
R4 = "5 ohm"
R6 = "1 ohm"
L1 = "20 mH"
"""
CIRCUITS = {"lamp, 3 branches, one capacitor": LAMP, "bridge, 6 branches, one coil": BRIDGE}
BAR = 1.5
_OHMS = {"C1": "R9", "L1": "R9"}


def resistive(text: str) -> str:
    """The same circuit with a resistor where the storage stands, its switch closed for good."""
    lines: list[str] = []
    for line in text.replace("S1, ", "").splitlines():
        storage = next((name for name in _OHMS if line.startswith(f"{name} = ")), "")
        if line.startswith(("S1 = ", "[switching]", "[start]")) or (
            storage and line.endswith((' V"', ' A"'))
        ):
            continue
        lines.append('R9 = "7 ohm"' if storage else line.replace("C1", "R9").replace("L1", "R9"))
    return "\n".join(lines)


def run() -> bool:
    """Prints the table; whether the bar is met on every circuit."""
    met = True
    print("\nSheet of a circuit with one storage against that of resistors alone, medians")
    for name, text in CIRCUITS.items():

        def made(text: str, edition: str) -> Callable[[], object]:
            def written() -> str:
                forget()  # no figure is taken from the round before
                return sheet(circuit_of(text), edition=edition).html()

            return written

        for edition in ("solution", "instructor"):
            ours, plain = times(made(text, edition), made(resistive(text), edition))
            against = compared(ours, plain, BAR)
            met = met and against.met
            print(
                f"  {name:34} {edition:10} {milliseconds(ours)}; resistors {milliseconds(plain)}  {against}"
            )
    return met
