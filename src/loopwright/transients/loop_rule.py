"""From the loop rule to the function of time, for the one storage of a circuit, as a person writes it.

The rest of the circuit, seen from the storage, is one source behind one resistance. The loop rule gives an
equation of first order; its variables are separated, both sides integrated, and the result solved for what is
stored. Every line is held against the course of the circuit before it is given.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..algebra.ratios import Ratio
from ..circuit.elements import Kind
from ..errors import BrokenPromise
from ..expressions.nodes import Expr, Symbol, add, applied, exponential, negate, over, times
from ..expressions.said import Said
from .amounts import adds_up, scaled, slope_of
from .course import Course
from .transient import Transient


@dataclass(frozen=True, slots=True)
class RateLine:
    """One line: its sides, which lines it follows from, and why."""

    sides: tuple[Expr, Expr]
    uses: tuple[int, ...]
    reason: Said


def loop_rule_lines(stage: Transient) -> tuple[RateLine, ...]:
    """The lines from the loop rule to the function of time; none where there is not one storage with one time
    constant. Raises BrokenPromise where a line does not hold of the circuit."""
    circuit = stage.circuit
    if len(circuit.storages) != 1 or len(stage.rates) != 1:
        return ()
    (name,) = circuit.storages
    capacitor = circuit.elements[name].kind is Kind.CAPACITOR
    current = circuit.branch_of(name).name
    seen = stage.seen[name]
    held = stage.across(name) if capacitor else stage.currents[current]
    if seen is None or held.long_after is None or held.burst or not held.decays:
        return ()
    _judge(stage, name, seen, held)
    quantity = Symbol(f"V({name})" if capacitor else current)
    rate, value = Symbol(f"d{quantity.name}/dt"), circuit.elements[name].value
    resistance, tau, time = Symbol("Rseen"), Symbol("τ"), Symbol("t")
    last, first = _named(quantity.name, "∞"), _named(quantity.name, "0")
    whole = last if capacitor else times(resistance, last)
    across = quantity if capacitor else times(value, rate)
    drop = times(resistance, Symbol(current))
    gap = add(last, negate(quantity))
    lines = [
        RateLine(
            (whole, add(drop, across)),
            (),
            ("Loop rule: ", Symbol(name), " sees one source behind ", resistance, "."),
        )
    ]
    if capacitor:
        lines.append(
            RateLine((Symbol(current), times(value, rate)), (), ("What flows in changes the charge.",))
        )
        lines.append(
            RateLine(
                (last, add(times(tau, rate), quantity)),
                (1, 2),
                ("Put in, with ", tau, " for ", times(resistance, value), "."),
            )
        )
    else:
        lines.append(
            RateLine(
                (last, add(times(tau, rate), quantity)),
                (1,),
                ("Divided by ", resistance, ", with ", tau, " for ", over(value, resistance), "."),
            )
        )
    count = len(lines)
    lines.append(
        RateLine(
            (over(time, tau), applied("ln", over(add(last, negate(first)), gap))),
            (count,),
            (
                "Variables separated, both sides integrated from the start, where ",
                quantity,
                " is ",
                first,
                ".",
            ),
        )
    )
    grown = times(add(first, negate(last)), exponential(negate(over(time, tau))))
    lines.append(RateLine((quantity, add(last, grown)), (count + 1,), ("Solved for ", quantity, ".")))
    return tuple(lines)


def _named(quantity: str, index: str) -> Symbol:
    """The value of a quantity at an end, by a letter of its own: `V∞`, `I0`."""
    return Symbol(f"{quantity[0]}{index}")


def _judge(stage: Transient, name: str, seen: Ratio, held: Course) -> None:
    """That the loop rule, the law of the storage and the result hold of the circuit, the constant and the
    exponential each by itself."""
    circuit, zero = stage.circuit, stage.circuit.field.zero
    current, value = stage.currents[circuit.branch_of(name).name], circuit.value(name)
    end = Course(held.end, (), zero, zero)
    if circuit.elements[name].kind is Kind.CAPACITOR:
        loop, tau = adds_up([(end, 1), (scaled(current, seen), -1), (held, -1)]), seen * value
    else:
        rise = scaled(slope_of(held), value)
        loop = adds_up([(scaled(end, seen), 1), (scaled(current, seen), -1), (rise, -1)])
        tau = value / seen
    law = stage.obeys(name)
    solved = held.decays[0].rate.plain * tau == circuit.field.one
    begun = held.decays[0].amplitude.plain == stage.held[name] - held.end
    if not (loop and law and solved and begun):
        raise BrokenPromise(f"the equation of first order does not hold of {name}")
