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
from ..circuit.circuit import Circuit
from ..circuit.targets import Target
from ..expressions.nodes import ZERO, Equation, Expr, Symbol, negate, written_symbols
from ..expressions.said import Said
from ..graph.lines import Loop
from ..laws.equations import LawEquation
from ..laws.symmetry import Alike
from ..shown import Shown
from ..solve.method_quantities import MethodQuantity


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
    LOOP_SUM = "add up loop currents"
    OHM = "Ohm's law"
    BETWEEN = "relation between points"
    DETERMINANT = "write a determinant"
    CRAMER = "quotient of determinants"
    SHARE = "voltage that parts side by side share"
    ADD_PARTS = "add the parts"
    LOAD = "put the load back"


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Parts that join the same two points. `chains`: for each part what is met along it, branches by their
    currents and parts made one before by their names. `whole`: the name of their resistance together, empty
    where none is given."""

    whole: str
    chains: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class PartsMadeOne:
    """Resistors of the circuit as it is drawn by then, and the one that takes their place."""

    whole: str
    parts: tuple[str, ...]
    in_series: bool


@dataclass(frozen=True, slots=True)
class Step:
    """One numbered line.

    `uses`: numbers of the lines above that it follows from. `written`: the line. `on_the_way`: an
    equation told inside the reason (the line before collecting), verified like the line itself.
    `in_letters`: in a working with numbers, the right side before these are put in.
    `also`: further equalities on the same line, as symmetry gives them (`group`). `factor`: by what
    the one line used is said to have been multiplied; the judge holds the sentence to it.
    `solves`: the current it solves for, if any; `is_result`: nothing unknown is left in it. `together`:
    the parts side by side of which the line speaks; `ring`: the loop, by what is met along it, once parts
    have been made one. `forms`: further forms of what the line gives, which stand between its sides.
    `made_one`: the resistors of which it gives the resistance together; `gives`: what it is that it gives a
    name to, where that is a quantity of a method.
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
    in_letters: Expr | None = None
    forms: tuple[Expr, ...] = ()
    made_one: PartsMadeOne | None = None
    gives: MethodQuantity | None = None

    @property
    def equations(self) -> tuple[Equation, ...]:
        """Everything the line states."""
        return (self.written, *self.also)

    @property
    def _between(self) -> tuple[Expr, ...]:
        """What stands between the two sides of the line: in letters, and with what is put in; or further
        forms."""
        if self.forms:
            return self.forms
        way = self.on_the_way
        put = (way.right,) if way is not None and way.left == self.written.left else ()
        return put if self.in_letters is None else (self.in_letters, *put)

    @property
    def chain(self) -> tuple[Expr, ...]:
        """The sides as they stand on the line: a = b; a = b = c with the form before tidying in the
        middle; or all that is equal, where a line states several equalities."""
        left, right = self.written.left, self.written.right
        if self._between:
            same = tuple(e.left for e in self.also if e.right == right)
            alike = same if len(same) == len(self.also) else ()
            return (left, *alike, *self._between, right)
        if all(e.right in (right, negate(right)) for e in self.also):
            equal = tuple(e.left if e.right == right else negate(e.left) for e in self.equations)
            by_symmetry = self.group is not None and not self.group.zero
            return (right, *equal) if by_symmetry else (*equal, right)
        return (left, right)

    @property
    def apart(self) -> tuple[Equation, ...]:
        """The equalities that the chain leaves out."""
        own = 2 + len(self._between)
        return () if len(self.chain) == own + len(self.also) else self.also


@dataclass(frozen=True, slots=True)
class FigureNeed:
    """A figure that a derivation speaks of: `circuit` as it is drawn before the line numbered `before`.
    `loops`: loops drawn with the names of their currents; `levels`: what is written at points, by point.
    `caption`: what is drawn, in a sentence or two, that is told with the figure or without it. Of a changed
    circuit, `like`: the one it was made from, as which it is placed; `gaps`: the branches of that one that
    are shown cut."""

    circuit: Circuit
    before: int
    loops: tuple[tuple[str, Loop], ...] = ()
    levels: Mapping[str, str] = default(default_factory=dict)
    caption: str = ""
    like: Circuit | None = None
    gaps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class ChangedLines:
    """Lines of a derivation, from `first` to `last`, that speak of a changed circuit alone: the one in which
    only `sources` are at work; the one `without` an element; the one `drawn` when everything is made one that
    was by then; or the one seen from the ends of the element `seen_from`, that out and all sources at rest.
    `currents`: what its currents are called, by those of the whole."""

    first: int
    last: int
    sources: tuple[str, ...] = ()
    currents: Mapping[str, str] = default(default_factory=dict)
    drawn: Circuit | None = None
    without: str = ""
    seen_from: str = ""


@dataclass(frozen=True)
class Derivation(Shown):
    """The whole way from the laws to every current.

    `field`: where the coefficients live: the circuit's symbols, or none when numbers were put in at
    the start. `unknowns`: the names solved for. `names`: quantities given a name on the way (`D`).
    `values`: the result for each unknown. `unit_words`: in which units bare numbers are, for a
    numeric derivation. `method`: by which method, in the trade's words; `meanings`: the names of the
    quantities that it speaks of besides the unknowns, and what they stand for; `opening`: what is told
    before the first line, a paragraph each; `figures`: what it is drawn with, in order; `changed`: which
    of its lines speak of changed circuits; `together`: the unknowns of the equations that are solved
    together.
    """

    steps: tuple[Step, ...]
    field: Field
    unknowns: tuple[str, ...]
    values: Mapping[str, Ratio]
    names: Mapping[str, Ratio] = default(default_factory=dict)
    unit_words: str = ""
    method: str = "branch currents"
    meanings: Mapping[str, MethodQuantity] = default(default_factory=dict)
    opening: tuple[Said, ...] = ()
    figures: tuple[FigureNeed, ...] = ()
    together: tuple[str, ...] = ()
    changed: tuple[ChangedLines, ...] = ()

    @property
    def laws(self) -> tuple[LawEquation, ...]:
        """The equations of the circuit it starts from."""
        return tuple(step.law for step in self.steps if step.law is not None and self.is_of_whole(step))

    def is_of_whole(self, step: Step) -> bool:
        """Whether a line speaks of the circuit itself and not of a changed one."""
        return not any(lines.first <= step.number <= lines.last for lines in self.changed)

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

    @property
    def written_symbols(self) -> int:
        """How many symbols and numbers stand in all its lines, reasons not counted."""
        sides = [side for step in self.steps for side in step.chain]
        sides += [side for step in self.steps for e in step.apart for side in (e.left, e.right)]
        return sum(map(written_symbols, sides))


@dataclass(frozen=True, slots=True)
class AskedStep:
    """A line that gives what is asked. `law`: what it is by the laws, in currents and quantities of lines
    above, or by series and parallel; `result`: its closed form; `uses`: the lines above whose results are
    put in. `currents`: where the circuit was changed (something taken out, a test source of one ampere),
    its currents, which stand in `law`; `shown` is then the law with them put in."""

    number: int
    target: Target
    law: Expr
    shown: Expr
    result: Expr
    uses: tuple[int, ...]
    reason: Said
    currents: Mapping[str, Ratio] | None = None
