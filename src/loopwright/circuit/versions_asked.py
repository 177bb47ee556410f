"""What a problem file says of versions, in its own words: what varies and from what, and what must hold.

Words only, as they stand under [versions]; `value_choices` and `wishes` read them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

DIFFICULTIES = ("same", "mixed")
ARROWS, RENAMED = "arrows turned", "renamed"
MIRRORED, TURNED = "mirrored", "turned"
FORMS = (ARROWS, RENAMED, MIRRORED, TURNED)  # in which versions may differ besides their numbers


@dataclass(frozen=True, slots=True)
class VersionsAsked:
    """The table [versions]. `choices`: by symbol, from what its value is chosen; `hold`: the wishes;
    `difficulty`: one of DIFFICULTIES, empty where nothing is said (the same). `forms`: of FORMS, in which
    versions may differ besides; `asked`: other lists of questions, one of which may take the place of the
    file's own."""

    choices: Mapping[str, str] = field(default_factory=dict)
    hold: tuple[str, ...] = ()
    difficulty: str = ""
    forms: tuple[str, ...] = ()
    asked: tuple[tuple[str, ...], ...] = ()

    def __bool__(self) -> bool:
        return bool(self.choices or self.hold or self.difficulty or self.in_form)

    @property
    def in_form(self) -> bool:
        """Whether versions may differ in more than their numbers."""
        return bool(self.forms or self.asked)
