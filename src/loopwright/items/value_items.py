"""Items that ask for the value of a quantity: a choice among what slips lead to, and a number typed."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from .asked_value import AskedValue
from .ground import QuizGround
from .item import AnswerOption, ForeseenNumber, ItemKind, QuizItem, TypedNumber, decimal
from .number_forms import choose, tolerance_of
from .slip_answers import SlipAnswer, kinds_mixed

LETTERS = "ABCDEFGH"
CANDIDATES = 30  # wrong values from which those of a choice are taken
FORESEEN = 6  # wrong numbers of an item that are told apart


def choices(ground: QuizGround) -> Iterator[QuizItem]:
    """A choice for each quantity that has wrong answers to stand beside the right one unremarked."""
    for asked in ground.values:
        unit, right = asked.unit, asked.right
        wrong = _apart(asked)
        chosen = choose(unit.digits(right), [unit.digits(w.value) for w in wrong])
        if not chosen:
            continue
        options = [AnswerOption("", (unit.written(right),), _yes(asked), True, value=right)]
        options += [
            AnswerOption("", (unit.written(w.value),), w.feedback, slips=w.slips, value=w.value)
            for w in (wrong[i] for i in chosen)
        ]
        yield QuizItem(
            "",
            ItemKind.CHOICE,
            f"Value of {asked.name}",
            ("What is ", *asked.question, "?"),
            options=lettered(options, f"{ground.seed} choice {asked.name}"),
            about=asked.name,
        )


def lettered(options: Sequence[AnswerOption], seed: str) -> tuple[AnswerOption, ...]:
    """The options in an order drawn by the seed, named by letters."""
    mixed = list(options)
    random.Random(seed).shuffle(mixed)
    return tuple(replace(option, name=name) for name, option in zip(LETTERS, mixed, strict=False))


def _apart(asked: AskedValue) -> list[SlipAnswer]:
    """Wrong values no two of which are near one another or look alike, those of a like size first."""
    found: list[SlipAnswer] = []
    unit = asked.unit
    shown = {unit.digits(asked.right)}
    for one in kinds_mixed(asked.wrong, last=lambda one: _out_of_size(one.value, asked.right)):
        if len(found) == CANDIDATES:
            break
        if unit.digits(one.value) not in shown and not any(
            asked.near(one.value, other.value) for other in found
        ):
            shown.add(unit.digits(one.value))
            found.append(one)
    return found


def _out_of_size(value: Fraction, right: Fraction) -> bool:
    """Whether a value is of quite another size than the right one, so that its look gives it away."""
    return not right or not abs(right) / 10 < abs(value) < 10 * abs(right)


def _yes(asked: AskedValue) -> str:
    """What is said of the right value."""
    told = f"Yes: {asked.name} = {asked.unit.written(asked.right)}."
    if asked.runs and asked.right < 0:
        return f"{told} The minus sign says that the current runs against its arrow."
    return told


def numbers(ground: QuizGround) -> Iterator[QuizItem]:
    """A number to be typed for each quantity, with what is said of the numbers that slips lead to."""
    for asked in ground.values:
        typed = _typed(asked)
        unit = asked.unit.symbol
        yield QuizItem(
            "",
            ItemKind.NUMBER,
            f"Number for {asked.name}",
            ("Give ", *asked.question, f", in {unit}{' and with its sign' if asked.turns else ''}."),
            number=typed,
            yes=_yes(asked),
            otherwise=f"Not within {decimal(typed.tolerance)} {unit} of the right value. {asked.hint}",
            about=asked.name,
        )


def _typed(asked: AskedValue) -> TypedNumber:
    unit = asked.unit
    value = asked.right / unit.scale
    tolerance = tolerance_of(asked.size / unit.scale, unit.figures, exists=bool(value))
    wrong = [ForeseenNumber(w.value / unit.scale, w.feedback, w.slips) for w in asked.wrong]
    if asked.turns:
        turned = next((w for w in wrong if w.value == -value), ForeseenNumber(-value, ""))
        wrong.insert(0, replace(turned, feedback=f"Right size, wrong sign. {turned.feedback}".strip()))
    kept: list[ForeseenNumber] = []
    for one in wrong:
        if len(kept) < FORESEEN and all(
            abs(one.value - other) > 2 * tolerance for other in (value, *(k.value for k in kept))
        ):
            kept.append(one)
    return TypedNumber(value, unit.symbol, unit.scale, tolerance, tuple(kept))
