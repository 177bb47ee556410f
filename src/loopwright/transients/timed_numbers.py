"""What is asked of a circuit in time, in numbers: exact where it is, rounded as floating point elsewhere.

Where switches move once, exact values are worked with the numbers put in at the start: another way than that
of a sheet, which puts them into closed forms.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.in_time import UNIT_OF_TIMED, TimedQuestion, timed_questions
from ..expressions.nodes import number as written_number
from ..expressions.nodes import put_in
from .stages import by_move, stages, value_in_stages
from .timed_values import TimedValue

_FIGURES = 12  # of a number that is not exact


@dataclass(frozen=True, slots=True)
class TimedNumber:
    """One answer. `question`: with its move; `asked`: the same as it was written; `value`: in the SI unit
    `unit`; None for a course in time and for what is told in words, such as that a value is never reached;
    `words`: those words."""

    question: TimedQuestion
    asked: str
    unit: str
    value: Fraction | None
    words: str = ""


def timed_numbers(circuit: Circuit) -> tuple[TimedNumber, ...]:
    """The answers to all questions of a circuit in time with its numbers, in order. Raises FaultyMaterial
    for a question that has no answer."""
    whole = stages(circuit)
    plain = stages(_in_plain_numbers(circuit)) if len(whole) == 1 and circuit.has_all_numbers else whole
    found: list[TimedNumber] = []
    for asked in timed_questions(circuit):
        parts = by_move(asked, len(whole))
        for question in parts:
            value = value_in_stages(whole, question)
            again = value_in_stages(plain, question) if value.exact is not None else value
            of_move = f" after move {question.move}" if len(parts) > 1 else ""
            name = f"{asked.written or asked.quantity}{of_move}"
            number = number_of(again, whole[-1].circuit)
            words = value.words if number is None else ""
            found.append(TimedNumber(question, name, UNIT_OF_TIMED[asked.kind], number, words))
    return tuple(found)


def _in_plain_numbers(circuit: Circuit) -> Circuit:
    """The circuit with its numbers in the place of its symbols, in what storages hold as well."""
    values = {name: written_number(value) for name, value in circuit.numbers.items()}
    plain = circuit.with_put_in(values)
    return replace(plain, start={name: put_in(held, values) for name, held in circuit.start.items()})


def number_of(found: TimedValue, circuit: Circuit) -> Fraction | None:
    """The number that an answer comes to with the circuit's numbers; None where it is no number."""
    if found.exact is not None:
        held = found.exact.held()
        known = all(name in circuit.numbers for name in held)
        return found.exact.value({name: circuit.numbers[name] for name in held}) if known else None
    return None if found.number is None else Fraction(f"{found.number:.{_FIGURES}g}")
