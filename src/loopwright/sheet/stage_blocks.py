"""One stage of a circuit in time on a sheet: redrawn, its time constants, and every quantity in between."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from ..algebra.ratios import Ratio
from ..algebra.surds import Surd, root
from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_HELD, Kind
from ..circuit.in_time import UNIT_OF_TIMED, moves
from ..circuit.names import listed
from ..expressions.amounts import amount
from ..expressions.nodes import (
    ONE,
    Expr,
    Negative,
    Number,
    Symbol,
    add,
    applied,
    exponential,
    negate,
    over,
    times,
)
from ..expressions.said import as_text, in_a_row
from ..expressions.surd_form import surd_form
from ..expressions.tidy import parallel_form, tidy
from ..figure.drawing import Drawing
from ..figure.figure import draw, is_drawn
from ..figure.side_by_side import WIDEST, side_by_side
from ..transients.course import Course, Decay
from ..transients.in_no_time import in_no_time
from ..transients.loop_rule import RateLine, loop_rule_lines
from ..transients.number_course import NumberCourse, Swing
from ..transients.redrawn import just_after, long_after
from ..transients.timed_values import TimedValue, course_of
from ..transients.transient import Transient
from .document import Block, DisplayedLine, Heading, Paragraph, Picture, Text
from .editions import Page

_TIME = Symbol("t")
_FAR_MORE = 9  # figures beyond those shown: how many more is nobody's concern
_ROW = 164.0  # mm: figures in a row are printed as large as they are
_TURN = 6.283185307179586  # radians


@dataclass(frozen=True)
class StageBlocks:
    """The blocks of one stage. `drawn`: the circuit that its figures are drawn like; `primes`: marks by which
    its time constants differ from those of the stages before. `is_last`: whether no later move ends it. Where
    there are several stages, each has one head and these blocks have none."""

    stage: Transient
    page: Page
    drawn: Circuit
    primes: str = ""
    is_last: bool = True

    @property
    def circuit(self) -> Circuit:
        """The circuit of the stage."""
        return self.stage.circuit

    @cached_property
    def since(self) -> Expr:
        """The time since the stage began."""
        return add(_TIME, negate(Symbol(self.stage.begins))) if self.stage.begins else _TIME

    def _head(self, words: str) -> tuple[Block, ...]:
        """A head, where this stage is the only one."""
        return () if self.stage.begins or not self.is_last else (Heading(words),)

    # -- redrawn -----------------------------------------------------------------------------------

    def redrawn(self) -> tuple[Block, ...]:
        """The circuit just after and long after, redrawn; of a stage that a move ends, as if none did, and in
        a solution in words."""
        stage = self.stage
        if not moves(self.circuit) or all(c.stays for c in stage.currents.values()):
            return ()
        last = "Long after" if self.is_last else "Long after, if nothing else moved"
        pairs = (
            (just_after(self.circuit, stage.held), stage.start, "Just after", self.stands),
            (long_after(self.circuit), stage.end, last, self.ends_as),
        )
        words: list[Text] = []
        drawings: list[Drawing] = []
        described: list[tuple[str, str]] = []
        for redrawn, solved, when, stands in pairs:
            if solved is None:
                continue
            told: Text = (*in_a_row(_together([stands(name) for name in self.circuit.storages])), ".")
            words.append((f"{when}: ", *told))
            if is_drawn(self.drawn) and (self.is_last or self.page.has("ledger")):
                drawings.append(draw(self.as_drawn(redrawn), resistors=self.page.resistors, like=self.drawn))
                described.append((when, f"The circuit as above; {as_text(told)}{self._switches}"))
        if not words:
            return ()
        in_words = Paragraph(in_a_row(words, last=" "))
        return (*self._head("The circuit redrawn"), in_words, *pictures(drawings, described))

    @property
    def _switches(self) -> str:
        """How the switches stand in the stage, in a sentence of its own."""
        held = [e for e in self.circuit.elements.values() if e.kind is Kind.SWITCH]
        stand = listed(f"{e.name} is {'closed' if e.closed else 'open'}" for e in held)
        return f" {stand}." if held else ""

    def as_drawn(self, redrawn: Circuit) -> Circuit:
        """A redrawn circuit for its figure: plain wires where storages stand for them, and sources that stand
        for storages with their numbers, where there are any."""
        elements = dict(redrawn.elements)
        wires: set[str] = set()
        for name in self.circuit.storages:
            number = self.number(self.stage.held[name], UNIT_HELD[self.circuit.elements[name].kind])
            if elements[name].kind is Kind.AMMETER:
                wires.add(name)
            elif elements[name].has_sign and number is not None:
                elements[name] = replace(elements[name], value=number)
        branches = tuple(
            replace(b, along=tuple(i for i in b.along if isinstance(i, str) or i.element not in wires))
            if any(p.element in wires for p in b.passes)
            else b
            for b in redrawn.branches
        )
        return replace(redrawn, elements=elements, branches=branches)

    def stands(self, name: str) -> Text:
        """As what a storage stands in the circuit redrawn for just after."""
        capacitor = self.circuit.elements[name].kind is Kind.CAPACITOR
        held = self.stage.held[name]
        if not held:
            return (Symbol(name), " stands as a wire, for it is empty" if capacitor else " stands as a gap")
        value = self.form_or_number(held, UNIT_HELD[self.circuit.elements[name].kind])
        return (Symbol(name), " stands as a source of ", value)

    def ends_as(self, name: str) -> Text:
        """What a storage is long after."""
        internal = self.circuit.elements[name].internal
        if internal is not None:
            return (Symbol(name), " is only its own resistance ", internal)
        capacitor = self.circuit.elements[name].kind is Kind.CAPACITOR
        return (Symbol(name), " is a gap" if capacitor else " is a wire")

    # -- what passes in no time ------------------------------------------------------------------

    def in_no_time(self) -> tuple[Block, ...]:
        """What passes at the move itself where nothing limits it, what it loses, and the circuit with a
        resistance in the way."""
        found = in_no_time(self.stage)
        if found is None:
            return ()
        have = "has" if len(found.charges) == 1 else "have"
        charges = [
            (self.form_or_number(charge, "C"), f" along {name}") for name, charge in found.charges.items()
        ]
        words: Text = (
            f"At t = {self.stage.begins or '0'} itself {listed(found.charges)} {have} no value: a charge "
            "passes in no time, because no resistance stands in its way. The table has the value behind it. "
            "What passes is ",
            *in_a_row(charges),
            ".",
        )
        lost: Text = ("What is lost then does not hang on how little resistance the wires have:",)
        sides = tuple(
            s for s in (Symbol("Ulost"), tidy(found.lost), self.number(found.lost, "J")) if s is not None
        )
        blocks: list[Block] = [Paragraph(words)]
        if not found.lost:
            return tuple(blocks)
        blocks += [Paragraph(lost), DisplayedLine(tuple(dict.fromkeys(sides)))]
        if found.honest is not None:
            way: Text = (
                "The honest circuit has a resistance ",
                Symbol(found.honest.name),
                f" in the branch of {found.honest.branch}: the same charge passes, the same energy is heat "
                "in it whatever it is, and only the time hangs on it:",
            )
            blocks += [Paragraph(way), DisplayedLine((Symbol("τ"), tidy(found.honest.time_constant)))]
        return tuple(blocks)

    # -- the time constants ------------------------------------------------------------------------

    def time_constants(self) -> tuple[Block, ...]:
        """The time constant with the resistance seen, or those there are."""
        stage, circuit = self.stage, self.circuit
        rates = stage.rates
        if not stage.is_whole:
            return (*self._head("Time constants"), *self._in_numbers_alone())
        if not rates:
            return ()
        if len(rates) > 1 or not self.single:
            return (*self._head("Time constants"), *self._several())
        rate, name = rates[0].plain, self.single
        tau = circuit.field.one / rate
        seen = stage.seen[name]
        blocks = [*self._head("Time constant")]
        seconds = self.number(tau, "s")
        value = circuit.elements[name].value
        capacitor = circuit.elements[name].kind is Kind.CAPACITOR
        how: Expr | None = None
        if seen is not None:
            resistances = tuple(s for s in circuit.symbols if circuit.role(s) is Kind.RESISTOR)
            resistance = parallel_form(seen, resistances) or tidy(seen)
            if not self.stage.begins:  # of a later stage it has no line of its own: Rseen is another then
                storage = Symbol(name)
                words = ("What ", storage, " sees, with every source at rest and ", storage, " out.")
                sides = (Symbol("Rseen"), resistance, tidy(seen), self.number(seen, "Ω"))
                shown = tuple(dict.fromkeys(s for s in sides if s is not None))
                blocks.append(DisplayedLine(shown, reason=words))
                resistance = Symbol("Rseen")
            how = times(value, resistance) if capacitor else over(value, resistance)
        line = (Symbol(self.tau_of(rates[0])), how, tidy(tau), seconds)
        told = tuple(dict.fromkeys(s for s in line if s is not None))
        return (*blocks, DisplayedLine(told, result=True))

    @property
    def single(self) -> str:
        """The one storage, where there is only one."""
        return self.circuit.storages[0] if len(self.circuit.storages) == 1 else ""

    def _several(self) -> tuple[Block, ...]:
        blocks: list[Block] = []
        rates = self.stage.rates
        rooted = [r for r in rates if r.factor]
        lead = "The storages feel one another: the rates are the two roots of one quadratic."
        if len(rates) == 1:
            lead = "The storages share one time constant."
        elif not rooted:
            lead = "The storages do not feel one another: each has a time constant of its own."
        if self._powers:
            lead = "Two rates are equal: beside the exponential stands the time times the exponential."
        if len(self.circuit.storages) > 1:
            blocks.append(Paragraph((lead,)))
        for rate in rates:
            if self._swings(rate):
                continue
            sides = [Symbol(self.tau_of(rate)), surd_form(rate.inverse()), self._seconds(rate)]
            blocks.append(DisplayedLine(tuple(s for s in sides if s is not None), result=not rate.factor))
        return (*blocks, *self._condition(rooted), *self._ringing())

    def _condition(self, rooted: list[Surd]) -> tuple[Block, ...]:
        """When two rates that share a root are not real: the condition in symbols, where it can be met."""
        under = rooted[0].under if rooted else self.circuit.field.zero
        signs = under.signs()
        kinds = {self.circuit.elements[name].kind for name in self.circuit.storages}
        if not rooted or under.constant() is not None or signs == {True} or len(kinds) == 1:
            return ()
        return (
            Paragraph(
                ("It rings, its currents swinging about their ends, where what stands under the root is",)
            ),
            DisplayedLine((tidy(under), Number(Fraction(0))), relation="<"),
        )

    def _in_numbers_alone(self) -> tuple[Block, ...]:
        """The rates of a stage that have no form in symbols, in numbers with their error."""
        several = f"{listed(self.circuit.storages)} depend on one another through more than two rates"
        if not self.circuit.has_all_numbers:
            words = f"{several}: in symbols only the values just after and long after are told."
            return (Paragraph((words,)),)
        figures = (
            max(1, len(str(int(1 / self.stage.in_numbers.error))) - 1) if self.stage.in_numbers.error else 0
        )
        more = figures > self.circuit.figures + _FAR_MORE
        exact = f"right to {'far more figures than are shown' if more else f'{figures} figures'}"
        exact = exact if figures else "exact"
        words = (
            f"{several}: the ends are told in symbols, what lies between in numbers. The rates are {exact}."
        )
        inner = replace(self, stage=self.stage.in_numbers)
        shown = [
            DisplayedLine((Symbol(self.tau_of(rate)), seconds), relation="≈" if figures else "=")
            for rate in inner.stage.rates
            if not inner._swings(rate) and (seconds := inner._seconds(rate)) is not None
        ]
        return (Paragraph((words,)), *shown, *inner._ringing())

    def _swings(self, rate: Surd) -> bool:
        """Whether a rate is not real for the circuit's numbers."""
        numbers = self.stage.circuit.numbers
        known = all(name in numbers for name in rate.under.held())
        return bool(rate.factor) and known and rate.under.value(numbers) < 0

    def _ringing(self) -> tuple[Block, ...]:
        """Each pair of rates that are not real: for how long it swings, and how quickly it fades."""
        numbers, found = self.stage.circuit.numbers, list[Block]()
        for rate in self.stage.rates:
            if not self._swings(rate) or rate.factor.value(numbers) < 0:
                continue
            turning = rate.factor.value(numbers) * root(-rate.under.value(numbers))
            slow = self._amount(1 / rate.plain.value(numbers), "s")
            swing = self._amount(1 / turning, "s")
            period = self._amount(Fraction(_TURN) / turning, "s")
            words: Text = (
                "With these numbers the circuit rings: its currents swing about their ends with the period "
                "2π × ",
                swing,
                " = ",
                period,
                ", and the swings fade with the time constant ",
                slow,
                ". A greater resistance in series with the coil, or a smaller one across it, makes it settle "
                "without swinging.",
            )
            found.append(Paragraph(words))
        return tuple(found)

    def tau_of(self, rate: Surd) -> str:
        """The letter of the time constant of a rate."""
        rates = self.stage.rates if rate in self.stage.rates else self.stage.in_numbers.rates
        return f"τ{self.primes}" if len(rates) == 1 else f"τ{rates.index(rate) + 1}{self.primes}"

    def _seconds(self, rate: Surd) -> Expr | None:
        numbers = self.stage.circuit.numbers
        if any(name not in numbers for name in self.stage.circuit.symbols):
            return None
        return self._amount(1 / rate.value(numbers), "s")

    # -- from the loop rule ------------------------------------------------------------------------

    def loop_rule(self) -> tuple[Block, ...]:
        """From the loop rule to the function of time, line by line; of the first stage alone."""
        lines = loop_rule_lines(self.stage) if self.single and not self.stage.begins else ()
        if not lines:
            return ()
        shown = [
            DisplayedLine(line.sides, number, _with_uses(line), result=number == len(lines))
            for number, line in enumerate(lines, 1)
        ]
        return (Heading("From the loop rule"), *shown)

    # -- in between --------------------------------------------------------------------------------

    def in_between(self, values: Iterable[TimedValue]) -> tuple[Block, ...]:
        """What is asked as a function of the time, in symbols and in numbers."""
        asked = [v for v in values if v.course is not None and not v.course.stays]
        if not asked:
            return ()
        blocks = [*self._head("In between")]
        one_tau = len(self.stage.rates) == 1 and not self._powers and not self.stage.begins
        if one_tau and (len(asked) > 1 or not self.single):  # of one quantity the loop rule has just said it
            words: Text = (
                "Each is its end, plus start less end times the exponential, all with the same ",
                Symbol(f"τ{self.primes}"),
                ".",
            )
            blocks.append(Paragraph(words))
        for value in asked:
            if value.course is None:
                continue
            name = Symbol(f"{value.question.quantity}(t)")
            unit = UNIT_OF_TIMED[value.question.kind]
            sides: list[Expr] = [name]
            if value.course.first is None and not any(d.rate.factor for d in value.course.decays):
                sides.append(self.course_form(value.course))
            if self.circuit.has_all_numbers:
                number = self._course_number(self.run_of(value), unit)
                sides += [number] if number not in sides else []
            if len(sides) > 1:
                blocks.append(DisplayedLine(tuple(sides), result=True))
            elif value.words:
                blocks.append(Paragraph((name, f" {value.words}.")))
        return tuple(blocks)

    def run_of(self, value: TimedValue) -> NumberCourse:
        """A function of the time in the circuit's numbers."""
        return self.stage.run(lambda stage: course_of(stage, value.question))

    @property
    def _powers(self) -> bool:
        """Whether equal rates bring a factor of the time with them."""
        return any(d.power for c in self.stage.currents.values() for d in c.decays)

    def course_form(self, course: Course, since: Expr | None = None) -> Expr:
        """End, growth and exponentials in tidy forms; E (1 − e^…) where it rises from nothing. `since`: the
        time since the stage began, t where none is given."""
        at = self.since if since is None else since
        plain = len(course.decays) == 1 and not course.slope
        if plain and course.decays[0].amplitude.plain == -course.end:
            return times(tidy(course.end), add(ONE, Negative(self._decay(course.decays[0], at))))
        parts = [tidy(course.end)]
        if course.slope:
            parts.append(times(tidy(course.slope), at))
        for d in course.decays:
            powers = (at,) * d.power
            parts.append(times(tidy(d.amplitude.plain), *powers, self._decay(d, at)))
        return add(*parts)

    def _decay(self, decay: Decay, since: Expr) -> Expr:
        return exponential(negate(over(since, Symbol(self.tau_of(decay.rate)))))

    def _course_number(self, run: NumberCourse, unit: str) -> Expr:
        only = run.swings[0] if len(run.swings) == 1 and not run.slope else None
        if only is not None and only.cosine == -run.end and not only.turning and not only.power:
            return times(self._amount(run.end, unit), add(ONE, Negative(self._fading(only))))
        parts = [self._amount(run.end, unit)] if run.end or not run.swings else []
        second = amount(Fraction(1), "s", 1)
        if run.slope:
            parts.append(times(self._amount(run.slope, unit), over(self.since, second)))
        for swing in run.swings:
            powers = (over(self.since, second),) * swing.power
            if not swing.turning:
                parts.append(times(self._amount(swing.cosine, unit), *powers, self._fading(swing)))
                continue
            angle = over(self.since, self._amount(1 / swing.turning, "s"))
            both = [(a, f) for a, f in ((swing.cosine, "cos"), (swing.sine, "sin")) if a]
            falls = all(a < 0 for a, _ in both)
            sizes = [self._amount(-a if falls else a, unit) for a, _ in both]
            waves = [applied(f, angle) for _, f in both]
            if len(both) == 1:
                whole = times(sizes[0], *powers, self._fading(swing), waves[0])
            else:
                turned = add(*(times(size, wave) for size, wave in zip(sizes, waves, strict=True)))
                whole = times(*powers, self._fading(swing), turned)
            parts.append(negate(whole) if falls else whole)
        return add(*parts)

    def _fading(self, swing: Swing) -> Expr:
        return exponential(negate(over(self.since, self._amount(1 / swing.rate, "s"))))

    # -- values ------------------------------------------------------------------------------------

    def _amount(self, value: Fraction, unit: str) -> Expr:
        found = self._amounts.get((value, unit))
        if found is None:
            found = self._amounts[value, unit] = amount(value, unit, self.circuit.figures)
        return found

    @cached_property
    def _amounts(self) -> dict[tuple[Fraction, str], Expr]:
        return {}  # what is written already: an end, a rate stand in many places

    def number(self, value: Ratio, unit: str) -> Expr | None:
        """A value with its unit, where all its symbols have numbers."""
        try:
            return self._amount(value.value(self.circuit.numbers), unit)
        except KeyError:
            return None

    def form_or_number(self, value: Ratio, unit: str) -> Expr:
        """A value with its unit, or its form where a symbol in it has no number."""
        return self.number(value, unit) or tidy(value)


_OF_SEVERAL = {
    " stands as a wire, for it is empty": " stand as wires, for they are empty",
    " stands as a gap": " stand as gaps",
    " is a gap": " are gaps",
    " is a wire": " are wires",
}


def _together(told: Sequence[Text]) -> list[Text]:
    """What is said of storages, in one where the same is said of several."""
    found: list[Text] = []
    for words, of_several in _OF_SEVERAL.items():
        alike = [(text[0],) for text in told if text[1:] == (words,)]
        if len(alike) > 1:
            found.append((*in_a_row(alike), of_several))
            told = [text for text in told if text[1:] != (words,)]
    return [*found, *told]


def pictures(drawings: Sequence[Drawing], described: Sequence[tuple[str, str]]) -> tuple[Block, ...]:
    """Drawings in rows of two where these find room on a page, else one below the other; each with its name
    and its words."""
    blocks: list[Block] = []
    left = list(zip(drawings, described, strict=True))
    while left:
        two = len(left) > 1 and left[0][0].width + left[1][0].width <= WIDEST
        row, left = (left[:2], left[2:]) if two else (left[:1], left[1:])
        words = "\n".join(f"{name}. {text}" if name else text for _, (name, text) in row)
        drawing = side_by_side([one for one, _ in row], [name for _, (name, _) in row], least=_ROW)
        blocks.append(Picture(drawing, words))
    return tuple(blocks)


def _with_uses(line: RateLine) -> Text:
    used = listed(f"({n})" for n in line.uses)
    return (*line.reason, f" From {used}.") if used else line.reason
