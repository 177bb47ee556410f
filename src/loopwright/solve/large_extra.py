"""The libraries of the extra `large`, which only networks far past a classroom need.

Loaded here and nowhere else: where they are missing, one sentence says what to install.
"""

from __future__ import annotations

from ..errors import MissingExtra

try:
    import approx_chol
    from scipy.sparse import coo_array, csr_array
    from scipy.sparse.csgraph import connected_components
except ModuleNotFoundError:
    raise MissingExtra("Networks of up to a million branches need SciPy and approx-chol.", "large") from None

__all__ = ["approx_chol", "connected_components", "coo_array", "csr_array"]
