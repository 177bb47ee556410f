"""Numbers that tell slips apart: each slip leads to wrong answers of its own, and none to the right ones.

Two slips count as told apart where they give different exact answers; slips that give the same as functions
of the symbols cannot be told apart by any numbers, and are named as such. One slip at a time: two at once are
not looked at. A candidate is first held against one slip of each class, and leaves at the first that meets
another; what remains is judged by the whole table of slips of its own circuit.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.in_time import changes
from ..slips.catalogue import CATALOGUE
from ..slips.settings import Fate, Model, Setting, SettingInNumbers, SlipOutcome
from ..slips.slip_classes import SlipClass
from ..slips.slip_table import slip_table
from ..slips.slips_in_time import SlipInTime, SlipsInTime, TimedAnswer, classes_in_time, same_answers

MOST_REMEMBERED = 40  # pairs of slips that met before, tried first
_RIGHT = "right"


@dataclass(frozen=True, slots=True)
class SlipCertificate:
    """What a set of numbers tells of slips. `slips`: how many can be made in the usual set of equations;
    `answers`: how many wrong answers they lead to; `unlike`: the groups of unlike slips whose wrong answers
    are the same for all numbers; `unseen`: slips that leave the answers right for all numbers. By these
    numbers alone: `meeting`, groups of slips that no longer differ; `hidden`, slips that leave the answers
    right. `without_answer`: slips that lead to no single answer."""

    slips: int
    answers: int
    unlike: tuple[tuple[str, ...], ...]
    unseen: tuple[str, ...]
    meeting: tuple[tuple[str, ...], ...]
    hidden: tuple[str, ...]
    without_answer: int

    @property
    def apart(self) -> bool:
        """Whether the numbers tell apart all that numbers can."""
        return not self.meeting and not self.hidden

    @property
    def told(self) -> str:
        """The certificate in a sentence or two."""
        text = f"{self.slips} slips lead to {self.answers} wrong answers"
        text += ", none of them right" if not self.hidden else f", {len(self.hidden)} of them right by chance"
        text += (
            ", no two the same"
            if not self.meeting
            else f", and {len(self.meeting)} times to the same by chance"
        )
        if self.unlike:
            text += f"; {len(self.unlike)} groups of slips have identical forms, which no numbers tell apart"
        if self.unseen:
            text += f"; {len(self.unseen)} change nothing, whatever the numbers"
        return f"{text}."


def certificate(circuit: Circuit) -> SlipCertificate:
    """The certificate of a circuit with its numbers. Raises FaultyMaterial where numbers are missing."""
    return _certificate_in_time(circuit) if changes(circuit) else _steady_certificate(circuit)


def _certificate_in_time(circuit: Circuit) -> SlipCertificate:
    """The same of a circuit in time: of the slips in time, by all that is asked of it."""
    table = SlipsInTime(circuit)
    found = classes_in_time(table, circuit.numbers)
    right = table.answers(table.right, circuit.numbers)
    groups: list[tuple[tuple[TimedAnswer, ...], list[str]]] = []
    hidden: list[str] = []
    for slips in found.classes:
        told = table.answers(slips[0], circuit.numbers)
        if same_answers(told, right):
            hidden.append(_told(slips[0]))
            continue
        group = next((group for known, group in groups if same_answers(told, known)), None)
        if group is None:
            groups.append((told, [_told(slips[0])]))
        else:
            group.append(_told(slips[0]))
    names = [tuple(dict.fromkeys(CATALOGUE[s.entry].name for s in slips)) for slips in found.classes]
    return SlipCertificate(
        len(table.slips),
        len(groups),
        tuple(unlike for unlike in names if len(unlike) > 1),
        tuple(map(_told, found.unseen)),
        tuple(tuple(group) for _, group in groups if len(group) > 1),
        tuple(hidden),
        0,
    )


def _steady_certificate(circuit: Circuit) -> SlipCertificate:
    table = slip_table(circuit)
    groups: dict[object, list[SlipClass]] = {}
    hidden: list[SlipClass] = []
    unseen: list[SlipClass] = []
    for slips in table.classes:
        if slips.hidden == "always":
            unseen.append(slips)
        elif _is_right(slips.outcome, table.right):
            hidden.append(slips)
        else:
            groups.setdefault(_key(slips.outcome), []).append(slips)
    return SlipCertificate(
        table.slips,
        len(groups),
        tuple(tuple(CATALOGUE[key].name for key in slips.entries) for slips in table.structural),
        tuple(_told(slips.members[0]) for slips in unseen),
        tuple(tuple(_told(c.members[0]) for c in group) for group in groups.values() if len(group) > 1),
        tuple(_told(slips.members[0]) for slips in hidden),
        len(table.contradictions) + sum(len(slips.members) for slips in table.open_),
    )


class ApartSieve:
    """Sorts out candidates by one slip of each class, quickly. It may let through what the certificate
    refuses: which slips there are can hang on the numbers."""

    def __init__(self) -> None:
        self._known: dict[tuple[Fraction, ...], _Representatives | _RepresentativesInTime] = {}

    def passes(self, circuit: Circuit, like: Circuit) -> bool:
        """Whether no two classes of slips meet at the numbers of this circuit, and none is right. The slips
        are those of the same circuit with other numbers, `like`."""
        key = tuple(like.numbers[name] for name in like.symbols)
        if key not in self._known and changes(like):
            self._known[key] = _RepresentativesInTime(SlipsInTime(like), like.numbers)
        elif key not in self._known:
            table = slip_table(like)
            models = [c.members[0] for c in table.classes if c.hidden != "always"]
            self._known[key] = _Representatives(table.setting, models)
        return self._known[key].apart_at(circuit.numbers)


class _RepresentativesInTime:
    """One slip in time of each class."""

    def __init__(self, table: SlipsInTime, numbers: Mapping[str, Fraction]) -> None:
        self.table = table
        self.slips = [table.right, *(slips[0] for slips in classes_in_time(table, numbers).classes)]

    def apart_at(self, numbers: Mapping[str, Fraction]) -> bool:
        """Whether no two slips meet at these numbers, and none is right."""
        seen: list[tuple[TimedAnswer, ...]] = []
        for slip in self.slips:
            told = self.table.answers(slip, numbers)
            if any(same_answers(told, known) for known in seen):
                return False
            seen.append(told)
        return True


class _Representatives:
    """One slip of each class. Which two met at earlier numbers is remembered, and looked at first."""

    def __init__(self, setting: Setting, models: Sequence[Model]) -> None:
        self.setting, self.models = setting, models
        self.met = Counter[tuple[int, int]]()  # a slip that was right counts as having met itself

    def apart_at(self, numbers: Mapping[str, Fraction]) -> bool:
        point = SettingInNumbers(self.setting, numbers)
        keys: dict[int, object] = {}

        def key(at: int) -> object:
            """What the slip's answers are told apart by: its own position where it has none."""
            if at not in keys:
                outcome = self.models[at].at(point)
                answered = outcome.fate is Fate.ANSWER
                right = answered and _is_right(outcome, point.right)
                keys[at] = _RIGHT if right else _key(outcome) if answered else at
            return keys[at]

        for pair, _ in self.met.most_common(MOST_REMEMBERED):
            if key(pair[0]) == (key(pair[1]) if pair[0] != pair[1] else _RIGHT):
                self.met[pair] += 1
                return False
        first: dict[object, int] = {}
        for at in range(len(self.models)):
            if key(at) == _RIGHT or key(at) in first:
                self.met[first.get(key(at), at), at] += 1
                return False
            first[key(at)] = at
        return True


def _key(outcome: SlipOutcome) -> object:
    return tuple(sorted((name, v.numerator, v.denominator) for name, v in outcome.values.items()))


def _is_right(outcome: SlipOutcome, right: Mapping[str, Fraction]) -> bool:
    return bool(outcome.values) and all(right.get(name) == value for name, value in outcome.values.items())


def _told(slip: Model | SlipInTime) -> str:
    return f"{CATALOGUE[slip.entry].name}: {slip.place}"
