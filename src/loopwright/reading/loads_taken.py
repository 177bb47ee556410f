"""What a working takes out to find an open voltage, though no word says so: the resistor beside the inner
resistance in the current that it has in the end, `I4 = U0/(Ri + R4)`, `I3 = (U1 - U2)/(Rp + R3 + Rq)`.
"""

from __future__ import annotations

from collections.abc import Mapping
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
    """The working with its open voltages of the circuit without the load; as it is where it speaks of any
    changed circuit, or does not show one load."""
    claims = [claim for line in working.lines for claim in line.claims]
    if any(claim.setting for claim in claims):
        return working
    worth: dict[Fraction, str] = {}  # the names of the working's own voltages, by their numbers
    loads: dict[str, set[str]] = {}  # of resistors: the voltages that work on them
    for line in working.lines:
        end: Expr | None = None
        name = ""
        for claim in line.claims:
            left, right = claim.written.left, claim.written.right
            name = name if left == end else _own_voltage(left, circuit)
            end, number = right, lone(right)
            if name and number is not None:
                worth[number.value] = name
            load, voltages = _load(claim.written, worth, circuit)
            if load:
                loads.setdefault(load, set()).update(voltages)
    if len(loads) != 1:
        return working
    ((load, names),) = loads.items()
    setting = CircuitChange(out=(load,))
    return replace(working, lines=tuple(_without(line, names, setting) for line in working.lines))


def _own_voltage(side: Expr, circuit: Circuit) -> str:
    """The name of a voltage that is none of the problem's and that of no point."""
    if not isinstance(side, Symbol) or side.name[:1] not in "UVEuve":
        return ""
    own = {*circuit.elements, *circuit.symbols, *circuit.currents}
    at_a_point = side.name[1:].lstrip("_") in circuit.named_points
    return "" if side.name in own or at_a_point or "(" in side.name else side.name


def _without(line: WrittenLine, names: set[str], setting: CircuitChange) -> WrittenLine:
    """A line whose claims on open voltages, from the name to the end of the chain, are of the circuit without
    the load."""
    found: list[Claim] = []
    end: Expr | None = None
    for claim in line.claims:
        left = claim.written.left
        own = (isinstance(left, Symbol) and left.name in names) or left == end
        end = claim.written.right if own else None
        found.append(replace(claim, setting=setting) if own else claim)
    return replace(line, claims=tuple(found)) if found else line


def _load(written: Equation, worth: Mapping[Fraction, str], circuit: Circuit) -> tuple[str, set[str]]:
    """The resistor of the branch whose current is one open voltage over two resistances, or the difference of
    two over three, and the names of these; nothing where it is not."""
    current, quotient = written.left, body_of(written.right)
    if not isinstance(current, Symbol) or current.name not in circuit.currents:
        return "", set()
    if not isinstance(quotient, Quotient) or not isinstance(quotient.below, Sum):
        return "", set()
    above = body_of(quotient.above)
    terms = [body_of(term) for term in above.terms] if isinstance(above, Sum) else [above]
    names = {_voltage(term, worth, circuit) for term in terms}
    if "" in names or len(names) != len(terms) or len(quotient.below.terms) != len(terms) + 1:
        return "", set()
    if len(terms) == 1 and not all(map(is_open_voltage, names)):
        return "", set()  # any potential over what lies below it
    return _own_resistor(quotient.below, current.name, circuit), names


def _voltage(term: Expr, worth: Mapping[Fraction, str], circuit: Circuit) -> str:
    number = lone(term)
    return _own_voltage(term, circuit) if number is None else worth.get(number.value, "")


def _own_resistor(below: Sum, current: str, circuit: Circuit) -> str:
    """The resistor that is alone in the branch of a current, where it is one of the terms of a sum; else
    nothing."""
    held = [p.element for p in circuit.branch(current).passes]
    if len(held) != 1 or circuit.elements[held[0]].kind is not Kind.RESISTOR:
        return ""
    size = circuit.value(held[0]).value(circuit.numbers) if circuit.has_all_numbers else Fraction(0)
    for term in below.terms:
        ohms = lone(term)
        if term == Symbol(held[0]) or (ohms is not None and ohms.value in (size, size / 1000)):
            return held[0]
    return ""
