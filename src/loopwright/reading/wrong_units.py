"""A result whose number is right and whose unit is of another kind than what its line gives: `Rth = 10 || 2 =
1.67 V`. That is one slip of units; what is right about the number counts for the lines below."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction

from ..expressions.dimensions import AMPERE, OHM, VOLT, WATT, of_unit
from ..expressions.nodes import Equation, Expr, Negative, Number, Symbol
from ..expressions.said import Said
from ..expressions.tokens import scale_of
from .so_far import SoFar
from .truth.meaning import UnknownName
from .truth.rounding import digits_of, lone
from .truth.size import TooLong
from .verdicts import ClaimKind, Repair, Truth, Verdict
from .working import Claim, WrittenLine

ENTRY = "unit-missing"
_UNIT_OF = {VOLT: "V", AMPERE: "A", OHM: "Ω", WATT: "W"}
_KIND_OF = {"V": "a voltage", "A": "a current", "Ω": "a resistance", "W": "a power"}
SIZE = 0.5  # how unlikely such a slip is


def unit_of_another_kind(
    so_far: SoFar, line: WrittenLine, claim: Claim, judged: Callable[[SoFar, WrittenLine, Claim], Verdict]
) -> Verdict | None:
    """The verdict on a number with a unit of another kind than the name has that its line gives; None for any
    other claim. `judged`: the verdict on a claim, by which it is told whether the number is right."""
    head = so_far.head_of(line, claim)
    number = lone(claim.written.right)
    if not isinstance(head, Symbol) or number is None or not number.unit or not number.value:
        return None
    own = so_far.truths.kind_of(head.name)
    unit = _UNIT_OF.get(own) if own is not None else None
    if unit is None or of_unit(number.unit) in (None, own):
        return None
    readings = list(_in_unit(claim.written, number, unit))
    meant = next((each for each in readings if _is_right(so_far, each)), readings[0])
    verdict = judged(so_far, line, replace(claim, written=meant, otherwise=()))
    if verdict.kind is ClaimKind.UNTRUE and not verdict.carried:
        return replace(verdict, claim=claim)
    what: Said = (head, f" is {_KIND_OF[unit]}: its unit is {unit}, not {number.unit}")
    repair = Repair(ENTRY, what, meant, SIZE)
    said: Said = (*verdict.said, " But the unit is of another kind.") if verdict.carried else ("Not true.",)
    return Verdict(line.number, claim, ClaimKind.UNTRUE, said, repairs=(repair,), cause=line.number)


def _in_unit(written: Equation, number: Number, unit: str) -> Iterator[Equation]:
    """The claim with a number in units of the right kind: with the prefix written, with none, and with
    those that people use."""
    base = number.unit.lstrip("pnµmkMGT")
    prefix = number.unit[: len(number.unit) - len(base)]
    for each in dict.fromkeys((f"{prefix}{unit}", unit, *(f"{p}{unit}" for p in ("k", "m")))):
        right: Expr = Number(_bare(number) * scale_of(each), each, digits_of(number))
        right = right if written.right is number else Negative(right)
        yield Equation(written.left, right, written.relation)


def _is_right(so_far: SoFar, written: Equation) -> bool:
    try:
        found = so_far.truths.value_of(written)
    except (UnknownName, TooLong, ZeroDivisionError):
        return False
    return found is not None and found.truth is not Truth.NO


def _bare(number: Number) -> Fraction:
    """A number in the unit that it is written in."""
    return number.value / scale_of(number.unit)
