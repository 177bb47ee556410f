"""Published circuits with storages as circuits of ours, and the value of what is printed of them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import Branch, Element, Kind, Pass, SwitchMove
from loopwright.circuit.in_time import Moment, TimedKind, TimedQuestion
from loopwright.errors import FaultyMaterial
from loopwright.expressions.nodes import ZERO, Symbol, number
from loopwright.transients.amounts import slope_of
from loopwright.transients.stages import stages, value_in_stages
from loopwright.transients.timed_values import timed_value
from loopwright.transients.transient import Transient
from tests.published.printed import value_of

Fact = dict[str, Any]
_KINDS = (
    ("resistor", "ohm", Kind.RESISTOR),
    ("capacitor", "farad", Kind.CAPACITOR),
    ("inductor", "henry", Kind.COIL),
    ("battery", "volt", Kind.BATTERY),
    ("current_source", "ampere", Kind.CURRENT_SOURCE),
)
_PREFIXES = {"m": Fraction(1, 1000), "u": Fraction(1, 10**6), "n": Fraction(1, 10**9), "k": Fraction(1000)}
_UNITS = ("A", "V", "ohm", "W", "s", "F", "C", "J", "H", "1/s", "A/s", "K")
_MOMENTS = {"0-": Moment.BEFORE, "0+": Moment.JUST_AFTER, "inf": Moment.LONG_AFTER}


@dataclass(frozen=True)
class BuiltInTime:
    """A fact's circuit from its first move on, and for every element its branch and where that starts."""

    stages: tuple[Transient, ...]
    places: Mapping[str, tuple[str, str]]

    @property
    def stage(self) -> Transient:
        """The stage that the first move begins."""
        return self.stages[0]

    @property
    def last(self) -> BuiltInTime:
        """The same from the last stage alone."""
        return BuiltInTime(self.stages[-1:], self.places)

    @property
    def numbers(self) -> Mapping[str, Fraction]:
        """The values of the elements in SI units."""
        return self.stage.circuit.numbers


def build_in_time(fact: Fact, edges: list[Fact]) -> BuiltInTime:
    """The circuit of these edges. What nothing decides at the start is taken as nothing, as the facts have
    it."""
    elements: dict[str, Element] = {}
    numbers: dict[str, Fraction] = {}
    start: dict[str, Any] = {}
    moves: list[SwitchMove] = []
    later: list[SwitchMove] = []
    branches: list[Branch] = []
    places: dict[str, tuple[str, str]] = {}
    for count, edge in enumerate(edges, start=1):
        sign = 0
        if "switch" in edge:
            name = edge["switch"]
            last = edge.get("later", edge["after"])
            elements[name] = Element(name, Kind.SWITCH, closed=last == "closed")
            if edge["before"] != edge["after"]:
                moves.append(SwitchMove(name, edge["before"] == "closed", edge["after"] == "closed"))
            if last != edge["after"]:
                later.append(SwitchMove(name, edge["after"] == "closed", last == "closed", "t1"))
                numbers["t1"] = value_of(fact["later_at"])
        else:
            key, unit, kind = next(row for row in _KINDS if row[0] in edge)
            name = edge[key]
            elements[name], numbers[name] = Element(name, kind, Symbol(name)), value_of(edge[unit])
            held = edge.get("initial_volt", edge.get("initial_ampere"))
            if held is not None:
                start[name] = number(value_of(held))
            if kind is Kind.BATTERY:
                sign = 1 if edge["positive"] == edge["to"] else -1
            elif kind is Kind.CURRENT_SOURCE:
                sign = 1
        branches.append(Branch(f"I{count}", edge["from"], edge["to"], (Pass(name, sign),)))
        places[name] = (f"I{count}", edge["from"])
    circuit = Circuit(tuple(branches), elements, numbers, switching=(*moves, *later), start=start)
    try:
        return BuiltInTime(stages(circuit), places)
    except FaultyMaterial as error:
        bare = {f.about[0]: ZERO for f in error.findings if f.code == "time/start-open"}
        return BuiltInTime(stages(replace(circuit, start={**start, **bare})), places)


def connected(fact: Fact, asked: Fact) -> list[Fact]:
    """The edges of the part of a fact's circuit that holds what is asked; for a capacitance its
    capacitors."""
    wanted = (
        {asked.get(k) for k in ("through", "plus")}
        | set(_listed(asked.get("of")))
        | set(asked.get("between", ()))
    )
    wanted |= {asked.get("element")}
    edges = [e for e in fact["branches"] if asked["q"] != "Ceq" or "capacitor" in e]
    groups: list[set[str]] = []
    for edge in edges:
        ends = {edge["from"], edge["to"]}
        touching = [g for g in groups if g & ends]
        groups = [g for g in groups if g not in touching] + [ends.union(*touching)]
    named = {str(v): {e["from"], e["to"]} for e in edges for k, v in e.items() if k in _ELEMENTS}
    for group in groups:
        if any(w in group or named.get(str(w), set()) & group for w in wanted if w):
            return [e for e in edges if e["from"] in group]
    return edges


_ELEMENTS = (*(row[0] for row in _KINDS), "switch")


def _listed(item: object) -> list[str]:
    if isinstance(item, dict):
        return [str(v) for v in (item.get("through"), *_listed(item.get("of"))) if v]
    return [item] if isinstance(item, str) else list(item) if isinstance(item, list) else []


def worth(built: BuiltInTime, asked: Fact) -> float:
    """The value that the solved circuit gives for what a fact asks, in SI units."""
    built = built.last if asked.get("stage") == "later" else built
    stage, at = built.stage, asked.get("at")
    match asked["q"]:
        case "tau":
            name = asked.get("of")
            rates = list(stage.rates)
            if name:
                courses = (stage.across(name), stage.currents[built.places[name][0]])
                rates = list(dict.fromkeys(d.rate for c in courses for d in c.decays))
            return float(asked.get("times", 1)) / float(rates[0].value(built.numbers))
        case "rate":
            rates_of = sorted((-float(r.value(built.numbers)) for r in stage.rates), reverse=True)
            return rates_of[asked["number"]]
        case "heat":
            factor = float(value_of(str(asked.get("times", "1"))))
            return factor * sum(_number(built, TimedKind.HEAT, (n,), None) for n in asked["of"])
        case "dIdt":
            course = stage.currents[built.places[asked["of"]][0]]
            return float(slope_of(course).just_after.value(built.numbers))
        case "Ceq":
            return _number(built, TimedKind.CAPACITANCE, tuple(asked["between"]), None)
        case "expr":
            names = {n: float(v) for n, v in built.numbers.items()}
            parts = {n: worth(built, {"at": at, **q}) for n, q in asked["of"].items()}
            return float(value_of(asked["value"], {n: Fraction(v) for n, v in {**names, **parts}.items()}))
        case "time":
            return _time(built, asked)
        case "V":
            return _number(built, TimedKind.DIFFERENCE, (asked["plus"], asked["minus"]), at)
        case "Vdrop":
            return _number(built, TimedKind.ACROSS, (asked["of"],), at)
        case "Q" | "U":
            kind = TimedKind.CHARGE if asked["q"] == "Q" else TimedKind.ENERGY
            return sum(_number(built, kind, (n,), at) for n in _listed(asked["of"]))
        case "I":
            branch, start = built.places[asked["through"]]
            sign = -1 if asked.get("from", start) != start else 1
            return sign * _number(built, TimedKind.CURRENT, (branch,), at)
    raise KeyError(asked["q"])


def _number(built: BuiltInTime, kind: TimedKind, names: tuple[str, ...], at: object) -> float:
    moment, time, move = Moment.NONE, None, 0
    if isinstance(at, dict):
        moment, time = Moment.AT, Fraction(at["tau"]) / built.stage.rates[0].plain.value(built.numbers)
    elif at in _MOMENTS:
        moment = _MOMENTS[str(at)]
        move = len(built.stages) if at == "inf" else 1
    elif at is not None:
        moment, time = Moment.AT, Fraction(str(at))
    found = value_in_stages(built.stages, TimedQuestion(kind, names, moment, time, move=move))
    if found.number is not None:
        return found.number
    if found.exact is None:
        raise ArithmeticError(found.words)
    return float(found.exact.value(built.numbers))


def _time(built: BuiltInTime, asked: Fact) -> float:
    of, equals = asked["of"], asked["equals"]
    if isinstance(equals, dict):
        target = Fraction(worth(built, equals["of"])) * Fraction(str(equals["fraction"]))
    else:
        target = value_of(equals)
    current = of["q"] == "I"
    names = (built.places[of["through"]][0],) if current else (of["of"],)
    reached = TimedQuestion(TimedKind.CURRENT if current else TimedKind.ACROSS, names, Moment.NONE)
    for sign in (1, -1):  # a fact tells sizes; the branch may count the other way
        found = timed_value(
            built.stage, TimedQuestion(TimedKind.WHEN, (), Moment.NONE, sign * target, reached)
        )
        if found.number is not None:
            return found.number
    raise ArithmeticError(found.words)


@dataclass(frozen=True)
class PrintedInTime:
    """A printed figure in SI units with half a unit of its last digit, or a function of the time t."""

    value: float | None
    half_a_digit: float
    function: str
    scale: float


def printed_in_time(text: str, numbers: Mapping[str, Fraction]) -> PrintedInTime:
    """Reads a printed figure or function with its unit."""
    figure, unit = text.rsplit(maxsplit=1)
    scale = Fraction(1, 100) if unit == "%" else Fraction(1) if unit in _UNITS else _PREFIXES[unit[0]]
    if "exp" in figure:
        return PrintedInTime(None, 0.0, figure, float(scale))
    digits, _, power = figure.partition("e")
    places = len(digits.partition(".")[2])
    exact = any(sign in figure for sign in "/*") or not digits.replace(".", "").lstrip("-").isdigit()
    half = 1e-9 if exact else 0.5 * 10.0 ** (int(power or 0) - places) * float(scale)
    return PrintedInTime(float(value_of(figure, numbers) * scale), half, "", float(scale))


def function_at(text: str, time: float, numbers: Mapping[str, Fraction]) -> float:
    """A printed function of the time at one time."""
    names = {"exp": math.exp, "t": time, **{n: float(v) for n, v in numbers.items()}}
    return float(eval(text, {"__builtins__": {}}, names))  # facts of ours, read from the repository
