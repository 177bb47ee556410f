"""Short-circuit currents that no wire makes right: of which load they are is told by the resistor that a seen
resistance is added to. `Isc = 4.5/21 + 7.5/15` is wrong then, and no name of the writer's own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.values import symbols_of
from .loop_currents import Meaning
from .new_names import numbers_given
from .truth.changed import part
from .truth.combined import is_seen, load_of, sums_in
from .truth.rounding import digits_of, lone
from .working import CircuitChange, Claim


def shorted_loads(
    circuit: Circuit, claims: Sequence[Claim], names: Mapping[str, Sequence[Meaning]]
) -> dict[str, Meaning]:
    """What short-circuit currents stand for by the load that the working goes on with; `names`: what each of
    them may stand for. Nothing where it does not say so of one resistor."""
    load = _load(circuit, claims) if names else ""
    if not load:
        return {}
    wanted = part(circuit.branch_of(load).name, CircuitChange(wired=(load,)))
    found = {n: next((m for m in ways if set(m) == {wanted}), None) for n, ways in names.items()}
    return {n: m for n, m in found.items() if m is not None}


def _load(circuit: Circuit, claims: Sequence[Claim]) -> str:
    """The one resistor to which seen resistances are added, by names or by numbers; empty where there is not
    one."""
    sums = [total for c in claims for total in sums_in(c.written)]
    named = [frozenset(symbols_of(total)) for total in sums]
    seen = {n for c in claims for n in symbols_of(c.written) if is_seen(n)}
    found = {load_of(n, named, circuit) for n in seen} - {""}
    ends = {Fraction(digits_of(n)) for n in numbers_given(claims, seen)}
    for total in sums:
        numbers = [lone(term) for term in total.terms]
        digits = [Fraction(digits_of(n)) for n in numbers if n is not None]
        rest = [d for d in digits if d not in ends]
        if len(digits) == len(total.terms) == 2 and len(rest) == 1:
            own = [n for n, v in circuit.numbers.items() if v in (rest[0], rest[0] * 1000)]
            found.update(n for n in own if circuit.role(n) is Kind.RESISTOR)
    return next(iter(found)) if len(found) == 1 else ""
