"""The sheet of a circuit with capacitors and coils: before, just after, long after, and in between.

Nothing is published that failed a check, as for any other sheet.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from ..algebra.ratios import Ratio
from ..checks.ledger.ledger import Ledger
from ..checks.limits.expectations import ExpectationVerdict
from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_HELD, Kind
from ..circuit.in_time import UNIT_OF_TIMED, TimedKind, moves, timed_questions
from ..errors import BrokenPromise
from ..expressions.amounts import amount
from ..expressions.nodes import ZERO, Expr, Symbol, add, negate
from ..expressions.notation import split_name
from ..expressions.tidy import tidy
from ..figure.curve import WIDTH, CurvePart, CurveText, curve
from ..figure.describe import describe
from ..figure.drawing import Drawing
from ..figure.figure import draw, is_drawn
from ..findings import Finding, Severity
from ..quantities import rounded
from ..transients.course import Course
from ..transients.entries import examine_stages, prove_stages
from ..transients.stages import by_move, stages, value_in_stages
from ..transients.time_cautions import time_cautions
from ..transients.timed_expectations import judge_in_time
from ..transients.timed_values import TimedValue
from ..transients.transient import Transient, before, begun
from .document import Block, DisplayedLine, Document, Heading, Paragraph, Picture, Table, Text
from .editions import Page
from .sections import caution_blocks, check_blocks, expectation_blocks, ledger_blocks, story_blocks
from .sheets import Sheet, Tell, finished, not_confirmed, silent
from .stage_blocks import StageBlocks, pictures
from .timed_words import asked_in_time, held_name, question_blocks, start_block, what_moves

_AMOUNTS = (TimedKind.CHARGE, TimedKind.ENERGY, TimedKind.HEAT)
_KEPT = {
    (Kind.CAPACITOR,): "A capacitor keeps its voltage while a switch moves",
    (Kind.COIL,): "A coil keeps its current while a switch moves",
    (Kind.CAPACITOR, Kind.COIL): "A capacitor keeps its voltage while a switch moves, a coil its current",
}


@dataclass(frozen=True, slots=True)
class TimeCurve:
    """A quantity drawn against the time. `first` and `last`: its values just after the first move and long
    after the last, rounded; `tau`: where its first tangent meets the end, empty where none is drawn. `words`
    tell it all."""

    quantity: str
    first: str
    last: str
    tau: str
    drawing: Drawing
    words: str


@dataclass(frozen=True)
class StorageSheet(Sheet):
    """A worked circuit with storages: every result as a value, and the document written from them."""

    circuit: Circuit
    stages: tuple[Transient, ...]
    values: tuple[TimedValue, ...]
    ledger: Ledger
    page: Page

    @property
    def stage(self) -> Transient:
        """The stage that the first move begins."""
        return self.stages[0]

    @cached_property
    def document(self) -> Document:
        """The sheet as the one document that all outputs are written from."""
        circuit = self.circuit
        found = {(c.code, c.about): c for stage in self.stages for c in time_cautions(stage)}
        blocks = (
            *story_blocks(circuit),
            *question_blocks(circuit),
            *self._figure(),
            *self.given_blocks(),
            *self.ends_blocks(),
            *(block for part in self.parts for block in self._stage_blocks(part)),
            *self._curves(),
            *self.result_blocks(),
            *expectation_blocks(self.verdicts),
            *caution_blocks(tuple(found.values())),
            *(ledger_blocks if self.page.has("ledger") else check_blocks)(self.ledger),
        )
        return finished(circuit, blocks, self.page)

    @cached_property
    def parts(self) -> tuple[StageBlocks, ...]:
        """The stages, each as its blocks."""
        return tuple(
            StageBlocks(stage, self.page, self.drawn, "′" * k, k == len(self.stages) - 1)
            for k, stage in enumerate(self.stages)
        )

    def _stage_blocks(self, part: StageBlocks) -> tuple[Block, ...]:
        """What is said of one stage; of a later one from what it begins with."""
        values = [value for value in self.values if self.stage_of(value) is part.stage]
        return (
            *self.carried(part),
            *part.redrawn(),
            *part.time_constants(),
            *part.loop_rule(),
            *part.in_between(values),
        )

    def carried(self, part: StageBlocks) -> tuple[Block, ...]:
        """The head of one stage among several, and what a later one begins with: what the one before leaves
        at that time."""
        stage = part.stage
        head = Heading(f"After move {self.stages.index(stage) + 1}")
        if not stage.begins:
            return () if part.is_last else (head,)
        earlier = self.parts[self.stages.index(stage) - 1]
        number = self._time_of(stage)
        moved = what_moves(stage.circuit.switching)
        when: Text = (Symbol(stage.begins), *((" = ", number) if number is not None else ()))
        lines: list[Block] = [head]
        words: Text = (
            "At ",
            *when,
            " ",
            *moved,
            ". What is stored then is what the next stage begins with.",
        )
        lines.append(Paragraph(words))
        time = Symbol(stage.begins)
        span = add(time, negate(Symbol(earlier.stage.begins))) if earlier.stage.begins else time
        for own, name in stage.carried.items():
            course, unit = earlier.stage.stored(name), UNIT_HELD[self.circuit.elements[name].kind]
            sides: list[Expr] = [Symbol(own)]
            if course.first is None and not any(d.rate.factor for d in course.decays):
                sides.append(earlier.course_form(course, span))
            shown = part.number(stage.held[name], unit)
            sides += [] if shown is None else [shown]
            what = f"V({name})" if unit == "V" else self.circuit.branch_of(name).name
            reason: Text = (Symbol(what), " at ", time, ".")
            lines.append(DisplayedLine(tuple(sides), reason=reason))
        return tuple(lines)

    def _time_of(self, stage: Transient) -> Expr | None:
        numbers, figures = self.circuit.numbers, self.circuit.figures
        return amount(numbers[stage.begins], "s", figures) if stage.begins in numbers else None

    @cached_property
    def verdicts(self) -> tuple[ExpectationVerdict, ...]:
        """What the person expects, judged."""
        return judge_in_time(self.stages, self.circuit)

    @property
    def unmet(self) -> tuple[ExpectationVerdict, ...]:
        """The person's expectations that turned out wrong, or could not be decided."""
        return not_confirmed(self.verdicts)

    @property
    def notes(self) -> tuple[Finding, ...]:
        """What of the file such a sheet leaves out of account."""
        if not self.circuit.given:
            return ()
        return (
            Finding(
                "time/left-out",
                "A circuit with storages is worked in time; given results are left out of account there.",
                "Ask for the value long after, and compare.",
                self.circuit.place("given"),
                severity=Severity.NOTE,
            ),
        )

    # -- the circuit -------------------------------------------------------------------------------

    @cached_property
    def drawn(self) -> Circuit:
        """The circuit as it is drawn: its switches as they stand before they move."""
        return replace(before(self.circuit), switching=self.circuit.switching)

    def _figure(self) -> tuple[Block, ...]:
        if not is_drawn(self.drawn):
            return (Paragraph(("The figure is left out: too many branches, or too many that cross.",)),)
        drawing = draw(self.drawn, resistors=self.page.resistors)
        return (Picture(drawing, describe(self.drawn), as_is=moves(self.circuit)),)

    def given_blocks(self) -> tuple[Block, ...]:
        """What the storages hold at the start, where the file says so, and the numbers."""
        items: list[Text] = []
        for name in self.circuit.start:
            shown = self.parts[0].form_or_number(self.stage.held[name], self._unit_held(name))
            form = tidy(self.stage.held[name])
            symbol: Text = (form, " = ") if form not in (shown, ZERO) else ()
            items.append((Symbol(self.held_name(name)), " = ", *symbol, shown))
        return start_block(items)

    def held_name(self, storage: str) -> str:
        """The name of what a storage holds: `V(C1)`, the current of a coil."""
        return held_name(self.circuit, storage)

    def _unit_held(self, storage: str) -> str:
        """The unit of what a storage holds: the voltage of a capacitor, the current of a coil."""
        return UNIT_HELD[self.circuit.elements[storage].kind]

    # -- the ends ----------------------------------------------------------------------------------

    def ends_blocks(self) -> tuple[Block, ...]:
        """The table of values before and just after each move, and long after the last."""
        moving = moves(self.circuit)
        rows: list[tuple[Text, ...]] = []
        jumps = False
        for name in self.quantities():
            unit = "V" if name.startswith("V(") else "A"
            row: list[Text] = [(Symbol(name),)]
            for part in self.parts:
                was, now = value_before(part.stage, name), course_called(part.stage, name).just_after
                jumped = was is not None and was != now
                jumps = jumps or jumped
                row.append(("not decided",) if was is None else (part.form_or_number(was, unit),))
                row.append((part.form_or_number(now, unit), *((" *",) if jumped else ())))
            last = course_called(self.stages[-1], name).long_after
            row.append(
                ("grows without limit",) if last is None else (self.parts[-1].form_or_number(last, unit),)
            )
            rows.append(tuple(row) if moving else (row[0], row[-1]))
        one = len(self.stages) == 1
        head: list[Text] = [("Quantity",)]
        for k in range(1, len(self.stages) + 1):
            head += [("before" if one else f"before move {k}",), ("just after",)]
        head.append(("long after",))
        if not moving:
            head = [("Quantity",), ("when all is steady",)]
        title = "Before, just after, long after" if moving else "When all is steady"
        told: list[Block] = [Heading(title)]
        passed = [block for part in self.parts for block in part.in_no_time()]
        if moving:
            kinds = {self.circuit.elements[name].kind for name in self.circuit.storages}
            kept = _KEPT[tuple(kind for kind in (Kind.CAPACITOR, Kind.COIL) if kind in kinds)]
            kept += ", unless nothing limits what passes" if passed else ""
            told.append(Paragraph((f"{kept}{'; asterisks mark jumps' if jumps else ''}.",)))
        told += [Table("", tuple(head), tuple(rows)), *passed]
        return tuple(told)

    def quantities(self) -> list[str]:
        """Every current and every voltage of a capacitor."""
        circuit = self.circuit
        capacitors = [n for n in circuit.storages if circuit.elements[n].kind is Kind.CAPACITOR]
        return [*circuit.currents, *(f"V({name})" for name in capacitors)]

    # -- the curves --------------------------------------------------------------------------------

    def _curves(self) -> tuple[Block, ...]:
        """What is asked as a function of the time, against the time, over all stages. Where nothing in
        particular is asked a solution draws what is stored: the rest runs with it."""
        named = None
        if not self.circuit.in_time and not self.page.has("ledger"):
            named = {self.held_name(name) for name in self.circuit.storages}
        drawn = self.curves(named=named)
        return pictures([c.drawing for c in drawn], [("", c.words) for c in drawn])

    def curves(self, width: float = WIDTH, named: Collection[str] | None = None) -> tuple[TimeCurve, ...]:
        """What is asked as a function of the time, drawn so many mm wide, or what is `named` of it;
        none where a symbol has no number."""
        circuit = self.circuit
        if not all(stage.circuit.has_all_numbers for stage in self.stages):
            return ()
        asked: dict[str, list[TimedValue]] = {}
        for value in self.values:
            if value.course is not None and (named is None or value.question.quantity in named):
                asked.setdefault(value.question.quantity, []).append(value)
        drawn: list[TimeCurve] = []
        for quantity, parts in asked.items():
            courses = [value.course for value in parts if value.course is not None]
            if courses[-1].slope or all(course.stays for course in courses):
                continue
            unit = UNIT_OF_TIMED[parts[0].question.kind]
            starts = [begun(self.stage_of(value)) for value in parts]
            runs = [self.part_of(value).run_of(value) for value in parts]
            first, last = (
                rounded(r.value(self.stage_of(v).circuit.numbers), unit, circuit.figures).text
                for r, v in ((courses[0].just_after, parts[0]), (courses[-1].end, parts[-1]))
            )
            slowest = max((1 / float(swing.rate) for swing in runs[-1].swings), default=0.0)
            only = runs[0].swings[0] if len(runs[0].swings) == 1 and len(runs) == 1 else None
            tangent = only is not None and not only.turning and not only.power
            told = rounded(Fraction(slowest), "s", circuit.figures).text
            base, sub = _letters(quantity)
            text = CurveText(base, sub, first, last, f" = {told}")
            stretches = tuple(
                CurvePart(run.near, float(start), self.stage_of(value).begins, run.turning)
                for run, start, value in zip(runs, starts, parts, strict=True)
            )
            drawing = curve(stretches, slowest, text, tangent=tangent, width=width)
            words = f"{quantity} against time: {first} just after, {last} long after"
            words += f"; the first tangent meets the end at τ = {told}." if tangent else "."
            drawn.append(TimeCurve(quantity, first, last, told if tangent else "", drawing, words))
        return tuple(drawn)

    def stage_of(self, value: TimedValue) -> Transient:
        """The stage that an answer speaks of."""
        return self.stages[max(value.question.move, 1) - 1]

    def part_of(self, value: TimedValue) -> StageBlocks:
        """The blocks of that stage."""
        return self.parts[max(value.question.move, 1) - 1]

    # -- results -----------------------------------------------------------------------------------

    def result_blocks(self) -> tuple[Block, ...]:
        """What is asked besides functions of the time and what was told above, in symbols and in numbers."""
        rows: list[tuple[Text, Text, Text]] = []
        for value in self.values:
            question, part = value.question, self.part_of(value)
            told_above = question.kind is TimedKind.TIME_CONSTANT and value.exact is not None
            if told_above or (value.course is not None and not value.course.stays):
                continue
            found, unit = value.exact, UNIT_OF_TIMED[question.kind]
            if value.course is not None:
                found = value.course.end
            form: Text = () if found is None or found.constant() is not None else (tidy(found),)
            form = form if value.form is None else (value.form,)
            number = None if found is None else part.number(found, unit)
            if value.number is not None:
                number = amount(Fraction(value.number), unit, self.circuit.figures)
            shown: Text = () if number is None else (number,)
            beside: Text = (", " if shown else "", value.words) if value.words else ()
            rows.append((asked_in_time(question), form, (*shown, *beside)))
        if not rows:
            return ()
        titles = ("Quantity", "In symbols", "In numbers")
        kept = [k for k in range(3) if any(row[k] for row in rows)]
        head: list[Text] = [(titles[k],) for k in kept]
        told = tuple(tuple(row[k] or ("–",) for k in kept) for row in rows)
        return (Heading("Results"), Table("", tuple(head), told))


def course_called(stage: Transient, quantity: str) -> Course:
    """The course of a current or of the voltage of a capacitor, by its name."""
    return stage.across(quantity[2:-1]) if quantity.startswith("V(") else stage.currents[quantity]


def value_before(stage: Transient, quantity: str) -> Ratio | None:
    """Its value just before the stage begins; None where nothing decides it."""
    if quantity.startswith("V("):
        return stage.held[quantity[2:-1]]
    return None if stage.before is None else stage.before.currents[quantity]


def _letters(quantity: str) -> tuple[str, str]:
    if "(" in quantity:
        return quantity[0], quantity[2:-1].replace(", ", "")
    base, sub, primes = split_name(quantity)
    return base, sub + "′" * primes


def storage_sheet(circuit: Circuit, page: Page, tell: Tell = silent) -> StorageSheet:
    """Works a circuit with storages. Raises FaultyMaterial where it has no answer, BrokenPromise when a check
    of ours fails."""
    tell("before and after")
    found = stages(circuit)
    tell("in between")
    asked = [q for question in timed_questions(circuit) for q in by_move(question, len(found))]
    values = tuple(value_in_stages(found, question) for question in asked)
    tell("ledger")
    if page.has("ledger"):
        ledger = examine_stages(found)
    else:
        amounts = any(value.question.kind in _AMOUNTS for value in values)
        ledger = prove_stages(found, amounts=amounts)
    if ledger.failed:
        raise BrokenPromise("; ".join(f"{e.title}: {e.result}" for e in ledger.failed))
    return StorageSheet(circuit, found, values, ledger, page)
