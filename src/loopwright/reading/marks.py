"""The marks of Markdown round a line, taken off: headings, bullets, emphasis, code spans, subscript tags."""

from __future__ import annotations

import re
from collections.abc import Sequence

from .mapped import Mapped

_FRONT = re.compile(r"\s*(?:#{1,6}\s+|>\s?)+")
_BULLET = re.compile(r"\s*(?:[*•‣◦▪●]\s+|\+\s+(?=[^\W\d]{3}))(?:\[[ xX]\]\s+)?")
_DASH = re.compile(r"\s*-\s+(?:\[[ xX]\]\s+)?(?=\S)")
_SURE_DASH = re.compile(r"\s*-\s+(?:\[[ xX]\]|[-−–(\[*$`]|[^\W\d_]{3,}|\d+[.)]\s)")
_STRONG = re.compile(r"(?<![\w)\]*])(\*\*|__)(?=\S)((?:(?!\1).)+?)(?<=\S)\1(?![\w(*])")
_WEAK = re.compile(r"(?<![\w)\]*])\*(?=[^\s*])([^*]+?)(?<=[^\s*])\*(?![\w(*])")
_CODE = re.compile(r"``?([^`]+)``?")
_SUB = re.compile(r"<sub>([^<>]*)</sub>", re.IGNORECASE)
_SUP = re.compile(r"<sup>([^<>]*)</sup>", re.IGNORECASE)
_BREAK = re.compile(r"<br\s*/?>", re.IGNORECASE)
_ESCAPED = re.compile(r"\\([_*#`])")
_RULE = re.compile(r"\s*(?:[-*_=]\s*){3,}|\s*\|?(?:\s*:?-{2,}:?\s*\|?)+\s*|\s*(?:```|~~~).*")


def unmarked(line: Mapped, *, bullets: bool) -> Mapped:
    """The line without Markdown's marks. `bullets`: a dash and a space at its front is a bullet."""
    if _RULE.fullmatch(line.text):
        return line.part(0, 0)
    line = _without_front(line, _FRONT)
    line = _without_front(line, _BULLET)
    if bullets:
        line = _without_front(line, _DASH)
    if line.text.lstrip().startswith("|"):
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


def has_bullets(lines: Sequence[str]) -> tuple[bool, ...]:
    """For each line, whether a dash and a space at its front is a bullet rather than a minus: so it is in
    a block of lines that have one, if after one of them something follows that no minus has."""
    found = [False] * len(lines)
    index = 0
    while index < len(lines):
        if not _DASH.match(lines[index]):
            index += 1
            continue
        end = index
        while end < len(lines) and (_DASH.match(lines[end]) or (end > index and not lines[end].strip())):
            end += 1
        if any(_SURE_DASH.match(line) for line in lines[index:end]):
            found[index:end] = [True] * (end - index)
        index = end
    return tuple(found)
