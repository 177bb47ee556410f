"""Potentials, currents and resistances between points of networks up to a million branches, in numbers.

The matrix of conductances between the points (node potentials) is symmetric and positive once one
point of each part is held at zero. It is factored approximately, by sampling what elimination would
fill in (Kyng and Sachdeva, "Approximate Gaussian elimination for Laplacians", FOCS 2016; Gao, Kyng and
Spielman, SIAM J. Sci. Comput. 2025: from the library's own references), and conjugate gradients with
that factor go on until what is left over at the points is rounding. Where every other route through
a thick network drowns in fill, this one stays near linear; `benchmarks/large_networks` compares.

Plain wires are merged into their points, open branches left out; every part of a network that hangs
together is worked by itself. Same input, same bytes: the sampling has a fixed seed.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import approx_chol
import numpy as np
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import connected_components

from ..errors import FaultyMaterial
from ..findings import Finding
from .large_network import Floats, Network, Whole

_CLOSE = 1e-10  # where conjugate gradients stop: what is left over, against what is sent in
_ENOUGH = 1e-9  # what may be left over at any one point, against the greatest current sent in, ...
_ROUNDING = 1e-13  # ... or against the terms of its junction rule: that much is rounding
_ROUNDS = 3  # conjugate gradients are begun afresh from where they stopped
_FEW = 10  # steps of a factor that is nearly exact, as in ladders: there one more round costs next to nothing
_STEPS = 500  # of conjugate gradients in one round; some forty are usual
_SEED = 1
_SLACK = 1e-9  # by how much emfs round a loop of plain wires may differ from zero, against the greatest


@dataclass(frozen=True, slots=True, eq=False)
class Flow:
    """What flows in a network.

    `potentials`: volts, by point, against the first point of each part. `currents`: amperes, by branch,
    along its arrow. `parts`: the number of the connected part of each point (open branches join
    nothing). `left_over`: the greatest current that the junction rule misses at any point, as a share
    of the greatest current sent in: the error of the method, 1e-10 or less in the usual case.
    """

    potentials: Floats
    currents: Floats
    parts: Whole
    left_over: float


def flow(network: Network) -> Flow:
    """All potentials and currents of a network in numbers.

    Where plain wires make a loop, the current divides as if all of them were alike. Raises
    FaultyMaterial when the currents injected into a part do not sum to zero, when batteries without
    resistance contradict one another, and when the resistances lie too far apart for the method.
    """
    starts, ends, wires = network.starts, network.ends, network.resistances == 0
    short = _Conductances(network.points, starts[wires], ends[wires], np.ones(int(wires.sum())))
    above = _above(short, network.emfs[wires])
    merged, conductances = _between_places(network, short)
    driven = conductances * (network.emfs + above[starts] - above[ends])
    place = short.parts
    outside = _summed(place, network.injected, merged.points)
    merged.check_balance(outside)
    potentials, left_over = merged.solve(outside - merged.sent_out(driven))
    currents = conductances * merged.falls(potentials) + driven
    if wires.any():
        missing = network.injected - _sent_out(network.points, starts, ends, currents)
        through, rest = short.solve(missing)
        currents[wires] = short.falls(through)
        left_over = max(left_over, rest)
    potentials = potentials[place] + above
    parts = merged.parts[place]
    _, first = np.unique(parts, return_index=True)
    return Flow(potentials - potentials[first[parts]], currents, parts, left_over)


def resistances(network: Network, pairs: Iterable[tuple[int, int]]) -> Floats:
    """The resistance seen between the two points of each pair with every source at rest: ohms; infinity
    where no path joins them. The network is factored once for all pairs."""
    wires = network.resistances == 0
    short = _Conductances(
        network.points, network.starts[wires], network.ends[wires], np.ones(int(wires.sum()))
    )
    merged, _ = _between_places(network, short)
    return np.array([merged.seen(int(short.parts[a]), int(short.parts[b])) for a, b in pairs])


def _between_places(network: Network, short: _Conductances) -> tuple[_Conductances, Floats]:
    """The network with every part that plain wires join made one place, and the conductance of each
    branch (0 for wires and open branches)."""
    passing = np.where(network.resistances == 0, np.inf, network.resistances)
    conductances = 1 / passing
    place = short.parts
    return _Conductances(short.count, place[network.starts], place[network.ends], conductances), conductances


def _above(short: _Conductances, emfs: Floats) -> Floats:
    """By how much each point lies above the first one that plain wires and batteries without resistance
    join it to. Raises FaultyMaterial when such batteries contradict one another."""
    if not emfs.any():
        return np.zeros(len(short.parts))
    above, _ = short.solve(-short.sent_out(emfs))
    amiss = np.abs(short.falls(above) + emfs)
    if amiss.max() > _SLACK * np.abs(emfs).max():
        a, b = int(short.starts[amiss.argmax()]), int(short.ends[amiss.argmax()])
        raise FaultyMaterial(
            Finding(
                "solve/emfs-disagree",
                f"Round a loop without resistance through points {a} and {b} the emfs do not sum to zero.",
                "Give one of its batteries an inside resistance, or take it out.",
            )
        )
    return above


def _sent_out(points: int, starts: Whole, ends: Whole, currents: Floats) -> Floats:
    """The sum of the currents that leave each point, those that arrive counted negative."""
    return _summed(starts, currents, points) - _summed(ends, currents, points)


def _summed(places: Whole, amounts: Floats, points: int) -> Floats:
    """What each place gets of these amounts."""
    return np.bincount(places, amounts, points).astype(np.float64, copy=False)


def _product(one: Floats, other: Floats) -> float:
    return float(np.einsum("i,i", one, other))


class _Conductances:
    """The matrix of conductances between points, factored; one point of each part is held at zero."""

    def __init__(self, points: int, starts: Whole, ends: Whole, conductances: Floats) -> None:
        self.points, self.starts, self.ends = points, starts, ends
        live = (conductances > 0) & (starts != ends)
        one, other, between = starts[live], ends[live], conductances[live]
        joined = csr_array(coo_array((between, (one, other)), (points, points)))
        self.count, self.parts = connected_components(joined, directed=False)
        meeting = _summed(one, between, points) + _summed(other, between, points)
        self.free = np.ones(points, bool)
        self.free[self._grounds(meeting)] = False
        row = np.cumsum(self.free, dtype=np.int32) - 1
        meeting = meeting[self.free]
        inner = self.free[one] & self.free[other]
        a, b, off = row[one[inner]], row[other[inner]], -between[inner]
        diagonal = np.arange(len(meeting), dtype=np.int32)
        entries = np.concatenate([off, off, meeting])
        places = (np.concatenate([a, b, diagonal]), np.concatenate([b, a, diagonal]))
        self.matrix = csr_array(coo_array((entries, places), (len(meeting), len(meeting))))
        self.meeting = meeting
        if self.meeting.size:
            self.factor = approx_chol.factorize(self.matrix, approx_chol.Config(seed=_SEED))

    def _grounds(self, meeting: Floats) -> Whole:
        """The point of each part at which most conductance meets: held at zero, it steadies the rest."""
        if self.count == 1:
            return np.array([meeting.argmax()], np.int32)
        order = np.lexsort((-meeting, self.parts)) if self.count < self.points else np.arange(self.points)
        _, first = np.unique(self.parts[order], return_index=True)
        return order[first].astype(np.int32)

    def falls(self, potentials: Floats) -> Floats:
        """The potential at each branch's start minus that at its end."""
        return potentials[self.starts] - potentials[self.ends]

    def sent_out(self, currents: Floats) -> Floats:
        """The sum of these branch currents out of each point."""
        return _sent_out(self.points, self.starts, self.ends, currents)

    def check_balance(self, injected: Floats) -> None:
        """Raises FaultyMaterial when the currents injected into a part do not sum to zero."""
        sums = np.bincount(self.parts, injected, self.count)
        amiss = np.abs(sums) > _CLOSE * np.bincount(self.parts, np.abs(injected), self.count)
        if amiss.any():
            part = int(amiss.argmax())
            raise FaultyMaterial(
                Finding(
                    "solve/injection-has-no-way-out",
                    f"The currents injected into the part of point {(self.parts == part).argmax()} sum to "
                    f"{sums[part]:.3g} A instead of zero.",
                    "Take out at its points as much as is sent in.",
                )
            )

    def solve(self, injected: Floats) -> tuple[Floats, float]:
        """The potentials that these currents into the points make, and the greatest current left over at
        a point as a share of the greatest injected one."""
        potentials = np.zeros(self.points)
        right = injected[self.free]
        if not right.any():
            return potentials, 0.0
        found = np.zeros(len(right))
        rest = right
        for rounds in range(_ROUNDS):
            better, steps = self._descended(rest)
            found = found + better
            rest = right - self.matrix @ found
            share = float(np.abs(rest).max() / np.abs(right).max())
            if share <= _ENOUGH and (steps > _FEW or rounds):
                break
        size = np.abs(found)
        terms = 2 * self.meeting * size - self.matrix @ size + np.abs(right)
        if share <= _ENOUGH or (np.abs(rest) <= _ROUNDING * terms).all():
            potentials[self.free] = found
            return potentials, share
        raise FaultyMaterial(
            Finding(
                "solve/resistances-too-far-apart",
                f"The resistances lie so far apart that {share:.1g} of the current stays unaccounted for.",
                "Make the least resistances plain wires (0) and the greatest open (infinity).",
            )
        )

    def _descended(self, right: Floats) -> tuple[Floats, int]:
        """Conjugate gradients with the factor (Hestenes and Stiefel, J. Res. NBS 49, 409, 1952): found, steps.

        Written out here because the sums of products must come out the same on any number of cores, and
        the library's, which go through threads, took ten times as long beside other work (2026-11)."""
        found = np.zeros(len(right))
        rest = right.copy()
        goal = _CLOSE**2 * _product(right, right)
        along = np.zeros(0)
        before = 1.0
        steps = 0
        while steps < _STEPS and _product(rest, rest) > goal:
            steps += 1
            better = self.factor.solve(rest)
            now = _product(rest, better)
            along = better + now / before * along if along.size else better
            through = self.matrix @ along
            step = now / _product(along, through)
            found += step * along
            rest -= step * through
            before = now
        return found, steps

    def seen(self, a: int, b: int) -> float:
        """The resistance between two points, from one ampere sent in at a and taken out at b.

        The potential difference is taken with what it leaves over, which makes the error quadratic in
        that of the potentials (Rayleigh's quotient; textbook, from memory)."""
        if a == b:
            return 0.0
        if self.parts[a] != self.parts[b]:
            return np.inf
        probe = np.zeros(self.points)
        probe[a], probe[b] = 1, -1
        potentials, _ = self.solve(probe)
        inside, right = potentials[self.free], probe[self.free]
        return _product(inside, 2 * right - self.matrix @ inside)
