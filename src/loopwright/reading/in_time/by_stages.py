"""A working of a circuit in time, line by line in the stage that each line speaks of.

Where switches move again later, a line is read in the stage that the lines above have come to, or that its
words name (`S2 closes`, `second stage`, `t > t1`), else in another in which all of it is true. In a later
stage t may count from the first move or from the stage's own.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from ...circuit.circuit import Circuit
from ...circuit.in_time import times_of_moves
from ...expressions.amounts import exactly
from ...expressions.nodes import Expr, Symbol
from ...transients.stages import stages
from ...transients.transient import Transient
from ..arrows import of_problem
from ..reading import Reading
from ..truth.rounding import Policy
from ..verdicts import Arrows, Enough, Verdict
from ..working import WrittenLine
from .timed_judge import StageReader
from .timed_names import OF_RATE, TIME, Sort, TimedName, TimedQuantity
from .timed_page import TimedLine, TimedWorking, names_in, timed_working
from .times_asked import TimesAsked, reached_at, times_of


def read_in_time(
    circuit: Circuit, text: str, *, policy: Policy | None = None, decimal_comma: bool = False
) -> Reading:
    """Reads a working of a circuit in which a switch moves. Raises FaultyMaterial when nothing decides what
    the storages hold at the start."""
    found = stages(circuit)
    page = timed_working(text, circuit, decimal_comma=decimal_comma)
    reader = _InStages(circuit, found, page, policy or Policy())
    for line in page.working.lines:
        reader.take(line)
    names = dict(of_problem(circuit))
    for name, quantity in page.declared.items():
        if quantity.sort is Sort.CURRENT:
            names[name] = {quantity.of[0]: quantity.sign}
    told = Enough(False, 0, 0, {}, (), ())
    verdicts, answered = tuple(reader.verdicts), reader.answered
    return Reading(circuit, page.working, Arrows(names), verdicts, told, (), in_time=answered)


MOST_CLAIMS = 60  # by so many what a name means is decided


def is_open(name: TimedName) -> bool:
    """Whether a name may mean several things, one of which holds for the whole working; time constants that
    are only numbered are settled as they come."""
    return len(name.meant) > 1 and name.meant[0].of[:1] != (OF_RATE,)


def _itself(name: TimedName) -> tuple[TimedQuantity, ...]:
    """What a name may mean, whether it stands for that itself or for how fast it changes."""
    return tuple(replace(m, slope=False) for m in name.meant)


_NUMBERED = re.compile(r"(?:τ|\b[Tt]au)(?:_?\{?(\d)\}?(?!\d)|(['′]+))")
_AFTER_IT = re.compile(r"\b(?:after|later|since|further|more|another)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to read a line: in which stage, and at which time of the writer's clock that begins."""

    stage: int
    clock: Expr | None


class _InStages:
    """The readers of all stages, one after another."""

    def __init__(
        self, circuit: Circuit, found: tuple[Transient, ...], page: TimedWorking, policy: Policy
    ) -> None:
        self.page = page
        self.verdicts: list[Verdict] = []
        self.readers = [StageReader(stage, page, policy, self.verdicts) for stage in found]
        self.now = _Way(0, page.clock)
        times = TimesAsked(times_of(circuit, found), reached_at(circuit))
        moves = [time for time in times_of_moves(circuit) if time in circuit.numbers]
        for reader in self.readers:
            reader.times = times
            for time in moves if len(found) > 1 else ():
                reader.truth.own[time] = exactly(circuit.numbers[time], "s")
        self.later = [_words_of(circuit, time) for time in times_of_moves(circuit)]
        self.answered = self.readers[0].answered
        for meant in dict.fromkeys(_itself(name) for name in page.names.values() if is_open(name)):
            self._settle(meant)
        self.clocks: dict[int, _Way] = {}  # of stages in which t has been counted from the first move

    def _settle(self, meant: tuple[TimedQuantity, ...]) -> None:
        """Takes a name that may mean several things for one of them in the whole working: that in which most
        claims with it may be true, the likeliest where several are as good."""
        names = {name for name, timed in self.page.names.items() if _itself(timed) == meant}
        held = [
            (claim, self.page.lines.get(line.number, TimedLine()))
            for line in self.page.working.lines
            for claim in line.claims
            if not names.isdisjoint(names_in(claim.written))
        ][:MOST_CLAIMS]
        best, most = meant[0], 0
        for one in meant:
            self._take(names, (one,))
            count = sum(any(r.could_be(c, said) for r in self.readers) for c, said in held)
            if count > most:
                best, most = one, count
        self._take(names, (best,) if most else meant)

    def _take(self, names: Collection[str], meant: tuple[TimedQuantity, ...]) -> None:
        for reader in self.readers:
            for name in names:
                timed = self.page.names[name]
                own = tuple(replace(m, slope=timed.meant[0].slope) for m in meant)
                reader.truth.names[name] = replace(timed, meant=own)

    def take(self, line: WrittenLine) -> None:
        """Judges a line in the stage that it speaks of."""
        if len(self.readers) > 1:
            self.now = self._way(line)
        reader = self.readers[self.now.stage]
        reader.truth.clock = self.now.clock
        before = dict(reader.answered)
        reader.take(line)
        for key, question in reader.answered.items():
            if key not in before and len(self.readers) > 1:
                self.answered[key] = replace(question, move=self.now.stage + 1)

    def _way(self, line: WrittenLine) -> _Way:
        """How to read a line: as the words say, else in the first way in which all of it is true."""
        named = max((k for k, said in enumerate(self.later) if said.search(line.text)), default=None)
        named = named or self._stage_of_names(line) or named
        ways = [way for way in self._ways() if named is None or way.stage == named]
        if not _AFTER_IT.search(line.text):
            ways = [w for w in ways if w.stage not in self.clocks or self.clocks[w.stage] == w] or ways
        ways.sort(key=lambda way: (way != self.now, way.stage != self.now.stage, way.stage < self.now.stage))
        said = self.page.lines.get(line.number, TimedLine())
        for way in ways:
            reader = self.readers[way.stage]
            reader.truth.clock = way.clock
            if line.claims and all(reader.could_be(claim, said) for claim in line.claims):
                if any(TIME in names_in(claim.written) for claim in line.claims) and way.clock is not None:
                    self.clocks[way.stage] = way
                return way
        return ways[0]

    def _stage_of_names(self, line: WrittenLine) -> int | None:
        """The later stage whose number a time constant in the line bears, `τ2`, `τ'`; None for none."""
        if len(self.readers[0].stage.circuit.storages) != 1:
            return None
        stages = [int(m[1]) - 1 if m[1] else len(m[2]) for m in _NUMBERED.finditer(line.text)]
        return next((k for k in stages if 0 < k < len(self.readers)), None)

    def _ways(self) -> Iterator[_Way]:
        yield _Way(0, self.page.clock)
        for k, reader in enumerate(self.readers[1:], 1):
            time = reader.stage.begins
            known = reader.stage.circuit.numbers
            yield _Way(k, exactly(known[time], "s") if time in known else Symbol(time))
            yield _Way(k, None)


_IS = r"\s+(?:is\s+|has\s+been\s+|now\s+)*"


def _words_of(circuit: Circuit, time: str) -> re.Pattern[str]:
    """The words by which a line says that it speaks of what comes after the moves at this time."""
    moves = [(m.switch, "clos" if m.after else "open") for m in circuit.switching if m.at == time]
    often = Counter(move.switch for move in circuit.switching)  # one that moves again is told by its way
    ways = [rf"{re.escape(s)}{_IS}(?:re)?{way if often[s] > 1 else '(?:clos|open)'}" for s, way in moves]
    if not time:
        ways = [way for way, (switch, _) in zip(ways, moves, strict=True) if often[switch] > 1]
        return re.compile(rf"\b(?:{'|'.join(ways)})" if ways else r"(?!)", re.IGNORECASE)
    count = times_of_moves(circuit).index(time) + 1
    ordinal = {2: "second", 3: "third", 4: "fourth"}.get(count, f"{count}th")
    moved = rf"\b(?:{'|'.join(ways)})" if ways else r"(?!)"
    staged = rf"\b(?:{ordinal}\s+(?:stage|move|part)|(?:stage|move|part)\s+{count})\b"
    return re.compile(rf"{moved}|{staged}|\bt\s*(?:>|≥|>=)\s*{re.escape(time)}\b", re.IGNORECASE)
