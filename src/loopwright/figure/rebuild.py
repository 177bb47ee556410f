"""From the figure in words back to the circuit: what `describe` says is enough to build it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_OF, Branch, Element, Kind, Pass
from ..expressions.nodes import ZERO, Expr, Symbol
from ..expressions.parse import Unreadable, expression
from ..quantities import STORED, UNITS, UnreadableQuantity, read_quantity

_BRANCH = re.compile(r"Branch (?P<name>\S+): arrow from (?P<start>\S+) to (?P<end>\S+), (?P<what>.*)\.")
_ITEM = re.compile(
    r"(?P<kind>resistor|battery|current source|(?:open|closed) switch|ammeter|voltmeter|capacitor|coil)"
    r" (?P<name>\S+)"
    r"(?: = (?P<value>.*?))?(?: with internal resistance (?P<internal>.*?))?"
    r"(?: \((?:\+ terminal|current) (?:towards? (?P<to>\S+)|(?P<way>along|against) the arrow)\))?"
)
_POINT = re.compile(r"point (?P<name>\S+)")


class Unbuildable(ValueError):
    """A line of a description that does not say what stands where."""


@dataclass(slots=True)
class _Parts:
    branches: list[Branch] = field(default_factory=list)
    elements: dict[str, Element] = field(default_factory=dict)
    numbers: dict[str, Fraction] = field(default_factory=dict)
    written: dict[str, str] = field(default_factory=dict)


def rebuild(text: str) -> Circuit:
    """The circuit that a text of `describe` tells. Raises Unbuildable for a line it cannot follow."""
    parts = _Parts()
    for line in text.splitlines():
        if found := _BRANCH.fullmatch(line.strip()):
            _branch(found, parts)
        elif line.startswith("Numbers: "):
            for item in line.removeprefix("Numbers: ").rstrip().removesuffix(".").split("; "):
                name, _, number = item.partition(" = ")
                _number(name, number, parts)
        elif line.startswith("Branch "):
            raise Unbuildable(line)
    return Circuit(tuple(parts.branches), parts.elements, parts.numbers, parts.written)


def _branch(found: re.Match[str], parts: _Parts) -> None:
    start, end, what = found["start"], found["end"], found["what"]
    along: list[Pass | str] = []
    items = what.removeprefix("meeting ").split("; then ") if what != "a plain wire" else []
    for item in items:
        if point := _POINT.fullmatch(item):
            along.append(point["name"])
            continue
        element = _ITEM.fullmatch(item)
        if element is None:
            raise Unbuildable(item)
        along.append(Pass(element["name"], _sign(element, start, end)))
        _element(element, parts)
    parts.branches.append(Branch(found["name"], start, end, tuple(along)))


def _sign(found: re.Match[str], start: str, end: str) -> int:
    if found["way"]:
        return +1 if found["way"] == "along" else -1
    if found["to"] is None:
        return 0
    if found["to"] not in (start, end):
        raise Unbuildable(f"{found[0]}: the branch does not end at {found['to']}")
    return +1 if found["to"] == end else -1


def _element(found: re.Match[str], parts: _Parts) -> None:
    words, name = found["kind"], found["name"]
    kind = Kind.SWITCH if words.endswith("switch") else Kind(words)
    value: Expr = ZERO
    if kind in UNIT_OF:
        value = _value(name, found["value"], parts) if found["value"] else Symbol(name)
    internal: Expr | None = None
    if found["internal"]:
        symbol, _, number = found["internal"].partition(" = ")
        internal = _value(symbol, number, parts) if number else expression(symbol)
    parts.elements[name] = Element(name, kind, value, internal, closed=words != "open switch")


def _value(name: str, text: str, parts: _Parts) -> Expr:
    if _number(name, text, parts):
        return Symbol(name)
    try:
        return expression(text)
    except Unreadable as error:
        raise Unbuildable(f"{name} = {text}") from error


def _number(name: str, text: str, parts: _Parts) -> bool:
    try:
        quantity = read_quantity(text, (*UNITS, *STORED))
    except UnreadableQuantity:
        return False
    if not quantity.unit:
        return False
    parts.numbers[name] = quantity.value
    parts.written[name] = text
    return True
