"""The laws of a circuit while it changes: each storage with the voltage that it has at that moment.

A capacitor's is what it holds, V(C1); a coil's is L1 dI/dt. Beside junction and loop equations each capacitor
adds a law of its own, by which its voltage changes.
"""

from __future__ import annotations

from dataclasses import replace

from ..circuit.circuit import Circuit
from ..circuit.elements import Element, Kind
from ..circuit.in_time import changes, times_of_moves
from ..expressions.nodes import Equation, Symbol, times
from ..expressions.said import Said
from ..expressions.values import symbols_of
from ..laws.equations import Law, LawEquation
from ..laws.laws import Laws, laws
from ..laws.term_reasons import TermReason, counted_as_drop, term_reasons
from .redrawn import as_sources
from .stages import between


def laws_after_moves(circuit: Circuit) -> tuple[Laws, ...]:
    """The laws after each move, in order; one set where no switch moves."""
    return tuple(laws(_as_batteries(between(circuit, k))) for k in range(len(times_of_moves(circuit))))


def laws_at_last(circuit: Circuit) -> Laws:
    """The laws as they stand after the last move; those of the steady circuit where nothing changes."""
    return laws_after_moves(circuit)[-1] if changes(circuit) else laws(circuit)


def reasons_at_last(circuit: Circuit, known: Laws, law: LawEquation) -> tuple[TermReason, ...]:
    """Why each term of one of `laws_at_last` stands there with its sign."""
    return tuple(_reason(circuit, law, reason) for reason in term_reasons(known.circuit, law))


def _reason(circuit: Circuit, law: LawEquation, reason: TermReason) -> TermReason:
    name = reason.element
    if law.law is not Law.LOOP or name not in circuit.storages or not changes(circuit):
        return reason
    branch = circuit.branch_of(name).name
    if branch in symbols_of(reason.term):  # the drop in what resistance a coil has
        return reason
    capacitor = circuit.elements[name].kind is Kind.CAPACITOR
    what: Said = (Symbol(f"V({name})"),) if capacitor else ("The voltage of ", Symbol(name))
    return replace(reason, reason=counted_as_drop(what, branch, name, dict(law.loop)[branch]))


def storage_laws(circuit: Circuit) -> tuple[Equation, ...]:
    """By which law each capacitor's voltage changes."""
    return tuple(
        Equation(
            Symbol(circuit.branch_of(name).name),
            times(circuit.elements[name].value, Symbol(f"dV({name})/dt")),
        )
        for name in circuit.storages
        if circuit.elements[name].kind is Kind.CAPACITOR
    )


def _as_batteries(circuit: Circuit) -> Circuit:
    """Each storage as a battery that is met at its + terminal, for its voltage is counted as a drop."""
    elements = dict(circuit.elements)
    for name in circuit.storages:
        storage, branch = elements[name], circuit.branch_of(name).name
        voltage = (
            Symbol(f"V({name})")
            if storage.kind is Kind.CAPACITOR
            else times(storage.value, Symbol(f"d{branch}/dt"))
        )
        elements[name] = Element(name, Kind.BATTERY, voltage, internal=storage.internal)
    return replace(as_sources(circuit, elements, dict.fromkeys(circuit.storages, -1)), numbers={})
