"""What slips give for a quantity of a circuit in time, at a moment or as a course, the likeliest first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from ...algebra.ratios import Ratio
from ...circuit.elements import Kind
from ...expressions.nodes import Expr
from ...slips.models_of_time import (
    redrawn_wrongly,
    wrong_joint_constants,
    wrong_seen,
    wrong_time_constants,
)
from .claim_truth import WITHOUT_VALUE, ClaimTruth, TimedChoice
from .course_numbers import RoundedCourse, turned
from .course_values import ExactValue, NotExact, at_time, of_ratio, plus, product, times_number
from .swing_slips import wrong_swings
from .timed_names import OF_RATE, TIME, Sort, TimedQuantity, When
from .timed_truth import as_numbers

NO_SLIP = (*WITHOUT_VALUE, ArithmeticError)
_AS_SOLVED = When.UNSAID
_LATE = 3  # time constants


@dataclass(frozen=True, slots=True)
class SlipValue:
    """What a slip gives: exactly, as a number alone, or as a course in numbers, in SI units."""

    entry: str
    said: str
    exact: ExactValue | None = None
    number: float | None = None
    course: RoundedCourse | None = None


class SlipValues:
    """What slips give in the circuit of one working."""

    def __init__(self, truth: ClaimTruth) -> None:
        self.truth = truth
        self.circuit = truth.circuit
        self.stage = truth.world.stage

    def wrong(self, quantity: TimedQuantity, when: When, at: Expr | None) -> Iterator[SlipValue]:
        """What slips give for a quantity at a moment."""
        plain = TimedQuantity(quantity.sort, quantity.of, 1, quantity.slope)
        for wrong in self._of_quantity(plain, when, at):
            if quantity.sign > 0:
                yield wrong
            else:
                yield SlipValue(
                    wrong.entry,
                    wrong.said,
                    times_number(wrong.exact, -1) if wrong.exact is not None else None,
                    -wrong.number if wrong.number is not None else None,
                    turned(wrong.course) if wrong.course is not None else None,
                )

    def _of_quantity(self, quantity: TimedQuantity, when: When, at: Expr | None) -> Iterator[SlipValue]:
        match quantity.sort:
            case Sort.TIME_CONSTANT:
                yield from self._wrong_constants(quantity)
                return
            case Sort.SEEN:
                for one in wrong_seen(self.stage, quantity.of[0]):
                    yield SlipValue(one.entry, one.said, self._exact(one.value))
                return
            case Sort.CAPACITANCE | Sort.INDUCTANCE:
                yield from self._wrong_capacitance(quantity)
                return
            case Sort.WORK | Sort.HEAT:
                yield from self._wrong_work(quantity)
                return
        if when in (When.AFTER, When.END, When.BEFORE):
            yield from self._wrong_ends(quantity, when)
        elif when is When.COURSE:
            yield from self._wrong_courses(quantity)
        elif when is When.AT and at is not None:
            yield from self._wrong_at(quantity, at)

    def _exact(self, ratio: Ratio) -> ExactValue:
        return of_ratio(ratio.at({}, self.truth.world.field))

    def _value(self, quantity: TimedQuantity, when: When) -> ExactValue | None:
        try:
            return self.truth.world.exact(quantity, when)
        except NO_SLIP:
            return None

    def _wrong_constants(self, quantity: TimedQuantity) -> Iterator[SlipValue]:
        """Wrong time constants: of one storage, or of several together."""
        storage, stage = quantity.of[0], self.stage
        for one in (
            wrong_time_constants(stage, storage) if storage != OF_RATE else wrong_joint_constants(stage)
        ):
            yield SlipValue(one.entry, one.said, self._exact(one.value))

    # -- starts and ends -------------------------------------------------------------------------------

    def _wrong_ends(self, quantity: TimedQuantity, when: When) -> Iterator[SlipValue]:
        true = self._value(quantity, when)
        start = when is not When.END
        coil = any(self.circuit.elements[s].kind is Kind.COIL for s in self.circuit.storages)
        if true is not None and not true.is_zero:
            entry = "direction-after" if when is When.AFTER and self._driven_by_storage() else "minus-dropped"
            yield SlipValue(entry, "the direction is the other one", times_number(true, -1))
        for wrong in self._made_of_wrong(quantity, when):
            if true is None or wrong.exact is None or not (wrong.exact - true).is_zero:
                yield wrong
        if not start and true is not None and quantity.sort in (Sort.ACROSS, Sort.CHARGE):
            yield from self._whole_emf(quantity)
        if quantity.slope:
            return
        if when is When.AFTER and quantity.sort is Sort.CURRENT and self._between(quantity.of[0]):
            said = "what stands between two capacitors carries current while they fill"
            yield SlipValue("between-capacitors", said, ExactValue({}))
        for entry, said, solution in redrawn_wrongly(self.stage, start=start):
            try:
                ratio = self.truth.world._in_solution(solution, quantity, _AS_SOLVED)
            except (*NO_SLIP, LookupError):
                continue
            value = self._exact(ratio)
            if true is None or not (value - true).is_zero:
                yield SlipValue(entry, said, value)
        if when is When.AFTER and not self._is_held(quantity):
            before = self._value(quantity, When.BEFORE)
            if before is not None and true is not None and not (before - true).is_zero:
                held = "a coil's current" if coil else "a capacitor's voltage"
                said = f"it is carried over the move, but only {held} is without a jump"
                yield SlipValue("wrong-continuous", said, before)
        other = self._value(quantity, When.END if start else When.AFTER)
        if other is not None and true is not None and not (other - true).is_zero:
            here, there = ("just", "long") if start else ("long", "just")
            said = f"the value {there} after stands for the one {here} after"
            yield SlipValue("ends-exchanged", said, other)
        if when is When.AFTER and coil and quantity.sort in (Sort.ACROSS, Sort.DIFFERENCE):
            for battery in self._batteries():
                emf = self._exact(self.circuit.value(battery))
                for value in (emf, times_number(emf, -1)):
                    yield SlipValue("spark-limit", "the voltage of an opened coil is I R, not the emf", value)

    def _between(self, branch: str) -> bool:
        """Whether something on a branch stands between two capacitors."""
        kinds = [self.circuit.elements[p.element].kind for p in self.circuit.branch(branch).passes]
        held = [k for k, kind in enumerate(kinds) if kind is Kind.CAPACITOR]
        return len(held) > 1 and Kind.RESISTOR in kinds[held[0] : held[-1]]

    def _is_held(self, quantity: TimedQuantity) -> bool:
        name = quantity.of[0] if quantity.of else ""
        return any(
            (quantity.sort is Sort.CURRENT and self.circuit.branch_of(s).name == name and self._coil(s))
            or (quantity.sort in (Sort.ACROSS, Sort.CHARGE) and s == name and not self._coil(s))
            for s in self.circuit.storages
        )

    def _coil(self, storage: str) -> bool:
        return self.circuit.elements[storage].kind is Kind.COIL

    def _driven_by_storage(self) -> bool:
        return any(self.stage.held.values())

    def _batteries(self) -> list[str]:
        return [n for n, e in self.circuit.elements.items() if e.kind is Kind.BATTERY]

    def _whole_emf(self, quantity: TimedQuantity) -> Iterator[SlipValue]:
        for battery in self._batteries():
            emf = self._exact(self.circuit.value(battery))
            if quantity.sort is Sort.CHARGE:
                emf = product(emf, self._exact(self.circuit.value(quantity.of[0])))
            yield SlipValue("charge-of-emf", "the whole emf is taken for the voltage of the capacitor", emf)
        if len(self.circuit.storages) == 2 and not any(self._coil(s) for s in self.circuit.storages):
            yield from self._sharing(quantity)

    def _sharing(self, quantity: TimedQuantity) -> Iterator[SlipValue]:
        """Charge shared by two capacitors: its energy kept, or charges of unlike plates added."""
        one, other = (self._exact(self.circuit.value(s)) for s in self.circuit.storages)
        held = [self._exact(self.stage.held[s]) for s in self.circuit.storages]
        total = plus(one, other)
        for sign in (1, -1):
            charge = plus(product(one, held[0]), times_number(product(other, held[1]), sign))
            try:
                value = product(charge, of_ratio(total.plain.field.one / total.plain))
            except NO_SLIP:
                continue
            for either in (value, times_number(value, -1)):
                amount_ = product(either, self._exact(self.circuit.value(quantity.of[0])))
                yield SlipValue(
                    "plates-added",
                    "the charges of the joined plates are added for subtracted",
                    amount_ if quantity.sort is Sort.CHARGE else either,
                )
        if self.circuit.has_all_numbers:
            c = [float(self.circuit.value(s).value(self.circuit.numbers)) for s in self.circuit.storages]
            v = [float(self.stage.held[s].value(self.circuit.numbers)) for s in self.circuit.storages]
            kept = sqrt(sum(a * b * b for a, b in zip(c, v, strict=True)) / sum(c))
            if quantity.sort is Sort.CHARGE:
                kept *= float(self.circuit.value(quantity.of[0]).value(self.circuit.numbers))
            for sign in (1, -1):
                yield SlipValue("energy-kept", "the energy is kept in place of the charge", None, sign * kept)

    def _made_of_wrong(self, quantity: TimedQuantity, when: When) -> Iterator[SlipValue]:
        """Energies without their half, and of the whole emf."""
        if quantity.sort is not Sort.ENERGY:
            return
        true = self._value(quantity, when)
        if true is not None:
            yield SlipValue(
                "half-forgotten", "the half of C V²/2 or L I²/2 is left out", times_number(true, 2)
            )
            try:
                twice = true.plain if true.terms else None
            except NotExact:
                twice = None
            if twice is not None:
                yield SlipValue("half-forgotten", "a half too many stands there", of_ratio(twice / 2))
        name = quantity.of[0]
        if not self._coil(name):
            half = self._exact(self.circuit.value(name) * self.circuit.field.number(Fraction(1, 2)))
            for battery in self._batteries():
                emf = self._exact(self.circuit.value(battery))
                yield SlipValue(
                    "charge-of-emf",
                    "the whole emf is taken for the voltage",
                    product(half, product(emf, emf)),
                )

    # -- what belongs to no moment -----------------------------------------------------------------------

    def _wrong_capacitance(self, quantity: TimedQuantity) -> Iterator[SlipValue]:
        values = [self.circuit.value(s) for s in self.circuit.storages]
        total = values[0]
        ones = values[0].field.one / values[0]
        for value in values[1:]:
            total, ones = total + value, ones + value.field.one / value
        yield SlipValue("capacitors-combined", "they are added as if side by side", self._exact(total))
        yield SlipValue(
            "capacitors-combined", "they are combined as if in a row", self._exact(ones.field.one / ones)
        )
        yield SlipValue("reciprocal-left", "the sum of the reciprocals is not turned over", self._exact(ones))

    def _wrong_work(self, quantity: TimedQuantity) -> Iterator[SlipValue]:
        true = self._value(quantity, When.UNSAID)
        if true is None or not true.terms:
            return
        half = of_ratio(true.plain / 2)
        if quantity.sort is Sort.WORK:
            yield SlipValue("battery-work", "the battery does twice the work that the capacitor keeps", half)
        else:
            yield SlipValue("half-forgotten", "the half is left out", times_number(true, 2))
            yield SlipValue("half-forgotten", "a half too many stands there", half)

    # -- courses -----------------------------------------------------------------------------------------

    def _wrong_courses(self, quantity: TimedQuantity) -> Iterator[SlipValue]:
        start, end = self._value(quantity, When.AFTER), self._value(quantity, When.END)
        constant_of = self.truth.world.one_constant
        if constant_of is None:
            yield from self._wrong_swings(quantity)
        if start is None or end is None or constant_of is None:
            return
        tau_of = self._value(constant_of, When.UNSAID)
        if tau_of is None or not tau_of.terms:
            return
        tau = tau_of.plain
        fld = self.truth.world.field
        time, one = fld.symbol(TIME), fld.one
        gap = plus(start, times_number(end, -1))

        def course(end_: ExactValue, gap_: ExactValue, rate: Ratio) -> ExactValue:
            return plus(end_, product(gap_, ExactValue({(-rate * time, None): one})))

        rate, none = one / tau, ExactValue({})
        yield SlipValue(
            "exponent-sign", "the exponent has no minus, so it grows without end", course(end, gap, -rate)
        )
        if not end.is_zero:
            said = "the value long after is left out"
            yield SlipValue("end-left-out", said, course(none, gap, rate))
            if start.is_zero:
                said = "it rises from nothing, and so goes as 1 − e^(−t/τ)"
                yield SlipValue("rise-for-fall", said, course(none, end, rate))
                said = "1 belongs before e^(−t/τ), not after it"
                yield SlipValue("rise-for-fall", said, course(times_number(end, -1), end, rate))
            else:
                yield SlipValue("end-left-out", said, course(none, start, rate))
                said = "it does not begin at nothing"
                yield SlipValue("rise-for-fall", said, course(end, times_number(end, -1), rate))
                yield SlipValue("rise-for-fall", "it does not go to nothing", course(none, end, rate))
                said = "the factor of e^(−t/τ) is the start less the end, not the start alone"
                yield SlipValue("start-for-difference", said, course(end, start, rate))
                yield SlipValue("start-for-difference", said, course(end, times_number(start, -1), rate))
        else:
            said = "it falls to nothing, and so goes as e^(−t/τ)"
            yield SlipValue("rise-for-fall", said, course(start, times_number(start, -1), rate))
        yield SlipValue(
            "ends-exchanged",
            "the value just after and the one long after are exchanged",
            course(start, times_number(gap, -1), rate),
        )
        if not end.is_zero and not start.is_zero:
            yield SlipValue(
                "start-for-difference",
                "the difference is taken the other way round",
                course(end, times_number(gap, -1), rate),
            )
        yield SlipValue(
            "minus-dropped",
            "the sign of the whole is the other one",
            times_number(course(end, gap, rate), -1),
        )
        for wrong in self._wrong_constants(constant_of):
            if wrong.exact is not None:
                said = f"in the exponent, {wrong.said}"
                yield SlipValue(wrong.entry, said, course(end, gap, one / wrong.exact.plain))
        yield SlipValue(
            "tau-form", "t is multiplied by τ in the exponent instead of divided", course(end, gap, tau)
        )
        for power in (3, -3, 6, -6, 1, -1):
            by = fld.number(Fraction(10) ** power)
            said = f"the rate in the exponent is off by a factor 10^{-power}"
            yield SlipValue("exponent-prefix", said, course(end, gap, rate * by))
        for wrong_start in self._wrong_ends(quantity, When.AFTER):
            if wrong_start.exact is not None:
                other_gap = plus(wrong_start.exact, times_number(end, -1))
                yield SlipValue(
                    wrong_start.entry, f"at the start, {wrong_start.said}", course(end, other_gap, rate)
                )
        for wrong_end in self._wrong_ends(quantity, When.END):
            if wrong_end.exact is not None:
                other_gap = plus(start, times_number(wrong_end.exact, -1))
                yield SlipValue(
                    wrong_end.entry, f"long after, {wrong_end.said}", course(wrong_end.exact, other_gap, rate)
                )

    def _wrong_swings(self, quantity: TimedQuantity) -> Iterator[SlipValue]:
        """Courses with more than one exponential, or with a swing, in numbers."""
        if not self.circuit.has_all_numbers:
            return
        try:
            true = self.truth.world.number(quantity, When.COURSE)
        except NO_SLIP:
            return
        for wrong in wrong_swings(true):
            yield SlipValue(wrong.entry, wrong.said, course=wrong.course)

    def _is_late(self, time: Ratio) -> bool:
        """Whether next to everything has happened at a time: three time constants after the start."""
        constant_of = self.truth.world.one_constant
        tau = self._value(constant_of, When.UNSAID) if constant_of is not None else None
        if tau is None or not tau.terms:
            return False
        try:
            return (time / tau.plain).value(self.circuit.numbers) >= _LATE
        except (*NO_SLIP, KeyError):
            return False

    def _wrong_at(self, quantity: TimedQuantity, at: Expr) -> Iterator[SlipValue]:
        try:
            moment = self.truth.exact(at, TimedChoice({}), None)
            told = moment.plain if moment.terms else self.truth.world.field.zero
            clock = self.truth.clock
            begun = self.truth.exact(clock, TimedChoice({}), None) if clock is not None else ExactValue({})
            time = told - begun.plain if begun.terms else told
        except NO_SLIP:
            return
        if begun.terms and (run := self._value(quantity, When.COURSE)) is not None:
            said = "the time is not counted from where this stage begins"
            yield SlipValue("second-stage", said, at_time(run, told, TIME))
        end, late = self._value(quantity, When.END), self._is_late(time)
        settled = SlipValue("settled-at-five", "it comes ever nearer to this value and is not there yet", end)
        if end is not None and late:
            yield settled
        for wrong in self._wrong_courses(quantity):
            if wrong.exact is not None:
                yield SlipValue(wrong.entry, wrong.said, at_time(wrong.exact, time, TIME))
        if end is not None and not late:
            yield settled
        true = self._value(quantity, When.COURSE)
        if true is None or not self.circuit.has_all_numbers:
            return
        numbers = self.circuit.numbers
        for (exponent, _), _factor in true.terms.items():
            if exponent:
                power = float(exponent.at({TIME: time}, time.field).value({**numbers, TIME: Fraction(0)}))
                whole = round(-power)
                if whole and abs(power + whole) < 1e-9:
                    sums = as_numbers(true, numbers)
                    fixed = sum(t.factor.middle for t in sums.terms if not t.rate.size)
                    grown = sum(t.factor.middle for t in sums.terms if t.rate.size)
                    for base in (0.368, 0.37):
                        said = f"1/e is taken as {base}, which has too few figures"
                        yield SlipValue("early-rounding", said, None, fixed + grown * base**whole)
                    for share in (0.632, 0.63):
                        yield SlipValue(
                            "early-rounding",
                            f"1 − 1/e is taken as {share}",
                            None,
                            fixed + grown * (1 - share),
                        )
