"""Readings made by hand: lines with the verdicts they would get, for what builds on verdicts.

The circuit: charger, battery and heater on one bus (Ic = Ib + Ih). In numbers E1 = 23 V, E2 = 18 V,
R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω give (Ic, Ib, Ih) = (2, −1, 3) A, worked by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from loopwright.circuit.circuit import Circuit
from loopwright.expressions.parse import equation
from loopwright.reading.enough import LAWS, enough
from loopwright.reading.reading import Reading
from loopwright.reading.truth.meaning import Meanings
from loopwright.reading.verdicts import Arrows, ClaimKind, Repair, Truth, Verdict
from loopwright.reading.working import Claim, Working, WrittenLine
from loopwright.solve.exact import solve
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)

Made = tuple[str, ClaimKind | None, dict[str, Any]]

JUNCTION: Made = ("Ic = Ib + Ih", ClaimKind.JUNCTION, {"points": ("bus",)})
LEFT: Made = ("E1 - Ic R1 - Ih Rh = 0", ClaimKind.LOOP, {"loops": ((("Ic", 1), ("Ih", 1)),)})
RIGHT: Made = ("E2 + Ib R2 - Ih Rh = 0", ClaimKind.LOOP, {"loops": ((("Ib", -1), ("Ih", 1)),)})
DERIVED: Made = ("E1 - E2 = Ic R1 + Ib R2", ClaimKind.FOLLOWS, {"used": (2, 3)})
RESULTS: tuple[Made, ...] = (
    ("Ib = -1.0 A", ClaimKind.FOLLOWS, {"used": (1, 2, 3)}),
    ("Ic = 2.0 A", ClaimKind.FOLLOWS, {"used": (4, 5)}),
    ("Ih = 3.0 A", ClaimKind.FOLLOWS, {"used": (1, 5, 6)}),
    ("Ib really flows upwards.", None, {}),
)

GOOD: tuple[Made, ...] = (JUNCTION, LEFT, RIGHT, DERIVED, *RESULTS)


def slip(entry: str, mended: str) -> dict[str, Any]:
    """What a verdict has of one slip: the repair."""
    return {"repairs": (Repair(entry, ("a slip",), equation(mended, NAMES), 1.0),)}


NAMES = (*CIRCUIT.currents, *CIRCUIT.symbols)
# Where the sign of E2 is wrong: the equation, and the currents that follow from it (E2 counted as a drop
# gives Ic = 274/47, Ib = 277/47, Ih = −3/47 A; worked by hand).
WRONG_SIGN: Made = (
    "-E2 + Ib R2 - Ih Rh = 0",
    ClaimKind.UNTRUE,
    {"cause": 3, **slip("source-sign", "E2 + Ib R2 - Ih Rh = 0")},
)
CARRIED: tuple[Made, ...] = (
    ("Ic = 5.83 A", ClaimKind.UNTRUE, {"carried": True, "cause": 3}),
    ("Ib = 5.89 A", ClaimKind.UNTRUE, {"carried": True, "cause": 3}),
    ("Ih = -0.0638 A", ClaimKind.UNTRUE, {"carried": True, "cause": 3}),
    ("One current runs against its arrow.", None, {}),
)


def reading(*made: Made, circuit: Circuit = CIRCUIT, arrows: Arrows | None = None) -> Reading:
    """A reading of these lines, numbered from 1, with the currents of the circuit as they are."""
    lines, verdicts = [], []
    for number, (text, kind, more) in enumerate(made, start=1):
        claims: Sequence[Claim] = ()
        if kind is not None:
            case = tuple(more.get("case", ()))
            claims = (Claim(equation(text, NAMES), 0, len(text), case),)
            rest = {name: value for name, value in more.items() if name != "case"}
            truth = Truth.NO if kind in (ClaimKind.UNTRUE, ClaimKind.UNDECIDED) else Truth.ALWAYS
            verdicts.append(Verdict(number, claims[0], kind, (f"{kind}",), truth, **rest))
        lines.append(WrittenLine(number, text, tuple(claims)))
    known = arrows or Arrows({name: {name: 1} for name in circuit.currents})
    meanings = Meanings(solve(circuit), known.names, circuit.numbers)
    rows = {
        at: meanings.row(meanings.difference(v.claim.written))
        for at, v in enumerate(verdicts)
        if v.kind in LAWS
    }
    told = enough(circuit, meanings, verdicts, {at: row for at, row in rows.items() if row is not None})
    return Reading(circuit, Working(tuple(lines)), known, tuple(verdicts), told)
