"""What the person expects of a circuit in time: `I1 -> 0 as t -> oo`, `V(C1) long after -> E as R2 -> oo`.

Reads the sentence; whether it is true is found out elsewhere. Knows no laws and no solution.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import FaultyMaterial
from ..expressions.nodes import Expr
from ..expressions.parse import Unreadable, expression
from ..expressions.values import symbols_of
from ..findings import Finding
from .circuit import Circuit
from .claims import End, claim_parts
from .in_time import Moment, TimedKind, TimedQuestion, timed_question
from .names import listed, nearest

TIME = "t"
_PLAIN = (TimedKind.CURRENT, TimedKind.DIFFERENCE, TimedKind.ACROSS, TimedKind.CHARGE)
_FORM = 'Write it as "I1 -> 0 as t -> oo" or "V(C1) long after -> E as R2 -> oo".'


@dataclass(frozen=True, slots=True)
class TimedExpectation:
    """One expectation: `left` tends to `right` (an expression in the circuit's symbols; None where it is to
    grow without bound) when `symbol` is taken to `to`; the time where it is `TIME`."""

    left: TimedQuestion
    right: Expr | None
    symbol: str
    to: End
    written: str


def timed_claim(text: str, circuit: Circuit) -> TimedExpectation:
    """Reads one expectation. Raises FaultyMaterial where it cannot be read or names nothing there is."""
    left, _, right, symbol, to, alone = claim_parts(text)
    question = timed_question(left, circuit)
    if alone:
        raise FaultyMaterial(_unread(text, "in time a symbol is taken to its limit, and whatever carries it"))
    if symbol != TIME and symbol not in circuit.symbols:
        near = nearest(symbol, (TIME, *circuit.symbols))
        mend = f"Did you mean {near}?" if near else f"Name one of {listed((TIME, *circuit.symbols), 'or')}."
        fault = f'"{text}" is expected, but this circuit has no {symbol} that could be taken to a limit.'
        raise FaultyMaterial(Finding("file/unknown-in-expectation", fault, mend, about=(symbol,)))
    bare = question.moment in (Moment.COURSE, Moment.LONG_AFTER)
    if symbol == TIME and not (bare and question.kind in _PLAIN):
        raise FaultyMaterial(_unread(text, "only a current, a voltage or a charge goes on in time"))
    if symbol != TIME and question.moment in (Moment.COURSE, Moment.AT):
        raise FaultyMaterial(_unread(text, "it names no moment: before, just after or long after"))
    told = None if right is None else _right(text, right, circuit)
    return TimedExpectation(question, told, symbol, to, text)


def _right(text: str, right: str, circuit: Circuit) -> Expr:
    try:
        found = expression(right, circuit.symbols)
    except Unreadable as error:
        raise FaultyMaterial(_unread(text, f'"{right}" cannot be read: {error.why}')) from error
    strange = [name for name in symbols_of(found) if name not in circuit.symbols]
    if strange:
        fault = f'"{text}" is expected, but no value in this circuit holds a symbol {strange[0]}.'
        mend = f"The symbols are {listed(circuit.symbols)}."
        raise FaultyMaterial(Finding("file/unknown-in-expectation", fault, mend, about=(strange[0],)))
    return found


def _unread(text: str, why: str) -> Finding:
    return Finding("file/unreadable-expectation", f'"{text}" is expected, but {why}.', _FORM)
