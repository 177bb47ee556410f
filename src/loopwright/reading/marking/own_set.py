"""The equations that a working sets out from, as written, true or not: what they come to as a set.

Whether a working may earn credit for what follows from a slip depends on the set that it really wrote:
whether it still fixes the currents, and whether the slip took the difficulty away.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ...algebra.linear import Linear, reduce_rows
from ...expressions.nodes import Equation, Symbol
from ...expressions.values import symbols_of
from ...laws.laws import laws
from ...solve.exact import solve
from ..enough import LAWS, enough, sets_up
from ..reading import Reading
from ..truth.meaning import Meanings, UnknownName
from ..truth.size import TooLong
from ..verdicts import ClaimKind, Enough, Verdict

_NOTHING: Mapping[int, Linear | None] = {}


@dataclass(frozen=True, slots=True)
class OwnSet:
    """The set a working sets out from.

    `written`: its equations; `untrue`: those of them with a slip; `rank`: of the set as written; `mended`:
    of the set with each slip mended; `needed`: as many as there are currents (and potentials, where it
    has them). `singular`: lines whose slip leaves the set too small; `alone`: lines whose slip leaves one
    current by itself, so that nothing has to be eliminated.
    """

    written: tuple[Verdict, ...]
    untrue: tuple[Verdict, ...]
    rank: int
    mended: int
    needed: int
    singular: tuple[int, ...]
    alone: tuple[int, ...]


def own_set(reading: Reading) -> OwnSet:
    """The set of equations that the working sets out from."""
    stated = tuple(v for v in reading.verdicts if v.kind in LAWS and not v.setting)
    told = reading.enough
    slips = any(_may_set_up(v, reading) for v in reading.verdicts)
    whole = told.rank >= told.needed  # what is true beside that may be a result, such as a voltage asked
    if not slips and (whole or not any(_sets_up_unnamed(v, reading) for v in reading.verdicts)):
        return OwnSet(stated, (), told.rank, told.rank, told.needed, (), ())
    sums = _Sums(reading)
    written: list[Verdict] = []
    for verdict in reading.verdicts:
        slip = _may_set_up(verdict, reading) and sums.row(verdict.claim.written) is not None
        unnamed = _sets_up_unnamed(verdict, reading) and sums.row(verdict.claim.written) is not None
        if (verdict.kind in LAWS and not verdict.setting) or unnamed or (slip and not sums.whole(written)):
            written.append(verdict)
    own = sums.of(written)
    right = {
        at: sums.row(v.repairs[0].mended) if v.repairs else None
        for at, v in enumerate(written)
        if v.kind is ClaimKind.UNTRUE
    }
    mended = sums.of(written, right)
    singular, alone = [], []
    for at, mend in right.items():
        row, line = sums.row(written[at].claim.written), written[at].line
        if own.rank < own.needed and sums.of(written, {at: mend}).rank > own.rank:
            singular.append(line)
        if row is not None and mend is not None and len(row.coefficients) == 1 < len(mend.coefficients):
            alone.append(line)
    best = min(own.needed, mended.rank + sum(mend is None for mend in right.values()))
    untrue = tuple(written[at] for at in right)
    return OwnSet(tuple(written), untrue, own.rank, best, own.needed, tuple(singular), tuple(alone))


def is_cause(verdict: Verdict) -> bool:
    """Whether a claim is untrue by a slip made in it, and not only by one made above."""
    return verdict.kind is ClaimKind.UNTRUE and not verdict.carried and verdict.cause in (None, verdict.line)


def _may_set_up(verdict: Verdict, reading: Reading) -> bool:
    """Whether an untrue claim can be one of the equations set out from: an equation in several unknowns or
    an untrue law, on a line that does not say it comes from others, and not carried from above."""
    claim = verdict.claim
    if verdict.kind is not ClaimKind.UNTRUE or verdict.carried or claim.case or claim.written.relation != "=":
        return False
    if any(line.number == verdict.line and line.source is not None for line in reading.working.lines):
        return False
    names = reading.arrows.names
    return bool(set(symbols_of(claim.written)) & set(names)) and not _is_solved(claim.written, names)


def _sets_up_unnamed(verdict: Verdict, reading: Reading) -> bool:
    """Whether a true claim is an equation that is no single law and comes from nothing above, such as a
    junction equation in potentials."""
    written = verdict.claim.written
    held = set(symbols_of(written)) & set(reading.arrows.names)
    return (
        verdict.kind is ClaimKind.TRUE
        and not verdict.claim.case
        and bool(held)
        and not _is_solved(written, reading.arrows.names)
    )


def _is_solved(equation: Equation, names: Mapping[str, object]) -> bool:
    """Whether an equation gives a current outright (`I1 = E1/R1`, `2 A = I1`)."""
    for one, other in ((equation.left, equation.right), (equation.right, equation.left)):
        if isinstance(one, Symbol) and one.name in names and not set(symbols_of(other)) & set(names):
            return True
    return False


class _Sums:
    """Works out what sets of equations of one working come to (`rank`, enough or not), with untrue
    equations counted as if they were laws: what the writer could have got from them."""

    def __init__(self, reading: Reading) -> None:
        circuit = reading.circuit
        self.reading = reading
        numbers = circuit.numbers if circuit.has_all_numbers else None
        changed = reading.arrows.changed
        self.meanings = Meanings(solve(circuit), reading.arrows.names, numbers, changed=changed)
        rows = [row for v in reading.verdicts if (row := self.row(v.claim.written)) is not None]
        unnamed = set(circuit.currents).difference(*(row.coefficients for row in rows))
        known = laws(circuit)
        silent = [law for law in known.junctions if unnamed & set(law.linear.coefficients)]
        granted = [self.row(law.written) for law in (*known.elements, *silent)]
        self._granted = [row for row in granted if row is not None]

    def row(self, equation: Equation) -> Linear | None:
        """An equation as a linear row in the unknowns; None where it is not linear, is too long to be worked
        out, holds no unknown, or has a name that stands for nothing."""
        try:
            row = self.meanings.row(self.meanings.difference(equation))
        except (UnknownName, TooLong, ZeroDivisionError):
            return None
        as_drawn = row is not None and all(not self.meanings.home[n][1] for n in row.coefficients)
        return row if row is not None and row.coefficients and as_drawn else None

    def of(self, written: Sequence[Verdict], put: Mapping[int, Linear | None] = _NOTHING) -> Enough:
        """What the equations come to as a set. `put`: rows to take in the place of those at these
        positions; None leaves the equation out."""
        rows = {at: put[at] if at in put else self.row(v.claim.written) for at, v in enumerate(written)}
        known = {at: row for at, row in rows.items() if row is not None}
        as_laws = [v if v.kind in LAWS or sets_up(v) else replace(v, kind=ClaimKind.LOOP) for v in written]
        return enough(self.reading.circuit, self.meanings, as_laws, known)

    def whole(self, written: Sequence[Verdict]) -> bool:
        """Whether the equations are enough, the junction rule taken for granted at the ends of currents
        that the whole working never names."""
        rows = [row for v in written if (row := self.row(v.claim.written)) is not None]
        unknowns = self.reading.enough.needed
        return reduce_rows([*self._granted, *rows], self.meanings.unknowns).rank >= unknowns
