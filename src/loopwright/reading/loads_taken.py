"""The resistor that a working takes out to find an open voltage, though no word says so: the one beside the
inner resistance in the current that it has in the end, `I4 = U0/(Ri + R4)`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import Equation, Expr, Quotient, Sum, Symbol
from .quantities import is_open_voltage
from .repair.edits import body_of
from .truth.rounding import lone
from .working import CircuitChange, Claim, Working, WrittenLine


def with_loads_out(working: Working, circuit: Circuit) -> Working:
    """The working with its open voltage of the circuit without the load; as it is where it speaks of any
    changed circuit, or does not show a load."""
    claims = [claim for line in working.lines for claim in line.claims]
    if any(claim.setting for claim in claims):
        return working
    given = {c.written.left.name for c in claims if isinstance(c.written.left, Symbol)}
    voltages = [name for name in given if is_open_voltage(name) and name not in circuit.elements]
    loads = {load for name in voltages for load in _loads(name, working.lines, circuit)}
    if len(voltages) != 1 or len(loads) != 1:
        return working
    setting = CircuitChange(out=tuple(loads))
    return replace(working, lines=tuple(_without(line, voltages[0], setting) for line in working.lines))


def _without(line: WrittenLine, name: str, setting: CircuitChange) -> WrittenLine:
    """A line whose claims on the open voltage, from its name to the end of the chain, are of the circuit
    without the load."""
    found: list[Claim] = []
    end: Expr | None = None
    for claim in line.claims:
        own = claim.written.left in (Symbol(name), end)
        end = claim.written.right if own else None
        found.append(replace(claim, setting=setting) if own else claim)
    return replace(line, claims=tuple(found)) if found else line


def _loads(name: str, lines: Sequence[WrittenLine], circuit: Circuit) -> set[str]:
    """The resistors that stand beside something in a divisor of the open voltage, or of its number, where
    that is the current of their branch."""
    worth: set[Fraction] = set()
    found: set[str] = set()
    for line in lines:
        end: Expr | None = None
        for claim in line.claims:
            left, right = claim.written.left, claim.written.right
            own = left in (Symbol(name), end)
            end = right if own else None
            number = lone(right)
            if own and number is not None:
                worth.add(number.value)
            found |= _load(claim.written, name, worth, circuit)
    return found


def _load(written: Equation, name: str, worth: set[Fraction], circuit: Circuit) -> set[str]:
    current, quotient = written.left, body_of(written.right)
    if not isinstance(current, Symbol) or current.name not in circuit.currents:
        return set()
    if (
        not isinstance(quotient, Quotient)
        or not isinstance(quotient.below, Sum)
        or len(quotient.below.terms) != 2
    ):
        return set()
    above = body_of(quotient.above)
    number = lone(above)
    if above != Symbol(name) and (number is None or number.value not in worth):
        return set()
    held = [p.element for p in circuit.branch(current.name).passes]
    resistors = [n for n in held if circuit.elements[n].kind is Kind.RESISTOR]
    if len(held) != 1 or len(resistors) != 1:
        return set()
    size = circuit.value(resistors[0]).value(circuit.numbers) if circuit.has_all_numbers else Fraction(0)
    for term in quotient.below.terms:
        ohms = lone(term)
        if term == Symbol(resistors[0]) or (ohms is not None and ohms.value in (size, size / 1000)):
            return {resistors[0]}
    return set()
