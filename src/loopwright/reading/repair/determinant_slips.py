"""What went wrong in a determinant that is written out: a product with the wrong sign, a number copied
wrongly, one left out, the constants in another column."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from fractions import Fraction

from ...expressions.nodes import Equation, Expr, Negative, Number, Symbol, add, negate, number
from ...expressions.said import Said
from ..verdicts import Repair
from .edits import SIZES, body_of
from .places import LinePlace, part_at, places, replaced

MOST = 3
MOST_PLACES = 60
LEFT_OUT = -0.7  # how much likelier a product is left out of a determinant than a term elsewhere


def determinant_slips(
    name: str,
    given: Expr,
    right: Callable[[Expr], bool],
    columns: Sequence[tuple[str, str]],
    entries: Collection[Fraction],
    products: Collection[Expr],
) -> tuple[Repair, ...]:
    """The likeliest slips by which a determinant called `name` came to be written as `given`. `right`: tells
    whether an expression comes to what it should; `columns`: where what is written is another numerator, the
    unknown whose that is and the one that it should be of; `entries`: the numbers of the set of equations;
    `products`: those of them that the determinant is the sum of, with their signs."""
    written = Equation(Symbol(name), given)
    found: list[Repair] = []
    for own, wanted in columns:
        said: Said = ("the constants stand in the column of ", Symbol(own))
        said = (*said, "; here they belong in that of ", Symbol(wanted))
        found.append(Repair("subscript", said, written, SIZES["subscript"]))
    if found:
        return tuple(found[:1])
    inside = [place for place in places(written) if place.path[0] == 1][:MOST_PLACES]
    for place in inside:
        for entry, new, said in (*_signs(place, inside), *_copied(place, entries)):
            mended = replaced(written, place.path, new)
            if right(part_at(mended, (1,))):
                found.append(Repair(entry, said, mended, SIZES[entry] + 0.05 * (len(place.path) - 1)))
    for lacking in dict.fromkeys((*products, *map(negate, products))):
        if right(add(given, lacking)):
            mended = Equation(written.left, add(given, lacking))
            sign = "− " if isinstance(lacking, Negative) else "+ "
            left_out: Said = (sign, body_of(lacking), " is missing in this determinant")
            found.append(Repair("term-missing", left_out, mended, SIZES["term-missing"] + LEFT_OUT))
            break
    return tuple(sorted(found, key=lambda r: r.size)[:MOST])


def _signs(place: LinePlace, every: Sequence[LinePlace]) -> Iterator[tuple[str, Expr, Said]]:
    """A term with its other sign."""
    if not place.is_term or (place.parent is None and len(every) > 1) or isinstance(place.expr, Number):
        return
    new = negate(place.expr)
    sign = "− " if isinstance(new, Negative) else "+ "
    yield "added-for-subtracted", new, (sign, body_of(place.expr), " is wanted in this determinant")


def _copied(place: LinePlace, entries: Collection[Fraction]) -> Iterator[tuple[str, Expr, Said]]:
    """A number with another of the set of equations in its place, or with its other sign."""
    if not isinstance(place.expr, Number):
        return
    old = place.expr
    turned = negate(old)
    yield "added-for-subtracted", turned, (turned, " belongs where ", old, " stands")
    for value in dict.fromkeys(abs(entry) for entry in entries):
        for new in (number(value), number(-value)) if value != abs(old.value) else ():
            yield "copied-wrong", new, (new, " belongs where ", old, " stands")
