"""A symbol that several elements carry, taken to 0 or to infinity: the changed circuit solved afresh.

All elements that carry the symbol vanish, or grow, in a fixed ratio to one another, so that currents
have a limit even where the redrawn circuit alone would leave their split open. They are found in two scales,
without the closed forms. To 0: first the loops of vanishing branches by themselves, then the rest of the
circuit with those branches as wires, then how its currents share the vanishing branches. To infinity: first
how the current sources drive the growing branches with the rest as wires, then the parts that are left.
Stands on `circuit` and `solve`; knows nothing of closed forms of the circuit it is asked about.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ...algebra.ratios import Field, Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Branch, Element, Kind, Pass
from ...expressions.nodes import Symbol
from ...graph.connections import parts
from ...solve.exact import solve_posed
from .limit_of_ratio import LimitEnd, LimitOutcome, Unbounded, leading_coefficients, limit_of, sign_of


@dataclass(frozen=True, slots=True)
class _Piece:
    """A branch in one scale: its resistance and its rise in ohms and volts or parts of them; `driven`: the
    current that a source forces through it, or None."""

    name: str
    start: str
    end: str
    resistance: Ratio
    rise: Ratio
    driven: Ratio | None = None


@dataclass(frozen=True, slots=True)
class _Scales:
    """The branches of a circuit by what the symbol does to their resistance: `moved` ones vanish or grow, in
    proportion to the given resistances; `kept` ones keep theirs, which may be none; `driven` have a source.
    `pure`: every moved resistance is a multiple of the symbol and nothing more."""

    moved: tuple[_Piece, ...]
    kept: tuple[_Piece, ...]
    driven: tuple[_Piece, ...]
    pure: bool


def limits_by_scales(circuit: Circuit, symbol: str, to: LimitEnd) -> dict[str, LimitOutcome] | None:
    """Every current in the limit, by branch, in the circuit's field (amperes).

    None where the symbol does not simply scale: where some resistances vanish while others grow, where one
    goes with another power than the first, or where an emf or a source current has no limit.
    """
    scales = _scales(circuit, symbol, to)
    if scales is None:
        return None
    found = _vanishing(scales, circuit.field, symbol) if to == "0" else _growing(scales, circuit.field)
    if not scales.pure and any(isinstance(outcome, Unbounded) for outcome in found.values()):
        return None  # a current that grows as 1/s meets the next power of s in a drop
    return {name: found[name] for name in circuit.currents}


def _scales(circuit: Circuit, symbol: str, to: LimitEnd) -> _Scales | None:
    moved: list[_Piece] = []
    kept: list[_Piece] = []
    driven: list[_Piece] = []
    pure = True
    none = circuit.field.zero
    for b in circuit.branches:
        fixed = circuit.fixed_current(b.name)
        if fixed is not None:
            forced = limit_of(fixed, symbol, to)
            if isinstance(forced, Unbounded):
                return None
            driven.append(_Piece(b.name, b.start, b.end, none, none, forced))
            continue
        rise = limit_of(circuit.rise(b.name), symbol, to)
        if isinstance(rise, Unbounded):
            return None
        resistance = circuit.resistance(b.name)
        above, below, power = leading_coefficients(resistance, symbol, to)
        if not above or power == 0:
            kept.append(_Piece(b.name, b.start, b.end, above / below, rise))
        elif power == 1:
            moved.append(_Piece(b.name, b.start, b.end, above / below, rise))
            pure = pure and resistance == above / below * circuit.field.symbol(symbol)
        else:
            return None
    return _Scales(tuple(moved), tuple(kept), tuple(driven), pure)


def _vanishing(scales: _Scales, field: Field, symbol: str) -> dict[str, LimitOutcome]:
    """The currents when the moved resistances are c s and s goes to 0: those of order 1/s, then the rest."""
    wires = tuple(p for p in scales.kept if not p.resistance)
    inner = (*scales.moved, *wires)
    rest = (*(p for p in scales.kept if p.resistance), *scales.driven)
    growing = _solved(inner, field)
    root, height = _heights(inner, growing, field)
    ties = [_tie(point, root[point], height[point], field) for point in root if root[point] != point]
    outer = _solved((*rest, *ties), field)
    found: dict[str, LimitOutcome] = {p.name: outer[p.name] for p in rest}
    still = [replace(p, rise=field.zero) for p in inner]
    arriving = _arriving(rest, outer, field)
    inside = _solved((*still, *_sources(root, arriving, field)), field)
    for p in inner:
        grown = growing[p.name] / field.symbol(symbol)
        found[p.name] = Unbounded(sign_of(grown), grown) if grown else inside[p.name]
    return found


def _growing(scales: _Scales, field: Field) -> dict[str, LimitOutcome]:
    """The currents when the moved resistances are c s and s goes to infinity: through them flows only what
    current sources force, shared in inverse proportion to c; the rest falls into parts."""
    root = _roots(scales.kept, (*scales.moved, *scales.driven))
    through = {p.name: field.zero for p in scales.moved}
    between = [
        replace(p, start=root[p.start], end=root[p.end], rise=field.zero)
        for p in (*scales.moved, *scales.driven)
        if root[p.start] != root[p.end]
    ]
    if any(p.driven for p in between):
        forced = _solved(between, field)
        through |= {p.name: forced[p.name] for p in between if p.driven is None}
    through |= {p.name: p.driven for p in scales.driven if p.driven is not None}
    arriving = _arriving((*scales.moved, *scales.driven), through, field)
    inside = _solved((*scales.kept, *_sources(root, arriving, field)), field)
    return {**through, **{p.name: inside[p.name] for p in scales.kept}}


def _heights(
    pieces: Sequence[_Piece], currents: Mapping[str, Ratio], field: Field
) -> tuple[dict[str, str], dict[str, Ratio]]:
    """For each point of these branches the first point of its part, and the potential above it that the
    branches' rises and drops leave."""
    root = _roots(pieces)
    height = dict.fromkeys(root.values(), field.zero)
    waiting = list(height)
    for point in waiting:
        for p in pieces:
            gained = p.rise - p.resistance * currents[p.name]
            for at, to, gain in ((p.start, p.end, gained), (p.end, p.start, -gained)):
                if at == point and to not in height:
                    height[to] = height[at] + gain
                    waiting.append(to)
    return root, height


def _roots(pieces: Sequence[_Piece], others: Sequence[_Piece] = ()) -> dict[str, str]:
    """Each point, and the first point of the part in which `pieces` join it; `others` name points only."""
    points = dict.fromkeys(point for p in (*pieces, *others) for point in (p.start, p.end))
    return parts(points, pieces).part


def _tie(point: str, root: str, height: Ratio, field: Field) -> _Piece:
    """A branch without resistance that holds a point at its height above the first of its part."""
    return _Piece(f"tie {point}", root, point, field.zero, height)


def _arriving(pieces: Sequence[_Piece], currents: Mapping[str, Ratio], field: Field) -> dict[str, Ratio]:
    """The sum of the currents that these branches bring to each point."""
    found: dict[str, Ratio] = {}
    for p in pieces:
        found[p.end] = found.get(p.end, field.zero) + currents[p.name]
        found[p.start] = found.get(p.start, field.zero) - currents[p.name]
    return found


def _sources(root: Mapping[str, str], arriving: Mapping[str, Ratio], field: Field) -> list[_Piece]:
    """What arrives at each point from outside its part, as a current source from the part's first point."""
    return [
        _Piece(f"from outside to {point}", first, point, field.zero, field.zero, arriving[point])
        for point, first in root.items()
        if point != first and arriving.get(point)
    ]


def _solved(pieces: Sequence[_Piece], field: Field) -> dict[str, Ratio]:
    """The currents of a circuit made of these branches: worked with a symbol for every value, and the values
    put in afterwards."""
    elements: dict[str, Element] = {}
    values: dict[str, Ratio] = {}
    branches: list[Branch] = []
    for number, p in enumerate(pieces):
        met: list[Element] = []
        if p.driven is None:
            for kind, value in ((Kind.RESISTOR, p.resistance), (Kind.BATTERY, p.rise)):
                if value:
                    met.append(Element(f"{kind.name[0]}{number}", kind, Symbol(f"{kind.name[0]}{number}")))
                    values[met[-1].name] = value
        elif p.driven:
            met.append(Element(f"C{number}", Kind.CURRENT_SOURCE, Symbol(f"C{number}")))
            values[met[-1].name] = p.driven
        else:
            met.append(Element(f"S{number}", Kind.SWITCH, closed=False))
        elements |= {e.name: e for e in met}
        along = tuple(Pass(e.name, 1 if e.has_sign else 0) for e in met)
        branches.append(Branch(p.name, p.start, p.end, along))
    found = solve_posed(Circuit(tuple(branches), elements)).currents
    return {p.name: found[p.name].at(values, field) for p in pieces}
