"""Whether a working takes another way than junction and loop equations, and what counts in it.

Parts added up, resistors made one, an equivalent source: none of these writes equations of all branches, and
nothing is missing where they are not written. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...expressions.dimensions import OHM, of_unit
from ...expressions.nodes import Expr, Negative, Number, Parallel, Product, Quotient, Symbol, parts_of
from ...expressions.values import symbols_of
from ..page.equivalents_said import speaks_of_equivalents
from ..reading import Reading
from ..so_far import UNNAMED
from ..verdicts import ClaimKind, Verdict
from .charging import REMOVES_THE_DIFFICULTY
from .own_set import OwnSet, is_cause
from .results import Stated

BY_OTHER_WAY = "the way taken does not need them written"


def by_other_way(reading: Reading, own: OwnSet, results: Sequence[Stated]) -> bool:
    """Whether a working gets its results without a set of junction and loop equations: it speaks of changed
    circuits or of resistors made one and writes no loop equation in several currents, or all that it says is
    right but for one slip, and leads to everything asked."""
    if own.rank >= own.needed or any(_in_several_currents(v, reading) for v in own.written):
        return False
    if takes_apart(reading):
        return True
    slips = {v.line for v in reading.verdicts if is_cause(v)}
    whole = all(v.holds or is_cause(v) or (v.carried and v.cause in slips) for v in reading.verdicts)
    kept = len(slips) < 2 and not any(_removes_all(v) for v in reading.verdicts if is_cause(v))
    return whole and kept and all(s.verdict is not None and _leads(s.verdict) for s in results)


def _removes_all(verdict: Verdict) -> bool:
    """Whether a slip leaves nothing of the way, or it is not known which one it is."""
    return not verdict.repairs or verdict.repairs[0].entry in REMOVES_THE_DIFFICULTY


def takes_apart(reading: Reading) -> bool:
    """Whether a working speaks of changed circuits, of sources that stand for others or of resistors made
    one: what it gets of the whole circuit from these is shown by an operation, and need not follow from laws
    written."""
    spoken = bool(reading.arrows.changed) or speaks_of_equivalents(reading.working)
    made_one = any(name.startswith(UNNAMED) for name in reading.own)
    return spoken or made_one or any(_makes_one(v, reading) for v in reading.verdicts)


def _leads(verdict: Verdict) -> bool:
    return verdict.kind is not ClaimKind.TRUE or is_shown(verdict)


def _in_several_currents(verdict: Verdict, reading: Reading) -> bool:
    """Whether an equation set out from is one of a set to be solved: a loop equation in several currents,
    and no share of one current in another, I2 = I1 R3/(R2 + R3) or I2/I3 = R3/R2, nor two that are alike,
    I4 = I5."""
    written, names = verdict.claim.written, reading.arrows.names
    held = [n for n in symbols_of(written) if n in names]
    right = written.right.body if isinstance(written.right, Negative) else written.right
    share = (
        isinstance(written.left, Symbol | Quotient)
        and isinstance(right, Product | Quotient | Symbol | Number)
        and len(held) == 2
    )
    return verdict.kind in (ClaimKind.LOOP, ClaimKind.UNTRUE) and len(held) > 1 and not share


def _makes_one(verdict: Verdict, reading: Reading) -> bool:
    """Whether a claim makes resistors one: `R23 = ...`, `R2 || R3` in it, or numbers that come to ohms."""
    written, right = verdict.claim.written, verdict.claim.written.right
    if not symbols_of(written) and isinstance(right, Number) and of_unit(right.unit) == OHM:
        return not isinstance(written.left, Number)
    sides = (written.left, written.right)
    own = {*reading.circuit.elements, *reading.circuit.symbols}
    named = any(isinstance(s, Symbol) and s.name[:1] in "Rr" and s.name not in own for s in sides)
    return named or any(isinstance(e, Parallel) for side in sides for e in _within(side))


def _within(expr: Expr) -> Iterator[Expr]:
    yield expr
    for part in parts_of(expr):
        yield from _within(part)


def is_shown(verdict: Verdict) -> bool:
    """Whether a claim shows how its result is got: an operation of symbols or numbers, or another quantity
    that it equals; not one number."""
    written = verdict.claim.written
    if isinstance(written.left, Symbol) and isinstance(written.right, Symbol):
        return True
    return any(parts_of(side) and not _is_number(side) for side in (written.left, written.right))


def _is_number(expr: Expr) -> bool:
    return isinstance(expr, Number) or (len(parts_of(expr)) == 1 and _is_number(parts_of(expr)[0]))
