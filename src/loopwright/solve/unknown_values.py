"""Values found from results: the closed forms turned round, exactly.

Every result given is an equation in the unknown values. Cleared of fractions it is a polynomial; of one
unknown it is solved by its factors (linear, or quadratic with one square root), of two after one of them
has been put in from an equation that holds it to the first power. Each solution is put back into the
circuit, which is then solved afresh.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from ..algebra.ratios import Field, Ratio
from ..algebra.surds import Surd, without_squares
from ..circuit.circuit import Circuit
from ..circuit.unknowns import GivenResult, at_given, given_of, unknowns
from ..expressions.nodes import number
from ..findings import Finding
from .asked import value_of
from .by_elimination import currents_by_elimination
from .currents import NoUniqueSolution
from .exact import Solution

_MEND = "Look at the numbers given, or ask for another value."


@dataclass(frozen=True, slots=True)
class FoundValues:
    """One solution: the value of each unknown, in SI units (with symbols left where numbers are missing).

    `put_back`: whether the circuit with these values, solved afresh, has exactly the results given.
    """

    values: Mapping[str, Surd]
    put_back: bool

    def signs(self) -> Mapping[str, int] | None:
        """Whether each value is positive (1), zero or negative (-1); None where symbols are left."""
        found: dict[str, int] = {}
        for name, surd in self.values.items():
            if surd.plain.held() or surd.factor.held() or surd.under.held():
                return None
            amount = surd.value({})
            found[name] = (amount > 0) - (amount < 0)
        return found


@dataclass(frozen=True)
class UnknownValues:
    """The unknown values of a circuit from the results given.

    `forms`: each result given in closed form; `cleared`: the same as a polynomial that must vanish, in
    symbols with the result under its own name; `in_numbers`: with all numbers put in, empty where some are
    missing; `left`: for two unknowns the polynomial in the last one alone, after `put_in` gave the other.
    `unreal`: how many solutions would need the root of a negative number. `dropped`: how many roots of the
    cleared equations make a denominator of the closed forms vanish, so that nothing is said of them.
    """

    circuit: Circuit
    given: tuple[GivenResult, ...]
    unknowns: tuple[str, ...]
    forms: tuple[Ratio, ...]
    cleared: tuple[Ratio, ...]
    in_numbers: tuple[Ratio, ...]
    put_in: tuple[str, Ratio] | None
    left: Ratio | None
    solutions: tuple[FoundValues, ...]
    unreal: int
    dropped: int

    @property
    def last(self) -> str:
        """The unknown that is solved for first, with no other left."""
        return next(n for n in self.unknowns if self.put_in is None or n != self.put_in[0])


def unknown_values(solution: Solution) -> UnknownValues:
    """Finds the unknown values of a solved circuit from the results given.

    Raises FaultyMaterial where a result does not hold the unknowns, the results contradict one another or
    say the same, or the equations lead beyond square roots.
    """
    circuit = solution.circuit
    given, names = given_of(circuit), unknowns(circuit)
    forms = tuple(value_of(solution, one.target) for one in given)
    wide = Field((*circuit.symbols, *(one.name for one in given)))
    cleared = tuple(
        (form.at({}, wide) - wide.symbol(one.name)).numerator for form, one in zip(forms, given, strict=True)
    )
    for one, form in zip(given, forms, strict=True):
        if not set(names) & set(form.held()):
            raise at_given(
                circuit,
                Finding(
                    "given/does-not-depend",
                    f"{one.name} does not depend on {' or '.join(names)}: giving it says nothing about it.",
                    "Give another result, or ask for another value.",
                ),
            )
    numbers: dict[str, Fraction] = {n: v for n, v in circuit.numbers.items() if n not in names}
    numbers |= {one.name: one.value for one in given if one.value is not None}
    known = all(name in numbers or name in names for name in wide.symbols)
    bare = Field(names)
    in_numbers = tuple(_whole(c.at(numbers, bare)) for c in cleared) if known else ()
    put_in, left = _one_left(circuit, in_numbers or cleared, names, given)
    last = next(n for n in names if put_in is None or n != put_in[0])
    roots, unreal = _roots(circuit, left, last)
    kept: list[FoundValues] = []
    partly = [f.at(numbers, bare) if known else f.at({}, wide) for f in forms]
    for root in roots:
        values = {last: root}
        if put_in is not None:
            other = at_values(put_in[1], values)
            if other is None:
                continue
            values = {name: values.get(name, other) for name in names}
        if all(at_values(form, values) is not None for form in partly):  # no denominator vanishes there
            kept.append(FoundValues(values, _holds(circuit, given, values, numbers if known else None)))
    if not kept and not unreal:
        told = " and ".join(one.name for one in given)
        why = f"No value of {' and '.join(names)} gives {told}: what is given contradicts the circuit."
        raise at_given(circuit, Finding("given/contradictory", why, _MEND))
    return UnknownValues(
        circuit,
        given,
        names,
        forms,
        cleared,
        in_numbers,
        put_in,
        left if put_in is not None else None,
        tuple(kept),
        unreal,
        len(roots) - len(kept),
    )


def _whole(ratio: Ratio) -> Ratio:
    """A polynomial with its numbers made whole, no factor common to all, and not begun with a minus."""
    above = ratio.numerator
    return above / above.factors()[0] if above else above


def _one_left(
    circuit: Circuit, equations: tuple[Ratio, ...], names: tuple[str, ...], given: tuple[GivenResult, ...]
) -> tuple[tuple[str, Ratio] | None, Ratio]:
    """What is put in for the first unknown to go (None where there is but one), and the equation left."""
    told = " and ".join(one.name for one in given)
    if len(names) == 1:
        (left,), put_in = equations, None
    else:
        way = next(
            ((i, name) for name in names[::-1] for i in (0, 1) if equations[i].degree(name) == 1), None
        )
        if way is None:
            raise at_given(
                circuit,
                Finding(
                    "given/too-hard",
                    f"No unknown stands to the first power in the equation for {told}: no way was found "
                    "to solve them together.",
                    "Give a current or a voltage in the place of a power.",
                ),
            )
        i, name = way
        parts = equations[i].coefficients_in(name)
        put_in = (name, -parts.get(0, equations[i].field.zero) / parts[1])
        left = equations[1 - i].at({name: put_in[1]}).numerator
    if left.constant() is not None or not any(left.degree(name) > 0 for name in names):
        if left:
            raise at_given(
                circuit,
                Finding("given/contradictory", f"No value gives {told} at once: they contradict.", _MEND),
            )
        raise at_given(
            circuit,
            Finding("given/says-the-same", f"{told} say the same: they leave the values open.", _MEND),
        )
    return put_in, left


def _roots(circuit: Circuit, polynomial: Ratio, name: str) -> tuple[list[Surd], int]:
    """The real roots in `name`, and how many roots would take the root of a negative number."""
    field = polynomial.field
    found: list[Surd] = []
    unreal = 0
    for factor, _ in polynomial.factors()[1]:
        by_power = factor.coefficients_in(name)
        a, b, c = (by_power.get(n, field.zero) for n in (2, 1, 0))
        match factor.degree(name):
            case 0:
                continue
            case 1:
                found.append(Surd(-c / b, field.zero, field.one))
            case 2:
                square, under = without_squares(b**2 - a * c * 4)
                sign = under.constant()
                if sign is not None and sign < 0:
                    unreal += 2
                    continue
                one = Surd(-b / (a * 2), square / (a * 2), under)
                found += [one, one.conjugate()]
            case degree:
                raise at_given(
                    circuit,
                    Finding(
                        "given/too-hard",
                        f"The equation left for {name} is of degree {degree}: its roots have no short form.",
                        "Give the elements symbols of their own, or give another result.",
                    ),
                )
    return found, unreal


def _holds(
    circuit: Circuit,
    given: tuple[GivenResult, ...],
    values: Mapping[str, Surd],
    numbers: Mapping[str, Fraction] | None,
) -> bool:
    """Whether the circuit with these values, solved afresh by elimination, has the results given; exactly.
    With numbers for all else the circuit is solved in numbers, with the unknowns alone as symbols where
    these hold a root."""
    rational = not any(value.factor for value in values.values())
    field = next(iter(values.values())).plain.field
    if rational and numbers is not None:
        plain = {n: v.plain.constant() or Fraction(0) for n, v in values.items()}
        changed = replace(circuit, numbers={**numbers, **plain}).in_numbers()
    else:
        put = {n: number(v) for n, v in numbers.items()} if numbers is not None else {}
        changed = circuit.with_put_in(put)
    try:
        found = currents_by_elimination(changed)
    except (NoUniqueSolution, ZeroDivisionError):
        return False
    solution = Solution(changed, found.by_branch, found.determinant)
    for one in given:
        told = value_of(solution, one.target)
        wanted = field.symbol(one.name) if numbers is None else field.number(one.value or 0)
        if rational and numbers is not None:
            seen: Surd | None = Surd(told.at({}, field), field.zero, field.one)
        else:
            seen = at_values(told.at({}, field), values)
        if seen is None or bool(seen + -wanted):
            return False
    return True


def at_values(ratio: Ratio, values: Mapping[str, Surd]) -> Surd | None:
    """The ratio with these values put in for symbols; None where its denominator vanishes there. All values
    with a root share it."""
    above, below = (_polynomial_at(ratio, values, below=part) for part in (False, True))
    if not below:
        return None
    return above * below.inverse()


def _polynomial_at(ratio: Ratio, values: Mapping[str, Surd], *, below: bool) -> Surd:
    field = ratio.field
    positions = {name: field.position(name) for name in values}
    total = Surd(field.zero, field.zero, field.one)
    for exponents, coefficient in ratio.terms(below=below):
        rest = tuple(0 if i in positions.values() else e for i, e in enumerate(exponents))
        term = Surd(field.polynomial({rest: coefficient}), field.zero, field.one)
        for name, at in positions.items():
            for _ in range(exponents[at]):
                term = term * values[name]
        total = total + term
    return total
