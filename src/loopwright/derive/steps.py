"""The steps of a derivation: one move of a person's algebra each, with what it used and why.

Data only. A step's line is kept twice, as written and as a linear equation in the currents over the
circuit's field; `verify` holds the two against each other and against the lines used.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from dataclasses import field as default
from enum import StrEnum

from ..algebra.ratios import Field, Ratio
from ..expressions.nodes import ZERO, Equation, Expr, Symbol, negate
from ..expressions.said import Said
from ..laws.equations import LawEquation
from ..laws.symmetry import Alike
from ..shown import Shown


class Move(StrEnum):
    """What is done to get a line, in an instructor's words."""

    JUNCTION = "junction rule"
    LOOP = "loop rule"
    GIVEN = "fixed by an element"
    SYMMETRY = "symmetry"
    PUT_IN = "put in"
    COLLECT = "collect"
    ADD = "add"
    SUBTRACT = "subtract"
    SOLVE = "solve for"
    PUT_BACK = "put back"
    NAME = "give a name"
    MAKE_ONE = "make one"
    ONE_LOOP = "one loop"
    IN_SERIES = "in series"
    DIVIDE = "divide a current"
    TOTAL = "add up currents"


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Parts that join the same two points. `chains`: for each part what is met along it, branches by their
    currents and parts made one before by their names. `whole`: the name of their resistance together, empty
    where none is given."""

    whole: str
    chains: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One numbered line.

    `uses`: numbers of the lines above that it follows from. `written`: the line. `on_the_way`: an
    equation told inside the reason (the line before collecting), verified like the line itself.
    `also`: further equalities on the same line, as symmetry gives them (`group`). `factor`: by what
    the one line used is said to have been multiplied; the judge holds the sentence to it.
    `solves`: the current it solves for, if any; `is_result`: nothing unknown is left in it. `together`:
    the parts side by side of which the line speaks; `ring`: the loop, by what is met along it, once parts
    have been made one.
    """

    number: int
    move: Move
    written: Equation
    uses: tuple[int, ...] = ()
    reason: Said = ()
    on_the_way: Equation | None = None
    solves: str = ""
    is_result: bool = False
    law: LawEquation | None = None
    also: tuple[Equation, ...] = ()
    group: Alike | None = None
    factor: Expr | None = None
    together: SideBySide | None = None
    ring: tuple[str, ...] = ()

    @property
    def equations(self) -> tuple[Equation, ...]:
        """Everything the line states."""
        return (self.written, *self.also)

    @property
    def chain(self) -> tuple[Expr, ...]:
        """The sides as they stand on the line: a = b; a = b = c with the form before tidying in the
        middle; or all that is equal, where a line states several equalities."""
        left, right = self.written.left, self.written.right
        if self.on_the_way is not None and self.on_the_way.left == left:
            same = tuple(e.left for e in self.also if e.right == right)
            alike = same if len(same) == len(self.also) else ()
            return (left, *alike, self.on_the_way.right, right)
        if all(e.right in (right, negate(right)) for e in self.also):
            equal = tuple(e.left if e.right == right else negate(e.left) for e in self.equations)
            by_symmetry = self.group is not None and not self.group.zero
            return (right, *equal) if by_symmetry else (*equal, right)
        return (left, right)

    @property
    def apart(self) -> tuple[Equation, ...]:
        """The equalities that the chain leaves out."""
        own = 2 + (self.on_the_way is not None and self.on_the_way.left == self.written.left)
        return () if len(self.chain) == own + len(self.also) else self.also


@dataclass(frozen=True)
class Derivation(Shown):
    """The whole way from the laws to every current.

    `field`: where the coefficients live: the circuit's symbols, or none when numbers were put in at
    the start. `unknowns`: the names solved for. `names`: quantities given a name on the way (`D`).
    `values`: the result for each unknown. `unit_words`: in which units bare numbers are, for a
    numeric derivation.
    """

    steps: tuple[Step, ...]
    field: Field
    unknowns: tuple[str, ...]
    values: Mapping[str, Ratio]
    names: Mapping[str, Ratio] = default(default_factory=dict)
    unit_words: str = ""

    @property
    def laws(self) -> tuple[LawEquation, ...]:
        """The equations of the circuit it starts from."""
        return tuple(step.law for step in self.steps if step.law is not None)

    def result(self, unknown: str) -> Step:
        """The line that gives an unknown in closed form."""
        return next(
            s for s in self.steps if any(e.left == Symbol(unknown) for e in s.equations if s.is_result)
        )

    @property
    def lines(self) -> dict[str, int]:
        """For each current the number of the line that gives it."""
        given = [
            (e.left, s.number) for s in self.steps for e in s.equations if s.is_result or e.right == ZERO
        ]
        return {left.name: n for left, n in reversed(given) if isinstance(left, Symbol)}

    @property
    def written_lines(self) -> int:
        """How many lines there are to write."""
        return len(self.steps)
