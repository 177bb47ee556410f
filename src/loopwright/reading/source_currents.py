"""Currents of sources that stand for batteries, written with the names of the currents of the circuit:
`I1 = E1/R1 = 4.67 A` below "source transformation", and later `I1 = (21 - 13.3)/4.5`. The first is no claim
on the branch; it is where the name is never given anew.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import Expr, Number, Quotient, Symbol
from .working import Claim, Working, WrittenLine

ROUNDED = Fraction(1, 50)  # relative
_OF_SOURCES = re.compile(
    r"\bsources?[\s-]+(?:transform|conver)\w*|\b(?:transform|conver|turn)\w*\s+(?:\w+\s+){0,4}sources?\b|"
    r"\bcurrent[\s-]+sources?\b|\bnorton\b|quellen(?:um)?wandlung|\bstromquelle\w*|\bgeneratori?\s+di\s+corrente\b|"
    r"\bsources?\s+de\s+courant\b|\bfuentes?\s+de\s+corriente\b",
    re.IGNORECASE,
)


def source_currents_apart(working: Working, circuit: Circuit) -> Working:
    """The working with the names of currents that it gives to sources in the place of batteries, and anew to
    the branches later, called so up to there."""
    if not any(_OF_SOURCES.search(line.text) for line in working.lines):
        return working
    first = _first_given(working, circuit)
    again = {name: _given_anew(working, circuit, name, line) for name, line in first.items()}
    lines = [_renamed(line, first, again) for line in working.lines]
    return replace(working, lines=tuple(lines))


def _first_given(working: Working, circuit: Circuit) -> dict[str, int]:
    """The names of currents whose first claim is that of a source for their battery, and where it stands."""
    met: set[str] = set()
    found: dict[str, int] = {}
    speaks = False
    for line in working.lines:
        speaks = speaks or _OF_SOURCES.search(line.text) is not None
        for claim in line.claims:
            name = claim.written.left
            if isinstance(name, Symbol) and name.name in circuit.currents and name.name not in met:
                met.add(name.name)
                if speaks and _is_of_source(claim, circuit):
                    found[name.name] = line.number
    return found


def _given_anew(working: Working, circuit: Circuit, name: str, first: int) -> int:
    """The line that gives a name again, as something else; 0 where none does."""
    for line in working.lines:
        for claim in line.claims if line.number > first else ():
            same = _is_of_source(claim, circuit) or _is_its_number(claim.written.right, name, circuit)
            if claim.written.left == Symbol(name) and not same:
                return line.number
    return 0


def _is_of_source(claim: Claim, circuit: Circuit) -> bool:
    """Whether a claim gives a current as the emf of its branch over the resistance in that, by names or by
    their numbers."""
    name, given = claim.written.left, claim.written.right
    if not isinstance(name, Symbol) or name.name not in circuit.currents or not isinstance(given, Quotient):
        return False
    own = _source(circuit, name.name)
    return bool(own) and _is(given.above, own[0], circuit) and _is(given.below, own[1], circuit)


def _source(circuit: Circuit, current: str) -> tuple[str, ...]:
    """The one battery and the one resistor of a branch; nothing where it holds others."""
    passes = [circuit.elements[p.element] for p in circuit.branch(current).passes]
    emfs = [e.name for e in passes if e.kind is Kind.BATTERY]
    resistors = [e.name for e in passes if e.kind is Kind.RESISTOR]
    return (emfs[0], resistors[0]) if len(emfs) == len(resistors) == 1 else ()


def _is_its_number(expr: Expr, current: str, circuit: Circuit) -> bool:
    """Whether an expression is the number of the current of a source, as rounded, in milliamperes too."""
    own = [circuit.numbers.get(name) for name in _source(circuit, current)]
    if not isinstance(expr, Number) or None in own or not all(own):
        return False
    emf, resistance = (value or Fraction(1) for value in own)
    worth = emf / resistance
    return any(abs(abs(expr.value) - worth * scale) <= worth * scale * ROUNDED for scale in (1, 1000))


def _is(expr: Expr, name: str, circuit: Circuit) -> bool:
    """Whether an expression is an element, by its name or by its number, in kilohms too."""
    if isinstance(expr, Number):
        return circuit.numbers.get(name) in (expr.value, expr.value * 1000)
    return expr == Symbol(name)


def _renamed(line: WrittenLine, first: dict[str, int], again: dict[str, int]) -> WrittenLine:
    """A line with the currents of sources called so."""
    names: dict[str, Expr] = {
        name: Symbol(f"{name} of its source")
        for name, start in first.items()
        if start <= line.number < again[name]
    }
    if not names:
        return line
    return replace(line, claims=tuple(claim.renamed(names) for claim in line.claims))
