"""Which limits a solution prints: those in which something asked for changes in kind.

The rule: the limits, of a resistance to 0 or to infinity, in which a quantity that is asked for vanishes or
grows without limit; that the current of an opened branch vanishes counts only where loops share that branch.
Resistances in shared branches come first, then the limits that change most; one limit of each, at most
three. It is decided by powers of the symbol in the closed forms, so that no limit is worked
which is not printed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..algebra.ratios import Ratio
from ..checks.limits.limit_of_ratio import LimitEnd
from ..checks.limits.limit_variables import (
    LimitVariable,
    SharedSymbol,
    limit_variables,
    shared_symbols,
    shares_with,
    value_of,
)
from ..circuit.circuit import Circuit
from ..expressions.nodes import Symbol
from ..graph.lines import Loop

MOST_TAUGHT = 3


@dataclass(frozen=True, slots=True)
class TaughtLimit:
    """One limit to be printed."""

    variable: LimitVariable | SharedSymbol
    symbol: str
    to: LimitEnd


def taught_limits(
    circuit: Circuit, asked: Sequence[tuple[str, Ratio]], loops: Iterable[Loop]
) -> tuple[TaughtLimit, ...]:
    """The limits that a solution prints, in the order of the rule above. `asked`: name and closed form of
    everything asked for; `loops`: the loops whose equations are printed."""
    times = [name for loop in loops for name, _ in loop]
    shared_branches = {name for name in times if times.count(name) > 1}
    powers = [(name, _Powers(value)) for name, value in asked if value]
    found: list[tuple[bool, int, int, TaughtLimit]] = []
    for at, (variable, symbol, branches) in enumerate(_resistances(circuit)):
        is_shared = bool(branches & shared_branches)
        best: tuple[int, TaughtLimit] | None = None
        ends: tuple[LimitEnd, ...] = ("∞", "0")
        for to in ends:
            changed = [name for name, value in powers if value.changes(circuit.field.position(symbol), to)]
            others = [name for name in changed if to == "0" or name not in branches]
            count = len(others) + (len(changed) if is_shared else 0)
            if count and (best is None or count > best[0]):
                best = count, TaughtLimit(variable, symbol, to)
        if best is not None:
            found.append((not is_shared, -best[0], at, best[1]))
    return tuple(limit for *_, limit in sorted(found, key=lambda item: item[:3])[:MOST_TAUGHT])


def _resistances(circuit: Circuit) -> list[tuple[LimitVariable | SharedSymbol, str, set[str]]]:
    """The resistances that stand for themselves, and the symbols that several share: with the symbol and
    the branches that it stands in."""
    alone: list[LimitVariable | SharedSymbol] = [
        v
        for v in limit_variables(circuit)
        if v.is_resistance and isinstance(value_of(circuit, v), Symbol) and not shares_with(circuit, v)
    ]
    found: list[tuple[LimitVariable | SharedSymbol, str, set[str]]] = []
    for v in (*alone, *(s for s in shared_symbols(circuit) if s.is_resistance)):
        symbol = v.symbol if isinstance(v, SharedSymbol) else str(getattr(value_of(circuit, v), "name", ""))
        elements = v.elements if isinstance(v, SharedSymbol) else (v.element,)
        found.append((v, symbol, {circuit.branch_of(name).name for name in elements}))
    return found


class _Powers:
    """The lowest and highest power of every symbol above and below the line of a closed form."""

    def __init__(self, value: Ratio) -> None:
        above, below = value.above.monoms(), value.below.monoms()
        self.low = [min(map(int, es)) for es in zip(*above, strict=True)]
        self.high = [max(map(int, es)) for es in zip(*above, strict=True)]
        self.low_below = [min(map(int, es)) for es in zip(*below, strict=True)]
        self.high_below = [max(map(int, es)) for es in zip(*below, strict=True)]

    def changes(self, symbol: int, to: LimitEnd) -> bool:
        """Whether the value vanishes or grows without limit as the symbol goes to 0 or to infinity."""
        if to == "0":
            return self.low[symbol] != self.low_below[symbol]
        return self.high[symbol] != self.high_below[symbol]
