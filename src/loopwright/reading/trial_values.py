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

from ..algebra.linear import Linear
from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.targets import target
from ..errors import FaultyMaterial
from ..expressions.nodes import Expr, Negative, Number, Parallel, Power, Product, Quotient, Sum, Symbol
from ..laws.laws import laws
from ..solve.exact import Solution, solve
from .frame import level

PRIME = (1 << 61) - 1
Value = int | Fraction

_IN_THOUSANDS = {"A": Fraction(1000), "Ω": Fraction(1, 1000), "W": Fraction(1000)}
_CALL = re.compile(r"([VPR])\((.*)\)")


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """How values are combined: modulo a prime, or exactly as fractions."""

    modular: bool

    def of(self, value: Fraction) -> Value:
        """A number as a value. Raises ZeroDivisionError for what has none."""
        if not self.modular:
            return value
        return value.numerator * pow(value.denominator, -1, PRIME) % PRIME

    def times(self, one: Value, other: Value) -> Value:
        """The product."""
        return one * other % PRIME if self.modular else one * other

    def inverse(self, value: Value) -> Value:
        """One over the value. Raises ZeroDivisionError."""
        if not self.modular:
            return 1 / Fraction(value)
        whole = int(value) % PRIME
        if not whole:
            raise ZeroDivisionError("one over zero")
        return pow(whole, -1, PRIME)

    def power(self, base: Value, exponent: int) -> Value:
        """The base to a whole exponent."""
        return pow(int(base), exponent, PRIME) if self.modular else Fraction(base) ** exponent


@dataclass(frozen=True, slots=True)
class Trial:
    """One choice of values.

    `values`: for symbols of the circuit, names of elements and currents. `thousands`: numbers without a
    unit are in mA, kΩ and mW. `numbers`: what was put for symbols (none: random values), so that a claim
    that only holds here is known for one. `slack`: how far two sides may differ, relative to them.
    """

    arithmetic: Arithmetic
    values: dict[str, Value]
    numbers: Mapping[str, Fraction]
    thousands: bool = False
    slack: Fraction = Fraction(0)

    def worth(self, expr: Expr, known: Mapping[int, Value] | None = None) -> Value:
        """The value of an expression; `known` by the identity of its parts. Raises ZeroDivisionError and
        KeyError (a name without a value)."""
        if known is not None:
            found = known.get(id(expr))
            if found is not None:
                return found
        a = self.arithmetic
        match expr:
            case Symbol(name):
                return self.values[name]
            case Number():
                return self.number(expr)
            case Negative(body):
                return -self.worth(body, known)
            case Sum(terms):
                return sum((self.worth(t, known) for t in terms), Fraction(0) if not a.modular else 0)
            case Product(factors):
                total: Value = 1
                for factor in factors:
                    total = a.times(total, self.worth(factor, known))
                return total
            case Quotient(above, below):
                return a.times(self.worth(above, known), a.inverse(self.worth(below, known)))
            case Power(base, exponent):
                return a.power(self.worth(base, known), exponent)
            case Parallel(parts):
                return a.inverse(sum((a.inverse(self.worth(p, known)) for p in parts), 0))

    def number(self, leaf: Number) -> Value:
        """The value of a number as it stands."""
        value = leaf.value
        if self.thousands and leaf.unit:
            value = value * _IN_THOUSANDS.get(leaf.unit[-1], Fraction(1))
        return self.arithmetic.of(value)

    def is_zero(self, residue: Value, scale: Value = 0) -> bool:
        """Whether a difference of two sides is nothing, the sides being of this size."""
        if self.arithmetic.modular:
            return int(residue) % PRIME == 0
        return abs(Fraction(residue)) <= self.slack * abs(Fraction(scale))


BARE = Trial(Arithmetic(False), {}, {}, slack=Fraction(1, 100))  # for lines without a name


def generic(circuit: Circuit) -> Trial:
    """A trial at random values."""
    chance = random.Random(f"{circuit.currents} {circuit.symbols}")
    drawn = {name: chance.randrange(2, PRIME) for name in circuit.symbols}
    return _trial(circuit, Arithmetic(True), drawn, {})


def numeric(circuit: Circuit) -> Trial:
    """A trial modulo the prime at the circuit's own numbers. Needs a number for every symbol."""
    arithmetic = Arithmetic(True)
    put = {name: arithmetic.of(circuit.numbers[name]) for name in circuit.symbols}
    return _trial(circuit, arithmetic, put, circuit.numbers)


def exact(circuit: Circuit) -> Trial:
    """A trial in fractions at the circuit's own numbers; sides may differ by rounding."""
    put: dict[str, Value] = {name: circuit.numbers[name] for name in circuit.symbols}
    found = _trial(circuit, Arithmetic(False), put, circuit.numbers)
    return Trial(found.arithmetic, found.values, found.numbers, slack=Fraction(1, 100))


def _trial(
    circuit: Circuit, arithmetic: Arithmetic, symbols: Mapping[str, Value], numbers: Mapping[str, Fraction]
) -> Trial:
    values = dict(symbols)
    for name, element in circuit.elements.items():
        if element.kind in (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE) and name not in values:
            values[name] = ratio_worth(circuit.value(name), symbols, arithmetic)
    values.update(_currents(circuit, symbols, arithmetic))
    return Trial(arithmetic, values, numbers)


def in_thousands(trial: Trial, circuit: Circuit) -> Trial:
    """The same trial with currents in mA and resistances in kΩ."""
    factor = {name: trial.arithmetic.of(_IN_THOUSANDS["A"]) for name in circuit.currents}
    for name in trial.values:
        element = circuit.elements.get(name)
        kind = element.kind if element else circuit.role(name)
        unit = {Kind.RESISTOR: "Ω", Kind.CURRENT_SOURCE: "A"}.get(kind or Kind.SWITCH, "")
        if unit:
            factor[name] = trial.arithmetic.of(_IN_THOUSANDS[unit])
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
    for name, expr in meaning.items():
        try:
            values[name] = found.worth(expr)
        except (KeyError, ArithmeticError):
            continue
    for name in used:
        if name not in values:
            called = _called(name, circuit)
            if called is None:
                return None
            symbols = {s: trial.values[s] for s in circuit.symbols}
            value = ratio_worth(called, symbols, trial.arithmetic)
            unit = {"P": "W", "R": "Ω"}.get(name[0], "") if trial.thousands else ""
            values[name] = trial.arithmetic.times(
                value, trial.arithmetic.of(_IN_THOUSANDS.get(unit, Fraction(1)))
            )
    return found


def _unknown(trial: Trial, circuit: Circuit, name: str) -> Value:
    """The value of a branch current or, under its own name, of the potential of a point."""
    if name in trial.values:
        return trial.values[name]
    levels = circuit.remembered(solve).potentials
    worth = next(ratio for point, (_, ratio) in levels.items() if level(point) == name)
    return ratio_worth(worth, {s: trial.values[s] for s in circuit.symbols}, trial.arithmetic)


def with_other_unknowns(trial: Trial, circuit: Circuit) -> Trial:
    """The trial with random values for all that is not given: what still holds here is an identity."""
    chance = random.Random(len(trial.values))
    drawn = {
        name: value if name in circuit.symbols or name in circuit.elements else chance.randrange(2, PRIME)
        for name, value in trial.values.items()
    }
    return Trial(trial.arithmetic, drawn, trial.numbers, trial.thousands)


def _called(name: str, circuit: Circuit) -> Ratio | None:
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
        asked = target(name, circuit)
        if match[1] == "V":
            return solution.difference(asked.names[0], asked.names[1])
        if match[1] == "P":
            return solution.power(asked.names[0])
        return solution.resistance(asked.names[0], asked.names[1], asked.without)
    except (FaultyMaterial, LookupError):
        return None


# -- the currents ------------------------------------------------------------------------------------


def ratio_worth(ratio: Ratio, symbols: Mapping[str, Value], arithmetic: Arithmetic) -> Value:
    """The value of a ratio for values of its symbols. Raises ZeroDivisionError."""
    above = _polynomial_worth(ratio, symbols, arithmetic, below=False)
    if ratio.is_polynomial:
        return above
    return arithmetic.times(
        above, arithmetic.inverse(_polynomial_worth(ratio, symbols, arithmetic, below=True))
    )


def _polynomial_worth(
    ratio: Ratio, symbols: Mapping[str, Value], arithmetic: Arithmetic, *, below: bool
) -> Value:
    total: Value = 0
    for exponents, coefficient in ratio.terms(below=below):
        product: Value = coefficient
        for name, exponent in zip(ratio.field.symbols, exponents, strict=False):
            if exponent:
                product = arithmetic.times(product, arithmetic.power(symbols[name], exponent))
        total = total + product
    return total % PRIME if arithmetic.modular else total


def _currents(circuit: Circuit, symbols: Mapping[str, Value], arithmetic: Arithmetic) -> dict[str, Value]:
    """The branch currents by plain elimination in the laws. Raises ZeroDivisionError where none are."""

    def worth(ratio: Ratio) -> Value:
        return ratio_worth(ratio, symbols, arithmetic)

    chosen = [equation.linear for equation in laws(circuit).chosen]
    return _solved(chosen, worth, arithmetic, circuit.currents)


def _solved(
    rows: Sequence[Linear], worth: Callable[[Ratio], Value], arithmetic: Arithmetic, wanted: Sequence[str]
) -> dict[str, Value]:
    times, zero = arithmetic.times, Fraction(0) if not arithmetic.modular else 0
    kept: list[tuple[str, dict[str, Value]]] = []
    for linear in rows:
        row = {name: worth(c) for name, c in linear.coefficients.items()}
        row[""] = worth(linear.constant)
        for pivot, above in kept:
            factor = row.get(pivot, zero)
            if factor:
                row = _reduced(
                    {n: row.get(n, zero) - times(factor, above.get(n, zero)) for n in {**row, **above}},
                    arithmetic,
                )
        pivot = next((n for n, v in row.items() if n and v), "")
        if not pivot:
            continue
        scale = arithmetic.inverse(row[pivot])
        kept.append((pivot, {n: times(v, scale) for n, v in row.items() if v}))
    found: dict[str, Value] = {}
    for pivot, row in reversed(kept):
        total: Value = -row.get("", zero)
        for name, value in row.items():
            if name not in ("", pivot):
                total = total - times(value, found[name])
        found[pivot] = total % PRIME if arithmetic.modular else total
    return {name: found[name] for name in wanted}


def _reduced(row: dict[str, Value], arithmetic: Arithmetic) -> dict[str, Value]:
    return {n: v % PRIME for n, v in row.items()} if arithmetic.modular else row
