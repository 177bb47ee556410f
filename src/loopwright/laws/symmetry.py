"""Currents that symmetry makes equal: permutations of the circuit that leave every value in place.

If exchanging points maps the circuit on itself, the solution, being unique, is mapped on itself
too. If it maps every source on its opposite, the solution changes sign. Source: symmetry argument
for resistor networks, e.g. Am. J. Phys. papers on the resistor cube; from memory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from ..algebra.linear import Linear
from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch

Signature = tuple[int, int, int | None]  # numbers of resistance, rise and fixed current along a direction
BUDGET = 20_000  # point assignments tried in all; more symmetric circuits than a cube stay well below


@dataclass(frozen=True, slots=True)
class Alike:
    """Currents that symmetry makes equal up to sign: each of `others` is (current, sign), and the current
    is sign × that of `leader`. With `zero`, all of them, the leader included, are 0."""

    leader: str
    others: tuple[tuple[str, int], ...]
    zero: bool = False

    def equations(self, circuit: Circuit) -> tuple[Linear, ...]:
        """The equalities as linear equations."""
        field = circuit.field
        if self.zero:
            names = (self.leader, *(n for n, _ in self.others))
            return tuple(Linear({n: field.one}, field.zero) for n in names)
        return tuple(
            Linear({name: field.one, self.leader: field.number(-sign)}, field.zero)
            for name, sign in self.others
        )


def alike(circuit: Circuit) -> tuple[Alike, ...]:
    """The classes of currents that the circuit's symmetry makes equal up to sign, leaders first in
    the circuit's order; only classes that say something."""
    search = _Search(circuit)
    if not search.has_twins:
        return ()
    kin = _Kinship(circuit.currents)
    for i, b in enumerate(circuit.branches):
        for c in circuit.branches[i:]:
            if not search.may_match(b, c) or (b is not c and kin.related(b.name, c.name)):
                continue
            for image in search.images(b, c):
                for name, other, sign in image:
                    kin.join(name, other, sign)
                if b is not c:
                    break
    return kin.classes()


class _Kinship:
    """Currents sorted into classes that are equal up to sign, as equalities come in one by one (union-find
    with signs). Each current points, with a sign, to an earlier one of its class; a class in which a
    current equals its own opposite is zero."""

    def __init__(self, names: tuple[str, ...]) -> None:
        self.order = names
        self.parent: dict[str, tuple[str, int]] = {n: (n, 1) for n in names}
        self.zero: set[str] = set()

    def root(self, name: str) -> tuple[str, int]:
        """The first current of the class, and the sign against it."""
        sign = 1
        while self.parent[name][0] != name:
            name, step = self.parent[name]
            sign *= step
        return name, sign

    def related(self, one: str, other: str) -> bool:
        return self.root(one)[0] == self.root(other)[0]

    def join(self, one: str, other: str, sign: int) -> None:
        """Takes in that `one` is `sign` times `other`."""
        (root, s), (root2, s2) = self.root(one), self.root(other)
        if root == root2:
            if s != s2 * sign:
                self.zero.add(root)
            return
        first, second = sorted((root, root2), key=self.order.index)
        self.parent[second] = (first, s * s2 * sign)
        if second in self.zero:
            self.zero.add(first)

    def classes(self) -> tuple[Alike, ...]:
        groups: dict[str, list[tuple[str, int]]] = {}
        for name in self.order:
            root, sign = self.root(name)
            groups.setdefault(root, []).append((name, sign))
        found: list[Alike] = []
        for root, members in groups.items():
            others = tuple((n, s) for n, s in members if n != root)
            if others or root in self.zero:
                found.append(Alike(root, others, root in self.zero))
        return tuple(found)


class _Search:
    """Looks for permutations of the points that map the circuit on itself, or on the circuit with every
    source turned round. `budget`: how many trials are left; beyond them symmetry is not claimed."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.budget = BUDGET
        self._values: list[Ratio] = []
        self._along: dict[str, Signature] = {b.name: self._numbered(b) for b in circuit.branches}
        self.between: dict[tuple[str, str], Counter[Signature]] = {}
        self.branches: dict[tuple[str, str], list[tuple[str, int, Signature]]] = {}
        for b in circuit.branches:
            for start, end, sense in ((b.start, b.end, 1), (b.end, b.start, -1)):
                signature = self.signature(b, sense)
                self.between.setdefault((start, end), Counter())[signature] += 1
                self.branches.setdefault((start, end), []).append((b.name, sense, signature))

    def _number(self, value: Ratio) -> int:
        """A whole number for a value, the same for equal values, its negative for the opposite value and 0
        for zero: quicker to compare."""
        if not value:
            return 0
        opposite = -value
        for i, known in enumerate(self._values, 1):
            if known == value:
                return i
            if known == opposite:
                return -i
        self._values.append(value)
        return len(self._values)

    def _numbered(self, b: Branch) -> Signature:
        fixed = self.circuit.fixed_current(b.name)
        return (
            self._number(self.circuit.resistance(b.name)),
            self._number(self.circuit.rise(b.name)),
            None if fixed is None else self._number(fixed),
        )

    @property
    def has_twins(self) -> bool:
        """Whether any two branches hold the same; otherwise nothing can be exchanged."""
        seen = [min(s, _opposite(s), key=str) for s in self._along.values()]
        return len(set(seen)) < len(seen)

    def signature(self, b: Branch, sense: int) -> Signature:
        """What is met going along the arrow (+1) or against it (−1)."""
        along = self._along[b.name]
        return along if sense > 0 else _opposite(along)

    def may_match(self, b: Branch, c: Branch) -> bool:
        """Whether two branches hold the same, up to direction and the sign of sources."""
        one, other = self.signature(b, 1), self.signature(c, 1)
        return other in (one, _opposite(one))

    def images(self, b: Branch, c: Branch) -> Iterator[list[tuple[str, str, int]]]:
        """The permutations that take branch b to branch c: lists of (branch, image, sign of currents)."""
        for parity in (1, -1):
            for ends in dict.fromkeys(((c.start, c.end), (c.end, c.start))):
                start = {b.start: ends[0], b.end: ends[1]}
                if len(start) != len(set(start.values())):
                    continue
                if (b.start == b.end) != (c.start == c.end):
                    continue
                mapping = self._extended(start, parity)
                if mapping is not None:
                    yield self._carried(mapping, parity, (b.name, c.name))

    def _extended(self, start: dict[str, str], parity: int) -> dict[str, str] | None:
        """The map of the points begun with `start` carried on to all points; None where that cannot be, or
        the budget is spent. `parity`: −1 where every source is to be turned round."""
        points = [*start, *(p for p in self.circuit.points if p not in start)]
        for i in range(len(start), len(points)):  # neighbours of points already placed come first
            placed = points[:i]
            nearest = next((p for p in points[i:] if any((p, q) in self.between for q in placed)), points[i])
            points.remove(nearest)
            points.insert(i, nearest)
        if not all(self._fits(p, q, start, parity) for p, q in start.items()):
            return None
        return self._placed(points, len(start), dict(start), parity)

    def _placed(
        self, points: list[str], at: int, mapping: dict[str, str], parity: int
    ) -> dict[str, str] | None:
        if at == len(points):
            return mapping
        used = set(mapping.values())
        for candidate in self.circuit.points:
            self.budget -= 1
            if self.budget < 0:
                return None
            if candidate not in used and self._fits(points[at], candidate, mapping, parity):
                found = self._placed(points, at + 1, {**mapping, points[at]: candidate}, parity)
                if found is not None:
                    return found
        return None

    def _fits(self, point: str, image: str, mapping: dict[str, str], parity: int) -> bool:
        """Whether `point` may go to `image`: what joins it to the points mapped so far must be what joins
        their images."""
        empty: Counter[Signature] = Counter()
        for other, other_image in [*mapping.items(), (point, image)]:
            here = self.between.get((point, other), empty)
            there = self.between.get((image, other_image), empty)
            turned = here if parity > 0 else Counter({_opposite(s): n for s, n in here.items()})
            if turned != there:
                return False
        return True

    def _carried(
        self, mapping: dict[str, str], parity: int, wanted: tuple[str, str]
    ) -> list[tuple[str, str, int]]:
        """Where each branch goes when the points go by `mapping`: (branch, image, sign of its current
        against the image's). `wanted`: the pair of branches from which the search began, kept where others
        lie side by side."""
        image: list[tuple[str, str, int]] = []
        taken: set[str] = set()
        ordered = sorted(self.circuit.branches, key=lambda b: b.name != wanted[0])
        for b in ordered:
            signature = self.signature(b, 1)
            if parity < 0:
                signature = _opposite(signature)
            choices = [
                (name, sense)
                for name, sense, other in self.branches[mapping[b.start], mapping[b.end]]
                if other == signature and name not in taken
            ]
            choices.sort(key=lambda c: (b.name == wanted[0] and c[0] != wanted[1], c[0] != b.name))
            name, sense = choices[0]
            taken.add(name)
            image.append((b.name, name, sense * parity))
        return image


def _opposite(signature: Signature) -> Signature:
    resistance, rise, fixed = signature
    return resistance, -rise, None if fixed is None else -fixed
