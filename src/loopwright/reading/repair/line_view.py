"""A line seen as a person sees it: what each name stands for, what each term is, what kind of line it is;
and the laws of the circuit term by term, to find which of them a line is."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cached_property
from itertools import combinations, product

from ...algebra.modular import PRIME
from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...expressions.dimensions import AMPERE, OHM, VOLT, WATT, Clash, Dimension, dimension
from ...expressions.nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Product,
    Quotient,
    Sum,
    Symbol,
    negate,
    numbers_in,
)
from ...expressions.values import symbols_of
from ...laws.equations import LawEquation
from ..truth.rounding import is_decimal, lone
from .law_terms import Canonical, Monomials, canonical, cleaned, lead_of, monomials, tables_of
from .places import LinePlace, places, signed_terms
from .trial_values import Trial, as_lines_say, generic, with_names

MOST_SHARING = 4  # currents round loops that one branch carries


class NameSort(StrEnum):
    """What a name stands for."""

    CURRENT = "current"
    SOURCE = "source"
    RESISTANCE = "resistance"
    VOLTAGE = "voltage"
    OTHER = "other"


class LineShape(StrEnum):
    """What kind of line it looks like."""

    LOOP = "sources and drops"
    JUNCTION = "currents"
    RESULT = "a name and its value"
    OTHER = "other"


@dataclass(frozen=True)
class LineView:
    """A line as a person sees it in its circuit. `names`: what the names of currents stand for, as sums of
    branch currents; `meaning`: what other names of the working's own stand for; `above`: the lines above
    it. `basis`: where the line is to follow from lines that need not be true, those lines; `round_loops`: the
    currents of which the working says that they run round loops."""

    equation: Equation
    circuit: Circuit
    names: Mapping[str, Mapping[str, int]]
    meaning: Mapping[str, Expr]
    above: tuple[Equation, ...] = ()
    basis: tuple[Equation, ...] = ()
    round_loops: frozenset[str] = frozenset()

    @cached_property
    def places(self) -> tuple[LinePlace, ...]:
        """Every place in the line."""
        return places(self.equation)

    @cached_property
    def used(self) -> tuple[str, ...]:
        """The names in the line."""
        return symbols_of(self.equation)

    def sort(self, name: str) -> NameSort:
        """What a name stands for."""
        found = self._sorted.get(name)
        if found is None:
            found = self._sorted[name] = self._sort(name)
        return found

    @cached_property
    def _sorted(self) -> dict[str, NameSort]:
        return {}

    def _sort(self, name: str) -> NameSort:
        meaning = self.names.get(name)
        if meaning is not None and any(part.startswith("φ") for part in meaning):
            return NameSort.VOLTAGE
        if meaning is not None or name in self.circuit.currents:
            return NameSort.CURRENT
        if name.startswith("V("):
            return NameSort.VOLTAGE
        element = self.circuit.elements.get(name)
        kind = self.circuit.role(name) or (element.kind if element else None)
        found = {
            Kind.BATTERY: NameSort.SOURCE,
            Kind.RESISTOR: NameSort.RESISTANCE,
            Kind.CURRENT_SOURCE: NameSort.CURRENT,
        }.get(kind or Kind.SWITCH)
        return found or (NameSort.RESISTANCE if self._is_own_resistance(name) else NameSort.OTHER)

    def _is_own_resistance(self, name: str) -> bool:
        """Whether a name is `R(a, b)` or that of a combined resistance of the working's own."""
        return name.startswith("R(") or (name[:1] in "Rr" and name in self.meaning)

    @cached_property
    def sums_above(self) -> frozenset[frozenset[Expr]]:
        """The terms of each sum that is a side of a line above, and so may be put in for the other side:
        I3 + 3 of I4 = I3 + 3."""
        sides = (side for line in self.above for side in (line.left, line.right))
        return frozenset(frozenset(side.terms) for side in sides if isinstance(side, Sum))

    def is_worth_a(self, number: Number, kind: Kind) -> bool:
        """Whether a number is the value of an element of a kind; of a current source in milliamperes too."""
        found = [v for n, v in self.circuit.numbers.items() if self.circuit.role(n) is kind]
        return number.value in found or (kind is Kind.CURRENT_SOURCE and number.value / 1000 in found)

    def is_power(self, expr: Expr) -> bool:
        """Whether an expression is the power of an element, under a name of the working's own too."""
        meant = self.meaning.get(expr.name, expr) if isinstance(expr, Symbol) else expr
        parts = meant.terms if isinstance(meant, Sum) else (meant,)
        return all(isinstance(part, Symbol) and part.name.startswith("P(") for part in parts)

    def clashes(self, equation: Equation) -> bool:
        """Whether quantities of different kinds are added or set equal in an equation."""
        try:
            dimension(equation, self._dimension)
        except Clash:
            return True
        return False

    def _dimension(self, name: str) -> Dimension | None:
        return WATT if name.startswith("P(") else _KINDS.get(self.sort(name))

    def sorts(self, expr: Expr) -> set[NameSort]:
        """What the names in an expression stand for, numbers with units counted."""
        found = {self.sort(name) for name in symbols_of(expr)}
        units = {number.unit[-1:] for number in numbers_in(expr)}
        by_unit = {"V": NameSort.SOURCE, "Ω": NameSort.RESISTANCE, "A": NameSort.CURRENT}
        return found | {by_unit[unit] for unit in units if unit in by_unit}

    def named(self, sort: NameSort) -> tuple[str, ...]:
        """All names of a sort, those of the circuit and those used in the line."""
        return self._by_sort.get(sort, ())

    def named_here(self, sort: NameSort) -> tuple[str, ...]:
        """The names of a sort that stand in the line."""
        return tuple(name for name in self.used if self.sort(name) is sort)

    @cached_property
    def currents(self) -> tuple[str, ...]:
        """The names of currents that the writer uses: where they are names of the writer's own, those of
        the circuit only as far as they stand in the line or above it."""
        known = dict.fromkeys((*self.circuit.currents, *self.names))
        every = tuple(n for n in known if self.sort(n) is NameSort.CURRENT)
        written = {n for item in (self.equation, *self.above) for n in symbols_of(item)} & set(every)
        if written.issubset(self.circuit.currents):
            return tuple(n for n in every if n in self.circuit.currents)
        return tuple(n for n in every if n in written or n not in self.circuit.currents)

    @cached_property
    def own_resistances(self) -> tuple[str, ...]:
        """The combined resistances that have a name of the working's own."""
        return tuple(name for name in self.meaning if self._is_own_resistance(name))

    @cached_property
    def _by_sort(self) -> dict[NameSort, tuple[str, ...]]:
        every = dict.fromkeys((*self.currents, *self.circuit.symbols, *self.own_resistances, *self.used))
        return {sort: tuple(n for n in every if self.sort(n) is sort) for sort in NameSort}

    @cached_property
    def internal_resistances(self) -> frozenset[str]:
        """The names of internal resistances."""
        found = (e.internal for e in self.circuit.elements.values() if e.internal is not None)
        return frozenset(name for value in found for name in symbols_of(value))

    @cached_property
    def has_numbers(self) -> bool:
        """Whether numbers stand in the line that may be values of elements or currents."""
        own = (self.meaning[name] for name in self.used if name in self.meaning)
        found = (number for item in (self.equation, *own) for number in numbers_in(item))
        return any(number.value or number.unit for number in found)

    @cached_property
    def numbers_above(self) -> tuple[Number, ...]:
        """The numbers with decimals that stand in the lines above."""
        numbers = (number for line in self.above for number in numbers_in(line))
        return tuple(dict.fromkeys(n for n in numbers if is_decimal(n)))

    @cached_property
    def in_decimals(self) -> bool:
        """Whether the working writes results as decimals."""
        numbers = (*self.numbers_above, *numbers_in(self.equation))
        return any(is_decimal(n) and not self.is_given(n.value) for n in numbers)

    def is_given(self, value: Fraction) -> bool:
        """Whether a number, in SI units or in thousands of them, is one of the problem's."""
        own = self.circuit.numbers.values()
        return any(value in (v, v / 1000) for v in own)

    @cached_property
    def outer_terms(self) -> tuple[LinePlace, ...]:
        """The terms of both sides, without a side that is 0."""
        outer = (s for s in self.places if s.is_outer and not isinstance(s.expr, Sum))
        return tuple(s for s in outer if not _is_zero(s.expr))

    @cached_property
    def divisors(self) -> tuple[Expr, ...]:
        """What a solved line was divided by: resistances below a line in one of its terms."""
        inner = [s for s in self.places if isinstance(s.expr, Quotient) and s.line() == 0]
        found = dict.fromkeys(s.expr.below for s in inner if isinstance(s.expr, Quotient))
        return tuple(below for below in found if self.sorts(below) == {NameSort.RESISTANCE})

    @cached_property
    def brackets(self) -> tuple[Expr, ...]:
        """The sums of resistances that are factors in the line, each once."""
        inner = (s.expr for s in self.places if isinstance(s.parent, Product) and isinstance(s.expr, Sum))
        return tuple(e for e in dict.fromkeys(inner) if self.sorts(e) == {NameSort.RESISTANCE})

    @cached_property
    def shape(self) -> LineShape:
        """What kind of line it looks like."""
        sorts = [self.sorts(place.expr) for place in self.outer_terms]
        if any(isinstance(place.expr, Quotient) for place in self.places):
            return LineShape.RESULT if self.is_result else LineShape.OTHER
        if sorts and all(s == {NameSort.CURRENT} for s in sorts):
            bare = all(isinstance(_body(s.expr), Symbol | Sum) for s in self.outer_terms)
            lone = any(isinstance(_body(s.expr), Number) for s in self.outer_terms)
            return LineShape.RESULT if lone else LineShape.JUNCTION if bare else LineShape.LOOP
        if self.is_result and not any(NameSort.CURRENT in s for s in sorts[1:]):
            return LineShape.RESULT
        products = [s for s in self.outer_terms if isinstance(_body(s.expr), Product)]
        drops = any(NameSort.CURRENT in self.sorts(s.expr) for s in products)
        only_sources = bool(sorts) and all(s == {NameSort.SOURCE} for s in sorts)
        return LineShape.LOOP if drops or only_sources else LineShape.OTHER

    @property
    def superposes(self) -> bool:
        """Whether the working speaks of currents that sources make one at a time."""
        known = {*self.circuit.currents, *(f"φ {point}" for point in self.circuit.named_points)}
        return any(part not in known for meaning in self.names.values() for part in meaning)

    @cached_property
    def levels(self) -> Mapping[str, Expr]:
        """The potentials of points as this line can name them, 0 for the point that they are all against;
        empty where the line and those above speak of none."""
        written = {n for item in (self.equation, *self.above) for n in symbols_of(item)}
        found: dict[str, Expr] = {}
        grounds: dict[str, None] = {}
        for name, meaning in self.names.items():
            ends = {sign: part[2:] for part, sign in meaning.items() if part.startswith("φ ")}
            if set(ends) == {1, -1} and set(ends.values()) <= set(self.circuit.named_points):
                if name in written or ends[1] not in found:  # of several names the one that is used here
                    found[ends[1]] = Symbol(name)
                grounds[ends[-1]] = None
        named = {e.name for e in found.values() if isinstance(e, Symbol)}
        named |= {f"V({one}, {other})" for one in found for other in found}  # VQ − VP is read as V(Q, P)
        if len(grounds) != 1 or not written & named:
            return {}
        return {**found, next(iter(grounds)): Number(Fraction(0))}

    @cached_property
    def is_junction_of_potentials(self) -> bool:
        """Whether it says of a point what flows there by the potentials around it: voltages over
        resistances."""
        over_one = [place.expr for place in self.outer_terms if isinstance(_body(place.expr), Quotient)]
        by_potentials = [e for e in over_one if NameSort.VOLTAGE in self.sorts(e)]
        least = 2 if self.is_result else 1  # I5 = (Vc − Vb)/Rx is of a branch
        return len(by_potentials) > 1 or (len(by_potentials) == 1 and len(self.outer_terms) > least)

    @cached_property
    def is_result(self) -> bool:
        """Whether one side is a single name that is asked for, not given."""
        lone = (side.name for side in (self.equation.left, self.equation.right) if isinstance(side, Symbol))
        return any(self._is_own_resistance(name) or self.sort(name) not in _GIVEN for name in lone)

    def is_sum_of_currents(self, side: int) -> bool:
        """Whether a side (0 left, 1 right) is names of currents alone, added and subtracted."""
        terms = signed_terms(self.equation.right if side else self.equation.left)
        bodies = [body for _, body in terms]
        return bool(bodies) and all(
            isinstance(b, Symbol) and self.sort(b.name) is NameSort.CURRENT for b in bodies
        )

    def is_subject(self, name: str) -> bool:
        """Whether a side of the line is this name alone."""
        return Symbol(name) in (self.equation.left, self.equation.right)

    def term_sort(self, expr: Expr) -> NameSort:
        """What a term of a line is: a current holds no resistance, a drop does; both are `CURRENT`."""
        sorts = self.sorts(expr)
        for sort in (NameSort.CURRENT, NameSort.VOLTAGE, NameSort.SOURCE, NameSort.RESISTANCE):
            if sort in sorts:
                return sort
        return NameSort.SOURCE if not sorts and self.shape is LineShape.LOOP else NameSort.OTHER

    def current_in(self, expr: Expr) -> str:
        """The first current named in an expression, or empty."""
        return next((n for n in symbols_of(expr) if self.sort(n) is NameSort.CURRENT), "")

    # -- the circuit in the names of the line --------------------------------------------------------

    @cached_property
    def carriers(self) -> Mapping[str, Expr]:
        """How each branch current is written with the names of the line: as a name, or as a sum or
        difference of names."""
        own = {n for n in self.used if n not in self.circuit.currents and n in self.currents}
        return self._carriers(own)

    @cached_property
    def shared(self) -> Mapping[str, Expr]:
        """The same in the currents round loops that the writer uses, where there are any."""
        return self._carriers({n for n in self.currents if n not in self.circuit.currents})

    def _carriers(self, own: Collection[str]) -> Mapping[str, Expr]:
        """How each branch current is written, in names of the writer's own where they can be had."""
        if not self.names:
            return {name: Symbol(name) for name in self.circuit.currents}
        trial = self.circuit.remembered(generic)
        of_currents = {n: self.names.get(n, {n: 1}) for n in self.currents}
        drawn = {
            n: m for n, m in of_currents.items() if trial.values.keys() >= m.keys()
        }  # in no other circuit
        totals = {n: sum(trial.values[b] * s for b, s in m.items()) for n, m in drawn.items()}
        written: list[tuple[int, Expr]] = []
        for name, value in totals.items():
            written += [(int(value) % PRIME, Symbol(name)), (-int(value) % PRIME, Negative(Symbol(name)))]
        for one, other in combinations(totals, 2):
            for s, expr in ((1, Symbol(other)), (-1, Negative(Symbol(other)))):
                total = int(totals[one] + s * totals[other]) % PRIME
                pair = Sum((Symbol(one), expr))
                written += [(total, pair), (-total % PRIME, Sum((Negative(Symbol(one)), negate(expr))))]
        fixed = [n for n in self.round_loops if n in self.circuit.symbols and n in trial.values]
        totals.update({n: trial.values[n] for n in fixed})  # of a current source
        rounds = [n for n in totals if n in self.round_loops]
        written += [
            (
                int(sum(s * totals[n] for n, s in zip(chosen, signs, strict=True))) % PRIME,
                _sum_of(chosen, signs),
            )
            for size in range(2 if fixed else 3, MOST_SHARING + 1)
            for chosen in combinations(rounds, size)
            for signs in product((1, -1), repeat=size)
        ]
        found: dict[str, Expr] = {}
        for branch in self.circuit.currents:
            value = int(trial.values[branch]) % PRIME
            fitting = [expr for total, expr in written if total == value]
            if own:  # what is written in loop currents goes on in them
                fitting.sort(key=lambda e: any(n in self.circuit.currents for n in symbols_of(e)))
            if fitting:
                found[branch] = fitting[0]
        return found

    @cached_property
    def has_loop_currents(self) -> bool:
        """Whether some branch carries the sum or difference of two of the currents named."""
        return any(isinstance(carrier, Sum) for carrier in self.carriers.values())

    @cached_property
    def loop_currents(self) -> tuple[str, ...]:
        """The names of the writer's own currents that stand in the line or above it."""
        written = {n for item in (self.equation, *self.above) for n in symbols_of(item)}
        own = [n for n in self.names if n in written and n not in self.circuit.currents]
        return tuple(n for n in own if self.sort(n) is NameSort.CURRENT)

    @cached_property
    def in_loop_currents(self) -> bool:
        """Whether it is a loop equation in currents of the writer's own, of which several are added in a
        bracket, as of those that run round loops."""
        own = set(self.loop_currents)
        brackets = (p.expr for p in self.places if isinstance(p.parent, Product) and isinstance(p.expr, Sum))
        return self.shape is LineShape.LOOP and any(own & set(symbols_of(each)) for each in brackets)

    def prepared(self, trial: Trial) -> Trial | None:
        """The trial with a value for every name in the line; None where one of them stands for nothing."""
        if self.basis and self.used:
            trial = as_lines_say(trial, self.circuit, self.basis, self.names, self.meaning)
        return with_names(trial, self.circuit, self.used, self.names, self.meaning)

    # -- which law it is ---------------------------------------------------------------------------

    def law_of(self, equation: Equation) -> tuple[LawEquation, int] | None:
        """The law that an equation is, compared term by term, and +1 where it has its sign, −1 where every
        sign is turned; None where it is no law."""
        terms = self.terms_of(equation)
        if not terms:
            return None
        numbered = not any(
            self.sort(name) in (NameSort.SOURCE, NameSort.RESISTANCE) for key in terms for name in key
        )
        in_symbols, *in_numbers = tables_of(self.circuit)
        for table in (in_symbols, *(in_numbers if numbered else ())):
            found = table.get(canonical(terms))
            if found is None:
                continue
            law, lead = found
            times = lead_of(terms) / lead
            if table is in_symbols or abs(times) == 1:  # a multiple in numbers is one by chance
                return law, 1 if times > 0 else -1
        return None

    def terms_of(self, equation: Equation) -> Monomials | None:
        """Left minus right multiplied out, in branch currents; None for what is no plain sum."""
        left, right = monomials(equation.left), monomials(equation.right)
        if left is None or right is None:
            return None
        total = dict(left)
        for key, value in right.items():
            total[key] = total.get(key, Fraction(0)) - value
        return cleaned(self._in_branches(total))

    def _in_branches(self, terms: Monomials) -> Monomials:
        """The same terms with every current's name replaced by the branch currents it stands for,
        multiplied out."""
        found: Monomials = {}
        for key, value in terms.items():
            spread: Monomials = {(): value}
            for name in key:
                own = self.names.get(name, {name: 1})
                spread = {
                    tuple(sorted((*k, branch))): v * sign
                    for k, v in spread.items()
                    for branch, sign in own.items()
                }
            for k, v in spread.items():
                found[k] = found.get(k, Fraction(0)) + v
        return found

    def is_above(self, equation: Equation) -> Equation | None:
        """The line above that an equation says again, its terms moved or multiplied by a number; None where
        there is none."""
        terms = self.terms_of(equation)
        if not terms:
            return None
        return next((line for line, theirs in self._above if theirs == canonical(terms)), None)

    @cached_property
    def _above(self) -> list[tuple[Equation, Canonical]]:
        found = [(line, self.terms_of(line)) for line in self.above]
        return [(line, canonical(terms)) for line, terms in found if terms]


_KINDS: Mapping[NameSort, Dimension] = {
    NameSort.CURRENT: AMPERE,
    NameSort.SOURCE: VOLT,
    NameSort.VOLTAGE: VOLT,
    NameSort.RESISTANCE: OHM,
}
_GIVEN = (NameSort.SOURCE, NameSort.RESISTANCE)


def _sum_of(names: Sequence[str], signs: Sequence[int]) -> Expr:
    """Names added and subtracted."""
    pairs = zip(names, signs, strict=True)
    return Sum(tuple(Symbol(n) if sign > 0 else Negative(Symbol(n)) for n, sign in pairs))


def _body(expr: Expr) -> Expr:
    return expr.body if isinstance(expr, Negative) else expr


def _is_zero(expr: Expr) -> bool:
    return isinstance(expr, Number) and not expr.value


def terms_with_signs(view: LineView) -> list[tuple[LinePlace, int]]:
    """The terms of both sides, each with the sign that it has in left minus right."""
    found: list[tuple[LinePlace, int]] = []
    for place in view.outer_terms:
        sign = signed_terms(place.expr)[0][0]
        found.append((place, sign if place.path[0] == 0 else -sign))
    return found


def results_above(view: LineView) -> Mapping[str, Expr]:
    """The numbers that lines above give names, at the end of a chain too."""
    found: dict[str, Expr] = {}
    name, end = "", None
    for line in view.above:
        if isinstance(line.left, Symbol):
            name = line.left.name
        elif line.left != end:
            name = ""
        end = line.right
        if name and lone(end) is not None:
            found[name] = end
    return found
