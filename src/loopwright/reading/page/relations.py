"""The claims in a line: where its equations begin and end amid prose, and what each of them says.

A stretch of maths that holds a relation sign is a claim (a chain of them several) or a trouble; words and
stops end it. Limits (`Ib → 0 as R2 → ∞`) become claims with their case. Judges nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from operator import attrgetter, ge, gt, le, lt

from ...expressions.fold import by_signs, fold
from ...expressions.nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Product,
    Sum,
    Symbol,
    negate,
    numbers_in,
    parts_of,
)
from ...expressions.parse import Unreadable, expression
from ...expressions.values import symbols_of
from ...expressions.writers import plain
from ..working import Claim, Trouble
from .claim_phrases import Item, lists_in, with_cases, with_differences
from .conditions_said import NOT_WEIGHED, is_condition, is_where_most
from .mapped import Mapped
from .naming import NamesInUse, renamed
from .pieces import RELATIONS, Piece, PieceSort, pieces_of
from .stretches import DASHES, Stretch, blanked, settled_pieces, stretches_of

INFINITY = Symbol("∞")
_INFINITE = re.compile(r"\s*\+?\s*(?:oo|∞|infinity|inf|infinite)\s*", re.IGNORECASE)
_CASE_WORDS = frozenset((
    "as", "when", "if", "for", "let", "letting", "whenever", "taking", "with", "setting", "where", "once",
    "limit",
))  # fmt: skip
_STROKE = re.compile(r"[/÷⁄∕](?!\s?[0-9.]+\s)")
_REVERSED = frozenset(("opposite", "against", "reverse", "reversed", "backward", "backwards"))
_SIGNS_IN_WORDS = frozenset((
    "plus", "minus", "times", "over", "divided", "multiplied", "squared",
))  # fmt: skip
_COMPARING = frozenset(("too", "as", "more", "less", "what", "larger", "smaller", "bigger", "greater"))
_OF_A_QUANTITY = frozenset((
    "across", "through", "of", "over", "in", "between",
))  # fmt: skip
_COMPARED: Mapping[str, Callable[[Fraction, Fraction], bool]] = {
    "<": lt, ">": gt, "<=": le, "≤": le, ">=": ge, "≥": ge, "≪": lt, "≫": gt, "<<": lt, ">>": gt,
}  # fmt: skip
_OF_A_ROW = re.compile(r"\W*(?:row|line|equation|zeile|gleichung|ligne|fila|rij|riga)\s+\d", re.IGNORECASE)
_ALL_OF_IT = frozenset(
    ("everything", "all", "alles", "tout", "todo", "values", "currents", "results", "them")
)
_NOTHING: Mapping[str, Fraction] = {}
_REASONS = frozenset(("since", "because", "as", "weil", "da", "car", "porque", "puisque"))
_ZERO_BY_RULE = frozenset((
    "sum", "ground", "earth", "datum", "reference", "pole", "terminal", "potential", "summe", "somme",
    "suma", "masse", "tierra", "bezugspotential",
))  # fmt: skip
_WORDS = re.compile(r"[^\d=]*[^\W\d_]{3,}\s+[^\W\d_]{2,}[^\d=]*")


def _compares(after: Sequence[Piece]) -> bool:
    """Whether words behind a number compare it with something."""
    return len(after) > 1 and after[1].words.lower() in _COMPARING


@dataclass
class Found:
    """What was found in a line so far."""

    claims: list[Claim] = field(default_factory=list)
    notes: dict[str, None] = field(default_factory=dict)
    trouble: Trouble | None = None
    cases: tuple[Equation, ...] = ()  # cases with nothing claimed in them yet
    end: Expr | None = None  # what a next line goes on from that begins with its sign


def claims_in(line: Mapped, names: NamesInUse, last: Expr | None) -> Found:
    """The claims of a line that has been freed of markup, label and references.

    `last`: the right side of the last claim above, which a line that begins with `=` goes on from.
    """
    found = Found()
    items: list[Item] = []
    line = _with_lists(line, names, found, items)
    pieces = settled_pieces(pieces_of(line.text, names), names)
    text = blanked(line, pieces)
    reading = _Reading(line, text, names, found)
    stretches = stretches_of(pieces)
    for index, stretch in enumerate(stretches):
        if not stretch.has_relation:
            continue
        before = stretches[index - 1] if index else None
        after = stretches[index + 1] if index + 1 < len(stretches) else None
        read = reading.claims(stretch, (before, after), last)
        if read:
            is_case = reading.is_case(read, stretch)
            strong = any(p.words in (";", ".") for p in stretch.before)
            items.append(Item(tuple(read), is_case, strong or not items))
            last = last if is_case else read[-1].written.right
    found.claims, found.cases = with_cases(items)
    found.end = found.claims[-1].written.right if found.claims else reading.alone(stretches)
    return found


def _with_lists(line: Mapped, names: NamesInUse, found: Found, items: list[Item]) -> Mapped:
    """Reads `(I1, I2) = (2, 3) A` and `I1, I2 = 2, 3` as an equation for each; the line without them."""
    spans: list[tuple[int, int]] = []
    for one in lists_in(line.text, names):
        spans.append(one.span)
        reading = _Reading(line, line.text, names, found)
        if len(one.left) != len(one.right) and _WORDS.fullmatch(line.text[one.right[0][0] : one.span[1]]):
            continue  # "x, y, z = currents of the three windows"
        if len(one.left) != len(one.right):
            count = f"{len(one.left)} names stand before the sign and {len(one.right)} values after it"
            reading.trouble(count, one.span[0])
            continue
        for left, right in zip(one.left, one.right, strict=True):
            sides = [reading.parsed_at(left), reading.parsed_at(right, one.unit)]
            if sides[0] is not None and sides[1] is not None:
                place = line.place(left[0]), line.place(right[1])
                claim = Claim(Equation(sides[0], sides[1], one.relation), *place)
                items.append(Item((claim,), is_case=False, strong_stop_before=not items))
    return line.blanked(spans)


# -- reading one stretch ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of a relation as it is read, and as it could be meant too: `named` with V as a name behind
    numbers, where the working uses it as one."""

    tree: Expr
    other: Expr
    named: Expr | None = None

    @property
    def with_volt(self) -> Expr:
        """The side with V as a name."""
        return self.tree if self.named is None else self.named


_SAID_OF_A_NAME = frozenset((
    "needed", "required", "would", "will", "must", "be", "have", "to", "then", "now", "itself", "alone",
    "comes", "out", "there", "therefore", "thus", "really", "only", "simply", "hence", "equals", "wanted",
    "necessary",
))  # fmt: skip


def _named_before(stretch: Stretch, before: Stretch | None, names: NamesInUse) -> tuple[Piece, ...]:
    """The name that a relation is about where a word stands between the two: `E needed = 33.75 V`; nothing
    where there is none."""
    words = [piece.words.lower() for piece in stretch.before]
    if before is None and len(words) > 1 and set(words[1:]) <= _SAID_OF_A_NAME:
        first = stretch.before[0]
        letter = len(first.words) == 1 and names.readings(first.words)
        return (Piece(PieceSort.NAME, first.words, first.start, first.end),) if letter else ()
    if before is None or not words or not set(words) <= _SAID_OF_A_NAME:
        return ()
    single = len(before.pieces) == 1 and before.pieces[0].sort is PieceSort.NAME
    return before.pieces if single else ()


class _Reading:
    """The reading of the stretches of one line; troubles and notes go to `found`."""

    def __init__(self, line: Mapped, text: str, names: NamesInUse, found: Found) -> None:
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
        bad = next((p for p in pieces if p.sort is PieceSort.RELATION and p.words not in RELATIONS), None)
        if bad is not None and self._compares_rightly(pieces, bad):
            pieces, bad = pieces[: pieces.index(bad)], None  # 16/4 = 4 W > 3 W
            if not any(p.sort is PieceSort.RELATION for p in pieces):
                return []
        if bad is not None and any(p.words.lower() in _REASONS for p in stretch.before):
            return []
        if bad is not None:
            self.trouble(f'"{bad.words}" compares, where an equation is wanted', bad.start)
            return []
        texts = _sides(pieces)
        signs = [p for p in pieces if p.sort is PieceSort.RELATION]
        if self._is_prose(stretch, texts) or self._is_torn(stretch, neighbours):
            return []
        sides: list[_Side] = []
        if not texts[0] and (named := _named_before(stretch, neighbours[0], self.names)):
            texts = [list(named), *texts[1:]]
        elif not texts[0] and stretch.before and len(texts) > 2 and all(texts[1:]):
            note = f'"{stretch.before[-1].words}" is no name: the arithmetic behind it is read alone'
            self.found.notes[note] = None
            texts, signs = texts[1:], signs[1:]
        if not texts[0]:
            if stretch.before or last is None:
                self._nothing_before(stretch, signs[0])
                return []
            sides.append(_Side(last, last))
        for index, pieces_of_side in enumerate(texts):
            if index == 0 and not pieces_of_side:
                continue
            side = self._side(pieces_of_side, signs[index - 1] if index else None, is_right=index > 0)
            if side is None:
                return []
            sides.append(side)
        trees = [side.tree for side in sides]
        if is_where_most(self.text, stretch, trees):
            self.found.notes[NOT_WEIGHED] = None
            texts, signs, sides = texts[1:], signs[1:], sides[1:]
            if not signs:
                return []
        first = self._first(stretch, texts[0], sides[0])
        if first is None or _is_general_law(stretch, [first, *sides[1:]], self.names):
            return []
        trees = [first.tree, *(side.tree for side in sides[1:])]
        if is_condition(self.names.circuit, stretch, trees):
            self.found.notes[NOT_WEIGHED] = None
            return []
        return self._relations(stretch, texts, signs, [first, *sides[1:]])

    def _relations(
        self,
        stretch: Stretch,
        texts: Sequence[Sequence[Piece]],
        signs: Sequence[Piece],
        sides: Sequence[_Side],
    ) -> list[Claim]:
        found: list[Claim] = []
        for index, sign in enumerate(signs):
            begin = texts[index][0].start if texts[index] else stretch.pieces[0].start
            (left, right), relation = sides[index : index + 2], RELATIONS[sign.words]
            trees, further = (left.tree, right.tree), (left.other, right.other)
            others = [Equation(*further, relation)] if further != trees else []
            if isinstance(right.tree, Number) and _says_reversed(self.line.text[texts[index + 1][-1].end :]):
                others.append(Equation(left.tree, negate(right.tree), relation))
                self.found.notes["words about the direction of a current are not weighed"] = None
            written = Equation(left.tree, right.tree, relation)
            if left.named is not None or right.named is not None:
                named = Equation(left.with_volt, right.with_volt, relation)
                if self.names.volt and _speaks_of_volt(left, right, goes_on=index > 0):
                    written, named = named, written
                result = index > 0 and isinstance(sides[0].tree, Symbol) and isinstance(right.tree, Number)
                if not (result or _adds_bare_to_volts(named) or _says_itself(named)):
                    others.append(named)
            end = texts[index + 1][-1].end
            otherwise = tuple(other for other in others if other != written)
            found.append(Claim(written, self.line.place(begin), self.line.place(end), (), otherwise))
        return found

    def alone(self, stretches: Sequence[Stretch]) -> Expr | None:
        """The expression that is all of a line, from which the next line may go on with `=`."""
        if len(stretches) != 1 or stretches[0].before or stretches[0].after or stretches[0].has_relation:
            return None
        pieces = stretches[0].pieces
        try:
            return renamed(self._parsed(self.text[pieces[0].start : pieces[-1].end]), self.names, {})
        except Unreadable:
            return None

    def parsed_at(self, span: tuple[int, int], unit: str = "") -> Expr | None:
        """The expression at a place of the text; None when it cannot be read, which is a trouble."""
        try:
            tree = self._parsed(f"{self.text[slice(*span)]} {unit}".rstrip())
        except Unreadable as error:
            self.trouble(error.why, min(span[0] + error.position, span[1]))
            return None
        return renamed(tree, self.names, self.found.notes)

    def _side(self, side: Sequence[Piece], sign: Piece | None, *, is_right: bool) -> _Side | None:
        if not side:
            self.trouble(f'"{sign.words if sign else "="}" has nothing after it', sign.start if sign else 0)
            return None
        start, end = side[0].start, side[-1].end
        text = self.text[start:end]
        if is_right and _INFINITE.fullmatch(text):
            return _Side(INFINITY, INFINITY)
        foreign = next((p for p in side if p.sort is PieceSort.FOREIGN and p.words != "_"), None)
        if foreign is not None:
            self.trouble(_why_foreign(foreign.words), foreign.start)
            return None
        try:
            tree = renamed(self._parsed(text), self.names, self.found.notes)
            tree = with_differences(tree, self.names, self.found.notes)
        except Unreadable as error:
            self.trouble(error.why, start + error.position)
            return None
        return _Side(tree, self._meant_otherwise(text, tree), self._with_volt(text, tree))

    def _with_volt(self, text: str, tree: Expr) -> Expr | None:
        """The side with V read as a name; None where that makes no difference."""
        if "V" not in text or not (self.names.volt or "V" in self.names.like_units):
            return None
        try:
            named = renamed(expression(text, self.names.split | {"V"}, freely=True), self.names, {})
        except Unreadable:
            return None
        return named if named != tree else None

    def _meant_otherwise(self, text: str, tree: Expr) -> Expr:
        """`E/2R` with all that follows the stroke below it, if that is something else."""
        if not _STROKE.search(text):
            return tree
        try:
            other = with_differences(renamed(self._parsed(text, tight=True), self.names, {}), self.names, {})
        except Unreadable:
            return tree
        if other != tree:
            shown = text.strip() if len(text) < 40 else "a fraction in one line"
            self.found.notes[f"{shown} is read as {plain.render(tree)}"] = None
        return other

    def _parsed(self, text: str, *, tight: bool = False) -> Expr:
        """The tree of a side. A symbol such as V is the volt behind a number where the side speaks of none of
        the data by name."""
        names = self.names
        if names.like_units:
            try:
                bare = expression(text, names.split - names.like_units, freely=True, tight=tight)
            except Unreadable:
                bare = None
            data = {*names.circuit.elements, *names.circuit.symbols}
            if bare is not None and not data.intersection(symbols_of(renamed(bare, names, {}))):
                return bare
        return expression(text, names.split, freely=True, tight=tight)

    def _first(self, stretch: Stretch, side: Sequence[Piece], read: _Side) -> _Side | None:
        """The left side with what the words and the dash before it make of it."""
        said = self._said_of(stretch, side, read.tree)
        if said is None or said != read.tree:
            return None if said is None else _Side(said, said)
        dash = stretch.before[-1] if stretch.before else None
        if dash is None or dash.words not in DASHES or not side:
            return read
        self.found.notes[f"the dash before {side[0].words} is not read as a minus"] = None
        try:
            other = renamed(self._parsed(self.text[dash.start : side[-1].end]), self.names, {})
        except Unreadable:
            return read
        return _Side(read.tree, other)

    def _compares_rightly(self, pieces: Sequence[Piece], bad: Piece) -> bool:
        """Whether a sign of comparison stands at the end between two numbers of which it is right."""
        at = pieces.index(bad)
        before = list(pieces[:at])
        starts = [i for i, p in enumerate(before) if p.sort is PieceSort.RELATION]
        before = before[starts[-1] + 1 :] if starts else before
        after = pieces[at + 1 :]
        if bad.words not in _COMPARED or not before or not after:
            return False
        if any(p.sort is PieceSort.RELATION for p in after):
            return False
        try:
            sides = [self._parsed(self.text[s[0].start : s[-1].end]) for s in (before, after)]
            one, other = (fold(side, by_signs(attrgetter("value"), _NOTHING.__getitem__)) for side in sides)
        except (Unreadable, KeyError, ZeroDivisionError):
            return False
        return _COMPARED[bad.words](one, other)

    def _is_prose(self, stretch: Stretch, sides: Sequence[Sequence[Piece]]) -> bool:
        """`R = resistance of the lamp`, `I1 = ?`: a relation with words (or nothing) after it."""
        if not sides[-1]:
            after = stretch.after[0] if stretch.after else None
            return after is not None and (after.sort is PieceSort.WORD or after.words == "?")
        if not sides[0] and stretch.before and stretch.before[-1].sort is PieceSort.WORD:
            if [p.words for p in sides[-1]] == ["0"] and any(
                p.words.lower() in _ZERO_BY_RULE for p in stretch.before
            ):
                return True  # "sum of the currents leaving = 0": a rule, or where potentials begin
            return any(p.words.startswith(("Σ", "∑")) for p in stretch.before)
        return any(p.sort is PieceSort.FOREIGN and p.words in "∑" for p in stretch.pieces)

    def _is_torn(self, stretch: Stretch, neighbours: tuple[Stretch | None, Stretch | None]) -> bool:
        """Whether words stand inside the equation: `drop across R1 + drop across R2 = E`."""
        before, after = neighbours
        gap = stretch.before
        only_words = gap and all(p.sort is PieceSort.WORD or p.words in DASHES for p in gap)
        if before and not before.has_relation and only_words and before.pieces[-1].sort is PieceSort.SIGN:
            self.trouble(f'"{gap[0].words}" is a word inside the equation; write a name', gap[0].start)
            return True
        for words, word in (
            (gap, gap[-1] if gap else None),
            (stretch.after, stretch.after[0] if stretch.after else None),
        ):
            told = word is not None and word.words.lower() in ("times", "multiplied", "divided")
            if told and words is gap and before is None:
                continue  # "Times R1:" says what is done to the line above
            if words is gap and _OF_A_ROW.match(self.text):
                continue  # "Row 3 plus 0.6 of that: 7.65 J3 = -4.2"
            if told and word is not None and _compares(stretch.after):
                continue  # "1.5 times too much"
            if told and words is gap and len(gap) > 1 and gap[-2].words.lower() in _ALL_OF_IT:
                continue  # "everything times 15/20.66 = 0.726"
            if word and word.sort is PieceSort.WORD and word.words.lower() in _SIGNS_IN_WORDS:
                self.trouble(f'"{word.words}" stands for a sign of algebra; write the sign', words[0].start)
                return True
        if (
            after
            and not after.has_relation
            and stretch.after
            and all(p.sort is PieceSort.WORD for p in stretch.after)
        ):
            first = after.pieces[0]
            if first.sort is PieceSort.SIGN and first.words not in DASHES:
                word = stretch.after[0]
                self.trouble(f'"{word.words}" is a word inside the equation; write a name', word.start)
                return True
        return False

    def _nothing_before(self, stretch: Stretch, sign: Piece) -> None:
        word = next((p for p in reversed(stretch.before) if p.sort is PieceSort.WORD), None)
        if RELATIONS[sign.words] == "→" and "=" not in self.text and _WORDS.search(self.text[sign.end :]):
            return  # -> R4 does not count
        if word is None or stretch.before[-1].sort is not PieceSort.WORD:
            self.trouble(f'"{sign.words}" has nothing before it', sign.start)
        else:
            self.trouble(
                f'"{word.words}" is a word, not a name; write the quantity, as in I1 {sign.words} …',
                word.start,
            )

    def _said_of(self, stretch: Stretch, side: Sequence[Piece], tree: Expr) -> Expr | None:
        """What the words right before a claim make of its left side: `current through R1 = 2 A`."""
        word = stretch.before[-1] if stretch.before else None
        if word is None or word.sort is not PieceSort.WORD or word.words.lower() not in _OF_A_QUANTITY:
            return tree
        if not isinstance(tree, Symbol) or not side:
            if stretch.before and len(stretch.before) > 1:
                return tree
        elif word.words.lower() in ("in", "of") and len(stretch.before) == 1:
            return tree
        said = {p.words.lower() for p in stretch.before}
        name = tree.name if isinstance(tree, Symbol) else ""
        circuit = self.names.circuit
        met = self.names.met
        meant = ""
        held = self.names.element(name) if name else None
        if held in met and "current" in said:
            meant = circuit.branch_of(held).name
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
        words = [p.words.lower() for p in stretch.before if p.sort is PieceSort.WORD]
        return _is_zero(written.right) and bool(words) and words[-1] in _CASE_WORDS


def _speaks_of_volt(left: _Side, right: _Side, *, goes_on: bool) -> bool:
    """Whether V behind a number is a name rather than the volt: `20 − 2V = 6`, `4V = 24`; not in `V = 6 V`
    or in
    the rest of a chain, nor where other numbers have units too."""
    units = {n.unit for side in (left, right) for n in numbers_in(side.tree)}
    if units - {"", "V"}:
        return False
    amid = any(side.named is not None and parts_of(_unsigned(side.tree)) for side in (left, right))
    return amid or not (goes_on or symbols_of(left.tree) or symbols_of(right.tree))


def _adds_bare_to_volts(written: Equation) -> bool:
    """Whether a bare number is added to volts, `6 − 6 V`: then V is a name there."""
    for side in (written.left, written.right):
        terms = [_unsigned(term) for term in side.terms] if isinstance(side, Sum) else []
        numbers = [t for t in terms if isinstance(t, Number) and t.value]
        if {n.unit for n in numbers} == {"", "V"}:
            return True
    return False


def _says_itself(written: Equation) -> bool:
    """Whether a name would be given as a multiple of itself, `V = 1 · V` for V = 1 V."""
    left, right = written.left, written.right
    body = _unsigned(right)
    return isinstance(left, Symbol) and isinstance(body, Product) and body.factors[1:] == (left,)


def _unsigned(expr: Expr) -> Expr:
    """An expression without a minus before it."""
    return expr.body if isinstance(expr, Negative) else expr


def _sides(pieces: Sequence[Piece]) -> list[list[Piece]]:
    sides: list[list[Piece]] = [[]]
    for piece in pieces:
        if piece.sort is PieceSort.RELATION:
            sides.append([])
        else:
            sides[-1].append(piece)
    return sides


def _says_reversed(after: str) -> bool:
    """Whether words right after a result turn it round: `I1 = 1 A, opposite to the arrow`."""
    words = re.split(r"[=≈→]", after[:80])[0].lower()
    return any(word in _REVERSED for word in re.findall(r"[a-z]+", words))


def _is_general_law(stretch: Stretch, sides: Sequence[_Side], names: NamesInUse) -> bool:
    """`Ohm's law: V = I R`: the law itself, in letters that the circuit does not have."""
    words = {p.words.lower() for p in stretch.before if p.sort is PieceSort.WORD}
    if not words & {"law", "rule", "formula", "general", "recall", "remember", "relation", "kvl", "kcl"}:
        return False
    found = {name for side in sides for name in symbols_of(side.tree)}
    return bool(found) and found <= set("VUEIRPGivr") - {*names.circuit.currents, *names.circuit.symbols}


def _is_zero(expr: Expr) -> bool:
    return isinstance(expr, Number) and expr.value == 0


def _why_foreign(sign: str) -> str:
    if sign in "±∓":
        return f'"{sign}" stands for two values; write each as an equation of its own'
    if sign == "%":
        return "a percentage is not read; write the quantity with its unit"
    if sign == ":":
        return "a ratio with a colon is not read; write it as a fraction"
    if sign == "√":
        return "a root is not read; nothing in a circuit of resistors needs one"
    if sign == "\\":
        return "this LaTeX command is not read"
    return f'the sign "{sign}" is not understood here'
