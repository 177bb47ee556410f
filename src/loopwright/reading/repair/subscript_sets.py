"""One subscript read for another in several places of a line: (R1 + R5 + R5) J2 + R5 J3 where one of the two
R5 of the bracket and the one after it should be R4. What the single places change adds up, so that each set
of them is tried by a sum.

In letters, and in numbers by the values of the elements.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import combinations

from ...algebra.modular import PRIME
from ...expressions.nodes import Equation, Expr, Number, Symbol, alike, parts_of
from .edits import Change, WideEdit
from .line_view import LineShape, LineView, NameSort
from .number_edits import written_like
from .places import Sides, TreePath

MOST_PLACES = 6  # of one symbol in a line


def subscript_sets(view: LineView, sides: Sides) -> Iterator[WideEdit]:
    """Two or more places of one resistance or emf with another in them; `sides`: the line in a trial modulo
    the prime."""
    if view.shape is not LineShape.LOOP and not view.is_junction_of_potentials:
        return
    stand: dict[Expr, list[TreePath]] = {}
    for place in view.places:
        if isinstance(place.expr, Symbol | Number):
            stand.setdefault(place.expr, []).append(place.path)
    for old, paths in stand.items():
        if not 2 <= len(paths) <= MOST_PLACES:
            continue
        for new in _others(view, sides, old):
            yield from _sets(view, sides, old, new, paths)


def _others(view: LineView, sides: Sides, old: Expr) -> Iterator[Expr]:
    """What may have been meant: the other names of the sort, or the numbers of the other elements of it."""
    if isinstance(old, Symbol):
        sort = view.sort(old.name)
        names = view.named(sort) if sort in (NameSort.RESISTANCE, NameSort.SOURCE) else ()
        yield from (Symbol(name) for name in names if name != old.name)
        return
    if not isinstance(old, Number) or not sides.trial.numbers:
        return
    numbers = view.circuit.numbers
    kilo = sides.trial.thousands and not old.unit
    worth = {n: v / 1000 if kilo and view.sort(n) is NameSort.RESISTANCE else v for n, v in numbers.items()}
    sorts = {view.sort(n) for n, v in worth.items() if v == old.value}
    for value in dict.fromkeys(v for n, v in worth.items() if view.sort(n) in sorts and v != old.value):
        yield written_like(old, value)


def _sets(view: LineView, sides: Sides, old: Expr, new: Expr, paths: list[TreePath]) -> Iterator[WideEdit]:
    try:
        effects = [int(sides.residue_with(path, new)) - int(sides.residue) for path in paths]
    except (ZeroDivisionError, KeyError):
        return
    for size in range(2, len(paths) + 1):
        for chosen in combinations(range(len(paths)), size):
            if (int(sides.residue) + sum(effects[i] for i in chosen)) % PRIME == 0:
                places = [paths[i] for i in chosen]
                mended = Equation(
                    _with(view.equation.left, (0,), places, new),
                    _with(view.equation.right, (1,), places, new),
                    view.equation.relation,
                )
                yield WideEdit("subscript", mended, Change.PLACES, (old, new), 0.05 * (size - 2))


def _with(expr: Expr, here: TreePath, places: Collection[TreePath], new: Expr) -> Expr:
    """An expression with something else at some of its places, all else as it stands."""
    if here in places:
        return new
    parts = list(parts_of(expr))
    put = [_with(part, (*here, at), places, new) for at, part in enumerate(parts)]
    return alike(expr, put) if put != parts else expr
