"""A working finished from where it stands: the lines that are left, and the next of them at four levels.

Data only. `finish` makes it, `verify` judges every line of it before anybody sees it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

from ..circuit.names import listed
from ..errors import FaultyMaterial
from ..expressions.amounts import joint
from ..expressions.nodes import Equation, Expr, Symbol
from ..expressions.said import Said, as_text
from ..expressions.terms import said_in_terms
from ..expressions.writers import plain
from ..findings import Finding
from ..graph.lines import Loop
from ..reading.reading import Reading
from ..reading.working import AS_DRAWN, CircuitChange
from ..shown import Shown

LEVELS = (1, 2, 3, 4)


class Lacking(StrEnum):
    """What the next line needs, in a sentence: the first level of help."""

    JUNCTION = "A junction equation is missing."
    LOOP = "A loop equation is missing."
    ELEMENT = "One current is fixed by an element: say so."
    ALGEBRA = "The equations are enough: only algebra is left."
    SUM = "The loop currents are known: what is left is what flows in each branch."
    OHM = "The potentials are known: what is left is Ohm's law along each branch."
    NAME = "The current is known under another name: only the arrow is left."
    ASKED = "The currents are known: what is left is what else is asked."
    PARTS = "The parts are there: they are left to be added."
    DETERMINANT = "The equations are enough: what is left is determinants."
    QUOTIENT = "The determinants are there: what is left are their quotients."
    ALONE = "A source is still to be taken alone."
    OPEN = "The open voltage is still to be found."
    DRIVEN = "What all sources drive together is still to be found."
    SEEN = "The resistance that the load sees is still to be found."
    LOAD = "The equivalent source is there: the load is left to be put back."
    MADE_ONE = "There are resistances that can be made one."
    ONE_LOOP = "One loop is left: its current comes next."
    BACK = "What is supposed is still to be worked back to the source."
    SCALED = "What the source would have to give is known: what is left is to scale."
    START = "A value just before or just after the switch moves is still to be found."
    END = "A value long after is still to be found."
    SEEN_IN_TIME = "The resistance that the storage sees is still to be found."
    TAU = "The time constant is still to be found."
    COURSE = "The start, the end and the time constant are there: the course is left to be written."
    AT = "The course is there: the value at a time is left."
    TIME = "The course is there: the time at which a value is reached is left."
    OUTWARDS = "The current that goes in is known: what is left is the way back outwards."


class FactKind(StrEnum):
    """What a line may rest on besides the lines above."""

    JUNCTION = "junction"
    LOOP = "loop"
    ELEMENT = "element"
    BRANCH = "branch"
    PARTS = "parts"
    SCALED = "scaled"
    SUPPOSED = "supposed"


@dataclass(frozen=True, slots=True)
class Fact:
    """A law that a line rests on, of the circuit as drawn or of a changed one. `place`: the point or the
    branch (of the problem), `loop`: the loop, in the problem's branches."""

    kind: FactKind
    place: str = ""
    loop: Loop = ()
    setting: CircuitChange = AS_DRAWN


@dataclass(frozen=True, slots=True)
class FinishedLine:
    """One line of the rest. `number`: counted on from the working. `heading`: what is said before it on a
    line of its own ("E2 alone:"). `spelled`: names as the working writes them, by how they are shown;
    `decimal_comma`: whether it writes commas before decimals. `sides`: what is equal, from left to right;
    `uses`: the lines it follows from; `facts`: the laws it rests on; `reason`: why, in a sentence. `lacking`
    and `where`: the first two levels of help; `equation`: the third. `unit`: of the last side, where that is
    a number. `gives_name`: whether the line gives its left side a meaning."""

    number: int
    sides: tuple[Expr, ...]
    reason: Said
    lacking: Lacking
    where: Said
    equation: Equation
    uses: tuple[int, ...] = ()
    facts: tuple[Fact, ...] = ()
    heading: str = ""
    unit: str = ""
    gives_name: bool = False
    spelled: tuple[tuple[str, str], ...] = ()
    decimal_comma: bool = False

    def with_heading(self, heading: str) -> FinishedLine:
        """The line with something said before it."""
        return replace(self, heading=heading)

    def with_told(self, lacking: Lacking, where: Said, facts: tuple[Fact, ...]) -> FinishedLine:
        """The line with other help, and what it rests on."""
        return replace(self, lacking=lacking, where=where, facts=facts)

    @property
    def said(self) -> Said:
        """The line as it is written: every side, and the unit."""
        found: list[str | Expr | Equation] = [self.sides[0]]
        for one, other in zip(self.sides, self.sides[1:], strict=False):
            found.extend((f" {joint(one, other)} ", other))
        return (*found, f" {self.unit}") if self.unit else tuple(found)

    def as_text(self) -> str:
        """The line in plain signs, as it can be written below the working."""
        text = "".join(p if isinstance(p, str) else plain.render(p) for p in self.said)
        for shown, written in self.spelled:
            text = re.sub(rf"(?<!\w){re.escape(shown)}(?!\w)", lambda _, w=written: w, text)  # type: ignore[misc]
        return re.sub(r"(?<=\d)\.(?=\d)", ",", text) if self.decimal_comma else text


@dataclass(frozen=True, slots=True)
class FinishedWorking(Shown):
    """The rest of a working. `method`: by which it is gone on with; `turned`: why not by its own, where that
    is so; `lines`: what is left, in order; `missing`: in a sentence, whether its equations are enough;
    `left_out`: why lines do not count, by number; `check`: what is worth checking at the end; `unsaid`: what
    is asked and not told by a line, in sentences; `directions`: which currents flow against their arrows."""

    reading: Reading
    method: str
    lines: tuple[FinishedLine, ...]
    missing: Said = ()
    left_out: Mapping[int, Said] = field(default_factory=dict)
    turned: str = ""
    check: Said = ()
    unsaid: tuple[Said, ...] = ()
    directions: Said = ()

    @property
    def is_finished(self) -> bool:
        """Whether nothing is left to do."""
        return not self.lines and not self.unsaid

    @property
    def opening(self) -> tuple[Said, ...]:
        """What is said before the first line, a sentence each."""
        said: list[Said] = []
        for why in dict.fromkeys(self.left_out.values()):
            numbers = [number for number, other in self.left_out.items() if other == why]
            said.append((*_left_out(numbers), *why))
        if self.turned:
            said.append((self.turned,))
        if self.is_finished:
            said.append(("The working is finished: all that is asked is found.",))
        elif self.missing:
            said.append(self.missing)
        return self._in_terms(said)

    @property
    def closing(self) -> tuple[Said, ...]:
        """What is said after the last line."""
        return self._in_terms([said for said in (self.directions, *self.unsaid, self.check) if said])

    @property
    def text(self) -> str:
        """The lines that are left, as they can be written below the working: no reasons, headings between."""
        rows: list[str] = []
        for line in self.lines:
            rows += [line.heading] if line.heading else []
            rows.append(line.as_text())
        rows += [as_text(self.directions)] if self.lines and self.directions else []
        return "".join(f"{row}\n" for row in rows)

    def what_next(self, level: int) -> Said:
        """The next step, at a level of help from 1 to 4: which law is missing, or only algebra; which loop or
        junction, or what to do with which lines; the equation; the next line. Raises FaultyMaterial for
        another level."""
        if level not in LEVELS:
            said = f"There is no level {level} of help."
            raise FaultyMaterial(Finding("finish/unknown-level", said, "Ask for level 1, 2, 3 or 4."))
        if self.is_finished:
            told = self._in_terms([("Nothing is left to do: all that is asked is found. ", *self.check)])
            return told[0]
        if not self.lines:
            return self._in_terms([self.unsaid[0]])[0]
        line = self.lines[0]
        before: Said = (f"{line.heading} ",) if line.heading and level > 1 else ()
        found: dict[int, Said] = {
            1: (line.lacking.value,),
            2: (*before, *line.where),
            3: (*before, line.equation),
            4: (*before, *line.said),
        }
        return self._in_terms([found[level]])[0]

    def _in_terms(self, said: Sequence[Said]) -> tuple[Said, ...]:
        circuit = self.reading.circuit
        return tuple(said_in_terms(one, circuit.page.terms, circuit.own_words) for one in said)


def _left_out(numbers: Sequence[int]) -> Said:
    """Which lines do not count: `Lines 5 and 6 are left out: `."""
    several = len(numbers) > 1
    return (
        f"Line{'s' if several else ''} {listed(map(str, numbers))} {'are' if several else 'is'} left out: ",
    )


def told_without_lines(reason: Said) -> Said:
    """A reason without what it gives away: up to the first equation, and a line put in told by its name."""
    found: list[str | Expr | Equation] = []
    for at, piece in enumerate(reason):
        after = reason[at + 1] if at + 1 < len(reason) else ""
        if isinstance(piece, Equation):
            if isinstance(after, str) and after.startswith(" from line") and isinstance(piece.left, Symbol):
                found.append(piece.left)
                continue
            break
        if isinstance(piece, str) and (":" in piece or ";" in piece):
            cut = min(i for i in (piece.find(":"), piece.find(";")) if i >= 0)
            found.append(piece[:cut])
            break
        found.append(piece)
    while found and isinstance(found[-1], str) and not found[-1].strip(" ,"):
        found.pop()
    last = found[-1] if found else ""
    if isinstance(last, str):
        return (*found[:-1], last.rstrip(" ,.") + ".") if found else ()
    return (*found, ".")
