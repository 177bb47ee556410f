"""Junction and loop equations whose signs follow the arrows, as written and as linear forms.

An equation is kept twice: `written` is the tree a person writes (sum in = sum out; rises and drops
in the order of travel = 0), `linear` the form over the circuit's field. The unknowns are the branch
currents and, where a loop passes a current source or a gap, the voltage across it, called `V(name)`
and counted as a drop along the branch's arrow.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from ..algebra.linear import Linear
from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
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


def _loop_equation(circuit: Circuit, loop: Loop) -> LawEquation:
    terms: list[Expr] = []
    coefficients: dict[str, Ratio] = {}
    constant = circuit.field.zero

    def count(unknown: str, amount: Ratio) -> None:
        coefficients[unknown] = coefficients[unknown] + amount if unknown in coefficients else amount

    for name, sense in loop:
        b = circuit.branch(name)
        for p in b.passes if sense > 0 else tuple(reversed(b.passes)):
            element = circuit.elements[p.element]
            if element.kind is Kind.BATTERY:
                terms.append(_signed(element.value, p.sign * sense))
                constant = constant + circuit.value(p.element) * (p.sign * sense)
                if element.internal is not None:
                    terms.append(_signed(drop(name, element.internal), -sense))
                    count(name, circuit.internal_resistance(p.element) * -sense)
            elif element.kind is Kind.RESISTOR:
                terms.append(_signed(drop(name, element.value), -sense))
                count(name, circuit.value(p.element) * -sense)
            elif element.fixes_current:
                terms.append(_signed(Symbol(across(p.element)), -sense))
                count(across(p.element), circuit.field.number(-sense))
    written = Equation(add(*terms), ZERO)
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
