"""The exact answers of a circuit: currents, potential differences, powers, resistances seen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from ..algebra.ratios import Ratio
from ..circuit.changed import at_rest, split_at, taken_out
from ..circuit.circuit import Circuit
from ..circuit.diagnose import faults
from ..circuit.elements import Branch, Element, Kind, Pass
from ..errors import FaultyMaterial
from ..expressions.nodes import ONE
from ..findings import Finding
from ..graph.connections import parts
from ..shown import Shown
from .closed_forms import branch_currents, predicted_terms
from .currents import NoUniqueSolution, Route

MOST_TERMS = 20_000  # terms of a denominator: not to solve, but limits and checks take minutes beyond


@dataclass(frozen=True)
class Solution(Shown):
    """Everything the circuit's equations fix, exact, as ratios of the circuit's field (SI units).

    `route`: by which route the currents were found and why; None for currents put forward by somebody.
    """

    circuit: Circuit
    currents: Mapping[str, Ratio]
    determinant: Ratio
    route: Route | None = None

    def drop(self, branch: str) -> Ratio | None:
        """Potential at the branch's start minus that at its end, from its own elements; None when an
        element of it fixes the current and so leaves the voltage to the rest of the circuit."""
        if self.circuit.fixed_current(branch) is not None:
            return None
        return self.currents[branch] * self.circuit.resistance(branch) - self.circuit.rise(branch)

    @cached_property
    def _ends(self) -> Mapping[str, tuple[int, Ratio]]:
        """The same for the points at which branches begin or end."""
        found: dict[str, tuple[int, Ratio]] = {}
        ways: dict[str, list[tuple[str, Ratio]]] = {point: [] for point in self.circuit.points}
        for b in self.circuit.branches:
            dropped = self.drop(b.name)
            if dropped is not None:
                ways[b.start].append((b.end, -dropped))
                ways[b.end].append((b.start, dropped))
        part = 0
        for origin in self.circuit.points:
            if origin in found:
                continue
            found[origin] = (part, self.circuit.field.zero)
            queue = [origin]
            for point in queue:
                for to, change in ways[point]:
                    if to not in found:
                        found[to] = (part, found[point][1] + change)
                        queue.append(to)
            part += 1
        return found

    @cached_property
    def potentials(self) -> Mapping[str, tuple[int, Ratio]]:
        """For every named point (number of its connected part, its potential in volts). Parts are joined by
        branches that fix their own voltage; the potential is that against the first point of the part."""
        found = dict(self._ends)
        for b in self.circuit.branches:
            self._walk(b, found)
        return found

    def _walk(self, b: Branch, found: dict[str, tuple[int, Ratio]]) -> None:
        """Adds the points on the way along a branch, from each end up to the first gap or source."""
        steps = list(b.along)
        for items, begin, sense in ((steps, b.start, 1), (steps[::-1], b.end, -1)):
            part, level = found[begin]
            for item in items:
                if isinstance(item, str):
                    found.setdefault(item, (part, level))
                    continue
                change = self.element_drop(b.name, item)
                if change is None:
                    break
                level = level - change * sense

    def element_drop(self, branch: str, p: Pass) -> Ratio | None:
        """The drop along the arrow across one element (for a battery: at its terminals, internal
        resistance included); None for a current source or a gap."""
        element = self.circuit.elements[p.element]
        if element.fixes_current:
            return None
        current = self.currents[branch]
        if element.kind is Kind.RESISTOR:
            return current * self.circuit.value(p.element)
        inside = current * self.circuit.internal_resistance(p.element)
        return inside - self.circuit.value(p.element) * p.sign if element.kind is Kind.BATTERY else inside

    def difference(self, a: str, b: str) -> Ratio:
        """V(a, b): the potential at a minus the potential at b. Raises FaultyMaterial when nothing
        fixes it (a gap or a current source lies between), or a point is unknown."""
        known = self._ends if a in self._ends and b in self._ends else self.potentials
        missing = [p for p in (a, b) if p not in known]
        if missing:
            raise FaultyMaterial(
                Finding("solve/unknown-point", f"The circuit has no point called {', '.join(missing)}.")
            )
        (part_a, level_a), (part_b, level_b) = known[a], known[b]
        if part_a != part_b:
            raise FaultyMaterial(
                Finding(
                    "solve/potential-not-fixed",
                    f"Nothing fixes V({a}, {b}): only gaps or current sources lie between the two points.",
                    "Ask for a difference within one part, or join the parts.",
                    about=(a, b),
                )
            )
        return level_a - level_b

    def across(self, element: str) -> Ratio:
        """The drop along its branch's arrow across any element, current sources and gaps included."""
        b = self.circuit.branch_of(element)
        p = self.circuit.pass_of(element)
        own = self.element_drop(b.name, p)
        if own is not None:
            return own
        others = [q for q in b.passes if q.element != element]
        gaps = [q.element for q in others if self.circuit.elements[q.element].fixes_current]
        if gaps:
            raise FaultyMaterial(
                Finding(
                    "solve/voltage-shared",
                    f"{element} and {', '.join(gaps)} share one voltage; nothing says how it is divided.",
                    about=(element, *gaps),
                )
            )
        total = self.difference(b.start, b.end)
        for q in others:
            total = total - (self.element_drop(b.name, q) or self.circuit.field.zero)
        return total

    def power_taken(self, element: str) -> Ratio:
        """The power taken by an element (negative: given), drop times current along the arrow. For a
        battery with internal resistance: at its terminals."""
        b = self.circuit.branch_of(element)
        current = self.currents[b.name]
        return self.across(element) * current if current else self.circuit.field.zero

    def resistance(self, a: str, b: str, without: tuple[str, ...] = ()) -> Ratio:
        """R(a, b): the resistance seen between two points with every source set to zero (emfs replaced by
        wires, current sources taken out), from one ampere sent in at a and taken out at b. The
        elements `without` are taken out and leave a gap: what a battery sees is asked without it."""
        missing = [p for p in (a, b) if p not in self.circuit.named_points]
        if missing:
            raise FaultyMaterial(
                Finding("solve/unknown-point", f"The circuit has no point called {', '.join(missing)}.")
            )
        driven, start, end = with_test_source(self.circuit, a, b, without)
        if start == end:
            return self.circuit.field.zero
        try:
            posed = driven.worked_in(self.circuit.field, self.circuit)
            seen = solve_posed(posed).difference(start, end)
        except (NoUniqueSolution, FaultyMaterial) as trouble:
            raise FaultyMaterial(
                Finding(
                    "solve/no-path", f"No path of resistances joins {a} and {b}: the resistance is infinite."
                )
            ) from trouble
        return seen

    @cached_property
    def in_numbers(self) -> Mapping[str, Fraction | None]:
        """Every current in amperes with the circuit's numbers, None where one is missing."""
        return {name: self.number(current) for name, current in self.currents.items()}

    def number(self, ratio: Ratio) -> Fraction | None:
        """The exact SI value of a ratio with the circuit's numbers, or None where one is missing."""
        try:
            return ratio.value(self.circuit.numbers)
        except KeyError:
            return None


TEST_SOURCE = "\0probe"  # the name of its branch and of itself, which no file can give


def with_test_source(
    circuit: Circuit, a: str, b: str, without: tuple[str, ...] = ()
) -> tuple[Circuit, str, str]:
    """The circuit with every source set to zero, the elements `without` taken out and one ampere sent in at
    a and taken out at b; and the points that a and b have become, since the ends of every plain wire are
    made one point. A branch on which a or b lies is cut there: its second piece is called `I1\\0 1`."""
    rested = split_at(at_rest(taken_out(circuit, without)), (a, b))
    rested, merged = _wires_merged(rested.worked_in(circuit.field, circuit))
    start, end = merged.get(a, a), merged.get(b, b)
    probe = Element(TEST_SOURCE, Kind.CURRENT_SOURCE, ONE)
    driven = replace(
        rested,
        branches=(*rested.branches, Branch(TEST_SOURCE, end, start, (Pass(TEST_SOURCE, 1),))),
        elements={**rested.elements, TEST_SOURCE: probe},
    )
    return driven, start, end


def _wires_merged(circuit: Circuit) -> tuple[Circuit, dict[str, str]]:
    """The circuit with the two ends of every plain wire made one point, gaps and closed wires taken out;
    and for every point the one that it has become."""
    free = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
    into = parts(circuit.points, [b for b in free if not circuit.resistance(b.name)]).part
    kept = [b for b in free if circuit.resistance(b.name)]
    joined = tuple(replace(b, start=into[b.start], end=into[b.end]) for b in kept)
    return replace(circuit, branches=tuple(b for b in joined if b.start != b.end)), into


def solve_posed(circuit: Circuit) -> Solution:
    """The exact solution; raises NoUniqueSolution when the circuit is ill-posed."""
    found = branch_currents(circuit)
    return Solution(circuit, found.by_branch, found.determinant, found.route)


def well_posed(circuit: Circuit) -> Circuit:
    """The circuit itself; raises FaultyMaterial, with the elements at fault, when it has no unique answer."""
    found = circuit.remembered(faults)
    if found:
        raise FaultyMaterial(*found)
    return circuit


def solve(circuit: Circuit) -> Solution:
    """The exact solution of a circuit: every current as a fraction of polynomials in its symbols.

    Raises FaultyMaterial, with the elements at fault, when the circuit has no unique answer, and when
    its closed forms would be too long to work with.
    """
    count = predicted_terms(well_posed(circuit))
    if count > MOST_TERMS:
        raise FaultyMaterial(
            Finding(
                "solve/closed-form-too-long",
                f"With these symbols each denominator has up to {count:,} terms: too long for a closed form.",
                "A sheet says the same by named quantities. For closed forms, give equal elements the same "
                "symbol; for numbers, solve `circuit.in_numbers()`.",
            )
        )
    return solve_posed(circuit)
