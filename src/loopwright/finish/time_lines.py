"""The lines by which a working in time goes on: what stands just after, long after, τ, a course, and what is
made of these. Written in letters, and with what they come to where the working stands in numbers.

x(t) = x(∞) + (x(0+) − x(∞)) e^(−t/τ) for every quantity of a circuit with one storage (common practice); with
more of them a course is told by its exponentials or its swings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..circuit.elements import Kind
from ..circuit.in_time import UNIT_OF_TIMED, Moment, TimedKind, TimedQuestion
from ..errors import FaultyMaterial
from ..expressions.amounts import amount
from ..expressions.nodes import (
    ZERO,
    Equation,
    Expr,
    Number,
    Power,
    Symbol,
    add,
    applied,
    exponential,
    negate,
    number,
    over,
    put,
    times,
)
from ..expressions.said import Said
from ..expressions.tidy import tidy
from ..expressions.writers import plain
from ..reading.in_time.course_values import NotExact
from ..reading.in_time.timed_names import TAU, UNIT_OF_SORT, Sort, TimedQuantity, When
from ..reading.in_time.timed_truth import NoValue, TimedWorld
from ..transients.timed_values import course_of, timed_value
from ..transients.transient import Transient, begun
from .finished import FinishedLine, Lacking
from .shown_in_time import SORTS, QuantityKey, ShownInTime, name_shown

_MOMENTS = {Moment.BEFORE: When.BEFORE, Moment.JUST_AFTER: When.AFTER, Moment.LONG_AFTER: When.END}
_MARKS = {When.BEFORE: "(0-)", When.AFTER: "(0+)", When.END: "(oo)", When.COURSE: "(t)", When.UNSAID: ""}
_WHY = {
    When.BEFORE: (Lacking.START, "The circuit before the switch moves"),
    When.AFTER: (Lacking.START, "The circuit just after, what the storage holds put in"),
    When.END: (Lacking.END, "The circuit long after, when nothing changes any more"),
}
_NEAR = 0.02  # of itself: a time told to two figures
_TIME = Symbol("t")
_KINDS = {sort: kind for kind, sort in SORTS.items()}


class TimeTeller:
    """Tells the rest of one working in one stage. `at`: which stage that is, 0 for the first; `barred`: lines
    that the judge did not find true; `lines`: those told so far, numbered anew later; `unwritten`: what is
    asked and could not be told; `unsaid`: what has no value, in a sentence."""

    def __init__(self, stage: Transient, here: ShownInTime, barred: frozenset[str], at: int = 0) -> None:
        self.stage, self.here, self.barred, self.at = stage, here, barred, at
        self.several = len(here.shown) > 1
        self.circuit, self.world = stage.circuit, TimedWorld(stage)
        self.lines: list[FinishedLine] = []
        self.unwritten: list[TimedQuestion] = []
        self.unsaid: list[Said] = []
        self.shown: dict[tuple[QuantityKey, When], int] = dict(here.shown[at])
        self.held = {name: self._held_by(name) for name in self.circuit.storages}
        self.single = len(self.held) == 1 and len(stage.rates) == 1
        self.storage = self.circuit.storages[0]
        self.coil = self.circuit.elements[self.storage].kind is Kind.COIL
        self.tau_key: QuantityKey = (Sort.TIME_CONSTANT, (self.storage,))
        self.seen_key: QuantityKey = (Sort.SEEN, (self.storage,))
        self.begins: Expr | None = None
        if stage.begins:
            known = stage.begins in self.circuit.numbers
            self.begins = _shortest(amount(begun(stage), "s", 6)) if known else Symbol(stage.begins)

    def _held_by(self, name: str) -> QuantityKey:
        coil = self.circuit.elements[name].kind is Kind.COIL
        return (Sort.CURRENT, (self.circuit.branch_of(name).name,)) if coil else (Sort.ACROSS, (name,))

    def _since(self, at: Expr = _TIME) -> Expr:
        """What has gone at a time since the stage began."""
        return at if self.begins is None else add(at, negate(self.begins))

    def answer(self, question: TimedQuestion) -> None:
        """Tells the lines that a question needs, as far as the working has not told them."""
        try:
            told = self._answer(question)
        except (NoValue, NotExact, KeyError, ZeroDivisionError, FaultyMaterial):
            told = False
        if not told:
            self.unwritten.append(question)

    def _answer(self, question: TimedQuestion) -> bool:
        if question.kind is TimedKind.WHEN:
            return self._time(question)
        if question.kind is TimedKind.TIME_CONSTANT:
            return self._tau() if self.single else self._taus(question)
        key: QuantityKey = (SORTS[question.kind], question.names)
        if question.moment is Moment.COURSE:
            return self._course(key)
        if question.moment is Moment.AT and question.at is not None:
            return self._at(key, question, question.at)
        when = _MOMENTS.get(question.moment, When.UNSAID)
        if when is When.UNSAID and key[0] is Sort.HEAT:
            return self._end(key, when, Lacking.ASKED, "All the heat from the move on")
        lacking, why = _WHY.get(when, (Lacking.ASKED, "As the elements are joined"))
        return self._end(key, when, lacking, why)

    # -- the pieces ----------------------------------------------------------------------------------

    def _end(self, key: QuantityKey, when: When, lacking: Lacking, why: str) -> bool:
        """A value before, just after or long after."""
        if (key, when) in self.shown:
            return True
        if key[0] in (Sort.CHARGE, Sort.ENERGY) and key[1][0] in self.held:
            form = self._made(key, when)
            why = "Q = C V" if key[0] is Sort.CHARGE else "The energy of what the storage holds"
        else:
            start = when is When.AFTER and key not in self.held.values()
            for held in self.held.values() if start else ():
                if self._value(held, when):
                    self._end(held, when, lacking, "What the storage holds does not jump")
            form = self._letters(self._value(key, when))
        if key in self.held.values() and when is When.AFTER:
            why = "What the storage holds does not jump"
        value = self._value(key, when)
        return self._tell(self._name(key, when), form, self._number(value, key[0]), lacking, why, (key, when))

    def _made(self, key: QuantityKey, when: When) -> Expr:
        """The charge or the energy of a storage, of what it holds."""
        held = self.held[key[1][0]]
        self._end(held, when, *_WHY[when])
        one, other = Symbol(key[1][0]), self._name(held, when)
        if key[0] is Sort.CHARGE:
            made = times(one, other)
            return made if self._sign(key) == self._sign(held) else negate(made)
        return times(over(number(1), number(2)), one, Power(other, 2))

    def _tau(self) -> bool:
        if (self.tau_key, When.UNSAID) in self.shown:
            return True
        seen = self.stage.seen[self.storage]
        if seen is None or not seen:
            return False
        self._end(
            self.seen_key, When.UNSAID, Lacking.SEEN_IN_TIME, "Every source at rest: what the storage sees"
        )
        resistance, own = self._name(self.seen_key, When.UNSAID), Symbol(self.storage)
        form = over(own, resistance) if self.coil else times(resistance, own)
        value = self._value(self.tau_key, When.UNSAID)
        shown = self._number(value, Sort.TIME_CONSTANT)
        key = (self.tau_key, When.UNSAID)
        why = "L over the resistance seen" if self.coil else "The resistance seen times C"
        return self._tell(self._tau_name, form, shown, Lacking.TAU, why, key)

    def _course(self, key: QuantityKey) -> bool:
        """A quantity as a function of the time."""
        if (key, When.COURSE) in self.shown:
            return True
        if key[0] is Sort.CHARGE:
            return False
        start, end = (self._value(key, w) for w in (When.AFTER, When.END))
        if start == end:
            return self._end(key, When.COURSE, Lacking.COURSE, "It does not change")
        for when, value in ((When.AFTER, start), (When.END, end)):
            if value or when is When.AFTER:
                self._end(key, when, *_WHY[when])
        if self.single:
            self._tau()
            first, last = (self._name(key, w) for w in (When.AFTER, When.END))
            shown = self._in_figures(key)
            form: Expr | None = self._fading(first if start else None, last if end else None)
            why = "From the start to the end with the time constant"
        else:
            shown, form = self._in_figures(key), self._in_letters(key)
            why = "The exponentials of the circuit, in amounts that fit the start and the first slope"
            if form is None and shown is None:
                return False
        return self._tell(self._name(key, When.COURSE), form, shown, Lacking.COURSE, why, (key, When.COURSE))

    def _fading(self, start: Expr | None, end: Expr | None) -> Expr:
        """A course between two ends; None for an end at nothing."""
        fade = exponential(negate(over(self._since(), self._tau_name)))
        if end is None:
            return times(start or ZERO, fade)
        if start is None:
            return times(end, add(number(1), negate(fade)))
        return add(end, times(add(start, negate(end)), fade))

    def _in_figures(self, key: QuantityKey, at: Expr = _TIME) -> Expr | None:
        """The course with its numbers: the end, and what fades or swings; None for a working in letters."""
        if not self.here.in_numbers:
            return None
        question = TimedQuestion(_KINDS[key[0]], key[1], Moment.COURSE)
        run = self.stage.run(lambda stage: course_of(stage, question))
        if run.slope or any(swing.power for swing in run.swings):
            return None
        sign, unit, since = self._sign(key), UNIT_OF_SORT[key[0]], self._since(at)

        def signed(value: Fraction, *factors: Expr) -> Expr:
            term = times(amount(abs(value), unit, self.circuit.figures), *factors)
            return negate(term) if value < 0 else term

        def span(rate: Fraction) -> Expr:
            return amount(1 / rate, "s", self.circuit.figures)

        parts = [signed(run.end * sign)] if run.end else []
        for swing in run.swings:
            fade = exponential(negate(over(since, self._tau_name if self.single else span(swing.rate))))
            if not swing.turning:
                parts.append(signed(swing.cosine * sign, fade))
                continue
            angle = over(since, span(swing.turning))
            waves = [(swing.cosine, "cos"), (swing.sine, "sin")]
            turned = [signed(a * sign, applied(f, angle)) for a, f in waves if a]
            parts.append(times(fade, add(*turned)))
        return add(*parts)

    def _in_letters(self, key: QuantityKey) -> Expr | None:
        """The course of one of several storages in letters; None where a root stands in it."""
        course = course_of(self.stage, TimedQuestion(_KINDS[key[0]], key[1], Moment.COURSE))
        if course.slope or course.first is not None or not all(d.is_plain for d in course.decays):
            return None
        parts = [self._letters(course.end * self._sign(key))] if course.end else []
        for decay in course.decays:
            if decay.power:
                return None
            tau = tidy(self.circuit.field.one / decay.rate.plain)
            fade = exponential(negate(over(self._since(), tau)))
            parts.append(times(self._letters(decay.amplitude.plain * self._sign(key)), fade))
        return add(*parts)

    @property
    def roots(self) -> Said:
        """Of two rates that are the two roots of one quadratic, what can be said in letters: sum and product
        of the time constants; nothing where there are none, or the working stands in numbers."""
        rooted = [rate for rate in self.stage.rates if rate.factor] if self.stage.is_whole else []
        if self.here.in_numbers or len(rooted) != 2:
            return ()
        one, other = (rate.inverse() for rate in rooted)
        together, both = (one + other).plain, (one * other).plain
        first, second = Symbol(f"{TAU}1"), Symbol(f"{TAU}2")
        return (
            "a root stands in each of the two time constants, of which ",
            Equation(add(first, second), tidy(together)),
            " and ",
            Equation(times(first, second), tidy(both)),
            ". With numbers it can be written.",
        )

    def _taus(self, question: TimedQuestion) -> bool:
        """That there is not one time constant."""
        words = timed_value(self.stage, question).words
        if words:
            self.unsaid.append(
                (
                    Symbol("τ"),
                    f": {words}.",
                )
            )
        return bool(words)

    def leave(self, time: Fraction | None) -> None:
        """Tells what the storages hold when the stage ends."""
        for key in self.held.values() if time is not None else ():
            if self._value(key, When.AFTER) != self._value(key, When.END):
                question = TimedQuestion(_KINDS[key[0]], key[1], Moment.AT, time)
                self.answer(question)

    def _at(self, key: QuantityKey, question: TimedQuestion, at: Fraction) -> bool:
        """A value at a time."""
        if any(abs(one - at) <= abs(at) / 10**6 for one in self.here.at.get(key, ())):
            return True
        gone = at - (begun(self.stage) if self.stage.begins else 0)
        found = timed_value(self.stage, replace(question, at=gone)).number
        if found is None:
            return False
        time = _shortest(amount(at, "s", 6))
        name = Symbol(f"{self._word(key)}({_text(time)})")
        shown = amount(Fraction(found) * self._sign(key), UNIT_OF_SORT[key[0]], self.circuit.figures)
        form: Expr = shown
        if key[0] in (Sort.CURRENT, Sort.ACROSS, Sort.DIFFERENCE):
            self._course(key)
            if self._value(key, When.AFTER) != self._value(key, When.END):
                form = self._in_figures(key, time) or shown
        return self._tell(name, form, shown, Lacking.AT, "The time put into the course", None)

    def _time(self, question: TimedQuestion) -> bool:
        """When a quantity comes to a value."""
        of, wanted = question.of, question.at
        value = timed_value(self.stage, question)
        if of is None or wanted is None:
            return False
        if value.number is None:
            goal_said = _text(_shortest(amount(wanted, UNIT_OF_TIMED[of.kind], 6)))
            if value.words:
                self.unsaid.append((f"When {of.quantity} comes to {goal_said}: {value.words}.",))
            return bool(value.words)
        if any(abs(t - value.number) <= _NEAR * abs(value.number) for t in self.here.times):
            return True
        key: QuantityKey = (SORTS[of.kind], of.names)
        if not self._course(key):
            return False
        said = _text(_shortest(amount(wanted, UNIT_OF_TIMED[of.kind], 6)))
        why = f"The course of {of.quantity} set equal to {said} and solved for t"
        gone = Fraction(value.number) + (begun(self.stage) if self.stage.begins else 0)
        shown = amount(gone, "s", self.circuit.figures)
        if not self.single:
            return self._tell(_TIME, shown, shown, Lacking.TIME, why, None)
        start, end = (self._value(key, w) for w in (When.AFTER, When.END))
        goal = self.world.field.number(wanted * self._sign(key))
        parts = [self._amount(r, key[0]) for r in (start, end, goal)]
        if not end:
            inside = over(parts[0], parts[2])
        else:
            inside = over(add(parts[1], negate(parts[0])), add(parts[1], negate(parts[2])))
            if self._size(start) > self._size(end):
                inside = over(add(parts[0], negate(parts[1])), add(parts[2], negate(parts[1])))
        form = times(self._tau_name, applied("ln", inside))
        form = form if self.begins is None else add(self.begins, form)
        return self._tell(_TIME, form, shown, Lacking.TIME, why, None)

    # -- names and values ----------------------------------------------------------------------------

    def _word(self, key: QuantityKey) -> str:
        return name_shown(self.here.names[key][0])

    def _name(self, key: QuantityKey, when: When = When.UNSAID) -> Symbol:
        return Symbol(self._word(key) + _MARKS[when])

    @property
    def _tau_name(self) -> Symbol:
        """What the time constant is called: tau, tau2 in the second stage."""
        word = self._word(self.tau_key)
        bare = word.rstrip("0123456789") if self.several else word
        return Symbol(f"{bare}{self.at + 1}" if self.at else bare)

    def _sign(self, key: QuantityKey) -> int:
        return self.here.names[key][1].sign

    def _value(self, key: QuantityKey, when: When) -> Ratio:
        """A value before, just after or long after, counted as the working counts it."""
        quantity: TimedQuantity = self.here.names[key][1]
        found = self.world.exact(quantity, when)
        return found.plain if found.terms else self.world.field.zero

    def _size(self, value: Ratio) -> Fraction:
        return value.value(self.circuit.numbers)

    def _amount(self, value: Ratio, sort: Sort) -> Expr:
        return amount(self._size(value), UNIT_OF_SORT[sort], self.circuit.figures)

    def _number(self, value: Ratio, sort: Sort) -> Expr | None:
        return self._amount(value, sort) if self.here.in_numbers else None

    def _letters(self, value: Ratio) -> Expr:
        """A value in letters: what the storage holds at the start by its name."""
        form = tidy(value)
        for storage, key in self.held.items():
            held = self.circuit.start.get(storage)
            if isinstance(held, Symbol) and key in self.here.names:
                name: Expr = self._name(key, When.AFTER)
                form = put(form, {held.name: negate(name) if self._sign(key) < 0 else name})
        return form

    # -- telling -------------------------------------------------------------------------------------

    def _tell(
        self,
        name: Expr,
        form: Expr | None,
        shown: Expr | None,
        lacking: Lacking,
        why: str,
        key: tuple[QuantityKey, When] | None,
    ) -> bool:
        sides: list[Expr] = [name]
        for side in (form, shown):
            if side is not None and side not in sides and not (side == ZERO and shown is not None):
                sides.append(side)
        if len(sides) == 1:
            return False
        line = FinishedLine(
            self.here.last + 1 + len(self.lines),
            tuple(sides),
            (f"{why}.",),
            lacking,
            (f"{why}.",),
            Equation(name, sides[1]),
            spelled=self.here.spelled,
            decimal_comma=self.here.decimal_comma,
        )
        for shorter in (line, _with(line, [name, sides[-1]])):
            if shorter.as_text() not in self.barred:
                self.lines.append(shorter)
                if key is not None:
                    self.shown[key] = shorter.number
                return True
        return False


def _with(line: FinishedLine, sides: Sequence[Expr]) -> FinishedLine:
    return replace(line, sides=tuple(sides), equation=Equation(sides[0], sides[1]))


def _text(expr: Expr) -> str:
    return plain.render(expr)


def _shortest(value: Expr) -> Expr:
    if isinstance(value, Number) and "." in value.text:
        return Number(value.value, value.unit, value.text.rstrip("0").rstrip("."))
    return value
