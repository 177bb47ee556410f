"""What can be asked as a value of a steady circuit: what the problem asks for, then its other currents."""

from __future__ import annotations

from ..circuit.circuit import Circuit
from ..circuit.targets import Asked, Target, targets
from ..expressions.said import Said
from .asked_value import AskedValue, along_its_arrow, of_points, size_of
from .number_forms import common_unit
from .slip_answers import SlipAnswers

UNITS = {Asked.CURRENT: "A", Asked.POTENTIAL: "V", Asked.POWER: "W"}
_HINT = "Look at the signs of each equation again: every drop and every source by the sense of travel."


def asked_of(circuit: Circuit) -> tuple[Target, ...]:
    """The quantities that items ask for: what the problem asks, then its other currents."""
    wanted = [t for t in targets(circuit) if t.kind in UNITS]
    free = [Target(Asked.CURRENT, (name,)) for name in asked_currents(circuit)]
    return tuple(dict.fromkeys((*wanted, *free)))


def asked_currents(circuit: Circuit) -> tuple[str, ...]:
    """The currents that no element fixes, those that the problem asks for first."""
    asked = [t.names[0] for t in targets(circuit) if t.kind is Asked.CURRENT]
    return tuple(n for n in dict.fromkeys((*asked, *circuit.currents)) if circuit.fixed_current(n) is None)


def question(circuit: Circuit, asked: Target) -> Said:
    """What a quantity is, in words: `Ib, read along its arrow from bus to rail`."""
    match asked.kind:
        case Asked.CURRENT:
            return (asked.name, along_its_arrow(circuit, asked.names[0]))
        case Asked.POTENTIAL:
            return (asked.name, of_points(*asked.names))
        case _:
            return (asked.name, f", the power that {asked.names[0]} turns into heat")


def steady_values(circuit: Circuit, answers: SlipAnswers) -> tuple[AskedValue, ...]:
    """What can be asked as a value of a steady circuit."""
    found: list[AskedValue] = []
    for asked in asked_of(circuit):
        right = answers.right(asked)
        if right is None:
            continue
        wrong = answers.wrong(asked)
        unit = common_unit(right or size_of(wrong), UNITS[asked.kind], circuit.figures)
        current = asked.kind is Asked.CURRENT
        found.append(
            AskedValue(
                asked.as_text(),
                question(circuit, asked),
                unit,
                right,
                wrong,
                answers.here.right if current else {"": right},
                asked.kind is not Asked.POWER,
                current,
                _HINT,
            )
        )
    return tuple(found)
