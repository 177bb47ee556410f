"""Somebody's working, read line by line: labels, references, arrows, claims, and what could not be read.

    working  lines
    line     [label] [source ":"] prose, claims and prose [label]
    claim    side { (= ≈ →) side }            read by the grammar of written algebra (`expressions.parse`)

Markup comes off first (`markup`, `latex_maths`), then labels (`labels`), arrows (`declarations`) and claims
(`relations`) are looked for. Knows no solution and judges nothing; a line that holds a relation sign is a
claim, a trouble or plainly prose. Never raises, whatever the text.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from ...circuit.circuit import Circuit
from ...expressions.nodes import Equation, Expr, Number, Sum, Symbol, add
from ...expressions.values import symbols_of
from ..faults import COULD_NOT, own_fault
from ..working import AS_DRAWN, ArrowSaid, Claim, Trouble, Working, WrittenLine
from .arrows_listed import rows_as_arrows
from .changes_said import ChangesSaid
from .crossed_out import HESITATED, TAKEN_BACK, without_crossed_out
from .currents_in_words import currents_told, with_either_sense
from .decimal_commas import has_decimal_commas
from .declarations import arrows_in, names_in_use, round_loops_in
from .determinants_written import with_determinants
from .directed_currents import currents_with_their_way
from .labels import label_at_back, label_at_front, labels_amid, source_of
from .latex_maths import Latex
from .loops_said import loops_in, loops_listed, run_one_way
from .mapped import Mapped, mapped
from .markup import Dash, dashes, unmarked, without_dash
from .matrices_written import drawn_as_one, goes_on_as_matrix, with_matrix_equations
from .naming import NamesInUse, name_of
from .plain_signs import in_signs, with_units_mended
from .potentials_said import potentials_in
from .prefixes_carried import milliamperes_in, with_prefixes_carried, with_squares
from .relations import Found, claims_in
from .resistances_in_words import resistances_told
from .senses_left_open import with_other_senses
from .sets_in_matrices import sets_written_out
from .tables_of_parts import CellSaid, rows_as_parts
from .tables_of_results import rows_of_results
from .walks_said import walks_in, without_ways

_EITHER = "the dash at the front may be a minus or only mark an item of a list"
_LETTERED = re.compile(r"(?P<item>^\s{0,9}(?:[^\W\d_]{2,12}\s{1,3}){1,2}(?:[^\W\d_]|\d))\)(?=\s)")
LONGEST_TEXT = 200_000  # signs
LONGEST_LINE = 20_000
MOST_LINES = 5_000
MOST_JOINED = 20  # lines of one formula
_BREAK = re.compile(r"\r\n|[\n\r\v\f\x85\u2028\u2029]")
_AMID = re.compile(
    r"[\w)\]}′'Ω]\s{0,9}(?:&?\s{0,9}(?:=|≈|\\approx|≅|~=)|[+*·×]|\\cdot|\\times)\s{0,9}&?\s{0,9}$"
    r"|[=≈].*[\w)\]}′'Ω]\s{1,9}[-−]\s{0,9}$"
)
_BRACE = re.compile(r"(?<!\\)[{}]")
_NEW_FORMULA = re.compile(r"\\(?:begin|end|\[|\])|\$\$")
_RULE = re.compile(r"\W*")
_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")
_ASIDE = re.compile(  # 0.26 A (flows into the + pole of E2)
    r"(?<=\w)\s{1,9}(\([^()=]{0,40}?(?<![^\s(])[a-z]{3,20}\s(?:[a-z]{2,20}\s){2}[^()=]{0,80}\))"
)
_ELISION = re.compile(
    r"(?<![\w'’])([dlnsjc]|qu)['’](?=[aeiouyhâàêéèîôû][^\W\d_]{2})"
)  # d'accord, l'intensité
_ACCENTS = {"'": "\u0301", "`": "\u0300", "^": "\u0302", '"': "\u0308", "~": "\u0303"}
_ACCENTED = re.compile(r"""\\(?P<sign>['`^"~])\{?(?P<letter>[a-zA-Z])\}?""")  # Th\'evenin
_ODD_SIGNS = re.compile(r"[\uff01-\uff5e\u2010\u2011\ufe63\U0001d400-\U0001d7ff\u2126\u03bc]")


def working(
    text: str, circuit: Circuit, *, decimal_comma: bool = False, names: Collection[str] = ()
) -> Working:
    """Reads a working of `circuit`: plain text, Markdown, or the common subset of LaTeX maths.

    `decimal_comma`: `2,5` is two and a half even if the text does not show that by itself. `names`: names of
    currents or other quantities in use besides the circuit's own and those that the working declares as
    arrows. Blank lines are left out; lines are numbered from 1 as in the text. What cannot be read is the
    line's trouble; nothing is raised. A text beyond 200,000 signs or 5,000 lines is read up to there, and the
    last line says so.
    """
    decimal_comma = decimal_comma or has_decimal_commas(text)
    lines, bare, cut = bare_lines(text, decimal_comma=decimal_comma)
    told = resistances_told([one.line for one in bare], circuit)
    bare = [replace(one, line=line) for one, line in zip(bare, told, strict=True)]
    known = names_in_use([one.line for one in bare], circuit, tuple(map(name_of, names)))
    rows = rows_of_results([one.line for one in bare], known)
    bare = [one if one.cells else replace(one, cells=row) for one, row in zip(bare, rows, strict=True)]
    reader = _Reader(known, ChangesSaid(known))
    found = [reader.line_or_fault(*line, one) for line, one in zip(lines, bare, strict=True)]
    kept = _without_taken_back([line for line in found if line is not None])
    if cut:
        kept = (*kept, WrittenLine(lines[-1][0] + 1, "", trouble=Trouble(cut, 0)))
    return Working(kept, decimal_comma)


def bare_lines(
    text: str, *, decimal_comma: bool = False
) -> tuple[list[tuple[int, str]], list[BareLine], str]:
    """The lines of a text with their numbers, each freed of its markup, and why the text was cut if it
    was."""
    lines, cut = _lines(text)
    latex = Latex()
    written = sets_written_out([text for _, text in lines], decimal_comma=decimal_comma)
    freed = zip(written, dashes([line.text for line in written]), strict=True)
    bare = [_freed(t, latex, dash=dash, decimal_comma=decimal_comma) for t, dash in freed]
    told = rows_as_arrows([one.line for one in bare])
    cells = rows_as_parts([one.line for one in bare])
    found = zip(bare, told, cells, strict=True)
    return lines, [replace(one, line=line, cells=said) for one, line, said in found], cut


def _lines(text: str) -> tuple[list[tuple[int, str]], str]:
    """The lines of a text with their numbers, at most so many, and why it was cut if it was. A line that
    ends amid a formula is joined to the next."""
    cut = ""
    if len(text) > LONGEST_TEXT:
        text, cut = text[:LONGEST_TEXT], f"a working is read up to {LONGEST_TEXT} signs"
    lines = _BREAK.split(text)
    if len(lines) > MOST_LINES:
        lines, cut = lines[:MOST_LINES], f"a working is read up to {MOST_LINES} lines"
    found: list[tuple[int, str]] = []
    for number, line in enumerate(lines, start=1):
        above, text = found[-1] if found else (0, "")
        near = number - above <= MOST_JOINED and len(text) + len(line) < LONGEST_LINE
        if found and near and _goes_on(text, line.strip()):
            found[-1] = (above, f"{text} {line.strip()}")
        else:
            found.append((number, line))
    return drawn_as_one(found), cut


def _goes_on(line: str, following: str) -> bool:
    """Whether a line breaks off amid a formula: after `=` or `+`, or within a LaTeX group."""
    if following and goes_on_as_matrix(line, following):
        return True
    if not following or _NEW_FORMULA.match(following):
        return False
    end = line[-200:]
    if _AMID.search(end) and not _RULE.fullmatch(end):
        return True
    if "\\" not in line or "%" in line:
        return False
    braces = [mark[0] for mark in _BRACE.finditer(line)]
    return braces.count("{") > braces.count("}") or (following.startswith("{") and "frac" in line)


@dataclass(frozen=True, slots=True)
class BareLine:
    """A line freed of markup: its text (and the other one, when the dash at its front may be a bullet or a
    minus), the label its markup gave it, what of the markup is wrong, and what the cells of a row say."""

    line: Mapped
    other: Mapped | None = None
    tag: str = ""
    trouble: Trouble | None = None
    cells: tuple[CellSaid, ...] = ()


def _freed(text: Mapped, latex: Latex, *, dash: Dash, decimal_comma: bool) -> BareLine:
    if len(text.text) > LONGEST_LINE:
        why = f"the line is longer than {LONGEST_LINE} signs"
        return BareLine(mapped(""), trouble=Trouble(why, LONGEST_LINE))
    line = unmarked(text, bullet=dash is Dash.BULLET)
    line = line.replaced(_ODD_SIGNS, lambda match: _plain(match[0]))
    line = line.replaced(_ELISION, lambda match: match[1])
    if "\\" in line.text:
        line = line.replaced(
            _ACCENTED, lambda m: unicodedata.normalize("NFC", m["letter"] + _ACCENTS[m["sign"]])
        )
    if decimal_comma:
        line = line.replaced(_COMMA, lambda _: ".")
    line, tag, trouble = latex.plain(with_matrix_equations(with_determinants(line)))
    if decimal_comma:
        line = line.replaced(_COMMA, lambda _: ".")  # 2{,}5
    bare = without_dash(line)
    if dash is Dash.LIKE_A_BULLET:
        return BareLine(bare, line, tag, trouble)
    return BareLine(line, bare if dash is Dash.LIKE_A_MINUS else None, tag, trouble)


def _plain(sign: str) -> str:
    if sign in "\u2010\u2011\ufe63\uff0d":
        return "-"
    if sign == "\u03bc":
        return "µ"
    made = unicodedata.normalize("NFKC", sign)
    return made if len(made) == 1 else sign


def _without_bracket(match: re.Match[str]) -> str:
    """The words before an item of a list, `node a)`, without its bracket, where nothing has opened that."""
    own = match.string
    return f"{match['item']}:" if own.count(")") == own.count("(") + 1 else match[0]


# -- one line --------------------------------------------------------------------------------------


@dataclass
class _Reader:
    """Reads lines in order: a label counts on from those above, `= 2 A` goes on from the line above."""

    names: NamesInUse
    settings: ChangesSaid
    arrows: dict[str, ArrowSaid] = field(default_factory=dict)
    labels: dict[str, None] = field(default_factory=dict)
    last: Expr | None = None
    cases: tuple[Equation, ...] = ()
    found: set[str] = field(default_factory=set)  # the names that a line above gives a number
    milliamperes: set[Fraction] = field(default_factory=set)  # such numbers above, as they stand

    def line_or_fault(self, number: int, text: str, bare: BareLine) -> WrittenLine | None:
        """The next line; one that a fault of ours kept from being read says so."""
        try:
            return self.line(number, text, bare)
        except Exception as trouble:
            return WrittenLine(number, text, trouble=Trouble(COULD_NOT, 0, own_fault(trouble, number)))

    def line(self, number: int, text: str, bare: BareLine) -> WrittenLine | None:
        if not text.strip():
            self.cases = ()
            return None
        if bare.trouble is not None and not bare.line.text.strip():
            return WrittenLine(number, text, trouble=bare.trouble)
        if bare.cells:
            return self._row(number, text, bare.cells)
        last = self.last
        line = self._read(number, text, bare.line, bare.tag)
        if "+" in text and line.claims:
            line = replace(line, claims=_with_sums(line.claims, last, text))
        if bare.other is not None and line.claims:
            again = claims_in(bare.other, self.names, last).claims
            if again and again[0].written != line.claims[0].written:
                first = line.claims[0]
                first = replace(first, otherwise=(*first.otherwise, again[0].written))
                line = replace(line, claims=(first, *line.claims[1:]), notes=(*line.notes, _EITHER))
        if bare.trouble and (line.claims or line.trouble or _has_relation(text)):
            whole = tuple(c for c in line.claims if _is_whole(c, bare.trouble, text))
            return replace(line, claims=whole, trouble=bare.trouble)
        return line

    def _row(self, number: int, text: str, cells: Sequence[CellSaid]) -> WrittenLine:
        """A row of a table whose cells are of several circuits, each read as a line by itself."""
        before = self.settings.now
        said = [(cell, self._read(number, cell.words, mapped(cell.words), "")) for cell in cells]
        self.settings.now = before
        claims = tuple(replace(c, start=cell.start, end=cell.end) for cell, one in said for c in one.claims)
        notes = dict.fromkeys(note for _, one in said for note in one.notes)
        trouble = next((Trouble(one.trouble.why, cell.start) for cell, one in said if one.trouble), None)
        return WrittenLine(number, text, claims, notes=tuple(notes), trouble=trouble, setting=before)

    def _read(self, number: int, text: str, line: Mapped, tag: str) -> WrittenLine:
        line = line.replaced(_LETTERED, _without_bracket) if ")" in line.text else line
        front, line = label_at_front(line, self.labels, self.names.split)
        back, line = label_at_back(line, self.labels, self.names.split)
        amid, line = labels_amid(line, self.labels)
        self.labels.update(dict.fromkeys(amid))
        label = tag or back or front
        walked, unwalked = walks_in(line, self.names)
        arrows, trouble = ((), None) if walked else arrows_in(line, self.names)
        line = unwalked
        if any(arrow.name in self.found for arrow in arrows):
            arrows = ()  # which way it flows in the end, and no arrow to count it by
        if arrows or trouble is not None:
            self._label(label)
            self.arrows.update({arrow.name: arrow for arrow in arrows})
            return WrittenLine(number, text, label=label, arrows=arrows, trouble=trouble)
        rounds, loops = round_loops_in(line.text, self.names), loops_in(line, self.names)
        one_way = run_one_way(line)
        if not loops:
            loops, line = loops_listed(line, self.names)
        loops = (*walked, *loops)
        potentials = potentials_in(line, self.names)
        line = without_crossed_out(line)
        source, line = source_of(line, self.names.split, self.labels)
        changes, line = self.settings.said_in(line)
        self._label(label)
        line, ways_told = currents_with_their_way(line, self.names, self.arrows)
        line, said = in_signs(without_ways(currents_told(line, self.names), self.names), self.names)
        line, notes = with_units_mended(line, self.names.known)
        line = line.blanked([aside.span(1) for aside in _ASIDE.finditer(line.text)])
        found = self._claims(line)
        whole = (_trimmed(claim, text) for claim in found.claims)
        trimmed = (c if c.start in ways_told else with_either_sense(c, text) for c in whole)
        claims = [with_other_senses(claim, text, self.names.circuit) for claim in trimmed]
        placed, setting = self.settings.of(text, claims, changes)
        solved = (c.written.left for c in placed if not symbols_of(c.written.right))
        self.found.update(side.name for side in solved if isinstance(side, Symbol))
        placed = tuple(replace(c, setting=AS_DRAWN) if c.case else c for c in placed)  # a limit says where
        placed = with_squares(with_prefixes_carried(placed, self.milliamperes, self.names.kilohms))
        self.milliamperes |= milliamperes_in(placed)
        notes = (*said, *notes, *found.notes)
        return WrittenLine(
            number, text, placed, label, source, (), notes if placed else (), found.trouble, setting,
            rounds, loops, one_way, potentials,
        )  # fmt: skip

    def _label(self, label: str) -> None:
        if label:
            self.labels[label] = None

    def _claims(self, line: Mapped) -> Found:
        found = claims_in(line, self.names, self.last)
        found.claims = [c for c in found.claims if c.written.relation != "→" or symbols_of(c.written.left)]
        if found.claims or found.trouble or found.end:
            self.last = None if found.trouble else found.end
        if found.cases and not found.claims:
            self.cases = found.cases
        elif self.cases and found.claims and all(_is_limit(claim.written) for claim in found.claims):
            if not any(claim.case for claim in found.claims):
                found.claims = [replace(claim, case=self.cases) for claim in found.claims]
        else:
            self.cases = ()
        return found


def _without_taken_back(lines: Sequence[WrittenLine]) -> tuple[WrittenLine, ...]:
    """The lines, without the claims of one that the next begins by taking back."""
    found = list(lines)
    for at, line in enumerate(lines[1:], 1):
        anew = line.claims or (at + 1 < len(lines) and lines[at + 1].claims)
        back = TAKEN_BACK.match(line.text) or (anew and HESITATED.match(line.text))
        if back and found[at - 1].claims:
            note = f"taken back in line {line.number}"
            found[at - 1] = replace(found[at - 1], claims=(), trouble=None, notes=(note,))
    return tuple(found)


def _trimmed(claim: Claim, text: str) -> Claim:
    """The claim without the space and the closing marks that stand behind it."""
    return replace(claim, end=claim.start + len(text[claim.start : claim.end].rstrip(" \t*`$&")))


def _with_sums(claims: Sequence[Claim], last: Expr | None, text: str) -> tuple[Claim, ...]:
    """The claims of a line, those that begin with a plus as sums with what comes right before."""
    found: list[Claim] = []
    for claim in claims:
        begins = text[claim.start : claim.end].lstrip().startswith("+") and (
            not found or found[-1].end <= claim.start
        )
        found.append(_added(last, claim) if begins else claim)
        last = claim.written.right
    return tuple(found)


def _added(last: Expr | None, claim: Claim) -> Claim:
    """A claim that begins with a plus, as it may be meant: something added to what comes right before,
    `+3 = 9` after `12*12/24 = 6`, or resistors, `+ r1 + R2 = 9`."""
    left, right = claim.written.left, claim.written.right
    terms = left.terms if isinstance(left, Sum) else (left,)
    resistors = all(isinstance(term, Symbol) and term.name[:1] in "Rr" for term in terms)
    resistor = resistors and not symbols_of(right)
    if not isinstance(last, Number) or not last.value or not (resistor or not symbols_of(claim.written)):
        return claim
    whole = add(Number(Fraction(last.text) if last.text else last.value), left)
    meant = Equation(whole, claim.written.right, claim.written.relation)
    return replace(claim, written=meant, otherwise=(*claim.otherwise, claim.written))


def _is_whole(claim: Claim, trouble: Trouble, text: str) -> bool:
    """Whether a claim is complete before the place where the line can be read no further."""
    return any(stop in text[claim.end : trouble.position] for stop in ",;")


def _is_limit(written: Equation) -> bool:
    return written.relation == "→"


def _has_relation(text: str) -> bool:
    return any(sign in text for sign in ("=", "≈", "→", "->", r"\to", r"\approx"))
