"""A network with its series and parallel parts made one, and the way back from the whole to the parts.

An edge is a resistance, perhaps with an emf, between two points: a branch of the circuit or several
that have been made one. Two in series carry one current; those in parallel share one voltage, and
their currents are as the others' conductances (with emfs: Millman's theorem, J. Millman, Proc. IRE 28,
413, 1940; from memory). Every equality is written down as a line with a name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..expressions.nodes import ZERO, Expr, Negative, Parallel, Sum, Symbol, add, negate, over, times
from ..expressions.order import added, arranged_terms
from ..expressions.said import Said
from .named_lines import Naming


@dataclass(frozen=True, slots=True)
class Edge:
    """What lies between two points as one resistance, perhaps with an emf: a branch of the circuit, or
    several in series or in parallel that have been made one.

    `resistance`: None for a plain wire or an ideal battery. `emf`: its rise from `start` to `end`; None
    where there is none. `name`: the current of a branch; empty for edges made of several. `parts`: the
    edges it was made of, each with +1 where it runs from `start` to `end` and −1 where against; `in_series`
    tells which of the two ways they lie.
    """

    start: str
    end: str
    resistance: Expr | None
    emf: Expr | None = None
    name: str = ""
    parts: tuple[tuple[Edge, int], ...] = ()
    in_series: bool = False

    @property
    def ends(self) -> frozenset[str]:
        """Its two points, whichever comes first."""
        return frozenset((self.start, self.end))

    def other(self, point: str) -> str:
        """Its end that is not `point`."""
        return self.end if point == self.start else self.start


def collapsed(edges: Sequence[Edge], fast: frozenset[str], naming: Naming, *, sources: bool) -> list[Edge]:
    """The edges with everything in series or in parallel made one, again and again until nothing is. What
    is made one gets a line in `naming`.

    `fast`: points that are not to vanish between two edges in series. `sources`: whether edges with an emf
    are put in parallel as well.
    """
    left = list(edges)
    while True:
        smaller = _parallel(left, naming, sources=sources)
        if smaller is None:
            smaller = _series(left, fast, naming)
        if smaller is None:
            return left
        left = smaller


def _parallel(edges: list[Edge], naming: Naming, *, sources: bool) -> list[Edge] | None:
    """The edges with the first set that lies side by side made one; None where none do."""
    for first in edges:
        beside = [
            e
            for e in edges
            if e.ends == first.ends and e.resistance is not None and (sources or e.emf is None)
        ]
        if len(beside) < 2 or first not in beside:
            continue
        start, end = first.start, first.end
        parts = tuple((e, 1 if e.start == start else -1) for e in beside)
        shares = [e.resistance for e in beside if e.resistance is not None]
        body = Parallel(tuple(arranged_terms(shares)))
        why: Said = (f"In parallel between {start} and {end}.",)
        whole = naming.give(naming.lettered("R"), body, "resistance", why)
        emf: Expr | None = None
        if any(e.emf is not None for e in beside):
            pushed = [signed(over(e.emf, e.resistance or whole), s) for e, s in parts if e.emf is not None]
            why = ("What the emfs side by side come to (Millman).",)
            emf = naming.give(naming.lettered("E"), times(whole, add(*pushed)), "emf", why)
        made = Edge(start, end, whole, emf, parts=parts)
        return [made if e is first else e for e in edges if e is first or e not in beside]
    return None


def _series(edges: list[Edge], fast: frozenset[str], naming: Naming) -> list[Edge] | None:
    """The edges with the first two in series made one; None where none are."""
    at: dict[str, list[Edge]] = {}
    for e in edges:
        at.setdefault(e.start, []).append(e)
        at.setdefault(e.end, []).append(e)
    for point, met in at.items():
        if point in fast or len(met) != 2 or met[0].ends == met[1].ends:
            continue
        one, two = met
        start, end = one.other(point), two.other(point)
        parts = (*_flat(one, 1 if one.start == start else -1), *_flat(two, 1 if two.end == end else -1))
        shares = [e.resistance for e in met if e.resistance is not None]
        total = added(*shares) if shares else None
        if isinstance(total, Sum) and len(total.terms) > 2:
            total = naming.give(naming.lettered("R"), total, "resistance", ("In series.",))
        rises = [signed(e.emf, s) for e, s in parts if e.emf is not None]
        made = Edge(start, end, total, add(*rises) if rises else None, parts=parts, in_series=True)
        return [made if e is one else e for e in edges if e is not two]
    return None


def give_currents(edge: Edge, current: Expr, naming: Naming, why: Said = ()) -> Expr:
    """Writes down the current of every branch in an edge that carries `current` from its start to its end:
    the way back from the whole to its parts. `why` is the reason told with the first line. Gives the name
    by which that current is known from then on."""
    if edge.name:
        return naming.give(edge.name, current, "current", why)
    if edge.in_series:
        whole = _in_series(edge, current, naming, why)
        for part, sense in edge.parts:
            if not part.name:
                give_currents(part, signed(whole, sense), naming)
        return whole
    if not _is_name(current) and current != ZERO:
        current = naming.give(naming.lettered("I"), current, "current", why)
    _in_parallel(edge, current, naming)
    return current


def _flat(edge: Edge, sense: int) -> tuple[tuple[Edge, int], ...]:
    """The edges met in order when this one is gone along in this sense, with their senses: its own parts
    where it is in series, else itself."""
    if not edge.in_series:
        return ((edge, sense),)
    return tuple((part, turn * sense) for part, turn in edge.parts[::sense])


def _in_series(edge: Edge, current: Expr, naming: Naming, why: Said) -> Expr:
    """The one current that all parts of an edge in series carry, under the name of a branch among them (one
    with a source if there is one), or a new name; the other branches get lines that say they carry the
    same."""
    branches = sorted((p for p in edge.parts if p[0].name), key=lambda p: p[0].emf is None)
    if not branches:
        return (
            current
            if _is_name(current) or current == ZERO
            else naming.give(naming.lettered("I"), current, "current", why)
        )
    (first, sense), *others = branches
    whole = signed(naming.give(first.name, signed(current, sense), "current", why), sense)
    for part, turn in others:
        naming.give(part.name, signed(whole, turn), "current", ("In series: one current.",))
    return whole


def _in_parallel(edge: Edge, current: Expr, naming: Naming) -> None:
    """Divides a current between parts side by side: by their voltage where one has an emf, else by their
    conductances, the last part getting what is left."""
    if edge.emf is not None and edge.resistance is not None:
        why: Said = ("The voltage that these branches share.",)
        body = add(times(current, edge.resistance), negate(edge.emf))
        drop = naming.give(naming.lettered("V"), body, "potential", why)
        for part, sense in edge.parts:
            above = signed(drop, sense) if part.emf is None else add(part.emf, signed(drop, sense))
            give_currents(
                part, over(above, part.resistance or drop), naming, ("Its voltage over its resistance.",)
            )
        return
    why = ("The current divides as the conductances do.",)
    last, last_sense = edge.parts[-1]
    rest: list[Expr] = [current]
    for part, sense in edge.parts[:-1]:
        share = over(times(current, edge.resistance or current), part.resistance or current)
        own = _own_current(part)
        if own is None:
            given = naming.give(naming.lettered("I"), share, "current", why)
            give_currents(part, signed(given, sense), naming)
            rest.append(negate(given))
            continue
        name, turn = own
        give_currents(part, signed(share, sense), naming, why)
        rest.append(signed(Symbol(name), -sense * turn))
    give_currents(last, signed(add(*rest), last_sense), naming, ("What is left of the current.",))


def _own_current(edge: Edge) -> tuple[str, int] | None:
    """A branch that carries just the current of this edge, and its sense along it; None where the edge has
    no such branch, being made of branches in parallel."""
    if edge.name:
        return edge.name, 1
    return (
        next(((part.name, sense) for part, sense in edge.parts if part.name), None)
        if edge.in_series
        else None
    )


def _is_name(expr: Expr) -> bool:
    return isinstance(expr.body if isinstance(expr, Negative) else expr, Symbol)


def signed(expr: Expr, sign: int) -> Expr:
    """The expression for sign +1, minus it for −1; a sum is then written with its positive terms first."""
    if sign > 0:
        return expr
    if isinstance(expr, Sum):
        turned = [negate(term) for term in expr.terms]
        return add(*sorted(turned, key=lambda term: isinstance(term, Negative)))
    return negate(expr)
