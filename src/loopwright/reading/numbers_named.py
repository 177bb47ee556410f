"""Numbers that a working gave a name to, read as that name where they stand again.

After `Va = −1.30 · 0.581 = −0.755` the line `I2a = 0.755/18` says what Va is, although the number may be
wrong.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from ..expressions.nodes import Equation, Expr, Number, Sum, Symbol, add, alike, negate, parts_of
from ..expressions.values import symbols_of
from .quantities import Origin
from .truth.rounding import digits_of, is_decimal, lone
from .working import Claim

FEWEST_TOLD = 10  # a whole number below may be anything


def by_their_numbers(claims: Sequence[Claim], open_names: Collection[str]) -> list[Claim]:
    """The claims that hold a number which one of some names was given above, with that name in the place of
    it. `open_names`: these names, of which it is not known what they stand for."""
    found: list[Claim] = []
    numbers: dict[Expr, Expr] = {}
    head: Expr | None = None
    above: Equation | None = None
    for claim in claims:
        left, right = claim.written.left, claim.written.right
        head = head if above is not None and above.right == left else left
        above = claim.written
        own = lone(right)
        if own is None:
            put_in = _with_names(right, numbers)
            if put_in != right:
                found.append(replace(claim, written=replace(claim.written, right=put_in), otherwise=()))
        elif isinstance(head, Symbol) and head.name in open_names and own.value:
            numbers[_bare(own)] = head if right is own else negate(head)
    return found


def parts_by_their_numbers(claims: Sequence[Claim], origins: Mapping[str, Origin]) -> list[Claim]:
    """The sums of a current's parts that are written in the numbers of these, with their names: for
    `I2 = 0.7 − 0.5` I2 = I2a − I2b."""
    found: list[Claim] = []
    given: dict[str, list[tuple[Expr, Expr]]] = {}  # of a current: the numbers of its parts, and these
    head: Expr | None = None
    above: Equation | None = None
    for claim in claims:
        left, right = claim.written.left, claim.written.right
        head = head if above is not None and above.right == left else left
        above = claim.written
        own, origin = lone(right), origins.get(head.name) if isinstance(head, Symbol) else None
        if origin is None or not isinstance(head, Symbol):
            continue
        if own is not None and origin.marked:
            of_it = given.setdefault(origin.base, [])
            of_it[:] = [pair for pair in of_it if head not in (pair[1], negate(pair[1]))]
            of_it.append((_bare(own), head if right is own else negate(head)))
        elif isinstance(right, Sum) and (parts := given.get(head.name)) and not symbols_of(right):
            left_over, terms = list(parts), list[Expr | None]()
            for term in right.terms:
                terms.append(_part(term, left_over))
            if all(term is not None for term in terms):
                named = replace(claim.written, left=head, right=add(*(t for t in terms if t is not None)))
                found.append(replace(claim, written=named, otherwise=()))
    return found


def _part(term: Expr, parts: list[tuple[Expr, Expr]]) -> Expr | None:
    """The part whose number a term is, with the sign that it has there, of several with one number the first
    of that sign; it is taken out of `parts`."""
    number = lone(term)
    fits = [pair for pair in parts if number is not None and pair[0] == _bare(number)]
    if not fits:
        return None
    alike_ = [pair for pair in fits if isinstance(pair[1], Symbol) is (term is number)]
    pair = (alike_ or fits)[0]
    parts.remove(pair)
    return pair[1] if term is number else negate(pair[1])


def _bare(number: Number) -> Number:
    """A number as it is written, without its unit: it may be put in without."""
    return Number(Fraction(digits_of(number)))


def _with_names(expr: Expr, numbers: Mapping[Expr, Expr]) -> Expr:
    """The expression with a name for each number that it was given to."""
    if isinstance(expr, Number):
        tells = is_decimal(expr) or abs(expr.value) >= FEWEST_TOLD
        return numbers.get(_bare(expr), expr) if tells else expr
    parts = parts_of(expr)
    return alike(expr, [_with_names(part, numbers) for part in parts]) if parts else expr
