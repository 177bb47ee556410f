"""A question about a circuit in time, as it is printed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind, SwitchMove
from ..circuit.in_time import UNIT_OF_TIMED, Moment, TimedKind, TimedQuestion, timed_questions, times_of_moves
from ..expressions.amounts import amount
from ..expressions.nodes import Expr, Negative, Number, Symbol
from ..expressions.said import in_a_row
from .document import Block, Paragraph, Text


def asked_in_time(question: TimedQuestion) -> Text:
    """A question as it is printed."""
    name = Symbol(question.quantity)
    if question.kind is TimedKind.WHEN and question.of is not None and question.at is not None:
        value = amount(question.at, UNIT_OF_TIMED[question.of.kind], 6)
        return (Symbol("t"), " when ", Symbol(question.of.quantity), " = ", _shortest(value))
    if question.moment is Moment.COURSE:
        return (Symbol(f"{question.quantity}(t)"), *after_move(question))
    if question.kind is TimedKind.TIME_CONSTANT:
        return (name, *after_move(question))
    return (name, *moment_words(question))


def held_name(circuit: Circuit, storage: str) -> str:
    """The name of what a storage holds: `V(C1)`, the current of a coil."""
    if circuit.elements[storage].kind is Kind.CAPACITOR:
        return f"V({storage})"
    return circuit.branch_of(storage).name


def start_block(held: Sequence[Text]) -> tuple[Block, ...]:
    """The paragraph that tells what storages hold at the start; nothing where nothing is said of it."""
    if not held:
        return ()
    return (Paragraph(("At the start: ", *in_a_row(held), ", along the arrow of its branch.")),)


def _shortest(value: Expr) -> Expr:
    body = value.body if isinstance(value, Negative) else value
    if isinstance(body, Number) and "." in body.text:
        body = replace(body, text=body.text.rstrip("0").rstrip("."))
    return Negative(body) if isinstance(value, Negative) else body


def moment_words(question: TimedQuestion) -> Text:
    """The moment at which a quantity is asked, after its name; nothing where it has none."""
    if question.moment is Moment.AT and question.at is not None:
        return (" at ", _shortest(amount(question.at, "s", 6)))
    if question.moment is Moment.NONE:
        return ()
    return (f" {question.moment} move {question.move}" if question.move else f" {question.moment}",)


def after_move(question: TimedQuestion) -> Text:
    """After which move, where one is named."""
    return (f" after move {question.move}",) if question.move else ()


def what_moves(made: Iterable[SwitchMove]) -> Text:
    """Which switches close and which open."""
    return in_a_row([(Symbol(m.switch), " closes" if m.after else " opens") for m in made])


def question_blocks(circuit: Circuit) -> tuple[Block, ...]:
    """What is to be found; where switches move again later, which move is which."""
    items = [asked_in_time(question) for question in timed_questions(circuit)]
    asked: tuple[Block, ...] = (Paragraph(("To find: ", *in_a_row(items), ".")),)
    times = times_of_moves(circuit)
    if len(times) == 1:
        return asked
    told: list[Text] = []
    for number, time in enumerate(times, 1):
        made = [m for m in circuit.switching if m.at == time]
        when: Text = (Symbol("t"), " = 0") if not time else (Symbol(time),)
        if time in circuit.numbers:
            when = (Symbol(time), " = ", amount(circuit.numbers[time], "s", circuit.figures))
        what: Text = what_moves(made) if made else ("what was stored is left to itself",)
        told.append((f"{'m' if told else 'M'}ove {number} at ", *when, " (", *what, ")"))
    words: Text = (*in_a_row(told), "; times count from move 1.")
    return (*asked, Paragraph(words))
