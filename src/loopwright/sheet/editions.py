"""The editions of a sheet: what each prints, and how the page is set.

`problem` is handed out before the lesson and gives nothing away; `solution` is for students; `instructor`
has all of it. One source: every section is the same in whichever edition it stands, but for the limits, of
which a solution prints those that teach something.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from ..circuit.circuit import Circuit
from ..circuit.names import listed
from ..circuit.page_wishes import EDITIONS, GIVE_NOTHING_AWAY, METHODS, PAPERS, SHORTEST, TERMS
from ..figure.figure import STYLES


class Edition(StrEnum):
    """For whom a sheet is."""

    PROBLEM = "problem"
    SOLUTION = "solution"
    INSTRUCTOR = "instructor"


WHOLE: Mapping[Edition, tuple[str, ...]] = {
    Edition.PROBLEM: GIVE_NOTHING_AWAY,
    Edition.SOLUTION: (
        "figure",
        "equations",
        "working",
        "results",
        "limits",
        "expectations",
        "plots",
        "checks",
    ),
    Edition.INSTRUCTOR: (
        "figure",
        "equations",
        "symbols",
        "numbers",
        "results",
        "directions",
        "limits",
        "expectations",
        "plots",
        "ledger",
        "slips",
    ),
}


@dataclass(frozen=True, slots=True)
class Page:
    """How a sheet is to be: its edition, the sections it prints, paper (`"a4"`, `"letter"`), terms
    (`"british"`, `"american"`), the symbol of a resistor (`"iec"`, `"ieee"`) and by which method the circuit
    is worked (a name, or `"shortest"`; empty where nothing is said)."""

    edition: Edition
    sections: tuple[str, ...]
    paper: str
    terms: str
    resistors: str
    method: str = ""

    def has(self, section: str) -> bool:
        """Whether a section is printed."""
        return section in self.sections

    @property
    def all_limits(self) -> bool:
        """Whether every limit is printed, and not only those that teach something."""
        return self.edition is Edition.INSTRUCTOR


def page_of(
    circuit: Circuit,
    edition: str = "",
    paper: str = "",
    terms: str = "",
    resistors: str = "iec",
    method: str = "",
) -> Page:
    """The page asked for; what is left empty is as the problem file wishes, else a solution on A4 in British
    terms. The sections that a file chooses hold for its own edition: another one is printed whole.

    Raises ValueError for a word that is not known.
    """
    wished = circuit.page
    own = wished.edition or Edition.SOLUTION
    asked = Edition(_known("edition", edition or own, EDITIONS))
    chosen = wished.sections if wished.sections and asked == own else WHOLE[asked]
    return Page(
        asked,
        chosen,
        _known("paper", paper or wished.paper or "a4", PAPERS),
        _known("terms", terms or wished.terms or "british", TERMS),
        _known("resistors", resistors, STYLES),
        _known("method", method or wished.method, ("", *METHODS, SHORTEST)),
    )


def _known(what: str, word: str, known: tuple[str, ...]) -> str:
    if word not in known:
        raise ValueError(f"{what} is {listed([w for w in known if w], 'or')}, not {word}")
    return word
