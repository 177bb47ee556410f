"""The marks of Markdown round a line, taken off: headings, bullets, emphasis, code spans, subscript tags."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import StrEnum

from .mapped import Mapped

_FRONT = re.compile(r"\s*(?:#{1,6}\s+|>\s?){1,9}")
_BULLET = re.compile(r"\s*(?:[*•‣◦▪●]\s+|\+\s+(?=[^\W\d]{3}))(?:\[[ xX]\]\s+)?")
_DASH = re.compile(r"\s*-\s+(?:\[[ xX]\]\s+)?(?=\S)")
_SURE_DASH = re.compile(
    r"\s*-\s+(?:\[[ xX]\]|[-−–*$`]|\\\(|[^\W\d_]{3,}|\d+[.)]\s|[(\[](?:\d{1,3}|[ivx]{1,4}|[a-h])[)\]]\s)"
)
_NAMED_DASH = re.compile(r"\s*-\s+[^\W\d]\w*\s*[=≈→]")
_OPENS = r"(?<![^\s(\[:;,.|])"  # emphasis begins after a space or a stop, which no sign of algebra does
_ENDS = r"(?![^\s)\]:;,.!?|])"
_STRONG = re.compile(rf"{_OPENS}(\*\*|__)(?=\S)((?:(?!\1).)+?)(?<=\S)\1{_ENDS}")
_WEAK = re.compile(rf"{_OPENS}\*(?=[^\s*])([^*]+?)(?<=[^\s*])\*{_ENDS}")
_CODE = re.compile(r"``?([^`]+)``?")
_SUB = re.compile(r"<sub>([^<>]*)</sub>", re.IGNORECASE)
_SUP = re.compile(r"<sup>([^<>]*)</sup>", re.IGNORECASE)
_BREAK = re.compile(r"<br\s*/?>", re.IGNORECASE)
_ESCAPED = re.compile(r"\\([_*#`])")
_RULE = re.compile(
    r"\s*(?:[-*_=]\s*){3,}|\s*(?:\|\s*)?:?-+:?\s*(?:\|\s*:?-+:?\s*)*(?:\|\s*)?|\s*(?:```|~~~).*"
)
_WORKED_ROW = re.compile(  # a quantity, what it is worked from, and what that comes to
    r"^(\s*\|\s*[A-Za-zφ][\w{}()′', ]{0,12}?\s*)\|"
    r"(\s*[-−+]?\s*[\w.,()\s]*[\w)²]\s*[*/·×+−-]\s*[\w(][^|=≈]*)\|"
    r"(\s*[-−+]?\s?\d+(?:[.,]\d+)?\s*(?:[mkMµ]?(?:A|V|W|Ω|[Oo]hms?))?\s*)(?=\|?\s*$)"
)
_ROW = re.compile(  # a quantity, what it is, and perhaps its unit; not the number of a row
    r"^(?!\s*\|\s*\(?\d{1,2}\)?\s*\|)(\s*\|\s*(?:(?![^\W\d_]{5})[\w{}()′', +−-]){1,24}?\s*)\|"
    r"(\s*[-−+]?\s*\(?\s*[-−]?(?:\d|[^\W\d_]{1,3}\d?\s*[*/·×+−-])[^|]*)(?:\|(\s*[mkMµ]?(?:A|V|W|Ω|[Oo]hms?)\s*))?(?=\|?\s*$)"
)


def unmarked(line: Mapped, *, bullet: bool) -> Mapped:
    """The line without Markdown's marks. `bullet`: a dash and a space at its front is one too."""
    if _RULE.fullmatch(line.text):
        return line.part(0, 0)
    line = _without_front(line, _FRONT)
    line = _without_front(line, _BULLET)
    if bullet:
        line = without_dash(line)
    if line.text.lstrip().startswith("|"):
        line = line.replaced(_WORKED_ROW, lambda match: f"{match[1]}={match[2]}={match[3]}")
        line = line.replaced(_ROW, lambda match: f"{match[1]}={match[2]}{match[3] or ''}")
        line = line.replaced(re.compile(r"(?<!\|)\|(?!\|)"), lambda _: ";")
    if "\\" in line.text:
        line = line.replaced(_ESCAPED, lambda match: match[1])
    if "`" in line.text:
        line = line.replaced(_CODE, lambda match: match[1])
    if "<" in line.text:
        line = line.replaced(_SUB, lambda match: "_{" + match[1].strip() + "}")
        line = line.replaced(_SUP, lambda match: "^{" + match[1].strip() + "}")
        line = line.replaced(_BREAK, lambda _: ";")
    for _ in range(2):
        if "*" in line.text or "__" in line.text:
            line = line.replaced(_STRONG, lambda match: match[2])
            line = line.replaced(_WEAK, lambda match: match[1])
    return line


def _without_front(line: Mapped, pattern: re.Pattern[str]) -> Mapped:
    match = pattern.match(line.text)
    return line.part(match.end(), len(line.text)) if match else line


class Dash(StrEnum):
    """What a dash and a space at the front of a line are."""

    BULLET = "bullet"
    LIKE_A_BULLET = "bullet, or else a minus"
    LIKE_A_MINUS = "minus, or else a bullet"
    NONE = "minus or no dash at all"


def dashes(lines: Sequence[str]) -> tuple[Dash, ...]:
    """For each line what a dash at its front is. In a block of such lines it is a bullet if after one of
    them something follows that no minus has; else it may be either, and a bullet where there are several."""
    found = [Dash.NONE] * len(lines)
    index = 0
    while index < len(lines):
        if not _DASH.match(lines[index]):
            index += 1
            continue
        end = index
        while end < len(lines) and (_DASH.match(lines[end]) or (end > index and not lines[end].strip())):
            end += 1
        found[index:end] = [_dash(lines[index:end])] * (end - index)
        index = end
    return tuple(found)


def _dash(block: Sequence[str]) -> Dash:
    filled = [line for line in block if line.strip()]
    if any(_SURE_DASH.match(line) for line in filled):
        return Dash.BULLET
    if any("&" in line or line.rstrip().endswith("\\\\") for line in filled):
        return Dash.NONE  # a row of an aligned formula
    several = len(filled) > 1 or _NAMED_DASH.match(filled[0])
    return Dash.LIKE_A_BULLET if several else Dash.LIKE_A_MINUS


def without_dash(line: Mapped) -> Mapped:
    """The line without a dash and a space at its front."""
    return _without_front(line, _DASH)
