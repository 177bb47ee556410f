"""All branch currents of a circuit in closed form, by the route that promises to be quicker.

Two routes share nothing but the circuit: sums over spanning trees (`by_trees`) and elimination
(`by_elimination`); a third is for networks without symbols (`by_numbers`). The choice rests on counts made
beforehand and can be looked at: `Route`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from math import lcm, prod, sqrt

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..expressions.values import symbols_of
from ..graph.connections import parts
from ..graph.forests import TooManyWays
from ..graph.lines import Link
from ..graph.tree_counts import counted_trees, told_count
from .by_elimination import currents_by_elimination
from .by_numbers import currents_by_numbers
from .by_trees import currents_by_trees
from .currents import Currents, Route, RouteName

FEW_LOOPS = 3  # up to here elimination takes well under a millisecond, and counting is not worth its time
MANY_LOOPS = 20  # of numbers alone: from here on lifting is quicker than elimination (40 ms and more)
ENDLESS = 10**30  # terms: any count above is as good as this one, and a float can hold it
MOST_WAYS = 200_000  # ways followed before the trees are given up: a second or two


def branch_currents(circuit: Circuit) -> Currents:
    """All branch currents as exact ratios. Raises NoUniqueSolution for an ill-posed circuit."""
    route = chosen_route(circuit)
    if route.name == "trees":
        try:
            return replace(currents_by_trees(circuit, MOST_WAYS), route=route)
        except TooManyWays:
            reason = f"more than {MOST_WAYS} ways through the network: too many to follow one by one"
            route = replace(route, name="elimination", reason=reason)
    work = currents_by_numbers if route.name == "numbers" else currents_by_elimination
    return replace(work(circuit), route=route)


def currents_by_other_route(circuit: Circuit, taken: RouteName, most: float) -> Currents | None:
    """All branch currents by the route that was not taken; None where that is predicted to take more than
    `most` milliseconds. Raises NoUniqueSolution for an ill-posed circuit."""
    loops = independent_loops(circuit)
    if taken != "elimination":
        return currents_by_elimination(circuit) if _costs(circuit, loops)["elimination"] <= most else None
    if loops > FEW_LOOPS and _costs(circuit, loops)["trees"] > most:
        return None
    try:
        return currents_by_trees(circuit, MOST_WAYS)
    except TooManyWays:
        return None


def chosen_route(circuit: Circuit) -> Route:
    """The route with the smaller predicted cost."""
    loops = independent_loops(circuit)
    if loops <= FEW_LOOPS:
        return Route("elimination", f"no more than {FEW_LOOPS} loops: quicker than looking for trees")
    if loops > MANY_LOOPS and not circuit.symbols:
        return Route(
            "numbers", f"no symbols and {loops} loops: exact numbers are lifted, none is written as a form"
        )
    costs = _costs(circuit, loops)
    name: RouteName = "trees" if costs["trees"] < costs["elimination"] else "elimination"
    terms, collected = circuit.remembered(_counts)
    reason = (
        f"{told_count(terms)} terms over all spanning trees, at most {told_count(collected)} once collected, "
        f"{loops} loops: "
        f"predicted {costs['trees']:.3g} ms by trees, {costs['elimination']:.3g} ms by elimination"
    )
    return Route(name, reason, terms, collected)


def _costs(circuit: Circuit, loops: int) -> dict[RouteName, float]:
    """The time each route is predicted to take, in milliseconds. Fitted to networks of up to 40 branches
    measured on one machine: trees take longer with the square root of their number and with the terms
    written, elimination with the cube of the number of loops and with the terms of a minor."""
    terms, collected = (min(count, ENDLESS) for count in circuit.remembered(_counts))
    return {
        "trees": 0.5 + 0.06 * sqrt(terms) + 1e-4 * collected * len(circuit.branches),
        "elimination": 0.2 + 0.003 * loops**3 * (1 + collected / 50),
    }


def predicted_terms(circuit: Circuit) -> int:
    """At most how many terms the determinant has, and exactly how many where every resistance is a sum
    of symbols of its own: the number of spanning trees, each with the terms of its product (Kirchhoff
    1847), or of the monomials of its degree in the resistance symbols where these are fewer."""
    return circuit.remembered(_counts)[1]


def _free(circuit: Circuit) -> list[Branch]:
    return [b for b in circuit.branches if circuit.fixed_current(b.name) is None]


def independent_loops(circuit: Circuit) -> int:
    """How many independent loops the branches make that fix no current."""
    free = _free(circuit)
    return len(free) - len(circuit.points) + len(parts(circuit.points, free).groups())


def _counts(circuit: Circuit) -> tuple[int, int]:
    """How many terms the determinant has before equal ones are collected, and at most how many after."""
    free = _free(circuit)
    wires = [b for b in free if not circuit.resistance(b.name)]
    at = parts(circuit.points, wires).part
    resistances = {b.name: circuit.resistance(b.name) for b in free if circuit.resistance(b.name)}
    lengths = {name: (len(r.above), len(r.below)) for name, r in resistances.items()}
    lines = [Link(b.name, at[b.start], at[b.end]) for b in free if b.name in resistances]
    trees = Fraction(prod(above for above, _ in lengths.values()))
    groups = parts(dict.fromkeys(at.values()), lines).groups()
    for group in groups:
        trees *= _weighted_trees(group, [line for line in lines if line.start in group], lengths)
    degree = len(lines) - len(set(at.values())) + len(groups)
    return int(trees), min(int(trees), _monomials(circuit, resistances, degree))


def _weighted_trees(
    points: tuple[str, ...], lines: list[Link], lengths: Mapping[str, tuple[int, int]]
) -> Fraction:
    """The sum over spanning trees of the product of weights above/below, `lengths` giving both as whole
    numbers by line; worked in whole numbers."""
    number = {p: i for i, p in enumerate(points)}
    unit = lcm(*(lengths[name][0] for name, _, _ in lines))
    weights = {name: unit // above * below for name, (above, below) in lengths.items() if unit % above == 0}
    whole = counted_trees(len(points), [(number[a], number[z], weights[name]) for name, a, z in lines])
    return Fraction(whole, unit ** (len(points) - 1))


def _monomials(circuit: Circuit, resistances: Mapping[str, Ratio], degree: int) -> int:
    """How many different products of resistance symbols there can be: none with a symbol oftener than there
    are branches that hold it. Where every resistance is a sum of symbols, only those of degree `degree`."""
    powers: Counter[str] = Counter()
    linear = True
    for name, r in resistances.items():
        written = _symbols_along(circuit, name)
        if r.is_polynomial and len(r.above) == len(written) and r.above.total_degree() == 1:
            powers.update(written)
            continue
        linear = False
        for symbol in r.held():
            powers[symbol] += r.degree(symbol) + max(r.degree(symbol, below=True), 0)
    if not linear:
        return prod(power + 1 for power in powers.values())
    ways = [1] + [0] * degree
    for power in powers.values():
        ways = [sum(ways[max(0, d - power) : d + 1]) for d in range(degree + 1)]
    return ways[degree]


def _symbols_along(circuit: Circuit, branch: str) -> set[str]:
    """The symbols written in the resistances of a branch."""
    found: set[str] = set()
    for p in circuit.branch(branch).passes:
        element = circuit.elements[p.element]
        if element.kind is Kind.RESISTOR:
            found.update(symbols_of(element.value))
        elif element.internal is not None:
            found.update(symbols_of(element.internal))
    return found
