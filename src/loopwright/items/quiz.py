"""`items`: quiz items of one circuit, of every kind that it bears, each checked before it is handed out.

Which kinds a circuit bears depends on it: where there are too few wrong answers to stand beside the right
one, the kind is left out, and the quiz says so.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from ..circuit.circuit import Circuit
from ..circuit.in_time import changes
from ..errors import FaultyMaterial
from ..findings import Finding, Severity
from ..shown import Shown
from ..solve.exact import well_posed
from .circuit_items import enough, rankings, ways
from .form_items import formulas, limits
from .ground import QuizGround
from .item import ItemKind, QuizItem
from .item_terms import item_in_terms
from .timed_form_items import formulas_in_time, limits_in_time
from .value_items import choices, numbers
from .wrong_line_items import hunts, hunts_in_time

EACH = 2  # items of a kind, where nothing else is wished


@dataclass(frozen=True, slots=True)
class Quiz(Shown):
    """Items of one circuit. `notes`: what could not be made, and why; `seed`: what the order was drawn by."""

    circuit: Circuit
    items: tuple[QuizItem, ...]
    notes: tuple[Finding, ...]
    seed: int

    @property
    def title(self) -> str:
        """What the quiz is called."""
        return self.circuit.title or "Circuit"


_MADE: Mapping[ItemKind, Callable[[QuizGround], Iterator[QuizItem]]] = {
    ItemKind.CHOICE: choices,
    ItemKind.NUMBER: numbers,
    ItemKind.FORMULA: formulas,
    ItemKind.RANKING: rankings,
    ItemKind.DIRECTION: ways,
    ItemKind.ENOUGH: enough,
    ItemKind.LIMIT: limits,
}
_MADE_IN_TIME: Mapping[ItemKind, Callable[[QuizGround], Iterator[QuizItem]]] = {
    ItemKind.CHOICE: choices,
    ItemKind.NUMBER: numbers,
    ItemKind.FORMULA: formulas_in_time,
    ItemKind.LIMIT: limits_in_time,
}
KINDS = tuple(str(kind) for kind in ItemKind)
IN_TIME = tuple(str(kind) for kind in ItemKind if kind in (*_MADE_IN_TIME, ItemKind.WRONG_LINE))


def items(
    circuit: Circuit,
    kinds: Sequence[str] = (),
    *,
    each: int = EACH,
    seed: int = 1,
    line: int = 0,
) -> Quiz:
    """Quiz items of a well-posed circuit with numbers, steady or in time.

    `kinds`: which of `KINDS`, in this order (empty: all, of a circuit in time those of `IN_TIME`);
    `each`: how many of a kind at most; `seed`: another one draws another order and other slips; `line`: in
    which line the wrong one is to be found (0: any).
    Raises FaultyMaterial for a circuit without a single answer, and where no item can be made; ValueError for
    a kind that there is not.
    """
    timed = changes(circuit)
    every = IN_TIME if timed else KINDS
    wanted = [ItemKind(kind) for kind in dict.fromkeys(kinds or every)]
    if (circuit.storages and not timed) or circuit.ladder is not None:
        raise FaultyMaterial(_NOT_STEADY)
    ground = QuizGround(circuit if timed else well_posed(circuit), str(seed))
    hunt, makers = (hunts_in_time, _MADE_IN_TIME) if timed else (hunts, _MADE)
    made: list[QuizItem] = []
    notes: dict[Finding, None] = {}
    for kind in wanted:
        try:
            if kind is not ItemKind.WRONG_LINE and kind not in makers:
                notes[_not_in_time(kind)] = None
                continue
            found = hunt(ground, line) if kind is ItemKind.WRONG_LINE else makers[kind](ground)
            of_kind = _of_other_things(found, each, made if kind in _VALUES else [])
        except FaultyMaterial as trouble:
            if line and kind is ItemKind.WRONG_LINE and circuit.has_all_numbers:
                raise
            notes |= dict.fromkeys(replace(f, severity=Severity.NOTE) for f in trouble.findings)
            continue
        if not of_kind:
            notes[_none_made(kind)] = None
        made += of_kind
    if not made:
        raise FaultyMaterial(*(replace(note, severity=Severity.ERROR) for note in notes))
    stem = _plain_name(circuit.title) or "circuit"
    named = (replace(item, name=f"{stem}-{at:02}-{item.kind}") for at, item in enumerate(made, 1))
    terms, own = circuit.page.terms or "british", circuit.own_words
    return Quiz(circuit, tuple(item_in_terms(item, terms, own) for item in named), tuple(notes), seed)


def _of_other_things(found: Iterator[QuizItem], count: int, before: Sequence[QuizItem]) -> list[QuizItem]:
    """So many items, those first whose value no item before asks for: its options would tell the number."""
    asked = {item.about for item in before if item.kind in _VALUES}
    first = list(islice(found, count + len(asked)))
    return sorted(first, key=lambda item: item.about in asked)[:count]


_VALUES = (ItemKind.CHOICE, ItemKind.NUMBER)
_NOT_STEADY = Finding(
    "items/not-steady",
    "A ladder without end has no quiz items, nor has a circuit with storages in which nothing moves.",
    "Say under [switching] how a switch moves, or draw gaps for capacitors and wires for coils.",
)
_WHY = {
    ItemKind.CHOICE: "no quantity has two wrong answers of slips that look like the right one",
    ItemKind.NUMBER: "no quantity is asked that has a value",
    ItemKind.FORMULA: "no current has a closed form short enough, with wrong ones that look like it",
    ItemKind.RANKING: "it has no three resistors whose powers, currents or voltages are clearly apart",
    ItemKind.DIRECTION: "no current runs between two points without an element that fixes it",
    ItemKind.ENOUGH: "it has not both sets of equations that are enough and sets that are not",
    ItemKind.LIMIT: "no slip leads to a form that some limits show to be wrong and others do not",
    ItemKind.WRONG_LINE: "its working in numbers is too long or its numbers are too unwieldy",
}


def _not_in_time(kind: ItemKind) -> Finding:
    return Finding(
        "items/not-in-time",
        f"Items of the kind {kind} are made of steady circuits only.",
        "Take the circuit as it stands long after for them.",
        severity=Severity.NOTE,
    )


def _none_made(kind: ItemKind) -> Finding:
    return Finding(
        "items/none-of-kind",
        f"No item of the kind {kind} can be made of this circuit: {_WHY[kind]}.",
        "Take other numbers, or ask for other kinds.",
        severity=Severity.NOTE,
    )


def _plain_name(title: str) -> str:
    """A title as a name of plain letters, digits and hyphens that begins with a letter."""
    ascii_only = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9]+", "-", ascii_only).strip("-")[:40].strip("-")
    return f"q-{name}" if name and not name[0].isalpha() else name
