"""Potentials, currents and resistances between points of networks up to a million branches, in numbers.

The matrix of conductances between the points (node potentials) is symmetric and positive once one
point of each part is held at zero. It is factored approximately, by sampling what elimination would
fill in (Kyng and Sachdeva, "Approximate Gaussian elimination for Laplacians", FOCS 2016; Gao, Kyng and
Spielman, SIAM J. Sci. Comput. 2025: from the library's own references), and conjugate gradients with
that factor go on until what is left over at the points is rounding. Where every other route through
a thick network drowns in fill, this one stays near linear; `benchmarks/large_networks` compares.

Plain wires are merged into their points, open branches left out; every part of a network that hangs
together is worked by itself. Same input, same bytes: the sampling has a fixed seed.
Importing this raises MissingExtra where Loopwright was installed without its extra (`loopwright[large]`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..errors import FaultyMaterial
from ..findings import Finding
from .large_extra import approx_chol, connected_components, coo_array, csr_array
from .large_network import Floats, LargeNetwork, Whole

_CLOSE = 1e-10  # where conjugate gradients stop: what is left over, against what is sent in
_CLOSER = 1e-2  # the same for a round more, which begins with what the round before left over
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


def flow(network: LargeNetwork) -> Flow:
    """All potentials and currents of a network in numbers.

    Where plain wires make a loop, the current divides as if all of them were alike. Raises
    FaultyMaterial when the currents injected into a part do not sum to zero, when batteries without
    resistance contradict one another, and when the resistances lie too far apart for the method.
    """
    wires = network.resistances == 0
    if not wires.any():
        return _flow_through_resistors(network)
    starts, ends, short = network.starts, network.ends, _joined_by(network, wires)
    above = _above(short, network.emfs[wires])
    emfs = np.where(wires, 0.0, network.emfs + above[starts] - above[ends])
    found = _flow_through_resistors(_drawn_together(network, wires, short, emfs))
    missing = network.injected - _sent_out(network.points, starts, ends, found.currents)
    through, rest = short.solve(missing)
    found.currents[wires] = short.falls(through)
    parts = found.parts[short.parts]
    potentials = _against_first(found.potentials[short.parts] + above, parts)
    return Flow(potentials, found.currents, parts, max(found.left_over, rest))


def resistances(network: LargeNetwork, pairs: Iterable[tuple[int, int]]) -> Floats:
    """The resistance seen between the two points of each pair with every source set to zero: ohms; infinity
    where no path joins them. The network is factored once for all pairs."""
    wires = network.resistances == 0
    short = _joined_by(network, wires)
    merged = _conductances_of(_drawn_together(network, wires, short, np.zeros(0)))
    return np.array([merged.seen(int(short.parts[a]), int(short.parts[b])) for a, b in pairs])


def _flow_through_resistors(network: LargeNetwork) -> Flow:
    """The flow in a network without plain wires."""
    matrix = _conductances_of(network)
    injected = network.injected
    matrix.check_balance(injected)
    driven = network.emfs / network.resistances if network.emfs.any() else np.zeros(0)
    if driven.size:
        injected = injected - matrix.sent_out(driven)
    potentials, left_over = matrix.solve(injected)
    currents = matrix.falls(potentials) / network.resistances
    if driven.size:
        currents += driven
    return Flow(_against_first(potentials, matrix.parts), currents, matrix.parts, left_over)


def _conductances_of(network: LargeNetwork) -> _Conductances:
    return _Conductances(network.points, network.starts, network.ends, 1 / network.resistances)


def _joined_by(network: LargeNetwork, wires: NDArray[np.bool_]) -> _Conductances:
    """The wires by themselves, as if all were alike; their parts are the places that they make one."""
    return _Conductances(
        network.points, network.starts[wires], network.ends[wires], np.ones(int(wires.sum()))
    )


def _drawn_together(
    network: LargeNetwork, wires: NDArray[np.bool_], short: _Conductances, emfs: Floats
) -> LargeNetwork:
    """The network with every part that wires join made one point, and the wires themselves open."""
    place = short.parts
    injected = _summed(place, network.injected, short.count)
    ohms = np.where(wires, np.inf, network.resistances)
    return LargeNetwork(short.count, place[network.starts], place[network.ends], ohms, emfs, injected)


def _against_first(potentials: Floats, parts: Whole) -> Floats:
    """The potentials against that of the first point of each part."""
    if not parts.any():
        return potentials - potentials[:1]
    _, first = np.unique(parts, return_index=True)
    return potentials - potentials[first[parts]]


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
                "Give one of its batteries an internal resistance, or take it out.",
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
    """The matrix of conductances between points (siemens), factored, for solving with many right-hand
    sides. One point of each part is held at zero volts by a conductance to earth; it carries nothing, since
    what is sent into a part comes out of it again."""

    def __init__(self, points: int, starts: Whole, ends: Whole, conductances: Floats) -> None:
        self.points, self.starts, self.ends = points, starts, ends
        live = (conductances > 0) & (starts != ends)
        one, other, between = starts, ends, conductances
        if not live.all():
            one, other, between = starts[live], ends[live], conductances[live]
        if not len(one):
            self.count, self.parts = points, np.arange(points, dtype=np.int32)
            return
        joined = csr_array(coo_array((between, (one, other)), (points, points)))
        self.count, self.parts = connected_components(joined, directed=False)
        self.diagonal = _summed(one, between, points) + _summed(other, between, points)
        grounds = self._grounds()
        self.diagonal[grounds] += np.where(self.diagonal[grounds] > 0, self.diagonal[grounds], 1.0)
        every = np.arange(points, dtype=np.int32)
        entries = np.concatenate([-between, -between, self.diagonal])
        places = (np.concatenate([one, other, every]), np.concatenate([other, one, every]))
        self.matrix = csr_array(coo_array((entries, places), (points, points)))
        self.factor = approx_chol.factorize(self.matrix, approx_chol.Config(seed=_SEED))

    def _grounds(self) -> Whole:
        """The point of each part at which most conductance meets: held at zero, it steadies the rest."""
        if self.count == 1:
            return np.array([self.diagonal.argmax()], np.int32)
        order = np.lexsort((-self.diagonal, self.parts))
        _, first = np.unique(self.parts[order], return_index=True)
        return order[first].astype(np.int32)

    def falls(self, potentials: Floats) -> Floats:
        """The potential at each branch's start minus that at its end."""
        return potentials[self.starts] - potentials[self.ends]

    def sent_out(self, currents: Floats) -> Floats:
        """The sum of these branch currents out of each point."""
        return _sent_out(self.points, self.starts, self.ends, currents)

    def _by_part(self, amounts: Floats) -> Floats:
        """The sum of these amounts, one for each point, in every part."""
        return np.array([amounts.sum()]) if self.count == 1 else _summed(self.parts, amounts, self.count)

    def check_balance(self, injected: Floats) -> None:
        """Raises FaultyMaterial when the currents injected into a part do not sum to zero."""
        sums, sizes = self._by_part(injected), self._by_part(np.abs(injected))
        amiss = np.abs(sums) > _CLOSE * sizes
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
        found = np.zeros(self.points)
        if not injected.any():
            return found, 0.0
        rest = injected
        for rounds in range(_ROUNDS):
            better, steps = self._descended(rest, _CLOSE if not rounds else _CLOSER)
            found = found + better
            rest = injected - self.matrix @ found
            share = float(np.abs(rest).max() / np.abs(injected).max())
            if share <= _ENOUGH and (steps > _FEW or rounds):
                break
        if share <= _ENOUGH or (np.abs(rest) <= _ROUNDING * self._terms(found, injected)).all():
            return found, share
        raise FaultyMaterial(
            Finding(
                "solve/resistances-too-far-apart",
                f"The resistances lie so far apart that {share:.1g} of the current stays unaccounted for.",
                "Make the least resistances plain wires (0) and the greatest open (infinity).",
            )
        )

    def _terms(self, potentials: Floats, right: Floats) -> Floats:
        """For each point the sum of the sizes of all terms in its junction rule: by it rounding is told
        from error."""
        size = np.abs(potentials)
        terms: Floats = 2 * self.diagonal * size - self.matrix @ size + np.abs(right)
        return terms

    def _descended(self, right: Floats, close: float) -> tuple[Floats, int]:
        """Potentials by conjugate gradients with the factor (Hestenes and Stiefel, J. Res. NBS 49, 409,
        1952), until what is left over is at most the share `close` of what is sent in (root of the sum of
        squares); and how many steps that took.

        Written out here because the sums of products must come out the same on any number of cores, and the
        library's, which go through threads, took ten times as long beside other work (2026-11).
        """
        found = np.zeros(len(right))
        rest = right.copy()
        goal = close**2 * _product(right, right)
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
        return _product(potentials, 2 * probe - self.matrix @ potentials)
