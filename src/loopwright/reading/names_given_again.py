"""Names that a working gives a second time, as people do who write R for whatever resistance is next:
`R = 6·2/8 = 1.5`, and then `R = 1.5 + 5 = 6.5`.

A name is taken so only where it has no number of its own, is none of the problem's, and is untrue where it is
given again; and only where what is given then is a resistance or a voltage of this circuit, or follows from a
slip above. From there on it stands for that.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, replace
from fractions import Fraction

from ..circuit.changed import sources_in
from ..circuit.circuit import Circuit
from ..expressions.nodes import Equation, Expr, Number, Symbol, parts_of, put
from ..expressions.values import symbols_of
from .reading import Reading
from .truth.odd_number import OddNumbers
from .truth.rounding import lone
from .verdicts import ClaimKind, Verdict
from .working import AS_DRAWN, CircuitChange, Claim, Working, WrittenLine

_PASSING = re.compile(r"[RrUV](?:_?[a-z]{1,5})?")  # no name of one resistor, point or part


@dataclass(frozen=True, slots=True)
class GivenAgain:
    """A name given again in a line, and what it is called from there on."""

    line: int
    name: str

    @property
    def anew(self) -> str:
        """The name that sets it apart from what it stood for before."""
        return f"{self.name} of line {self.line}"


def given_again(reading: Reading) -> tuple[GivenAgain, ...]:
    """The names that a line gives anew, which is not true of what they stood for above."""
    circuit = reading.circuit
    given: set[str] = set()
    found: dict[GivenAgain, None] = {}
    for verdict in reading.verdicts:
        name = _given(verdict.claim, circuit)
        if name in given and verdict.kind is ClaimKind.UNTRUE and not verdict.carried:
            found[GivenAgain(verdict.line, name)] = None
        elif name:
            given.add(name)
    return tuple(found)


def _given(claim: Claim, circuit: Circuit) -> str:
    """The passing name that a claim works out of numbers or of what has other names; nothing for any other
    claim."""
    name, worth = claim.written.left, claim.written.right
    if not isinstance(name, Symbol) or not _PASSING.fullmatch(name.name) or lone(worth) is not None:
        return ""
    own = name.name in circuit.elements or name.name in circuit.symbols or name.name[1:] in circuit.points
    return "" if own or isinstance(worth, Symbol | Number) or not parts_of(worth) else name.name


def set_apart(working: Working, again: Collection[GivenAgain]) -> Working:
    """The working with every name given again called so from where that is done."""
    now: dict[str, Expr] = {}
    lines: list[WrittenLine] = []
    for line in working.lines:
        here = {one.name: Symbol(one.anew) for one in again if one.line == line.number}
        claims = []
        for claim in line.claims:
            left = claim.written.left
            if isinstance(left, Symbol) and left.name in here:
                written = Equation(here[left.name], put(claim.written.right, now), claim.written.relation)
                claims.append(replace(claim, written=written, otherwise=()))
            else:
                claims.append(claim.renamed(now))
        now.update(here)
        lines.append(replace(line, claims=tuple(claims)))
    return replace(working, lines=tuple(lines))


def taken_up(reading: Reading, again: Collection[GivenAgain]) -> tuple[GivenAgain, ...]:
    """Those of the names given again that stand for something of the circuit, follow from a slip above or are
    one that has a name, as a working with all of them set apart is read."""
    firsts: dict[tuple[int, Expr], Verdict] = {}
    ends: dict[int, Number] = {}
    for verdict in reading.verdicts:
        firsts.setdefault((verdict.line, verdict.claim.written.left), verdict)
        number = lone(verdict.claim.written.right)
        if number is not None:
            ends[verdict.line] = number
    odd_numbers, sources = OddNumbers(reading.circuit), sources_in(reading.circuit)
    settings = [AS_DRAWN, *(CircuitChange((source,)) for source in sources)]

    def is_of_the_circuit(one: GivenAgain) -> bool:
        verdict, end = firsts.get((one.line, Symbol(one.anew))), ends.get(one.line)
        if verdict is None:
            return False
        if not verdict.holds:
            return verdict.carried or bool(verdict.repairs)
        if verdict.kind is not ClaimKind.NAMED or symbols_of(reading.own.get(one.anew, Number(Fraction(0)))):
            return True
        if end is None or one.name[:1] not in "Rr":
            return False
        return any(odd_numbers.things_worth(end, setting) for setting in settings)

    return tuple(one for one in again if is_of_the_circuit(one))
