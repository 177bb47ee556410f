"""Which changed circuit a line speaks of: "E1 alone:", "with E2 shorted", "R3 out".

Said at the front of a line, it holds for that line and those below, until another is said or until the parts
are put together; said behind a claim, it holds for that only (`circuits_of_claims`). Knows the names of
elements; whether the changed circuit has an answer is found out elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ...circuit.changed import sources_in
from ...circuit.elements import Element, Kind
from ...expressions.tokens import NAME
from ..working import AS_DRAWN, CircuitChange, Claim
from .assumptions_said import is_found, is_scaled, speaks_of_source, supposed_in
from .circuits_of_claims import ChangeSaid, put_in_circuits
from .mapped import Mapped
from .naming import NamesInUse, name_of

_NOUN = r"(?:sources?|batter(?:y|ies)|cells?|emfs?|suppl(?:y|ies))"
_COUNTED = ("first", "second", "third", "fourth", "fifth")
_BY_VALUE = rf"(?:\d+(?:\.\d+)?)\s*-?\s*V(?:olts?)?(?:\s+{_NOUN})?(?!\w)"
_BY_COUNT = rf"{_NOUN}\s+(?:no\.?\s*)?\d|(?:{'|'.join(_COUNTED)})\s+{_NOUN}"
_ELEMENT = rf"(?:{_BY_VALUE}|{_BY_COUNT}|(?!(?:on|off|and|with)\b){NAME.pattern})"
_NAMES = rf"(?P<names>{_ELEMENT}(?:\s*(?:,|&|\band\b)\s*{_ELEMENT}){{0,6}})"
_KIND = (
    r"(?:(?:the|source|battery|batteries|cell|emf|supply|resistor|resistance|load|lamp|branch(?: of| with)?|"
    r"die|der|dem|la|le|el|il|de|di|von|con|mit|avec|(?:spannungs)?quelle|batterie|pile|fuente|bater[ií]a|pila|"
    r"sorgente|bron|fem)\s+){0,3}"
)
_BE = (
    r"(?:\s+(?:is|are|be|being|was|were|has been|gets?|to be|now|acts?|acting|works?|working|on|in|and|with|"
    r"source|battery|cell|resistor|ist|wird|est|es|est[aá]|è)){0,4}"
)
_ONLY = r"(?:only|just|nur|seulement|s[oó]lo|soltanto|solamente|alleen)"
_ALONE = (
    r"(?:alone|only|by itself|on its own|by its own|acts?|acting|in action|working|left in|kept|live|active|"
    r"allein|alleine|seule?s?|sol[ao]s?|da\s+sola|alleen|on(?=\s*[,:;)]|\s*$))"
)
_WIRE = r"(?:a\s+)?(?:plain\s+|piece of\s+|bare\s+|short\s+)?(?:wire|short(?:\s*circuit)?|conductor|lead)"
_DEAD = (
    rf"(?:shorted(?:\s+out)?|short(?:ed)?[ -]circuited|short|off|switched off|turned off|dead|killed|"
    rf"suppressed|(?:set\s+)?(?:to|at)\s+zero|zero|zeroed|replaced\s+(?:by|with)\s+{_WIRE}|"
    rf"(?:made|as|a)\s+{_WIRE}|bridged|kurzgeschlossen|überbrückt|abgeschaltet|auf\s+null|"
    r"(?:durch|als)\s+(?:einen\s+)?(?:kurzschluss|draht)(?:\s+ersetzt)?|(?:mise?\s+)?en\s+court-circuit|"
    r"court-circuitée?|éteinte?|(?:en\s+)?corto(?:circuito|circuitad[ao])|apagad[ao]|cortocircuitat[ao]|"
    r"spent[ao]|kortgesloten)"
)
_GONE = (
    r"(?:out(?: of the circuit)?|removed|taken\s+(?:out|away|off)|disconnected|left out|lifted(?:\s+out)?|"
    r"pulled(?:\s+out)?|cut(?:\s+out)?|unplugged|away|open(?:ed)?|open[- ]circuited|detached|gone|"
    r"entfernt|herausgenommen|weggenommen|abgetrennt|enlevée?|retirée?|débranchée?|quitad[ao]|retirad[ao]|"
    r"desconectad[ao]|rimoss[ao]|tolt[ao]|staccat[ao]|verwijderd)"
)
_REMOVE = (
    r"(?:without|ohne|sans|sin|senza|zonder|remov(?:e|ing)|tak(?:e|ing)\s+(?:away|out|off)|disconnect(?:ing)?|lift(?:ing)?(?:\s+out)?|"
    r"cut(?:ting)?(?:\s+out)?|open(?:ing)?|detach(?:ing)?|leav(?:e|ing)\s+out|pull(?:ing)?\s+out)"
)
_KILL = (
    r"(?:short(?:ing)?(?:\s+out)?|short[- ]circuit(?:ing)?|kill(?:ing)?|switch(?:ing)?\s+off|"
    r"turn(?:ing)?\s+off|suppress(?:ing)?|bridg(?:e|ing))"
)
_OF_ONE = (
    r"(?:due\s+to|because\s+of|caused\s+by|driven\s+by|contribution\s+(?:of|from)|effect\s+of|"
    r"parts?\s+(?:of|from)|anteil\s+von|contribution\s+de|contribuci[oó]n\s+de|contributo\s+di)"
)


@dataclass(frozen=True, slots=True)
class _Phrase:
    """A way of saying a change; `sort`: what happens to the elements named in group `names`."""

    pattern: re.Pattern[str]
    sort: str


def _phrase(words: str, sort: str) -> _Phrase:
    return _Phrase(re.compile(rf"(?<![\w′'])(?:{words})(?![\w′'])", re.IGNORECASE), sort)


_PHRASES = (
    _phrase(rf"{_ONLY}\s+{_KIND}{_NAMES}(?:{_BE}\s+{_ALONE})?", "alone"),
    _phrase(rf"{_OF_ONE}\s+{_KIND}{_NAMES}(?:\s+(?:alone|only))?", "alone"),
    _phrase(rf"{_NAMES}{_BE}\s+{_ALONE}", "alone"),
    _phrase(rf"{_KILL}\s+{_KIND}{_NAMES}", "dead"),
    _phrase(rf"(?:replac(?:e|ing))\s+{_KIND}{_NAMES}\s+(?:by|with)\s+{_WIRE}", "dead"),
    _phrase(rf"{_WIRE}\s+(?:for|in\s+(?:the\s+)?place\s+of|instead\s+of|across)\s+{_KIND}{_NAMES}", "dead"),
    _phrase(rf"{_NAMES}{_BE}\s+{_DEAD}", "dead"),
    _phrase(
        rf"(?:set|put|let|make|with|where|when|for|if)\s+{_KIND}{_NAMES}\s*(?:=|→|->)\s*0(?:\s*V)?", "zero"
    ),
    _phrase(rf"(?:the\s+)?{_REMOVE}\s+{_KIND}{_NAMES}(?:\s+(?:out|away|off))?", "gone"),
    _phrase(rf"tak(?:e|ing)\s+{_KIND}{_NAMES}\s+(?:out|away|off)", "gone"),
    _phrase(rf"{_NAMES}{_BE}\s+{_GONE}", "gone"),
    _phrase(
        rf"(?:the\s+|a\s+)?(?:gap|open\s+circuit)\s+(?:of|at|for|in\s+(?:the\s+)?place\s+of|left\s+by)\s+{_KIND}{_NAMES}",
        "gone",
    ),
    _phrase(rf"where\s+{_KIND}{_NAMES}\s+(?:was|has\s+been|used\s+to\s+be|sat)", "gone"),
    _phrase(rf"(?:as|what|that)\s+{_KIND}{_NAMES}\s+sees?(?:\s+it)?", "seen"),
    _phrase(rf"(?:seen|viewed)\s+(?:by|from)\s+{_KIND}{_NAMES}", "seen"),
    _phrase(rf"{_NAMES}\s+(?:is|as|be)\s+(?:the|my|our|a)?\s*load", "load"),
    _phrase(rf"(?:the|my|our)\s+load\s+(?:is|be|:)\s*{_KIND}{_NAMES}", "load"),
)
_ENDS = r"(?P<one>\w{1,9})\s*(?:[-–—]|,|\band\b|\bto\b|\bwith\b)\s*(?P<other>\w{1,9})"
_POINTS_JOINED = tuple(  # "short b-c", "a wire from b to c", "b and c joined by a wire"
    re.compile(rf"(?<![\w′'])(?:{words})(?![\w′'(])", re.IGNORECASE)
    for words in (
        r"short(?:ing)?(?:[ -]circuit(?:ing|\s+current)?)?\s+(?:points?\s+|from\s+|between\s+)?"
        rf"{_ENDS}(?:\s+together)?",
        rf"(?:join|connect)(?:ing)?\s+(?:points?\s+)?{_ENDS}\s+(?:together|directly|(?:by|with)\s+{_WIRE})",
        rf"{_WIRE}\s+(?:from|between)\s+{_ENDS}",
        rf"{_ENDS}\s+(?:are\s+)?(?:shorted|short-circuited|joined\s+(?:by|with)\s+{_WIRE})",
    )
)
_OF_A_SOURCE = re.compile(r"R_?(?:th\w*|i|0|n|in|seen|norton|inside)", re.IGNORECASE)  # seen by a load
_LABEL = r"(?:(?:step|case|part|circuit)\s*)?[(\[]?(?:\d{1,2}|[a-z]|[ivx]{1,4})[).\]:]\s*"
_BARE_ZERO = re.compile(
    rf"\s*(?:{_LABEL})?{_NAMES}\s*:?(?:=|→|-+>)\s*0(?:\s*[VA])?\s*(?:[:;,]|(?=[(\[])|(?=[-=]*>|[→⇒])|\.?\s*$)",
    re.IGNORECASE,
)
_ZERO_IN_BRACKETS = re.compile(rf"[(\[]\s*{_NAMES}\s*=\s*0(?:\s*V)?\s*[)\]]", re.IGNORECASE)
_TOGETHER = re.compile(
    r"\W*(?:so\s+|then\s+|and\s+|now\s+|finally,?\s+|next,?\s+)*(?:"
    r"(?:al)?together|(?:the\s+)?sums?(?:\s+of)?\b|add(?:ing|ed)?\b|superpos\w*|superimpos\w*|combin(?:e|ing|ed)\b|overall|"
    r"in\s+all|both\s+(?:sources|batteries|together|on|acting|parts)|put(?:ting)?\s+(?:\S+\s+){0,3}?back|(?:with\s+)?\S+\s+(?:is\s+)?(?:put\s+)?back|reconnect\w*|restor\w*|"
    r"(?:in\s+)?the\s+(?:whole|full|original|real|complete|actual)\s+(?:circuit|currents?)|back\s+in|"
    r"all\s+(?:sources|batteries)|actual\s+currents?|real\s+currents?|results?\s*:|answers?\s*:|"
    r"zusammen|summe|insgesamt|überlager\w*|somme|ensemble|suma|juntos|somma|insieme|samen)",
    re.IGNORECASE,
)
_TOTAL = re.compile(  # of the parts that sources make; with an element out it is the current of what is left
    r"\W*(?:so\s+|then\s+|and\s+|now\s+|finally,?\s+)*(?:total(?:s|\s+currents?)?\s*[:.]?\s*$|totals?\s*:|total\s+currents?)",
    re.IGNORECASE,
)
_VALUE = re.compile(rf"(\d+(?:\.\d+)?)\s*-?\s*V(?:olts?)?(?:\s+{_NOUN})?$", re.IGNORECASE)
_BARE_VALUE = re.compile(r"\d\s*-?\s*V(?:olts?)?(?=\s*(?:$|[,&]|and\b))", re.IGNORECASE)  # 20 V alone
_COUNT = re.compile(rf"{_NOUN}\s+(?:no\.?\s*)?(\d)$|({'|'.join(_COUNTED)})\s+{_NOUN}$", re.IGNORECASE)
_AT_END = re.compile(r"(?<!\d)\d+$")
_WORD = re.compile(NAME.pattern)
_GOES_ON = re.compile(r"[=≈→+*/·×÷^−]|-(?!\s)|-\s*[\w(]|\|\|")
_SIGNS = tuple("=≈→+*/·×÷^−-")
_RELATION = re.compile(r"=(?!>)|≈|→")
_SEEN_BETWEEN = re.compile(r"\bR\s{0,3}\([^()]{1,80}\)\s{0,3}$")  # R(a, b) without E1 is one quantity
_BREAK = re.compile(r"\s*(?:=\s*0(?:\s*[VA])?\s*)?(?:,|;|&|=|\band\b)\s*")
_SEVERAL_ZERO = re.compile(
    rf"(?<![\w′'.])(?P<names>{_ELEMENT}(?:{_BREAK.pattern}{_ELEMENT}){{1,6}})\s*=\s*0(?:\s*[VA])?(?![\w.]|\s*[*/+·×^−-])",
    re.IGNORECASE,
)  # E2 = 0 and E3 = 0; E2, E3 = 0; E2 = E3 = 0
_ZERO_BESIDE = re.compile(
    rf"(?:(?<=[,;:(])|\band\b)\s*{_NAMES}\s*=\s*0(?:\s*[VA])?\s*(?=[,;:)]|\.?\s*$)", re.I
)


def _is_open(element: Element) -> bool:
    return element.kind is Kind.SWITCH and not element.closed


class ChangesSaid:
    """The setting as it stands, line by line."""

    def __init__(self, names: NamesInUse) -> None:
        self.names, self.now = names, AS_DRAWN
        self._sees = any(map(_OF_A_SOURCE.fullmatch, names.declared))  # a load is taken out to see the rest
        self.called = ""  # what is supposed now, as it is written
        self.needed = False  # whether it was said what the source would need, for what is supposed now

    def said_in(self, line: Mapped) -> tuple[list[ChangeSaid], Mapped]:
        """The changes that a line says, and the line with what says so left blank. Where it says none, the
        circuit goes on, or back to that as drawn, by its other words."""
        found, spans = self._said(line)
        if found:
            return found, line.blanked(spans)
        supposed = supposed_in(line.text, self.names)
        if supposed is not None:
            (self.now, self.called), self.needed = supposed, False
        elif self.now.taken and len(sources_in(self.names.circuit)) > 1:
            self.now = AS_DRAWN if is_found(line.text, self.called) else self.now
        elif self.now.taken:
            self.now = AS_DRAWN if is_scaled(line.text, self.names, needed=self.needed) else self.now
            self.needed = self.needed or speaks_of_source(line.text, self.names)
        elif self.now and (_puts_together(line.text, self.now) or _adds_parts(line.text, self.names)):
            self.now = AS_DRAWN
        return [], line.blanked(spans)

    def of(
        self, text: str, claims: Sequence[Claim], said: Sequence[ChangeSaid]
    ) -> tuple[tuple[Claim, ...], CircuitChange]:
        """The claims of a line, each in its circuit, and the circuit that the line stands in: that of its
        last claim, or the one that it says for those below."""
        before = self.now
        placed, below = put_in_circuits(text, claims, said, before)
        unread = not claims and said and _RELATION.search(text[: said[0].start])
        self.now = before if unread else self._but_for_a_resistance(below, before)
        placed = tuple(replace(c, setting=self._but_for_a_resistance(c.setting, before)) for c in placed)
        return placed, placed[-1].setting if placed else self.now

    def _but_for_a_resistance(self, change: CircuitChange, before: CircuitChange) -> CircuitChange:
        """A change, unless it lets all sources rest: that is done to see a resistance, and what was taken out
        before stays out."""
        whole = set(change.at_zero) == set(sources_in(self.names.circuit))
        return before if whole and not change.out else change

    def _said(self, line: Mapped) -> tuple[list[ChangeSaid], list[tuple[int, int]]]:
        """The changes that a line says, each with its place in it as typed, and where in its text."""
        circuit, text = self.names.circuit, line.text
        found: list[ChangeSaid] = []
        spans: list[tuple[int, int]] = []
        for match, sort in _matches(text):
            if any(match.start() < end and start < match.end() for start, end in spans):
                continue
            if _is_algebra(text, match) or _SEEN_BETWEEN.search(text[: match.start()]):
                continue
            elements, start, end = self._listed(match)
            as_drawn = (
                sort == "gone" and bool(elements) and all(_is_open(circuit.elements[n]) for n in elements)
            )
            if as_drawn:
                spans.append(_with_brackets(text, (start, end)))
                continue
            if not elements or (
                _BARE_VALUE.search(match["names"]) and (sort != "alone" or text[:start].strip())
            ):
                continue
            sources = tuple(n for n in elements if circuit.elements[n].has_sign)
            others = tuple(n for n in elements if n not in sources)
            if sort == "alone":
                if others or not sources:
                    continue
                change = CircuitChange(tuple(n for n in sources_in(circuit) if n not in sources))
            elif (sort == "zero" and others) or (sort == "load" and not self._sees):
                continue
            elif sort == "seen" and not others:
                continue  # what a battery sees is there with the battery in
            elif sort == "gone" and sources and _is_branch(text, match):
                change = CircuitChange((), (*others, *self._resistors_beside(sources)))
            elif sort in ("gone", "load", "seen"):
                change = CircuitChange(sources, others)
            else:
                change = CircuitChange(sources, (), others)
            span = _with_brackets(text, (start, end))
            spans.append(span)
            found.append(ChangeSaid(change, line.place(span[0]), line.place(span[1])))
        for match in (m for pattern in _POINTS_JOINED for m in pattern.finditer(text)):
            joined = self._between(match["one"], match["other"])
            if joined and not any(match.start() < end and start < match.end() for start, end in spans):
                span = _with_brackets(text, match.span())
                spans.append(span)
                change = CircuitChange(wired=joined)
                found.append(ChangeSaid(change, line.place(span[0]), line.place(span[1])))
        rest = {name for one in found for name in one.change.at_zero}
        for match in _ZERO_BESIDE.finditer(text) if rest else ():  # "E1 on, E5 = 0" says one thing twice
            elements = self._listed(match)[0]
            if elements and rest.issuperset(elements):
                spans.append(match.span())
        return sorted(found, key=lambda one: one.start), spans

    def _resistors_beside(self, sources: Sequence[str]) -> tuple[str, ...]:
        """The resistors in the branches of some sources: a gap in them takes these branches out."""
        circuit = self.names.circuit
        passes = (p.element for name in sources for p in circuit.branch_of(name).passes)
        return tuple(dict.fromkeys(n for n in passes if circuit.elements[n].kind is Kind.RESISTOR))

    def _between(self, one: str, other: str) -> tuple[str, ...]:
        """The resistors of the first branch without a source that joins two points; none where there is
        none."""
        circuit = self.names.circuit
        ends = {self.names.point(one), self.names.point(other)}
        for branch in circuit.branches if len(ends) == 2 else ():
            held = tuple(p.element for p in branch.passes)
            resists = all(circuit.elements[name].kind is Kind.RESISTOR for name in held)
            if held and resists and {branch.start, branch.end} == ends:
                return held
        return ()

    def _listed(self, match: re.Match[str]) -> tuple[list[str], int, int]:
        """The elements in the list of a phrase, and the place of that. What stands beside them without the
        phrase is no part of the list: the ampere of `I1 = 2 A, E2 alone`, the current of `without R3, I1`.
        None where one of the list is no element."""
        breaks = [part.span() for part in _BREAK.finditer(match["names"])]
        edges = [0, *(at for span in breaks for at in span), len(match["names"])]
        parts = list(zip(edges[::2], edges[1::2], strict=True))
        found = [self._element(match["names"][slice(*part)]) for part in parts]
        are = [name in self.names.met for name in found]
        (start, end), (first, last) = match.span(), match.span("names")
        if False in are and first == start:
            at = max(i for i, is_one in enumerate(are) if not is_one) + 1
            if at < len(found):
                return found[at:], first + parts[at][0], end
        elif False in are and last == end:
            at = are.index(False)
            if at:
                return found[:at], start, first + parts[at - 1][1]
        return ([] if False in are else found), start, end

    def _element(self, written: str) -> str:
        """The element that is named, or said by its value or its number: `12 V battery`, `second source`."""
        sources = list(sources_in(self.names.circuit))
        numbers = self.names.circuit.numbers
        if value := _VALUE.match(written):
            fits = [n for n in sources if n in numbers and numbers[n] == Fraction(value[1])]
        elif count := _COUNT.match(written):
            at = int(count[1]) if count[1] else _COUNTED.index(count[2].lower()) + 1
            numbered = [n for n in sources if _AT_END.findall(n) == [str(at)]]
            fits = numbered or sources[at - 1 : at]
        else:
            return self.names.read(name_of(written))[0]
        return fits[0] if len(fits) == 1 else ""


def _puts_together(text: str, change: CircuitChange) -> bool:
    """Whether a line begins with words that put a changed circuit together again."""
    return bool(_TOGETHER.match(text) or (change.at_zero and _TOTAL.match(text)))


def _adds_parts(text: str, names: NamesInUse) -> bool:
    """Whether a line adds up the parts of a current: `I1 = I1' + I1''`, `I1 = I1a − I1b`."""
    left, _, right = text.partition("=")
    terms = re.split(r"[-+−–]", right.partition("=")[0].strip().lstrip("-−–"))
    words = [name_of(term.strip()) for term in (left.split()[-1:] or [""])[:1] + terms]
    current = names.read(words[0])[0]
    parts = words[1:]
    if current not in names.circuit.currents or len(parts) < 2 or not all(parts):
        return False
    return all(part != words[0] and part.startswith(words[0]) for part in parts)


def _matches(text: str) -> Iterable[tuple[re.Match[str], str]]:
    if match := _BARE_ZERO.match(text):
        yield match, "zero"
    for match in _SEVERAL_ZERO.finditer(text):
        yield match, "zero"
    for match in _ZERO_IN_BRACKETS.finditer(text):
        yield match, "zero"
    for phrase in _PHRASES:
        for match in phrase.pattern.finditer(text):
            yield match, phrase.sort


def _is_algebra(text: str, match: re.Match[str]) -> bool:
    """Whether the element named stands in an equation: `just E1 = I1 R1`."""
    before, after = text[: match.start()].rstrip(), text[match.end() :].lstrip()
    at_end, at_front = match.end("names") == match.end(), match.start("names") == match.start()
    return (at_end and bool(_GOES_ON.match(after))) or (at_front and before[-1:] in _SIGNS)


def _is_branch(text: str, match: re.Match[str]) -> bool:
    """Whether it is the whole branch of what is named that is out: `without the E2 branch`."""
    before = text[match.start() : match.start("names")]
    return bool(re.search(r"\bbranch\b", before, re.I) or re.match(r"\s+branch\b", text[match.end() :], re.I))


def _with_brackets(text: str, span: tuple[int, int]) -> tuple[int, int]:
    """The span with the brackets that hold nothing else."""
    start, end = span
    before, after = text[:start].rstrip(), text[end:].lstrip()
    if before.endswith(("(", "[")) and after.startswith((")", "]")):
        return len(before) - 1, len(text) - len(after) + 1
    return span
