"""Whether a claim is right as rounded, or right for the rounded numbers above it.

A result is that of its own line, and of the lines above as they were rounded: by its other side, by what its
name means in currents, or by a true equation above with what was written for the other currents in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cached_property
from itertools import combinations, product
from operator import mul

from ...algebra.linear import Linear
from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...expressions.nodes import Equation, Expr, Number, Symbol, add, negate, numbers_in, parts_of
from ...expressions.values import symbols_of
from ...laws.laws import laws
from ..verdicts import Truth
from .carried import CarriedNumbers, Interval, hull
from .consequence import Rows
from .dimensions import thousands
from .held_numbers import HeldNumbers
from .meaning import Meanings
from .rounding import Policy, figures, is_decimal, lone, may_be_rounded, value_of

MOST_SUMMED = 12  # resistances, or emfs, of which sums are taken
_FAR_FROM_ANY_RESULT = (Fraction(1_000_003, 7), Fraction(-1_000_033, 11))

MOST_PUT_IN = 2  # formulas put into one another: i = −K, K = D1/D


class AsRounded:
    """Judges the rounded numbers of one working in one view. `names`: what names of currents stand for."""

    def __init__(
        self, meanings: Meanings, rows: Rows, names: Mapping[str, Mapping[str, int]], policy: Policy
    ) -> None:
        self.meanings, self.rows, self.names, self.policy = meanings, rows, names, policy
        given, sums = _given(meanings.circuit, meanings.thousands)
        self.numbers = CarriedNumbers(policy, meanings.thousands, given, sums, self._quantities)
        self.held = HeldNumbers(self.numbers)
        self.results: dict[str, Interval] = {}  # of names: from what is written to the true value
        self.only_numbers: dict[str, Interval] = {}  # of names that are no more than a rounded number
        self.written: dict[str, Fraction] = {}  # the same as written
        self.untrue: dict[str, Interval] = {}  # of names: all that rounds to what is wrongly written for them
        self.formulas: dict[str, list[Expr]] = {}  # of names: what they were said to be
        self.at_once = False  # whether the results of this line come out of a calculator, none of the others
        self._rounds_equations = False  # whether an equation above is right only as rounded
        self._chain: tuple[str, Expr | None] = ("", None)  # what the last claim's line gives, and its end
        self._owners: dict[Fraction, str] = {}  # of numbers: the first name that came to them
        self._made_of: Expr | None = None  # what that end was worked from

    def note(self, claim: Equation, *, true: bool) -> None:
        """Keeps a result and what it was rounded from, so that what is worked out from it can be told from a
        slip."""
        values = self._values(claim) if true else None
        if true:
            self._note_exact(claim)
            self.numbers.note(claim, values)
            number = lone(claim.right)
            if self.at_once and self._rounds_equations and number is not None:
                self.numbers.note_rounded(number)
            self._note_held(claim, values)
            self._note_by_formulas(claim)
        else:
            self.numbers.note_untrue(claim)
        name, end = self._chain
        if isinstance(claim.left, Symbol):
            name = claim.left.name
        elif claim.left != end:
            name = ""
        self._chain = (name if true else "", claim.right)  # what goes on from a slip is no result
        self._made_of = claim.left if true else None
        true_value = (
            self._values(Equation(Symbol(name), claim.right)) if name and values is not None else None
        )
        if true_value is None:
            return
        number = lone(claim.right)
        if number is None:
            self.formulas.setdefault(name, []).append(claim.right)
            return
        sign = 1 if number is claim.right else -1
        written = self.numbers.written(number) * sign
        self.held.add(number, true_value[name] * sign)
        size = self.numbers.written(number)
        if self._owners.setdefault(size, name) != name:
            self.numbers.shared.add(size)
        if may_be_rounded(number, claim.left) or written != true_value[name]:
            self.written[name] = written
            if self._is_only_a_number(name, written) and is_decimal(number):
                half = self.numbers.half(number)
                self.only_numbers[name] = (written - half, written + half)
                self.numbers.note_rounded(number)
            held = [true_value[name], written, *self._from_formulas(name, written, self.numbers.half(number))]
            self.results[name] = min(held), max(held)

    def _from_formulas(self, name: str, written: Fraction, half: Fraction) -> Iterator[Fraction]:
        """What a result may be held as: what its formulas above come to with the numbers as they are written,
        where that rounds to the result."""
        for formula in self.formulas.get(name, ()):
            own = self._put_in(formula)
            value = None if own is None else self.number(formula, own)
            if value is not None and abs(value - written) <= half:
                yield value

    def _note_held(self, claim: Equation, values: Mapping[str, Fraction] | None) -> None:
        """Keeps what a calculator may hold of a result."""
        for side, other in ((claim.right, claim.left), (claim.left, claim.right)):
            number = lone(side)
            if number is not None:
                names = {n: (self.written.get(n, value), value) for n, value in (values or {}).items()}
                self.held.note(number, 1 if number is side else -1, other, names)
                return

    def _note_by_formulas(self, claim: Equation) -> None:
        """Keeps of a result what it was rounded from by what its name was said to be in a line above:
        Rt = 24 + 4.737, and then Rt = 28.74."""
        if isinstance(claim.left, Symbol) and lone(claim.right) is not None:
            for formula in self.formulas.get(claim.left.name, ()):
                own = Equation(formula, claim.right)
                self.numbers.note(own, self._values(own))

    @property
    def gives(self) -> str:
        """The name that the last claim gives a value, from end to end of a chain; empty for none."""
        return self._chain[0]

    def _note_exact(self, claim: Equation) -> None:
        """Keeps the factors of an equation that is exactly true as they stand: none of them was rounded. Of
        numbers alone, 0.91176 + 0.33824, what was rounded may cancel."""
        sides = [side for side in (claim.left, claim.right) if symbols_of(side)]
        factors = [n for side in sides for n in numbers_in(side) if is_decimal(n)]
        if factors and self.meanings.holds(self.meanings.difference(claim)):
            self.numbers.exact.update(self.numbers.written(n) for n in factors)
        elif factors:
            self._rounds_equations = True

    def _is_only_a_number(self, name: str, written: Fraction) -> bool:
        """Whether a name of the working's own stands for this number and nothing is known of what it was
        rounded from."""
        circuit = self.meanings.circuit
        own = name not in circuit.elements and circuit.role(name) is None and name not in self.formulas
        return own and self.meanings.names[name].constant() == written

    def note_wrong(self, name: str, number: Number, sign: int) -> None:
        """Keeps a result that is not true: what it was rounded from may be held in a calculator."""
        self.numbers.note_rounded(number, wrong=True)
        if figures(number) >= self.policy.figures:
            value, half = self.numbers.written(number) * sign, self.numbers.half(number)
            self.untrue[name] = (value - half, value + half)

    def note_carried(self, claim: Equation, beside: Fraction) -> None:
        """Keeps a result that is not true, but follows from the lines above, the sides differing by `beside`
        by what these give."""
        for side, sign in ((claim.right, 1), (claim.left, -1)):
            number = lone(side)
            if number is not None and beside:
                value = self.numbers.written(number)
                other = abs((value if side is number else -value) + sign * beside)
                self.numbers.noted[value] = hull((value, value), (other, other))
                return

    def judged(self, written: Equation) -> tuple[Truth, Fraction] | None:
        """In which sense the sides of a claim are equal as rounded, and by how much they differ as written;
        None where they are not equal in any."""
        values = self._values(written)
        if values is None:
            return None
        off = self.off(written, values)
        if off is not None:
            return self._sense(written, values), off
        afresh = self.at_once and isinstance(written.left, Symbol) and lone(written.right) is not None
        if (
            self._as_written(written, values)
            or (self.results and not afresh and self._by_results(written, values))
            or self._is_the_true_value(written, values)
            or self._ends_in_the_true_value(written, values)
            or self._as_held(written)
            or self._is_about(written)
        ):
            return Truth.CARRIED, self._off(written, values)
        return None

    def _is_the_true_value(self, written: Equation, values: Mapping[str, Fraction]) -> bool:
        """Whether numbers that a name is set equal to come to its true value, where so much of them cancels
        that they alone would decide nothing: I4 = (14.9 - 15.6)/3.3 for potentials of 14.904 and 15.617."""
        name, side = written.left, written.right
        if not isinstance(name, Symbol) or symbols_of(side) or lone(side) is not None:
            return False
        return self.numbers.may_come_to(side, values[name.name], values)

    def _ends_in_the_true_value(self, written: Equation, values: Mapping[str, Fraction]) -> bool:
        """Whether a chain ends in the true value of the name it began with, where so much of the rounded
        numbers before it cancels that they alone would decide nothing: (-15.1 + 15)/2.2 = -0.0497 for a
        -15.1 that was -15.109."""
        name, end = self._chain
        number = lone(written.right)
        if not name or number is None or written.left != end:
            return False
        true = self._values(Equation(Symbol(name), written.right))
        if true is None:
            return False
        value = self.numbers.written(number) * (1 if number is written.right else -1)
        if figures(number) < self.policy.figures and value != true[name]:
            return False
        near = abs(true[name] - value) <= self.numbers.half(number)
        return near and self.numbers.rounds_from(written.left, true[name], values)

    def _is_about(self, written: Equation) -> bool:
        """Whether a number is about equal to one worked out from rounded numbers, each taken for anything
        that rounds to it: 0.26 + 2.05 = 2.31 ≈ 2.32."""
        side, (_, end) = self._made_of, self._chain
        if written.relation != "≈" or written.left != end or side is None or lone(written.right) is None:
            return False
        return not symbols_of(side) and self.numbers.rounds_from(
            add(side, negate(written.right)), Fraction(0)
        )

    def _as_held(self, written: Equation) -> bool:
        """Whether a result is what the numbers of its other side come to with the values that a calculator
        may hold of them: 15·0.14² = 0.31 for a 0.14 that was 0.1435."""
        if symbols_of(written):
            return False
        for side, other in ((written.right, written.left), (written.left, written.right)):
            number = lone(side)
            if number is None or not parts_of(other):
                continue
            if figures(number) < self.policy.figures or not may_be_rounded(number, other):
                return False
            value = self.numbers.written(number) * (1 if number is side else -1)
            half = self.numbers.half(number)
            return self.held.come_to(other, value - half, value + half)
        return False

    def _as_written(self, written: Equation, values: Mapping[str, Fraction]) -> bool:
        """Whether a claim with a side of numbers alone, or what a formula above gives for its name, is right
        with each name standing for the number written for it above and each number for itself."""
        if all(map(symbols_of, (written.left, written.right))):
            return False
        here = {**values, **self.written}
        if self.is_written(written, here):
            return True
        name, number = written.left, lone(written.right)
        if not isinstance(name, Symbol) or symbols_of(written.right):
            return False
        for formula in self.formulas.get(name.name, ()):
            own = self._put_in(formula)
            if own is None:
                continue
            if number is not None and self.is_written(
                Equation(formula, written.right, written.relation), own
            ):
                return True
            if number is None and self._is_put_in(Equation(formula, written.right), own):
                return True
        return False

    def _is_put_in(self, written: Equation, values: Mapping[str, Fraction]) -> bool:
        """Whether the numbers on the right are those of a formula as they are written above, its
        coefficients perhaps worked out and rounded: 0.333 + 0.667·1.43 for (1 + 2 V)/3 and V = 1.43."""
        here = {abs(v) for v in values.values()}
        return self.numbers.rounds_from(written.right, self.number(written.left, values), exact=here)

    def _put_in(self, formula: Expr, depth: int = 0) -> dict[str, Fraction] | None:
        """The numbers of the names in a formula as they are written above, or as formulas above give them of
        such numbers, else the true ones; None where one has none."""
        values = self._values(Equation(formula, formula))
        if values is None or depth > MOST_PUT_IN:
            return None
        for name in values:
            if name in self.written:
                values[name] = self.written[name]
                continue
            for other in self.formulas.get(name, ())[:1]:
                own = self._put_in(other, depth + 1)
                if own is not None and name not in own:
                    values[name] = self.number(other, own)
        return values

    def is_written(self, written: Equation, values: Mapping[str, Fraction]) -> bool:
        """Whether a claim is right, as its result is rounded, when its names and the numbers in it are taken
        as exact."""
        return self.numbers.agree_as_written(written, values, self._off)

    def off(self, written: Equation, values: Mapping[str, Fraction]) -> Fraction | None:
        """By how much the sides of a claim differ as written, where they can be equal as rounded for these
        numbers of its names; None where they cannot."""
        known = {n: self.only_numbers[n] for n in values if n in self.only_numbers}
        return self._off(written, values) if self.numbers.agree(written, values, known) else None

    def rewrites(self, written: Equation) -> bool:
        """Whether the sides of a claim are one expression with its numbers rounded, such as 5 I/3 = 1.667 I:
        equal as rounded whatever its names stand for."""
        names = symbols_of(written)
        if not all(map(symbols_of, (written.left, written.right))):
            return False
        samples = [
            {name: step * (place + 2) for place, name in enumerate(names)} for step in _FAR_FROM_ANY_RESULT
        ]
        return all(self.off(written, sample) is not None for sample in samples)

    def off_after_slips(self, written: Equation, values: Mapping[str, Fraction]) -> Fraction | None:
        """The same where lines that are not true give the names these numbers: what is rounded may have been
        rounded from them, here and in later lines."""
        more = {abs(value) for value in values.values()} - self.numbers.after_slips
        self.numbers.after_slips.update(more)
        off = self.off(written, values)
        known = {n: self.untrue.get(n) or self.results.get(n) for n in values}
        held = {n: interval for n, interval in known.items() if interval is not None}
        if off is None and lone(written.right) is not None and self.numbers.agree(written, values, held):
            off = self._off(written, values)
        if off is None:
            self.numbers.after_slips.difference_update(more)
        return off

    def _off(self, written: Equation, values: Mapping[str, Fraction]) -> Fraction:
        return self.number(written.left, values) - self.number(written.right, values)

    def number(self, side: Expr, values: Mapping[str, Fraction]) -> Fraction:
        """What a side comes to as it is written."""
        return value_of(self.meanings.in_its_units(side) if self.meanings.thousands else side, values)

    def _values(self, written: Equation) -> dict[str, Fraction] | None:
        """The true numbers of all names in a claim; None where one has none."""
        found: dict[str, Fraction] = {}
        for name in symbols_of(written):
            value = self.meanings.value(self.meanings.names[name])
            number = None if value is None else value.constant()
            if number is None:
                return None
            found[name] = number
        return found

    def _sense(self, written: Equation, values: Mapping[str, Fraction]) -> Truth:
        """Whether a result is the rounded value of its other side as that is written, or what rounded numbers
        in it stand for had to be looked at."""
        for side, other in ((written.right, written.left), (written.left, written.right)):
            number = lone(side)
            if number is not None:
                near = self.numbers.half(number) + self.policy.tolerance * abs(self.numbers.written(number))
                off = self.number(other, values) - self.number(side, {})
                return Truth.ROUNDED if abs(off) <= near else Truth.CARRIED
        return Truth.ROUNDED

    def _by_results(self, written: Equation, values: Mapping[str, Fraction]) -> bool:
        """Whether a result is what the results above give as they were rounded."""
        for side, other in ((written.right, written.left), (written.left, written.right)):
            if lone(side) is None:
                continue
            if isinstance(other, Symbol):
                ways = self._ways(other.name)
                if any(self.numbers.agree(written, values, {other.name: way}) for way in ways):
                    return True
                return any(self._as_formula(formula, side) for formula in self.formulas.get(other.name, ()))
            known = {n: result for n in values if (result := self._result(n)) is not None}
            return bool(known) and self.numbers.agree(written, values, known)
        return False

    def _as_formula(self, formula: Expr, number: Expr) -> bool:
        """Whether a result is what a formula above gives for the results as they were rounded."""
        written = Equation(formula, number)
        values = self._values(written) or {}
        known = {n: self.results[n] for n in values if n in self.results}
        return (bool(known) or not symbols_of(formula)) and self.numbers.agree(written, values, known)

    def _result(self, name: str) -> Interval | None:
        """What a name stands for as it was written above, a voltage between points by their potentials."""
        if name in self.results or not name.startswith("V(") or ", " not in name:
            return self.results.get(name)
        ends = [f"φ {point}" for point in name[2:-1].split(", ")]
        found: list[tuple[Interval, str]] = []
        for end in ends:
            for own, result in self.results.items():
                meaning = self.names.get(own, {})
                against = [n for n, sign in meaning.items() if sign < 0]
                if len(meaning) == 2 and meaning.get(end) == 1 and len(against) == 1:
                    found.append((result, against[0]))
                    break
        if len(found) != 2 or found[0][1] != found[1][1]:
            return None
        (low, high), (least, most) = found[0][0], found[1][0]
        return low - most, high - least

    def _ways(self, name: str) -> list[Interval]:
        """What its own meaning, each true equation above and each junction give for a quantity, when the
        currents in them stand for what was written for them above."""
        scale = 1000 if self.meanings.thousands else 1
        known: dict[str, Interval] = {}
        for n, (low, high) in self.results.items():
            branch, sign = self._branch(n)
            if branch:
                known[branch] = _times((low, high), Fraction(sign) / scale)
        meant = _interval(self.meanings.names[name], known)
        found = [] if meant is None else [meant]
        branch, sign = self._branch(name)
        for linear in (*(row.linear for row in self.rows.near if row.true), *self._junctions):
            c = linear.coefficients
            if branch not in c or not set(c) - {branch} <= set(known):
                continue
            parts = {n: r.constant() for n, r in c.items()}
            total = linear.constant.constant()
            if total is None or any(p is None for p in parts.values()):
                continue
            low = high = total
            for n, part in parts.items():
                if n != branch:
                    ends = _times(known[n], part or Fraction(0))
                    low, high = low + ends[0], high + ends[1]
            found.append(_times((low, high), -Fraction(sign * scale) / (parts[branch] or 1)))
        return [
            *found,
            *(self._by_potentials(name, branch, sign) if branch in self.meanings.circuit.currents else ()),
        ]

    def _by_potentials(self, name: str, branch: str, sign: int) -> Iterator[Interval]:
        """What a current is by the potentials of its ends, each the true one or as it was written above."""
        circuit, level = self.meanings.circuit, self.meanings.value(self.meanings.names[name])
        true = None if level is None or not circuit.has_all_numbers else level.constant()
        ohms = None if true is None else circuit.resistance(branch).value(circuit.numbers)
        if true is None or not ohms:
            return
        b, off = circuit.branch(branch), dict[str, Interval]()
        for own, (low, high) in self.results.items():
            meaning = self.names.get(own, {})
            potential = sorted(meaning.values()) == [-1, 1] and all(n.startswith("φ ") for n in meaning)
            level = self.meanings.value(self.meanings.names[own]) if potential else None
            size = None if level is None else level.constant()
            if size is not None:
                off[next(n for n, way in meaning.items() if way > 0)[2:]] = low - size, high - size
        scale = Fraction(sign * (1000 if self.meanings.thousands else 1)) / ohms
        nothing = Fraction(0), Fraction(0)
        for start, end in product(off.get(b.start, nothing), off.get(b.end, nothing)):
            value = true + (start - end) * scale
            yield value, value

    def _branch(self, name: str) -> tuple[str, int]:
        """The branch whose current a name is, and the sense; nothing for any other name."""
        meaning = self.names.get(name, {})
        return next(iter(meaning.items())) if len(meaning) == 1 else ("", 1)

    @cached_property
    def _junctions(self) -> tuple[Linear, ...]:
        return tuple(law.linear for law in laws(self.meanings.circuit).junctions)

    def _quantities(self) -> tuple[Fraction, ...]:
        return self._sizes

    @cached_property
    def _sizes(self) -> tuple[Fraction, ...]:
        return _sizes(self.meanings)


def _times(interval: Interval, factor: Fraction) -> Interval:
    ends = (interval[0] * factor, interval[1] * factor)
    return min(ends), max(ends)


def _given(circuit: Circuit, in_thousands: bool) -> tuple[frozenset[Fraction], frozenset[Fraction]]:
    """The numbers of the problem, and the sums of two or three of its resistances and of its emfs, these with
    either sign, as they are written in one choice of units."""
    found: list[Fraction] = []
    ohms: list[Fraction] = []
    volts: list[Fraction] = []
    for name, value in circuit.numbers.items():
        kind = circuit.role(name) or Kind.SWITCH
        unit = {Kind.RESISTOR: "Ω", Kind.CURRENT_SOURCE: "A"}.get(kind, "")
        found.append(abs(value) * (thousands(unit) if in_thousands and unit else 1))
        if kind is Kind.RESISTOR:
            ohms.append(found[-1])
        elif kind is Kind.BATTERY:
            volts.append(found[-1])
    sums = {sum(some, Fraction(0)) for some in _twos_and_threes(ohms)}
    for some in _twos_and_threes(volts):
        sums |= {abs(sum(map(mul, some, signs))) for signs in product((1, -1), repeat=len(some))}
    return frozenset(found), frozenset(sums)


def _twos_and_threes(values: list[Fraction]) -> Iterator[tuple[Fraction, ...]]:
    return (chosen for count in (2, 3) for chosen in combinations(values[:MOST_SUMMED], count))


def _sizes(meanings: Meanings) -> tuple[Fraction, ...]:
    """The sizes of the true currents, of the voltages between points, across elements and across all that
    resists in a branch, and of the powers, in the units of the meanings."""
    scale = Fraction(1000 if meanings.thousands else 1)
    true = {n: r.constant() for n, r in meanings.true.items()}
    known = {n: v for n, v in true.items() if v is not None}
    levels = [v for n, v in known.items() if n.startswith("φ")]
    found = [v * scale for n, v in known.items() if not n.startswith("φ")]
    found += [a - b for a, b in combinations(levels, 2)]
    for name, element in meanings.circuit.elements.items():
        if element.kind in (Kind.RESISTOR, Kind.BATTERY):
            for ratio, factor in ((meanings.across(name), Fraction(1)), (meanings.power((name,)), scale)):
                value = meanings.value(ratio)
                number = None if value is None else value.constant()
                if number is not None:
                    found.append(number * factor)
    for branch in meanings.circuit.branches:
        value = meanings.value(meanings.resistive_drop(branch.name))
        number = None if value is None else value.constant()
        if number is not None:
            found.append(number)
    return tuple(sorted({abs(v) for v in found if v}))


def _interval(ratio: Ratio, known: Mapping[str, Interval]) -> Interval | None:
    """What a polynomial in the unknowns comes to when these stand for what is known of them; None where
    nothing is known of one, or it has other symbols."""
    held, (below, *more) = ratio.held(), ratio.terms(below=True)
    if not held or more or any(below[0]) or not set(held) <= set(known):
        return None
    low = high = Fraction(0)
    for exponents, coefficient in ratio.terms():
        ends = [Fraction(coefficient)]
        for name, exponent in zip(ratio.field.symbols, exponents, strict=True):
            for _ in range(exponent):
                ends = [a * b for a in ends for b in known[name]]
        low, high = low + min(ends), high + max(ends)
    return _times((low, high), Fraction(1, below[1]))
