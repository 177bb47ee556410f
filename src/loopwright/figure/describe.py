"""The figure in words, for those who do not see it: complete enough to build the circuit from it.

One line in general, then one for each branch along its arrow, then the numbers left over and the
meshes; nothing that is asked for. `rebuild` reads it back. After the pattern of accessible
figures: short, general before special, data before decoration (NCAM and DIAGRAM Center guidelines).
"""

from __future__ import annotations

from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_OF, Branch, Element, Kind, Pass
from ..circuit.embedding import meshes
from ..circuit.names import listed
from ..expressions.nodes import Expr, Symbol
from ..expressions.terms import in_terms
from ..expressions.writers import plain
from ..quantities import simple
from .lettering import tidy_number

_COUNTED = (
    Kind.BATTERY,
    Kind.CURRENT_SOURCE,
    Kind.RESISTOR,
    Kind.CAPACITOR,
    Kind.COIL,
    Kind.SWITCH,
    Kind.AMMETER,
    Kind.VOLTMETER,
)
_PLURALS = {Kind.BATTERY: "batteries", Kind.SWITCH: "switches"}
_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def describe(circuit: Circuit) -> str:
    """The circuit in words, one line for each fact; `rebuild` makes the same circuit of it."""
    lines = [_summary(circuit)]
    lines.extend(_branch(circuit, branch) for branch in circuit.branches)
    lines.extend(_numbers(circuit))
    lines.extend(_meshes(circuit))
    return in_terms("\n".join(lines), circuit.page.terms, circuit.own_words)


def _count(number: int, one: str, many: str = "") -> str:
    word = _WORDS[number] if number < len(_WORDS) else str(number)
    return f"{word} {one if number == 1 else many or one + 's'}"


def _summary(circuit: Circuit) -> str:
    met = [circuit.elements[p.element].kind for b in circuit.branches for p in b.passes]
    kinds = [_count(met.count(k), str(k), _PLURALS.get(k, f"{k}s")) for k in _COUNTED if k in met]
    held = f"Circuit of {listed(kinds)}" if kinds else "Circuit of plain wires"
    branches = _count(len(circuit.branches), "branch", "branches")
    if not circuit.junctions:
        return f"{held}: {branches}, no junction."
    junctions = _count(len(circuit.junctions), "junction")
    return f"{held}: {branches}, {junctions} ({', '.join(circuit.junctions)})."


def _branch(circuit: Circuit, branch: Branch) -> str:
    items = [item if isinstance(item, Pass) else f"point {item}" for item in branch.along]
    told = [_pass(circuit, branch, i) if isinstance(i, Pass) else i for i in items]
    what = "meeting " + "; then ".join(told) if told else "a plain wire"
    return f"Branch {branch.name}: arrow from {branch.start} to {branch.end}, {what}."


def _pass(circuit: Circuit, branch: Branch, met: Pass) -> str:
    element = circuit.elements[met.element]
    told = f"{_kind(element)} {element.name}{_value(circuit, element.value, element.name, element.kind)}"
    if element.internal is not None:
        told += f" with internal resistance {_internal(circuit, element.internal)}"
    if met.sign and (element.has_sign or element.kind is Kind.CAPACITOR):
        what = "current" if element.kind is Kind.CURRENT_SOURCE else "+ terminal"
        if branch.start == branch.end:
            told += f" ({what} {'along' if met.sign > 0 else 'against'} the arrow)"
        else:
            told += f" ({what} towards {branch.end if met.sign > 0 else branch.start})"
    return told


def _kind(element: Element) -> str:
    if element.kind is Kind.SWITCH:
        return "closed switch" if element.closed else "open switch"
    return str(element.kind)


def _value(circuit: Circuit, value: Expr, name: str, kind: Kind) -> str:
    if kind not in UNIT_OF:
        return ""
    if value != Symbol(name):
        return f" = {plain.render(value)}"
    number = _number(circuit, name, UNIT_OF[kind])
    return f" = {number}" if number else ""


def _internal(circuit: Circuit, internal: Expr) -> str:
    if not isinstance(internal, Symbol):
        return plain.render(internal)
    number = _number(circuit, internal.name, "Ω")
    return f"{internal.name} = {number}" if number else internal.name


def _number(circuit: Circuit, name: str, unit: str) -> str:
    if name not in circuit.numbers:
        return ""
    return (
        tidy_number(circuit.written[name]) if name in circuit.written else _exact(circuit.numbers[name], unit)
    )


def _exact(value: Fraction, unit: str) -> str:
    return f"{simple(value)} {unit}"


def _numbers(circuit: Circuit) -> list[str]:
    """The numbers of symbols that are no element's own name."""
    own = {n for n, e in circuit.elements.items() if e.value == Symbol(n)}
    own |= {e.internal.name for e in circuit.elements.values() if isinstance(e.internal, Symbol)}
    found = []
    for name in circuit.symbols:
        role = circuit.role(name)
        if name in circuit.numbers and name not in own and role is not None:
            found.append(f"{name} = {_number(circuit, name, UNIT_OF.get(role, ''))}")
    return [f"Numbers: {'; '.join(found)}."] if found else []


def _meshes(circuit: Circuit) -> list[str]:
    return [
        f"Mesh {k}, clockwise: "
        + ", ".join(f"{'along' if sense > 0 else 'against'} {name}" for name, sense in loop)
        + "."
        for k, loop in enumerate(meshes(circuit), 1)
    ]
