"""Symmetries of a circuit: branches exchanged so that the circuit looks the same again.

Either the elements exchanged are equal, or their symbols change places with them (a change of
roles). Then the currents must change places in the same way. Stands on `circuit` alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from flint import fmpz_mpoly

from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from .ledger import Candidate, LedgerEntry, listed, not_applicable

SEARCH_LIMIT = 4000  # partial assignments looked at
FOUND_LIMIT = 6  # symmetries kept


@dataclass(frozen=True, slots=True)
class Symmetry:
    """One way to lay a circuit on itself. `branches`: branch -> (the branch it is laid on, +1 or −1 as its
    arrow comes to lie). `symbols`: symbol -> (the symbol that takes its place, +1 or −1); a symbol not
    named stays what it is."""

    branches: Mapping[str, tuple[str, int]]
    symbols: Mapping[str, tuple[str, int]]

    @property
    def exchanges_equals(self) -> bool:
        """Whether all values stay as they are (up to the sign of all sources)."""
        return all(name == other for name, (other, _) in self.symbols.items())


def symmetries(circuit: Circuit) -> tuple[Symmetry, ...]:
    """The symmetries that move a branch, the identity left out; at most `FOUND_LIMIT`, found in at
    most `SEARCH_LIMIT` steps."""
    return circuit.remembered(_symmetries)


def _symmetries(circuit: Circuit) -> tuple[Symmetry, ...]:
    found: list[Symmetry] = []
    for symmetry in _search(circuit):
        if any(name != other for name, (other, _) in symmetry.branches.items()):
            found.append(symmetry)
            if len(found) == FOUND_LIMIT:
                break
    return tuple(found)


def _search(circuit: Circuit) -> Iterator[Symmetry]:
    """Backtracking over branches in an order in which each touches the ones before."""
    order = _touching_order(circuit)
    parts = {b.name: _parts(circuit, b.name) for b in circuit.branches}
    budget = [SEARCH_LIMIT]

    def extend(
        at: int,
        branches: dict[str, tuple[str, int]],
        points: dict[str, str],
        symbols: dict[str, tuple[str, int]],
    ) -> Iterator[Symmetry]:
        if at == len(order):
            yield Symmetry(dict(branches), dict(symbols))
            return
        b = circuit.branch(order[at])
        used = {other for other, _ in branches.values()}
        for c in circuit.branches:
            if c.name in used:
                continue
            for sense, (start, end) in ((1, (c.start, c.end)), (-1, (c.end, c.start))):
                budget[0] -= 1
                if budget[0] < 0:
                    return
                placed = _joined(points, {b.start: start, b.end: end})
                if placed is None or (b.start == b.end) != (start == end):
                    continue
                renamed = _renaming(parts[b.name], parts[c.name], sense, symbols)
                if renamed is not None:
                    yield from extend(at + 1, {**branches, b.name: (c.name, sense)}, placed, renamed)

    yield from extend(0, {}, {}, {})


def _touching_order(circuit: Circuit) -> list[str]:
    order: list[str] = []
    seen: set[str] = set()
    while len(order) < len(circuit.branches):
        rest = [b for b in circuit.branches if b.name not in order]
        b = next((b for b in rest if b.start in seen or b.end in seen), rest[0])
        order.append(b.name)
        seen |= {b.start, b.end}
    return order


def _joined(known: Mapping[str, str], more: Mapping[str, str]) -> dict[str, str] | None:
    """The map of points with more of them mapped; None where one point would go to two, or two to one."""
    joined = dict(known)
    for point, image in more.items():
        if joined.setdefault(point, image) != image:
            return None
    return joined if len(set(joined.values())) == len(joined) else None


SymmetricPart = tuple[str, int, str, int]  # what it is, its factor, its symbol, its sign along the arrow


def _parts(circuit: Circuit, branch: str) -> list[SymmetricPart] | None:
    """The branch as resistances and sources, each a whole number times one symbol; None otherwise."""
    found: list[SymmetricPart] = []
    for p in circuit.branch(branch).passes:
        e = circuit.elements[p.element]
        if e.is_gap:
            found.append(("gap", 1, "", 0))
        values = [("emf" if e.kind is Kind.BATTERY else "current", circuit.value(e.name), p.sign)]
        if e.kind is Kind.RESISTOR:
            values = [("resistance", circuit.value(e.name), 0)]
        values.append(("resistance", circuit.internal_resistance(e.name), 0))
        for what, value, sign in values:
            if not value:
                continue
            held, terms = value.held(), value.terms()
            if len(held) != 1 or len(terms) != 1 or not value.is_polynomial or value.degree(held[0]) != 1:
                return None
            found.append((what, terms[0][1], held[0], sign))
    return sorted(found)


def _renaming(
    one: list[SymmetricPart] | None,
    other: list[SymmetricPart] | None,
    sense: int,
    known: Mapping[str, tuple[str, int]],
) -> dict[str, tuple[str, int]] | None:
    """The renaming of symbols `known`, carried on so that the parts of `one` become those of `other` passed
    in this sense; None where that cannot be."""
    if one is None or other is None or len(one) != len(other):
        return None
    renamed = dict(known)
    for (what, factor, symbol, sign), (what_, factor_, symbol_, sign_) in zip(one, other, strict=True):
        if (what, factor) != (what_, factor_):
            return None
        if not symbol:
            continue  # a gap has no value
        wanted = (symbol_, sign * sign_ * sense if sign else 1)
        if renamed.setdefault(symbol, wanted) != wanted:
            return None
    images = [name for name, _ in renamed.values()]
    return renamed if len(set(images)) == len(images) else None


def symmetry(candidate: Candidate) -> LedgerEntry:
    """The currents follow every symmetry of the circuit."""
    circuit = candidate.circuit
    method = (
        "branches exchanged so that the circuit looks the same; the currents must be exchanged alike; exact"
    )
    found = symmetries(circuit)
    if not found:
        return not_applicable(
            "form/symmetry", "Symmetry", method, "No exchange of branches leaves the circuit alike."
        )
    bad: list[str] = []
    for s in found:
        images = _images(circuit, s)
        for name, (other, sense) in s.branches.items():
            mine, theirs = candidate.currents[name], candidate.currents[other]
            above, below = mine.above.compose(*images), mine.below.compose(*images)
            if above * theirs.below * sense != theirs.above * below:
                bad.append(f"{name} and {other}")
    equal = sum(s.exchanges_equals for s in found)
    kinds = f"{equal} with equal elements, {len(found) - equal} with symbols exchanged"
    result = (
        f"Not so for {listed(sorted(set(bad)))}."
        if bad
        else f"{len(found)} of {len(found)} found are followed ({kinds})."
    )
    return LedgerEntry("form/symmetry", "Symmetry", method, result, not bad)


def _images(circuit: Circuit, s: Symmetry) -> list[fmpz_mpoly]:
    context = circuit.field.context
    images = []
    for name in circuit.field.symbols:
        other, sign = s.symbols.get(name, (name, 1))
        images.append(context.gen(circuit.field.position(other)) * sign)
    return images or [context.gen(0)]
