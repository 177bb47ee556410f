"""Junction and loop equations whose signs follow the arrows, as written and as linear forms.

An equation is kept twice: `written` is the tree a person writes (sum in = sum out; rises and drops
in the order of travel = 0), `linear` the form over the circuit's field. The unknowns are the branch
currents and, where a loop passes a current source or a gap, the voltage across it, called `V(name)`
and counted as a drop along the branch's arrow.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from ..algebra.linear import Linear
from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind, Pass
from ..expressions.nodes import ZERO, Equation, Expr, Number, Product, Symbol, add, negate, times
from ..graph.lines import Loop


class Law(StrEnum):
    """Where an equation comes from."""

    JUNCTION = "junction"
    LOOP = "loop"
    ELEMENT = "element"


@dataclass(frozen=True)
class LawEquation:
    """One equation of the circuit, in volts or amperes. `law` says where it comes from; with it one of
    `point` (the junction), `loop` and `branch` (the branch whose element fixes its current) is given.
    `written` is the equation as a person writes it, `linear` the same in the unknowns."""

    law: Law
    written: Equation
    linear: Linear
    point: str = ""
    loop: Loop = ()
    branch: str = ""

    @property
    def place(self) -> str:
        """Where it holds: the junction, the branches of the loop with their sense, or the branch."""
        if self.law is Law.LOOP:
            return " ".join(name if sense > 0 else f"−{name}" for name, sense in self.loop)
        return self.point or self.branch


def junction_equation(circuit: Circuit, point: str) -> LawEquation:
    """The junction rule at a point: currents in = currents out, by the arrows drawn.

    Source: Kirchhoff's current law; IEC 60050-131 (131-15-09).
    """
    if circuit.field.symbols:
        return _junction_equation(circuit, point)
    written = circuit.remembered_of_shape(_junctions_in_numbers)
    if point not in written:
        written[point] = _junction_equation(circuit, point)
    return written[point]


def _junctions_in_numbers(circuit: Circuit) -> dict[str, LawEquation]:
    """The junction equations written so far of a circuit in plain numbers, whichever they are."""
    return {}


def _junction_equation(circuit: Circuit, point: str) -> LawEquation:
    into: list[Expr] = []
    out: list[Expr] = []
    coefficients: dict[str, Ratio] = {}
    for b in circuit.branches:
        if b.start == b.end:
            continue
        if b.end == point:
            into.append(Symbol(b.name))
            coefficients[b.name] = circuit.field.one
        elif b.start == point:
            out.append(Symbol(b.name))
            coefficients[b.name] = -circuit.field.one
    left, right = (into, out) if into else (out, into)
    written = Equation(add(*left), add(*right))
    return LawEquation(Law.JUNCTION, written, Linear(coefficients, circuit.field.zero), point=point)


def loop_equation(circuit: Circuit, loop: Loop) -> LawEquation:
    """The loop rule round a loop: every rise and drop in the order of travel, summing to zero.

    Travelling with the arrow through a resistance is a drop, against it a rise; passing a battery
    from − to + is a rise. Source: Kirchhoff's voltage law; IEC 60050-131 (131-15-10).
    """
    written = circuit.remembered(_loops_written)
    if loop not in written:
        written[loop] = _loop_equation(circuit, loop)
    return written[loop]


def _loops_written(circuit: Circuit) -> dict[Loop, LawEquation]:
    """The loop equations of a circuit written so far, by loop: many are asked for more than once."""
    return {}


class Crossed(StrEnum):
    """What is crossed on a way round a loop or from point to point."""

    EMF = "emf"
    INTERNAL = "internal resistance"
    RESISTOR = "resistor"
    OTHER = "current source or gap"


@dataclass(frozen=True, slots=True)
class Crossing:
    """A step of the potential on a way: the emf, the internal resistance or the whole of `element` on the
    branch `branch`. `sense`: +1 where the way runs along the arrow; `rise`: whether the potential counts as
    rising. `size`: what it rises or drops by."""

    branch: str
    element: str
    crossed: Crossed
    sense: int
    rise: bool
    size: Expr

    @property
    def term(self) -> Expr:
        """The step as it stands in a loop equation: a rise with plus, a drop with minus."""
        return self.size if self.rise else negate(self.size)


def crossings(circuit: Circuit, way: Iterable[tuple[str, Pass, int]]) -> tuple[Crossing, ...]:
    """Every rise and drop on a way, in order. `way`: branch, element met, and whether the way runs along
    the branch's arrow (+1) or against it (−1)."""
    known = circuit.remembered(_crossed)
    found: list[Crossing] = []
    for name, p, sense in way:
        key = name, p, sense
        if key not in known:
            known[key] = _crossings_of(circuit, name, p, sense)
        found += known[key]
    return tuple(found)


def _crossed(circuit: Circuit) -> dict[tuple[str, Pass, int], list[Crossing]]:
    """What is met in the elements crossed so far: each lies in several loops."""
    return {}


def _crossings_of(circuit: Circuit, name: str, p: Pass, sense: int) -> list[Crossing]:
    element = circuit.elements[p.element]
    steps: list[tuple[Crossed, int, Expr]] = []
    if element.kind is Kind.BATTERY:
        steps.append((Crossed.EMF, p.sign * sense, element.value))
        if element.internal is not None:
            steps.append((Crossed.INTERNAL, -sense, drop(name, element.internal)))
    elif element.kind is Kind.RESISTOR:
        steps.append((Crossed.RESISTOR, -sense, drop(name, element.value)))
    elif element.kind is Kind.COIL and element.internal is not None:  # in the steady state it is a wire
        steps.append((Crossed.INTERNAL, -sense, drop(name, element.internal)))
    elif element.fixes_current:
        steps.append((Crossed.OTHER, -sense, Symbol(across(p.element))))
    return [Crossing(name, p.element, what, sense, sign > 0, size) for what, sign, size in steps]


def round_loop(circuit: Circuit, loop: Loop) -> tuple[Crossing, ...]:
    """Every rise and drop on the way round a loop, in order."""
    return crossings(
        circuit,
        (
            (name, p, sense)
            for name, sense in loop
            for p in circuit.branch(name).passes[:: 1 if sense > 0 else -1]
        ),
    )


def _loop_equation(circuit: Circuit, loop: Loop) -> LawEquation:
    coefficients: dict[str, Ratio] = {}
    constant = circuit.field.zero
    steps = round_loop(circuit, loop)
    for step in steps:
        sign = 1 if step.rise else -1
        if step.crossed is Crossed.EMF:
            constant = constant + circuit.value(step.element) * sign
            continue
        unknown, amount = step.branch, circuit.field.number(sign)
        if step.crossed is Crossed.OTHER:
            unknown = across(step.element)
        elif step.crossed is Crossed.INTERNAL:
            amount = circuit.internal_resistance(step.element) * sign
        else:
            amount = circuit.value(step.element) * sign
        coefficients[unknown] = coefficients[unknown] + amount if unknown in coefficients else amount
    written = Equation(add(*(step.term for step in steps)), ZERO)
    return LawEquation(Law.LOOP, written, Linear.of(coefficients, constant), loop=loop)


def element_equations(circuit: Circuit) -> tuple[LawEquation, ...]:
    """The currents that elements fix: zero at an open switch or an ideal voltmeter, the source's own
    current in the branch of a current source."""
    found: list[LawEquation] = []
    for b in circuit.branches:
        fixed = circuit.fixed_current(b.name)
        if fixed is None:
            continue
        element, sign = next(
            (circuit.elements[p.element], p.sign)
            for p in sorted(b.passes, key=lambda p: not circuit.elements[p.element].is_gap)
            if circuit.elements[p.element].fixes_current
        )
        right = ZERO if element.is_gap else _signed(element.value, sign)
        linear = Linear.of({b.name: circuit.field.one}, -fixed)
        found.append(LawEquation(Law.ELEMENT, Equation(Symbol(b.name), right), linear, branch=b.name))
    return tuple(found)


def across(element: str) -> str:
    """The name of the voltage across a current source or a gap, counted as a drop along the arrow."""
    return f"V({element})"


def drop(current: str, resistance: Expr) -> Expr:
    """Current times resistance as a person writes it: `I1 R1`, `2 I1 R`, `I1 (R + r)`."""
    factors = resistance.factors if isinstance(resistance, Product) else (resistance,)
    numbers = tuple(f for f in factors if isinstance(f, Number))
    rest = tuple(f for f in factors if not isinstance(f, Number))
    return times(*numbers, Symbol(current), *rest)


def _signed(expr: Expr, sign: int) -> Expr:
    return negate(expr) if sign < 0 else expr
