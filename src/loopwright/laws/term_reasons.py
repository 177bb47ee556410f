"""Why each term of an equation stands there with its sign, one sentence a term."""

from __future__ import annotations

from dataclasses import dataclass

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import Expr, Symbol
from ..expressions.said import Said
from .equations import Crossed, Crossing, Law, LawEquation, round_loop

SIGN_RULE = (
    "Crossing a battery from −\u00a0to\u00a0+ is a rise; crossing a resistor along the arrow of its current "
    "is a drop, against it a rise."
)


@dataclass(frozen=True, slots=True)
class TermReason:
    """One term of an equation, with its sign, as it stands there. `element`: what it comes from, a branch
    current in a junction equation. `reason`: one sentence."""

    term: Expr
    element: str
    reason: Said


def term_reasons(circuit: Circuit, law: LawEquation) -> tuple[TermReason, ...]:
    """Every term of an equation of this circuit, in the order written, each with its reason."""
    match law.law:
        case Law.JUNCTION:
            return _of_junction(circuit, law)
        case Law.LOOP:
            return tuple(
                TermReason(step.term, step.element, why_crossed(step))
                for step in round_loop(circuit, law.loop)
            )
        case Law.ELEMENT:
            return (_of_element(circuit, law),)


def why_crossed(step: Crossing) -> Said:
    """Why a step of the potential is a rise or a drop, in a sentence."""
    name, turn = Symbol(step.element), "rise" if step.rise else "drop"
    way = "along" if step.sense > 0 else "against"
    match step.crossed:
        case Crossed.EMF:
            return (name, f" is crossed from {'− to +' if step.rise else '+ to −'}: a {turn}.")
        case Crossed.INTERNAL:
            return ("The internal resistance of ", name, *_crossed(way, step, turn))
        case Crossed.RESISTOR:
            return (name, *_crossed(way, step, turn))
        case Crossed.OTHER:
            return counted_as_drop((step.size,), step.branch, step.element, step.sense)


def counted_as_drop(voltage: Said, branch: str, element: str, sense: int) -> Said:
    """Why a voltage that an element has of its own stands with its sign, the element crossed along (1) or
    against (−1) the arrow of its branch."""
    way, turn = ("along", "drop") if sense > 0 else ("against", "rise")
    counted: Said = (*voltage, " is counted as a drop along the arrow of ", Symbol(branch))
    return (*counted, f", and {element} is crossed {way} it: a {turn}.")


def _crossed(way: str, step: Crossing, turn: str) -> Said:
    return (f" is crossed {way} the arrow of ", Symbol(step.branch), f": a {turn}.")


def _of_junction(circuit: Circuit, law: LawEquation) -> tuple[TermReason, ...]:
    at = [b for b in circuit.branches if b.start != b.end and law.point in (b.start, b.end)]
    into = [b for b in at if b.end == law.point]
    out = [b for b in at if b.start == law.point]
    return tuple(
        TermReason(
            Symbol(b.name),
            b.name,
            ("The arrow of ", Symbol(b.name), f" points {'into' if b in into else 'out of'} {law.point}."),
        )
        for b in (*into, *out)
    )


def _of_element(circuit: Circuit, law: LawEquation) -> TermReason:
    passes = circuit.branch(law.branch).passes
    fixing = [circuit.elements[p.element] for p in passes if circuit.elements[p.element].fixes_current]
    element = next((e for e in fixing if e.is_gap), fixing[0])
    match element.kind:
        case Kind.CURRENT_SOURCE:
            along = circuit.pass_of(element.name).sign > 0
            way = "with" if along else "against"
            why: Said = ("The arrow runs ", way, " the current that ", Symbol(element.name), " fixes.")
        case Kind.VOLTMETER:
            why = (f"An ideal voltmeter ({element.name}) carries no current.",)
        case Kind.CAPACITOR:
            why = (f"No steady current passes the capacitor {element.name}.",)
        case _:
            why = (f"The switch {element.name} is open: no current.",)
    return TermReason(law.written.right, element.name, why)
