"""What is found out about a working: a verdict on every claim, with evidence a person can check; the
arrows it goes by; whether its equations are enough."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from ..expressions.nodes import Equation
from ..expressions.said import Said
from ..graph.lines import Loop
from .faults import OwnFault
from .working import AS_DRAWN, CircuitChange, Claim


class ClaimKind(StrEnum):
    """What a claim is, in this circuit and under these arrows."""

    JUNCTION = "junction equation"
    LOOP = "loop equation"
    ELEMENT = "element relation"
    FOLLOWS = "follows"
    GIVEN = "given"
    TRUE = "true, not yet shown"
    NAMED = "gives a name"
    UNTRUE = "not true"
    UNDECIDED = "not decided"


class Truth(StrEnum):
    """In which sense a claim is true of the circuit."""

    ALWAYS = "always"  # for every value of the symbols
    HERE = "with these numbers"  # exactly, with the numbers given
    ROUNDED = "as rounded"  # within what its last figures can bear
    CARRIED = "from rounded lines"  # exactly what its rounded forerunners give
    NO = "no"


class How(StrEnum):
    """How a claim follows from lines above, where that is simple to say."""

    SAME = "the same equation"
    MULTIPLE = "a line multiplied, divided or rearranged"
    SUM = "the sum of two lines"
    DIFFERENCE = "the difference of two lines"
    SUBSTITUTION = "one line put into another"
    COMBINATION = "lines combined"
    IDENTITY = "the same expression rewritten"


@dataclass(frozen=True, slots=True)
class Counter:
    """Numbers that show that a claim is not true: `values` for the symbols of the circuit and for the
    currents they give (SI units), and what the two sides come to, as they are written. `in_thousands`:
    bare numbers on them are in mA, kΩ and mW."""

    values: Mapping[str, Fraction]
    left: Fraction
    right: Fraction
    in_thousands: bool = False


@dataclass(frozen=True, slots=True)
class Repair:
    """One change that makes a claim true. `entry`: the slip's key in the catalogue; `said`: what is wrong
    and where, in words; `mended`: the claim put right; `size`: how unlikely the slip is (small first)."""

    entry: str
    said: Said
    mended: Equation
    size: float


@dataclass(frozen=True, slots=True)
class Verdict:
    """The verdict on one claim of one line.

    `used`: numbers of the lines it follows from. `loops`: for a loop equation, the loop or the loops that
    it is the sum of. `points`: for a junction equation, the junction (several: a cut round them).
    `carried`: it is not true, but follows correctly from what was written above. `cause`: the number of
    the line whose slip is also at the root of this one (its own number where it is the first). `fault`: what
    went wrong with us, where that kept the claim from being judged. `setting`: for a law, the changed circuit
    that it is a law of; `made_one`: it is a law of the circuit drawn with resistors made one.
    """

    line: int
    claim: Claim
    kind: ClaimKind
    said: Said
    truth: Truth = Truth.NO
    used: tuple[int, ...] = ()
    how: How | None = None
    loops: tuple[Loop, ...] = ()
    points: tuple[str, ...] = ()
    counter: Counter | None = None
    repairs: tuple[Repair, ...] = ()
    carried: bool = False
    cause: int | None = None
    fault: OwnFault | None = None
    setting: CircuitChange = AS_DRAWN
    made_one: bool = False

    @property
    def holds(self) -> bool:
        """Whether the claim is true of the circuit (or gives a name, which is nobody's to deny)."""
        return self.kind not in (ClaimKind.UNTRUE, ClaimKind.UNDECIDED)


@dataclass(frozen=True, slots=True)
class Arrows:
    """What the current names of a working stand for: each name as a sum of the circuit's branch
    currents (branch -> ±1; several for a current round a loop), or of potentials (`φ top` -> ±1).

    `inferred`: the names that neither file nor working declares; `otherwise`: the other choices under
    which as much of the working is true; `said`: the choice in a sentence. `changed`: the changed circuits
    whose currents and potentials (`I1 with E2 at zero`) are among what the names stand for.
    """

    names: Mapping[str, Mapping[str, int]]
    inferred: tuple[str, ...] = ()
    otherwise: tuple[Mapping[str, Mapping[str, int]], ...] = ()
    said: Said = ()
    changed: tuple[CircuitChange, ...] = ()


@dataclass(frozen=True, slots=True)
class Enough:
    """Whether the equations written fix the currents. `redundant`: line -> the lines it repeats;
    `missing`: equations that would complete the set; `said`: all this in sentences."""

    enough: bool
    rank: int
    needed: int
    redundant: Mapping[int, tuple[int, ...]]
    missing: tuple[Equation, ...]
    said: tuple[Said, ...]
