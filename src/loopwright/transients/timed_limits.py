"""The limits of a circuit in time, each by two routes: t to 0 and to infinity, and its one storage likewise.

From the functions of time, and from the circuit redrawn for that moment and solved afresh.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..algebra.ratios import Ratio
from ..checks.limits.expectations import INFINITE
from ..circuit.elements import Kind
from ..circuit.timed_claims import TIME
from ..expressions.nodes import ZERO, Equation, Symbol, add, negate
from ..expressions.said import Said, in_a_row
from ..expressions.tidy import tidy
from ..solve.exact import Solution
from .transient import Transient


@dataclass(frozen=True, slots=True)
class TimeLimit:
    """One limit. `sentence`: what is taken where, and what every current comes to; `agree`: whether both
    routes do, None where the redrawn circuit has no one answer; `currents`: how many were compared."""

    sentence: Said
    agree: bool | None
    currents: int


def time_limits(stages: Sequence[Transient]) -> tuple[TimeLimit, ...]:
    """The limits of every stage, in order."""
    found: list[TimeLimit] = []
    for k, stage in enumerate(stages, 1):
        told = f" after move {k}" if len(stages) > 1 else ""
        starts = {n: None if c.burst else c.just_after for n, c in stage.currents.items()}
        ends = {n: c.long_after for n, c in stage.currents.items()}
        since = Symbol(stage.begins)
        time = add(Symbol(TIME), negate(since)) if stage.begins else Symbol(TIME)
        for to, values, solved, lacks in (
            (ZERO, starts, stage.start, "has no value: a charge passes in no time"),
            (INFINITE, ends, stage.end, "grows without limit"),
        ):
            head: Said = (Equation(time, to, "→"), told, ": ")
            found.append(_limit(head, values, solved, lacks))
        found += storage_limits(stage, told)
    return tuple(found)


def _limit(head: Said, values: dict[str, Ratio | None], solved: Solution | None, lacks: str) -> TimeLimit:
    items: list[Said] = [
        (Symbol(n), f" {lacks}") if v is None else (Equation(Symbol(n), tidy(v)),) for n, v in values.items()
    ]
    whole = solved is not None and None not in values.values()
    agree = all(solved.currents[n] == v for n, v in values.items()) if solved is not None and whole else None
    return TimeLimit((*head, *in_a_row(items), "."), agree, len(values))


def storage_limits(stage: Transient, told: str) -> list[TimeLimit]:
    """The one storage of a circuit to 0 and to infinity: its time constant vanishes, or grows."""
    circuit = stage.circuit
    if len(circuit.storages) != 1 or len(stage.rates) != 1 or stage.start is None or stage.end is None:
        return []
    (name,), rate = circuit.storages, stage.rates[0].plain
    value = circuit.elements[name].value
    if not isinstance(value, Symbol) or any(
        value.name in c.just_after.held() for c in stage.currents.values()
    ):
        return []
    inverse = value.name not in (rate * circuit.field.symbol(value.name)).held()
    ends = all(stage.end.currents[n] == c.long_after for n, c in stage.currents.items())
    starts = all(stage.start.currents[n] == c.just_after for n, c in stage.currents.items())
    empty = circuit.elements[name].kind is Kind.CAPACITOR
    kept = "voltage" if empty else "current"
    small: Said = (
        Equation(value, ZERO, "→"),
        told,
        ": ",
        Equation(Symbol("τ"), ZERO, "→"),
        ", and everything is as long after at once.",
    )
    large: Said = (
        Equation(value, INFINITE, "→"),
        told,
        ": ",
        Symbol("τ"),
        f" grows without limit, the {kept} of ",
        Symbol(name),
        " does not change, and everything stays as just after.",
    )
    count = len(stage.currents)
    return [TimeLimit(small, inverse and ends, count), TimeLimit(large, inverse and starts, count)]
