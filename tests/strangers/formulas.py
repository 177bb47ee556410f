"""Formulas as trees of the stranger's own: what they come to, how they are written, and how one place in them
can go wrong. A formula knows nothing of circuits; `slips` says what each fault is called."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from tests.strangers.figures import NoAnswer


@dataclass(frozen=True, slots=True)
class Sym:
    """A quantity by its name."""

    name: str


@dataclass(frozen=True, slots=True)
class Num:
    """A plain number."""

    value: Fraction


@dataclass(frozen=True, slots=True)
class Sum:
    """Terms, each with its sign."""

    terms: tuple[tuple[int, Formula], ...]


@dataclass(frozen=True, slots=True)
class Prod:
    """Factors."""

    factors: tuple[Formula, ...]


@dataclass(frozen=True, slots=True)
class Quot:
    """One thing over another."""

    over: Formula
    under: Formula


@dataclass(frozen=True, slots=True)
class Par:
    """Resistances side by side. `form`: "product" (over sum), "reciprocal", "bars"."""

    parts: tuple[Formula, ...]
    form: str = "product"


Formula = Sym | Num | Sum | Prod | Quot | Par


def sym(name: str) -> Sym:
    return Sym(name)


def num(value: int | Fraction) -> Num:
    return Num(Fraction(value))


def total(*terms: Formula | tuple[int, Formula]) -> Formula:
    """A sum; a lone positive term stands for itself, and a lone term within is taken in with its sign."""
    signed = tuple(_taken_in(*t) if isinstance(t, tuple) else _taken_in(1, t) for t in terms)
    return signed[0][1] if len(signed) == 1 and signed[0][0] > 0 else Sum(signed)


def _taken_in(sign: int, f: Formula) -> tuple[int, Formula]:
    if isinstance(f, Sum) and len(f.terms) == 1:
        return sign * f.terms[0][0], f.terms[0][1]
    return sign, f


def times(*factors: Formula) -> Formula:
    return factors[0] if len(factors) == 1 else Prod(tuple(factors))


def over(above: Formula, below: Formula) -> Quot:
    return Quot(above, below)


def side_by_side(parts: list[Formula], form: str) -> Formula:
    return parts[0] if len(parts) == 1 else Par(tuple(parts), form)


def worth(f: Formula, at: Mapping[str, Fraction]) -> Fraction:
    """What a formula comes to."""
    match f:
        case Sym(name):
            return at[name]
        case Num(value):
            return value
        case Sum(terms):
            return sum((s * worth(t, at) for s, t in terms), Fraction(0))
        case Prod(factors):
            product = Fraction(1)
            for each in factors:
                product *= worth(each, at)
            return product
        case Quot(above, below):
            under = worth(below, at)
            if under == 0:
                raise NoAnswer
            return worth(above, at) / under
        case Par(parts, _):
            ohms = [worth(p, at) for p in parts]
            if 0 in ohms or sum(1 / r for r in ohms) == 0:
                raise NoAnswer
            return 1 / sum((1 / r for r in ohms), Fraction(0))


def spelled(f: Formula) -> Formula:
    """A parallel connection written out; the rest as it is."""
    if not isinstance(f, Par) or f.form == "bars":
        return f
    if f.form == "product" and len(f.parts) == 2:
        return Quot(Prod(f.parts), Sum(tuple((1, p) for p in f.parts)))
    return Quot(num(1), Sum(tuple((1, Quot(num(1), p)) for p in f.parts)))


def names_in(f: Formula) -> list[str]:
    """The names in the order they are written, each as often as it stands."""
    match f:
        case Sym(name):
            return [name]
        case Num(_):
            return []
        case Sum(terms):
            return [n for _, t in terms for n in names_in(t)]
        case Prod(parts):
            return [n for p in parts for n in names_in(p)]
        case Par(parts, _):
            return [n for p in parts for n in names_in(p)]
        case Quot(above, below):
            return names_in(above) + names_in(below)


Fault = tuple[str, Formula]


def faults(f: Formula, alike: Mapping[str, list[str]]) -> Iterator[Fault]:
    """Every way in which one place of a formula goes wrong, with what it is called. `alike`: for a name,
    others that could be taken for it."""
    yield from _here(f, alike)
    match f:
        case Sum(terms):
            for i, (s, t) in enumerate(terms):
                for kind, wrong in faults(t, alike):
                    yield kind, Sum((*terms[:i], (s, wrong), *terms[i + 1 :]))
        case Prod(factors):
            for i, p in enumerate(factors):
                for kind, wrong in faults(p, alike):
                    yield kind, replace(f, factors=(*factors[:i], wrong, *factors[i + 1 :]))
        case Par(parts, _):
            for i, p in enumerate(parts):
                for kind, wrong in faults(p, alike):
                    yield kind, replace(f, parts=(*parts[:i], wrong, *parts[i + 1 :]))
        case Quot(above, below):
            for kind, wrong in faults(above, alike):
                yield kind, Quot(wrong, below)
            for kind, wrong in faults(below, alike):
                yield kind, Quot(above, wrong)
        case _:
            pass


def _here(f: Formula, alike: Mapping[str, list[str]]) -> Iterator[Fault]:
    """The faults at the top of a formula."""
    match f:
        case Sym(name):
            for other in alike.get(name, []):
                yield "subscript", Sym(other)
        case Sum(terms):
            for i, (s, t) in enumerate(terms):
                yield "sign", Sum((*terms[:i], (-s, t), *terms[i + 1 :]))
                if len(terms) > 1:
                    yield "term-left-out", _without(terms, i)
        case Prod(factors):
            for i, factor in enumerate(factors):
                rest = (*factors[:i], *factors[i + 1 :])
                if isinstance(factor, Sum):
                    first, *others = factor.terms
                    yield "bracket", Sum(((first[0], Prod((*rest, first[1]))), *others))
                elif len(factors) > 1:
                    yield "factor-left-out", times(*rest)
        case Quot(above, below):
            yield "inverted", Quot(below, above)
            if isinstance(below, Sum):
                first, *others = below.terms
                yield "keyed-without-brackets", Sum(((1, Quot(above, first[1])), *others))
        case Par(parts, _):
            added = tuple((1, p) for p in parts)
            yield "parallel-added", Sum(added)
            yield "reciprocal-left", Sum(tuple((1, Quot(num(1), p)) for p in parts))
            if len(parts) == 2 and f.form == "product":
                yield "sum-over-product", Quot(Sum(added), Prod(parts))
            if len(parts) > 2:
                yield "product-over-sum", Quot(Prod(parts), Sum(added))
        case _:
            pass


def _without(terms: tuple[tuple[int, Formula], ...], i: int) -> Formula:
    """A sum with one of its terms left out."""
    rest = (*terms[:i], *terms[i + 1 :])
    return rest[0][1] if len(rest) == 1 and rest[0][0] > 0 else Sum(rest)
