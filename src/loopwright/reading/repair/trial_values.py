"""Values for everything that a line can name, at which a changed line is tried before it is proved.

A trial is one choice of values: random ones modulo a prime (a false equation passes with a chance of
about one in 10^18; Schwartz, J. ACM 27, 701, 1980), or the circuit's own numbers, the currents being
those that the laws give. What passes here is only worth proving; nothing is decided here.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from ...algebra.modular import PRIME
from ...algebra.number_rows import CONSTANT
from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...circuit.targets import target
from ...errors import FaultyMaterial
from ...expressions.fold import Arithmetic, fold
from ...expressions.nodes import Equation, Expr, Number, Symbol
from ...expressions.values import symbols_of
from ...laws.laws import laws
from ...solve.asked import value_of
from ...solve.exact import Solution, solve
from ..truth.changed import worth
from ..truth.dimensions import thousands
from ..truth.meaning import level
from .trial_arithmetic import TrialArithmetic, TrialRow, TrialValue, solved, value_of_ratio

FAR = Fraction(1, 25)  # relative: how far rounding may have carried two sides apart
NEAR = Fraction(1, 100)  # relative: how far two sides may differ by rounding
_CALL = re.compile(r"([VPR])\((.*?)\)(?: without .*)?")


@dataclass(frozen=True, slots=True)
class Trial:
    """One choice of values.

    `values`: for symbols of the circuit, names of elements and currents. `thousands`: numbers without a
    unit are in mA, kΩ and mW. `numbers`: what was put for symbols (none: random values), so that a claim
    that only holds here is known for one. `slack`: how far two sides may differ, relative to them.
    """

    arithmetic: TrialArithmetic
    values: dict[str, TrialValue]
    numbers: Mapping[str, Fraction]
    thousands: bool = False
    slack: Fraction = Fraction(0)

    def value_of(self, expr: Expr, known: Mapping[int, TrialValue] | None = None) -> TrialValue:
        """The value of an expression. `known`: values of its parts worked out before, by identity (`id`).
        Raises ZeroDivisionError, and KeyError for a name without a value."""
        return fold(expr, _AtTrial(self), known)

    def number(self, leaf: Number) -> TrialValue:
        """The value of a number as it stands."""
        value = leaf.value
        if self.thousands and leaf.unit:
            value = value * thousands(leaf.unit)
        return self.arithmetic.of(value)

    def is_zero(self, residue: TrialValue, scale: TrialValue = 0) -> bool:
        """Whether left minus right counts as nothing where the larger side is `scale`: exactly, or within
        `slack`."""
        if self.arithmetic.modular:
            return int(residue) % PRIME == 0
        return abs(Fraction(residue)) <= self.slack * abs(Fraction(scale))


class _AtTrial(Arithmetic[TrialValue]):
    """The values of one trial."""

    __slots__ = ("arithmetic", "trial")

    def __init__(self, trial: Trial) -> None:
        self.trial, self.arithmetic = trial, trial.arithmetic

    def number(self, number: Number) -> TrialValue:
        return self.trial.number(number)

    def symbol(self, symbol: Symbol) -> TrialValue:
        return self.trial.values[symbol.name]

    def add(self, one: TrialValue, other: TrialValue) -> TrialValue:
        return one + other

    def negate(self, value: TrialValue) -> TrialValue:
        return -value

    def multiply(self, one: TrialValue, other: TrialValue) -> TrialValue:
        return self.arithmetic.times(one, other)

    def invert(self, value: TrialValue) -> TrialValue:
        return self.arithmetic.inverse(value)

    def power(self, base: TrialValue, exponent: int) -> TrialValue:
        return self.arithmetic.power(base, exponent)


BARE = Trial(TrialArithmetic(False), {}, {}, slack=NEAR)  # for lines without a name


def generic(circuit: Circuit) -> Trial:
    """A trial at random values."""
    chance = random.Random(f"{circuit.currents} {circuit.symbols}")
    drawn = {name: chance.randrange(2, PRIME) for name in circuit.symbols}
    return _trial(circuit, TrialArithmetic(True), drawn, {})


def numeric(circuit: Circuit) -> Trial:
    """A trial modulo the prime at the circuit's own numbers. Needs a number for every symbol."""
    arithmetic = TrialArithmetic(True)
    put = {name: arithmetic.of(circuit.numbers[name]) for name in circuit.symbols}
    return _trial(circuit, arithmetic, put, circuit.numbers)


def exact(circuit: Circuit) -> Trial:
    """A trial in fractions at the circuit's own numbers; sides may differ by rounding."""
    put: dict[str, TrialValue] = {name: circuit.numbers[name] for name in circuit.symbols}
    found = _trial(circuit, TrialArithmetic(False), put, circuit.numbers)
    return Trial(found.arithmetic, found.values, found.numbers, slack=NEAR)


def _trial(
    circuit: Circuit,
    arithmetic: TrialArithmetic,
    symbols: Mapping[str, TrialValue],
    numbers: Mapping[str, Fraction],
) -> Trial:
    values = dict(symbols)
    for name, element in circuit.elements.items():
        if element.kind in (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE) and name not in values:
            values[name] = value_of_ratio(circuit.value(name), symbols, arithmetic)
    values.update(_currents(circuit, symbols, arithmetic))
    return Trial(arithmetic, values, numbers)


def in_thousands(trial: Trial, circuit: Circuit) -> Trial:
    """The same trial with currents in mA and resistances in kΩ."""
    factor = {name: trial.arithmetic.of(thousands("A")) for name in circuit.currents}
    for name in trial.values:
        element = circuit.elements.get(name)
        kind = element.kind if element else circuit.role(name)
        unit = {Kind.RESISTOR: "Ω", Kind.CURRENT_SOURCE: "A"}.get(kind or Kind.SWITCH, "")
        if unit:
            factor[name] = trial.arithmetic.of(thousands(unit))
    scaled = {n: trial.arithmetic.times(v, factor.get(n, 1)) for n, v in trial.values.items()}
    return Trial(trial.arithmetic, scaled, trial.numbers, True, trial.slack)


def with_names(
    trial: Trial,
    circuit: Circuit,
    used: Sequence[str],
    names: Mapping[str, Mapping[str, int]],
    meaning: Mapping[str, Expr],
) -> Trial | None:
    """The trial with every name used in a line given a value; None where one stands for nothing."""
    if not used:
        return trial
    values = dict(trial.values)
    for name, branches in names.items():
        values[name] = sum((_unknown(trial, circuit, n) * sign for n, sign in branches.items()), 0)
    found = Trial(trial.arithmetic, values, trial.numbers, trial.thousands, trial.slack)
    spoken_of = {n for name in used if name in meaning for n in symbols_of(meaning[name])}
    for name in (*used, *spoken_of):
        if name not in values and (value := _value_called(trial, circuit, name)) is not None:
            values[name] = value
    for name, expr in meaning.items():
        try:
            values[name] = found.value_of(expr)
        except (KeyError, ArithmeticError):
            continue
    return found if all(name in values for name in used) else None


def _value_called(trial: Trial, circuit: Circuit, name: str) -> TrialValue | None:
    """The value of what says itself of what it is, V(R1); None for any other name."""
    called = value_called(name, circuit)
    if called is None:
        return None
    return value_of_ratio(called, {s: trial.values[s] for s in circuit.symbols}, trial.arithmetic)


def _unknown(trial: Trial, circuit: Circuit, name: str) -> TrialValue:
    """The value of a branch current or, under its own name, of the potential of a point; of a changed circuit
    too."""
    if name in trial.values:
        return trial.values[name]
    if (changed := worth(circuit, name)) is not None:
        return value_of_ratio(changed, {s: trial.values[s] for s in circuit.symbols}, trial.arithmetic)
    levels = circuit.remembered(solve).potentials
    potential = next(ratio for point, (_, ratio) in levels.items() if level(point) == name)
    return value_of_ratio(potential, {s: trial.values[s] for s in circuit.symbols}, trial.arithmetic)


def with_other_unknowns(trial: Trial, circuit: Circuit) -> Trial:
    """The trial with random values for all that is not given: what still holds here is an identity."""
    chance = random.Random(len(trial.values))
    drawn = {
        name: value if name in circuit.symbols or name in circuit.elements else chance.randrange(2, PRIME)
        for name, value in trial.values.items()
    }
    return Trial(trial.arithmetic, drawn, trial.numbers, trial.thousands)


def value_called(name: str, circuit: Circuit) -> Ratio | None:
    """The true value of `V(a, b)`, `V(R1)`, `P(R1)` or `R(a, b)` in the circuit's field."""
    match = _CALL.fullmatch(name)
    if match is None:
        return None
    try:
        solution: Solution = circuit.remembered(solve)
        inside = match[2].strip()
        if match[1] == "V" and inside in circuit.elements:
            drop = solution.across(inside)
            is_battery = circuit.elements[inside].kind is Kind.BATTERY
            return -drop * circuit.pass_of(inside).sign if is_battery else drop
        return value_of(solution, target(name, circuit))
    except (FaultyMaterial, LookupError):
        return None


# -- the currents ------------------------------------------------------------------------------------


def _currents(
    circuit: Circuit, symbols: Mapping[str, TrialValue], arithmetic: TrialArithmetic
) -> dict[str, TrialValue]:
    """The branch currents that the laws give. Raises ZeroDivisionError where they give none."""
    rows: list[TrialRow] = []
    for law in laws(circuit).chosen:
        row = {n: value_of_ratio(c, symbols, arithmetic) for n, c in law.linear.coefficients.items()}
        rows.append({**row, CONSTANT: value_of_ratio(law.linear.constant, symbols, arithmetic)})
    return dict(solved(rows, circuit.currents, arithmetic, _nothing_free))


def _nothing_free() -> TrialValue:
    raise ZeroDivisionError("the laws leave a current open at these values")


def as_lines_say(
    trial: Trial,
    circuit: Circuit,
    lines: Sequence[Equation],
    names: Mapping[str, Mapping[str, int]],
    meaning: Mapping[str, Expr],
) -> Trial:
    """The trial with other currents: such that the lines written hold, whether or not they are true of the
    circuit. A claim that holds in it follows, as far as a trial can tell, from those lines.

    `lines`: in order of weight; one that contradicts those before it is left out, and so is one that is not
    linear in the currents. Currents that the lines leave open get random values. `names` and `meaning`:
    what the names of currents and the working's own names stand for.
    """
    chance = random.Random(len(lines))
    modular = trial.arithmetic.modular

    def drawn() -> TrialValue:
        return chance.randrange(2, PRIME) if modular else Fraction(chance.randrange(2, 999), 97)

    def at(line: Equation, currents: Mapping[str, TrialValue]) -> TrialValue | None:
        values = Trial(
            trial.arithmetic, {**trial.values, **currents}, trial.numbers, trial.thousands, trial.slack
        )
        ready = with_names(values, circuit, symbols_of(line), names, meaning)
        try:
            return None if ready is None else ready.value_of(line.left) - ready.value_of(line.right)
        except (KeyError, ZeroDivisionError):
            return None

    rows: list[TrialRow] = []
    for line in lines:
        parts = {part for n in symbols_of(line) for part in names.get(n, {})}
        if not parts.issubset(circuit.currents) or any(n[:2] in ("V(", "P(") for n in symbols_of(line)):
            continue
        row = _straight(circuit.currents, partial(at, line), drawn)
        if row is not None:
            rows.append(row)
    values = {**trial.values, **solved(rows, circuit.currents, trial.arithmetic, drawn)}
    return Trial(trial.arithmetic, values, trial.numbers, trial.thousands, trial.slack)


def _straight(
    currents: Sequence[str],
    at: Callable[[Mapping[str, TrialValue]], TrialValue | None],
    drawn: Callable[[], TrialValue],
) -> TrialRow | None:
    """A line as a row in the currents (what is 0 when it holds); None where it is not linear in them. `at`
    gives left minus right for values of the currents; `drawn` gives random values, at which the row is
    tried."""
    nothing: dict[str, TrialValue] = dict.fromkeys(currents, 0)
    constant = at(nothing)
    if constant is None:
        return None
    row: TrialRow = {CONSTANT: constant}
    for name in currents:
        there = at({**nothing, name: 1})
        if there is None:
            return None
        row[name] = there - constant
    elsewhere = {name: drawn() for name in currents}
    value = at(elsewhere)
    if value is None:
        return None
    straight = constant + sum(row[name] * elsewhere[name] for name in currents)
    same = (value - straight) % PRIME == 0 if isinstance(value, int) else value == straight
    return row if same else None
