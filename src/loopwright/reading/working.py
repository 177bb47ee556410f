"""A working as it was written: lines, the claims in them, arrows declared, lines referred to.

What is kept is what stands on the page; whether it is true is found out elsewhere (`truth/`, `judge`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from ..circuit.names import listed
from ..expressions.nodes import Equation, Expr, put_on_both_sides
from ..quantities import simple
from .faults import OwnFault

MILLIAMPERES_BELOW = Fraction(1, 10)  # amperes of which people write milliamperes


@dataclass(frozen=True, slots=True)
class PotentialSaid:
    """A potential that words name: `name` is that of `point`, against the point `against` where that is said.
    Without a name: `point` is where potentials are counted from."""

    name: str
    point: str
    against: str = ""


@dataclass(frozen=True, slots=True)
class ArrowSaid:
    """An arrow that the working declares: the current `name` is counted from `start` to `end`, through
    the elements named (enough of them to tell the branch where two run side by side; may be empty)."""

    name: str
    start: str
    end: str
    through: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LoopSaid:
    """A current round a loop that the working declares: the current `name` goes round the loop that holds
    the elements `round`; through `passing` (an element) from point `start` to `end`, all three empty where
    the sense is not said in a way that the problem tells."""

    name: str
    round: tuple[str, ...]
    passing: str = ""
    start: str = ""
    end: str = ""


@dataclass(frozen=True, slots=True)
class CircuitChange:
    """The changed circuit that a line speaks of. `at_zero`: sources set to zero (a wire for a battery, a gap
    for a current source); `out`: elements with a gap in their place; `wired`: elements with a wire in their
    place; `taken`: the current or voltage that is supposed to be `worth` (in SI units), the one source being
    what that needs. With all of them empty it is the circuit as drawn."""

    at_zero: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    wired: tuple[str, ...] = ()
    taken: str = ""
    worth: Fraction = Fraction(0)

    def __bool__(self) -> bool:
        """Whether anything is changed."""
        return bool(self.at_zero or self.out or self.wired or self.taken)

    @property
    def words(self) -> str:
        """The change in words: `with E2 at zero`, `without R3`."""
        said = [f"with {listed(list(self.at_zero))} at zero"] if self.at_zero else []
        said += [f"without {listed(list(self.out))}"] if self.out else []
        said += [f"with a wire for {listed(list(self.wired))}"] if self.wired else []
        said += [f"with {self.taken} taken as {self._worth_said}"] if self.taken else []
        return " and ".join(said)

    @property
    def _worth_said(self) -> str:
        if self.taken.startswith("V("):
            return f"{simple(self.worth)} V"
        small = abs(self.worth) < MILLIAMPERES_BELOW
        return f"{simple(self.worth * 1000)} mA" if small else f"{simple(self.worth)} A"


AS_DRAWN = CircuitChange()


@dataclass(frozen=True, slots=True)
class Claim:
    """One relation that somebody wrote. Relation `=`, `≈` (rounded) or `→` (a limit).

    `start`, `end`: its place in the text of the line (counted from 0, `end` not included).
    `otherwise`: other relations that the same signs can well be meant to say, such as I = E/(2 R) for
    `I = E/2R`, which is read as (E/2) R, or with and without a dash before it that may be a bullet.
    `setting`: the changed circuit that it is of. `case`: for a limit, what is taken where: `R3 → 0` or
    `R3 → ∞` (the symbol `∞`), as equations with the relation `→`.
    """

    written: Equation
    start: int = 0
    end: int = 0
    case: tuple[Equation, ...] = ()
    otherwise: tuple[Equation, ...] = ()
    setting: CircuitChange = AS_DRAWN

    def renamed(self, names: Mapping[str, Expr]) -> Claim:
        """The claim with other names in the place of some, however it is meant."""
        otherwise = tuple(put_on_both_sides(other, names) for other in self.otherwise)
        return replace(self, written=put_on_both_sides(self.written, names), otherwise=otherwise)


@dataclass(frozen=True, slots=True)
class LineSource:
    """What a line says that it rests on: the labels named, in order (`"1"`, `"2"`), and, where it says
    how they are combined, the combination in symbols named after the labels (`(1) − R2 (2)`)."""

    labels: tuple[str, ...]
    combination: Expr | None = None


@dataclass(frozen=True, slots=True)
class Trouble:
    """What of a line could not be read: why, and where in its text (counted from 0). `fault`: what went
    wrong with us, where that is why."""

    why: str
    position: int
    fault: OwnFault | None = None


@dataclass(frozen=True, slots=True)
class WrittenLine:
    """One line of a working, blank ones left out.

    `number`: its number in the text, from 1. `label`: the label it carries (`"1"` for `(1)`), or empty.
    A chain `a = b = c` gives the claims a = b and b = c. `notes`: how something was read that could have
    been meant otherwise (`i1 is read as I1`). `setting`: the changed circuit that it stands in ("E1 alone:"
    holds for the lines below), which is that of its last claim. `round_loops`: names of currents that it says
    run round loops; `loops`: those of which it says round what; `one_way`: whether it says of mesh currents
    that all run the same way round; `potentials`: what it names of these. A line with neither claims, arrows
    nor trouble is prose.
    """

    number: int
    text: str
    claims: tuple[Claim, ...] = ()
    label: str = ""
    source: LineSource | None = None
    arrows: tuple[ArrowSaid, ...] = ()
    notes: tuple[str, ...] = ()
    trouble: Trouble | None = None
    setting: CircuitChange = AS_DRAWN
    round_loops: tuple[str, ...] = ()
    loops: tuple[LoopSaid, ...] = ()
    one_way: bool = False
    potentials: tuple[PotentialSaid, ...] = ()


@dataclass(frozen=True, slots=True)
class Working:
    """All lines of a working, in order. `decimal_comma`: whether it was read with commas before decimals."""

    lines: tuple[WrittenLine, ...]
    decimal_comma: bool = False

    def labelled(self, label: str) -> WrittenLine | None:
        """The last line with this label; else the line of this number, when no line carries a label."""
        found = [line for line in self.lines if line.label == label]
        if found or any(line.label for line in self.lines):
            return found[-1] if found else None
        return next((line for line in self.lines if str(line.number) == label), None)
