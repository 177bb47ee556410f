"""In which order the claims of a line are judged: a name that a formula uses and the same line gives behind
it (`I1 = E1/(R1 + Rp), Rp = R2 R3/(R2 + R3)`) comes first."""

from __future__ import annotations

from collections.abc import Collection

from ..expressions.nodes import Symbol
from ..expressions.values import symbols_of
from .own_resistances import is_inverse
from .working import Claim


def judging_order(claims: tuple[Claim, ...], known: Collection[str]) -> tuple[tuple[Claim, ...], ...]:
    """The chains of claims, each before those that use the name it gives. `known`: names that stand for
    something already."""
    chains: list[list[Claim]] = []
    for claim in claims:
        if chains and claim.written.left == chains[-1][-1].written.right:
            chains[-1].append(claim)
        else:
            chains.append([claim])
    placed: list[list[Claim]] = []
    for chain in chains:
        given = _given(chain[0], known)
        at = next((i for i, before in enumerate(placed) if given and _uses(before, given)), len(placed))
        placed.insert(at, chain)
    return tuple(map(tuple, placed))


def _given(first: Claim, known: Collection[str]) -> str:
    """The name to which the first claim of a chain gives its meaning; empty where it gives none."""
    written = first.written
    for name in symbols_of(written.left):
        alone = written.left == Symbol(name) or is_inverse(written.left, name)
        if alone and name not in known and name not in symbols_of(written.right):
            return name
    return ""


def _uses(chain: list[Claim], name: str) -> bool:
    return any(name in symbols_of(claim.written) for claim in chain) and _given(chain[0], ()) != name
