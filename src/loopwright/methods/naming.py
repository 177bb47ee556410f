"""Names for the quantities that a method brings in: the trade's, where the circuit leaves them free."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from string import ascii_lowercase

from ..circuit.circuit import Circuit


def taken_names(circuit: Circuit) -> frozenset[str]:
    """Every name that means something in a circuit already."""
    return frozenset((*circuit.symbols, *circuit.currents, *circuit.elements, *circuit.named_points))


def free_name(taken: Collection[str], wanted: str) -> str:
    """The name wanted, with primes where it is taken."""
    return next(n for n in (wanted + "′" * k for k in range(len(taken) + 1)) if n not in taken)


def primed_currents(circuit: Circuit, primes: int) -> dict[str, str]:
    """The branch currents with so many primes, more where these are taken."""
    taken, ending = taken_names(circuit), "′" * primes
    while any(name + ending in taken for name in circuit.currents):
        ending += "′" * (primes + len(circuit.currents))
    return {name: name + ending for name in circuit.currents}


def loop_current_names(circuit: Circuit, count: int) -> tuple[str, ...]:
    """`Ia`, `Ib`, ... for currents round loops; `K1`, `K2`, ... where one of these is taken."""
    lettered = tuple("I" + letter for letter in ascii_lowercase[:count])
    if count <= len(ascii_lowercase) and taken_names(circuit).isdisjoint(lettered):
        return lettered
    return free_names(circuit, "K", [str(k + 1) for k in range(count)])


def free_names(circuit: Circuit, letter: str, endings: Sequence[str]) -> tuple[str, ...]:
    """A name for each ending (`K1`, `K2`), with the letter written as often as it takes for all to be
    free."""
    taken, before = taken_names(circuit), letter
    while not taken.isdisjoint(before + ending for ending in endings):
        before += letter
    return tuple(before + ending for ending in endings)
