"""One change of a written line, and which slip of the catalogue it undoes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from ...expressions.nodes import Equation, Expr, Negative, Product, Symbol
from .places import TreePath


class Change(StrEnum):
    """What is done to the line."""

    SIGN = "sign reversed"
    OTHER = "something else put there"
    MISSING = "a term put in"
    EXTRA = "a term taken out"
    THROUGHOUT = "something changed wherever it stands"
    PLACES = "something else put in some of the places where it stands"
    WORKED = "the line worked out again"


@dataclass(frozen=True, slots=True)
class Edit:
    """One change of a written line that undoes a slip.

    `entry`: the slip's key in the catalogue; `change`: what sort of thing is done. `path`: the place
    changed, and `new`, what stands there afterwards. `old` and `wanted` are what a sentence speaks of: the
    part as it is written and as it should be. Where a term is put in, `path` and `new` are the side that
    gets it, and `wanted` is the term alone. `extra`: how much less likely this slip is than others of its
    kind.
    """

    entry: str
    path: TreePath
    new: Expr
    change: Change
    old: Expr
    wanted: Expr
    extra: float = 0.0

    @property
    def size(self) -> float:
        """How unlikely the slip is, without unit: near 0 for a sign, larger for what is rarer (`SIZES`)."""
        return SIZES[self.entry] + self.extra


@dataclass(frozen=True, slots=True)
class WideEdit:
    """A change in several places that undoes one slip, given as the whole line that it makes. `parts`: the
    parts changed, for the sentence."""

    entry: str
    mended: Equation
    change: Change
    parts: tuple[Expr, ...]
    extra: float = 0.0

    @property
    def size(self) -> float:
        """How unlikely the slip is."""
        return SIZES[self.entry] + self.extra


# How unlikely a slip is beside others that would explain the same line; a grading of ours, no source.
SIZES: Mapping[str, float] = MappingProxyType(
    {
        "drop-sign": 1.0,
        "source-sign": 1.0,
        "junction-sign": 1.0,
        "moved-sign": 1.0,
        "minus-bracket": 0.95,
        "mesh-sum": 0.95,
        "charging-voltage": 0.95,
        "voltage-order": 1.0,
        "minus-dropped": 1.0,
        "numerator-sign": 1.0,
        "denominator-sign": 1.0,
        "copied-wrong": 1.2,
        "wrong-current": 1.2,
        "subscript": 1.2,
        "divider-inverted": 1.1,
        "inside-forgotten": 1.3,
        "drop-missing": 1.4,
        "branch-missing": 1.4,
        "source-missing": 1.5,
        "denominator-term": 1.5,
        "term-missing": 1.7,
        "term-extra": 1.6,
        "term-twice": 1.35,
        "shared-once": 1.4,
        "bracket-lost": 1.25,
        "numerator-bracket": 1.25,
        "one-term-multiplied": 1.2,
        "factor-missing": 1.8,
        "factor-extra": 1.8,
        "resistance-squared": 1.3,
        "cancelled-across-sum": 1.5,
        "calculator-order": 1.25,
        "false-series": 1.3,
        "false-parallel": 1.4,
        "parallel-added": 1.3,
        "product-over-sum": 1.1,
        "reciprocal-left": 1.1,
        "fraction-inverted": 1.4,
        "wrong-divisor": 1.9,
        "equal-split": 1.1,
        "whole-emf-each": 1.2,
        "loaded-divider": 1.3,
        "arrow-otherwise": 1.3,
        "sense-turned": 1.35,
        "drops-all-minus": 1.25,
        "sources-all-plus": 1.25,
        "terminals-swapped": 1.3,
        "added-for-subtracted": 1.15,
        "bridge-balanced": 1.5,
        "open-no-voltage": 1.1,
        "branch-alone": 1.25,
        "superposed-open": 1.2,
        "power-superposed": 1.2,
        "own-mesh-only": 1.3,
        "stronger-wins": 1.3,
        "load-sees-sum": 1.3,
        "net-emf": 1.3,
        "units-mixed": 1.1,
        "prefix-dropped": 1.05,
        "early-rounding": 1.6,
        "digits": 1.3,
    }
)


def factors_of(expr: Expr) -> tuple[Expr, ...]:
    """The factors of a term, its sign left aside."""
    body = expr.body if isinstance(expr, Negative) else expr
    return body.factors if isinstance(body, Product) else (body,)


def body_of(expr: Expr) -> Expr:
    """A term without its sign."""
    return expr.body if isinstance(expr, Negative) else expr


def signed(body: Expr, like: Expr) -> Expr:
    """A body with the sign of another term."""
    return (
        Negative(body)
        if isinstance(like, Negative) and not isinstance(body, Negative)
        else (body.body if isinstance(like, Negative) and isinstance(body, Negative) else body)
    )


def names_of_factors(expr: Expr) -> set[str]:
    """The symbols that are factors of a term."""
    return {factor.name for factor in factors_of(expr) if isinstance(factor, Symbol)}
