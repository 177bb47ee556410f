"""A circuit changed as methods change it: sources at rest, elements taken out, a point given a name.

An emf at rest is a plain wire, but its internal resistance stays; a current source at rest is a gap. Knows
no laws and solves nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace

from ..expressions.nodes import Symbol
from .circuit import Circuit
from .elements import Branch, Element, Kind, Pass


def sources_in(circuit: Circuit) -> tuple[str, ...]:
    """The batteries and current sources, in the order in which the branches meet them."""
    met = (circuit.elements[p.element] for b in circuit.branches for p in b.passes)
    return tuple(e.name for e in met if e.kind in (Kind.BATTERY, Kind.CURRENT_SOURCE))


def batteries_in(circuit: Circuit) -> tuple[str, ...]:
    """The batteries, in the order in which the branches meet them."""
    return tuple(name for name in sources_in(circuit) if circuit.elements[name].kind is Kind.BATTERY)


def at_rest(circuit: Circuit, sources: Collection[str] | None = None) -> Circuit:
    """The circuit with these sources (by default all) at rest. An internal resistance stays as a resistor:
    under the name of its symbol, or that of the battery where this is no name of its own."""
    resting = sources_in(circuit) if sources is None else sources
    letters = circuit.lettered or circuit
    elements = dict(circuit.elements)
    put: dict[str, str] = {}  # what stands in the place of a source; empty for a plain wire
    for name in resting:
        e = circuit.elements[name]
        if e.kind is Kind.CURRENT_SOURCE:
            elements[name], put[name] = Element(name, Kind.SWITCH, closed=False), name
        elif e.internal is None:
            put[name] = ""
            del elements[name]
        else:
            put[name] = _inside(letters, letters.elements[name], put.values())
            del elements[name]
            elements[put[name]] = Element(put[name], Kind.RESISTOR, e.internal)
    branches = tuple(_with_put(b, put) for b in circuit.branches)
    return replace(
        circuit,
        elements=elements,
        branches=branches,
        find=(),
        expect=(),
        sought=(),
        given=(),
        lettered=_likewise(circuit, lambda own: at_rest(own, resting)),
    )


def _likewise(circuit: Circuit, change: Callable[[Circuit], Circuit]) -> Circuit | None:
    """The circuit with letters behind one in plain numbers, changed in the same way."""
    return None if circuit.lettered is None else change(circuit.lettered)


def _inside(circuit: Circuit, cell: Element, taken: Collection[str]) -> str:
    """What the internal resistance of a battery is called when it stands by itself."""
    digits = cell.name.lstrip("EVU")
    wanted = [cell.internal.name] if isinstance(cell.internal, Symbol) else [f"r{digits}", f"r{cell.name}"]
    return next((n for n in wanted if n not in circuit.elements and n not in taken), cell.name)


def with_currents_called(circuit: Circuit, names: Mapping[str, str]) -> Circuit:
    """The circuit with other names for its branch currents."""
    branches = tuple(replace(b, name=names.get(b.name, b.name)) for b in circuit.branches)
    own = _likewise(circuit, lambda other: with_currents_called(other, names))
    return replace(circuit, branches=branches, lettered=own)


def _with_put(branch: Branch, put: dict[str, str]) -> Branch:
    if not any(p.element in put for p in branch.passes):
        return branch
    along: list[Pass | str] = []
    for item in branch.along:
        if isinstance(item, str) or item.element not in put:
            along.append(item)
        elif put[item.element]:
            along.append(Pass(put[item.element]))
    return replace(branch, along=tuple(along))


def taken_out(circuit: Circuit, names: tuple[str, ...]) -> Circuit:
    """The circuit with a gap in the place of each of these elements."""
    gaps = {circuit.elements[name].name: Element(name, Kind.SWITCH, closed=False) for name in names}
    elements = {**circuit.elements, **gaps}
    own = _likewise(circuit, lambda other: taken_out(other, names))
    return replace(circuit, elements=elements, find=(), expect=(), sought=(), given=(), lettered=own)


def split_at(circuit: Circuit, points: tuple[str, ...]) -> Circuit:
    """The circuit with its branches cut into pieces wherever one of `points` lies on the way. The second
    piece of a branch `I1` is called `I1\\0 1`, which no file can give."""
    pieces: list[Branch] = []
    for b in circuit.branches:
        start, count = b.start, 0
        along: list[Pass | str] = []
        for item in b.along:
            if isinstance(item, str) and item in points:
                pieces.append(Branch(f"{b.name}\0{count}" if count else b.name, start, item, tuple(along)))
                start, along, count = item, [], count + 1
            else:
                along.append(item)
        pieces.append(Branch(f"{b.name}\0{count}" if count else b.name, start, b.end, tuple(along)))
    own = _likewise(circuit, lambda other: split_at(other, points))
    return replace(circuit, branches=tuple(pieces), lettered=own)


def with_ends_named(circuit: Circuit, element: str) -> tuple[Circuit, tuple[str, str]]:
    """The circuit with a name for both ends of an element, and these in the order of its branch's arrow. A
    named point counts as the end where nothing but wire lies between."""
    b = circuit.branch_of(element)
    at = next(i for i, item in enumerate(b.along) if isinstance(item, Pass) and item.element == element)
    taken = set(circuit.named_points)
    ends: list[str] = []
    before, after = list(b.along[:at]), list(b.along[at + 1 :])
    for near, outer in ((before[::-1], b.start), (after, b.end)):
        end = near[0] if near else outer
        ends.append(end if isinstance(end, str) else _new_point(taken))
        taken.add(ends[-1])
    if before and not isinstance(before[-1], str):
        before.append(ends[0])
    if after and not isinstance(after[0], str):
        after.insert(0, ends[1])
    named = replace(b, along=(*before, b.along[at], *after))
    branches = tuple(named if other.name == b.name else other for other in circuit.branches)
    own = _likewise(circuit, lambda other: with_ends_named(other, element)[0])
    return replace(circuit, branches=branches, lettered=own), (ends[0], ends[1])


def _new_point(taken: set[str]) -> str:
    letters = "pqstuvwxyz"
    return next(n + "′" * k for k in range(len(taken) + 1) for n in letters if n + "′" * k not in taken)
