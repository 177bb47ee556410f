"""Symmetries found in a circuit."""

from __future__ import annotations

from loopwright.checks.ledger.symmetry import symmetries
from tests.sample_circuits import circuit_of


def test_at_most_six_symmetries_are_kept() -> None:
    """Four lamps side by side can be exchanged in 23 ways besides none."""
    lamps = "".join(f'I{n} = "a, R{n}, b"\n' for n in range(1, 5))
    found = symmetries(circuit_of(f'[branches]\n{lamps}I5 = "b, +E1, R5, a"\n'))
    assert len(found) == 6
    assert len({tuple(sorted(s.branches.items())) for s in found}) == 6
