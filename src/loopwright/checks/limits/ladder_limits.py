"""Limiting cases of a ladder without end: each resistance to zero and to infinity, by two routes.

The changed section (a wire or a gap in the resistor's place) is worked afresh as a ladder of its own; what
comes out must satisfy the limit of the original's quadratic, in which no changed section was used.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from ...algebra.ratios import Ratio
from ...algebra.surds import Surd
from ...circuit.circuit import Circuit
from ...circuit.elements import Element, Kind
from ...errors import FaultyMaterial
from ...expressions.nodes import Symbol
from ...solve.endless_ladder import EndlessLadder, endless_ladder


@dataclass(frozen=True, slots=True)
class LadderLimit:
    """A symbol taken to 0 or (`to_infinity`) to infinity: the resistance of the ladder then, as the
    changed section gives it (None: it grows without limit), and whether the quadratic's limit agrees."""

    symbol: str
    to_infinity: bool
    resistance: Surd | None
    agree: bool


def ladder_limits(found: EndlessLadder) -> tuple[LadderLimit, ...]:
    """Every limit of a symbol that is itself the value of one or more resistors, and stands in no other."""
    circuit = found.circuit
    cases = []
    for symbol in circuit.symbols:
        held = [e for e in circuit.elements.values() if symbol in circuit.value(e.name).held()]
        if all(e.value == Symbol(symbol) for e in held):
            cases += [_case(found, symbol, held, to_infinity) for to_infinity in (False, True)]
    return tuple(cases)


def _case(found: EndlessLadder, symbol: str, held: list[Element], to_infinity: bool) -> LadderLimit:
    afresh = _worked(_changed(found.circuit, held, to_infinity))
    quadratic = _limit_of(found.equation, symbol, to_infinity)
    return LadderLimit(symbol, to_infinity, afresh, _agrees(quadratic, afresh))


def _changed(circuit: Circuit, held: list[Element], to_infinity: bool) -> Circuit:
    """The section with wires or gaps in the place of these resistors."""
    kind = Kind.SWITCH if to_infinity else Kind.AMMETER
    changed = {e.name: Element(e.name, kind, closed=False) for e in held}
    return replace(circuit, elements={**circuit.elements, **changed})


def _worked(circuit: Circuit) -> Surd | None:
    zero = circuit.field.zero
    try:
        return endless_ladder(circuit).resistance
    except FaultyMaterial as trouble:
        falls = any(finding.code == "ladder/falls-to-zero" for finding in trouble.findings)
        return Surd(zero, zero, circuit.field.one) if falls else None


def _limit_of(
    equation: tuple[Ratio, Ratio, Ratio], symbol: str, to_infinity: bool
) -> tuple[Ratio, Ratio, Ratio]:
    """What is left of the quadratic's coefficients: those of the lowest or highest power of the symbol."""
    powers = [ratio.coefficients_in(symbol) if ratio else {} for ratio in equation]
    met = [power for by_power in powers for power in by_power]
    kept = max(met) if to_infinity else min(met)
    square, linear, plain = (by_power.get(kept, equation[0].field.zero) for by_power in powers)
    return square, linear, plain


def _agrees(quadratic: tuple[Ratio, Ratio, Ratio], resistance: Surd | None) -> bool:
    """Whether the limit's own positive root, zero or infinity is the resistance found afresh."""
    square, linear, plain = quadratic
    if resistance is None:  # the greater root has run away: no square is left, nor a positive root
        return not square and not (plain and linear and _is_positive(-plain / linear))
    if not resistance:  # the lesser of two roots that are not negative has come down to zero
        return not plain and not (square and linear and _is_positive(-linear / square))
    field = square.field
    root = Surd(*(part.at({}, field) for part in (resistance.plain, resistance.factor, resistance.under)))
    return not (root * root * square + root * linear + plain)


def _is_positive(ratio: Ratio) -> bool:
    """Whether a ratio is positive for all positive values, as its signs show."""
    signs = {count > 0 for below in (False, True) for _, count in ratio.terms(below=below)}
    return signs == {True}
