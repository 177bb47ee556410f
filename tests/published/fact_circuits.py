"""Published facts as circuits of ours, and what is asked of them.

A fact lists its edges one by one; each becomes a branch with a current of its own. It can be built
in three forms that must agree: values as symbols with numbers put in at the end, values as numbers
from the start, and elements in series drawn together into the branches a person would draw.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any

from loopwright.algebra.ratios import Ratio
from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.circuit.targets import target
from loopwright.expressions.nodes import Expr, Number, Symbol
from loopwright.solve.asked import value_of as asked_value
from loopwright.solve.exact import Solution, solve
from tests.published.printed import value_of

FACTS = Path(__file__).parent / "facts"
FORMS = ("in symbols", "in numbers", "as chains")
Fact = dict[str, Any]  # one object of the two files of facts


def facts_of(file: str) -> dict[str, Fact]:
    """The facts of one file by their id, in the file's order."""
    return {fact["id"]: fact for fact in json.loads((FACTS / file).read_text("utf-8"))}


@dataclass(frozen=True)
class Built:
    """A fact's circuit and, for every element or wire, its branch and the sense of `from -> to` in it."""

    circuit: Circuit
    place: Mapping[str, tuple[str, int]]

    @cached_property
    def solution(self) -> Solution:
        """Its solution."""
        return solve(self.circuit)


def build(fact: Fact, form: str, *, unknown: tuple[str, str] | None = None) -> Built:
    """The circuit of a fact in one of the FORMS.

    `unknown`: the element and the attribute (`ohm`, `volt`, `internal_ohm`) that stays a symbol
    without a number, for a question that runs backwards.
    """
    elements: dict[str, Element] = {}
    numbers: dict[str, Fraction] = {}
    branches: list[Branch] = []
    place: dict[str, tuple[str, int]] = {}

    def value(edge: Fact, name: str, attribute: str) -> Expr:
        symbol = f"r_{name}" if attribute == "internal_ohm" else name
        if unknown == (name, attribute):
            return Symbol(symbol)
        numbers[symbol] = value_of(edge[attribute])
        return Number(numbers[symbol]) if form == "in numbers" else Symbol(symbol)

    for count, edge in enumerate(fact["branches"], start=1):
        start, end = edge["from"], edge["to"]
        if "wire" in edge:
            name = edge["wire"]
            elements[name] = Element(name, Kind.SWITCH, closed=True)
            along = (Pass(name),) if form == "in numbers" else ()
        elif "resistor" in edge:
            name = edge["resistor"]
            elements[name] = resistor(name, value(edge, name, "ohm"))
            along = (Pass(name),)
        else:
            name = edge["battery"]
            internal = value(edge, name, "internal_ohm") if "internal_ohm" in edge else None
            elements[name] = battery(name, value(edge, name, "volt"), internal)
            along = (Pass(name, 1 if edge["positive"] == end else -1),)
        branches.append(Branch(f"I{count}", start, end, along))
        place[name] = (f"I{count}", 1)
    kept = {} if form == "in numbers" else numbers
    built = Built(Circuit(tuple(branches), elements, numbers=kept), place)
    return _in_chains(built) if form == "as chains" else built


def _in_chains(built: Built) -> Built:
    """The same circuit with branches that meet nothing but each other joined at that point."""
    branches, place = list(built.circuit.branches), dict(built.place)
    for point in built.circuit.points:
        here = [b for b in branches if point in (b.start, b.end)]
        if len(here) != 2 or any(b.start == b.end for b in here):
            continue
        first, second = here
        if first.end != point:
            first, place = _turned(first, place)
        if second.start != point:
            second, place = _turned(second, place)
        joined = Branch(first.name, first.start, second.end, (*first.along, point, *second.along))
        place = {e: (first.name if n == second.name else n, sense) for e, (n, sense) in place.items()}
        at = branches.index(here[0])
        branches[at] = joined
        branches.remove(here[1])
    return Built(replace(built.circuit, branches=tuple(branches)), place)


def _turned(b: Branch, place: Mapping[str, tuple[str, int]]) -> tuple[Branch, dict[str, tuple[str, int]]]:
    """A branch read the other way, written here anew: the source's own turning is under test elsewhere."""
    along = tuple(item if isinstance(item, str) else Pass(item.element, -item.sign) for item in b.along[::-1])
    senses = {e: (n, -sense if n == b.name else sense) for e, (n, sense) in place.items()}
    return Branch(b.name, b.end, b.start, along), senses


@dataclass(frozen=True)
class Asked:
    """The quantities a fact may ask of its solved circuit, as exact ratios or numbers in SI units."""

    fact: Fact
    built: Built

    @property
    def solution(self) -> Solution:
        """The solved circuit."""
        return self.built.solution

    def through(self, element: str, start: str) -> Ratio:
        """The current through an element, counted positive away from its end `start`."""
        edge = next(e for e in self.fact["branches"] if element in _names(e))
        branch, sense = self.built.place[element]
        current = self.solution.currents[branch]
        return current if (edge["from"] == start) == (sense > 0) else -current

    def arrow(self, name: str) -> Ratio:
        """The current of one of the fact's arrows."""
        start, _, through = self.fact["arrows"][name]
        return self.through(through.removeprefix("through "), start)

    def heat(self, element: str) -> Ratio:
        """The power that turns to heat in a resistor or inside a battery."""
        if self.built.circuit.elements[element].kind is Kind.RESISTOR:
            return self.asked(f"P({element})")
        return self.supplied(element) - self.asked(f"P({element}, terminals)")

    def supplied(self, element: str) -> Ratio:
        """The power a battery gives: what leaves its terminals and what turns to heat inside."""
        return self.asked(f"P({element})")

    def asked(self, text: str) -> Ratio:
        """What a problem file would ask by `find`."""
        return asked_value(self.solution, target(text, self.built.circuit))

    def quantity(self, asked: Fact) -> Ratio:
        """The quantity that an entry of `defines` describes."""
        zero = self.built.circuit.field.zero
        passed = [p.element for b in self.built.circuit.branches for p in b.passes]
        match asked["q"]:
            case "I":
                return self.through(asked["through"], asked["from"])
            case "V":
                return self.solution.difference(asked["plus"], asked["minus"])
            case "Vdrop":
                return self.solution.across(asked["of"]) * self.built.place[asked["of"]][1]
            case "P":
                return self.solution.power_taken(asked["of"])
            case "P_supplied":
                return sum((self.supplied(name) for name in asked["of"]), zero)
            case "P_dissipated":
                heat = sum((self.heat(name) for name in passed), zero)
                assert heat == self.asked("P(heat)") == self.asked("P(sources)")
                return heat
            case "Req":
                a, b = asked["between"]
                return self.solution.resistance(a, b, without=tuple(asked["remove"]))
            case "spanning_trees":
                return self.solution.determinant
            case other:
                raise ValueError(other)

    def number(self, name: str) -> Fraction:
        """The number of a published quantity: an arrow's current or what `defines` says."""
        asked = self.fact.get("defines", {}).get(name)
        if asked is None:
            return self._valued(self.arrow(name))
        if asked["q"] == "expr":
            currents = {arrow: self._valued(self.arrow(arrow)) for arrow in self.fact["arrows"]}
            return value_of(asked["expr"], currents)
        return self._valued(self.quantity(asked))

    def _valued(self, ratio: Ratio) -> Fraction:
        number = self.solution.number(ratio)
        if number is None:
            raise ValueError(f"{ratio} has no number")
        return number


def found_backwards(fact: Fact, form: str, asked: Fact) -> Fraction:
    """The value of an element that makes a quantity equal a number, from the exact form of the
    quantity with that value as its only symbol left. ValueError unless exactly one value does."""
    element, attribute = asked["element"], asked["attr"]
    built = build(fact, form, unknown=(element, attribute))
    symbol = f"r_{element}" if attribute == "internal_ohm" else element
    wanted = Asked(fact, built).quantity(asked["such_that"])
    vanishing = wanted.at(built.circuit.numbers) - value_of(asked["equals"])
    powers = vanishing.coefficients_in(symbol)
    if set(powers) - {0} != {1}:
        raise ValueError(f"{symbol} is not fixed by a linear equation: {vanishing}")
    slope, rest = powers[1].constant(), (powers[0].constant() if 0 in powers else Fraction(0))
    if slope is None or rest is None:
        raise ValueError(f"symbols are left in {vanishing}")
    return -rest / slope


def _names(edge: Fact) -> tuple[str, ...]:
    return tuple(edge[kind] for kind in ("resistor", "battery", "wire") if kind in edge)
