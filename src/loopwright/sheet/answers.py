"""What was asked, answered: closed form, form with parallel combinations, exact and rounded number."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.targets import Asked, Target, targets
from ..derive.steps import Derivation
from ..expressions.amounts import amount
from ..expressions.nodes import Expr, Negative, Number, Symbol, over, written_symbols
from ..expressions.tidy import parallel_form, tidy
from ..quantities import simple
from ..solve.exact import Solution

UNIT = {Asked.CURRENT: "A", Asked.POTENTIAL: "V", Asked.POWER: "W", Asked.RESISTANCE: "Ω"}
MOST_BESIDE = 10  # symbols: a longer form with parallel combinations says nothing at a glance
LONG_EXACT = 7  # characters: a longer exact fraction is of no use to a person


@dataclass(frozen=True)
class Answer:
    """One answer. `form`: the closed form (over a named denominator where the derivation has one);
    `beside`: the form with parallel combinations, if it is no longer; `exact`: the exact number in
    SI units where it is short; `rounded`: the number to the figures asked for."""

    target: Target
    name: Expr
    value: Ratio
    form: Expr
    beside: Expr | None
    exact: Expr | None
    rounded: Expr | None

    @property
    def number(self) -> Fraction | None:
        """The exact number held by `value`, when it holds no symbol."""
        return self.value.constant()


def answers(circuit: Circuit, solution: Solution, derivation: Derivation) -> tuple[Answer, ...]:
    """The answers to `find`, in order. Raises FaultyMaterial for a question that has no answer."""
    return tuple(_answer(circuit, solution, derivation, target) for target in targets(circuit))


def value_of(solution: Solution, target: Target) -> Ratio:
    """The exact value of what is asked."""
    match target.kind:
        case Asked.CURRENT:
            return solution.currents[target.names[0]]
        case Asked.POTENTIAL:
            return solution.difference(*target.names)
        case Asked.POWER:
            return solution.power(target.names[0])
        case Asked.RESISTANCE:
            return solution.resistance(target.names[0], target.names[1], target.without)


def _answer(circuit: Circuit, solution: Solution, derivation: Derivation, target: Target) -> Answer:
    value = value_of(solution, target)
    resistances = tuple(s for s in circuit.symbols if circuit.role(s) is Kind.RESISTOR)
    form = _over_named(value, derivation) or tidy(value)
    beside = None
    if value and target.kind is not Asked.POWER and len(value.terms(below=True)) < 60:
        beside = parallel_form(value, resistances)
        if beside is not None and written_symbols(beside) >= min(written_symbols(tidy(value)), MOST_BESIDE):
            beside = None
    exact, rounded = _in_numbers(circuit, target, solution.number(value))
    return Answer(target, _name_of(target), value, form, beside, exact, rounded)


def number_answers(circuit: Circuit, in_numbers: Solution) -> tuple[Answer, ...]:
    """The answers to `find` in numbers alone, from the solution of the circuit in numbers."""
    found: list[Answer] = []
    for target in targets(circuit):
        value = value_of(in_numbers, target)
        exact, rounded = _in_numbers(circuit, target, value.constant())
        found.append(Answer(target, _name_of(target), value, tidy(value), None, exact, rounded))
    return tuple(found)


def _name_of(target: Target) -> Expr:
    return Symbol(Target(target.kind, target.names).as_text())


def _in_numbers(circuit: Circuit, target: Target, found: Fraction | None) -> tuple[Expr | None, Expr | None]:
    """An answer's exact number where it is short, and the number to the figures asked for."""
    if found is None:
        return None, None
    unit = UNIT[target.kind]
    exact: Expr | None = None
    if len(simple(found)) <= LONG_EXACT:
        plain = Number(abs(found), unit, simple(abs(found)))
        exact = Negative(plain) if found < 0 else plain
    return exact, amount(found, unit, circuit.figures)


def _over_named(value: Ratio, derivation: Derivation) -> Expr | None:
    for name, meaning in derivation.names.items():
        above = value * meaning
        if value and above.is_polynomial and not value.is_polynomial:
            return over(tidy(above), Symbol(name))
    return None
