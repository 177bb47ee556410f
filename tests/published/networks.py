"""Networks of resistors alone, from lists of edges or from recipes of series and parallel."""

from __future__ import annotations

from collections.abc import Hashable, Iterable

from loopwright.circuit.circuit import Circuit, resistor
from loopwright.circuit.elements import Branch, Pass
from loopwright.expressions.nodes import ONE, Expr, Symbol
from loopwright.solve.exact import Solution, solve_posed

Edges = Iterable[tuple[Hashable, Hashable]]
Recipe = tuple["str", tuple["Recipe", ...]]  # ("series", (unit, unit)); ("unit", ()) is one resistor
UNIT: Recipe = ("unit", ())


def network(edges: Edges, value: Expr | None = ONE) -> Solution:
    """The solved network with the same value on every edge, or with `None` a symbol for each: R1, R2, ..."""
    branches, elements = [], {}
    for n, (a, b) in enumerate(edges, start=1):
        branches.append(Branch(f"I{n}", str(a), str(b), (Pass(f"R{n}"),)))
        elements[f"R{n}"] = resistor(f"R{n}", value or Symbol(f"R{n}"))
    return solve_posed(Circuit(tuple(branches), elements))


def recipes(count: int) -> tuple[Recipe, ...]:
    """Every network of `count` equal resistors in series and parallel, once each up to order."""
    if count == 1:
        return (UNIT,)
    return tuple((how, parts) for how in ("series", "parallel") for parts in _splits(count, how))


def _splits(count: int, how: str) -> list[tuple[Recipe, ...]]:
    """The ways to share `count` resistors among two or more parts, none of the same kind as the whole."""
    pieces = [recipe for n in range(1, count) for recipe in recipes(n) if recipe[0] != how]
    sizes = [size(recipe) for recipe in pieces]

    def filled(left: int, first: int) -> list[tuple[Recipe, ...]]:
        if not left:
            return [()]
        choices = [i for i in range(first, len(pieces)) if sizes[i] <= left]
        return [(pieces[i], *rest) for i in choices for rest in filled(left - sizes[i], i)]

    return filled(count, 0)


def size(recipe: Recipe) -> int:
    """How many resistors a recipe takes."""
    return 1 if recipe == UNIT else sum(map(size, recipe[1]))


def edges_of(recipe: Recipe) -> list[tuple[str, str]]:
    """The edges of a recipe between the points `a` and `b`."""
    edges: list[tuple[str, str]] = []
    points = iter(range(1000))

    def lay(part: Recipe, start: str, end: str) -> None:
        how, parts = part
        if how == "unit":
            edges.append((start, end))
        elif how == "parallel":
            for each in parts:
                lay(each, start, end)
        else:
            stops = [start, *(f"m{next(points)}" for _ in parts[1:]), end]
            for each, one, other in zip(parts, stops, stops[1:], strict=False):
                lay(each, one, other)

    lay(recipe, "a", "b")
    return edges
