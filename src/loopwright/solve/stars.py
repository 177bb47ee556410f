"""Points eliminated one at a time, each step by named quantities.

A star of conductances is replaced by the mesh that does the same at its tips; the star's potential is
the mean of its neighbours', weighed by conductance (star and mesh: A. Rosen, J. IEE 62, 916, 1924;
from memory). Points that an ideal battery or a wire joins are one, lifted by its emf.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..expressions.nodes import ONE, ZERO, Expr, Negative, Sum, Symbol, add, negate, over, times
from ..expressions.said import Said
from .collapse import Edge, signed
from .named_lines import Naming

Lift = tuple[tuple[Expr, int], ...]  # emfs added and taken away
Pair = tuple[str, str]


class Stars:
    """The points of a connected part in the course of being eliminated, and of finding their potentials
    again.

    Points that a wire or an ideal battery joins are one: `into` tells for each point the one it counts as,
    `lift` the emfs by which its potential lies above that one's. Between points stand conductances
    (siemens), into points are sent currents (amperes), both as expressions. `level`: the potentials found
    so far.
    """

    def __init__(self, edges: Sequence[Edge], naming: Naming) -> None:
        self.edges, self.naming = edges, naming
        points = dict.fromkeys(p for e in edges for p in (e.start, e.end))
        self.into: dict[str, str] = {p: p for p in points}
        self.lift: dict[str, Lift] = dict.fromkeys(points, ())
        self.level: dict[str, Expr] = {}
        self._between: dict[Pair, list[Expr]] = {}
        self._sent: dict[str, list[Expr]] = {}
        self._gone: list[tuple[str, Expr, list[Expr], list[tuple[str, Expr]]]] = []
        for e in edges:
            if e.resistance is None:
                self._join(e)

    def _join(self, e: Edge) -> None:
        """Makes the two points of an edge without resistance one; the potential at its end is that at its
        start plus the emf, which is kept as a lift."""
        one, other = self.into[e.start], self.into[e.end]
        lift = (*self.lift[e.start], *_turned(self.lift[e.end]), *(((e.emf, 1),) if e.emf else ()))
        for p, at in self.into.items():
            if at == other:
                self.into[p], self.lift[p] = one, _netted((*self.lift[p], *lift))

    def rise(self, e: Edge) -> Lift:
        """The emfs that drive a current along an edge, with signs: its own, and those by which its ends are
        lifted above the points they count as."""
        return _netted((*self.lift[e.start], *_turned(self.lift[e.end]), *(((e.emf, 1),) if e.emf else ())))

    # -- towards the last points -----------------------------------------------------------------

    def conduct(self) -> None:
        """Gives each resistance between two points its conductance under a name; an emf in series with it
        becomes the current it would drive, sent into the point ahead."""
        for e in self.edges:
            one, other = self.into[e.start], self.into[e.end]
            if e.resistance is None or one == other:
                continue
            digits = e.resistance.name[1:] if isinstance(e.resistance, Symbol) else ""
            name = self.naming.numbered("G", digits)
            g = self.naming.give(name, over(ONE, e.resistance), "conductance")
            self._between.setdefault(_pair(one, other), []).append(g)
            if rise := _sum(self.rise(e)):
                self.send(e.start, e.end, times(g, rise))

    def send(self, start: str, end: str, current: Expr) -> None:
        """A current taken out at one point and sent in at another."""
        for point, sign in ((start, -1), (end, 1)):
            self._sent.setdefault(self.into[point], []).append(signed(current, sign))

    def eliminate(self, kept: Sequence[str]) -> None:
        """Eliminates all points but those kept, the one with the fewest neighbours first."""
        left = [p for p in dict.fromkeys(self.into.values()) if p not in kept]
        while left:
            point = min(left, key=lambda p: (self._cost(p), left.index(p)))
            left.remove(point)
            self._star(point)

    def between(self, one: str, other: str) -> Expr:
        """The conductance that stands between two points."""
        return add(*self._between.get(_pair(one, other), [ZERO]))

    def _neighbours(self, point: str) -> list[str]:
        return [b if a == point else a for a, b in self._between if point in (a, b)]

    def _cost(self, point: str) -> int:
        """How many lines the elimination of a point adds: one for each pair of its neighbours, and one for
        each neighbour where a current is sent into the point."""
        tips = len(self._neighbours(point))
        return tips * (tips - 1) // 2 + (tips if self._sent.get(point) else 0)

    def _star(self, point: str) -> None:
        """Eliminates one point: the conductances that meet there are replaced by one between each two of
        its neighbours, and what is sent into it is divided among them."""
        tips = self._neighbours(point)
        rays = [(tip, self._named(_pair(point, tip))) for tip in tips]
        sent = self._sent.pop(point, [])
        whole: Expr = rays[0][1]
        if len(rays) > 1:
            why: Said = (f"All that meets at {point}.",)
            total = add(*(g for _, g in rays))
            whole = self.naming.give(self.naming.numbered("S"), total, "conductance", why)
        if len(sent) > 1 and rays:
            given = self.naming.give(self.naming.numbered("J"), ordered(sent), "current")
            sent = [given]
        for i, (tip, g) in enumerate(rays):
            del self._between[_pair(point, tip)]
            for other, h in rays[:i]:
                self._between.setdefault(_pair(tip, other), []).append(over(times(h, g), whole))
            for current in sent:
                share = current if len(rays) == 1 else over(times(g, current), whole)
                self._sent.setdefault(tip, []).append(share)
        self._gone.append((point, whole, sent, rays))

    def _named(self, pair: Pair) -> Expr:
        """The conductance between two points under one name."""
        parts = self._between[pair]
        if len(parts) == 1 and isinstance(parts[0], Symbol):
            return parts[0]
        return self.naming.give(self.naming.numbered("G"), add(*parts), "conductance")

    # -- and back --------------------------------------------------------------------------------

    def put_back(self, ground: str) -> None:
        """Writes down the potentials against `ground` of the points eliminated, last one first, from those
        of their neighbours. The points that were kept must have theirs already."""
        self.level.setdefault(ground, ZERO)
        for point, whole, sent, rays in reversed(self._gone):
            pulled = [times(g, level) for tip, g in rays if (level := self.level[tip]) != ZERO]
            if len(rays) == 1:
                pulled = [level for tip, _ in rays if (level := self.level[tip]) != ZERO]
                sent = [over(current, whole) for current in sent]
                body = add(*pulled, *sent) if pulled or sent else ZERO
            else:
                body = over(ordered([*sent, *pulled]), whole) if pulled or sent else ZERO
            self.give_level(point, ground, body)

    def give_level(self, point: str, ground: str, body: Expr, why: Said = ()) -> None:
        """Writes down the potential of one point against another."""
        if body == ZERO:
            self.level[point] = ZERO
            return
        self.level[point] = self.naming.give(f"V({point}, {ground})", body, "potential", why)

    def current(self, e: Edge) -> Expr:
        """The current along an edge with resistance: the potential difference and the emfs that drive it,
        over the resistance."""
        one, other = self.into[e.start], self.into[e.end]
        terms = [] if one == other else [self.level[one], negate(self.level[other])]
        pushed = [signed(x, s) for x, s in self.rise(e)]
        return over(ordered([t for t in (*terms, *pushed) if t != ZERO]), e.resistance or ONE)


def _pair(one: str, other: str) -> Pair:
    return (one, other) if one <= other else (other, one)


def _turned(lift: Lift) -> Lift:
    return tuple((x, -s) for x, s in lift)


def _netted(lift: Lift) -> Lift:
    """The same lift without pairs of an emf added and the same taken away."""
    left: list[tuple[Expr, int]] = []
    for x, s in lift:
        if (x, -s) in left:
            left.remove((x, -s))
        else:
            left.append((x, s))
    return tuple(left)


def _sum(lift: Lift) -> Expr | None:
    return ordered([signed(x, s) for x, s in lift]) if lift else None


def ordered(terms: Sequence[Expr]) -> Expr:
    """The sum with what is added before what is taken away."""
    flat = [t for term in terms for t in (term.terms if isinstance(term, Sum) else (term,))]
    return add(*sorted(flat, key=lambda term: isinstance(term, Negative))) if flat else ZERO
