"""The closed forms of a large circuit as arrays of terms, without writing out a single polynomial.

Every branch counts as one resistance of its own, whatever its value is written as. Cost: that of
writing the terms down, some tens of nanoseconds each once there are thousands.
Source: G. Kirchhoff 1847; see `forests`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..errors import FaultyMaterial
from ..findings import Finding
from ..graph.forests import Forests
from ..graph.tree_counts import counted_trees, told_count
from .network import Network, NetworkPart, network
from .term_arrays import Masks, MaskTerms, SignedTerms, added, array_of, words

MOST_TREES = 5_000_000  # nine points all joined: 4.8 million, with all currents 0.3 s and 250 MB
Numerators = dict[str, dict[str, SignedTerms]]  # branch -> source -> terms for each unit of the source


@dataclass(frozen=True, slots=True)
class Share:
    """What one source adds to a current, for each unit of it (volt or ampere), in one part of the
    circuit: `above` over the part's determinant `below`."""

    source: str
    above: SignedTerms
    below: Masks


@dataclass(frozen=True, slots=True)
class TermsOfCurrent:
    """One branch current: the sum of its `shares`, each times the value of its source; and besides the
    currents of the sources in `fixed` (name -> sign), which pass through this branch whatever the
    resistances."""

    shares: tuple[Share, ...]
    fixed: Mapping[str, int]


@dataclass(frozen=True)
class _PartTerms:
    names: tuple[str, ...]
    determinant: Masks
    numerators: Numerators


@dataclass(frozen=True)
class Expansion:
    """Determinant and currents of a circuit as terms without coefficients. A term is a product of
    resistances, kept as a mask: bit i stands for the resistance of the i-th branch."""

    circuit: Circuit
    network: Network
    parts: tuple[_PartTerms, ...]

    @cached_property
    def determinant(self) -> Masks:
        """The terms of the determinant, all counted positive: for each spanning tree the branches not in
        it."""
        found = array_of([0], words(len(self.circuit.branches)))
        for part in self.parts:
            found = (found[:, :, None] | part.determinant[:, None, :]).reshape(len(found), -1)
        return found

    @property
    def terms(self) -> int:
        """How many terms stand in the parts' determinants and all numerators together."""
        return sum(
            part.determinant.shape[1] + sum(len(t) for by in part.numerators.values() for t in by.values())
            for part in self.parts
        )

    def current(self, branch: str) -> TermsOfCurrent:
        """The terms of a branch current along its arrow; KeyError when there is no such branch."""
        if branch in self.network.wires:
            return self._by_junction_rule(branch)
        amount = self.circuit.fixed_current(branch)
        if amount is not None:
            return TermsOfCurrent((), {branch: 1} if amount else {})
        part = next(part for part in self.parts if branch in part.names)
        by_source = part.numerators.get(branch, {})
        return TermsOfCurrent(
            tuple(Share(source, terms, part.determinant) for source, terms in by_source.items()), {}
        )

    def _by_junction_rule(self, wire: str) -> TermsOfCurrent:
        cut = self.network.wires[wire]
        fixed = {name: sign for name, sign in cut.items() if self.circuit.fixed_current(name)}
        shares = []
        for part in self.parts:
            by_source: dict[str, list[SignedTerms]] = {}
            for name in part.names:
                for source, terms in part.numerators.get(name, {}).items() if name in cut else ():
                    by_source.setdefault(source, []).append(terms if cut[name] > 0 else -terms)
            for source, sums in by_source.items():
                total = added(sums, len(part.determinant))
                if len(total):
                    shares.append(Share(source, total, part.determinant))
        return TermsOfCurrent(tuple(shares), fixed)

    def ratio(self, branch: str) -> Ratio:
        """A current written out as a ratio of the circuit's field: on demand, since it takes far longer
        than the terms."""
        current = self.current(branch)
        total = self.circuit.field.zero
        for source, sign in current.fixed.items():
            total = total + self._amount(source) * sign
        for share in current.shares:
            below = SignedTerms(share.below, share.below[:, :0])
            total = total + self._amount(share.source) * self.value(share.above) / self.value(below)
        return total

    def value(self, terms: SignedTerms) -> Ratio:
        """A signed sum of terms with the circuit's resistances written in, as a ratio."""
        whole = list(terms)
        plus, minus = ([mask for sign, mask in whole if sign == s] for s in (1, -1))
        highest = len(self.circuit.branches) - 1
        return self._summed(plus, highest) - self._summed(minus, highest)

    def _summed(self, masks: list[int], bit: int) -> Ratio:
        """The sum of these terms. They are parted by whether they hold the branch of bit `bit`, whose
        resistance so is multiplied in once, and each half by the next lower bit."""
        field = self.circuit.field
        if not masks or bit < 0:
            return field.number(len(masks))
        without = [mask for mask in masks if not mask >> bit & 1]
        found = self._summed(without, bit - 1)
        if len(without) == len(masks):
            return found
        rest = self._summed([mask for mask in masks if mask >> bit & 1], bit - 1)
        return found + rest * self.circuit.resistance(self.circuit.currents[bit])

    def _amount(self, source: str) -> Ratio:
        fixed = self.circuit.fixed_current(source)
        return self.circuit.rise(source) if fixed is None else fixed


def expansion(circuit: Circuit, most: int = MOST_TREES) -> Expansion:
    """The terms of the determinant and of every current. Raises NoUniqueSolution for an ill-posed circuit,
    and FaultyMaterial where the parts have more than `most` spanning trees together: they are counted
    before anything is written."""
    taken_apart = network(circuit)
    count = sum(
        counted_trees(part.block.points, [(a, b, 1) for a, b in part.block.ends])
        for part in taken_apart.parts
    )
    if count > most:
        raise FaultyMaterial(
            Finding(
                "solve/too-many-trees",
                f"The network has {told_count(count)} spanning trees, each a term: more than {most:,} are not"
                " written.",
                "Draw branches together that carry one current, or work in numbers.",
            )
        )
    return Expansion(circuit, taken_apart, tuple(_part_terms(circuit, part) for part in taken_apart.parts))


def _part_terms(circuit: Circuit, part: NetworkPart) -> _PartTerms:
    places = [circuit.currents.index(name) for name in part.names]
    terms = MaskTerms(places, len(circuit.branches))
    forests = Forests(part.block, terms)
    nothing = array_of([], terms.words)
    numerators: Numerators = {}
    for push in part.pushes:
        drive = forests.driven(push.start, push.end, push.ends, push.bit)
        for j in sorted({*drive.along, *drive.against}):
            sums = SignedTerms(drive.along.get(j, nothing), drive.against.get(j, nothing))
            numerators.setdefault(part.names[j], {})[push.source] = sums
        if push.bit and drive.own.shape[1]:
            own = part.names[push.bit.bit_length() - 1]
            numerators.setdefault(own, {})[push.source] = SignedTerms(drive.own, nothing)
    return _PartTerms(part.names, forests.determinant(), numerators)
