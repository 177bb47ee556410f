"""Readings made by hand: lines with the verdicts they would get, for what builds on verdicts.

The circuit: E1 with R1, E2 with R2, both into R3 (I1 + I2 = I3). In numbers E1 = 12 V, E2 = 24 V,
R1 = 6 Ω, R2 = 2 Ω, R3 = 9 Ω give (I1, I2, I3) = (−1, 3, 2) A, worked by hand.
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
from tests.sample_circuits import TWO_BATTERIES_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(TWO_BATTERIES_IN_NUMBERS)

Made = tuple[str, ClaimKind | None, dict[str, Any]]

JUNCTION: Made = ("I1 + I2 = I3", ClaimKind.JUNCTION, {"points": ("top",)})
LEFT: Made = ("E1 - I1 R1 - I3 R3 = 0", ClaimKind.LOOP, {"loops": ((("I1", 1), ("I3", 1)),)})
RIGHT: Made = ("E2 - I2 R2 - I3 R3 = 0", ClaimKind.LOOP, {"loops": ((("I2", 1), ("I3", 1)),)})
DERIVED: Made = ("E1 - E2 = I1 R1 - I2 R2", ClaimKind.FOLLOWS, {"used": (2, 3)})
RESULTS: tuple[Made, ...] = (
    ("I1 = -1.0 A", ClaimKind.FOLLOWS, {"used": (1, 2, 3)}),
    ("I2 = 3.0 A", ClaimKind.FOLLOWS, {"used": (4, 5)}),
    ("I3 = 2.0 A", ClaimKind.FOLLOWS, {"used": (1, 5, 6)}),
    ("I1 really flows downwards.", None, {}),
)

GOOD: tuple[Made, ...] = (JUNCTION, LEFT, RIGHT, DERIVED, *RESULTS)


def slip(entry: str, mended: str) -> dict[str, Any]:
    """What a verdict has of one slip: the repair."""
    return {"repairs": (Repair(entry, ("a slip",), equation(mended, NAMES), 1.0),)}


NAMES = (*CIRCUIT.currents, *CIRCUIT.symbols)
# Where the sign of E2 is wrong: the equation, and the currents that follow from it (−29/7, 39/7, 10/7 A
# turned about: E2 counted as a drop gives I1 = 29/7, I2 = −39/7, I3 = −10/7 A; worked by hand).
WRONG_SIGN: Made = (
    "-E2 - I2 R2 - I3 R3 = 0",
    ClaimKind.UNTRUE,
    {"cause": 3, **slip("source-sign", "E2 - I2 R2 - I3 R3 = 0")},
)
CARRIED: tuple[Made, ...] = (
    ("I1 = 4.14 A", ClaimKind.UNTRUE, {"carried": True, "cause": 3}),
    ("I2 = -5.57 A", ClaimKind.UNTRUE, {"carried": True, "cause": 3}),
    ("I3 = -1.43 A", ClaimKind.UNTRUE, {"carried": True, "cause": 3}),
    ("Two currents run against their arrows.", None, {}),
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
