"""What wishes for versions speak of in a circuit in time: quantities with their moments.

    I1 just after    V(C1) long after    Q(C1) long after move 2    tau    heat(R1)    C(a, b)

Only what has one exact value: no course in time, no value at a time of your own, no time at which something
is reached, for these are powers and logarithms of e. Knows no laws and no solution.
"""

from __future__ import annotations

import re

from ..errors import FaultyMaterial
from ..expressions.dimensions import OF_UNIT, PLAIN, Dimension
from ..expressions.nodes import Expr, Symbol
from ..findings import Finding
from .circuit import Circuit
from .in_time import (
    TAU,
    UNIT_OF_TIMED,
    Moment,
    TimedKind,
    TimedQuestion,
    moves,
    timed_question,
    timed_questions,
)

_QUANTITY = re.compile(
    r"(?P<what>(?:[VPQUCL]|heat)\s*\([^()]*\)|[^\W\d]\w*[′']*)"
    r"(?P<when>(?:\s+(?:before|just\s+after|long\s+after))?(?:\s+(?:after\s+)?move\s+\d{1,3})?)"
)


def is_in_time(circuit: Circuit) -> bool:
    """Whether there are capacitors, coils or switches that move."""
    return bool(circuit.storages or circuit.switching)


def named_apart(side: str, circuit: Circuit) -> tuple[str, dict[str, Expr]]:
    """One side of a wish with a short name of its own for every quantity, and what each stands for: a symbol
    whose name is the question. Raises FaultyMaterial for a quantity without one exact value."""
    meant: dict[str, Expr] = {}
    taken = {*circuit.symbols, *circuit.currents, *circuit.elements}

    def short(found: re.Match[str]) -> str:
        what = found["what"]
        if "(" not in what and what not in (*circuit.currents, TAU, "τ"):
            return found[0]
        text = _as_text(exact_question(" ".join(found[0].split()), circuit))
        name = next(f"q{n}" for n in range(1, 1000) if f"q{n}" not in taken)
        taken.add(name)
        meant[name] = Symbol(text)
        return f" {name} "

    return _QUANTITY.sub(short, side), meant


def exact_question(text: str, circuit: Circuit) -> TimedQuestion:
    """The question that a quantity of a wish is. Raises FaultyMaterial where it has no one exact value."""
    question = timed_question(text, circuit)
    if not _is_exact(question):
        message = f'"{text}" is wished for, but it has no one exact value.'
        mend = f"Say when: {question.quantity} just after, or {question.quantity} long after."
        raise FaultyMaterial(Finding("versions/unreadable-wish", message, mend))
    return question


def _is_exact(question: TimedQuestion) -> bool:
    return question.moment not in (Moment.COURSE, Moment.AT) and question.kind is not TimedKind.WHEN


def exact_answers(circuit: Circuit) -> tuple[Expr, ...]:
    """What is asked of the circuit and has one exact value."""
    return tuple(Symbol(_as_text(q)) for q in timed_questions(circuit) if _is_exact(q))


def _as_text(question: TimedQuestion) -> str:
    if question.moment is Moment.NONE:
        return f"{question.quantity} after move {question.move}" if question.move else question.quantity
    moved = f" move {question.move}" if question.move else ""
    return f"{question.quantity} {question.moment}{moved}"


def currents_at(name: str, circuit: Circuit) -> tuple[Symbol, ...]:
    """A current just after the move and long after it; where nothing moves, as it stays."""
    moments = (Moment.JUST_AFTER, Moment.LONG_AFTER) if moves(circuit) else (Moment.LONG_AFTER,)
    return tuple(Symbol(f"{name} {moment}") for moment in moments)


def powers_at(name: str, circuit: Circuit) -> tuple[Symbol, ...]:
    """The power that a resistor takes just after the move and long after it."""
    return currents_at(f"P({name})", circuit)


def dimension_at(name: str, circuit: Circuit) -> Dimension | None:
    """The dimension of a quantity of a wish; None for the name of a value, which is of its own."""
    if name in circuit.symbols or name in circuit.elements:
        return None
    return OF_UNIT.get(UNIT_OF_TIMED[timed_question(name, circuit).kind], PLAIN)


def asked_times(circuit: Circuit) -> tuple[TimedQuestion, ...]:
    """The questions for a time at which a quantity has a value."""
    return tuple(q for q in timed_questions(circuit) if q.kind is TimedKind.WHEN)
