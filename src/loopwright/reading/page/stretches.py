"""Where in a line maths stands amid prose: stretches of it, between words and stops.

Tells remarks in brackets, numbers of loops and steps, the article `a` and a mere dash from algebra.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from .mapped import Mapped
from .naming import NamesInUse
from .pieces import CLOSING, MATHS, OPERANDS, RELATIONS, Piece, PieceSort

_NUMBERED = frozenset((
    "loop", "loops", "step", "eq", "eqn", "equation", "equations", "line", "lines", "part", "mesh",
    "junction", "node", "law", "rule", "case", "question", "problem", "number", "no", "circuit",
    "circuits", "figure", "fig", "section", "branch",
))  # fmt: skip
_RULES = frozenset(("law", "rule", "no", "number"))
_MAYBE_NUMBERED = frozenset((
    "from", "into", "in", "by", "using", "and", "with", "to", "of", "per", "see", "put", "sub",
))  # fmt: skip
_PRONOUN_VERBS = frozenset((
    "think", "get", "got", "use", "used", "find", "found", "have", "had", "know", "am", "will", "then",
    "assume", "chose", "choose", "did", "do", "took", "take", "made", "see", "guess", "need", "want",
    "can", "call", "called", "write", "wrote", "put", "say", "said", "mean", "meant", "was", "would",
    "substitute", "substituted",
))  # fmt: skip
QUANTITY_WORDS = frozenset((
    "drop", "drops", "voltage", "emf", "emfs", "current", "resistance", "potential", "rise", "rises", "loss",
    "difference", "terminal", "total", "lamp", "battery", "resistor", "power", "heat",
))  # fmt: skip
_NEAR = 400  # pieces looked at on either side of an arrow
_PLACES = frozenset(("at", "junction", "node", "point", "junctions", "nodes", "points"))
DASHES = ("-", "–", "−", "—")


@dataclass(frozen=True, slots=True)
class Stretch:
    """Maths between words and stops: its pieces, the pieces before and after it up to the next stretch."""

    pieces: tuple[Piece, ...]
    before: tuple[Piece, ...]
    after: tuple[Piece, ...]

    @property
    def has_relation(self) -> bool:
        """Whether something is claimed in it."""
        return any(piece.sort is PieceSort.RELATION for piece in self.pieces)


def settled_pieces(pieces: Sequence[Piece], names: NamesInUse) -> tuple[Piece, ...]:
    """Brackets round prose become gaps, brackets round whole equations stops, the number in `loop 1` a
    word, a point in `at b` too, and the sign before a remark at the end of a line a stop."""
    settled = list(pieces)
    relations = _counted(pieces, lambda p: p.sort in (PieceSort.RELATION, PieceSort.IMPLIES))
    words = _counted(pieces, lambda p: p.sort in (PieceSort.WORD, PieceSort.STOP))
    opened: list[int] = []
    for index, piece in enumerate(pieces):
        if piece.sort is PieceSort.OPEN:
            opened.append(index)
        elif piece.sort is PieceSort.CLOSE and opened:
            start = opened.pop()
            if CLOSING[pieces[start].words] != piece.words:
                continue
            if relations[index] - relations[start]:
                settled[start] = _as(settled[start], PieceSort.STOP)
                settled[index] = _as(piece, PieceSort.STOP)
            elif not opened and words[index] - words[start] and _is_remark(pieces, start, index):
                settled[start : index + 1] = [_as(p, PieceSort.GAP) for p in pieces[start : index + 1]]
    for index, piece in enumerate(settled):
        numbering = piece.sort is PieceSort.NUMBER and index and _is_numbering(settled, index)
        name_of_kind = piece.words.lower() == "emf" and _has_words_after(settled, index)
        place = index and piece.words in names.places and settled[index - 1].words.lower() in _PLACES
        if numbering or place or name_of_kind or _is_letter_of_prose(settled, index, names):
            settled[index] = _as(piece, PieceSort.WORD)
        elif _opens_remark(settled, index):
            settled[index] = _as(piece, PieceSort.STOP)
        elif piece.words == ":" and _is_ratio(settled, index):
            settled[index] = _as(piece, PieceSort.FOREIGN)
    _arrows_settled(settled)
    return tuple(settled)


def _counted(pieces: Sequence[Piece], wanted: Callable[[Piece], bool]) -> list[int]:
    """How many of the pieces before each are wanted ones."""
    return list(accumulate((wanted(piece) for piece in pieces), initial=0))


def _is_remark(pieces: Sequence[Piece], start: int, end: int) -> bool:
    """Whether a bracket with words in it is no part of the algebra: `(clockwise)`."""
    before = pieces[start - 1] if start else None
    after = pieces[end + 1] if end + 1 < len(pieces) else None
    if (before and before.sort is PieceSort.SIGN) or (after and after.words in ("^", "**")):
        return False
    inside = pieces[start + 1 : end]
    if len(inside) > 1 and inside[-1].sort is PieceSort.SIGN:
        inside = inside[:-1]  # (into +)
    around = pairwise(inside)
    return not any({one.sort, two.sort} == {PieceSort.WORD, PieceSort.SIGN} for one, two in around)


def _is_ratio(pieces: Sequence[Piece], index: int) -> bool:
    """Whether a colon stands for a ratio: `I1:I2 = 1:3`."""
    if not 0 < index < len(pieces) - 1:
        return False
    before, colon, after = pieces[index - 1 : index + 2]
    alike = before.sort is after.sort and before.sort in (PieceSort.NAME, PieceSort.NUMBER)
    if not alike or (before.end == colon.start) is not (colon.end == after.start):
        return False
    joined = before.end == colon.start
    return joined or sum(piece.words == ":" for piece in pieces) > 1  # battery V2 : Va − Vb = 5 is no ratio


def _opens_remark(pieces: Sequence[Piece], index: int) -> bool:
    """Whether a sign only sets off words: `Ih = 3 A // the answer`, `Ih = 3 A – as it should`."""
    piece = pieces[index]
    after = pieces[index + 1] if index + 1 < len(pieces) else None
    before = pieces[index - 1] if index else None
    if before is None or after is None or after.sort is not PieceSort.WORD:
        return False
    if piece.words in ("//", "#", "<-"):
        return True
    spaced = before.end < piece.start and piece.end < after.start
    complete = before.sort in OPERANDS or before.words in DASHES
    return piece.words in DASHES and spaced and complete and after.words.lower() not in QUANTITY_WORDS


def _has_words_after(pieces: Sequence[Piece], index: int) -> bool:
    return index + 1 < len(pieces) and pieces[index + 1].sort in (
        PieceSort.WORD,
        PieceSort.NAME,
        PieceSort.NUMBER,
    )


def _arrows_settled(pieces: list[Piece]) -> None:
    """An arrow between equations, or before one or after one, is no limit: `3 I1 = 6 → I1 = 2`. And after
    `R3 → 0` or `R3 → ∞` something new begins."""
    for index, piece in enumerate(pieces):
        if piece.sort is not PieceSort.RELATION or RELATIONS.get(piece.words) != "→":
            continue
        before = next((p for p in reversed(pieces[max(0, index - _NEAR) : index]) if _parts(p)), None)
        after = next((p for p in pieces[index + 1 : index + _NEAR] if _parts(p)), None)
        joins = (
            before is not None and before.sort is PieceSort.RELATION and RELATIONS.get(before.words) != "→"
        )
        leads = after is not None and after.sort is PieceSort.RELATION and RELATIONS.get(after.words) != "→"
        empty = index + 1 == len(pieces) or pieces[index + 1].sort not in MATHS
        first = index == 0 or pieces[index - 1].sort not in MATHS
        if (joins and (leads or empty)) or (first and leads):
            pieces[index] = _as(piece, PieceSort.IMPLIES)


def _parts(piece: Piece) -> bool:
    return piece.sort is PieceSort.RELATION or piece.sort not in MATHS


def _ends_case(pieces: Sequence[Piece], index: int) -> bool:
    """Whether a case is complete with this piece, and a claim follows without a stop: `R2 → 0 Ih = 2`."""
    piece = pieces[index]
    if piece.words not in ("0", "oo", "∞", "infinity") or not 0 < index < len(pieces) - 1:
        return False
    after = pieces[index + 1]
    apart = after.sort in (PieceSort.NAME, PieceSort.NUMBER) and after.start > piece.end
    return apart and pieces[index - 1].sort is PieceSort.RELATION


def _as(piece: Piece, sort: PieceSort) -> Piece:
    return Piece(sort, piece.words, piece.start, piece.end)


def _is_numbering(pieces: Sequence[Piece], index: int) -> bool:
    """Whether a number counts what the word before it names: `loop 1`, `eq. 3`; not `loop rule 12 − 6 I1`."""
    piece, before = pieces[index], pieces[index - 1]
    after = pieces[index + 1] if index + 1 < len(pieces) else None
    if before.sort is PieceSort.STOP and before.words == "." and index > 1:
        before = pieces[index - 2]  # eq. 3
    if before.sort is not PieceSort.WORD or not piece.words.isdecimal() or len(piece.words) > 3:
        return False
    word = before.words.lower()
    if after is None or after.sort not in MATHS:
        return word in _NUMBERED or word in _MAYBE_NUMBERED
    if after.sort in (PieceSort.UNIT, PieceSort.RELATION):
        return False
    return word in _NUMBERED and (
        after.sort is not PieceSort.SIGN or (len(piece.words) == 1 and word not in _RULES)
    )


def _is_letter_of_prose(pieces: Sequence[Piece], index: int, names: NamesInUse) -> bool:
    """Whether a lone letter is the article `a`, the pronoun `I` or the name of a point (`at A I1 = …`)."""
    piece = pieces[index]
    if (
        piece.sort not in (PieceSort.NAME, PieceSort.UNIT)
        or len(piece.words) != 1
        or not piece.words.isalpha()
    ):
        return False
    before = pieces[index - 1] if index else None
    after = pieces[index + 1] if index + 1 < len(pieces) else None
    if (
        piece.words == "I"
        and after
        and after.sort is PieceSort.WORD
        and after.words.lower() in _PRONOUN_VERBS
    ):
        return True
    is_word = piece.words in ("a", "I") and piece.words not in names.known
    if is_word and after and after.sort is PieceSort.WORD:
        return True
    in_words_before = before is None or before.sort in (PieceSort.WORD, PieceSort.STOP, PieceSort.IMPLIES)
    if after is None or after.sort in (PieceSort.WORD, PieceSort.STOP):
        return in_words_before and (before is not None or after is not None)
    joined = after.start == piece.end
    return (
        piece.sort is PieceSort.NAME
        and before is not None
        and before.sort is PieceSort.WORD
        and after.sort in (PieceSort.NAME, PieceSort.NUMBER)
        and not joined
    )


def stretches_of(pieces: Sequence[Piece]) -> list[Stretch]:
    """The stretches of maths in a line, each with what stands before and after it."""
    found: list[tuple[list[Piece], list[Piece]]] = []  # (what stands before, the maths)
    current: list[Piece] = []
    before: list[Piece] = []
    for index, piece in enumerate(pieces):
        if piece.sort is PieceSort.GAP:
            if current and _parts_at(current, pieces, index + 1):
                found.append((before, current))
                before, current = [_as(piece, PieceSort.STOP)], []
            continue
        if current and _begins_afresh(current, pieces, index):
            found.append((before, current))
            before, current = [Piece(PieceSort.STOP, "", piece.start, piece.start)], []
        is_dash = not current and piece.words in DASHES and _is_mere_dash(pieces, index)
        if piece.sort in MATHS and not is_dash:
            current.append(piece)
            if _ends_case(pieces, index):
                found.append((before, current))
                before, current = [], []
            continue
        if current:
            found.append((before, current))
            before, current = [], []
        before.append(piece)
    if current:
        found.append((before, current))
        before = []
    if not found:
        return []
    ends = [*(b for b, _ in found[1:]), before]
    return [Stretch(tuple(c), tuple(b), tuple(a)) for (b, c), a in zip(found, ends, strict=True)]


def _parts_at(current: Sequence[Piece], pieces: Sequence[Piece], at: int) -> bool:
    """Whether a wide space parts two claims: a relation stands on both sides of it."""
    if not any(p.sort is PieceSort.RELATION for p in current) or current[-1].sort not in OPERANDS:
        return False
    if at == len(pieces) or pieces[at].sort not in (PieceSort.NAME, PieceSort.NUMBER, PieceSort.OPEN):
        return False
    while at < len(pieces) and pieces[at].sort in MATHS:
        if pieces[at].sort is PieceSort.RELATION:
            return True
        at += 1
    return False


def _begins_afresh(current: Sequence[Piece], pieces: Sequence[Piece], at: int) -> bool:
    """Whether a name behind a relation has a side to itself, so that a claim begins with it: two spaces or
    more behind it, `13 V = 78   V = 6`, behind a unit of its own kind, `I1 = 2 A I2 = 3 A`, or where nothing
    but the claims stands apart, `x=2 y=3`."""
    piece, last = pieces[at], current[-1]
    if piece.sort is not PieceSort.NAME or piece.start == last.end or at + 1 == len(pieces):
        return False
    related = any(p.sort is PieceSort.RELATION for p in current) and last.sort in OPERANDS
    if len(current) > 1 and current[-2].words == "^":
        return False  # I^2 R, where TeX leaves a gap behind its brackets
    if not related or pieces[at + 1].sort is not PieceSort.RELATION:
        return False
    if piece.start - last.end > 1:
        return True
    if last.sort is PieceSort.UNIT:
        return last.words[-1:] == (
            "A" if piece.words[0] in "IiJj" else "V" if piece.words[0] in "VvUu" else ""
        )
    return _is_tight(pieces, at + 1) and len(current) > 2 and _is_tight(pieces, at - 2)


def _is_tight(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a relation stands without a gap between a name and a number, with or without a minus: `x=2`."""
    before, sign, after = pieces[at - 1], pieces[at], pieces[at + 1] if at + 1 < len(pieces) else pieces[at]
    plain = sign.sort is PieceSort.RELATION and before.sort is PieceSort.NAME
    return (
        plain
        and before.end == sign.start
        and sign.end == after.start
        and after.sort in (PieceSort.NUMBER, PieceSort.SIGN)
    )


def _is_mere_dash(pieces: Sequence[Piece], index: int) -> bool:
    """A dash with space on both sides after words: `Junction a – Ic = Ib + Ih`."""
    piece = pieces[index]
    after = pieces[index + 1] if index + 1 < len(pieces) else None
    before = pieces[index - 1] if index else None
    return (
        before is not None
        and before.sort is PieceSort.WORD
        and after is not None
        and after.start > piece.end
        and before.end < piece.start
    )


def blanked(line: Mapped, pieces: Sequence[Piece]) -> str:
    """The text with spaces where prose in brackets stands, so that algebra can be cut out of it."""
    return line.blanked((p.start, p.end) for p in pieces if p.sort is PieceSort.GAP).text
