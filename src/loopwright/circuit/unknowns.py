"""What is asked backwards: a value from a given result, the load for the greatest power, a short circuit.

    find  = ["R2"]               with  given = ["I1 = 0.50 A"]
    find  = ["R4 for greatest P(R4)", "greatest P(R4)", "short-circuit I(a, b)"]

Such questions stand in `find` and are kept apart from the others in `Circuit.sought`. Says all that is wrong
with them. Knows no laws and no solution.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from ..errors import FaultyMaterial
from ..findings import Finding
from ..quantities import UnreadableQuantity, read_quantity
from .circuit import Circuit
from .names import listed, nearest, point_name, quantity_name
from .targets import Asked, Target, target

MOST_UNKNOWNS = 2
_LOAD = re.compile(r"\s*(\S+)\s+for\s+greatest\s+(.+)")
_GREATEST = re.compile(r"\s*greatest\s+(.+)")
_POWER = re.compile(r"P\s*\(([^(),]*)\)")
_SHORT = re.compile(r"\s*short-circuit\s+I\s*\(([^()]*)\)\s*")
_UNIT = {Asked.CURRENT: "A", Asked.POTENTIAL: "V", Asked.POWER: "W", Asked.RESISTANCE: "Ω"}
_FORM = 'Write given = ["I1 = 0.50 A"], or ["I1"] for a formula in I1.'


class SoughtKind(StrEnum):
    """The kinds of question that run backwards."""

    VALUE = "a value"
    LOAD = "the value for the greatest power"
    GREATEST = "the greatest power"
    SHORT = "a short-circuit current"


@dataclass(frozen=True, slots=True)
class Sought:
    """One question. `names`: the symbol that is to be found or varied, or the two points short-circuited;
    `power`: the power that is to be greatest."""

    kind: SoughtKind
    names: tuple[str, ...]
    power: Target | None = None

    def as_text(self) -> str:
        """The question in its one plain form."""
        match self.kind:
            case SoughtKind.VALUE:
                return self.names[0]
            case SoughtKind.SHORT:
                return f"short-circuit I({', '.join(self.names)})"
        power = self.power.as_text() if self.power else ""
        return (
            f"{self.names[0]} for greatest {power}" if self.kind is SoughtKind.LOAD else f"greatest {power}"
        )


@dataclass(frozen=True, slots=True)
class GivenResult:
    """A result that is given: `value` in SI units (None: it stands as a symbol), `text` as it was written."""

    target: Target
    value: Fraction | None
    text: str

    @property
    def name(self) -> str:
        """What is given, as a symbol: `I1`, `V(a, b)`."""
        return self.target.as_text()


def runs_backwards(text: str, symbols: Collection[str], *, given: bool) -> bool:
    """Whether a question of `find` asks backwards; `given`: whether a result is given."""
    if any(form.fullmatch(text) for form in (_LOAD, _GREATEST, _SHORT)):
        return True
    return given and quantity_name(text) in symbols


def varied_in(text: str) -> str | None:
    """The symbol that a backward question finds or varies, which needs no number; None where it has none."""
    if load := _LOAD.fullmatch(text):
        return quantity_name(load[1])
    if greatest := _GREATEST.fullmatch(text):
        called = _POWER.fullmatch(greatest[1].strip())
        return quantity_name(called[1]) if called else None
    return quantity_name(text)


def unknowns(circuit: Circuit) -> tuple[str, ...]:
    """The symbols that are to be found from what is given."""
    return tuple(s.names[0] for s in sought_of(circuit) if s.kind is SoughtKind.VALUE)


def sought_of(circuit: Circuit) -> tuple[Sought, ...]:
    """The backward questions, in order. Raises FaultyMaterial where one names nothing there is."""
    return tuple(dict.fromkeys(_sought(text, circuit) for text in circuit.sought))


def given_of(circuit: Circuit) -> tuple[GivenResult, ...]:
    """The results given, in order. Raises FaultyMaterial where one cannot be read."""
    return tuple(_given(text, circuit) for text in circuit.given)


def results_meant(circuit: Circuit) -> tuple[str, ...]:
    """The questions answered in closed form on the way, where no other is asked."""
    told = [one.name for one in given_of(circuit)]
    for sought in sought_of(circuit):
        if sought.power is not None:
            told.append(sought.power.as_text())
        elif sought.kind is SoughtKind.SHORT:
            told.append(f"V({', '.join(sought.names)})")
    return tuple(dict.fromkeys(told))


def faults_of(circuit: Circuit) -> Iterable[tuple[tuple[str, int], Finding]]:
    """All that is wrong with what is sought and given, each with its key and item."""
    sound = True
    for key, texts, reader in (("find", circuit.sought, _sought), ("given", circuit.given, _given)):
        for n, text in enumerate(texts):
            try:
                reader(text, circuit)
            except FaultyMaterial as error:
                sound = False
                yield from (((key, n), finding) for finding in error.findings)
    if sound:
        yield from _together(circuit)


def _together(circuit: Circuit) -> Iterable[tuple[tuple[str, int], Finding]]:
    """What is wrong with unknowns and given results taken together."""
    wanted, given = unknowns(circuit), given_of(circuit)
    for n, name in enumerate(wanted):
        if name in circuit.numbers:
            yield (
                ("find", n),
                Finding(
                    "given/known-already",
                    f"{name} is to be found from what is given, but it has a number.",
                    f"Take {name} out of the numbers, or out of find.",
                    about=(name,),
                ),
            )
    for n, one in enumerate(given):
        if one.name in [other.name for other in given[:n]]:
            why = f"{one.name} is given twice."
            yield ("given", n), Finding("given/twice", why, "Keep one of the two.", about=(one.name,))
    if circuit.ladder is not None and (wanted or given or circuit.sought):
        why = "a ladder without end has no results that could be given or asked backwards."
        place = ("given" if given else "find", 0)
        yield place, Finding("ladder/asked-beyond", why, "Give a number of sections.")
    elif len(wanted) != len(given) or len(given) > MOST_UNKNOWNS:
        counts = f"{_few(len(given), 'result')} given, and {_few(len(wanted), 'value')} to be found from that"
        if len(given) > MOST_UNKNOWNS and len(wanted) == len(given):
            mend = f"At most {MOST_UNKNOWNS} can be found together: give numbers for the others."
        elif len(given) > len(wanted):
            mend = 'Name in find as many values as results are given, such as find = ["R2"].'
        else:
            mend = "Give one result for each value to be found."
        yield ("given", 0), Finding("given/not-as-many", f"{counts}.", mend)


def _few(count: int, what: str) -> str:
    return f"{count} {what} {'is' if count == 1 else 's are'}".replace(" s are", "s are")


def _sought(text: str, circuit: Circuit) -> Sought:
    if short := _SHORT.fullmatch(text):
        points = tuple(point_name(p) or p.strip() for p in short[1].split(","))
        if len(points) != 2 or points[0] == points[1]:
            raise FaultyMaterial(_bad(text, "names no two points", "Write short-circuit I(a, b)."))
        target(f"V({', '.join(points)})", circuit)
        return Sought(SoughtKind.SHORT, points)
    if load := _LOAD.fullmatch(text):
        return Sought(SoughtKind.LOAD, (_symbol(text, load[1], circuit),), _power(text, load[2], circuit))
    if greatest := _GREATEST.fullmatch(text):
        power = _power(text, greatest[1], circuit)
        return Sought(SoughtKind.GREATEST, (_symbol(text, power.names[0], circuit),), power)
    return Sought(SoughtKind.VALUE, (_symbol(text, text, circuit),))


def _power(text: str, called: str, circuit: Circuit) -> Target:
    found = target(called.strip(), circuit)
    if found.kind is not Asked.POWER:
        raise FaultyMaterial(_bad(text, "asks no power", "Write greatest P(R4)."))
    return found


def _symbol(text: str, called: str, circuit: Circuit) -> str:
    name = quantity_name(called) or called
    if name in circuit.symbols:
        return name
    near = nearest(name, circuit.symbols)
    mend = f"Did you mean {near}?" if near else f"The symbols are {listed(circuit.symbols)}."
    raise FaultyMaterial(_bad(text, f"names {name}, which is no symbol of a value", mend))


def _bad(text: str, why: str, mend: str) -> Finding:
    return Finding("given/unknown-value", f'"{text}" is asked, but it {why}.', mend)


def _given(text: str, circuit: Circuit) -> GivenResult:
    left, equals, right = (part.strip() for part in text.partition("="))
    if equals and not right:
        raise FaultyMaterial(Finding("given/unreadable", f'"{text}" says no number.', _FORM))
    if quantity_name(left) in (*circuit.symbols, *circuit.elements):
        why = f'"{text}" gives the value of an element, and not a result.'
        mend = f'Write {left} = "{right or "..."}" under [numbers].'
        raise FaultyMaterial(Finding("given/not-a-result", why, mend, about=(left,)))
    try:
        found = target(left, circuit)
    except FaultyMaterial as error:
        raise FaultyMaterial(
            *(
                Finding("given/unknown-result", f.message.replace("asked", "given"), f.mend, about=f.about)
                for f in error.findings
            )
        ) from error
    if found.kind is Asked.EXPRESSION:
        why = f'"{text}" gives several results put together.'
        raise FaultyMaterial(Finding("given/not-a-result", why, "Give one of them by itself."))
    if not equals:
        return GivenResult(found, None, text)
    try:
        quantity = read_quantity(right)
    except UnreadableQuantity as error:
        why = f'"{right}" in "{text}" is no number: {error.why}.'
        mend = f"{error.mend[0].upper()}{error.mend[1:]}."
        raise FaultyMaterial(Finding("given/unreadable", why, mend)) from error
    unit = _UNIT.get(found.kind, "")
    if quantity.unit != unit:
        stands = f"in {quantity.unit}" if quantity.unit else "without a unit"
        why = f'"{text}" gives {found.as_text()} {stands}; a {found.kind} is in {unit}.'
        raise FaultyMaterial(Finding("given/wrong-unit", why, f"Write {left} = {quantity.digits} {unit}."))
    return GivenResult(found, quantity.value, right)


def at_given(circuit: Circuit, finding: Finding) -> FaultyMaterial:
    """What came out wrong in working with what is given, placed at that key."""
    return FaultyMaterial(replace(finding, place=circuit.place("given")))
