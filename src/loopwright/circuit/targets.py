"""What the person asks of a circuit: a current, a potential difference, a power, a resistance seen.

`find = ["I1", "V(a, b)", "P(R1)", "R(a, b)"]`. Knows no laws and no solution.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from ..errors import FaultyMaterial
from ..findings import Finding
from .circuit import Circuit
from .elements import Kind
from .names import listed, nearest, point_name, quantity_name

_CALL = re.compile(r"\s*([VPR])\s*\(([^()]*)\)\s*(?:without\s+(.*))?")
_FORMS = (
    "I1 for a current, V(a, b) for a potential difference, P(R1) for a power, R(a, b) for a resistance,"
    " R(a, b) without E1 for what a battery sees"
)


class Asked(StrEnum):
    """The kinds of question."""

    CURRENT = "current"
    POTENTIAL = "potential difference"
    POWER = "power"
    RESISTANCE = "resistance"


@dataclass(frozen=True, slots=True)
class Target:
    """One question. `names` holds the current (one name), the element (one) or the two points.

    A potential difference V(a, b) is the potential of a minus that of b; a power is the power taken
    by an element (negative: given); R(a, b) is the resistance seen between a and b with every
    source at zero and a gap in the place of the elements `without`.
    """

    kind: Asked
    names: tuple[str, ...]
    without: tuple[str, ...] = ()

    def as_text(self) -> str:
        """The question in its one plain form: `I1`, `V(a, b)`, `P(R1)`, `R(a, b)`."""
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
        return _current(text, circuit)
    letter = call[1]
    if letter == "P" and call[3] is not None:
        raise FaultyMaterial(_unread(text, "only a resistance can be asked without something"))
    arguments = [argument.strip() for argument in call[2].split(",")]
    if letter == "P":
        return _power(text, arguments, circuit)
    kind = Asked.POTENTIAL if letter == "V" else Asked.RESISTANCE
    if len(arguments) != 2:
        raise FaultyMaterial(_unread(text, f"{letter}(a, b) names two points with a comma between them"))
    for argument in arguments:
        if (point_name(argument) or argument) not in circuit.named_points:
            raise FaultyMaterial(_unknown(text, "point", argument, circuit.named_points))
    a, b = (point_name(argument) or argument for argument in arguments)
    if a == b:
        raise FaultyMaterial(_unread(text, f"both points are {a}"))
    return Target(kind, (a, b), _left_out(text, call[3], letter, circuit))


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


def _left_out(text: str, listing: str | None, letter: str, circuit: Circuit) -> tuple[str, ...]:
    """The elements named after `without` in a question. Raises FaultyMaterial where one is none, or is
    named for a question that has no such part."""
    if listing is None:
        return ()
    if letter != "R":
        raise FaultyMaterial(_unread(text, "only a resistance can be asked without something"))
    wanted = [quantity_name(name) or name for name in re.split(r"\s*(?:,|\band\b)\s*", listing.strip())]
    for name in wanted:
        if name not in circuit.elements:
            raise FaultyMaterial(_unknown(text, "element", name, tuple(circuit.elements)))
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
        raise FaultyMaterial(_unknown(text, "current", name, circuit.currents))
    return Target(Asked.CURRENT, (name,))


def _power(text: str, arguments: list[str], circuit: Circuit) -> Target:
    if len(arguments) != 1:
        raise FaultyMaterial(_unread(text, "P(R1) names one element"))
    name = quantity_name(arguments[0])
    held = [name for name, element in circuit.elements.items() if element.kind in _POWERED]
    if name is None or name not in held:
        raise FaultyMaterial(_unknown(text, "resistor or source", arguments[0], held))
    return Target(Asked.POWER, (name,))


_POWERED = (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE)


def _unread(text: str, why: str) -> Finding:
    return Finding("file/unreadable-target", f'"{text}" is asked, but {why}.', f"Write {_FORMS}.")


def _unknown(text: str, what: str, name: str, known: Sequence[str]) -> Finding:
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
