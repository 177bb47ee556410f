"""Where something stands in an expression: paths through `nodes.parts_of`, for marks on parts of a line."""

from __future__ import annotations

from collections.abc import Iterator

from ..expressions.nodes import Expr, Negative, Power, Product, Quotient, Sum, Symbol, parts_of

Path = tuple[int, ...]


def part_at(expr: Expr, path: Path) -> Expr:
    """The part of an expression that a path leads to."""
    for step in path:
        expr = parts_of(expr)[step]
    return expr


def places_of(expr: Expr, part: Expr, path: Path = ()) -> Iterator[Path]:
    """Every place of an expression where a part stands, the whole included, from left to right. A power is
    whole: what is raised is no place of its own."""
    if expr == part:
        yield path
    elif not isinstance(expr, Power):
        for k, inner in enumerate(parts_of(expr)):
            yield from places_of(inner, part, (*path, k))


def outweighed(expr: Expr, symbol: str, *, at_zero: bool, path: Path = ()) -> Iterator[Path]:
    """The terms that no longer count as a symbol goes to zero or to infinity, in every sum of an expression
    that holds it."""
    if isinstance(expr, Power):
        return
    inner = parts_of(expr)
    dropped: set[int] = set()
    if isinstance(expr, Sum):
        powers = [_power(term, symbol, lowest=at_zero) for term in inner]
        leading = min(powers) if at_zero else max(powers)
        dropped = {k for k, power in enumerate(powers) if power != leading}
    for k, part in enumerate(inner):
        if k in dropped:
            yield (*path, k)
        else:
            yield from outweighed(part, symbol, at_zero=at_zero, path=(*path, k))


def _power(expr: Expr, symbol: str, *, lowest: bool) -> int:
    """The lowest or the highest power of a symbol in an expression multiplied out."""
    match expr:
        case Symbol(name):
            return int(name == symbol)
        case Sum(terms):
            found = [_power(term, symbol, lowest=lowest) for term in terms]
            return min(found) if lowest else max(found)
        case Product(factors):
            return sum(_power(factor, symbol, lowest=lowest) for factor in factors)
        case Negative(body):
            return _power(body, symbol, lowest=lowest)
        case Power(base, exponent):
            return exponent * _power(base, symbol, lowest=lowest)
        case Quotient(above, below):
            return _power(above, symbol, lowest=lowest) - _power(below, symbol, lowest=lowest)
        case _:
            return 0
