"""Currents by named quantities: short and exact where the closed forms written out are long.

Branches on no loop carry nothing; parts in series and in parallel are made one (`collapse`); of what
remains the points are eliminated one at a time (`stars`); then the currents follow. Where one source
drives all, its two points are kept to the last, and it sees one resistance between them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..errors import BrokenPromise
from ..expressions.fold import by_signs, fold
from ..expressions.nodes import (
    ONE,
    ZERO,
    Expr,
    Symbol,
    add,
    over,
    put_in,
    times,
)
from ..expressions.tidy import tidy
from ..graph.connections import bridges, parts
from ..graph.lines import Line, Link
from .collapse import Edge, collapsed, give_currents, signed
from .named_lines import Definition, Naming, value_in, values_along, written_length
from .stars import Stars, ordered

NamedPush = tuple[str, str, Expr]  # a fixed current from one point to another


@dataclass(frozen=True)
class NamedForms:
    """The lines that lead from the values of a circuit to its currents, each name used below its line."""

    circuit: Circuit
    lines: tuple[Definition, ...]

    @property
    def roles(self) -> dict[str, str]:
        """What each name given stands for."""
        return {line.name: line.role for line in self.lines}

    @property
    def written_symbols(self) -> int:
        """How many symbols it takes to write all lines down."""
        return written_length(self.lines)

    def currents(self, field: Field, names: dict[str, Ratio] | None = None) -> dict[str, Ratio]:
        """Every branch current in `field`; `names` stand for symbols that are not in it.

        Raises ZeroDivisionError where a line divides by zero.
        """
        found = values_along(self.lines, field, names or {})
        return {name: found[name] for name in self.circuit.currents}

    def currents_at(self, values: Mapping[str, Fraction]) -> dict[str, Fraction]:
        """Every branch current at numbers for all symbols.

        Raises ZeroDivisionError where a line divides by zero.
        """
        known = dict(values)
        at = by_signs(lambda number: number.value, known.__getitem__)
        for line in self.lines:
            known[line.name] = fold(line.body, at)
        return {name: known[name] for name in self.circuit.currents}


def named_forms(circuit: Circuit) -> NamedForms:
    """Every branch current of a well-posed circuit by named quantities."""
    naming = Naming((*circuit.symbols, *circuit.currents, *circuit.elements))
    fixed = {b.name: circuit.fixed_current(b.name) for b in circuit.branches}
    lines = [b for b in circuit.branches if fixed[b.name] is None or fixed[b.name]]
    idle = {*bridges(lines), *(n for n, amount in fixed.items() if amount is not None and not amount)}
    edges: list[Edge] = []
    pushed: list[NamedPush] = []
    for b in circuit.branches:
        amount, rise, resistance = fixed[b.name], circuit.rise(b.name), circuit.resistance(b.name)
        if b.name in idle:
            naming.give(b.name, ZERO, "current", ("It lies on no closed path.",))
        elif amount is not None:
            current = naming.give(b.name, tidy(amount), "current", ("Its source fixes it.",))
            if b.start != b.end:
                pushed.append((b.start, b.end, current))
        elif b.start == b.end:
            body = tidy(rise / resistance) if resistance else ZERO
            naming.give(b.name, body, "current", ("A loop of its own.",))
        else:
            shares = tidy(resistance) if resistance else None
            edges.append(Edge(b.start, b.end, shares, tidy(rise) if rise else None, b.name))
    several = len(pushed) + sum(e.emf is not None for e in edges) > 1
    kept = frozenset(p for start, end, _ in pushed for p in (start, end))
    for group in _parts(collapsed(edges, kept, naming, sources=several), pushed):
        touched = {p for e in group for p in (e.start, e.end)}
        _work(circuit, group, [p for p in pushed if p[0] in touched], naming)
    return NamedForms(circuit, tuple(naming.lines))


def source_current_at_once(circuit: Circuit) -> Expr | None:
    """The current of the one source over resistances in series and parallel, each written once:
    `E/(R1 + R2 ∥ (R3 + R4))`, straight from the network. None where it has not one battery as its source,
    or the rest is not series and parallel alone. Raises BrokenPromise should it not be the exact current.
    """
    forms = named_forms(circuit)
    driven = [b.name for b in circuit.branches if circuit.rise(b.name)]
    gaps = [b.name for b in circuit.branches if circuit.fixed_current(b.name)]
    if len(driven) != 1 or gaps or not {line.role for line in forms.lines} <= {"resistance", "current"}:
        return None
    written: dict[str, Expr] = {}
    for line in forms.lines:
        written[line.name] = put_in(line.body, written)
        if line.name == driven[0]:
            break
    current = written[driven[0]]
    exact = forms.currents(circuit.field)[driven[0]]
    if value_in(current, circuit.field, {}) != exact:
        raise BrokenPromise(f"{current} is not the current {exact}")
    return current


def _parts(edges: Sequence[Edge], pushed: Sequence[NamedPush]) -> list[list[Edge]]:
    """The edges sorted into parts that hang together, fixed currents counted."""
    joined: list[Line] = [*edges, *(Link("", start, end) for start, end, _ in pushed)]
    found = parts(dict.fromkeys(p for line in joined for p in (line.start, line.end)), joined)
    groups: dict[str, list[Edge]] = {}
    for e in edges:
        groups.setdefault(found.part[e.start], []).append(e)
    return list(groups.values())


def _work(circuit: Circuit, edges: list[Edge], pushed: list[NamedPush], naming: Naming) -> None:
    """Writes the lines of one connected part into `naming`: `edges` are its resistances, `pushed` the
    currents that elements fix in it."""
    driven = [e for e in edges if e.emf is not None]
    if not pushed and (not driven or len(edges) == 1):
        for e in edges:  # a single edge left is all the parts side by side: nothing flows beside them
            give_currents(e, ZERO, naming, ("Nothing drives it.",))
    elif len(driven) + len(pushed) == 1:
        _one_source(circuit, edges, driven, pushed, naming)
    else:
        stars = Stars(edges, naming)
        stars.conduct()
        for start, end, current in pushed:
            stars.send(start, end, current)
        ground = stars.into[driven[0].start if driven else pushed[0][0]]
        stars.eliminate((ground,))
        stars.put_back(ground)
        _currents(circuit, stars, edges, naming)


def _one_source(
    circuit: Circuit, edges: list[Edge], driven: list[Edge], pushed: list[NamedPush], naming: Naming
) -> None:
    """Writes the lines of a part that one source drives: the resistance it sees, its current, and the rest
    from there."""
    rest = [e for e in edges if e.emf is None]
    start, end = (driven[0].start, driven[0].end) if driven else pushed[0][:2]
    stars = Stars(rest, naming)
    tip = end
    start, end = stars.into[start], stars.into[end]
    lone = rest[0] if len(rest) == 1 else None
    seen: Expr = ZERO
    if lone is not None:
        seen = lone.resistance or ZERO
    elif start != end:
        stars.conduct()
        stars.eliminate((start, end))
        seen = over(ONE, stars.between(start, end))
        seen = naming.give(naming.lettered("R"), seen, "resistance", ("What the source sees.",))
    flow: Expr
    if driven:
        why = ("The emf over its own resistance and what it sees.",)
        total = add(driven[0].resistance or ZERO, seen)
        flow = give_currents(driven[0], over(driven[0].emf or ZERO, total), naming, why)
    else:
        flow = pushed[0][2]
    if lone is not None:
        give_currents(lone, signed(flow, 1 if lone.start == tip else -1), naming, ("The same current.",))
        return
    if start != end:
        bare = driven[0].emf if driven and driven[0].resistance is None else None
        stars.give_level(end, start, bare or times(flow, seen), ("What the source holds up.",))
    stars.put_back(start)
    _currents(circuit, stars, rest, naming)


def _currents(circuit: Circuit, stars: Stars, edges: Sequence[Edge], naming: Naming) -> None:
    """The current of every edge: by its voltage, or where it has no resistance by the junction rule."""
    for e in edges:
        if e.resistance is not None:
            give_currents(e, stars.current(e), naming, ())
    waiting = [e for e in edges if e.resistance is None]
    while waiting:
        ends = [p for e in waiting for p in (e.start, e.end)]
        e = next(e for e in waiting if 1 in (ends.count(e.start), ends.count(e.end)))
        waiting.remove(e)
        point, sense = (e.end, 1) if ends.count(e.end) == 1 else (e.start, -1)
        own = set(_branches(e))
        out = [
            signed(Symbol(b.name), 1 if b.start == point else -1)
            for b in circuit.branches
            if point in (b.start, b.end)
            and b.start != b.end
            and b.name not in own
            and not _is_zero(naming, b.name)
        ]
        total = ordered([signed(x, sense) for x in out])
        give_currents(e, total, naming, ("Currents in = currents out.",))


def _branches(edge: Edge) -> list[str]:
    return [edge.name] if edge.name else [name for part, _ in edge.parts for name in _branches(part)]


def _is_zero(naming: Naming, name: str) -> bool:
    return any(line.name == name and line.body == ZERO for line in naming.lines)
