"""What wishes for versions speak of in a circuit in time: quantities with their moments.

    I1 just after    V(C1) long after    Q(C1) long after move 2    tau    heat(R1)    C(a, b)

Only what has one exact value; a value at a time of your own, a time at which something is reached and what
later moves begin with are powers and logarithms of e, and are compared with an amount by themselves:

    V(C1) at 50 ms >= 3 V    t when V(C1) = 9 V < 40 ms    I2 just after move 2 > 1 mA

Knows no laws and no solution.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from ..errors import FaultyMaterial
from ..expressions.dimensions import OF_UNIT, PLAIN, Dimension
from ..expressions.nodes import Expr, Symbol
from ..findings import Finding
from ..quantities import STORED, UNITS, UnreadableQuantity, read_quantity
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


_COMPARED = re.compile(r"(?P<what>.+?)\s*(?P<relation><=|>=|<|>|≤|≥)\s*(?P<value>[^<>=≤≥]+)")
_PLAIN = {"≤": "<=", "≥": ">="}


@dataclass(frozen=True, slots=True)
class ComparedInTime:
    """A quantity that no fraction gives, compared with an amount (SI units). `relation`: `<`, `<=`, `>` or
    `>=`."""

    text: str
    question: TimedQuestion
    relation: str
    amount: Fraction

    def holds_of(self, value: Fraction) -> bool:
        """Whether it holds of a value."""
        least, most = (self.amount, value) if ">" in self.relation else (value, self.amount)
        return least < most or ("=" in self.relation and least == most)


def compared_in_time(text: str, circuit: Circuit) -> ComparedInTime | None:
    """A wish that compares such a quantity; None where it is none of these. Raises FaultyMaterial where its
    quantity or its amount cannot be read."""
    found = _COMPARED.fullmatch(text)
    if found is None or not is_in_time(circuit):
        return None
    try:
        question = timed_question(found["what"], circuit)
    except FaultyMaterial:
        if found["what"].startswith("t when "):
            raise
        return None  # a sum of quantities, or something else to compare
    later = question.move > 1 and question.moment in (Moment.BEFORE, Moment.JUST_AFTER)
    if not later and question.moment is not Moment.AT and question.kind is not TimedKind.WHEN:
        return None
    unit = UNIT_OF_TIMED[question.kind]
    try:
        amount = read_quantity(found["value"], (*UNITS, *STORED))
    except UnreadableQuantity as trouble:
        message = f'"{text}" is wished for, but "{found["value"]}" cannot be read: {trouble.why}.'
        mend = f"Compare {question.written} with an amount in {unit}."
        raise FaultyMaterial(Finding("versions/unreadable-wish", message, mend)) from None
    if amount.unit != unit:
        message = f'"{text}" is wished for, but {found["value"]} is not in {unit}.'
        raise FaultyMaterial(Finding("versions/unreadable-wish", message, f"Write an amount in {unit}."))
    relation = _PLAIN.get(found["relation"], found["relation"])
    return ComparedInTime(text, question, relation, amount.value)


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
