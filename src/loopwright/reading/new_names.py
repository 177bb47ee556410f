"""The names of a working that stand for nothing in the problem: which are quantities, which shorthands."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..expressions.nodes import Expr, Negative, Number, Product, Symbol
from ..expressions.values import symbols_of
from ..solve.exact import Solution
from .quantities import Origin, is_across_own, is_of_source, is_open_voltage, is_quantity, may_be_open
from .truth.meaning import Meanings, UnknownName
from .truth.rounding import digits_of, lone
from .working import Claim


def new_names(
    solution: Solution, claims: Sequence[Claim], declared: set[str], origins: Mapping[str, Origin]
) -> tuple[list[str], list[str]]:
    """Names that stand for nothing in the problem and may be quantities of it; and those among them that are
    defined where they first appear, by what is known there."""
    currents = solution.circuit.currents
    meanings = Meanings(solution, {n: {n: 1} for n in currents})
    known = {*meanings.names, *declared}
    found: list[str] = []
    defined: list[str] = []
    for claim in claims:
        equation = claim.written
        for name in symbols_of(equation):
            if name in known:
                continue
            others = symbols_of(equation.right)
            known.add(name)
            if _is_called(meanings, name) or is_of_source(solution.circuit, origins.get(name)):
                continue
            across = is_across_its_own(solution.circuit, name, equation.right, claims)
            if equation.left == Symbol(name) and across and not is_across_own(solution.circuit, name):
                continue  # beside others in its branch: no two points lie at its ends
            if equation.left == Symbol(name) and name not in others and known.issuperset(others):
                rests_on = [n for n in others if n in currents or n in found or n.startswith("V(")]
                bears = name in origins and is_quantity(name, origins[name])
                if (rests_on and not bears) or not may_be_open(name):
                    continue
                if rests_on and not origins[name].marked and not is_open_voltage(name):
                    defined.append(name)
            found.append(name)
    others_meant = (other for claim in claims for other in claim.otherwise)
    more = (n for other in others_meant for n in symbols_of(other) if n in origins and origins[n].marked)
    found.extend(n for n in dict.fromkeys(more) if n not in known)
    return found, defined


def is_across_its_own(circuit: Circuit, name: str, given: Expr, claims: Sequence[Claim]) -> bool:
    """Whether a voltage is that across the resistance whose mark it bears, since it is said to be that times
    a current, by name or with the number that it has or is given: `UB = RB j2`, not the potential of B."""
    mark = name[1:].lstrip("_")
    body = given.body if isinstance(given, Negative) else given
    if name[0] not in "VUvu" or not mark or not isinstance(body, Product):
        return False
    own = {f"R{mark}", f"R_{mark}", f"r{mark}"}
    sizes = {
        circuit.numbers[n] * scale for n in own if n in circuit.numbers for scale in (1, Fraction(1, 1000))
    }
    sizes |= {Fraction(digits_of(number)) for number in numbers_given(claims, own)}
    return any(
        factor.name in own if isinstance(factor, Symbol) else Fraction(digits_of(factor)) in sizes
        for factor in body.factors
        if isinstance(factor, Symbol | Number)
    )


def is_first_across(circuit: Circuit, name: str, claims: Sequence[Claim]) -> bool:
    """Whether the first claim that speaks of a name gives it as the voltage across the resistance whose mark
    it bears."""
    first = next(c.written for c in claims if name in symbols_of(c.written))
    return first.left == Symbol(name) and is_across_its_own(circuit, name, first.right, claims)


def numbers_given(claims: Sequence[Claim], names: Collection[str]) -> Iterator[Number]:
    """The numbers that some names are given, at the ends of chains too."""
    start: Expr | None = None
    end: Expr | None = None
    for claim in claims:
        start = start if claim.written.left == end else claim.written.left
        end = claim.written.right
        number = lone(end)
        if number is not None and isinstance(start, Symbol) and start.name in names:
            yield number


def _is_called(meanings: Meanings, name: str) -> bool:
    """Whether a name is a quantity such as `V(a, b)` of the circuit."""
    try:
        meanings.learn([name])
    except UnknownName:
        return False
    return True
