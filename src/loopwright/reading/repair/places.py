"""Every place in a written equation, and what the equation comes to when something else stands there.

Whether a change makes the two sides equal is seen without working the rest of the line again: each
place knows the way outwards.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from ...expressions.nodes import (
    ZERO,
    Equation,
    Expr,
    Negative,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    alike,
    parts_of,
    put_in,
    rebuilt,
)
from .trial_arithmetic import TrialValue
from .trial_values import Trial

TreePath = tuple[int, ...]  # the side (0 left, 1 right), then which part of which part


@dataclass(frozen=True, slots=True)
class LinePlace:
    """One place in an equation. `path`: how it is reached, the side first; `expr`: what stands there;
    `within`: the expressions it is a part of, from the side inwards."""

    path: TreePath
    expr: Expr
    within: tuple[Expr, ...]

    @property
    def parent(self) -> Expr | None:
        """The expression it is directly a part of; None for a whole side."""
        return self.within[-1] if self.within else None

    @property
    def is_term(self) -> bool:
        """Whether it is a term of some sum, or a whole side."""
        return self.parent is None or isinstance(self.parent, Sum)

    @property
    def is_outer(self) -> bool:
        """Whether it is a term of a side, or a whole side."""
        return self.parent is None or (len(self.within) == 1 and isinstance(self.parent, Sum))

    def line(self) -> int:
        """−1 where it stands below a line of a fraction, +1 above one, 0 where there is none."""
        found = 0
        for ancestor, index in zip(self.within, self.path[1:], strict=True):
            if isinstance(ancestor, Quotient):
                found = -1 if index else 1
        return found


Outward = Callable[[TrialValue], TrialValue]


class Sides:
    """The two sides of an equation worked out in one trial, so that left minus right can be told at once
    for another expression at any place.

    Each part keeps its value, and each place the function that leads from what stands there to left minus
    right (`residue`). `scale`: the larger side. Raises ZeroDivisionError where a part has no value.
    """

    def __init__(self, equation: Equation, trial: Trial) -> None:
        self.trial = trial
        self._known: dict[int, TrialValue] = {}
        self._outward: dict[TreePath, Outward] = {}
        left, right = self._keep(equation.left), self._keep(equation.right)
        self.scale: TrialValue = left if left * left > right * right else right
        self._visit(equation.left, (0,), lambda x: x - right)
        self._visit(equation.right, (1,), lambda x: left - x)
        self.residue = left - right

    def _keep(self, expr: Expr) -> TrialValue:
        found = self._known.get(id(expr))
        if found is None:
            for part in parts_of(expr):
                self._keep(part)
            found = self._known[id(expr)] = self.trial.value_of(expr, self._known)
        return found

    def value_of(self, expr: Expr) -> TrialValue:
        """The value of an expression that may hold parts of the equation; those are not worked again."""
        return self.trial.value_of(expr, self._known)

    def residue_with(self, path: TreePath, expr: Expr) -> TrialValue:
        """Left minus right when `expr` stands at the place `path`. Raises ZeroDivisionError where that has
        no value."""
        return self._outward[path](self.value_of(expr))

    def residue_at(self, path: TreePath, value: TrialValue) -> TrialValue:
        """Left minus right when something of this value stands at the place `path`."""
        return self._outward[path](value)

    def _visit(self, expr: Expr, path: TreePath, outward: Outward) -> None:
        """Gives every place inside `expr` the function that leads from its value to left minus right;
        `outward` is that of the place of `expr` itself."""
        self._outward[path] = outward
        a, known = self.trial.arithmetic, self._known
        match expr:
            case Sum(terms):
                total = known[id(expr)]
                for i, term in enumerate(terms):
                    self._visit(term, (*path, i), _sum_outward(total - known[id(term)], outward))
            case Product(factors):
                for i, factor in enumerate(factors):
                    rest: TrialValue = 1
                    for j, other in enumerate(factors):
                        if j != i:
                            rest = a.times(rest, known[id(other)])
                    self._visit(factor, (*path, i), _product_outward(self.trial, rest, outward))
            case Negative(body):
                self._visit(body, (*path, 0), lambda x: outward(-x))
            case Quotient(above, below):
                top, turned = known[id(above)], a.inverse(known[id(below)])
                self._visit(above, (*path, 0), _product_outward(self.trial, turned, outward))
                self._visit(below, (*path, 1), lambda x: outward(a.times(top, a.inverse(x))))
            case Power(base, exponent):
                self._visit(base, (*path, 0), lambda x: outward(a.power(x, exponent)))
            case Parallel(parts):
                inverses = [a.inverse(known[id(part)]) for part in parts]
                for i, part in enumerate(parts):
                    self._visit(
                        part, (*path, i), _parallel_outward(self.trial, sum(inverses) - inverses[i], outward)
                    )


def _sum_outward(rest: TrialValue, outward: Outward) -> Outward:
    return lambda x: outward(rest + x)


def _product_outward(trial: Trial, rest: TrialValue, outward: Outward) -> Outward:
    return lambda x: outward(trial.arithmetic.times(rest, x))


def _parallel_outward(trial: Trial, rest: TrialValue, outward: Outward) -> Outward:
    a = trial.arithmetic
    return lambda x: outward(a.inverse(rest + a.inverse(x)))


# -- the tree ----------------------------------------------------------------------------------------


def places(equation: Equation) -> tuple[LinePlace, ...]:
    """Every place of an equation, outer ones first, the left side before the right."""
    return (*_places(equation.left, (0,), ()), *_places(equation.right, (1,), ()))


def _places(expr: Expr, path: TreePath, within: tuple[Expr, ...]) -> Iterator[LinePlace]:
    yield LinePlace(path, expr, within)
    for i, part in enumerate(parts_of(expr)):
        yield from _places(part, (*path, i), (*within, expr))


def part_at(equation: Equation, path: TreePath) -> Expr:
    """What stands at one place of an equation."""
    part = equation.right if path[0] else equation.left
    for step in path[1:]:
        part = parts_of(part)[step]
    return part


def replaced(equation: Equation, path: TreePath, new: Expr) -> Equation:
    """The equation with something else at one place, written as a person writes it."""
    if path[0] == 0:
        return Equation(_replaced(equation.left, path[1:], new), equation.right, equation.relation)
    return Equation(equation.left, _replaced(equation.right, path[1:], new), equation.relation)


def _replaced(expr: Expr, path: TreePath, new: Expr) -> Expr:
    if not path:
        return new
    parts = list(parts_of(expr))
    parts[path[0]] = _replaced(parts[path[0]], path[1:], new)
    return rebuilt(expr, parts)


def put_in_both(equation: Equation, images: Mapping[str, Expr]) -> Equation:
    """The equation with other expressions put for symbols, everywhere."""
    return Equation(put_in(equation.left, images), put_in(equation.right, images), equation.relation)


def in_any_order(expr: Expr) -> Expr:
    """An expression with factors and terms in one order, whatever the order in which they are written."""
    parts = [in_any_order(part) for part in parts_of(expr)]
    if not parts:
        return expr
    swaps = isinstance(expr, Sum | Product | Parallel)
    return alike(expr, sorted(parts, key=repr) if swaps else parts)


def signed_terms(side: Expr) -> list[tuple[int, Expr]]:
    """The terms of a side with their signs; none for a side that is 0."""
    if side == ZERO:
        return []
    terms = side.terms if isinstance(side, Sum) else (side,)
    return [(-1, t.body) if isinstance(t, Negative) else (1, t) for t in terms]
