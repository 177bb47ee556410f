"""The answers of a paper's problems in numbers, how far off each may be, and the tables that hold them."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.in_time import TimedKind, timed_questions
from ..circuit.timed_wishes import is_in_time
from ..expressions.nodes import Symbol
from ..expressions.said import Said, as_text
from ..items.item import decimal
from ..items.number_forms import tolerance_of
from ..quantities import rounded
from ..sheet.answers import UNIT, number_answers
from ..sheet.timed_words import asked_in_time
from ..solve.endless_ladder import endless_ladder
from ..solve.exact import solve
from ..transients.timed_numbers import TimedNumber, timed_numbers
from .plan import PaperPlan, StudentPaper

SEE_KEY = "see the key"


@dataclass(frozen=True, slots=True)
class PaperAnswer:
    """One answer. `asked`: as it is written on the paper; `value` in the SI unit `unit`, and how far off it
    may be; None for what is no number (an order, a curve, a form in symbols). `words`: what is to be said in
    place of a number, such as that a value is never reached."""

    asked: Said
    value: Fraction | None = None
    unit: str = ""
    tolerance: Fraction | None = None
    figures: int = 3
    words: str = ""

    @property
    def shown(self) -> str:
        """The number to the figures of the data; or what is said in its place, or where that is told."""
        if self.value is None:
            return self.words or SEE_KEY
        return rounded(self.value, self.unit, self.figures).text

    @property
    def within(self) -> str:
        """How far off it may be, with its unit."""
        return "" if self.tolerance is None else f"± {rounded(self.tolerance, self.unit, 2).text}"


def is_steady(circuit: Circuit) -> bool:
    """Whether all that is asked of it is asked of constant currents in one circuit."""
    return not is_in_time(circuit) and circuit.ladder is None


def paper_answers(circuit: Circuit) -> tuple[PaperAnswer, ...]:
    """The answers of a problem, in the order in which they are asked for."""
    other = (*circuit.sought, *circuit.ranked)
    more = tuple(PaperAnswer((text,)) for text in other)
    if is_in_time(circuit):
        return _in_time(circuit)
    if circuit.ladder is not None:
        return _of_ladder(circuit)
    if circuit.sought and not circuit.find:
        return more
    if not circuit.has_all_numbers:
        return (*(PaperAnswer((text,)) for text in circuit.find or circuit.currents), *more)
    found: list[PaperAnswer] = []
    for answer in number_answers(circuit, solve(circuit.in_numbers())):
        value, name = answer.number, answer.name
        unit = UNIT.get(answer.target.dimension, "")
        found.append(_answer((name,), value, unit, circuit))
    return (*found, *more)


def _in_time(circuit: Circuit) -> tuple[PaperAnswer, ...]:
    """The answers of a circuit in time: numbers where they are some, the key for what is a course in time."""
    if not circuit.has_all_numbers:
        return tuple(PaperAnswer(asked_in_time(question)) for question in timed_questions(circuit))
    found = timed_numbers(circuit)
    return tuple(
        replace(_answer(asked_in_time(each.question), each.value, each.unit, circuit), words=_instead(each))
        for each in found
    )


def _instead(found: TimedNumber) -> str:
    """What is said in place of a time that never comes."""
    return found.words if found.question.kind is TimedKind.WHEN else ""


def _of_ladder(circuit: Circuit) -> tuple[PaperAnswer, ...]:
    """The resistance at the beginning of a ladder without end."""
    found = endless_ladder(circuit)
    name = (Symbol(f"R({', '.join(found.ladder.start)})"),)
    value = found.resistance.value(circuit.numbers) if circuit.has_all_numbers else None
    return (_answer(name, value, "Ω", circuit),)


def _answer(asked: Said, value: Fraction | None, unit: str, circuit: Circuit) -> PaperAnswer:
    if value is None:
        return PaperAnswer(asked)
    size = value or _usual_size(circuit, unit)
    off = tolerance_of(size, circuit.figures, exists=bool(value)) if size else Fraction(0)
    return PaperAnswer(asked, value, unit, off, circuit.figures)


def _usual_size(circuit: Circuit, unit: str) -> Fraction:
    """What a quantity of a circuit is measured by where it is 0: the greatest of its kind among the data, or
    what the greatest emf and the least resistance, capacitance and inductance make of one another."""
    emf, ohms, farads, henries = (
        [abs(v) for name, v in circuit.numbers.items() if circuit.role(name) is kind and v]
        for kind in (Kind.BATTERY, Kind.RESISTOR, Kind.CAPACITOR, Kind.COIL)
    )
    volt, ohm = max(emf, default=Fraction(1)), min(ohms, default=Fraction(1))
    ampere = volt / ohm
    farad, henry = min(farads, default=Fraction(0)), min(henries, default=Fraction(0))
    second = ohm * farad or henry / ohm or Fraction(1)
    sizes = {"V": volt, "Ω": ohm, "A": ampere, "W": volt * ampere, "s": second}
    sizes |= {"C": ampere * second, "J": volt * ampere * second, "F": farad, "H": henry}
    return sizes.get(unit) or Fraction(1)


# -- tables ----------------------------------------------------------------------------------------


def answer_rows(plan: PaperPlan, paper: StudentPaper) -> list[list[str]]:
    """The rows of the table of answers for one paper."""
    rows: list[list[str]] = []
    for at, (circuit, points) in enumerate(zip(paper.circuits, plan.points, strict=True), 1):
        for answer in paper_answers(circuit):
            value = "" if answer.value is None else decimal(answer.value)
            off = "" if answer.tolerance is None else decimal(answer.tolerance)
            asked = as_text(answer.asked)
            rows.append([paper.code, str(at), str(points), asked, value, answer.unit, off, answer.shown])
    return rows


def answer_table(rows: Sequence[Sequence[str]]) -> str:
    """The table of answers (RFC 4180): a row for each number asked for on each paper."""
    head = ["paper", "problem", "points", "asked", "value", "unit", "tolerance", "shown"]
    return _as_csv([head, *rows])


def who_table(plan: PaperPlan) -> str:
    """Who has which paper: the only file in which a code and a student stand together, unless papers bear
    names."""
    named = any(paper.entry.name for paper in plan.papers)
    head = ["paper", "student", *(["name"] if named else [])]
    rows = [
        [paper.code, paper.entry.student, *([paper.entry.name] if named else [])] for paper in plan.papers
    ]
    return _as_csv([head, *rows])


def problem_table(plan: PaperPlan) -> str:
    """The problems of the set in their order, each by the name of its file: what a bank knows it by."""
    rows = [
        [str(at), Path(problem.place("branches").file).stem, problem.title, str(points)]
        for at, (problem, points) in enumerate(zip(plan.problems, plan.points, strict=True), 1)
    ]
    return _as_csv([["problem", "name", "title", "points"], *rows])


def _as_csv(rows: Sequence[Sequence[str]]) -> str:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue()
