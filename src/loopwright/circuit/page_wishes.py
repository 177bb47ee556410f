"""What a person wishes of the printed sheet: which edition, which sections, which paper, whose terms.

Words only, as they stand under [sheet] in a problem file; what each comes to is for `sheet`.
"""

from __future__ import annotations

from dataclasses import dataclass

EDITIONS = ("problem", "solution", "instructor")
PAPERS = ("a4", "letter")
TERMS = ("british", "american")
SECTIONS = (
    "figure",
    "given",
    "equations",
    "working",
    "symbols",
    "numbers",
    "results",
    "directions",
    "limits",
    "expectations",
    "checks",
    "ledger",
    "slips",
)
GIVE_NOTHING_AWAY = ("figure", "given")  # the sections that a problem edition may have


@dataclass(frozen=True, slots=True)
class PageWishes:
    """The wishes of one problem; each is empty where nothing is said. `sections` hold for that edition."""

    edition: str = ""
    sections: tuple[str, ...] = ()
    paper: str = ""
    terms: str = ""
