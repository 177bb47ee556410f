"""What is asked of a circuit with storages: a quantity and a moment.

    I1 before    I1 just after    I1 long after    I1 at 3 ms    I1(t)
    tau    Q(C1) long after    U(C1) just after    heat(R2)    t when V(C1) = 9 V    C(a, b)

Times count from the first move. Where switches move again later, `I1 just after move 2`, `I1 long after
move 1` (as if nothing moved any more) and `tau after move 2` say which move is meant.

Knows no laws and no solution.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from ..errors import FaultyMaterial
from ..findings import Finding
from ..quantities import UNITS, UnreadableQuantity, read_quantity
from .circuit import Circuit
from .elements import STORAGES, Kind
from .names import listed, point_name, quantity_name
from .targets import unknown_target

TAU = "tau"
_MOMENT = re.compile(
    r"(?P<what>.+?)\s*(?:\b(?P<word>before|just after|long after|at (?P<at>.+))|(?P<course>\(t\)))\s*"
)
_OF_MOVE = re.compile(r"(?P<what>.+?)\s+move\s+(?P<move>\d{1,3})\s*")
_BARE_AFTER = re.compile(r"(?<!just)(?<!long)\s+after\s*$")
_WHEN = re.compile(r"\s*t\s+when\s+(?P<what>.+?)\s*=\s*(?P<value>.+?)\s*")
_CALL = re.compile(r"\s*(?P<letter>[VPQUCL]|heat)\s*\((?P<inside>[^()]+)\)\s*")
_FORMS = (
    "I1, V(C1), V(a, b), P(R1), Q(C1) or U(C1) with before, just after, long after, at 3 ms or (t); tau, "
    "heat(R1), C(a, b), or t when V(C1) = 9 V"
)


class Moment(StrEnum):
    """When a quantity is asked for."""

    BEFORE = "before"
    JUST_AFTER = "just after"
    LONG_AFTER = "long after"
    AT = "at"
    COURSE = "(t)"
    NONE = ""


class TimedKind(StrEnum):
    """The quantities that may be asked at a moment, and those that have none."""

    CURRENT = "current"
    DIFFERENCE = "potential difference"
    ACROSS = "voltage across"
    POWER = "power"
    CHARGE = "charge"
    ENERGY = "energy"
    HEAT = "heat"
    TIME_CONSTANT = "time constant"
    WHEN = "time"
    CAPACITANCE = "capacitance"
    INDUCTANCE = "inductance"


_OF_CALL = {
    "P": TimedKind.POWER,
    "Q": TimedKind.CHARGE,
    "U": TimedKind.ENERGY,
    "heat": TimedKind.HEAT,
    "C": TimedKind.CAPACITANCE,
    "L": TimedKind.INDUCTANCE,
}
UNIT_OF_TIMED = {
    TimedKind.CURRENT: "A",
    TimedKind.DIFFERENCE: "V",
    TimedKind.ACROSS: "V",
    TimedKind.POWER: "W",
    TimedKind.CHARGE: "C",
    TimedKind.ENERGY: "J",
    TimedKind.HEAT: "J",
    TimedKind.TIME_CONSTANT: "s",
    TimedKind.WHEN: "s",
    TimedKind.CAPACITANCE: "F",
    TimedKind.INDUCTANCE: "H",
}
_TIMELESS = (TimedKind.HEAT, TimedKind.TIME_CONSTANT, TimedKind.CAPACITANCE, TimedKind.INDUCTANCE)


@dataclass(frozen=True, slots=True)
class TimedQuestion:
    """One question. `names`: the current, the element, or the two points. `at`: the time in seconds of
    `Moment.AT`; for `TimedKind.WHEN` the value, in SI units, that the quantity `of` is to reach. `move`: the
    move that is meant where switches move more than once, 1 for the first; 0 where none is named."""

    kind: TimedKind
    names: tuple[str, ...]
    moment: Moment
    at: Fraction | None = None
    of: TimedQuestion | None = None
    written: str = ""
    move: int = 0

    @property
    def quantity(self) -> str:
        """The name of the quantity alone: `I1`, `V(C1)`, `V(a, b)`, `τ`."""
        letters = {TimedKind.CURRENT: "", TimedKind.TIME_CONSTANT: "τ", TimedKind.WHEN: "t"}
        letters |= {TimedKind.DIFFERENCE: "V", TimedKind.ACROSS: "V", **{k: n for n, k in _OF_CALL.items()}}
        letter, inside = letters[self.kind], ", ".join(self.names)
        if not self.names:
            return letter
        return f"{letter}({inside})" if letter else inside


def timed_questions(circuit: Circuit) -> tuple[TimedQuestion, ...]:
    """All that is asked of a circuit with storages, in order. Where nothing is: every current and the voltage
    of every capacitor, as functions of the time where switches move, else as they stay.

    Raises FaultyMaterial with all findings."""
    if not circuit.in_time:
        moment = Moment.COURSE if moves(circuit) else Moment.LONG_AFTER
        found = [TimedQuestion(TimedKind.CURRENT, (name,), moment) for name in circuit.currents]
        for name in circuit.storages:
            if circuit.elements[name].kind is Kind.CAPACITOR:
                found.append(TimedQuestion(TimedKind.ACROSS, (name,), moment))
        return tuple(found)
    asked: list[TimedQuestion] = []
    faults: list[Finding] = []
    for text in circuit.in_time:
        try:
            asked.append(timed_question(text, circuit))
        except FaultyMaterial as error:
            faults.extend(error.findings)
    if faults:
        raise FaultyMaterial(*faults)
    return tuple(dict.fromkeys(asked))


def times_of_moves(circuit: Circuit) -> tuple[str, ...]:
    """The symbols of the times at which switches move, in order; empty for the time 0, which comes first."""
    return tuple(dict.fromkeys(("", *(move.at for move in circuit.switching))))


def moves(circuit: Circuit) -> bool:
    """Whether anything can change: a switch moves, or a storage begins with what is said of it."""
    return bool(circuit.switching or circuit.start)


def changes(circuit: Circuit) -> bool:
    """Whether currents change in time: something moves, and a storage is there to feel it."""
    return bool(circuit.storages) and moves(circuit)


def timed_question(text: str, circuit: Circuit) -> TimedQuestion:
    """Reads one question. Raises FaultyMaterial where it cannot be read or names nothing there is."""
    if when := _WHEN.fullmatch(text):
        return _when(text, when, circuit)
    of_move = _OF_MOVE.fullmatch(text)
    move, said = 0, text
    if of_move:
        move, said = int(of_move["move"]), _BARE_AFTER.sub("", of_move["what"])
        if not 1 <= move <= len(times_of_moves(circuit)):
            raise FaultyMaterial(_unread(text, f"there is no move {move} in this circuit"))
    found = _MOMENT.fullmatch(said)
    what = found["what"] if found else said
    moment, at = Moment.NONE, None
    if found and found["course"]:
        moment = Moment.COURSE
    elif found and found["at"]:
        moment, at = Moment.AT, _amount(text, found["at"], "s")
    elif found:
        moment = Moment(found["word"])
    question = _quantity(text, what.strip(), circuit)
    if question.kind in _TIMELESS:
        if moment is not Moment.NONE or (move and question.kind is not TimedKind.TIME_CONSTANT):
            raise FaultyMaterial(_unread(text, f"{question.quantity} belongs to no moment"))
        return replace(question, move=move)
    if move and moment is Moment.AT:
        raise FaultyMaterial(_unread(text, "its time counts from the first move, whichever is named"))
    if moment is Moment.NONE:
        moment = Moment.COURSE if moves(circuit) else Moment.LONG_AFTER
    if moment in (Moment.BEFORE, Moment.JUST_AFTER) and not moves(circuit):
        fault = Finding(
            "time/no-move",
            f'"{text}" is asked, but no switch moves in this circuit.',
            'Say under [switching] how one does, such as S1 = "open -> closed", or ask without the moment.',
        )
        raise FaultyMaterial(fault)
    return TimedQuestion(question.kind, question.names, moment, at, written=text, move=move)


def _when(text: str, when: re.Match[str], circuit: Circuit) -> TimedQuestion:
    of = _quantity(text, when["what"], circuit)
    if of.kind in (*_TIMELESS, TimedKind.POWER, TimedKind.CHARGE, TimedKind.ENERGY):
        raise FaultyMaterial(
            _unread(text, f"a time is found for a current or a voltage, not for {of.quantity}")
        )
    value = _amount(text, when["value"], UNIT_OF_TIMED[of.kind])
    return TimedQuestion(TimedKind.WHEN, (), Moment.NONE, value, of, written=text)


def _quantity(text: str, what: str, circuit: Circuit) -> TimedQuestion:
    if what in (TAU, "τ"):
        return TimedQuestion(TimedKind.TIME_CONSTANT, (), Moment.NONE, written=text)
    call = _CALL.fullmatch(what)
    if call is None:
        name = quantity_name(what)
        if name is None:
            raise FaultyMaterial(_unread(text, "it cannot be read"))
        if name not in circuit.currents:
            raise FaultyMaterial(unknown_target(text, "current", name, circuit.currents))
        return TimedQuestion(TimedKind.CURRENT, (name,), Moment.NONE)
    letter, inside = call["letter"], [part.strip() for part in call["inside"].split(",")]
    pair = len(inside) == 2
    if (letter in ("C", "L") and not pair) or (letter in ("P", "Q", "U", "heat") and pair) or len(inside) > 2:
        raise FaultyMaterial(_unread(text, "the names in brackets are too many or too few"))
    if pair:
        return TimedQuestion(
            _OF_CALL.get(letter, TimedKind.DIFFERENCE), _points(text, inside, circuit), Moment.NONE
        )
    kind = _OF_CALL.get(letter, TimedKind.ACROSS)
    return TimedQuestion(kind, (_element(text, kind, inside[0], circuit),), Moment.NONE)


def _points(text: str, inside: list[str], circuit: Circuit) -> tuple[str, ...]:
    found = tuple(point_name(name) or name for name in inside)
    for name in found:
        if name not in circuit.named_points:
            raise FaultyMaterial(unknown_target(text, "point", name, circuit.named_points))
    if found[0] == found[1]:
        raise FaultyMaterial(_unread(text, f"both points are {found[0]}"))
    return found


def _element(text: str, kind: TimedKind, inside: str, circuit: Circuit) -> str:
    wanted: tuple[Kind, ...] = tuple(Kind)
    if kind is TimedKind.CHARGE:
        wanted = (Kind.CAPACITOR,)
    elif kind is TimedKind.ENERGY:
        wanted = STORAGES
    elif kind is TimedKind.HEAT:
        wanted = (Kind.RESISTOR,)
    elif kind is TimedKind.POWER:
        wanted = (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE)
    known = [name for name, element in circuit.elements.items() if element.kind in wanted]
    name = quantity_name(inside) or inside
    if name not in known:
        what = "element" if len(wanted) == len(Kind) else listed(map(str, wanted), "or")
        raise FaultyMaterial(unknown_target(text, what, name, tuple(known)))
    return name


def _amount(text: str, written: str, unit: str) -> Fraction:
    units = UNITS if unit in UNITS else (*UNITS, unit)
    try:
        found = read_quantity(written, units)
    except UnreadableQuantity as error:
        raise FaultyMaterial(_unread(text, f'"{written.strip()}" cannot be read: {error.why}')) from error
    if found.unit != unit:
        raise FaultyMaterial(_unread(text, f"{written.strip()} is not in {unit}"))
    return found.value


def _unread(text: str, why: str) -> Finding:
    return Finding("file/unreadable-target", f'"{text}" is asked, but {why}.', f"Write {_FORMS}.")
