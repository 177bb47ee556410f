"""The tables of a problem file that tell of time: [switching], how switches move, and [start], what storages
hold before they do.

    [switching]                         [start]
    S1 = "open -> closed"               C1 = "4 V"        along the arrow of its branch
    S2 = "closed -> open at 20 ms"      counted from the first moves, which are made at 0
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from ..circuit.circuit import Circuit, natural
from ..circuit.elements import UNIT_HELD, Kind, SwitchMove
from ..circuit.names import listed, nearest, quantity_name
from ..expressions.nodes import ZERO, Expr, Symbol
from ..expressions.parse import Unreadable, expression
from ..quantities import UNITS, UnreadableQuantity, read_quantity
from .element_values import ElementValues
from .faults import Faults
from .key_lines import KeyPath
from .number_texts import is_number, read_number

_MOVE = re.compile(
    r"\s*(open|closed)\s*(?:->|→|,|to)\s*(open|closed)\s*(?:\bat\s+(?:t\s*=\s*)?(?P<at>\S.*?))?\s*",
    re.IGNORECASE,
)
_LETTERS = {Kind.CAPACITOR: "V", Kind.COIL: "I"}


def read_moves(table: Mapping[str, object], faults: Faults) -> tuple[SwitchMove, ...]:
    """Reads [switching]: every move of every switch, its time as it is written."""
    moves: list[SwitchMove] = []
    for key, content in table.items():
        for number, text in enumerate(content if isinstance(content, list) else [content]):
            path: KeyPath = ("switching", key, number) if isinstance(content, list) else ("switching", key)
            move = _move(key, text, path, faults)
            moves += [] if move is None else [move]
    return tuple(moves)


def _move(key: str, content: object, path: KeyPath, faults: Faults) -> SwitchMove | None:
    found = _MOVE.fullmatch(content) if isinstance(content, str) else None
    name = quantity_name(key) or key
    if found is None:
        fault = f"the move of the switch {key} cannot be read."
        mend = f'Write {key} = "open -> closed", {key} = "closed -> open at 20 ms", or a list of such moves.'
    elif found[1].lower() == found[2].lower():
        fault = f"the switch {key} is said to move from {found[1]} to {found[2]}, which is no move."
        mend = f"Say its state under [elements] if it stays {found[1]}."
    else:
        return SwitchMove(name, found[1].lower() == "closed", found[2].lower() == "closed", found["at"] or "")
    faults.add("time/unreadable-move", path, fault, mend, (name,))
    return None


def with_states(
    table: Mapping[str, object],
    switching: Mapping[str, object],
    moves: tuple[SwitchMove, ...],
    met: Mapping[str, str],
) -> Mapping[str, object]:
    """[elements] with every switch of [switching] in the state that it has afterwards, where none is said;
    one whose move cannot be read is taken as closed."""
    after = {quantity_name(key) or key: "closed" for key in switching}
    after |= {move.switch: "closed" if move.after else "open" for move in moves}
    said = {quantity_name(key) or key for key in table}
    return {**table, **{name: state for name, state in after.items() if name in met and name not in said}}


def check_moves(
    moves: tuple[SwitchMove, ...],
    values: ElementValues,
    tables: Mapping[str, Mapping[str, object]],
    faults: Faults,
) -> tuple[SwitchMove, ...]:
    """The moves of switches there are, each with the symbol of its time; what names none is told.

    A time in numbers stands in the circuit's numbers under a symbol of its own (`t1`, `t2`)."""
    switches = [name for name, element in values.elements.items() if element.kind is Kind.SWITCH]
    keys = {quantity_name(key) or key: key for key in tables["switching"]}
    kept: list[SwitchMove] = []
    for move in moves:
        path = ("switching", keys.get(move.switch, move.switch))
        if move.switch not in switches:
            near = nearest(move.switch, switches)
            known = f"The switches are {listed(switches)}." if switches else "Put the switch into a branch."
            faults.add(
                "time/no-switch",
                path,
                f"{move.switch} is said to move, but it is no switch of this circuit.",
                f"Did you mean {near}?" if near else known,
                (move.switch,),
            )
            continue
        kept.append(move)
    taken = {*values.met, *values.words, *(move.at for move in kept), *map(str, tables["numbers"])}
    own: dict[str, str] = {}  # the symbol of each time written
    for text in sorted(dict.fromkeys(move.at for move in kept if move.at), key=_seconds):
        switch = next(move.switch for move in kept if move.at == text)
        own[text] = _symbol_of_time(text, ("switching", keys[switch]), taken, values, faults)
    return tuple(replace(move, at=own.get(move.at, "")) for move in kept)


def _seconds(text: str) -> Fraction:
    """The seconds of a time in numbers, so that earlier ones get earlier symbols; 0 for what is none."""
    try:
        return read_quantity(text, (*UNITS, "s")).value
    except UnreadableQuantity:
        return Fraction(0)


def _symbol_of_time(text: str, path: KeyPath, taken: set[str], values: ElementValues, faults: Faults) -> str:
    """The symbol of a time as it is written; empty for the time 0 and for one that cannot be read."""
    if not is_number(text, "s", taken):
        name = quantity_name(text)
        if name is not None and name not in values.met and name not in values.words:
            return name
        faults.add(
            "time/unreadable-move",
            path,
            f'"{text}" is no time at which a switch could move.',
            'Write "at 20 ms", or a symbol that nothing else in the circuit has, such as "at t1".',
        )
        return ""
    reading = read_number(text, "s", "the time of the move", path, faults)
    if reading is None or not reading.value:
        return ""
    number = 1
    while f"t{number}" in taken:
        number += 1
    taken.add(f"t{number}")
    values.numbers[f"t{number}"] = reading
    return f"t{number}"


def in_order(circuit: Circuit, table: Mapping[str, object], faults: Faults) -> Circuit:
    """The circuit with its moves in the order of their times; moves that cannot follow one another are told.

    Times all without numbers come in the order of their names, t1 before t2."""
    times = list(dict.fromkeys(move.at for move in circuit.switching if move.at))
    known = [name for name in times if name in circuit.numbers]
    path: KeyPath = ("switching",)
    if len(times) > 1 and 0 < len(known) < len(times):
        fault = f"which of the moves at {listed(times)} comes first cannot be told."
        faults.add("time/order-open", path, fault, "Give a number to each of these times, or to none.")
    for name in known:
        if circuit.numbers[name] <= 0:
            fault = f"a switch is said to move at {circuit.written.get(name, name)}, before the first move."
            faults.add("time/order-open", path, fault, "Count times from the first move, which is made at 0.")
    if times and not circuit.start and all(move.at for move in circuit.switching):
        fault = f"no switch moves at the time 0; the first move is said to be made at {times[0]}."
        faults.add("time/order-open", path, fault, f'Leave "at {times[0]}" out: times count from there.')
    times.sort(key=lambda name: (circuit.numbers.get(name, 0), natural(name)))
    ordered = tuple(sorted(circuit.switching, key=lambda move: times.index(move.at) if move.at else -1))
    keys = {quantity_name(key) or key: key for key in table}
    elements = dict(circuit.elements)
    for switch, key in keys.items():
        own = [move for move in ordered if move.switch == switch]
        for one, other in pairwise(own):
            if one.after is not other.before or one.at == other.at:
                _not_in_a_row(switch, one, other, key, faults)
        if own and elements[switch].closed is not own[-1].after:
            faults.add(
                "time/state-twice",
                ("switching", key),
                f"{switch} moves under [switching], and [elements] says a state that it does not end in.",
                f"Take {switch} out of [elements].",
                (switch,),
            )
    return replace(circuit, switching=ordered)


def _not_in_a_row(switch: str, one: SwitchMove, other: SwitchMove, key: str, faults: Faults) -> None:
    state = "closed" if one.after else "open"
    fault = f"{switch} is {state} after its move at {one.at or 'the time 0'}; the next one begins otherwise."
    if one.at == other.at:
        fault = f"{switch} is said to move twice at {one.at or 'the time 0'}."
    mend = f'Say each move with its time, such as {switch} = ["open -> closed", "closed -> open at t1"].'
    faults.add("time/unreadable-move", ("switching", key), fault, mend, (switch,))


def read_start(
    table: Mapping[str, object], values: ElementValues, met: frozenset[str], faults: Faults
) -> Mapping[str, Expr]:
    """Reads [start]: by storage, its voltage or current just before a switch moves, along its branch.

    A number stands in the circuit's numbers under a symbol of its own (`VC1`, `IL1`); a zero is a zero.
    """
    start: dict[str, Expr] = {}
    for key, content in table.items():
        name, path = quantity_name(key) or key, ("start", key)
        element = values.elements.get(name)
        if element is None or element.kind not in UNIT_HELD:
            storages = [n for n, e in values.elements.items() if e.kind in UNIT_HELD]
            near = nearest(name, storages)
            faults.add(
                "time/no-storage",
                path,
                f"a start is given for {key}, which is no capacitor and no coil of this circuit.",
                f"Did you mean {near}?" if near else f"It has {listed(storages) or 'none'}.",
                (name,),
            )
            continue
        unit, told = UNIT_HELD[element.kind], f"the start of {name}"
        own = f"{_LETTERS[element.kind]}{name}"
        own = f"{own}start" if own in met or own in values.words else own
        if is_number(content, unit, values.taken_elsewhere(content)):
            reading = read_number(content, unit, told, path, faults)
            if reading is not None and reading.value:
                values.numbers[own] = reading
            start[name] = Symbol(own) if reading is not None and reading.value else ZERO
            continue
        try:
            start[name] = expression(str(content)[:200], met)
        except Unreadable as error:
            faults.add(
                "time/unreadable-start",
                path,
                f'the start "{content}" of {key} cannot be read: {error.why}.',
                f'Write a number such as "4 {unit}", or a symbol.',
                (name,),
            )
    return start
