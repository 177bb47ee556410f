"""Lines multiplied out, term by term, and the laws of a circuit so, by which a line is known for one.

Stands on the circuit's laws; knows no names but the circuit's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...expressions.nodes import (
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
)
from ...laws.equations import LawEquation
from ...laws.laws import laws
from ...laws.loops import loop_count_needed

Monomials = dict[tuple[str, ...], Fraction]  # the names of a product, sorted -> its number
Canonical = frozenset[tuple[tuple[str, ...], Fraction]]

MOST_MONOMIALS = 200
MOST_LOOPS = 9  # more independent loops than this: not every loop of the circuit is listed


def monomials(expr: Expr) -> Monomials | None:
    """An expression multiplied out: names of each product (sorted) -> its number. None where something
    other than a number is divided by, or where it grows too long."""
    match expr:
        case Number(value):
            return {(): value} if value else {}
        case Symbol(name):
            return {(name,): Fraction(1)}
        case Negative(body):
            inner = monomials(body)
            return None if inner is None else {k: -v for k, v in inner.items()}
        case Sum(parts):
            total: Monomials = {}
            for part in parts:
                inner = monomials(part)
                if inner is None:
                    return None
                for k, v in inner.items():
                    total[k] = total.get(k, Fraction(0)) + v
            return total
        case Product(factors):
            return _multiplied([monomials(f) for f in factors])
        case Power(base, exponent):
            return _multiplied([monomials(base)] * exponent)
        case Parallel():  # one thing by itself: what lies side by side is not taken apart
            return {(repr(expr),): Fraction(1)}
        case Quotient(above, below):
            inner, divisor = monomials(above), monomials(below)
            if inner is None or divisor is None or divisor.keys() != {()} or not divisor[()]:
                return None
            return {k: v / divisor[()] for k, v in inner.items()}
        case _:
            return None


def row_of(line: Equation) -> Monomials | None:
    """A line as its names with their numbers (in SI units, where they have any), left minus right; None for
    what is not linear."""
    left, right = monomials(line.left), monomials(line.right)
    if left is None or right is None:
        return None
    total = dict(left)
    for key, value in right.items():
        total[key] = total.get(key, Fraction(0)) - value
    found = {key: value for key, value in total.items() if value}
    return found if all(len(key) < 2 for key in found) else None


def _multiplied(factors: Sequence[Monomials | None]) -> Monomials | None:
    total: Monomials = {(): Fraction(1)}
    for factor in factors:
        if factor is None or len(total) * len(factor) > MOST_MONOMIALS:
            return None
        grown: Monomials = {}
        for k, v in total.items():
            for other, w in factor.items():
                key = tuple(sorted((*k, *other)))
                grown[key] = grown.get(key, Fraction(0)) + v * w
        total = grown
    return total


def cleaned(terms: Monomials) -> Monomials:
    """The terms without those whose number has become 0."""
    return {k: v for k, v in terms.items() if v}


def lead_of(terms: Monomials) -> Fraction:
    """The number before the first term (in the order of names): dividing by it makes a line and its
    multiples alike."""
    return terms[min(terms)]


def canonical(terms: Monomials) -> Canonical:
    """The terms over the number of the first one: the same for a line and for all its multiples."""
    lead = lead_of(terms)
    return frozenset((k, v / lead) for k, v in terms.items())


LawTable = dict[Canonical, tuple[LawEquation, Fraction]]


def tables_of(circuit: Circuit) -> tuple[LawTable, ...]:
    """The laws of a circuit by their terms, so that a line is recognised as a law whatever it is multiplied
    by: one table in symbols and, where the circuit has all numbers, one with these put in and one in mA and
    kΩ."""
    return circuit.remembered(_laws_by_terms)


def _laws_by_terms(circuit: Circuit) -> tuple[LawTable, ...]:
    found = laws(circuit)
    few = loop_count_needed(circuit) <= MOST_LOOPS
    every = (*found.junctions, *(found.every_loop if few else found.loops), *found.elements)
    in_symbols: LawTable = {}
    in_numbers: list[LawTable] = [{}, {}] if circuit.has_all_numbers else []
    for law in every:
        left, right = monomials(law.written.left), monomials(law.written.right)
        if left is None or right is None:
            continue
        terms = cleaned({k: left.get(k, Fraction(0)) - right.get(k, Fraction(0)) for k in {**left, **right}})
        if not terms:
            continue
        in_symbols.setdefault(canonical(terms), (law, lead_of(terms)))
        for table, thousands in zip(in_numbers, (False, True), strict=False):
            put_in = numbered(terms, circuit, thousands)
            if put_in:
                table.setdefault(canonical(put_in), (law, lead_of(put_in)))
    return (in_symbols, *in_numbers)


def numbered(terms: Monomials, circuit: Circuit, thousands: bool) -> Monomials:
    """The terms with the circuit's numbers put in for its symbols, resistances in kΩ where asked for."""
    total: Monomials = {}
    for key, value in terms.items():
        kept: list[str] = []
        for name in key:
            if name in circuit.numbers:
                scale = (
                    Fraction(1, 1000) if thousands and circuit.role(name) is Kind.RESISTOR else Fraction(1)
                )
                value = value * circuit.numbers[name] * scale
            else:
                kept.append(name)
        total[tuple(kept)] = total.get(tuple(kept), Fraction(0)) + value
    return cleaned(total)
