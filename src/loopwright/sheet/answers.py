"""What was asked, answered: closed form, form with parallel combinations, exact and rounded number."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.targets import SOURCES, Asked, Target, targets
from ..derive.steps import Derivation
from ..expressions.amounts import amount
from ..expressions.dimensions import AMPERE, OHM, PLAIN, VOLT, WATT
from ..expressions.nodes import Expr, Negative, Number, Symbol, over, written_symbols
from ..expressions.tidy import parallel_form, tidy
from ..quantities import simple
from ..solve.asked import value_of
from ..solve.exact import Solution

_PER_OHM = PLAIN / OHM
UNIT = {PLAIN: "", VOLT: "V", AMPERE: "A", OHM: "Ω", WATT: "W"}
_UNIT_IN_WORDS = {
    _PER_OHM: " per ohm",
    VOLT**2: " volts squared",
    AMPERE**2: " amperes squared",
    OHM**2: " ohms squared",
}
MOST_BESIDE = 10  # symbols: a longer form with parallel combinations says nothing at a glance
LONG_EXACT = 7  # characters: a longer exact fraction is of no use to a person


@dataclass(frozen=True)
class Answer:
    """One answer. `form`: the closed form (over a named denominator where the derivation has one);
    `beside`: the form with parallel combinations, if it is no longer; `exact`: the exact number in
    SI units where it is short; `rounded`: the number to the figures asked for; `words`: what follows the
    number: whether a power is delivered or taken in, or a unit that has no sign here."""

    target: Target
    name: Expr
    value: Ratio
    form: Expr
    beside: Expr | None
    exact: Expr | None
    rounded: Expr | None
    words: str = ""

    @property
    def unit_words(self) -> str:
        """The unit, where it has no sign here."""
        return "" if self.target.kind is Asked.POWER else self.words

    @property
    def number(self) -> Fraction | None:
        """The exact number held by `value`, when it holds no symbol."""
        return self.value.constant()


def answers(circuit: Circuit, solution: Solution, derivation: Derivation) -> tuple[Answer, ...]:
    """The answers to `find`, in order. Raises FaultyMaterial for a question that has no answer."""
    return tuple(_answer(circuit, solution, derivation, target) for target in targets(circuit))


def _answer(circuit: Circuit, solution: Solution, derivation: Derivation, target: Target) -> Answer:
    value = value_of(solution, target)
    resistances = tuple(s for s in circuit.symbols if circuit.role(s) is Kind.RESISTOR)
    form = _over_named(value, derivation) or tidy(value)
    beside = None
    if value and target.dimension != WATT and len(value.below) < 60:
        beside = parallel_form(value, resistances, min(written_symbols(tidy(value)), MOST_BESIDE) - 1)
    number = solution.number(value)
    exact, rounded = _in_numbers(circuit, target, number)
    return Answer(target, target.name, value, form, beside, exact, rounded, _words(circuit, target, number))


def number_answers(circuit: Circuit, in_numbers: Solution) -> tuple[Answer, ...]:
    """The answers to `find` in numbers alone, from the solution of the circuit in numbers."""
    found: list[Answer] = []
    for target in targets(circuit):
        value = value_of(in_numbers, target)
        number = value.constant()
        exact, rounded = _in_numbers(circuit, target, number)
        words = _words(circuit, target, number)
        found.append(Answer(target, target.name, value, tidy(value), None, exact, rounded, words))
    return tuple(found)


def _words(circuit: Circuit, target: Target, number: Fraction | None) -> str:
    """What follows the number: of the power of one element or of several, which way it goes."""
    if not number:
        return ""
    if target.kind is not Asked.POWER:
        return _UNIT_IN_WORDS.get(target.dimension, "" if target.dimension in UNIT else " in SI units")
    element = circuit.elements.get(target.names[0])
    source = target.names[0] == SOURCES if element is None else element.has_sign
    return (" delivered" if number > 0 else ", taken in") if source else " taken in"


def _in_numbers(circuit: Circuit, target: Target, found: Fraction | None) -> tuple[Expr | None, Expr | None]:
    """An answer's exact number where it is short, and the number to the figures asked for."""
    if found is None:
        return None, None
    unit = UNIT.get(target.dimension, "")
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
