"""The judge's own network for a resistance seen between two points: the circuit at rest, drawn afresh.

Knows nothing of how the maker sets sources to zero, takes elements out or sends its ampere in. Every branch
is cut where one of the two points lies on its way. A battery is what its internal resistance is, a current
source, a voltmeter, an open switch and what is taken out are gaps. Points joined by plain wire are one
place. Currents are tried in every place and every piece: what passes is the one answer there is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..algebra.linear import Linear, linear_in
from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind, Pass
from ..expressions.values import ratio_of

AMPERE_IN = "\0probe"  # by this name, which no file can give, the ampere sent in may stand among the currents


@dataclass(frozen=True, slots=True)
class RestingPiece:
    """A stretch of a branch between two places, with its resistance."""

    name: str
    start: str
    end: str
    resistance: Ratio


class SeenNetwork:
    """The network seen between `a` and `b` with the elements `without` taken out. `place`: for every point
    the one that stands for its place; `pieces`: those with a resistance, by name."""

    def __init__(self, circuit: Circuit, a: str, b: str, without: tuple[str, ...]) -> None:
        self.base = circuit.field
        cut = [p for branch in circuit.branches for p in self._cut(circuit, branch, {a, b}, without)]
        self.place = {point: point for point in circuit.named_points}
        for piece in cut:
            if not piece.resistance and self.place[piece.start] != self.place[piece.end]:
                old, new = self.place[piece.end], self.place[piece.start]
                self.place = {point: new if at == old else at for point, at in self.place.items()}
        self.pieces = {
            p.name: RestingPiece(p.name, self.place[p.start], self.place[p.end], p.resistance)
            for p in cut
            if p.resistance and self.place[p.start] != self.place[p.end]
        }
        self.ends = self.place[a], self.place[b]

    def _cut(
        self, circuit: Circuit, branch: Branch, at: set[str], without: tuple[str, ...]
    ) -> list[RestingPiece]:
        """The pieces of a branch, those left out in which there is a gap."""
        runs: list[list[Pass]] = [[]]
        points = [branch.start]
        for item in branch.along:
            if isinstance(item, Pass):
                runs[-1].append(item)
            elif item in at:
                points.append(item)
                runs.append([])
        points.append(branch.end)
        found: list[RestingPiece] = []
        for k, run in enumerate(runs):
            resistance = self._resistance(circuit, run, without)
            if resistance is not None:
                name = f"{branch.name}\0{k}" if k else branch.name
                found.append(RestingPiece(name, points[k], points[k + 1], resistance))
        return found

    def _resistance(self, circuit: Circuit, run: list[Pass], without: tuple[str, ...]) -> Ratio | None:
        """What a run of elements comes to at rest; None where one of them is a gap."""
        total = self.base.zero
        for p in run:
            element = circuit.elements[p.element]
            if element.name in without or element.fixes_current:
                return None
            if element.kind is Kind.RESISTOR:
                total = total + ratio_of(element.value, self.base)
            elif element.internal is not None:
                total = total + ratio_of(element.internal, self.base)
        return total

    def relations(self, wide: Field, levels: Mapping[str, str]) -> list[Linear]:
        """For every piece that its drop is its current times its resistance, as linear equations; `levels`:
        the name of the potential of each place."""
        names = (*self.pieces, *levels.values())
        found = (
            linear_in(
                wide.symbol(levels[p.start])
                - wide.symbol(levels[p.end])
                - wide.symbol(p.name) * p.resistance.at({}, wide),
                names,
            )
            for p in self.pieces.values()
        )
        return [line for line in found if line is not None]

    def drop(self, currents: Mapping[str, Ratio]) -> Ratio | str:
        """The potential of `a` less that of `b` that these currents make, one ampere sent in at `a` and taken
        out at `b`; in a word what is wrong where they are not the currents of that."""
        own = {name: current.at({}, self.base) for name, current in currents.items()}
        if own.pop(AMPERE_IN, self.base.one) != self.base.one:
            return "is worked with another current than one ampere"
        if set(own) - set(self.pieces):
            return "is worked with a current where there is no way"
        a, b = self.ends
        if a == b:
            return self.base.zero
        for place in set(self.place.values()):
            total = self.base.one * ((place == a) - (place == b))
            for p in self.pieces.values():
                total = total + own.get(p.name, self.base.zero) * ((p.end == place) - (p.start == place))
            if total:
                return "is worked with currents that break the junction rule"
        levels = self._levels(own)
        for p in self.pieces.values():
            if levels[p.start] - levels[p.end] != own.get(p.name, self.base.zero) * p.resistance:
                return "is worked with currents that break the loop rule"
        return levels[a] - levels[b]

    def _levels(self, own: Mapping[str, Ratio]) -> dict[str, Ratio]:
        """The potential of every place against the first of its part, by going from piece to piece."""
        found: dict[str, Ratio] = {}
        for origin in dict.fromkeys(self.place.values()):
            waiting = [] if origin in found else [origin]
            found.setdefault(origin, self.base.zero)
            while waiting:
                here = waiting.pop()
                for p in self.pieces.values():
                    step = own.get(p.name, self.base.zero) * p.resistance
                    if p.start == here and p.end not in found:
                        found[p.end] = found[here] - step
                        waiting.append(p.end)
                    elif p.end == here and p.start not in found:
                        found[p.start] = found[here] + step
                        waiting.append(p.start)
        return found
