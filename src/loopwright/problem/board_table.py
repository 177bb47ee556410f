"""The table [board] of a problem file: which parts a lecture has, by which methods, how long, in whose words.

    [board]
    acts    = ["circuit", "question", "arrows", "equations", "working", "results"]
    methods = ["branch currents", "node potentials"]
    minutes = 8                       0: leave out nothing
    words_a_minute = 120
    look    = "light"                 or "dark"
    shape   = "4:3"                   or "16:9": of slides, frames and a film
    gaps    = ["equations", 7]        what a handout leaves empty: acts and numbers of lines
    [board.pauses]                    seconds of silence after a question, by act
    limits  = 6
    [board.say]                       your own words, said first in an act
    circuit = "This hung in my uncle's boathouse."

Says all that is wrong with the table, each with line and mend.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from ..circuit.board_wishes import ACTS, LOOKS, NEEDS, SHAPES, BoardWishes
from ..circuit.names import listed, nearest
from ..circuit.page_wishes import METHODS, SHORTEST
from .faults import Faults
from .key_lines import KeyPath

KEYS = ("acts", "methods", "minutes", "words_a_minute", "look", "shape", "gaps", "pauses", "say")
_RANGES = {"minutes": (0, 600), "words_a_minute": (40, 400)}
LONGEST_PAUSE = 600  # seconds
LONGEST_WORDS = 2000  # characters said first in an act


def read_board_table(table: Mapping[str, object], faults: Faults) -> BoardWishes:
    """Reads [board]; what cannot be read is put down in `faults` and left out."""
    for key in table:
        if key not in KEYS:
            near = nearest(key, KEYS)
            mend = f"Did you mean {near}?" if near else f"The table has {listed(KEYS)}."
            faults.add("file/unknown-key", ("board", key), f'[board] has no key "{key}".', mend)
    acts = _words(table, "acts", "part of a lecture", ACTS, faults)
    _check_order(acts, table.get("acts"), faults)
    words = _number(table, "words_a_minute", faults)
    return BoardWishes(
        acts,
        _words(table, "methods", "method of working a circuit", (*METHODS, SHORTEST), faults),
        _number(table, "minutes", faults),
        None if words is None else round(words),
        {
            act: wait
            for act, content in _by_act(table, "pauses", faults)
            if (wait := _pause(content, act, faults)) is not None
        },
        {
            act: said
            for act, content in _by_act(table, "say", faults)
            if (said := _own_words(content, act, faults))
        },
        _chosen(table, "look", "look of a board", LOOKS, faults),
        _chosen(table, "shape", "shape of a frame", SHAPES, faults),
        _gaps(table, faults),
    )


def _gaps(table: Mapping[str, object], faults: Faults) -> tuple[str | int, ...]:
    """Acts by name and lines by number; whether a lecture has such a line is seen when it is made."""
    content = table.get("gaps", [])
    if not isinstance(content, list):
        faults.add(
            "file/wrong-type", ("board", "gaps"), "gaps is not a list.", 'Write gaps = ["equations", 7].'
        )
        return ()
    found = [
        item
        if isinstance(item, int) and not isinstance(item, bool)
        else _word(item, ("board", "gaps", at), "part of a lecture", ACTS, faults)
        for at, item in enumerate(content)
    ]
    return tuple(dict.fromkeys(item for item in found if item))


def _words(
    table: Mapping[str, object], key: str, what: str, known: tuple[str, ...], faults: Faults
) -> tuple[str, ...]:
    """A list of known words, each once."""
    content = table.get(key, [])
    items = [content] if isinstance(content, str) else content
    if not isinstance(items, list):
        mend = f'Write {key} = ["{known[0]}", "{known[1]}"].'
        faults.add("file/wrong-type", ("board", key), f"{key} is not a list.", mend)
        return ()
    found = [_word(item, ("board", key, at), what, known, faults) for at, item in enumerate(items)]
    kept = [word for word in found if word]
    for word in dict.fromkeys(kept):
        if kept.count(word) > 1:
            faults.add(
                "board/repeated",
                ("board", key),
                f'"{word}" is named twice.',
                "Name it once.",
                (word,),
            )
    return tuple(dict.fromkeys(kept))


def _word(item: object, path: KeyPath, what: str, known: tuple[str, ...], faults: Faults) -> str:
    word = " ".join(item.lower().split()) if isinstance(item, str) else ""
    if word in known:
        return word
    near = nearest(word, known) if word else None
    said = f'"{item}"' if isinstance(item, str) else "this"
    mend = (
        f'Did you mean "{near}"?'
        if near
        else f"Write {listed([f'{chr(34)}{k}{chr(34)}' for k in known], 'or')}."
    )
    faults.add("board/unknown-word", path, f"{said} is no {what}.", mend)
    return ""


def _check_order(acts: tuple[str, ...], written: object, faults: Faults) -> None:
    """An act that stands on another comes after it. `written`: the acts as they stand in the file."""
    items = written if isinstance(written, list) else []
    for at, act in enumerate(acts):
        needed = NEEDS.get(act)
        if needed is None or needed in acts[:at]:
            continue
        why = (
            f'"{act}" comes before "{needed}", on which it stands.'
            if needed in acts
            else (f'"{act}" stands on "{needed}", which is not among the acts.')
        )
        place: KeyPath = ("board", "acts", items.index(act) if act in items else at)
        faults.add("board/order", place, why, f'Name "{needed}" before "{act}".', (act, needed))


def _number(table: Mapping[str, object], key: str, faults: Faults) -> float | None:
    low, high = _RANGES[key]
    found = _within(table[key], low, high) if key in table else None
    if found is None and key in table:
        mend = f"Write a number from {low} to {high}, such as {key} = {10 if key == 'minutes' else 130}."
        faults.add("board/number", ("board", key), f"{key} is no number from {low} to {high}.", mend)
    return found


def _within(content: object, low: float, high: float) -> float | None:
    """A number in a range; None for anything else."""
    if isinstance(content, bool) or not isinstance(content, int | float | Decimal):
        return None
    found = float(content)  # of what is no number at all, nothing is true
    return found if low <= found <= high else None


def _by_act(table: Mapping[str, object], key: str, faults: Faults) -> list[tuple[str, object]]:
    """The entries of a table whose keys are acts."""
    content = table.get(key, {})
    if not isinstance(content, Mapping):
        mend = f"Write [board.{key}] on a line of its own, and below it a line for each act."
        faults.add("file/wrong-type", ("board", key), f"{key} is not a table.", mend)
        return []
    return [
        (word, value)
        for act, value in content.items()
        if (word := _word(act, ("board", key, act), "part of a lecture", ACTS, faults))
    ]


def _pause(content: object, act: str, faults: Faults) -> float | None:
    found = _within(content, 0, LONGEST_PAUSE)
    if found is None:
        why = f"a pause is a number of seconds from 0 to {LONGEST_PAUSE}."
        faults.add("board/number", ("board", "pauses", act), why, f"Write {act} = 6.")
    return found


def _own_words(content: object, act: str, faults: Faults) -> str:
    if isinstance(content, str) and len(content.strip()) > 0 and len(content) <= LONGEST_WORDS:
        return content
    why = f"your own words are a text of at most {LONGEST_WORDS} characters."
    faults.add("board/words", ("board", "say", act), why, f'Write {act} = "What you want to say.".')
    return ""


def _chosen(table: Mapping[str, object], key: str, what: str, known: tuple[str, ...], faults: Faults) -> str:
    return _word(table[key], ("board", key), what, known, faults) if key in table else ""
