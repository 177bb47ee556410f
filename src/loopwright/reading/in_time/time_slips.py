"""Which slip a false claim about a circuit in time comes of, the likeliest first.

A result is held against what each slip gives (`slips/models_of_time`), then against the true value as a
number misread or miscounted; any other line is changed in one place at a time until it is true.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction
from math import floor, log10

from ...circuit.elements import Kind
from ...expressions.amounts import amount
from ...expressions.dimensions import OF_UNIT, of_unit
from ...expressions.nodes import (
    ONE,
    ZERO,
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
    exponential,
    negate,
    numbers_in,
    over,
    put,
    times,
)
from ...expressions.said import Said
from ...expressions.tidy import tidy
from ...expressions.tokens import scale_of
from ..repair.places import LinePlace, places, replaced
from ..truth.rounding import figures, half_unit, lone
from ..verdicts import Repair, Truth
from .claim_truth import ClaimTruth, TimedChoice, in_units
from .course_numbers import NumberSpan, RoundedCourse, can_be_equal, constant
from .course_values import ExactValue, NotExact
from .slip_values import NO_SLIP, SlipValue, SlipValues
from .swing_slips import amplitude_said, other_amplitudes, written_course
from .timed_names import TAU, TIME, UNIT_OF_SORT, Sort, TimedQuantity, When
from .timed_page import names_in
from .timed_truth import as_numbers
from .unit_systems import SI, UnitSystem, digit_scale, in_system


class TimeSlips:
    """Looks for slips in the claims of one working."""

    def __init__(self, truth: ClaimTruth) -> None:
        self.truth = truth
        self.circuit = truth.circuit
        self.values = SlipValues(truth)

    def of(
        self, written: Equation, head: Expr, choice: TimedChoice, at: Expr | None, system: UnitSystem
    ) -> tuple[Repair, ...]:
        """The likeliest slips in a false claim."""
        units = self._units(written, head, choice) or self._other_clock(written, choice, at, system)
        if units:
            return units
        for one, other in ((written.left, written.right), (written.right, written.left)):
            if isinstance(one, Symbol) and one.name in choice.names:
                found = self._of_result(written, one, other, choice, at, system)
                if found:
                    return found
                break
        if not choice.names:
            return self._of_arithmetic(written, choice, at, system) or self._of_line(
                written, choice, at, system
            )
        return self._of_line(written, choice, at, system) or self._of_arithmetic(written, choice, at, system)

    # -- a result held against what slips give ---------------------------------------------------------

    def _of_result(
        self,
        written: Equation,
        target: Symbol,
        other: Expr,
        choice: TimedChoice,
        at: Expr | None,
        system: UnitSystem,
    ) -> tuple[Repair, ...]:
        quantity, when = choice.names[target.name]
        time = self.truth.names[target.name].at or at
        opened = self.truth.opened(Equation(other, other)).left
        matches = self._matcher(opened, quantity, choice, at, system)
        found: list[Repair] = []
        mended = self._mended(target, other, quantity, when, time)
        if mended is None:
            return ()
        for wrong in self.values.wrong(quantity, when, time):
            if any(r.entry == wrong.entry for r in found):
                continue
            try:
                fits = matches(wrong)
            except NO_SLIP:
                continue
            if fits:
                found.append(Repair(wrong.entry, (wrong.said,), mended, 1.0 + 0.1 * len(found)))
            if len(found) == 3:
                break
        number = lone(other)
        if number is None and not found and when is When.COURSE:
            return self._of_amplitude(opened, quantity, choice, at, system, mended)
        if number is not None and (not found or found[0].entry not in _SURE):
            more = self._of_number(written, number, other, quantity, choice, at, system, mended)
            found = (
                [*more, *found]
                if more and more[0].entry in ("cut-off", "prefix-dropped")
                else [*found, *more]
            )
        seen: dict[str, Repair] = {}
        for repair in found:
            seen.setdefault(repair.entry, repair)
        return tuple(seen.values())[:3]

    def _of_amplitude(
        self,
        written: Expr,
        quantity: TimedQuantity,
        choice: TimedChoice,
        at: Expr | None,
        system: UnitSystem,
        mended: Equation,
    ) -> tuple[Repair, ...]:
        """A course that is right but for the factor of one of its terms."""
        unit = UNIT_OF_SORT[quantity.sort]
        if not self.circuit.has_all_numbers or quantity.slope:
            return ()
        try:
            told = self.truth.number(written, choice, at, system, self.truth.world, rounded=True)
            true = in_units(self.truth.world.number(quantity, When.COURSE), system.scale(unit), system.time)
        except NO_SLIP:
            return ()
        other = other_amplitudes(told, true)
        if len(other) != 1 or len(true.terms) < 2:
            return ()
        scale = float(system.scale(unit))
        one, wanted = (replace(t, factor=t.factor * NumberSpan(scale, scale)) for t in other[0])
        entry, said = amplitude_said(one, wanted, unit)
        return (Repair(entry, said, mended, 1.4),)

    def _matcher(
        self, other: Expr, quantity: TimedQuantity, choice: TimedChoice, at: Expr | None, system: UnitSystem
    ) -> Callable[[SlipValue], bool]:
        """Whether what is written is what a slip gives: exactly where it is written in symbols, else as
        rounded."""
        exact: ExactValue | None = None
        number: RoundedCourse | None = None
        values = any(True for _ in _numbers(other))
        try:
            exact = (
                self.truth.exact(other, choice, at)
                if not values or not self.circuit.has_all_numbers
                else None
            )
        except NO_SLIP:
            exact = None
        if exact is None and self.circuit.has_all_numbers:
            try:
                number = self.truth.number(other, choice, at, system, self.truth.world, rounded=True)
            except NO_SLIP:
                number = None
        scale = system.scale(UNIT_OF_SORT[quantity.sort]) / (system.time if quantity.slope else 1)

        def fits(wrong: SlipValue) -> bool:
            if exact is not None:
                return wrong.exact is not None and (exact - wrong.exact).is_zero
            if number is None:
                return False
            if wrong.exact is not None:
                course = in_units(as_numbers(wrong.exact, self.circuit.numbers), scale, system.time)
                if all(term.is_steady for term in course.terms):
                    course = constant(course.plain)  # at one time what fades is a number as well
            elif wrong.course is not None:
                course = in_units(wrong.course, scale, system.time)
            elif wrong.number is not None:
                value = wrong.number / float(scale)
                course = constant(NumberSpan(value, value))
            else:
                return False
            return can_be_equal(course, number) and not _wide(number)

        return fits

    # -- numbers -----------------------------------------------------------------------------------------

    def _of_number(
        self,
        written: Equation,
        number: Number,
        side: Expr,
        quantity: TimedQuantity,
        choice: TimedChoice,
        at: Expr | None,
        system: UnitSystem,
        mended: Equation,
    ) -> list[Repair]:
        """How a number may have come about beside the true value."""
        try:
            left, right = self.truth.sides(self.truth.opened(written), choice, at, system, rounded=False)
            true = (left if side is written.right else right).plain.middle
        except NO_SLIP:
            return []
        value = float(in_system(number, system)) * (1 if side is number else -1)
        found = _miscounted(value, true, number, system, sums=quantity.sort in (Sort.ENERGY, Sort.HEAT))
        return [Repair(entry, said, mended, 1.3) for entry, said in found[:1]]

    def _of_arithmetic(
        self, written: Equation, choice: TimedChoice, at: Expr | None, system: UnitSystem
    ) -> tuple[Repair, ...]:
        """Arithmetic that is wrong: the last side of a chain, or numbers alone."""
        number = lone(written.right)
        if number is None or not number.value:
            return ()
        try:
            left, right = self.truth.sides(self.truth.opened(written), choice, at, system, rounded=False)
            true, value = left.plain.middle, right.plain.middle
        except NO_SLIP:
            return ()
        figure = max(figures(number), 3)
        scale = float(digit_scale(number, system))
        shown = _like(number, true / scale if scale else true, figure)
        mended = Equation(written.left, shown, written.relation)
        found = _miscounted(value, true, number, system, sums=True)
        found = found or [("digits", (written.left, " comes to ", shown, ", not ", written.right))]
        return tuple(Repair(entry, said, mended, 1.3) for entry, said in found[:1])

    def _other_clock(
        self, written: Equation, choice: TimedChoice, at: Expr | None, system: UnitSystem
    ) -> tuple[Repair, ...]:
        """A course whose time is not counted from the start of its stage."""
        clock = self.truth.clock
        if clock is None or TIME not in names_in(written):
            return ()
        self.truth.clock = None
        try:
            truth = self.truth.judged(written, choice, at, system)
        except NO_SLIP:
            return ()
        finally:
            self.truth.clock = clock
        if truth is Truth.NO:
            return ()
        table: dict[str, Expr] = {TIME: add(Symbol(TIME), negate(clock))}
        mended = Equation(put(written.left, table), put(written.right, table), written.relation)
        said: Said = ("the time of this stage counts from its own start, which is at ", clock)
        return (Repair("second-stage", said, mended, 1.0),)

    def _units(self, written: Equation, head: Expr, choice: TimedChoice) -> tuple[Repair, ...]:
        """A result with a unit of another kind."""
        if not isinstance(head, Symbol) or head.name not in self.truth.names:
            return ()
        quantity = self.truth.names[head.name].meant[0]
        quantity, _ = choice.names.get(head.name, (quantity, None))
        number = lone(written.right)
        if number is None or not number.unit or quantity.slope:
            return ()
        unit = UNIT_OF_SORT[quantity.sort]
        if of_unit(number.unit) == OF_UNIT[unit]:
            return ()
        prefix = number.unit[:1] if len(number.unit) > 1 and number.unit not in ("Ω",) else ""
        right: Expr = Number(number.value, f"{prefix}{unit}", number.text)
        right = right if written.right is number else Negative(right)
        said: Said = (f"unit missing or wrong: a {quantity.sort} is in {unit}, not in {number.unit}",)
        return (Repair("unit-missing", said, Equation(written.left, right), 1.0),)

    # -- any other line ----------------------------------------------------------------------------------

    def _of_line(
        self, written: Equation, choice: TimedChoice, at: Expr | None, system: UnitSystem
    ) -> tuple[Repair, ...]:
        """One change that makes a line true."""
        found: list[Repair] = []
        for entry, said, mended in self._edits(written):
            try:
                truth = self.truth.judged(mended, choice, at, system)
            except NO_SLIP:
                continue
            if truth is not Truth.NO and names_in(mended):
                found.append(Repair(entry, said, mended, 1.0 + 0.1 * len(found)))
                if len(found) == 3:
                    break
        return tuple(found)

    def _edits(self, written: Equation) -> Iterator[tuple[str, Said, Equation]]:
        every = [p for p in places(written) if not (p.parent is None and isinstance(p.expr, Symbol))]
        timed = {n for n in names_in(written) if n in self.truth.names}
        for place in every:
            if place.is_term and place.expr != ZERO and not isinstance(place.expr, Sum):
                turned = negate(place.expr)
                sign = "− " if isinstance(turned, Negative) else "+ "
                body = turned.body if isinstance(turned, Negative) else turned
                entry = "drop-sign" if place.is_outer and set(names_in(place.expr)) & timed else "moved-sign"
                if place.is_outer and not set(names_in(place.expr)) & timed:
                    entry = "source-sign" if self._is_source(place.expr) else "moved-sign"
                yield entry, (f"{sign}", body, " is wanted"), replaced(written, place.path, turned)
        for place in every:
            yield from self._other_names(written, place)
        for place in every:
            yield from self._other_forms(written, place)

    def _is_source(self, expr: Expr) -> bool:
        names = names_in(expr)
        return bool(names) and all(self.circuit.role(n) is Kind.BATTERY for n in names)

    def _other_names(self, written: Equation, place: LinePlace) -> Iterator[tuple[str, Said, Equation]]:
        if not isinstance(place.expr, Symbol):
            return
        name = place.expr.name
        kind = self.circuit.role(name)
        others = [
            s for s in self.circuit.symbols if s != name and kind is not None and self.circuit.role(s) is kind
        ]
        if name in self.truth.names:
            timed = self.truth.names[name].meant[0]
            others = [
                n
                for n, t in self.truth.names.items()
                if n != name and t.meant[0].sort is timed.sort and t.when is self.truth.names[name].when
            ]
        for other in others:
            said: Said = (Symbol(other), " belongs where ", place.expr, " stands")
            yield (
                "wrong-current" if name in self.truth.names else "subscript",
                said,
                replaced(written, place.path, Symbol(other)),
            )

    def _other_forms(self, written: Equation, place: LinePlace) -> Iterator[tuple[str, Said, Equation]]:
        expr = place.expr
        match expr:
            case Quotient(above, below):
                turned = over(below, above)
                yield "fraction-inverted", (expr, " is upside down"), replaced(written, place.path, turned)
                for swapped in _upside_down(above, below):
                    yield (
                        "fraction-inverted",
                        (expr, " is upside down"),
                        replaced(written, place.path, swapped),
                    )
            case Sum(terms) if len(terms) >= 2:
                plain: list[Expr] = [t for t in terms if not isinstance(t, Negative)]
                if len(plain) == len(terms):
                    said: Said = (expr, " are side by side, not in a row")
                    yield "parallel-added", said, replaced(written, place.path, Parallel(tuple(plain)))
            case Parallel(parts):
                said = (expr, " are in a row, not side by side")
                yield "false-parallel", said, replaced(written, place.path, add(*parts))
            case Power(base, 2):
                yield "factor-extra", (expr, " is not squared"), replaced(written, place.path, base)
        if isinstance(place.parent, Sum) and place.is_term and expr != ZERO:
            yield "term-extra", (expr, " does not belong there"), replaced(written, place.path, ZERO)
        if place.is_term and expr != ZERO:
            for factor, entry in ((Fraction(1, 2), "half-forgotten"), (Fraction(2), "half-forgotten")):
                new = times(Number(factor), expr)
                yield entry, (new, " is wanted where ", expr, " stands"), replaced(written, place.path, new)
        if isinstance(expr, Product):
            for extra in expr.factors:
                rest = tuple(f for f in expr.factors if f is not extra)
                yield (
                    "factor-extra",
                    (extra, " does not belong there"),
                    replaced(written, place.path, times(*rest)),
                )
        if isinstance(expr, Symbol) and self.circuit.role(expr.name) in (
            Kind.CAPACITOR,
            Kind.COIL,
            Kind.RESISTOR,
        ):
            yield (
                "wrong-divisor",
                ("it is divided by ", expr, ", not multiplied"),
                replaced(written, place.path, over(ONE, expr)),
            )
        if place.is_term:
            for symbol in self.circuit.symbols:
                for term in (Symbol(symbol), Negative(Symbol(symbol))):
                    if self.circuit.role(symbol) is Kind.BATTERY:
                        yield (
                            "source-missing",
                            (Symbol(symbol), " is missing"),
                            replaced(written, place.path, add(expr, term)),
                        )

    def of_time(
        self, written: Equation, other: Expr, wanted: object, system: UnitSystem
    ) -> tuple[Repair, ...]:
        """The likeliest slips in a time that is told."""
        times_wanted = [t for t in wanted if isinstance(t, float)] if isinstance(wanted, list) else []
        if not times_wanted:
            return ()
        try:
            value = self.truth.number(
                other,
                TimedChoice(
                    {
                        n: (self.truth.names[n].meant[0], When.UNSAID)
                        for n in names_in(other)
                        if n in self.truth.names
                    }
                ),
                None,
                system,
                self.truth.world,
                rounded=False,
            ).plain.middle
        except NO_SLIP:
            return ()
        value *= float(system.scale("s"))
        true = times_wanted[0]
        mended = Equation(written.left, amount(Fraction(true), "s", 3))
        number = lone(other)
        if abs(value + true) < 1e-3 * abs(true):
            return (
                Repair(
                    "fraction-inverted", ("the logarithm is that of the quotient turned over",), mended, 1.0
                ),
            )
        if number is not None:
            found = _miscounted(value, true, number, SI, sums=False)
            return tuple(Repair(entry, said, mended, 1.3) for entry, said in found[:1])
        return ()

    def _mended(
        self, target: Symbol, other: Expr, quantity: TimedQuantity, when: When, at: Expr | None
    ) -> Equation | None:
        """The result put right."""
        unit = UNIT_OF_SORT[quantity.sort]
        number = lone(other)
        world = self.truth.world
        values = any(True for _ in _numbers(other))
        try:
            if when is When.COURSE:
                return Equation(
                    target,
                    self._written(world.exact(quantity, when), values, unit if not quantity.slope else ""),
                )
            if when is When.AT and at is not None:
                moment = self.truth.number(at, TimedChoice({}), None, SI, world, rounded=False).plain
                size = world.number(quantity, when, moment).plain.middle
                return Equation(
                    target, amount(Fraction(size), unit, max(3, figures(number) if number else 3))
                )
            exact = world.exact(quantity, when)
            ratio = exact.plain if exact.terms else None
        except NotExact:
            return self._mended_number(target, number, quantity, when, unit)
        except NO_SLIP:
            return None
        if ratio is None:
            return Equation(target, ZERO)
        if values and self.circuit.has_all_numbers and not quantity.slope:
            value = ratio.value({**self.circuit.numbers, TIME: Fraction(0)})
            return Equation(target, amount(value, unit, max(3, figures(number) if number else 3)))
        return Equation(target, tidy(ratio.at({}, self.circuit.field)))

    def _mended_number(
        self, target: Symbol, number: Number | None, quantity: TimedQuantity, when: When, unit: str
    ) -> Equation | None:
        """The result put right where it has no form in symbols."""
        try:
            found = self.truth.world.number(quantity, when)
            if when is When.COURSE:
                return Equation(target, written_course(found, "" if quantity.slope else unit))
            size = found.plain.middle
        except NO_SLIP:
            return None
        return Equation(target, amount(Fraction(size), unit, max(3, figures(number) if number else 3)))

    def _written(self, value: ExactValue, in_numbers: bool, unit: str) -> Expr:
        """A course as it is written, its exponent in τ where there is one time constant."""
        numbers = {**self.circuit.numbers, TIME: Fraction(0)}
        terms: list[Expr] = []
        for (exponent, _), factor in value.terms.items():
            shown = in_numbers and self.circuit.has_all_numbers and not factor.degree(TIME)
            part = amount(factor.value(numbers), unit, 3) if shown else tidy(factor)
            power = exponential(negate(over(Symbol(TIME), Symbol(TAU))))
            terms.append(times(part, power) if exponent else part)
        return add(*terms) if terms else ZERO


_SURE = ("half-forgotten", "nearest-resistance", "tau-form")


def _upside_down(above: Expr, below: Expr) -> Iterator[Expr]:
    """Part of a quotient turned over, a factor before it left where it is."""
    factors = above.factors if isinstance(above, Product) else ()
    for kept in factors:
        others = times(*(f for f in factors if f is not kept))
        yield over(times(kept, below), others)
        yield over(times(others, below), kept)


def _wide(number: RoundedCourse) -> bool:
    """Whether an interval is so wide that it would fit many slips."""
    return any(t.factor.high - t.factor.low > 0.2 * t.factor.size for t in number.terms)


def _numbers(expr: Expr) -> Iterator[Number]:
    for number in numbers_in(expr):
        if number.unit or number.value.denominator != 1 or number.value > 4:
            yield number


def _like(number: Number, digits: float, figure: int) -> Expr:
    """A value in the unit of another number, to so many figures."""
    if not digits:
        return ZERO
    decimals = max(0, figure - 1 - floor(log10(abs(digits))))
    text = f"{abs(digits):.{decimals}f}"
    made = Number(Fraction(text) * scale_of(number.unit), number.unit, text)
    return Negative(made) if digits < 0 else made


def _miscounted(
    value: float, true: float, number: Number, system: UnitSystem, *, sums: bool
) -> list[tuple[str, Said]]:
    """What a number may be that stands for another: cut off, off by a power of ten, of the other sign, ..."""
    if not true:
        return []
    share = value / true
    unit = float(2 * half_unit(number) * digit_scale(number, system) / digit_scale(number, SI))
    if unit and figures(number) >= 2 and 0 < abs(true) - abs(value) < unit and share > 0:
        return [("cut-off", ("the last figure is cut off, not rounded",))]
    if abs(share + 1) < 0.006:
        return [("minus-dropped", ("minus sign of a result lost: the sign is the other one",))]
    for power in (3, -3, 6, -6, 9, -9):
        if abs(share / 10.0**power - 1) < 0.006:
            return [("prefix-dropped", (f"prefix dropped: it is off by a factor 10^{power}",))]
    for power in (1, -1, 2, -2):
        if abs(share / 10.0**power - 1) < 0.006:
            return [("digits", (f"a nought or the point is misplaced: it is off by a factor 10^{power}",))]
    if sums and (abs(share - 2) < 0.006 or abs(share - 0.5) < 0.003):
        return [("half-forgotten", ("a factor of two: the half is left out, or taken twice",))]
    if abs(share - 1) < 0.03:
        return [("early-rounding", ("rounded too early, or the last figures are wrong",))]
    return []
