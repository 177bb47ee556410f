"""What a person wishes of the printed sheet: which edition, which sections, which paper, whose terms.

Words only, as they stand under [sheet] in a problem file; what each comes to is for `sheet`.
"""

from __future__ import annotations

from dataclasses import dataclass

EDITIONS = ("problem", "solution", "instructor")
PAPERS = ("a4", "letter")
TERMS = ("british", "american")
FIGURES = ("mirrored", "turned", "mirrored and turned")  # how the figure stands, where not as it would
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
    "plots",
    "checks",
    "ledger",
    "slips",
)
GIVE_NOTHING_AWAY = ("figure", "given")  # the sections that a problem edition may have
METHODS = (
    "branch currents",
    "loop currents",
    "node potentials",
    "determinants",
    "superposition",
    "series and parallel",
    "equivalent source",
)  # in the order in which `methods.methods` works them
SHORTEST = "shortest"  # whichever of them takes the least to write


@dataclass(frozen=True, slots=True)
class PageWishes:
    """The wishes of one problem; each is empty where nothing is said. `sections` hold for that edition.
    `figure`: how the figure stands: left and right exchanged, then turned by a quarter to the right.
    `method`: by which method it is worked, one of METHODS or SHORTEST."""

    edition: str = ""
    sections: tuple[str, ...] = ()
    paper: str = ""
    terms: str = ""
    method: str = ""
    figure: str = ""

    @property
    def mirrored(self) -> bool:
        """Whether the figure is to stand with left and right exchanged."""
        return "mirrored" in self.figure

    @property
    def turned(self) -> bool:
        """Whether the figure is to stand turned by a quarter to the right."""
        return "turned" in self.figure
