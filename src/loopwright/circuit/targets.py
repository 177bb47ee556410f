"""What the person asks of a circuit: a current, a potential difference, a power, a resistance seen, or
anything put together from these and from the circuit's values.

`find = ["I1", "V(a, b)", "P(R1)", "R(a, b)", "P(R1) + P(R2)"]`. Knows no laws and no solution.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from ..errors import FaultyMaterial
from ..expressions.dimensions import AMPERE, OHM, PLAIN, VOLT, WATT, Clash, Dimension, dimension
from ..expressions.nodes import Expr, Symbol, numbers_in
from ..expressions.parse import Unreadable, expression
from ..expressions.tokens import TERMINALS
from ..expressions.values import symbols_of
from ..expressions.writers import plain
from ..findings import Finding
from .circuit import Circuit
from .elements import DIMENSION_OF, Kind
from .names import listed, nearest, point_name, quantity_name
from .unit_kinds import asked_of, in_words, settle

HEAT, SOURCES = "heat", "sources"  # P(heat): of all resistances together; P(sources): of all sources
_CALL = re.compile(r"\s*([VPR])\s*\(([^()]*)\)\s*(?:without\s+([^()+\-−*/·×∥^]*))?")
_FORMS = (
    "I1 for a current, V(a, b) for a potential difference, P(R1) for a power, R(a, b) for a resistance,"
    " R(a, b) without E1 for what a battery sees, or a sum, product or quotient of such quantities"
)


class Asked(StrEnum):
    """The kinds of question."""

    CURRENT = "current"
    POTENTIAL = "potential difference"
    POWER = "power"
    RESISTANCE = "resistance"
    EXPRESSION = "expression"


_DIMENSIONS = {
    Asked.CURRENT: AMPERE,
    Asked.POTENTIAL: VOLT,
    Asked.POWER: WATT,
    Asked.RESISTANCE: OHM,
}


@dataclass(frozen=True, slots=True)
class Target:
    """One question. `names` holds the current (one name), the element (one) or the two points.

    A potential difference V(a, b) is the potential of a minus that of b. A power counts as positive when a
    resistor takes it in as heat and when a source delivers it: P(E1) is what the emf itself converts, E1
    times its current, and P(E1, terminals) what is left of it at the terminals (`names` then ends in
    "terminals"); P(heat) is that of all resistances, internal ones included, P(sources) that of all sources.
    R(a, b) is the resistance seen between a and b with every source at zero. The elements `without` are
    taken out and leave a gap. An expression holds `written`, and in `parts` the quantities called by such
    names in it; `of` is its dimension.
    """

    kind: Asked
    names: tuple[str, ...]
    without: tuple[str, ...] = ()
    written: Expr | None = None
    parts: tuple[Target, ...] = ()
    of: Dimension = PLAIN

    @property
    def dimension(self) -> Dimension:
        """The dimension of what is asked."""
        return _DIMENSIONS.get(self.kind, self.of)

    @property
    def name(self) -> Expr:
        """What is asked, as it is written in a formula."""
        return self.written or Symbol(self.as_text())

    def as_text(self) -> str:
        """The question in its one plain form: `I1`, `V(a, b)`, `P(R1)`, `R(a, b)`, `P(R1) + P(R2)`."""
        if self.written is not None:
            return plain.render(self.written)
        letter = {Asked.POTENTIAL: "V", Asked.POWER: "P", Asked.RESISTANCE: "R"}.get(self.kind)
        rest = f" without {', '.join(self.without)}" if self.without else ""
        return f"{letter}({', '.join(self.names)}){rest}" if letter else self.names[0]


def targets(circuit: Circuit) -> tuple[Target, ...]:
    """All that is asked of a circuit, in order; every branch current when nothing is named.

    Raises FaultyMaterial with all findings when a question cannot be read or names nothing there is.
    """
    if not circuit.find:
        return tuple(Target(Asked.CURRENT, (name,)) for name in circuit.currents)
    found: list[Target] = []
    faults: list[Finding] = []
    for text in circuit.find:
        try:
            found.append(target(text, circuit))
        except FaultyMaterial as error:
            faults.extend(error.findings)
    if faults:
        raise FaultyMaterial(*faults)
    return tuple(dict.fromkeys(found))


def target(text: str, circuit: Circuit) -> Target:
    """Reads one question. Raises FaultyMaterial when it cannot be read or names nothing there is."""
    call = _CALL.fullmatch(text)
    if call is None:
        return _expression(text, circuit) if quantity_name(text) is None else _current(text, circuit)
    letter = call[1]
    if letter == "P" and call[3] is not None:
        raise FaultyMaterial(_unread(text, "a power cannot be asked without something"))
    arguments = [argument.strip() for argument in call[2].split(",")]
    if letter == "P":
        return _power(text, arguments, circuit)
    kind = Asked.POTENTIAL if letter == "V" else Asked.RESISTANCE
    if len(arguments) != 2:
        raise FaultyMaterial(_not_two_points(text, letter, arguments[0], circuit))
    for argument in arguments:
        if (point_name(argument) or argument) not in circuit.named_points:
            raise FaultyMaterial(unknown_target(text, "point", argument, circuit.named_points))
    a, b = (point_name(argument) or argument for argument in arguments)
    if a == b:
        raise FaultyMaterial(_unread(text, f"both points are {a}"))
    return Target(kind, (a, b), _left_out(text, call[3], circuit))


def free_ends(find: object) -> tuple[str, ...]:
    """The points between which a resistance is asked: a single branch may end there, for what is to be
    joined on is not in the circuit. Empty for what is no list of questions."""
    texts = [find] if isinstance(find, str) else find if isinstance(find, list) else []
    calls = [_CALL.fullmatch(text) for text in texts if isinstance(text, str)]
    return tuple(
        point_name(name) or name.strip()
        for call in calls
        if call is not None and call[1] == "R"
        for name in call[2].split(",")
    )


def _left_out(text: str, listing: str | None, circuit: Circuit) -> tuple[str, ...]:
    """The elements named after `without` in a question. Raises FaultyMaterial where one is none."""
    if listing is None:
        return ()
    wanted = [quantity_name(name) or name for name in re.split(r"\s*(?:,|\band\b)\s*", listing.strip())]
    for name in wanted:
        if name not in circuit.elements:
            raise FaultyMaterial(unknown_target(text, "element", name, tuple(circuit.elements)))
    return tuple(wanted)


def _current(text: str, circuit: Circuit) -> Target:
    name = quantity_name(text)
    if name is None:
        raise FaultyMaterial(_unread(text, "it cannot be read"))
    if name not in circuit.currents:
        if name in circuit.elements:
            what = f"{name} is an element, not a current"
            fault = Finding(
                "file/unknown-target", f'"{text}" is asked, but {what}.', f"Ask P({name}) for its power."
            )
            raise FaultyMaterial(fault)
        if name in (HEAT, SOURCES):
            what = f'"{text}" is asked, but there is no current of this name.'
            raise FaultyMaterial(Finding("file/unknown-target", what, f"Write P({name})."))
        raise FaultyMaterial(unknown_target(text, "current", name, circuit.currents))
    return Target(Asked.CURRENT, (name,))


def _expression(text: str, circuit: Circuit) -> Target:
    """A question put together from quantities that can be asked and from the circuit's values."""
    valued = [n for n, element in circuit.elements.items() if element.kind in DIMENSION_OF]
    known = (*circuit.currents, *circuit.symbols, *valued)
    try:
        written = expression(text, known)
    except Unreadable as error:
        raise FaultyMaterial(_unread(text, f"it cannot be read: {error.why}")) from error
    if any(number.unit for number in numbers_in(written)):
        raise FaultyMaterial(_unread(text, "a number with a unit stands in it, which no question needs"))
    parts: dict[str, Target] = {}
    for name in symbols_of(written):
        if "(" in name:
            parts[name] = target(name, circuit)
        elif name not in known:
            raise FaultyMaterial(unknown_target(text, "quantity", name, known))
    if not parts and not any(name in circuit.currents for name in symbols_of(written)):
        raise FaultyMaterial(_unread(text, "no current, voltage, power or resistance seen stands in it"))
    try:
        of = dimension(written, dimensions_of(parts, circuit).get, PLAIN) or PLAIN
    except Clash as clash:
        fault = Finding(
            "file/unlike-terms",
            f'"{text}" is asked, but it adds {in_words(clash.wanted)} and {in_words(clash.found)}.',
            "Add like quantities only, such as P(R1) + P(R2), or ask for each by itself.",
        )
        raise FaultyMaterial(fault) from clash
    return Target(Asked.EXPRESSION, (), written=written, parts=tuple(parts.values()), of=of)


def dimensions_of(parts: Mapping[str, Target], circuit: Circuit) -> dict[str, Dimension]:
    """The dimension of everything that can stand in a question; `parts`: what is called like `V(a, b)`."""
    elements = circuit.elements.values()
    return {
        **{e.name: DIMENSION_OF[e.kind] for e in elements if e.kind in DIMENSION_OF},
        **settle(asked_of(elements))[0].known,
        **dict.fromkeys(circuit.currents, AMPERE),
        **{name: part.dimension for name, part in parts.items()},
    }


def _power(text: str, arguments: list[str], circuit: Circuit) -> Target:
    if len(arguments) == 1 and arguments[0] in (HEAT, SOURCES) and arguments[0] not in circuit.elements:
        return Target(Asked.POWER, (arguments[0],))
    at_terminals = len(arguments) == 2 and arguments[1] == TERMINALS
    if len(arguments) != 1 and not at_terminals:
        raise FaultyMaterial(_unread(text, "P(R1) names one element, P(E1, terminals) a battery"))
    name = quantity_name(arguments[0])
    held = [name for name, element in circuit.elements.items() if element.kind in _POWERED]
    if name is None or name not in held:
        raise FaultyMaterial(unknown_target(text, "resistor or source", arguments[0], held))
    if at_terminals and circuit.elements[name].kind is not Kind.BATTERY:
        raise FaultyMaterial(_unread(text, f"{name} is a {circuit.elements[name].kind}: P({name}) is all"))
    return Target(Asked.POWER, (name, TERMINALS) if at_terminals else (name,))


_POWERED = (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE)


def _unread(text: str, why: str) -> Finding:
    return Finding("file/unreadable-target", f'"{text}" is asked, but {why}.', f"Write {_FORMS}.")


def _not_two_points(text: str, letter: str, argument: str, circuit: Circuit) -> Finding:
    """For `V(R1)`: how the drop across a resistor is asked; for anything else how two points are named."""
    name = quantity_name(argument)
    resistors = [e.name for e in circuit.elements.values() if e.kind is Kind.RESISTOR]
    if letter == "V" and name is not None and name in resistors:
        current = circuit.branch_of(name).name
        what = f'"{text}" is asked, but here V(a, b) names two points.'
        mend = f"Write {current} {name} for the drop across {name} along the arrow of {current}."
        return Finding("file/unreadable-target", what, mend)
    return _unread(text, f"{letter}(a, b) names two points with a comma between them")


def unknown_target(text: str, what: str, name: str, known: Sequence[str]) -> Finding:
    """That a question names something there is not, with the nearest of what is `known`."""
    near = nearest(name, known)
    mend = (
        f"Did you mean {near}?"
        if near
        else f"There {'is' if len(known) == 1 else 'are'} {listed(known)}."
        if known
        else ""
    )
    return Finding(
        "file/unknown-target", f'"{text}" is asked, but there is no {what} {name}.', mend, about=(name,)
    )
