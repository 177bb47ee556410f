"""The table [sheet] of a problem file: which edition of the sheet, which sections, which paper, whose terms.

    [sheet]
    edition  = "solution"              or "problem", or "instructor"
    sections = ["figure", "results"]   those of that edition which are printed; all of them when not given
    paper    = "letter"                or "a4"
    terms    = "american"              or "british"
    figure   = "mirrored"              or "turned", or "mirrored and turned"

Says all that is wrong with the table. Beside it stands `method`, a key of the file itself.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..circuit.names import listed, nearest
from ..circuit.page_wishes import (
    EDITIONS,
    FIGURES,
    GIVE_NOTHING_AWAY,
    METHODS,
    PAPERS,
    SECTIONS,
    SHORTEST,
    TERMS,
    PageWishes,
)
from .faults import Faults
from .key_lines import KeyPath

_WORDS = {"edition": EDITIONS, "paper": PAPERS, "terms": TERMS, "figure": FIGURES}
_KEYS = ("edition", "sections", "paper", "terms", "figure")


def read_sheet_table(table: Mapping[str, object], faults: Faults) -> PageWishes:
    """Reads [sheet]; what cannot be read is put down in `faults` and left out."""
    for key in table:
        if key not in _KEYS:
            near = nearest(key, _KEYS)
            mend = f"Did you mean {near}?" if near else f"The table has {listed(_KEYS)}."
            faults.add("file/unknown-key", ("sheet", key), f'[sheet] has no key "{key}".', mend)
    said = {
        key: _word(table[key], key, known, ("sheet", key), faults)
        for key, known in _WORDS.items()
        if key in table
    }
    sections = _sections(table.get("sections", []), faults)
    told = [name for name in sections if name not in GIVE_NOTHING_AWAY]
    if said.get("edition") == "problem" and told:
        faults.add(
            "sheet/gives-away",
            ("sheet", "sections"),
            f"a problem sheet gives nothing away, so it cannot hold {listed(told)}.",
            f"It may hold {listed(GIVE_NOTHING_AWAY)}; for more, take another edition.",
            tuple(told),
        )
    return PageWishes(sections=sections, **said)


def read_method(content: object, faults: Faults) -> str:
    """Reads `method`, by which method the circuit is worked; empty, with a finding, for no method known."""
    known = (*METHODS, SHORTEST)
    word = " ".join(content.lower().split()) if isinstance(content, str) else ""
    if word in known or content == "":
        return word
    near = nearest(word, known) if word else None
    said = f'"{content}"' if isinstance(content, str) else "this"
    quoted = [f'"{name}"' for name in known]
    mend = f'Did you mean "{near}"?' if near else f"Write {listed(quoted, 'or')}."
    faults.add("file/unknown-method", ("method",), f"{said} is no method of working a circuit.", mend)
    return ""


def _word(content: object, key: str, known: tuple[str, ...], path: KeyPath, faults: Faults) -> str:
    """One of the known words; empty, with a finding, for anything else."""
    word = " ".join(content.lower().split()) if isinstance(content, str) else ""
    if word in known:
        return word
    near = nearest(word, known) if word else None
    said = f'"{content}"' if isinstance(content, str) else "this"
    quoted = [f'"{name}"' for name in known]
    mend = f"Did you mean {near}?" if near else f"Write {listed(quoted, 'or')}."
    faults.add("sheet/unknown-word", path, f"{said} is no {key} of a sheet.", mend)
    return ""


def _sections(content: object, faults: Faults) -> tuple[str, ...]:
    items = [content] if isinstance(content, str) else content
    if not isinstance(items, list):
        mend = 'Write sections = ["equations", "results"].'
        faults.add("file/wrong-type", ("sheet", "sections"), "sections is not a list.", mend)
        return ()
    found = [
        _word(item, "section", SECTIONS, ("sheet", "sections", at), faults) for at, item in enumerate(items)
    ]
    return tuple(dict.fromkeys(name for name in found if name))
