"""How a current divides in a loop whose resistances all vanish: by the ratio in which they vanish.

With the resistances of the loop's branches at x p, x q, ... and x going to 0, the drops round the
loop must still add to zero: that fixes the one current which the rest of the circuit leaves open.
Stands on `circuit` and `algebra`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ...algebra.ratios import Field, Ratio
from ...circuit.circuit import Circuit

_LETTERS = ("p", "q", "n", "k", "m", "s", "t", "u", "w", "b", "c", "d", "f", "g", "h", "a")


@dataclass(frozen=True, slots=True)
class CurrentSplit:
    """The currents of a loop without resistance, by how its last resistances vanish.

    `shares`: branch -> the symbol p in its resistance x p. `factor`: the symbol x. `currents`: every
    branch of the loop -> its current in the limit, in the symbols of the circuit and the shares.
    `fixed`: sums of the loop's currents that do not depend on the split, as (branch -> sign, value).
    """

    shares: Mapping[str, str]
    factor: str
    currents: Mapping[str, Ratio]
    fixed: tuple[tuple[Mapping[str, int], Ratio], ...]


def loop_emf(circuit: Circuit, loop: Mapping[str, int]) -> Ratio:
    """The sum of the emfs met going once round."""
    total = circuit.field.zero
    for name, sense in loop.items():
        total = total + circuit.rise(name).at({}, circuit.field) * sense
    return total


def share_symbols(circuit: Circuit, names: Sequence[str]) -> tuple[dict[str, str], str, Field]:
    """A symbol for each branch, the symbol x, and a field that has them beside the circuit's own."""
    taken = {*circuit.field.symbols, *circuit.symbols, *circuit.currents, *circuit.named_points}
    letters = [letter for letter in _LETTERS if letter not in taken]
    shares = dict(zip(names, letters, strict=False))
    factor = next(name for name in ("x", "y", "z", "x0") if name not in taken)
    return shares, factor, Field((*circuit.field.symbols, *shares.values(), factor))


def split_of(
    at_rest: Mapping[str, Ratio], loop: Mapping[str, int], shares: Mapping[str, str], factor: str
) -> CurrentSplit:
    """The split round `loop` when the branches of `shares` hold the last resistances.

    `at_rest`: the currents when the loop is cut at one place, one solution of many, in a field that
    has the symbols of the shares.
    """
    field = at_rest[next(iter(loop))].field
    dropped, whole = field.zero, field.zero
    for name, letter in shares.items():
        share = field.symbol(letter)
        dropped = dropped + share * loop[name] * at_rest[name]
        whole = whole + share
    extra = -dropped / whole
    currents = {name: at_rest[name] + extra * sense for name, sense in loop.items()}
    return CurrentSplit(shares, factor, currents, fixed_sums(at_rest, loop))


def fixed_sums(
    at_rest: Mapping[str, Ratio], loop: Mapping[str, int]
) -> tuple[tuple[Mapping[str, int], Ratio], ...]:
    """What the split leaves fixed: for each two branches that follow one another in the loop, the sum or
    difference of their currents in which a current round the loop cancels, as (branch -> sign), and its
    value."""
    found: list[tuple[Mapping[str, int], Ratio]] = []
    names = tuple(loop)
    for one, other in pairwise(names):
        signs = {one: 1, other: -loop[one] * loop[other]}
        found.append((signs, at_rest[one] + at_rest[other] * signs[other]))
    return tuple(found)
