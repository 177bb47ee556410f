"""Whether a claim is true of the circuit, and in which sense: for all values of the symbols, with the
numbers given, as rounded, or as rounded numbers above it give.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from ...algebra.linear import Linear
from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import DIMENSION_OF, Kind
from ...expressions.dimensions import AMPERE, OHM, PLAIN, VOLT, WATT, Clash, Dimension, dimension
from ...expressions.nodes import Equation, Expr, Number, Product, Quotient, Symbol, numbers_in, put
from ...expressions.values import symbols_of
from ...solve.exact import Solution
from ..verdicts import Arrows, Truth
from ..working import CircuitChange, Claim
from .as_rounded import AsRounded
from .consequence import Rows
from .dimensions import clash, numbers_are_values
from .meaning import Meanings, UnknownName
from .rounding import Policy, has_values, lone
from .size import TooLong
from .which_law import StatedLaw, WhichLaw


@dataclass(frozen=True, slots=True)
class View:
    """One way of looking at the circuit (in symbols, or with its numbers): the `meanings` that values claims,
    what finds laws in it (`which_law`), and the linear claims made so far (`rows`). `as_rounded`: what
    judges rounded numbers."""

    meanings: Meanings
    which_law: WhichLaw
    rows: Rows
    as_rounded: AsRounded
    in_parts: dict[CircuitChange, WhichLaw] = field(default_factory=dict)

    def home(self, linear: Linear) -> tuple[CircuitChange, Linear] | None:
        """The one circuit, as drawn or changed, whose unknowns a row is made of, and the row in that
        circuit's own names; None where it mixes several."""
        homes = [self.meanings.home[n] for n in linear.coefficients]
        if len({setting for _, setting in homes}) != 1:
            return None
        setting = homes[0][1]
        if not setting:
            return setting, linear
        symbols = self.law_in(setting).meanings.symbols
        parts = zip(homes, linear.coefficients.values(), strict=True)
        own = {n: c.at({}, symbols) for (n, _), c in parts}
        return setting, Linear.of(own, linear.constant.at({}, symbols))

    def law_of(self, linear: Linear, spoken: Collection[str] = ()) -> tuple[CircuitChange, StatedLaw] | None:
        """The law of one circuit, as drawn or changed, that a true row states and is written as; None where
        it is none. `spoken`: the unknowns that a claim speaks of first (`φ bus`)."""
        home = self.home(linear) if linear.coefficients else None
        if home is None:
            return None
        setting, own = home
        which = self.law_in(setting)
        stated = which.stated(own, [self.meanings.home[n][0] for n in spoken])
        return (setting, stated) if stated is not None and which.is_written_as_law(stated, own) else None

    def law_in(self, setting: CircuitChange) -> WhichLaw:
        """What finds laws in rows of one circuit."""
        if not setting:
            return self.which_law
        if setting not in self.in_parts:
            numbers = self.meanings.numbers
            changed = self.meanings.changed[setting]
            own = {n: v for n, v in numbers.items() if n in changed.circuit.field}
            self.in_parts[setting] = WhichLaw(Meanings(changed, {}, own, self.meanings.thousands))
        return self.in_parts[setting]

    def shown(self, side: Expr) -> Expr:
        """A side of a claim with its numbers in the units of this view."""
        return self.meanings.in_its_units(side) if self.meanings.thousands else side


@dataclass(frozen=True, slots=True)
class ClaimValue:
    """What was found out about a claim: in which sense it is true (`truth`), the `view` in which that was
    decided, and there left minus right (`difference`); `beside`: what that difference comes to where the
    claim is right only as rounded, else 0."""

    truth: Truth
    view: View
    difference: Ratio
    beside: Fraction = Fraction(0)


class Truths:
    """Decides claims of one working. `views`: in symbols, and with the numbers where there are any."""

    def __init__(self, solution: Solution, arrows: Arrows, policy: Policy, claims: Sequence[Claim]) -> None:
        self.solution, self.arrows, self.policy = solution, arrows, policy
        self.said_of_data: dict[str, Expr] = {}  # what the working says of one symbol of the data by others
        self.needed: dict[str, Dimension] = {}  # names of what a source would have to give
        self.units_said: dict[str, Dimension] = {}  # of what kind a name's first number with a unit is
        self.in_numbers: set[str] = set()  # names of the working's own that were given a meaning in numbers
        self._shared: set[tuple[int, Fraction]] = set()  # results that both views of a kilohm circuit know
        self.views: tuple[View, ...] = (self._view({}, False),)
        self.main = self.views[0]
        self.other: View | None = None  # with the numbers too, read in the units that most lines are not in
        circuit = solution.circuit
        if circuit.numbers:
            numbers = {n: v for n, v in circuit.numbers.items() if n in circuit.field}
            self.main = plain = self._view(numbers, False)
            if max(_resistances(circuit), default=0) >= KILOHMS_FROM:
                kilo = self._view(numbers, True, plain.rows)
                told = self._told_in(kilo, claims), self._told_in(plain, claims)
                more = told[0] > told[1] or (told[0] == told[1] and in_kilohms(circuit))
                self.main, self.other = (kilo, plain) if more else (plain, kilo)
            elif any(_in_milliamperes(c.written) for c in claims):
                self.other = self._view(numbers, True, plain.rows)
            self.views = (*self.views, self.main)
        self.every = (*self.views, *([self.other] if self.other is not None else []))

    def begin(self, claims: Sequence[Claim]) -> None:
        """Settles in which units the bare numbers of the next line are read: in those of the working, unless
        all its claims are right in the others and not in these, or more of them: a line that is wrong is
        worked out in one of the two all the same (in a circuit of kilohms, or where it says milliamperes:
        `I2 = 268.6 + 77.1 = 345.7 mA`)."""
        if self.other is None:
            return
        self.views = (self.views[0], self.main)
        written = [c.written for c in claims if not c.case]
        if not in_kilohms(self.solution.circuit) and not any(map(_in_milliamperes, written)):
            return
        in_main = [self._holds_in(self.main, w) for w in written]
        in_other = [self._holds_in(self.other, w) for w in written] if False in in_main else in_main
        if in_other.count(True) > in_main.count(True) or (False in in_main and False not in in_other):
            self.views = (self.views[0], self.other)

    def share_rounded(self) -> None:
        """Lets the view in the other units know from what results were rounded: 0.02916 A after 29.16 mA."""
        if self.other is None:
            return
        for one, other in ((self.main, self.other), (self.other, self.main)):
            mine, theirs = one.as_rounded.numbers.noted, other.as_rounded.numbers.noted
            for value in [v for v in mine if (id(one), v) not in self._shared]:
                low, high = mine[value]
                self._shared.add((id(one), value))
                for scale in (Fraction(1), Fraction(1000), Fraction(1, 1000)):
                    theirs.setdefault(value * scale, (low * scale, high * scale))
                    self._shared.add((id(other), value * scale))

    def _holds_in(self, view: View, written: Equation) -> bool | None:
        """Whether a claim is right in this view, exactly or as rounded; None where that is not known."""
        try:
            difference = view.meanings.difference(written)
            return view.meanings.holds(difference) or view.as_rounded.judged(written) is not None
        except (UnknownName, TooLong, ZeroDivisionError):
            return None

    def _view(self, numbers: Mapping[str, Fraction], thousands: bool, rows: Rows | None = None) -> View:
        meanings = Meanings(self.solution, self.arrows.names, numbers, thousands, self.arrows.changed)
        which_law = WhichLaw(meanings)
        rows = rows or Rows(meanings, which_law.samples)
        return View(meanings, which_law, rows, AsRounded(meanings, rows, self.arrows.names, self.policy))

    def _told_in(self, view: View, claims: Sequence[Claim]) -> tuple[int, int, int]:
        """How many of the claims in bare numbers are right in this view, exactly or as rounded, how much of
        the arithmetic with units, and how many of the resistances given stand in it as bare numbers: by these
        it is told whether those are in amperes and ohms or in milliamperes and kilohms."""
        told = (w for w in _from_their_start(claims) if has_values(w) and symbols_of(w) and _has_bare(w))
        worked = (c.written for c in claims if not c.case and not symbols_of(c.written))
        in_units = (w for w in worked if any(n.unit for n in numbers_in(w)))
        named, plain = (sum(bool(self._holds_in(view, w)) for w in each) for each in (told, in_units))
        bare = {n.value for c in claims for n in numbers_in(c.written) if not n.unit}
        scale = 1000 if view.meanings.thousands else 1
        return named, plain, sum(v / scale in bare for v in set(_resistances(self.solution.circuit)))

    def learn(self, names: Sequence[str]) -> None:
        """Sees to it that names stand for something in every view. Raises UnknownName."""
        for view in self.every:
            view.meanings.learn(names)

    def define(self, name: str, expr: Expr) -> None:
        """Gives a name the meaning of an expression, in every view. Raises UnknownName."""
        names = symbols_of(expr)
        if not names or has_values(expr) or any(n in self.in_numbers for n in names):
            self.in_numbers.add(name)
        values = [view.meanings.ratio(expr) for view in self.every]
        for view, ratio in zip(self.every, values, strict=True):
            view.meanings.names[name] = ratio

    def need(self, name: str, source: str, setting: CircuitChange) -> None:
        """Lets a name stand for what a source would have to give in a changed circuit."""
        kind = self.solution.circuit.elements[source].kind
        self.needed[name] = DIMENSION_OF[kind]
        for view in self.every:
            if setting in view.meanings.changed:
                view.meanings.names[name] = view.meanings.needed(source, setting)

    def note_unit(self, name: str, number: Number) -> None:
        """Keeps of what kind the number is that a name of the working's own first came to."""
        kind = dimension(number, self._dimension)
        if number.unit and kind is not None and kind == _CALLED.get(name[0], kind):
            self.units_said.setdefault(name, kind)

    def forget(self, name: str) -> None:
        """Takes a name's meaning away again."""
        self.in_numbers.discard(name)
        for view in self.every:
            view.meanings.names.pop(name, None)

    def unlike(self, name: str, expr: Expr) -> tuple[Dimension, Dimension] | None:
        """What kind of quantity a new name is by its letter, and what another kind it is set equal to; None
        where they may be the same."""
        own = _CALLED.get(name[0])
        try:
            bare = PLAIN if all(number.value == 1 for number in numbers_in(expr)) else None
            found = dimension(expr, self._dimension, bare)
        except Clash as met:
            return met.wanted, met.found
        return (own, found) if own is not None and found is not None and found != own else None

    def name_worth(self, name: str, worth: Ratio) -> None:
        """Gives a name a value that is known in the last view; the others take it where it is a number or in
        their own symbols."""
        if worth.constant() is not None:
            self.in_numbers.add(name)
        for view in self.every:
            view.meanings.names[name] = worth.at({}, view.meanings.field)

    def clash(self, written: Equation) -> tuple[Dimension, ...] | None:
        """The kinds of quantity that meet in a claim with units and do not fit, or None."""
        return clash(written, self._dimension)

    def unit(self, name: str) -> str:
        """The SI unit of what a name stands for; empty where it is not known."""
        own = OHM if name[:1] in "Rr" else PLAIN
        return {AMPERE: "A", VOLT: "V", OHM: "Ω", WATT: "W"}.get(self._dimension(name) or own, "")

    def kind_of(self, name: str) -> Dimension | None:
        """What kind of quantity a name stands for, by its letter where nothing else tells."""
        return self._dimension(name) or _CALLED.get(name[0])

    def _dimension(self, name: str) -> Dimension | None:
        """What kind of quantity a name stands for, as powers of volt and ampere."""
        meaning = self.arrows.names.get(name)
        if meaning is not None:
            return VOLT if any(n.startswith("φ") for n in meaning) else AMPERE
        if name in self.needed:
            return self.needed[name]
        circuit = self.solution.circuit
        element = circuit.elements.get(name)
        kind = element.kind if element else circuit.role(name)
        if kind is not None:
            return DIMENSION_OF.get(kind)
        if "(" in name:
            return _CALLED.get(name[0])
        return self.units_said.get(name) or (OHM if name[0] == "R" else None)

    def is_right(self, written: Equation) -> bool:
        """Whether a claim is true of the circuit, and its units fit; not where it cannot be told."""
        try:
            self.learn(symbols_of(written))
            worth = self.value_of(written)
        except (UnknownName, TooLong, ZeroDivisionError):
            return False
        return worth is not None and worth.truth is not Truth.NO and not self.clash(written)

    def value_of(self, written: Equation) -> ClaimValue | None:
        """What a claim comes to; None where that depends on a number that is not given. Raises
        ZeroDivisionError where it divides by what is zero."""
        in_symbols = self.views[0]
        difference = in_symbols.meanings.difference(written)
        bare = len(self.views) > 1 and not symbols_of(written)  # arithmetic, in the units of its line
        if not bare and in_symbols.meanings.holds(difference):
            return ClaimValue(Truth.ALWAYS, in_symbols, difference)
        if len(self.views) == 1:
            values = has_values(written) or lone(written.left) is not None or lone(written.right) is not None
            undecided = values and symbols_of(written) and numbers_are_values(written, self._dimension)
            return None if undecided else ClaimValue(Truth.NO, in_symbols, difference)
        here = self.views[1]
        told = here.meanings.difference(written)
        if here.meanings.holds(told):
            if self.in_symbols(written) and not self._by_data(written):
                return ClaimValue(Truth.NO, in_symbols, difference)
            return ClaimValue(Truth.HERE, here, told)
        rounded = here.as_rounded.judged(written)
        if rounded is not None:
            return ClaimValue(rounded[0], here, told, rounded[1])
        known = (self._is_unknown(n) or n in self.in_numbers for n in symbols_of(written))
        if not has_values(written) and not all(known):
            return ClaimValue(Truth.NO, in_symbols, difference)
        left = here.meanings.value(told)
        if left is not None and left.held() and has_values(written):
            return None
        return ClaimValue(Truth.NO, here, told)

    def in_symbols(self, written: Equation) -> bool:
        """Whether a claim speaks of what is asked in the symbols of what is given, with no number put in: it
        is right only where it holds for all values of these symbols."""
        names = symbols_of(written)
        given = [n for n in names if self._is_given(n)]
        apart = any(n in self.in_numbers for n in names)
        if not given or len(given) == len(names) or apart or has_values(written):
            return False
        whole = any(not symbols_of(side) and numbers_in(side) for side in (written.left, written.right))
        return not (whole and numbers_are_values(written, self._dimension))

    def _is_given(self, name: str) -> bool:
        circuit = self.solution.circuit
        return name in circuit.elements or circuit.role(name) is not None

    def _by_data(self, written: Equation) -> bool:
        """Whether a claim holds for all values of the symbols that agree with what was said of the data
        above, such as R1 = R2."""
        if not self.said_of_data:
            return False
        sides = (put(written.left, self.said_of_data), put(written.right, self.said_of_data))
        meanings = self.views[0].meanings
        try:
            return meanings.holds(meanings.difference(Equation(*sides)))
        except (UnknownName, TooLong, ZeroDivisionError):
            return False

    def note_data(self, written: Equation) -> None:
        """Keeps what a true claim says of the data alone: R1 = R2."""
        if not all(self._is_given(n) for n in symbols_of(written)) or any(
            n.unit for n in numbers_in(written)
        ):
            return
        if isinstance(written.left, Symbol) and isinstance(written.right, Symbol | Product | Quotient):
            other = put(written.right, self.said_of_data)
            if written.left.name not in symbols_of(other) and symbols_of(other):
                self.said_of_data[written.left.name] = other

    def _is_unknown(self, name: str) -> bool:
        return name in self.arrows.names or name in self.needed or name.startswith("V(")


def _from_their_start(claims: Sequence[Claim]) -> Iterator[Equation]:
    """The claims, those that come to numbers as what their chain starts with says: `I1 = 1.43 A` for the last
    of I1 = E1/Req = 10/7 = 1.43 A."""
    start: Expr | None = None
    end: Expr | None = None
    for claim in claims:
        written = claim.written
        start = start if written.left == end else written.left
        end = written.right
        if not claim.case and start is not None:
            from_start = not symbols_of(written.right)
            yield Equation(start, written.right, written.relation) if from_start else written


def _has_bare(written: Equation) -> bool:
    """Whether a number without a unit stands in a claim: one with units alone tells nothing of the others."""
    return any(not number.unit and number.value for number in numbers_in(written))


def _in_milliamperes(written: Equation) -> bool:
    return any(number.unit == "mA" for number in numbers_in(written))


def in_kilohms(circuit: Circuit) -> bool:
    """Whether every resistance given is one of which people write kilohms."""
    return min(_resistances(circuit), default=0) >= KILOHMS_FROM


def _resistances(circuit: Circuit) -> list[Fraction]:
    return [v for name, v in circuit.numbers.items() if circuit.role(name) is Kind.RESISTOR]


KILOHMS_FROM = 100  # ohms of which people write kilohms
_CALLED = {"V": VOLT, "U": VOLT, "P": WATT, "R": OHM, "I": AMPERE}
