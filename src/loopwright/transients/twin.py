"""The twin of a circuit in time: a coil in the place of each capacitor, a capacitor in that of each coil.

A coil that carries nothing is a gap just after and a wire long after, an empty capacitor the other way round:
in the twin every current has its two ends exchanged, and so the twin is a second version of any problem. What
a capacitor holds at the start stands in the twin as a battery in line with the coil, the current of a coil as
a current source side by side with the capacitor, which cuts the branch there.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import log10

from ..algebra.ratios import Field
from ..circuit.circuit import Circuit
from ..circuit.elements import STORAGES, Branch, Element, Kind, Pass
from ..circuit.in_time import moves, times_of_moves
from ..circuit.names import listed
from ..errors import FaultyMaterial
from ..expressions.nodes import ONE, ZERO, Expr, Quotient, Symbol, put_in
from ..expressions.tidy import tidy
from ..expressions.values import ratio_of, symbols_of
from ..findings import Finding
from .transient import Transient, transient

_OTHER = {Kind.CAPACITOR: Kind.COIL, Kind.COIL: Kind.CAPACITOR}
_LETTER = {Kind.CAPACITOR: "C", Kind.COIL: "L"}


def twin(circuit: Circuit) -> Circuit:
    """The circuit with coils for capacitors and capacitors for coils, each beginning with nothing.

    Numbers of the new storages have the digits of the old ones, and powers of ten by which the times come
    near the old ones. Asked is what can still be asked. Raises FaultyMaterial where there is no twin: nothing
    moves, or switches move again.
    """
    stage = transient(_that_has_one(circuit))
    symbols = _symbols(circuit)
    names = _names(circuit)
    elements = {n: e for n, e in circuit.elements.items() if n not in names}
    inside: dict[str, str] = {}
    for old, new in names.items():
        e = circuit.elements[old]
        elements[new] = Element(new, _OTHER[e.kind], _value(e.value, symbols))
        if e.internal is not None:
            inside[old] = _free(f"R{old}", {*elements, *circuit.elements})
            elements[inside[old]] = Element(inside[old], Kind.RESISTOR, e.internal)
    numbers = {n: v for n, v in circuit.numbers.items() if n not in symbols}
    numbers |= _numbers(circuit, symbols, stage)
    taken = {*elements, *numbers, *circuit.currents, *circuit.named_points}
    sources: dict[str, Pass] = {}
    for old, held in stage.held.items():
        if not held:
            continue
        capacitor, constant = circuit.elements[old].kind is Kind.CAPACITOR, held.constant()
        source = _free(("E" if capacitor else "J") + (old[1:] or old), taken)
        taken.add(source)
        kind = Kind.BATTERY if capacitor else Kind.CURRENT_SOURCE
        elements[source] = Element(source, kind, tidy(held) if constant is None else Symbol(source))
        if constant is not None:
            numbers[source] = abs(constant)
        sources[old] = Pass(source, (1 if (constant or 1) > 0 else -1) * (-1 if capacitor else 1))
    branches = tuple(
        new for b in circuit.branches for new in _in_twin(b, circuit, names, inside, sources, taken)
    )
    told = (
        f"{circuit.title}, with {listed(list(names.values()))} for {listed(list(names))}"
        if circuit.title
        else ""
    )
    return replace(
        circuit,
        title=told,
        story="",
        branches=branches,
        elements=elements,
        numbers=numbers,
        written={n: text for n, text in circuit.written.items() if n in numbers and n in circuit.numbers},
        in_time=_asked(circuit, names),
        expect=(),
        start=dict.fromkeys(names.values(), ZERO),
    )


def _that_has_one(circuit: Circuit) -> Circuit:
    """The circuit, where it may have a twin."""
    if not circuit.storages or not moves(circuit):
        why, mend = "nothing in it changes in time", "Say under [switching] which switch moves."
        raise FaultyMaterial(_none(why, mend))
    if len(times_of_moves(circuit)) > 1:
        why = (
            "its switches move again later. What a coil carries over a later move takes part just after "
            "it, while nothing is left long after of what a capacitor held, so that the ends no longer "
            "change places"
        )
        mend = "Leave the later moves out."
        raise FaultyMaterial(_none(why, mend))
    return circuit


def _none(why: str, mend: str) -> Finding:
    return Finding("time/no-twin", f"The circuit has no twin: {why}.", mend)


def _names(circuit: Circuit) -> dict[str, str]:
    """What each storage is called in the twin: L1 for C1."""
    taken = {*circuit.elements, *circuit.currents, *circuit.symbols} - set(circuit.storages)
    found: dict[str, str] = {}
    for old in circuit.storages:
        found[old] = _free(_LETTER[_OTHER[circuit.elements[old].kind]] + (old[1:] or "1"), taken)
        taken.add(found[old])
    return found


def _free(name: str, taken: Collection[str]) -> str:
    """A name that is not taken."""
    while name in taken:
        name += "a"
    return name


def _symbols(circuit: Circuit) -> dict[str, str]:
    """What the symbol of each capacitance and inductance is called in the twin."""
    names = _names(circuit)
    taken = {*circuit.symbols, *circuit.elements, *names.values()}
    found: dict[str, str] = {}
    for symbol in circuit.symbols:
        kind = circuit.role(symbol)
        if kind not in STORAGES:
            continue
        if symbol in names:
            found[symbol] = names[symbol]
            continue
        new = _LETTER[_OTHER[kind]] + (symbol[1:] if symbol[:1] == _LETTER[kind] else symbol)
        found[symbol] = _free(new, taken)
        taken.add(found[symbol])
    return found


def _value(value: Expr, symbols: Mapping[str, str]) -> Expr:
    """The value in the twin of a storage with this value: 1 over it, each symbol one over its own, so that
    series and parallel change places with the kinds."""
    if isinstance(value, Symbol):
        return Symbol(symbols.get(value.name, value.name))
    turned = {n: Quotient(ONE, Symbol(symbols[n])) for n in symbols_of(value) if n in symbols}
    field = Field(tuple(symbols.get(n, n) for n in symbols_of(value)))
    return tidy(field.one / ratio_of(put_in(value, turned), field))


def _numbers(circuit: Circuit, symbols: Mapping[str, str], stage: Transient) -> dict[str, Fraction]:
    """The numbers of the new symbols: the digits of the old, the power of ten by what the first storage
    sees, for L/R is as long as C R where L is C R²."""
    name = circuit.storages[0]
    seen = stage.seen[name]
    given = {old: circuit.numbers[old] for old in symbols if old in circuit.numbers}
    if seen is None or not seen or any(s not in circuit.numbers for s in seen.held()):
        shift = 0
    else:
        ohms = float(seen.value(circuit.numbers))
        shift = round(2 * log10(ohms))
    signs = {old: 1 if circuit.role(old) is Kind.CAPACITOR else -1 for old in given}
    return {symbols[old]: value * Fraction(10) ** (signs[old] * shift) for old, value in given.items()}


def _in_twin(
    branch: Branch,
    circuit: Circuit,
    names: Mapping[str, str],
    inside: Mapping[str, str],
    sources: Mapping[str, Pass],
    taken: set[str],
) -> Iterator[Branch]:
    """A branch with the storages of the twin, each with its resistance and its battery behind it; where a
    current source stands beside a capacitor, the two come last, as branches of their own from a point there.
    `taken`: the names there are."""
    along: list[Pass | str] = []
    apart: list[str] = []
    for item in branch.along:
        if isinstance(item, str) or item.element not in names:
            along.append(item)
            continue
        old = item.element
        own = [Pass(inside[old])] if old in inside else []
        if old in sources and circuit.elements[old].kind is Kind.COIL:
            along += own
            apart.append(old)
            continue
        along += [Pass(names[old]), *own]
        if old in sources:
            along.append(sources[old])
    stops: list[str] = []
    for old in apart:
        stops.append(_free(f"m{old[1:]}", taken))
        taken.add(stops[-1])
    yield replace(branch, end=(*stops, branch.end)[0], along=tuple(along))
    for old, (here, there) in zip(apart, pairwise([*stops, branch.end]), strict=True):
        for met in (Pass(names[old]), sources[old]):
            current = _free(f"I{met.element}", taken)
            taken.add(current)
            yield Branch(current, here, there, (met,))


def _asked(circuit: Circuit, names: Mapping[str, str]) -> tuple[str, ...]:
    """What is asked and does not speak of a storage; everything where nothing of it is left."""
    return tuple(t for t in circuit.in_time if not any(re.search(rf"\b{re.escape(n)}\b", t) for n in names))
