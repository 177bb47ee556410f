"""Networks of a million branches in numbers: one ampere sent through, all potentials and currents.

Beside ours, in the same run: the library that it stands on called directly (SciPy's matrix and conjugate
gradients with approx-chol's factor), and SciPy's SuperLU, the baseline, where its fill leaves it time.
Bar: no slower than the best of them plus 20 %.
"""

from __future__ import annotations

from collections.abc import Callable
from statistics import median

import approx_chol
import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, csc_array, csr_array
from scipy.sparse.linalg import LinearOperator, cg, splu

from benchmarks.timing import compared, times
from loopwright.solve.large_flow import flow
from loopwright.solve.large_network import LargeNetwork, lattice

SLACK = 1.2


def ladder(sections: int) -> LargeNetwork:
    """Two rails and a rung after every section."""
    rails = lattice(2, sections + 1)
    return LargeNetwork(rails.points, rails.starts, rails.ends, rails.resistances)


def random(points: int, branches: int) -> LargeNetwork:
    """A chain through all points in random order, and random branches: no ordering keeps its fill low."""
    chance = np.random.default_rng(1)
    chain = chance.permutation(points)
    others = chance.integers(0, points, (2, branches - points + 1))
    starts, ends = np.concatenate([chain[:-1], others[0]]), np.concatenate([chain[1:], others[1]])
    return LargeNetwork(points, starts, ends, 10 ** chance.uniform(-2, 2, branches))


def driven(network: LargeNetwork) -> LargeNetwork:
    sent = np.zeros(network.points)
    sent[network.points // 2], sent[network.points // 3] = 1, -1
    return LargeNetwork(network.points, network.starts, network.ends, network.resistances, injected=sent)


def matrix_of(network: LargeNetwork) -> csr_array:
    """The conductances between all points but the last, as anybody would write them down."""
    g = 1 / network.resistances
    starts, ends = network.starts, network.ends
    entries = np.concatenate([g, g, -g, -g])
    rows, columns = np.concatenate([starts, ends, starts, ends]), np.concatenate([starts, ends, ends, starts])
    whole = csr_array(coo_array((entries, (rows, columns)), (network.points, network.points)))
    return csr_array(whole[:-1, :-1])


def with_currents(network: LargeNetwork, inner: NDArray[np.float64]) -> NDArray[np.float64]:
    potentials = np.append(inner, 0.0)
    falls: NDArray[np.float64] = potentials[network.starts] - potentials[network.ends]
    return falls / network.resistances


def by_library(network: LargeNetwork) -> NDArray[np.float64]:
    matrix = matrix_of(network)
    factor = approx_chol.factorize(matrix, approx_chol.Config(seed=1))
    operator = LinearOperator(matrix.shape, factor.solve, dtype=np.float64)
    found, _ = cg(matrix, network.injected[:-1], rtol=1e-10, maxiter=500, M=operator)
    return with_currents(network, found)


def by_superlu(network: LargeNetwork) -> NDArray[np.float64]:
    factor = splu(
        csc_array(matrix_of(network)),
        permc_spec="MMD_AT_PLUS_A",
        diag_pivot_thresh=0.0,
        options={"SymmetricMode": True},
    )
    return with_currents(network, factor.solve(network.injected[:-1]))


CASES: dict[str, tuple[Callable[[], LargeNetwork], bool]] = {
    "square lattice 224 x 224": (lambda: lattice(224, 224), True),
    "square lattice 708 x 708": (lambda: lattice(708, 708), True),
    "cubic lattice 24 x 24 x 24": (lambda: lattice(24, 24, 24), True),
    "cubic lattice 70 x 70 x 70": (lambda: lattice(70, 70, 70), False),
    "ladder of 333,333 sections": (lambda: ladder(333_333), True),
    "random, half a million points": (lambda: random(500_000, 1_000_000), False),
}


def run() -> bool:
    """Prints the table; whether the bar is met on every network."""
    met = True
    print("\nLarge networks in numbers, all potentials and currents, medians of 9 (seconds)")
    for name, (make, thin) in CASES.items():
        network = driven(make())
        works: list[Callable[[], object]] = [lambda n=network: flow(n), lambda n=network: by_library(n)]  # type: ignore[misc]
        if thin:
            works.append(lambda n=network: by_superlu(n))  # type: ignore[misc]
        apart = np.abs(flow(network).currents - by_library(network)).max()
        ours, *theirs = times(*works, rounds=9)
        against = compared(ours, min(theirs, key=median), SLACK)
        met = met and against.met
        superlu = f"{median(theirs[1]):7.3f}" if thin else "  fills"
        print(
            f"  {name:30} {len(network.starts):9,} branches: ours {median(ours):7.3f}  library directly"
            f" {median(theirs[0]):7.3f}  SuperLU {superlu}; to the quicker"
            f" {against}; currents within {apart:.0e} A"
        )
    return met
