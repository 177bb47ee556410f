"""Units as they are slipped in typing: `4.7k` for 4.7 kΩ, `5 Kohm`, `12v`, `6 V/A`.

Read where there is one plausible reading, which is said. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Collection

from .mapped import Mapped

_DIGIT = r"(?<=[0-9])"
_END = r"(?![\w′'_(])"
_SLIPS = (  # pattern, what is meant, the letter that must not be a name in use
    (re.compile(rf"{_DIGIT}\s?[kK]{_END}"), " kΩ", "kK"),
    (re.compile(rf"{_DIGIT}\s?K(?=(?:Ω|[Oo]hms?|V|A|W)\b)"), " k", ""),
    (re.compile(rf"{_DIGIT}M{_END}"), " MΩ", "M"),
    (re.compile(rf"{_DIGIT}\s?V\s?/\s?A{_END}"), " Ω", "V"),
    (re.compile(rf"{_DIGIT}\s?V\s?/\s?(?:Ω|[Oo]hms?){_END}"), " A", "V"),
    (re.compile(rf"{_DIGIT}\s?A\s?[·*⋅ ]?\s?(?:Ω|[Oo]hms?){_END}"), " V", "A"),
    (re.compile(rf"{_DIGIT}v{_END}"), " V", "v"),
    (re.compile(rf"{_DIGIT}a{_END}"), " A", "a"),
    (re.compile(rf"{_DIGIT}w{_END}"), " W", "w"),
)


def with_units_mended(line: Mapped, known: Collection[str]) -> tuple[Mapped, tuple[str, ...]]:
    """The line with its units as they are meant, and a note for each that was written otherwise."""
    notes: list[str] = []
    for pattern, meant, letters in _SLIPS:
        if any(letter in known for letter in letters):
            continue
        for match in pattern.finditer(line.text):
            notes.append(f'"{match[0].strip()}" after a number is read as{meant}')
        line = line.replaced(pattern, lambda _, meant=meant: meant)  # type: ignore[misc]
    return line, tuple(dict.fromkeys(notes))
