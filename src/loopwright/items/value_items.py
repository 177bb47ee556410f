"""Items that ask for the value of a quantity: a choice among what slips lead to, and a number typed."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.targets import Asked, Target, targets
from ..expressions.said import Said
from .ground import QuizGround
from .item import AnswerOption, ForeseenNumber, ItemKind, QuizItem, TypedNumber, decimal
from .number_forms import CommonUnit, choose, common_unit, tolerance_of
from .slip_answers import SlipAnswer, SlipAnswers

UNITS = {Asked.CURRENT: "A", Asked.POTENTIAL: "V", Asked.POWER: "W"}
LETTERS = "ABCDEFGH"
CANDIDATES = 30  # wrong values from which those of a choice are taken
FORESEEN = 6  # wrong numbers of an item that are told apart


def asked_of(circuit: Circuit) -> tuple[Target, ...]:
    """The quantities that items ask for: what the problem asks, then its other currents."""
    wanted = [t for t in targets(circuit) if t.kind in UNITS]
    free = [Target(Asked.CURRENT, (name,)) for name in asked_currents(circuit)]
    return tuple(dict.fromkeys((*wanted, *free)))


def asked_currents(circuit: Circuit) -> tuple[str, ...]:
    """The currents that no element fixes, those that the problem asks for first."""
    asked = [t.names[0] for t in targets(circuit) if t.kind is Asked.CURRENT]
    return tuple(n for n in dict.fromkeys((*asked, *circuit.currents)) if circuit.fixed_current(n) is None)


def question(circuit: Circuit, asked: Target) -> Said:
    """What a quantity is, in words: `Ib, read along its arrow from bus to rail`."""
    match asked.kind:
        case Asked.CURRENT:
            branch = circuit.branch(asked.names[0])
            ways = "" if branch.start == branch.end else f" from {branch.start} to {branch.end}"
            return (asked.name, f", read along its arrow{ways}")
        case Asked.POTENTIAL:
            a, b = asked.names
            return (asked.name, f", the potential of {a} less that of {b}")
        case _:
            return (asked.name, f", the power that {asked.names[0]} turns into heat")


def _valued(ground: QuizGround) -> Iterator[tuple[Target, Fraction, CommonUnit]]:
    """What can be asked as a value: the quantity, its right value, and the unit that all options have."""
    circuit, answers = ground.circuit, ground.answers
    for asked in asked_of(circuit):
        right = answers.right(asked)
        if right is not None:
            size = right or _size(answers, asked)
            yield asked, right, common_unit(size, UNITS[asked.kind], circuit.figures)


def choices(ground: QuizGround) -> Iterator[QuizItem]:
    """A choice for each quantity that has wrong answers to stand beside the right one unremarked."""
    circuit, answers = ground.circuit, ground.answers
    for asked, right, unit in _valued(ground):
        wrong = _apart(answers, asked, right, unit)
        chosen = choose(unit.digits(right), [unit.digits(w.value) for w in wrong])
        if not chosen:
            continue
        options = [AnswerOption("", (unit.written(right),), _yes(asked, right, unit), True, value=right)]
        options += [
            AnswerOption("", (unit.written(w.value),), w.feedback, slips=w.slips, value=w.value)
            for w in (wrong[i] for i in chosen)
        ]
        yield QuizItem(
            "",
            ItemKind.CHOICE,
            f"Value of {asked.as_text()}",
            ("What is ", *question(circuit, asked), "?"),
            options=lettered(options, f"{ground.seed} choice {asked.as_text()}"),
            about=asked.as_text(),
        )


def lettered(options: Sequence[AnswerOption], seed: str) -> tuple[AnswerOption, ...]:
    """The options in an order drawn by the seed, named by letters."""
    mixed = list(options)
    random.Random(seed).shuffle(mixed)
    return tuple(replace(option, name=name) for name, option in zip(LETTERS, mixed, strict=False))


def _apart(answers: SlipAnswers, asked: Target, right: Fraction, unit: CommonUnit) -> list[SlipAnswer]:
    """Wrong values no two of which are near one another or look alike, those of a like size first."""
    found: list[SlipAnswer] = []
    shown = {unit.digits(right)}
    for one in _mixed(answers.wrong(asked), right):
        if len(found) == CANDIDATES:
            break
        if unit.digits(one.value) not in shown and not any(
            answers.near(one.value, other.value, asked) for other in found
        ):
            shown.add(unit.digits(one.value))
            found.append(one)
    return found


def _mixed(wrong: Sequence[SlipAnswer], right: Fraction) -> list[SlipAnswer]:
    """The wrong values with those of a like size and of the most usual slips first, kinds of slip mixed."""
    met: dict[str, int] = {}
    turns: list[tuple[bool, int, int, SlipAnswer]] = []
    for at, one in enumerate(wrong):
        again = met[one.slips[0]] = met.get(one.slips[0], -1) + 1
        turns.append((_out_of_size(one.value, right), one.usual + again, at, one))
    return [one for *_, one in sorted(turns, key=lambda turn: turn[:3])]


def _out_of_size(value: Fraction, right: Fraction) -> bool:
    """Whether a value is of quite another size than the right one, so that its look gives it away."""
    return not right or not abs(right) / 10 < abs(value) < 10 * abs(right)


def _size(answers: SlipAnswers, asked: Target) -> Fraction:
    """The size of a quantity that is zero, by that of its wrong values."""
    return max((abs(w.value) for w in answers.wrong(asked)), default=Fraction(1))


def _yes(asked: Target, right: Fraction, unit: CommonUnit) -> str:
    """What is said of the right value."""
    told = f"Yes: {asked.as_text()} = {unit.written(right)}."
    if asked.kind is Asked.CURRENT and right < 0:
        return f"{told} The minus sign says that the current runs against its arrow."
    return told


def numbers(ground: QuizGround) -> Iterator[QuizItem]:
    """A number to be typed for each quantity, with what is said of the numbers that slips lead to."""
    circuit, answers = ground.circuit, ground.answers
    for asked, right, unit in _valued(ground):
        typed = _typed(answers, asked, right, unit)
        off = f"{decimal(typed.tolerance)} {unit.symbol}"
        yield QuizItem(
            "",
            ItemKind.NUMBER,
            f"Number for {asked.as_text()}",
            (
                "Give ",
                *question(circuit, asked),
                f", in {unit.symbol} and with its sign.",
            ),
            number=typed,
            yes=_yes(asked, right, unit),
            otherwise=f"Not within {off} of the right value. Look at the signs of each equation again: "
            "every drop and every source by the sense of travel.",
            about=asked.as_text(),
        )


def _typed(answers: SlipAnswers, asked: Target, right: Fraction, unit: CommonUnit) -> TypedNumber:
    value = right / unit.scale
    tolerance = tolerance_of(value or _size(answers, asked) / unit.scale, unit.figures, exists=bool(value))
    wrong = [ForeseenNumber(w.value / unit.scale, w.feedback, w.slips) for w in answers.wrong(asked)]
    if asked.kind is not Asked.POWER:
        turned = next((w for w in wrong if w.value == -value), ForeseenNumber(-value, ""))
        wrong.insert(0, replace(turned, feedback=f"Right size, wrong sign. {turned.feedback}".strip()))
    kept: list[ForeseenNumber] = []
    for one in wrong:
        if len(kept) < FORESEEN and all(
            abs(one.value - other) > 2 * tolerance for other in (value, *(k.value for k in kept))
        ):
            kept.append(one)
    return TypedNumber(value, unit.symbol, unit.scale, tolerance, tuple(kept))
