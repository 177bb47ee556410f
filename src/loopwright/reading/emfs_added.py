"""Emfs of batteries side by side that are added as if these stood in one row: `E = 1.5 + 1.3 = 2.8 V`."""

from __future__ import annotations

from collections.abc import Iterator

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import Expr, Negative, Number, Sum, Symbol
from ..expressions.said import Said, in_a_row
from ..laws.laws import laws
from ..laws.loops import loop_count_needed
from .truth.rounding import lone

ENTRY = "parallel-sources-add"
MOST_LOOPS = 6


def batteries_added(circuit: Circuit, name: str, given: Expr) -> tuple[str, ...]:
    """The batteries whose emfs a new voltage is said to be the sum of, in names or in numbers, where no loop
    passes them so; nothing for anything else."""
    if name[:1] not in "EeVvUu" or not isinstance(given, Sum) or len(given.terms) != 2:
        return ()
    if not loop_count_needed(circuit) <= MOST_LOOPS:
        return ()
    terms = [(term.body, -1) if isinstance(term, Negative) else (term, 1) for term in given.terms]
    batteries = [n for n, e in circuit.elements.items() if e.kind is Kind.BATTERY and n in _met(circuit)]
    fits = [[n for n in batteries if _is_emf(circuit, n, body)] for body, _ in terms]
    if [len(each) for each in fits] != [1, 1] or fits[0] == fits[1]:
        return ()
    one, other = fits[0][0], fits[1][0]
    wanted = terms[0][1] * terms[1][1]
    senses = list(_senses(circuit, one, other))
    return (one, other) if senses and wanted not in senses else ()


def open_voltage(circuit: Circuit) -> Expr | None:
    """The voltage that the one branch of resistors would have across it if it were open; None where there is
    none or more than one."""
    found = [
        b
        for b in circuit.branches
        if b.passes and all(circuit.elements[p.element].kind is Kind.RESISTOR for p in b.passes)
    ]
    if len(found) != 1 or len(circuit.branches) > len(circuit.junctions) + 1:
        return None
    (b,) = found
    return Symbol(f"V({b.start}, {b.end}) without {b.passes[0].element}")


def said_of(batteries: tuple[str, ...]) -> Said:
    """Why the emfs do not add."""
    names = in_a_row([(Symbol(n),) for n in batteries])
    return ("no loop passes ", *names, " one after the other in the same sense: side by side they do not add")


def _met(circuit: Circuit) -> set[str]:
    return {p.element for b in circuit.branches for p in b.passes}


def _is_emf(circuit: Circuit, name: str, body: Expr) -> bool:
    number = lone(body)
    if isinstance(number, Number):
        return circuit.numbers.get(name) == number.value
    return body == Symbol(name)


def _senses(circuit: Circuit, one: str, other: str) -> Iterator[int]:
    """For each loop through two batteries, +1 where they drive it in the same sense, else −1."""
    first, second = circuit.branch_of(one).name, circuit.branch_of(other).name
    signs = circuit.pass_of(one).sign * circuit.pass_of(other).sign
    if first == second:
        yield signs
        return
    for law in laws(circuit).every_loop:
        along = dict(law.loop)
        if first in along and second in along:
            yield along[first] * along[second] * signs
