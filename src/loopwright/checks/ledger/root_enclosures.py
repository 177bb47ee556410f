"""The positive roots of a polynomial by enclosures of all its complex ones, which share nothing with the way
in which `algebra` finds them: they count what another route has found.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from flint import acb, fmpz_poly


def enclosed_positive_roots(polynomial: Sequence[int]) -> list[tuple[float, int]]:
    """Each positive root, rounded, with how often it stands. The coefficients begin with the constant."""
    found = cast("list[tuple[acb, int]]", fmpz_poly(list(polynomial)).complex_roots())
    return [(float(root.real), times) for root, times in found if root.imag == 0 and root.real > 0]
