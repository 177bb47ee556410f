"""Exact currents and resistances of circuits whose values are all numbers, for hundreds of points.

Node potentials in fractions: the unknowns are the potentials of the points and the currents of branches
without resistance. Every equation is cleared of its denominators and the integer system solved by
p-adic lifting (J. D. Dixon, "Exact solution of linear equations using p-adic expansions", Numer. Math.
40, 137, 1982; python-flint), whose cost stays near that of one elimination in machine words. Shares
nothing with the closed forms in symbols.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm, prod

from flint import fmpz_mat

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch
from ..graph.connections import parts
from .currents import Currents, NoUniqueSolution

_ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class NumberFlow:
    """Exact `currents` in amperes by branch, along its arrow, and `potentials` in volts by point, each
    against the first point of its part (branches that fix their own current join nothing). `system`: the
    matrix solved; `scale`: what its determinant is multiplied by for that of the loops' resistances."""

    currents: dict[str, Fraction]
    potentials: dict[str, Fraction]
    system: fmpz_mat
    scale: Fraction

    def determinant(self) -> Fraction:
        """The sum over spanning trees of the resistances not in the tree: that of the loops' resistances.
        Takes two or three times as long as the currents."""
        return abs(int(self.system.det())) * self.scale


def flow_in_numbers(circuit: Circuit) -> NumberFlow:
    """All currents and potentials of a circuit in its numbers.

    Raises KeyError (the symbol) where a number is missing, NoUniqueSolution for an ill-posed circuit.
    """
    numbers = circuit.numbers
    fixed: dict[str, Fraction] = {}
    injected: dict[str, Fraction] = {}
    for b in circuit.branches:
        known = circuit.fixed_current(b.name)
        if known is not None:
            amount = fixed[b.name] = known.value(numbers)
            injected[b.start] = injected.get(b.start, _ZERO) - amount
            injected[b.end] = injected.get(b.end, _ZERO) + amount
    free = [b for b in circuit.branches if b.name not in fixed]
    rises = {b.name: circuit.rise(b.name).value(numbers) for b in free}
    found = _settled(circuit, free, rises, injected)
    return replace(found, currents={**found.currents, **fixed})


def currents_by_numbers(circuit: Circuit) -> Currents:
    """All branch currents of a circuit without symbols, as ratios of its field, and its determinant.

    Raises NoUniqueSolution for an ill-posed circuit."""
    found, field = flow_in_numbers(circuit), circuit.field
    by_branch = {name: field.number(found.currents[name]) for name in circuit.currents}
    return Currents(by_branch, field.number(found.determinant()))


def resistance_in_numbers(circuit: Circuit, a: str, b: str) -> Fraction | None:
    """The resistance seen between two points where branches end, every source set to zero, in ohms; None
    where no path joins them. Raises KeyError for a missing number, NoUniqueSolution for a loop of wires."""
    free = [branch for branch in circuit.branches if circuit.fixed_current(branch.name) is None]
    if not parts(circuit.points, free).joined(a, b):
        return None
    probe = {} if a == b else {a: Fraction(1), b: Fraction(-1)}
    levels = _settled(circuit, free, dict.fromkeys((branch.name for branch in free), _ZERO), probe).potentials
    return levels[a] - levels[b]


def _settled(
    circuit: Circuit, free: list[Branch], rises: Mapping[str, Fraction], injected: Mapping[str, Fraction]
) -> NumberFlow:
    """Currents and potentials of the branches `free`, which fix no current, for these rises along them
    (volts) and these currents sent into the points (amperes)."""
    resistances = {b.name: circuit.resistance(b.name).value(circuit.numbers) for b in free}
    groups = parts(circuit.points, free).groups()
    if any(sum(injected.get(p, _ZERO) for p in group) for group in groups):
        raise NoUniqueSolution("the currents driven into a part have no way back")
    grounds = {group[0] for group in groups}
    row = {p: i for i, p in enumerate(p for p in circuit.points if p not in grounds)}
    wires = [b for b in free if not resistances[b.name]]
    wire_row = {b.name: len(row) + i for i, b in enumerate(wires)}
    entries: dict[tuple[int, int], Fraction] = {}
    right = [_ZERO] * (len(row) + len(wires))
    for p, amount in injected.items():
        if p in row:
            right[row[p]] += amount
    for b in free:
        ends = [(row[p], sense) for p, sense in ((b.start, 1), (b.end, -1)) if p in row]
        wire = wire_row.get(b.name)
        if wire is not None:  # its current leaves the start, and its ends differ by its rise
            right[wire] -= rises[b.name]
            places = [((i, wire), sense) for i, sense in ends] + [((wire, i), sense) for i, sense in ends]
            amount = Fraction(1)
        else:
            amount = 1 / resistances[b.name]
            places = [((i, j), one * other) for i, one in ends for j, other in ends]
            for i, sense in ends:
                right[i] -= sense * amount * rises[b.name]
        for place, sign in places:
            entries[place] = entries.get(place, _ZERO) + sign * amount
    system, found, cleared = _solved(entries, right)
    scale = prod((r for r in resistances.values() if r), start=Fraction(1)) / cleared
    levels = {p: found[row[p]] if p in row else _ZERO for p in circuit.points}
    currents = {
        b.name: found[wire_row[b.name]]
        if b.name in wire_row
        else (levels[b.start] - levels[b.end] + rises[b.name]) / resistances[b.name]
        for b in free
    }
    return NumberFlow(currents, levels, system, scale)


def _solved(
    entries: Mapping[tuple[int, int], Fraction], right: list[Fraction]
) -> tuple[fmpz_mat, list[Fraction], int]:
    """Solves a square system in fractions. Gives the matrix in whole numbers (each row times its common
    denominator), the solution, and the product of what the rows were multiplied by."""
    size = len(right)
    if not size:
        return fmpz_mat(0, 0), [], 1
    clear = [amount.denominator for amount in right]
    for (i, _), amount in entries.items():
        clear[i] = lcm(clear[i], amount.denominator)
    matrix = [[0] * size for _ in range(size)]
    for (i, j), amount in entries.items():
        matrix[i][j] = int(amount * clear[i])
    column = fmpz_mat([[int(amount * scale)] for amount, scale in zip(right, clear, strict=True)])
    whole = fmpz_mat(matrix)
    try:
        found = whole.solve(column)
    except ZeroDivisionError as trouble:
        raise NoUniqueSolution("the determinant is zero") from trouble
    return whole, [Fraction(int(x.p), int(x.q)) for x in (found[i, 0] for i in range(size))], prod(clear)
