"""The claims in a line: where its equations begin and end amid prose, and what each of them says.

A stretch of maths that holds a relation sign is a claim (a chain of them several) or a trouble; words and
stops end it. Limits (`I3 → 0 as R3 → ∞`) become claims with their case. Judges nothing.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from ..expressions.nodes import Equation, Expr, Number, Symbol
from ..expressions.parse import Unreadable, expression
from ..expressions.values import symbols_of
from ..quantities import read_unit
from .mapped import Mapped
from .naming import Names, renamed
from .pieces import CLOSING, MATHS, OPERANDS, RELATIONS, Piece, Sort, pieces_of
from .working import Claim, Trouble

INFINITY = Symbol("∞")
_INFINITE = re.compile(r"\s*\+?\s*(?:oo|∞|infinity|inf|infinite)\s*", re.IGNORECASE)
_CASE_WORDS = frozenset((
    "as", "when", "if", "for", "let", "letting", "whenever", "taking", "with", "setting", "where", "once",
    "limit",
))  # fmt: skip
_NUMBERED = frozenset((
    "loop", "loops", "step", "eq", "eqn", "equation", "equations", "line", "lines", "part", "mesh",
    "junction", "node", "law", "rule", "case", "question", "problem", "number", "no", "circuit",
    "circuits", "figure", "fig", "section", "branch",
))  # fmt: skip
_MAYBE_NUMBERED = frozenset((
    "from", "into", "in", "by", "using", "and", "with", "to", "of", "per", "see", "put", "sub",
))  # fmt: skip
_SIGNS_IN_WORDS = frozenset((
    "plus", "minus", "times", "over", "divided", "multiplied", "squared",
))  # fmt: skip
_OF_A_QUANTITY = frozenset((
    "across", "through", "of", "over", "in", "between",
))  # fmt: skip
_NOT_NAMES = frozenset(("a", "A", "I"))
_PRONOUN_VERBS = frozenset((
    "think", "get", "got", "use", "used", "find", "found", "have", "had", "know", "am", "will", "then",
    "assume", "chose", "choose", "did", "do", "took", "take", "made", "see", "guess", "need", "want",
    "can", "call", "called", "write", "wrote", "put", "say", "said", "mean", "meant", "was", "would",
    "substitute", "substituted",
))  # fmt: skip
_DASHES = ("-", "–", "−", "—")


@dataclass
class Found:
    """What was found in a line so far."""

    claims: list[Claim] = field(default_factory=list)
    notes: dict[str, None] = field(default_factory=dict)
    trouble: Trouble | None = None
    cases: tuple[Equation, ...] = ()  # cases with nothing claimed in them yet


@dataclass(frozen=True, slots=True)
class Stretch:
    """Maths between words and stops: its pieces, the pieces before and after it up to the next stretch."""

    pieces: tuple[Piece, ...]
    before: tuple[Piece, ...]
    after: tuple[Piece, ...]

    @property
    def has_relation(self) -> bool:
        """Whether something is claimed in it."""
        return any(piece.sort is Sort.RELATION for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class _Item:
    """A claim of the line or, if `is_case`, the limit case it is made in."""

    claims: tuple[Claim, ...]
    is_case: bool
    strong_stop_before: bool


def claims_in(line: Mapped, names: Names, last: Expr | None) -> Found:
    """The claims of a line that has been freed of markup, label and references.

    `last`: the right side of the last claim above, which a line that begins with `=` goes on from.
    """
    found = Found()
    pieces = _with_brackets_settled(pieces_of(line.text, names.known, names.spellings))
    text = _blanked(line, pieces)
    items: list[_Item] = []
    stretches = _stretches(pieces)
    for index, stretch in enumerate(stretches):
        if not stretch.has_relation:
            continue
        reading = _Reading(line, text, names, found)
        neighbours = (
            (stretches[index - 1] if index else None),
            (stretches[index + 1] if index + 1 < len(stretches) else None),
        )
        read = reading.claims(stretch, neighbours, last)
        if read:
            is_case = reading.is_case(read, stretch)
            strong = any(p.words in (";", ".") for p in stretch.before)
            items.append(_Item(tuple(read), is_case, strong or not items))
            if not is_case:
                last = read[-1].written.right
    found.claims, found.cases = _with_cases(items)
    return found


# -- stretches -------------------------------------------------------------------------------------


def _with_brackets_settled(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """Brackets round prose become words, brackets round whole equations become stops, and the number in
    `loop 1` a word."""
    settled = list(pieces)
    opened: list[int] = []
    for index, piece in enumerate(settled):
        if piece.sort is Sort.OPEN:
            opened.append(index)
        elif piece.sort is Sort.CLOSE and opened:
            start = opened.pop()
            if CLOSING[settled[start].words] != piece.words:
                continue
            inside = settled[start + 1 : index]
            if any(p.sort in (Sort.RELATION, Sort.IMPLIES) for p in inside):
                settled[start] = _as(settled[start], Sort.STOP)
                settled[index] = _as(piece, Sort.STOP)
            elif not opened and _is_remark(settled, start, index):
                for at in range(start, index + 1):
                    settled[at] = _as(settled[at], Sort.GAP)
    for index, piece in enumerate(settled):
        numbering = piece.sort is Sort.NUMBER and index and _is_numbering(settled, index)
        if numbering or _is_letter_of_prose(settled, index):
            settled[index] = _as(piece, Sort.WORD)
    return tuple(settled)


def _is_remark(pieces: Sequence[Piece], start: int, end: int) -> bool:
    """Whether a bracket holds words that are no part of the algebra: `(clockwise)`."""
    inside = pieces[start + 1 : end]
    if not any(p.sort in (Sort.WORD, Sort.STOP) for p in inside):
        return False
    before = pieces[start - 1] if start else None
    after = pieces[end + 1] if end + 1 < len(pieces) else None
    if (before and before.sort is Sort.SIGN) or (after and after.words in ("^", "**")):
        return False
    around = pairwise(inside)
    return not any({one.sort, two.sort} == {Sort.WORD, Sort.SIGN} for one, two in around)


def _as(piece: Piece, sort: Sort) -> Piece:
    return Piece(sort, piece.words, piece.start, piece.end)


def _is_numbering(pieces: Sequence[Piece], index: int) -> bool:
    before, after = pieces[index - 1], pieces[index + 1] if index + 1 < len(pieces) else None
    if before.sort is Sort.STOP and before.words == "." and index > 1:
        before = pieces[index - 2]  # eq. 3
    if before.sort is not Sort.WORD:
        return False
    word = before.words.lower()
    return word in _NUMBERED or (word in _MAYBE_NUMBERED and (after is None or after.sort not in MATHS))


def _is_letter_of_prose(pieces: Sequence[Piece], index: int) -> bool:
    """Whether a lone letter is the article `a`, the pronoun `I` or the name of a point (`at A I1 = …`)."""
    piece = pieces[index]
    if piece.sort not in (Sort.NAME, Sort.UNIT) or len(piece.words) != 1 or not piece.words.isalpha():
        return False
    before = pieces[index - 1] if index else None
    after = pieces[index + 1] if index + 1 < len(pieces) else None
    if piece.words == "I" and after and after.sort is Sort.WORD and after.words.lower() in _PRONOUN_VERBS:
        return True
    in_words_before = before is None or before.sort in (Sort.WORD, Sort.STOP, Sort.IMPLIES)
    if after is None or after.sort in (Sort.WORD, Sort.STOP):
        return in_words_before and (before is not None or after is not None)
    joined = after.start == piece.end
    return (
        piece.sort is Sort.NAME
        and before is not None
        and before.sort is Sort.WORD
        and after.sort in (Sort.NAME, Sort.NUMBER)
        and not joined
    )


def _stretches(pieces: Sequence[Piece]) -> list[Stretch]:
    found: list[tuple[list[Piece], list[Piece]]] = []  # (what stands before, the maths)
    current: list[Piece] = []
    before: list[Piece] = []
    for index, piece in enumerate(pieces):
        if piece.sort is Sort.GAP:
            if current and _parts_at(current, pieces[index + 1 :]):
                found.append((before, current))
                before, current = [_as(piece, Sort.STOP)], []
            continue
        if piece.sort in MATHS and not (
            not current and piece.words in _DASHES and _is_mere_dash(pieces, index)
        ):
            current.append(piece)
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


def _parts_at(current: Sequence[Piece], rest: Sequence[Piece]) -> bool:
    """Whether a wide space parts two claims: a relation stands on both sides of it."""
    if not any(p.sort is Sort.RELATION for p in current) or current[-1].sort not in OPERANDS:
        return False
    following = []
    for piece in rest:
        if piece.sort not in MATHS:
            break
        following.append(piece)
    if not following or following[0].sort not in (Sort.NAME, Sort.NUMBER, Sort.OPEN):
        return False
    return any(p.sort is Sort.RELATION for p in following)


def _is_mere_dash(pieces: Sequence[Piece], index: int) -> bool:
    """A dash with space on both sides after words: `Junction a – I1 + I2 = I3`."""
    piece = pieces[index]
    after = pieces[index + 1] if index + 1 < len(pieces) else None
    before = pieces[index - 1] if index else None
    return (
        before is not None
        and before.sort is Sort.WORD
        and after is not None
        and after.start > piece.end
        and before.end < piece.start
    )


def _blanked(line: Mapped, pieces: Sequence[Piece]) -> str:
    """The text with spaces where prose in brackets stands, so that algebra can be cut out of it."""
    return line.blanked((p.start, p.end) for p in pieces if p.sort is Sort.GAP).text


# -- reading one stretch ---------------------------------------------------------------------------


class _Reading:
    """The reading of the stretches of one line; troubles and notes go to `found`."""

    def __init__(self, line: Mapped, text: str, names: Names, found: Found) -> None:
        self.line, self.text, self.names, self.found = line, text, names, found

    def trouble(self, why: str, at: int) -> None:
        place = self.line.place(at)
        if self.found.trouble is None:
            self.found.trouble = Trouble(why, place)

    def claims(
        self, stretch: Stretch, neighbours: tuple[Stretch | None, Stretch | None], last: Expr | None
    ) -> list[Claim]:
        """The claims of a stretch that holds a relation; none if it is prose after all, or in trouble."""
        pieces = stretch.pieces
        bad = next((p for p in pieces if p.sort is Sort.RELATION and p.words not in RELATIONS), None)
        if bad is not None:
            self.trouble(f'"{bad.words}" compares, where an equation is wanted', bad.start)
            return []
        sides = _sides(pieces)
        signs = [p for p in pieces if p.sort is Sort.RELATION]
        if self._is_prose(stretch, sides) or self._is_torn(stretch, neighbours):
            return []
        trees: list[Expr] = []
        start = pieces[0].start
        if not sides[0]:
            if stretch.before or last is None:
                self._nothing_before(stretch, signs[0])
                return []
            trees.append(last)
        for index, side in enumerate(sides):
            if index == 0 and not side:
                continue
            tree = self._side(side, signs[index - 1] if index else None, is_right=index > 0)
            if tree is None:
                return []
            trees.append(tree)
        named = self._said_of(stretch, sides[0], trees[0])
        if named is None:
            return []
        trees[0] = named
        found: list[Claim] = []
        for index, sign in enumerate(signs):
            begin = sides[index][0].start if sides[index] else start
            written = Equation(trees[index], trees[index + 1], RELATIONS[sign.words])
            found.append(Claim(written, self.line.place(begin), self.line.place(sides[index + 1][-1].end)))
        return found

    def _side(self, side: Sequence[Piece], sign: Piece | None, *, is_right: bool) -> Expr | None:
        if not side:
            at = sign.start if sign else 0
            self.trouble(f'"{sign.words if sign else "="}" has nothing after it', at)
            return None
        start, end = side[0].start, side[-1].end
        text = self.text[start:end]
        if is_right and _INFINITE.fullmatch(text):
            return INFINITY
        foreign = next((p for p in side if p.sort is Sort.FOREIGN and p.words != "_"), None)
        if foreign is not None:
            self.trouble(_why_foreign(foreign.words), foreign.start)
            return None
        try:
            return renamed(self._parsed(text), self.names, self.found.notes)
        except Unreadable as error:
            self.trouble(error.why, start + error.position)
            return None

    def _parsed(self, text: str) -> Expr:
        """The tree of a side. A symbol such as V is the volt where the side holds numbers alone."""
        units = {name for name in self.names.known if read_unit(name)}
        if units:
            try:
                bare = expression(text, self.names.split - units, freely=True)
            except Unreadable:
                bare = None
            if bare is not None and not set(symbols_of(bare)) - set(self.names.circuit.currents):
                return bare
        return expression(text, self.names.split, freely=True)

    def _is_prose(self, stretch: Stretch, sides: Sequence[Sequence[Piece]]) -> bool:
        """`R = resistance of the lamp`, `I1 = ?`: a relation with words (or nothing) after it."""
        if not sides[-1]:
            after = stretch.after[0] if stretch.after else None
            return after is not None and (after.sort is Sort.WORD or after.words == "?")
        if not sides[0] and stretch.before and stretch.before[-1].sort is Sort.WORD:
            return any(p.words.startswith(("Σ", "∑")) for p in stretch.before)
        return any(p.sort is Sort.FOREIGN and p.words in "∑" for p in stretch.pieces)

    def _is_torn(self, stretch: Stretch, neighbours: tuple[Stretch | None, Stretch | None]) -> bool:
        """Whether words stand inside the equation: `drop across R1 + drop across R2 = E`."""
        before, after = neighbours
        gap = stretch.before
        only_words = gap and all(p.sort is Sort.WORD for p in gap)
        if before and not before.has_relation and only_words and before.pieces[-1].sort is Sort.SIGN:
            self.trouble(f'"{gap[0].words}" is a word inside the equation; write a name', gap[0].start)
            return True
        for words, word in (
            (gap, gap[-1] if gap else None),
            (stretch.after, stretch.after[0] if stretch.after else None),
        ):
            if word and word.sort is Sort.WORD and word.words.lower() in _SIGNS_IN_WORDS:
                self.trouble(f'"{word.words}" stands for a sign of algebra; write the sign', words[0].start)
                return True
        if (
            after
            and not after.has_relation
            and stretch.after
            and all(p.sort is Sort.WORD for p in stretch.after)
        ):
            first = after.pieces[0]
            if first.sort is Sort.SIGN and first.words not in _DASHES:
                word = stretch.after[0]
                self.trouble(f'"{word.words}" is a word inside the equation; write a name', word.start)
                return True
        return False

    def _nothing_before(self, stretch: Stretch, sign: Piece) -> None:
        word = next((p for p in reversed(stretch.before) if p.sort is Sort.WORD), None)
        if word is None or stretch.before[-1].sort is not Sort.WORD:
            self.trouble(f'"{sign.words}" has nothing before it', sign.start)
        else:
            self.trouble(
                f'"{word.words}" is a word, not a name; write the quantity, as in I1 {sign.words} …',
                word.start,
            )

    def _said_of(self, stretch: Stretch, side: Sequence[Piece], tree: Expr) -> Expr | None:
        """What the words right before a claim make of its left side: `current through R1 = 2 A`."""
        word = stretch.before[-1] if stretch.before else None
        if word is None or word.sort is not Sort.WORD or word.words.lower() not in _OF_A_QUANTITY:
            return tree
        if not isinstance(tree, Symbol) or not side:
            if stretch.before and len(stretch.before) > 1:
                return tree
        elif word.words.lower() in ("in", "of") and len(stretch.before) == 1:
            return tree
        said = {p.words.lower() for p in stretch.before}
        name = tree.name if isinstance(tree, Symbol) else ""
        circuit = self.names.circuit
        met = {p.element for b in circuit.branches for p in b.passes}
        meant = ""
        if name in met and "current" in said:
            meant = circuit.branch_of(name).name
        elif name in met and "power" in said:
            meant = f"P({name})"
        elif (
            (name in self.names.known and said & {"value", "resistance", "emf", "size", "magnitude"})
            or (name in circuit.currents and "current" in said)
        ) or not said & {"voltage", "drop", "potential", "difference", "p", "pd", "current", "power", "sum"}:
            return tree
        if meant:
            self.found.notes[f"{stretch.before[0].words} … {name} is read as {meant}"] = None
            return Symbol(meant)
        words = " ".join(p.words for p in stretch.before[-3:])
        why = f'"{words} {name}" is said in words; write a name, such as I1, V(a, b) or P(R1)'
        self.trouble(why, stretch.before[0].start)
        return None

    def is_case(self, claims: Sequence[Claim], stretch: Stretch) -> bool:
        """Whether a claim is the case of a limit: `R3 → ∞`, `when R3 = 0`."""
        if len(claims) != 1:
            return False
        written = claims[0].written
        circuit = self.names.circuit
        if not isinstance(written.left, Symbol) or written.left.name in circuit.currents:
            return False
        if written.left.name not in (*circuit.symbols, *circuit.elements):
            return False
        if written.right == INFINITY or (written.relation == "→" and _is_zero(written.right)):
            return True
        words = [p.words.lower() for p in stretch.before if p.sort is Sort.WORD]
        return _is_zero(written.right) and bool(words) and words[-1] in _CASE_WORDS


def _sides(pieces: Sequence[Piece]) -> list[list[Piece]]:
    sides: list[list[Piece]] = [[]]
    for piece in pieces:
        if piece.sort is Sort.RELATION:
            sides.append([])
        else:
            sides[-1].append(piece)
    return sides


def _is_zero(expr: Expr) -> bool:
    return isinstance(expr, Number) and expr.value == 0


def _why_foreign(sign: str) -> str:
    if sign in "±∓":
        return f'"{sign}" stands for two values; write each as an equation of its own'
    if sign == "%":
        return "a percentage is not read; write the quantity with its unit"
    if sign == "√":
        return "a root is not read; nothing in a circuit of resistors needs one"
    if sign == "\\":
        return "this LaTeX command is not read"
    return f'the sign "{sign}" is not understood here'


# -- limit cases -----------------------------------------------------------------------------------


def _with_cases(items: Sequence[_Item]) -> tuple[list[Claim], tuple[Equation, ...]]:
    """The claims with their cases, and the cases left over. A clause that begins with a case has it first
    (`as R3 → ∞, I3 → 0`), one that begins with a claim has it last (`I3 → 0 as R3 → ∞`)."""
    found: list[Claim] = []
    left: tuple[Equation, ...] = ()
    for clause in _clauses(items):
        groups: list[tuple[list[Equation], list[Claim]]] = []
        case_first = clause[0].is_case
        was_case: bool | None = None
        for item in clause:
            if not groups or (
                item.is_case is case_first and was_case is not None and was_case is not case_first
            ):
                groups.append(([], []))
            cases, claims = groups[-1]
            if item.is_case:
                cases.extend(_case(claim.written) for claim in item.claims)
            else:
                claims.extend(item.claims)
            was_case = item.is_case
        for cases, claims in groups:
            found.extend(Claim(c.written, c.start, c.end, tuple(cases)) for c in claims)
            left = () if claims else tuple(cases)
    return found, left


def _case(written: Equation) -> Equation:
    return Equation(written.left, written.right, "→")


def _clauses(items: Sequence[_Item]) -> list[list[_Item]]:
    clauses: list[list[_Item]] = []
    for item in items:
        if item.strong_stop_before or not clauses:
            clauses.append([])
        clauses[-1].append(item)
    return clauses
