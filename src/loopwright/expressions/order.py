"""The order in which a physicist writes names, factors and terms: `E1 R2`, not `R2 E1`; R2 before R10.

Numbers stand first in a product, then emfs and other sources, then currents, then the rest, then
brackets; in a sum what is added comes before what is taken away, and brackets of their own come
last. Common practice, no source. Stands on the tree alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import lru_cache

from .nodes import (
    Determinant,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    add,
    parts_of,
)

NameKey = tuple[int, str, str, int, str]
_Key = tuple[int, int, tuple[NameKey, ...], int]

_NAME = re.compile(r"(\D*)(\d*)(.*)", re.DOTALL)
_SOURCES = frozenset("EVJUε")  # emfs, potential differences, currents of current sources
_LAST: NameKey = (9, "", "", 0, "")  # after every name: a longer row of names comes before its own beginning


@lru_cache(maxsize=4096)
def name_key(name: str) -> NameKey:
    """A sort key for symbols: sources, currents, others; then letters, then the number as a number."""
    found = _NAME.fullmatch(name)
    letters, digits, rest = found.groups() if found else (name, "", "")
    group = 0 if is_source(name) else 1 if name[:1] in "Ii" else 2
    return group, letters.casefold(), letters, int(digits or -1), rest


def is_source(name: str) -> bool:
    """Whether a symbol is by its first letter an emf, a potential difference or a source's current."""
    return name[:1] in _SOURCES


def arranged_factors(factors: list[Expr]) -> list[Expr]:
    """The factors of a product in written order."""
    return _arranged(factors, _factor_key, lambda f: "" if _is_plain(f) else repr(f))


def arranged_terms(terms: list[Expr]) -> list[Expr]:
    """The terms of a sum in written order: the positive ones first, so that it starts with one."""
    return _arranged(terms, _term_key, repr)


def _arranged(parts: Sequence[Expr], key: Callable[[Expr], _Key], whole: Callable[[Expr], str]) -> list[Expr]:
    """The parts by their keys; where two have one key, by the `whole` of them besides."""
    if len(parts) < 2:
        return list(parts)
    keyed = [(key(part), i) for i, part in enumerate(parts)]
    if len({own for own, _ in keyed}) < len(keyed):
        return sorted(parts, key=lambda part: (key(part), whole(part)))
    keyed.sort()
    return [parts[i] for _, i in keyed]


def added(*parts: Expr) -> Expr:
    """The sum of the parts, flat, in written order."""
    terms = [term for part in parts for term in (part.terms if isinstance(part, Sum) else (part,))]
    return add(*arranged_terms(terms))


def _factor_key(factor: Expr) -> _Key:
    base = factor.base if isinstance(factor, Power) else factor
    kind = 0 if isinstance(base, Number) else 1 if isinstance(base, Symbol) else 2
    names = _names(factor)
    return kind, _depth(base) if kind == 2 and names[0][0] else 0, names, 0


def _term_key(term: Expr) -> _Key:
    body = term.body if isinstance(term, Negative) else term
    if isinstance(body, Quotient):
        return isinstance(term, Negative), True, _names(body), _depth(body)
    plain: list[NameKey] = []
    depth = 0
    for factor in _factors(body):
        if type(factor) is Symbol:  # most of all
            plain.append(name_key(factor.name))
            continue
        if _is_plain(factor):
            plain += _names(factor)[:-1]
        depth = max(depth, _depth(factor))
    only_brackets = not plain and not isinstance(body, Number)
    return isinstance(term, Negative), only_brackets, (*plain, _LAST), depth


def _factors(expr: Expr) -> tuple[Expr, ...]:
    return expr.factors if isinstance(expr, Product) else (expr,)


def _is_plain(factor: Expr) -> bool:
    return isinstance(factor, Symbol) or (isinstance(factor, Power) and isinstance(factor.base, Symbol))


def _names(expr: Expr) -> tuple[NameKey, ...]:
    """What decides between two expressions of the same sort: the names in them as written from left to
    right, a power as often as it counts, and a last key behind all names, so that a longer row comes
    first."""
    if type(expr) is Symbol:  # most of all
        return name_key(expr.name), _LAST
    match expr:
        case Number():
            return (_LAST,)
        case Symbol(name):
            return name_key(name), _LAST
        case Power(base, exponent):
            return (*_names(base)[:-1] * exponent, _LAST)
        case Negative(body):
            return _names(body)
        case Quotient(above, below):
            return (*_names(above)[:-1], *_names(below))
        case Determinant():
            return (*(key for part in parts_of(expr) for key in _names(part)[:-1]), _LAST)
        case Sum(parts) | Product(parts) | Parallel(parts):
            return (*(key for part in parts for key in _names(part)[:-1]), _LAST)


def _depth(expr: Expr) -> int:
    """How many brackets stand inside one another."""
    match expr:
        case Sum(parts) | Parallel(parts):
            return 1 + _deepest(parts)
        case Symbol():
            return 0
    return _deepest(parts_of(expr))


def _deepest(parts: Sequence[Expr]) -> int:
    return max([_depth(part) for part in parts if type(part) is not Symbol], default=0)
