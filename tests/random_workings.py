"""Correct workings made at random, and an oracle of truth that shares nothing with the reading.

A working: junction and loop equations of a random circuit, with random loops, senses and sides, then
elimination in a random order, by putting one line into others, down to results. The oracle solves the
laws at random fractions by plain elimination and values both sides of a claim.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from loopwright.algebra.linear import Linear, reduce_rows
from loopwright.algebra.ratios import Ratio
from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.diagnose import diagnose
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.expressions.nodes import (
    ZERO,
    Determinant,
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    add,
    expanded,
    negate,
    number,
    over,
    put,
    times,
)
from loopwright.expressions.tidy import tidy
from loopwright.laws.laws import laws
from loopwright.laws.loops import is_plain

MOST_TERMS = 30  # of a coefficient: longer lines are none that a person writes


@dataclass(frozen=True)
class Case:
    """A circuit and a correct working of it, in symbols or `in_numbers`."""

    circuit: Circuit
    lines: tuple[Equation, ...]
    in_numbers: bool
    slip: int = -1  # which line is wrong, if one is; those after it were worked on with it


def drawn(chance: random.Random, numbers: bool) -> Circuit:
    """A connected circuit of two to four points and up to seven branches, always with a battery."""
    points = [f"p{i}" for i in range(chance.randint(2, 4))]
    pairs = [(points[chance.randrange(i)], points[i]) for i in range(1, len(points))]
    pairs += [tuple(chance.sample(points, 2)) for _ in range(chance.randint(1, 3))]  # type: ignore[misc]
    chance.shuffle(pairs)
    elements: dict[str, Element] = {}
    branches: list[Branch] = []
    driven = chance.randrange(len(pairs))
    for n, (start, end) in enumerate(pairs, start=1):
        along: list[Pass] = []
        if chance.random() < 0.85:
            elements[f"R{n}"] = resistor(f"R{n}")
            along.append(Pass(f"R{n}"))
        draw = chance.random()
        if draw < 0.4 or n == driven + 1:
            internal = Symbol(f"r{n}") if chance.random() < 0.25 else None
            elements[f"E{n}"] = battery(f"E{n}", None, internal)
            along.append(Pass(f"E{n}", chance.choice([1, -1])))
        elif draw < 0.45:
            elements[f"J{n}"] = Element(f"J{n}", Kind.CURRENT_SOURCE, Symbol(f"J{n}"))
            along.append(Pass(f"J{n}", chance.choice([1, -1])))
        if not along:
            elements[f"R{n}"] = resistor(f"R{n}")
            along.append(Pass(f"R{n}"))
        chance.shuffle(along)
        if chance.random() < 0.5:
            start, end = end, start
        branches.append(Branch(f"I{n}", start, end, tuple(along)))
    circuit = Circuit(tuple(branches), elements)
    if not numbers:
        return circuit
    values = {s: Fraction(chance.randint(2, 24), chance.choice([1, 1, 1, 2, 10])) for s in circuit.symbols}
    return replace(circuit, numbers=values)


def case(seed: int, *, slip: bool = False) -> Case:
    """The working of this seed; the first well-posed circuit that can be worked in short lines. `slip`:
    the sign of one term of one law is turned, and everything after it made of the wrong line."""
    chance = random.Random(seed)
    while True:
        in_numbers = chance.random() < 0.4
        circuit = drawn(chance, in_numbers)
        if any(f.severity == "error" for f in diagnose(circuit)):
            continue
        laid = _law_lines(circuit, chance, in_numbers)
        if laid is None:
            continue
        at = -1
        if slip:
            at = chance.randrange(len(laid))
            turned = _turned(laid[at][1], chance)
            laid[at] = (_equation(turned, chance), turned)
        lines = _worked(laid, chance)
        if lines is not None:
            return Case(circuit, lines, in_numbers, at)


def _turned(linear: Linear, chance: random.Random) -> Linear:
    """The equation with the sign of one term turned."""
    name = (
        chance.choice(["", *linear.coefficients])
        if linear.constant
        else chance.choice([*linear.coefficients])
    )
    if not name:
        return Linear(linear.coefficients, -linear.constant)
    return Linear({**linear.coefficients, name: -linear.coefficients[name]}, linear.constant)


def _worked(laid: Sequence[tuple[Equation, Linear]], chance: random.Random) -> tuple[Equation, ...] | None:
    """Elimination from these lines, in a random order, down to results."""
    lines, rows = [line for line, _ in laid], [row for _, row in laid]
    solved: list[tuple[str, Linear]] = []
    while rows:
        index = chance.randrange(len(rows))
        row = rows.pop(index)
        if not row:
            continue
        if not row.coefficients:
            return None
        unknown = chance.choice(sorted(row.coefficients))
        value = row.solved_for(unknown)
        if _length(value) > MOST_TERMS:
            return None
        line = Equation(Symbol(unknown), _expr(value, chance))
        if lines[-1] != line:
            lines.append(line)
        solved.append((unknown, value))
        for i, other in enumerate(rows):
            if unknown in other.coefficients:
                rows[i] = other.put(unknown, value)
                if _length(rows[i]) > MOST_TERMS:
                    return None
                if rows[i]:
                    lines.append(_equation(rows[i], chance))
    known: dict[str, Linear] = {}
    for unknown, value in reversed(solved):
        for name, result in known.items():
            value = value.put(name, result)
        if _length(value) > MOST_TERMS:
            return None
        known[unknown] = value
        lines.append(Equation(Symbol(unknown), _expr(value, chance)))
    return tuple(lines)


def _law_lines(
    circuit: Circuit, chance: random.Random, in_numbers: bool
) -> list[tuple[Equation, Linear]] | None:
    """Enough junction and loop equations, in random order, with their linear forms."""
    all_laws = laws(circuit)
    chosen = list(all_laws.elements)
    pool = [*all_laws.junctions, *(e for e in all_laws.every_loop if is_plain(circuit, e.loop))]
    chance.shuffle(pool)
    for law in pool:
        rows = [e.linear for e in (*chosen, law)]
        if reduce_rows(rows, circuit.currents).rank == len(rows):
            chosen.append(law)
    if len(chosen) < len(circuit.currents):
        return None
    chance.shuffle(chosen)
    found = []
    for law in chosen:
        terms = [*_terms(law.written.left), *(negate(t) for t in _terms(law.written.right))]
        linear = law.linear
        if in_numbers:
            values: dict[str, Expr] = {s: number(v) for s, v in circuit.numbers.items()}
            terms = [put(term, values) for term in terms]
            linear = _in_numbers(linear, circuit)
        found.append((_two_sides(terms, chance), linear))
    return found


def _in_numbers(linear: Linear, circuit: Circuit) -> Linear:
    field = circuit.field

    def plain(ratio: Ratio) -> Ratio:
        return field.number(ratio.value(circuit.numbers))

    return Linear.of({n: plain(c) for n, c in linear.coefficients.items()}, plain(linear.constant))


def _terms(expr: Expr) -> list[Expr]:
    if expr == ZERO:
        return []
    return list(expr.terms) if isinstance(expr, Sum) else [expr]


def _two_sides(terms: Sequence[Expr], chance: random.Random) -> Equation:
    """The terms, which add to zero, in random order on two sides, perhaps all of the other sign."""
    terms = list(terms)
    chance.shuffle(terms)
    if chance.random() < 0.5:
        terms = [negate(t) for t in terms]
    cut = chance.choice([len(terms), len(terms), chance.randint(1, len(terms))])
    return Equation(add(*terms[:cut]), add(*(negate(t) for t in terms[cut:])))


def _pieces(linear: Linear) -> list[Expr]:
    pieces = [times(tidy(c), Symbol(n)) for n, c in linear.coefficients.items()]
    return [*pieces, *([tidy(linear.constant)] if linear.constant else [])]


def _equation(linear: Linear, chance: random.Random) -> Equation:
    return _two_sides(_pieces(linear), chance)


def _expr(value: Linear, chance: random.Random) -> Expr:
    pieces = _pieces(value)
    chance.shuffle(pieces)
    return add(*pieces)


def _length(linear: Linear) -> int:
    ratios = [*linear.coefficients.values(), linear.constant]
    return max(len(r.terms()) + len(r.terms(below=True)) for r in ratios)


class Oracle:
    """The truth about claims at three random choices of values, or at the numbers of the circuit."""

    def __init__(self, circuit: Circuit, in_numbers: bool) -> None:
        chance = random.Random(7)
        symbols = circuit.symbols
        choices = (
            [dict(circuit.numbers)]
            if in_numbers
            else [
                {s: Fraction(chance.randint(2, 999), chance.randint(1, 99)) for s in symbols} for _ in "123"
            ]
        )
        self.points = [{**values, **_currents(circuit, values)} for values in choices]

    def true(self, claim: Equation) -> bool:
        """Whether both sides come to the same at every point."""
        try:
            return all(value_of(claim.left, at) == value_of(claim.right, at) for at in self.points)
        except ZeroDivisionError:
            return False

    def close(self, claim: Equation) -> bool:
        """Whether the sides differ by a fifteenth of the larger at most, as rounded to two figures."""
        for at in self.points:
            left, right = value_of(claim.left, at), value_of(claim.right, at)
            if abs(left - right) * 15 > max(abs(left), abs(right)):
                return False
        return True


def _currents(circuit: Circuit, values: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """The branch currents from the chosen laws, by elimination on fractions."""
    every = laws(circuit).chosen
    unknowns = sorted({n for e in every for n in e.linear.coefficients})
    matrix = [
        [*(c[n].value(values) if n in c else Fraction(0) for n in unknowns), -e.linear.constant.value(values)]
        for e in every
        for c in [e.linear.coefficients]
    ]
    for k in range(len(unknowns)):
        pivot = next(i for i in range(k, len(matrix)) if matrix[i][k])
        matrix[k], matrix[pivot] = matrix[pivot], matrix[k]
        matrix[k] = [x / matrix[k][k] for x in matrix[k]]
        for i, row in enumerate(matrix):
            if i != k and row[k]:
                matrix[i] = [x - row[k] * y for x, y in zip(row, matrix[k], strict=True)]
    return {n: matrix[k][-1] for k, n in enumerate(unknowns)}


def value_of(expr: Expr, at: Mapping[str, Fraction]) -> Fraction:
    """The value of an expression, by its own rules."""
    match expr:
        case Number(value):
            return value
        case Symbol(name):
            return at[name]
        case Sum(terms):
            return sum((value_of(t, at) for t in terms), Fraction(0))
        case Product(factors):
            total = Fraction(1)
            for factor in factors:
                total *= value_of(factor, at)
            return total
        case Negative(body):
            return -value_of(body, at)
        case Quotient(above, below):
            return value_of(above, at) / value_of(below, at)
        case Power(base, exponent):
            return value_of(base, at) ** exponent
        case Parallel(parts):
            return 1 / sum((1 / value_of(p, at) for p in parts), Fraction(0))
        case Determinant(rows):
            return value_of(expanded(rows), at)


def changes(expr: Expr) -> list[Expr]:
    """The expression with one thing changed, for every place: a sign turned, a term or factor left out, a
    whole number off by one, a symbol's digit changed, a fraction turned over."""
    found: list[Expr] = []
    match expr:
        case Number(value):
            found.append(Number(value + 1))
        case Symbol(name):
            if name[-1].isdigit():
                found.append(Symbol(f"{name[:-1]}{int(name[-1]) % 3 + 1}"))
        case Sum(terms):
            for i, term in enumerate(terms):
                rest = (*terms[:i], *terms[i + 1 :])
                found.append(Sum((*terms[:i], negate(term), *terms[i + 1 :])))
                found.append(add(*rest))
                found.extend(Sum((*terms[:i], other, *terms[i + 1 :])) for other in changes(term))
        case Product(factors):
            for i, factor in enumerate(factors):
                found.append(times(*factors[:i], *factors[i + 1 :]))
                found.extend(times(*factors[:i], other, *factors[i + 1 :]) for other in changes(factor))
        case Negative(body):
            found.append(body)
            found.extend(negate(other) for other in changes(body))
        case Quotient(above, below):
            found.append(over(below, above))
            found.extend(Quotient(other, below) for other in changes(above))
            found.extend(Quotient(above, other) for other in changes(below) if other != ZERO)
        case _:
            pass
    return found


def changed(claim: Equation) -> list[Equation]:
    """The claim with one thing changed on one side, for every place."""
    return [
        *(Equation(other, claim.right) for other in changes(claim.left)),
        *(Equation(claim.left, other) for other in changes(claim.right)),
    ]
