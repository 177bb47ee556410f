"""What a working of a circuit in time has shown so far, and what it calls things."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ..circuit.elements import Kind
from ..circuit.in_time import TimedKind, TimedQuestion, timed_questions, times_of_moves
from ..expressions.nodes import Expr, Symbol, numbers_in
from ..expressions.said import Said
from ..reading.in_time.timed_names import TIMELESS, Sort, TimedQuantity, When
from ..reading.in_time.timed_page import TimedLine, TimedWorking, names_in, timed_working
from ..reading.in_time.times_asked import A_TIME
from ..reading.reading import Reading
from ..reading.verdicts import Verdict

QuantityKey = tuple[Sort, tuple[str, ...]]
_MOMENT = re.compile(r"(?<=.)\s*\(\s*(?:t|t\s*=.*|[-+]?\s*0.*|\+?\s*(?:oo|∞|inf\w*)|[\d.]+.*|τ.*|tau.*)\)$")


@dataclass(frozen=True, slots=True)
class ShownInTime:
    """`rows`: the lines that count, each in its place; `last`: the number of the last; `names`: by quantity
    what it is called and how it is counted; `shown`: for each stage what has its result, by quantity and
    moment, with its line; `at`: the same for values at a time in seconds; `times`: sizes of the times told,
    in seconds; `in_numbers`: whether the rest is in numbers; `stage`: that of the last line; `spelled`: names
    as the working writes them, by how they are shown."""

    rows: tuple[str, ...]
    last: int
    names: Mapping[QuantityKey, tuple[str, TimedQuantity]]
    shown: Sequence[Mapping[tuple[QuantityKey, When], int]]
    at: Mapping[QuantityKey, tuple[Fraction, ...]]
    times: tuple[float, ...]
    in_numbers: bool
    stage: int
    spelled: tuple[tuple[str, str], ...]
    decimal_comma: bool


def shown_in_time(reading: Reading, left_out: Mapping[int, Said]) -> ShownInTime:
    """What the true lines of a reading come to."""
    circuit = reading.circuit
    last = max((line.number for line in reading.working.lines), default=0)
    rows = [""] * last
    for line in reading.working.lines:
        if line.number not in left_out:
            rows[line.number - 1] = " ".join(line.text.splitlines())
    comma = reading.working.decimal_comma
    page = timed_working("\n".join(rows), circuit, decimal_comma=comma)
    verdicts = [v for v in reading.verdicts if v.line not in left_out]
    names, stage_of, count = (
        _names(reading, rows, page),
        _stages(reading, verdicts),
        len(times_of_moves(circuit)),
    )
    numbers = [n for v in verdicts for n in numbers_in(v.claim.written) if n.unit or "." in n.text]
    return ShownInTime(
        tuple(rows),
        last,
        names,
        [_shown(reading, page, [v for v in verdicts if stage_of[v.line] == k]) for k in range(count)],
        _at(reading, verdicts),
        _times(reading, verdicts),
        circuit.has_all_numbers and bool(numbers or not verdicts),
        stage_of.get(verdicts[-1].line, 0) if verdicts else 0,
        tuple((shown, word) for word, shown in sorted(_spelled(names).items())),
        comma,
    )


def _stages(reading: Reading, verdicts: Sequence[Verdict]) -> dict[int, int]:
    """The stage that each line speaks of: as its results say, else that of the line above."""
    said = {line: question.move - 1 for (line, _), question in reading.in_time.items() if question.move}
    found: dict[int, int] = {}
    now = 0
    for verdict in verdicts:
        now = found[verdict.line] = said.get(verdict.line, now)
    return found


def _spelled(names: Mapping[QuantityKey, tuple[str, TimedQuantity]]) -> dict[str, str]:
    """How the names that hold more than letters and digits are shown, by how they are written."""
    return {word: shown for word, _ in names.values() if (shown := name_shown(word)) != word}


def name_shown(word: str) -> str:
    """A name as it is shown: without the signs of an index."""
    return re.sub(r"[_{}]", "", word)


def _names(
    reading: Reading, rows: Sequence[str], page: TimedWorking
) -> dict[QuantityKey, tuple[str, TimedQuantity]]:
    """What the working calls each quantity; what it does not name is called as in the problem."""
    circuit = reading.circuit
    own = [f"V({name})" for name in circuit.elements if circuit.elements[name].kind.value]
    asked = [q.of or q for q in timed_questions(circuit) if q.kind is not TimedKind.TIME_CONSTANT]
    words = [q.quantity for q in asked if q.kind is not TimedKind.WHEN]
    probes = [*words, *circuit.currents, *own, *(f"U({n})" for n in circuit.storages), "tau", "R_seen"]
    more = timed_working(
        "\n".join([*rows, *(f"{probe} = 1" for probe in probes)]),
        circuit,
        decimal_comma=reading.working.decimal_comma,
    )
    found: dict[QuantityKey, tuple[str, TimedQuantity]] = {}
    for table in (page.names, more.names):
        for name in table.values():
            if len(name.meant) == 1 and not name.meant[0].slope:
                quantity = name.meant[0]
                written = _MOMENT.sub("", name.written.strip()) or quantity.name
                if not written.startswith("X"):
                    found.setdefault((quantity.sort, quantity.of), (written, quantity))
    return found


def _chains(verdicts: Sequence[Verdict]) -> Iterator[list[Verdict]]:
    chain: list[Verdict] = []
    for verdict in verdicts:
        above = chain[-1] if chain else None
        goes_on = (
            above is not None
            and above.line == verdict.line
            and above.claim.written.right == verdict.claim.written.left
        )
        if not goes_on and chain:
            yield chain
            chain = []
        chain.append(verdict)
    if chain:
        yield chain


def _sides(chain: Sequence[Verdict]) -> list[Expr]:
    return [chain[0].claim.written.left, *(v.claim.written.right for v in chain)]


def _shown(
    reading: Reading, page: TimedWorking, verdicts: Sequence[Verdict]
) -> dict[tuple[QuantityKey, When], int]:
    """The quantities that a chain gives by what is given or shown above it."""
    circuit, found = reading.circuit, dict[tuple[QuantityKey, When], int]()
    for name, value in circuit.start.items():
        if isinstance(value, Symbol):  # the problem has a letter for it
            coil = circuit.elements[name].kind is Kind.COIL
            held = (Sort.CURRENT, (circuit.branch_of(name).name,)) if coil else (Sort.ACROSS, (name,))
            found[held, When.AFTER] = 0
    for chain in _chains(verdicts):
        number = chain[0].line
        said = page.lines.get(number, TimedLine())
        sides = _sides(chain)
        lone: list[tuple[QuantityKey, When]] = []
        told = False
        for side in sides:
            timed = [page.names[n] for n in names_in(side) if n in page.names]
            keys = [((t.meant[0].sort, t.meant[0].of), _when(t.when, t.meant[0], said, sides)) for t in timed]
            if isinstance(side, Symbol) and timed:
                asked = reading.in_time.get((number, side.name))
                when = keys[0][1] if asked is None else _moment(asked.moment.value, keys[0][1])
                lone.append((keys[0][0], when))
                told = told or lone[-1] in found
            else:
                told = told or all(key in found or key[0][0] in TIMELESS for key in keys)
        if told:
            found.update({key: number for key in lone if key not in found})
    return found


def _when(when: When, quantity: TimedQuantity, said: TimedLine, sides: Sequence[Expr]) -> When:
    if quantity.sort in TIMELESS or when is not When.UNSAID:
        return When.UNSAID if quantity.sort in TIMELESS else when
    return When.COURSE if any("t" in names_in(side) for side in sides) else said.when


def _moment(word: str, otherwise: When) -> When:
    known = {"before": When.BEFORE, "just after": When.AFTER, "long after": When.END}
    return {**known, "at": When.AT, "(t)": When.COURSE}.get(word, otherwise)


def _at(reading: Reading, verdicts: Sequence[Verdict]) -> dict[QuantityKey, tuple[Fraction, ...]]:
    """The times at which each quantity has its value, by the problem's kinds."""
    lines = {v.line for v in verdicts}
    found: dict[QuantityKey, tuple[Fraction, ...]] = {}
    for (line, _), question in reading.in_time.items():
        if line in lines and question.at is not None:
            key = (SORTS[question.kind], question.names)
            found[key] = (*found.get(key, ()), question.at)
    return found


def _times(reading: Reading, verdicts: Sequence[Verdict]) -> tuple[float, ...]:
    """The times that the working comes to."""
    found: list[float] = []
    for chain in _chains(verdicts):
        head = chain[0].claim.written.left
        if isinstance(head, Symbol) and _is_time(reading.in_time.get((chain[0].line, head.name))):
            numbers = list(numbers_in(_sides(chain)[-1]))
            found += [float(n.value) for n in numbers if n.unit.endswith("s") or len(numbers) == 1]
    return tuple(found)


def _is_time(question: TimedQuestion | None) -> bool:
    return question is not None and replace(question, move=0) == A_TIME


SORTS = {
    TimedKind.CURRENT: Sort.CURRENT,
    TimedKind.ACROSS: Sort.ACROSS,
    TimedKind.DIFFERENCE: Sort.DIFFERENCE,
    TimedKind.CHARGE: Sort.CHARGE,
    TimedKind.ENERGY: Sort.ENERGY,
    TimedKind.POWER: Sort.POWER,
    TimedKind.HEAT: Sort.HEAT,
    TimedKind.TIME_CONSTANT: Sort.TIME_CONSTANT,
    TimedKind.CAPACITANCE: Sort.CAPACITANCE,
    TimedKind.INDUCTANCE: Sort.INDUCTANCE,
}
