"""What every exact route gives: all branch currents of a circuit, its determinant, and the route taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ..algebra.ratios import Ratio

RouteName = Literal["trees", "elimination", "numbers"]


@dataclass(frozen=True, slots=True)
class Route:
    """By which route the currents were found, and why by that one.

    `terms`: how many terms the determinant has before equal ones are collected, and `collected`: at
    most how many after; None where the choice did not ask for them.
    """

    name: RouteName
    reason: str
    terms: int | None = None
    collected: int | None = None


@dataclass(frozen=True, slots=True)
class Currents:
    """Every branch current along its arrow, and the determinant of the resistance matrix of the
    loops (a polynomial: the sum over spanning trees of the resistances not in the tree)."""

    by_branch: dict[str, Ratio]
    determinant: Ratio
    route: Route | None = None


class NoUniqueSolution(ArithmeticError):
    """The equations of the circuit contradict one another or leave currents open."""
