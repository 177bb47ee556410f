"""A map told in words: its boundary as a formula, and what holds at a point of each region."""

from __future__ import annotations

from ..circuit.plots_asked import unit_of_value
from ..circuit.targets import Asked
from ..expressions.amounts import amount
from ..expressions.nodes import Equation, Symbol
from ..expressions.said import Said, as_text, counted, in_a_row
from .formulas import boundary_formula
from .maps import MapPoint, SignMap


def map_sentences(found: SignMap) -> tuple[Said, ...]:
    """What a map shows: its boundaries with the numbers put in, and each region by a point inside it."""
    name = found.asked.target.name
    told: list[Said] = []
    for boundary in found.boundaries:
        formula = boundary_formula(boundary.polynomial, found.asked.over)
        says = " has no bound where " if boundary.unbounded else " is zero, and changes its sign, where "
        told.append((name, says, formula, ", in volts, amperes and ohms."))
    if len(found.regions) > 1:
        told.append((f"There are {counted(len(found.regions), 'region')}.",))
    for region in found.regions:
        told.append(("At ", *_place(found, region.inside), ", ", *way(found, region.sign), "."))
    if found.own is not None and 0 not in found.own and _is_apart(found):
        sign = found.regions[found.region_at(found.own)].sign
        told.append(("At the numbers given, ", *_place(found, found.own), ", ", *way(found, sign), "."))
    return tuple(told)


def map_in_words(found: SignMap) -> str:
    """The same as one text, for those who do not see the map."""
    head = f"The {found.asked.as_text()}, each on a scale that goes from 0 to ∞."
    return " ".join((head, *(as_text(said) for said in map_sentences(found))))


def way(found: SignMap, sign: int) -> Said:
    """What a sign of the quantity means: which way a current runs, which point is higher."""
    target = found.asked.target
    name = target.name
    if not sign:
        return (name, " is zero")
    if target.kind is Asked.CURRENT:
        branch = found.circuit.branch(target.names[0])
        ends = (branch.start, branch.end) if sign > 0 else (branch.end, branch.start)
        along = "along" if sign > 0 else "against"
        return (name, f" runs {along} its arrow, from {ends[0]} to {ends[1]}")
    return (name, " is positive" if sign > 0 else " is negative")


def _place(found: SignMap, point: MapPoint) -> Said:
    figures = max(3, found.circuit.figures)
    pairs = zip(found.asked.over, point, strict=True)
    return in_a_row(
        [(Equation(Symbol(s), amount(v, unit_of_value(found.circuit, s), figures)),) for s, v in pairs]
    )


def _is_apart(found: SignMap) -> bool:
    """Whether the numbers given lie on no boundary, so that they are in a region."""
    assert found.own is not None
    values = dict(zip(found.asked.over, found.own, strict=True))
    return all(b.polynomial.value(values) for b in found.boundaries) and found.own[0] not in found.cuts
