"""A circuit read as one source and resistances in series and side by side, for `reduction` to tell.

Knows no equations and writes no line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch


@dataclass(frozen=True, slots=True)
class Part:
    """What lies between two points as one resistance, read from `start` to `end`.

    `branch`: a single branch. Otherwise `parts`, each with +1 where it runs along and −1 where against:
    one after another where `in_series`, else side by side.
    """

    start: str
    end: str
    branch: str = ""
    parts: tuple[tuple[Part, int], ...] = ()
    in_series: bool = False

    @property
    def ends(self) -> frozenset[str]:
        """Its two points, whichever comes first."""
        return frozenset((self.start, self.end))

    @property
    def met(self) -> tuple[tuple[Part, int], ...]:
        """What is met one after another from start to end: itself, unless it is in series."""
        return self.parts if self.in_series else ((self, 1),)

    @property
    def branches(self) -> tuple[str, ...]:
        """Every branch in it."""
        return (self.branch,) if self.branch else tuple(n for p, _ in self.parts for n in p.branches)


@dataclass(frozen=True, slots=True)
class SeriesParallel:
    """A circuit that one source drives: the branch of the source, what it faces, from the source's end back
    to its start, and the branches cut by a gap."""

    source: Branch
    load: Part
    gaps: tuple[str, ...]


def reduction_of(circuit: Circuit) -> SeriesParallel | None:
    """How the circuit is read as one source and parts in series and side by side; None where it is not of
    this kind, or is a single loop."""
    gaps = tuple(b.name for b in circuit.branches if circuit.fixed_current(b.name) == 0)
    live = [b for b in circuit.branches if b.name not in gaps]
    sources = [b for b in live if circuit.has_source(b)]
    if len(sources) != 1 or len(live) < 2 or any(b.start == b.end for b in circuit.branches):
        return None
    (source,) = sources
    if circuit.fixed_current(source.name) is None and not circuit.rise(source.name):
        return None
    left = [Part(b.start, b.end, b.name) for b in live if b is not source]
    load = _made_one(left, (source.end, source.start))
    if load is None or _has_shorted_part(circuit, load):
        return None
    return SeriesParallel(source, load, gaps)


def _made_one(left: list[Part], ends: tuple[str, str]) -> Part | None:
    """All parts made one between two points, read from the first to the second; None where they are not in
    series and side by side alone."""
    while len(left) > 1:
        smaller = _beside(left) or _in_a_chain(left, ends)
        if smaller is None:
            return None
        left = smaller
    (whole,) = left
    return read_from(whole, ends[0]) if whole.ends == frozenset(ends) else None


def _beside(left: Sequence[Part]) -> list[Part] | None:
    """The first parts that join the same two points, made one."""
    for first in left:
        beside = [p for p in left if p.ends == first.ends]
        if len(beside) > 1:
            flat = tuple(
                (inner, (1 if p.start == first.start else -1) * sense)
                for p in beside
                for inner, sense in (((p, 1),) if p.branch or p.in_series else p.parts)
            )
            made = Part(first.start, first.end, parts=flat)
            return [made if p is first else p for p in left if p is first or p not in beside]
    return None


def _in_a_chain(left: Sequence[Part], kept: Sequence[str]) -> list[Part] | None:
    """The first two parts that meet at a point where nothing else does, made one; `kept` points stay."""
    for point in dict.fromkeys(p for part in left for p in (part.start, part.end)):
        met = [p for p in left if point in p.ends]
        if point in kept or len(met) != 2:
            continue
        one, two = met
        start, end = (p.end if p.start == point else p.start for p in met)
        along = (*read_from(one, start).met, *read_from(two, point).met)
        made = Part(start, end, parts=along, in_series=True)
        return [made if p is one else p for p in left if p is not two]
    return None


def read_from(part: Part, start: str) -> Part:
    """The same part read from its other end, if that is `start`."""
    if part.start == start:
        return part
    if part.branch:
        return Part(part.end, part.start, parts=((part, -1),), in_series=True)
    turned = tuple((p, -sense) for p, sense in part.parts)
    return Part(
        part.end, part.start, parts=turned[::-1] if part.in_series else turned, in_series=part.in_series
    )


def _has_shorted_part(circuit: Circuit, part: Part) -> bool:
    """Whether a plain wire lies beside something: then nothing flows there, and no share can be told."""
    if part.branch:
        return False
    wires = not part.in_series and any(_is_wire(circuit, p) for p, _ in part.parts)
    return wires or any(_has_shorted_part(circuit, p) for p, _ in part.parts)


def _is_wire(circuit: Circuit, part: Part) -> bool:
    return all(p.branch and not circuit.resistance(p.branch) for p, _ in part.met)
