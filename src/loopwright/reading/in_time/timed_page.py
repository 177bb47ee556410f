"""A working of a circuit in time, read line by line: its claims, the moments that its words speak of, what it
declares, and what could not be read.

Markup, labels and arrows are read as in every working (`page/`); what is a name here, and when, is for
`timed_names`. Knows no solution and judges nothing. Never raises, whatever the text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import product

from ...circuit.circuit import Circuit
from ...expressions.nodes import Equation, Expr, Symbol, parts_of, put
from ...expressions.parse import FUNCTIONS, Unreadable, expression
from ...expressions.tokens import canonical_name
from ...quantities import STORED, UNITS, read_unit
from ..faults import COULD_NOT, own_fault
from ..page.decimal_commas import has_decimal_commas
from ..page.declarations import arrow_in
from ..page.labels import label_at_back, label_at_front, source_of
from ..page.lines import BareLine, bare_lines
from ..page.mapped import Mapped
from ..page.naming import NamesInUse
from ..page.plain_signs import with_halves
from ..working import ArrowSaid, Claim, Trouble, Working, WrittenLine
from .timed_names import ANY_R, EULER, MARK, TAU, TIME, Sort, TimedName, TimedNames, TimedQuantity, When

_TIME = r"\d+(?:\.\d+)?\s*(?:[munpµμ]?s|min)\b|(?:\d+(?:\.\d+)?\s*)?(?:τ|tau)(?:\s*/\s*\d+)?(?!\w)"
_ZERO = r"0(?![\d.])\s*\^?\s*[({]?\s*"
_MOVING = (
    r"(?:closing|opening|switching|that|(?:the switch|S\d?) (?:is |has )?(?:closed|opened|closes|opens))"
)
_BEFORE = (
    rf"\b(?:just |right |shortly |immediately )?before\b(?: {_MOVING})?",
    rf"\b(?:at )?t\s*=\s*{_ZERO}[-−⁻]\s*[)}}]?",
    r"\bt\s*<\s*0",
)
_AFTER = (
    rf"\b(?:just|right|immediately|directly|straight) after(?:wards)?\b(?: {_MOVING})?",
    r"\binitially\b",
    r"\bat (?:the )?(?:start|beginning|first|outset|moment|instant)\b",
    rf"\b(?:at )?t\s*=\s*{_ZERO}[+⁺]?\s*[)}}]?(?=\W|$)",
    r"\bat 0\s*\^?[+⁺]",
)
_END = (
    r"\blong after(?:wards)?\b",
    r"\b(?:after )?a (?:very )?long time(?: after(?:wards)?)?\b",
    r"\beventually\b",
    r"\bin the (?:end|long run)\b",
    r"\b(?:in (?:the )?)?steady[ -]state\b",
    r"\b(?:as |for |at |when )?t\s*(?:=|→|->)\s*(?:∞|oo\b|inf\w*)",
    r"\bfinally\b",
    r"\bat the end\b",
)
_ALWAYS = (
    r"\bin between\b",
    r"\bat any time\b",
    r"\bat (?:a |the )?time t\b",
    r"\bfor t\s*[>≥]=?\s*0",
    r"\bat all times\b",
    r"\bafterwards\b",
    r"\bany later time\b",
)
_STAGES = ((When.BEFORE, _BEFORE), (When.AFTER, _AFTER), (When.END, _END), (When.COURSE, _ALWAYS))
_WORDS = [(when, re.compile("|".join(ways), re.IGNORECASE)) for when, ways in _STAGES]
_THEN = re.compile(r"\s*(?:after(?:wards)?|now|then)\s*:", re.IGNORECASE)
_AT_TIME = re.compile(
    rf"\b(?:at|after|for)\s+(?:time\s+)?(?:t\s*=\s*)?({_TIME})|^\s*t\s*=\s*({_TIME})(?=\s*[:,])",
    re.IGNORECASE,
)
_CLOCK = re.compile(
    rf"\b(?:clos|open|mov|turn|thrown|stage)\w*[^=]{{0,40}}?\bat\s+(?:t\s*=\s*)?({_TIME})", re.IGNORECASE
)
_ELEMENT = r"(?:the )?(?:capacitor |coil |resistor |lamp |battery )?([A-Z][a-zA-Z]?_?\d{0,2})(?!\w)"
_TOLD = rf"{_ELEMENT}(?=\s*(?:=|≈|is))"
_SAID_OF = (
    ("V", r"(?:voltage|drop|p\.?d\.?|potential difference) (?:across|on|over|of|at)"),
    ("I", r"current (?:through|in|of|into)"),
    ("Q", r"charge (?:on|of|in)"),
    ("U", r"energy (?:stored )?(?:in|of|on)"),
    ("heat", r"heat (?:lost |given off )?(?:in|of)"),
)
_SPOKEN = [(re.compile(rf"\b(?:the )?{words} {_TOLD}", re.IGNORECASE), letter) for letter, words in _SAID_OF]
_TIME_CONSTANT = re.compile(r"\b(?:the )?time constant(?= *(?:=|≈|is\b))", re.IGNORECASE)
_DECLARED = re.compile(
    r"(?P<name>[^\W\d_]\w*(?:_\{[^{}]*\})?(?:\(\w+\))?)\s*(?:,? ?(?:is|are|being|will be))?\s*"
    r"(?:the (?:voltage|potential difference|current))?\s*,?\s*"
    r"(?:taken|counted|measured|drawn|positive|runs?|flows?|flowing|pointing|chosen)?\s*"
    r"(?:as )?(?:positive )?,?\s*from (?P<a>\w+) to (?P<b>\w+)"
    r"(?: (?:through|via) (?P<through>\w+))?[\s.;,]*$",
    re.IGNORECASE,
)
_LEFT = re.compile(
    r"(?:^|[,;:.(]|\b(?:so|with|where|let|and|then|call)\b)\s*([^\W\d_](?:_\{[^{}]*\}|\w)*['′]*)\s*(?:=|≈)"
)
_PIECE = re.compile(
    r"""(?P<number>\d+(?:\.\d+)?(?:e[+\-−]?\d+)?|\.\d+)
    |(?P<name>(?![⁰¹²³⁴⁵⁶⁷⁸⁹])[^\W\d_](?:_\{[^{}\s]*\}|[^\W⁰¹²³⁴⁵⁶⁷⁸⁹])*['′]*)
    |(?P<stop>=>|==>|⇒|⟹|∴|->|-->|→|<=|>=|[<>≤≥≠±?!;,:%])
    |(?P<relation>==|:=|=|≈|≃|≅|~=|~)
    |(?P<sign>\*\*|\|\||//|[+\-−–*·⋅×∙/÷⁄^∥‖√]|[⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)
    |(?P<open>[(\[{])|(?P<close>[)\]}])|(?P<space>\s+)|(?P<other>.)""",
    re.VERBOSE,
)  # fmt: skip
_CONDITION = ("for", "when", "until", "reaches", "reach", "once", "that", "till", "if")
_NUMBERED = re.compile(r"[A-Za-zα-ωΓ-Ω]_?\{?\w{0,3}\}?['′]*")
_LETTERED = re.compile(
    r"(?!If|Up|Us|Re|End|Use|Run|Via|Let)[IVUQREL][a-z]{1,2}"
)  # Ic, Vb, Rh; no short words
_SIGN_NEXT = re.compile(r"\s*[=+*·/−-]")
_DIMENSIONLESS_WORDS = frozenset(
    ("a", "I", "is", "as", "in", "it", "at", "so", "to", "of", "or", "we", "by", "no", "on", "an", "be")
)


@dataclass(frozen=True, slots=True)
class TimedLine:
    """What a line says of time: the moment its words name, `at` which time, whether these words stand in the
    line itself, and the claims (by their place among the line's) that are conditions: `when V = 9 V`."""

    when: When = When.UNSAID
    at: Expr | None = None
    own: bool = False
    conditions: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class TimedWorking:
    """A working of a circuit in time. `names`: what its names stand for, by how they are shown; `lines`: what
    each line says of time; `clock`: the time at which the switch moves, where t is not counted from there."""

    working: Working
    names: Mapping[str, TimedName]
    lines: Mapping[int, TimedLine]
    declared: Mapping[str, TimedQuantity]
    clock: Expr | None = None


def timed_working(text: str, circuit: Circuit, *, decimal_comma: bool = False) -> TimedWorking:
    """Reads a working of a circuit in time."""
    decimal_comma = decimal_comma or has_decimal_commas(text)
    lines, bare, cut = bare_lines(text, decimal_comma=decimal_comma)
    reader = _Reader(circuit)
    for one in bare:
        reader.look_ahead(one.line.text)
    reader.names.about = ("", ())
    kept: list[WrittenLine] = []
    for (number, written), one in zip(lines, bare, strict=True):
        try:
            line = reader.line(number, written, one)
        except Exception as trouble:
            line = WrittenLine(number, written, trouble=Trouble(COULD_NOT, 0, own_fault(trouble, number)))
        if line is not None:
            kept.append(line)
    if cut:
        kept.append(WrittenLine(lines[-1][0] + 1, "", trouble=Trouble(cut, 0)))
    working = Working(tuple(kept), decimal_comma)
    return TimedWorking(working, reader.shown, reader.lines, reader.names.declared, reader.clock)


_GLUED = re.compile(r"(?<![^\W\d])(?:[IiVvUuEQq][RCLrc]\w*|Rt(?!\w))")
_BELOW_TOGETHER = re.compile(
    r"/\s?[^\W\d_](?:\w|_\{\w+\})*(?<=[A-Z\d}])(?:\s?[^\W\d_]|\()|/\s?[A-Z]\d?[A-Z]\d?|/\s?\d\s?[A-Z]"
)
_IN_THOUSANDS = re.compile(r"(?<![\w.])\d{1,3}(?: \d{3})+(?![\w.]| \d)")
_LN_OF_NUMBER = re.compile(r"\bln(?=\d)")
_VOLTS_BEHIND = re.compile(r"(?<=\d)\s?V(?!\w|\s*\()")
_VOLTS_AT_END = re.compile(  # of a course in numbers
    r"(?<==)([\d\s.+\-−–*·×/^(){}\[\]etxpcosinτmµu⁻⁰¹²³⁴-⁹]*[)\]}])\s?V(?=\s*(?:$|[=,;≈]))"
)
_VOLTS_BEHIND_BRACKET = re.compile(r"(?<=[)\]}])\s?V(?!\w|\s*\()")
_INTEGRAL = re.compile(
    r"∫(?:_\{?[^\s{}^]{1,12}\}?)?(?:\^\{?[^\s{}]{1,12}\}?)?|\\int(?:_\{[^{}]*\})?(?:\^\{[^{}]*\})?"
)
_DT = re.compile(r"(?<![\w/])dt(?!\w)|(?<=[A-Za-z\d])\s?dt(?!\w)(?<!/dt)")
_DIFFERENTIAL = re.compile(r"(?<![\w/])d([^\W\d_](?:_\{[^{}]*\}|\w)*)(?!\w|\s?/\s?dt)")
_ABOUT = re.compile(r"\s*(?:[Ff]or\s+)?([IiVvQqu](?:_\{[^{}]*\}|\w)*)\s*:")
_CONSTANT = ("const", "constant")  # of an integration: what stands for nothing is not decided
_RATE_SQUARED = re.compile(r"(?<![\w])(?:s|λ|r|p|m)\s?(?:²|\^\s?\{?2)[^=]*=\s*0\s*$")
_OWN_V = re.compile(r"(?:^|[(=+\-−*/·,;:]|\b(?:so|and|then|thus|hence|call|let)\b)\s{0,9}V(?!\w|\s*\()")
_VOLTS = re.compile(r"\d\s?V(?!\w)")


@dataclass(frozen=True, slots=True)
class _Piece:
    sort: str
    words: str
    start: int
    end: int


@dataclass
class _Run:
    """Maths between words and stops, and the word before it."""

    pieces: list[_Piece] = field(default_factory=list)
    before: str = ""


class _Reader:
    """Reads the lines of one working in order."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.names = TimedNames(circuit)
        self.steady = NamesInUse(circuit)
        self.shown: dict[str, TimedName] = {}
        self.lines: dict[int, TimedLine] = {}
        self.labels: dict[str, None] = {}
        self.last: Expr | None = None
        self.stage = TimedLine()
        self.clock: Expr | None = None
        self.tight = False  # t/RC is t over R C
        self.rate: tuple[str, ...] = ()  # the unknown of a line such as s² + 6 s + 25 = 0: no unit
        self.volt = False  # V is a quantity of the working's own too: 2 V may be twice V or two volts

    # -- what the whole working declares ---------------------------------------------------------------

    def look_ahead(self, text: str) -> None:
        """Learns what a line declares, and the names that it gives."""
        self._labelled(text)
        self.volt = self.volt or ("V" in self.names.spelled and _OWN_V.search(text) is not None)
        if "=" not in text and (match := _DECLARED.search(text.strip())):
            self._declare(match)
        for match in _LEFT.finditer(text):
            name = canonical_name(match[1])
            words = self.names
            if name == ANY_R:
                words.spelled.pop(ANY_R, None)
            if name == EULER:
                words.own.add(EULER)  # the working's own e, not the number
            known = name in words.known or name in words.spelled or name in (*FUNCTIONS, "d", "at", "as")
            if not known and len(name) <= 6 and not words._with_index(name) and _NUMBERED.fullmatch(match[1]):
                words.own.add(name)

    def _declare(self, match: re.Match[str]) -> None:
        circuit, name = self.circuit, canonical_name(match["name"])
        folded = {p.casefold(): p for p in circuit.named_points}
        a, b = (folded.get(match[side].casefold()) for side in "ab")
        if a is None or b is None or a == b:
            return
        meant = self.names.spelled.get(name, ())
        called = re.fullmatch(r"V\((\w+)\)", name)
        if (meant and meant[0].sort is Sort.ACROSS) or (name[:1] in "VUvu" and not meant) or called:
            if name not in self.names.symbols:
                self.names.declared[name] = TimedQuantity(Sort.DIFFERENCE, (a, b))
            return
        through = canonical_name(match["through"] or "")
        for branch in circuit.branches:
            own = not through or any(p.element == through for p in branch.passes)
            named = meant and meant[0].of == (branch.name,)
            if own and {branch.start, branch.end} == {a, b} and a != b and (named or (not meant and through)):
                sign = 1 if branch.start == a else -1
                self.names.declared[name] = TimedQuantity(Sort.CURRENT, (branch.name,), sign)
                self.names.declared[name[:1].swapcase() + name[1:]] = self.names.declared[name]
                return

    # -- one line ----------------------------------------------------------------------------------------

    def line(self, number: int, text: str, bare: BareLine) -> WrittenLine | None:
        """The next line; None for a blank one."""
        if not text.strip():
            return None
        if bare.trouble is not None and not bare.line.text.strip():
            return WrittenLine(number, text, trouble=bare.trouble)
        self._labelled(bare.line.text)
        front, line = label_at_front(bare.line, self.labels, self.steady.split)
        back, line = label_at_back(line, self.labels, self.steady.split)
        label = bare.tag or back or front
        if label:
            self.labels[label] = None
        arrow, _ = arrow_in(line, self.steady)
        if arrow is not None or ("=" not in line.text and _DECLARED.search(line.text.strip())):
            arrows: tuple[ArrowSaid, ...] = (arrow,) if arrow else ()
            return WrittenLine(number, text, label=label, arrows=arrows)
        source, line = source_of(line, self.steady.split, self.labels) if self.labels else (None, line)
        line = self._spoken(self._in_signs(line))
        stage, line = self._stage(line)
        line = line.replaced(re.compile(r"\(\s*\)"), lambda m: " " * len(m[0]))
        last = self.last
        squared = _RATE_SQUARED.search(line.text)
        self.rate = (squared[0][0],) if squared else ()
        claims, conditions, trouble = self._claims(self.names.in_words(line))
        for others in self._other_ways(line, last) if claims else ():
            if [o.start for o in others] == [c.start for c in claims]:
                both = zip(claims, others, strict=True)
                claims = [replace(c, otherwise=(*c.otherwise, o.written)) for c, o in both]
        here = replace(self.stage, own=False) if stage is None else replace(stage, own=True)
        if stage is not None and (not claims or stage.when is not When.AT):
            self.stage = here
        elif stage is None and self._speaks_of_another(claims):
            self.stage = TimedLine()  # what words of a line above said holds no longer
        self.lines[number] = replace(here, conditions=frozenset(conditions))
        if bare.trouble is not None and not claims:
            trouble = bare.trouble
        claims = [replace(c, end=c.start + len(text[c.start : c.end].rstrip(" \t*`$&"))) for c in claims]
        return WrittenLine(number, text, tuple(claims), label, source, trouble=trouble)

    def _labelled(self, text: str) -> None:
        """Keeps what a label such as `I2:` or `For v_C:` speaks of, so that I_f below is its end."""
        match = _ABOUT.match(text)
        if match is not None and (meant := self.names.spelled.get(canonical_name(match[1]), ())):
            self.names.about = (match[1][:1], meant)

    def _other_ways(self, line: Mapped, last: Expr | None) -> Iterator[list[Claim]]:
        """The claims of a line in the other ways in which some people write: twice V for two volts, i times R
        as `iR`, `t/RC` for t over R C. `last`: what the line above ended with."""
        now, words = self.last, self.names
        glued = any(words.is_product(match[0]) for match in _GLUED.finditer(line.text))
        below = _BELOW_TOGETHER.search(line.text) is not None
        lines = [line]
        if "V" in words.symbols and _VOLTS_BEHIND_BRACKET.search(line.text):
            lines.append(line.replaced(_VOLTS_BEHIND_BRACKET, lambda _: " volt"))
        twice = self.volt and _VOLTS.search(line.text) is not None
        for one, volts, products, tight in product(lines, (True, False), (False, True), (False, True)):
            if volts and not products and not tight and one is line:
                continue  # as it was read first
            if (twice or volts) and products <= glued and tight <= below:
                self.last, self.tight = last, tight
                yield self._claims(words.in_words(one, volts=volts, products=products))[0]
        self.last, self.tight = now, False

    def _speaks_of_another(self, claims: Sequence[Claim]) -> bool:
        """Whether the names of a line speak of a moment, and not of the one that words above it said."""
        names = [self.shown.get(name) for claim in claims for name in names_in(claim.written)]
        moments = {name.when for name in names if name is not None} - {When.UNSAID}
        return bool(moments) and self.stage.when not in moments

    def _in_signs(self, line: Mapped) -> Mapped:
        """The line with ½ as (1/2), `10 000` as 10000, a volt that no battery is taken for, and an equation
        whose variables are separated by its rate."""
        line = with_halves(line).replaced(_IN_THOUSANDS, lambda m: m[0].replace(" ", ""))
        line = line.replaced(_LN_OF_NUMBER, lambda _: "ln ")
        if "V" in self.names.symbols:
            line = line.replaced(_VOLTS_BEHIND, lambda _: " volt")
            line = line.replaced(_VOLTS_AT_END, lambda m: f"{m[1]} volt")
        line = line.replaced(_INTEGRAL, lambda _: "")
        both = line.text.split("=")
        if len(both) == 2 and all(_DIFFERENTIAL.search(side) for side in both) and _DT.search(line.text):
            line = line.replaced(_DT, lambda _: "(1)")
            line = line.replaced(_DIFFERENTIAL, lambda m: f"(d{m[1]}/dt)")
        return line

    def _spoken(self, line: Mapped) -> Mapped:
        """Quantities in words as names: "the voltage across C1 = 3 V"."""
        for pattern, letter in _SPOKEN:
            line = line.replaced(pattern, partial(_called, letter))
        return line.replaced(_TIME_CONSTANT, lambda _: "tau")

    def _stage(self, line: Mapped) -> tuple[TimedLine | None, Mapped]:
        """The moment that the words of a line speak of, and the line without them."""
        if (clock := _CLOCK.search(line.text)) is not None and self._time(clock[1]) is not None:
            self.clock = self._time(clock[1])
            line = line.blanked([clock.span(1)])
        found: list[tuple[int, TimedLine, tuple[int, int]]] = []
        for when, pattern in _WORDS:
            for match in pattern.finditer(line.text):
                found.append((match.start(), TimedLine(when), match.span()))
        for match in _AT_TIME.finditer(line.text):
            at = self._time(match[1] or match[2])
            if at is not None and not any(s <= match.start() < e for _, _, (s, e) in found):
                found.append((match.start(), TimedLine(When.AT, at), match.span()))
        if not found and (then := _THEN.match(line.text)) is not None:
            return TimedLine(), line.blanked([then.span()])  # what words above said holds no longer
        if not found:
            return None, line
        found.sort(key=lambda f: f[0])
        return found[0][1], line.blanked([span for _, _, span in found])

    def _time(self, written: str) -> Expr | None:
        try:
            return expression(written.replace("tau", TAU), {TAU}, freely=True, in_time=True)
        except Unreadable:
            return None

    # -- claims --------------------------------------------------------------------------------------------

    def _claims(self, line: Mapped) -> tuple[list[Claim], list[int], Trouble | None]:
        claims: list[Claim] = []
        conditions: list[int] = []
        trouble: Trouble | None = None
        so_far = 0  # claims of the run before
        for run in self._runs(line.text):
            if not any(p.sort == "relation" for p in run.pieces):
                continue
            try:
                read = self._read(run, line)
            except Unreadable as why:
                trouble = trouble or Trouble(why.why, line.place(why.position))
                continue
            if read and run.before in _CONDITION:
                of_time = isinstance(read[0].written.left, Symbol) and read[0].written.left.name == TIME
                last = range(len(claims) - so_far, len(claims))  # V_C = 500 V when t = τ ln 20
                conditions += last if of_time else range(len(claims), len(claims) + len(read))
            so_far = len(read)
            claims += read
        return claims, conditions, trouble

    def _runs(self, text: str) -> list[_Run]:
        runs, run, depth = [], _Run(), 0
        for match in _PIECE.finditer(text):
            sort, words = match.lastgroup or "other", match[0]
            if sort == "space":
                continue
            if sort == "name":
                sort = self._sort_of(words, run.pieces, text, match)
            if words == "|" or (words == "," and depth and sort == "stop"):
                sort = "other"
            if sort in ("word", "stop", "other"):
                if run.pieces:
                    runs.append(run)
                run, depth = _Run(before=words.lower() if sort == "word" else ""), 0
                continue
            depth += (sort == "open") - (sort == "close")
            run.pieces.append(_Piece(sort, words, match.start(), match.end()))
        if run.pieces:
            runs.append(run)
        return runs

    def _sort_of(self, words: str, before: list[_Piece], text: str, match: re.Match[str]) -> str:
        name = canonical_name(words)
        if MARK in name or name in self.names.known or name in self.names.own:
            lone = name in ("a", "I") and name not in self.names.symbols
            return "word" if lone and not before else "name"
        if name in FUNCTIONS and re.match(r"\s*[\^(⁻⁰-⁹]|\s*\d", text[match.end() :]):
            return "name"
        last = before[-1] if before else None
        after = last is not None and (last.sort in ("number", "close", "name") or last.words == "/")
        if after and words != "a" and read_unit(words, (*UNITS, *STORED)):
            return "name"
        if len(words) == 1 and text.startswith("(t)", match.end()):
            return "name"  # I(t) of no current in particular
        if words in _DIMENSIONLESS_WORDS:
            return "word"
        if name in _CONSTANT:
            return "name"
        if _NUMBERED.fullmatch(words) and (len(words) == 1 or any(c.isdigit() or c == "_" for c in words)):
            return "name"
        beside_a_sign = (last is not None and last.sort in ("sign", "number")) or _SIGN_NEXT.match(
            text, match.end()
        )
        if beside_a_sign and _LETTERED.fullmatch(words):
            return "name"
        return "word"

    def _read(self, run: _Run, line: Mapped) -> list[Claim]:
        pieces = _trimmed(run.pieces)
        sides: list[list[_Piece]] = [[]]
        signs: list[_Piece] = []
        for piece in pieces:
            if piece.sort == "relation":
                signs.append(piece)
                sides.append([])
            else:
                sides[-1].append(piece)
        if not sides[-1]:
            return []
        trees: list[Expr] = []
        for index, side in enumerate(sides):
            if side:
                trees.append(self._tree(line.text[side[0].start : side[-1].end], side[0].start))
            elif index == 0 and self.last is not None and not run.before and _begins(line.text, pieces[0]):
                trees.append(self.last)
            elif index == 0:
                return []
            else:
                raise Unreadable(
                    f'"{signs[index - 1].words}" has nothing after it', line.text, signs[index - 1].start
                )
        found: list[Claim] = []
        for index, sign in enumerate(signs):
            relation = "≈" if sign.words in "≈≃≅~=" and sign.words not in ("=", "==") else "="
            start = sides[index][0].start if sides[index] else sign.start
            end = sides[index + 1][-1].end
            written = Equation(trees[index], trees[index + 1], relation)
            found.append(Claim(written, line.place(start), line.place(end)))
        self.last = trees[-1]
        return found

    def _tree(self, text: str, at: int) -> Expr:
        names = self.names
        known = {*names.symbols, *names.own, *names.table, TIME, TAU, *self.rate}
        try:
            tree = expression(text, known, freely=True, in_time=True, tight=self.tight)
        except Unreadable as why:
            raise Unreadable(self._in_names(why.why), text, at + why.position) from why
        table: dict[str, Expr] = {}
        for name in names_in(tree):
            if name in names.table:
                shown = names.shown(name)
                self.shown[shown.name] = names.table[name]
                table[name] = shown
        return put(tree, table) if table else tree

    def _in_names(self, why: str) -> str:
        """A reason with names in the place of the words that stand for them."""
        return re.sub(rf"X{MARK}\d+", lambda m: self.names.table[m[0]].written or m[0], why)


def _begins(text: str, piece: _Piece) -> bool:
    """Whether a line, or what follows a stop in it, begins with a sign of relation."""
    before = text[: piece.start].rstrip()
    return not before or before[-1] in ",;:>⇒→|&"


def _called(letter: str, match: re.Match[str]) -> str:
    return f"{letter}({match[1].replace('_', '')})"


def _trimmed(pieces: list[_Piece]) -> list[_Piece]:
    """A run without brackets that are never closed or opened at its ends, and without signs left over."""
    kept = list(pieces)
    while kept:
        depth, low = 0, 0
        for piece in kept:
            depth += (piece.sort == "open") - (piece.sort == "close")
            low = min(low, depth)
        if depth > 0 and kept[-1].sort == "open":
            kept.pop()
        elif (low < 0 and kept[0].sort == "close") or (depth > 0 and kept[0].sort == "open"):
            kept.pop(0)
        elif (low < 0 and kept[-1].sort == "close") or (
            kept[-1].sort == "sign" and kept[-1].words in "+-−–*·/"
        ):
            kept.pop()
        elif kept[0].sort == "sign" and kept[0].words in "*·/^+":
            kept.pop(0)
        else:
            break
    return kept


def in_course(said: TimedLine, claims: Sequence[Claim]) -> TimedLine:
    """What is said of time, for the first of the claims that are left of a chain: where a later side holds t
    and no moment is told, it speaks of all times, and of no moment at which it might happen to hold."""
    later = any(TIME in names_in(claim.written.right) for claim in claims[1:])
    if not later or said.when is not When.UNSAID or TIME in names_in(claims[0].written):
        return said
    return replace(said, when=When.COURSE, own=True)


def names_in(item: Expr | Equation) -> tuple[str, ...]:
    """The names written, those in exponents and logarithms too, each once."""
    if isinstance(item, Equation):
        return tuple(dict.fromkeys((*names_in(item.left), *names_in(item.right))))
    parts = parts_of(item)
    if not parts:
        return (item.name,) if isinstance(item, Symbol) else ()
    return tuple(dict.fromkeys(name for part in parts for name in names_in(part)))
