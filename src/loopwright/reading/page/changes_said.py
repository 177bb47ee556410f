"""Which changed circuit a line speaks of: "E1 alone:", "with E2 shorted", "R3 out".

Said at the front of a line, it holds for that line and those below, until another is said or until the parts
are put together; said behind a claim, it holds for that line only. Knows the names of elements; whether the
changed circuit has an answer is found out elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from ...circuit.changed import sources_in
from ...expressions.tokens import NAME
from ..working import AS_DRAWN, CircuitChange
from .assumptions_said import is_found, is_scaled, speaks_of_source, supposed_in
from .mapped import Mapped
from .naming import NamesInUse, name_of

_NOUN = r"(?:sources?|batter(?:y|ies)|cells?|emfs?|suppl(?:y|ies))"
_COUNTED = ("first", "second", "third", "fourth", "fifth")
_BY_VALUE = rf"(?:\d+(?:\.\d+)?)\s*-?\s*V(?:olts?)?\s+{_NOUN}"
_BY_COUNT = rf"{_NOUN}\s+(?:no\.?\s*)?\d|(?:{'|'.join(_COUNTED)})\s+{_NOUN}"
_ELEMENT = rf"(?:{_BY_VALUE}|{_BY_COUNT}|{NAME.pattern})"
_NAMES = rf"(?P<names>{_ELEMENT}(?:\s*(?:,|&|\band\b)\s*{_ELEMENT}){{0,6}})"
_KIND = (
    r"(?:(?:the|source|battery|batteries|cell|emf|supply|resistor|resistance|load|lamp|branch(?: of| with)?)"
    r"\s+){0,3}"
)
_BE = (
    r"(?:\s+(?:is|are|be|being|was|were|has been|gets?|to be|now|acts?|acting|works?|working|on|in|and|with|"
    r"source|battery|cell|resistor)){0,4}"
)
_ALONE = (
    r"(?:alone|only|by itself|on its own|by its own|acts?|acting|in action|working|left in|kept|live|active)"
)
_WIRE = r"(?:a\s+)?(?:plain\s+|piece of\s+|bare\s+|short\s+)?(?:wire|short(?:\s*circuit)?|conductor|lead)"
_DEAD = (
    rf"(?:shorted(?:\s+out)?|short(?:ed)?[ -]circuited|short|off|switched off|turned off|dead|killed|"
    rf"suppressed|(?:set\s+)?(?:to|at)\s+zero|zero|zeroed|replaced\s+(?:by|with)\s+{_WIRE}|"
    rf"(?:made|as|a)\s+{_WIRE}|bridged)"
)
_GONE = (
    r"(?:out(?: of the circuit)?|removed|taken\s+(?:out|away|off)|disconnected|left out|lifted(?:\s+out)?|"
    r"pulled(?:\s+out)?|cut(?:\s+out)?|unplugged|away|open(?:ed)?|open[- ]circuited|detached|gone)"
)
_REMOVE = (
    r"(?:without|remov(?:e|ing)|tak(?:e|ing)\s+(?:away|out|off)|disconnect(?:ing)?|lift(?:ing)?(?:\s+out)?|"
    r"cut(?:ting)?(?:\s+out)?|open(?:ing)?|detach(?:ing)?|leav(?:e|ing)\s+out|pull(?:ing)?\s+out)"
)
_KILL = (
    r"(?:short(?:ing)?(?:\s+out)?|short[- ]circuit(?:ing)?|kill(?:ing)?|switch(?:ing)?\s+off|"
    r"turn(?:ing)?\s+off|suppress(?:ing)?|bridg(?:e|ing))"
)
_OF_ONE = (
    r"(?:due\s+to|because\s+of|caused\s+by|driven\s+by|contribution\s+(?:of|from)|effect\s+of|"
    r"parts?\s+(?:of|from))"
)


@dataclass(frozen=True, slots=True)
class _Phrase:
    """A way of saying a change; `sort`: what happens to the elements named in group `names`."""

    pattern: re.Pattern[str]
    sort: str


def _phrase(words: str, sort: str) -> _Phrase:
    return _Phrase(re.compile(rf"(?<![\w′'])(?:{words})(?![\w′'])", re.IGNORECASE), sort)


_PHRASES = (
    _phrase(rf"(?:only|just)\s+{_KIND}{_NAMES}(?:{_BE}\s+{_ALONE})?", "alone"),
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
    _phrase(rf"(?:as|what|that)\s+{_KIND}{_NAMES}\s+sees?(?:\s+it)?", "gone"),
    _phrase(rf"(?:seen|viewed)\s+(?:by|from)\s+{_KIND}{_NAMES}", "gone"),
)
_BARE_ZERO = re.compile(rf"\s*{_NAMES}\s*=\s*0(?:\s*V)?\s*:", re.IGNORECASE)
_ZERO_IN_BRACKETS = re.compile(rf"[(\[]\s*{_NAMES}\s*=\s*0(?:\s*V)?\s*[)\]]", re.IGNORECASE)
_TOGETHER = re.compile(
    r"\W*(?:so\s+|then\s+|and\s+|now\s+|finally,?\s+|next,?\s+)*(?:"
    r"(?:al)?together|(?:the\s+)?sums?(?:\s+of)?\b|add(?:ing|ed)?\b|superpos\w*|superimpos\w*|combin(?:e|ing|ed)\b|overall|"
    r"in\s+all|both\s+(?:sources|batteries|together|on|acting|parts)|total(?:s|\s+currents?)?\s*[:.]?\s*$|totals?\s*:|"
    r"total\s+currents?|put(?:ting)?\s+(?:\S+\s+){0,3}?back|(?:with\s+)?\S+\s+(?:is\s+)?(?:put\s+)?back|reconnect\w*|restor\w*|"
    r"(?:in\s+)?the\s+(?:whole|full|original|real|complete|actual)\s+(?:circuit|currents?)|back\s+in|"
    r"all\s+(?:sources|batteries)|actual\s+currents?|real\s+currents?|results?\s*:|answers?\s*:)",
    re.IGNORECASE,
)
_VALUE = re.compile(rf"(\d+(?:\.\d+)?)\s*-?\s*V(?:olts?)?\s+{_NOUN}$", re.IGNORECASE)
_COUNT = re.compile(rf"{_NOUN}\s+(?:no\.?\s*)?(\d)$|({'|'.join(_COUNTED)})\s+{_NOUN}$", re.IGNORECASE)
_AT_END = re.compile(r"(?<!\d)\d+$")
_WORD = re.compile(NAME.pattern)
_GOES_ON = re.compile(r"[=≈→+*/·×÷^−]|-(?!\s)|-\s*[\w(]|\|\|")
_SIGNS = tuple("=≈→+*/·×÷^−-")
_RELATION = re.compile(r"=|≈|→")
_SEEN_BETWEEN = re.compile(r"\bR\s{0,3}\([^()]{1,80}\)\s{0,3}$")  # R(a, b) without E1 is one quantity
_BREAK = re.compile(r"\s*(?:,|&|\band\b)\s*")


class ChangesSaid:
    """The setting as it stands, line by line."""

    def __init__(self, names: NamesInUse) -> None:
        self.names, self.now = names, AS_DRAWN
        self.called = ""  # what is supposed now, as it is written
        self.needed = False  # whether it was said what the source would need, for what is supposed now

    def of(self, line: Mapped) -> tuple[CircuitChange, Mapped]:
        """The setting that a line stands in, and the line with what said so left blank."""
        found, spans, behind = self._said(line.text)
        if found:
            whole = set(found.at_zero) == set(sources_in(self.names.circuit))
            if whole and not found.out:  # to see a resistance; what was taken out before stays out
                found = self.now
            if not behind:
                self.now = found
            return found, line.blanked(spans)
        supposed = supposed_in(line.text, self.names)
        if supposed is not None:
            (self.now, self.called), self.needed = supposed, False
        elif self.now.taken and len(sources_in(self.names.circuit)) > 1:
            self.now = AS_DRAWN if is_found(line.text, self.called) else self.now
        elif self.now.taken:
            self.now = AS_DRAWN if is_scaled(line.text, self.names, needed=self.needed) else self.now
            self.needed = self.needed or speaks_of_source(line.text, self.names)
        elif self.now and (_TOGETHER.match(line.text) or self._back(line.text)):
            self.now = AS_DRAWN
        return self.now, line

    def _back(self, text: str) -> bool:
        """Whether an equation has what was taken out in it again: `Ih = Voc/(Rth + Rh)`."""
        if not self.now.out or not _RELATION.search(text):
            return False
        met = {self.names.read(name_of(match[0]))[0] for match in _WORD.finditer(text)}
        return bool(met & set(self.now.out))

    def _said(self, text: str) -> tuple[CircuitChange, list[tuple[int, int]], bool]:
        """The change that a text says, where in it, and whether that is behind a claim."""
        circuit = self.names.circuit
        zero: dict[str, None] = {}
        out: dict[str, None] = {}
        wired: dict[str, None] = {}
        spans: list[tuple[int, int]] = []
        behind = False
        for match, sort in _matches(text):
            if any(match.start() < end and start < match.end() for start, end in spans):
                continue
            if _is_algebra(text, match) or _SEEN_BETWEEN.search(text[: match.start()]):
                continue
            elements = self._elements(match["names"])
            if not elements:
                continue
            sources = [n for n in elements if circuit.elements[n].has_sign]
            others = [n for n in elements if n not in sources]
            if sort == "alone":
                if others or not sources:
                    continue
                zero.update(dict.fromkeys(n for n in sources_in(circuit) if n not in sources))
            elif sort == "zero" and others:
                continue
            else:
                zero.update(dict.fromkeys(sources))
                (out if sort == "gone" else wired).update(dict.fromkeys(others))
            front = _RELATION.search(text[: match.start()])
            behind = behind or front is not None
            spans.append(_with_brackets(text, match.span()))
        return CircuitChange(tuple(zero), tuple(out), tuple(wired)), spans, behind

    def _elements(self, written: str) -> list[str]:
        """The elements named in a list; none where one of them is no element."""
        found: list[str] = []
        for one in _BREAK.split(written):
            name = self._element(one)
            if name not in self.names.met:
                return []
            found.append(name)
        return found

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


def _matches(text: str) -> Iterable[tuple[re.Match[str], str]]:
    if match := _BARE_ZERO.match(text):
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


def _with_brackets(text: str, span: tuple[int, int]) -> tuple[int, int]:
    """The span with the brackets that hold nothing else."""
    start, end = span
    before, after = text[:start].rstrip(), text[end:].lstrip()
    if before.endswith(("(", "[")) and after.startswith((")", "]")):
        return len(before) - 1, len(text) - len(after) + 1
    return span
