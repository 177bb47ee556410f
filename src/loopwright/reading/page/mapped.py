"""Text that remembers where each of its signs stood in the line as it was typed.

A line is freed of its markup before it is read; whatever is said about it points into the original.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import takewhile


@dataclass(frozen=True, slots=True)
class Mapped:
    """A text, and for each sign of it (and its end) the place in the line it came from."""

    text: str
    places: tuple[int, ...]

    def place(self, index: int) -> int:
        """Where in the line the sign at `index` stood; the end for any index beyond."""
        return self.places[min(max(index, 0), len(self.text))]

    def part(self, start: int, end: int) -> Mapped:
        """The signs from `start` up to `end`."""
        return Mapped(self.text[start:end], self.places[start : end + 1])

    def blanked(self, spans: Iterable[tuple[int, int]]) -> Mapped:
        """The same text with spaces in place of the spans, so that nothing moves."""
        signs = list(self.text)
        for start, end in spans:
            signs[start:end] = " " * (end - start)
        return Mapped("".join(signs), self.places)

    def replaced(self, pattern: re.Pattern[str], by: Callable[[re.Match[str]], str]) -> Mapped:
        """Every match replaced; what stands in its place is said to come from where it began, and what
        is kept of its end (or beginning) keeps its own places."""
        parts: list[Mapped] = []
        last = 0
        for match in pattern.finditer(self.text):
            parts.append(self.part(last, match.start()))
            parts.append(self._instead(match, by(match)))
            last = match.end()
        if not parts:
            return self
        return joined([*parts, self.part(last, len(self.text))], self.places[-1])

    def _instead(self, match: re.Match[str], words: str) -> Mapped:
        if len(words) == match.end() - match.start():
            return Mapped(words, self.places[match.start() : match.end() + 1])
        at = match[0].find(words) if words else -1
        if at >= 0:
            return self.part(match.start() + at, match.start() + at + len(words))
        ends = zip(reversed(match[0]), reversed(words), strict=False)
        kept = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], ends))
        new = (self.places[match.start()],) * (len(words) - kept)
        return Mapped(words, new + self.places[match.end() - kept : match.end() + 1])


def mapped(text: str) -> Mapped:
    """A line as typed: every sign at its own place."""
    return Mapped(text, tuple(range(len(text) + 1)))


def joined(parts: Iterable[Mapped], end: int) -> Mapped:
    """Parts one after another; `end` is the place of the end of the line."""
    text: list[str] = []
    places: list[int] = []
    for part in parts:
        text.append(part.text)
        places.extend(part.places[: len(part.text)])
    return Mapped("".join(text), (*places, end))
