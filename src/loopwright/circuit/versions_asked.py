"""What a problem file says of versions, in its own words: what varies and from what, and what must hold.

Words only, as they stand under [versions]; `value_choices` and `wishes` read them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

DIFFICULTIES = ("same", "mixed")


@dataclass(frozen=True, slots=True)
class VersionsAsked:
    """The table [versions]. `choices`: by symbol, from what its value is chosen; `hold`: the wishes;
    `difficulty`: one of DIFFICULTIES, empty where nothing is said (the same)."""

    choices: Mapping[str, str] = field(default_factory=dict)
    hold: tuple[str, ...] = ()
    difficulty: str = ""

    def __bool__(self) -> bool:
        return bool(self.choices or self.hold or self.difficulty)
