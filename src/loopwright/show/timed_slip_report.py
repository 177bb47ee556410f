"""The slips of a circuit in time and what catches each, as text, as Markdown, and as data."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence

from ..slips.catalogue import CATALOGUE
from ..slips.caught_in_time import CaughtInTime, CoverageInTime


def _told(found: CoverageInTime, keys: Sequence[str]) -> list[CaughtInTime]:
    return [slip for slip in found.slips if not keys or slip.entry in keys]


def _catchers(slip: CaughtInTime, found: CoverageInTime) -> str:
    caught = "; ".join(found.titles.get(code, code) for code in slip.caught)
    return caught or "none of these checks"


def _counts(found: CoverageInTime) -> list[tuple[str, str]]:
    of = len(found.slips)
    return [(found.titles[code], f"{count} of {of}") for code, count in found.counts.items()]


def _smallest(found: CoverageInTime) -> str:
    return "; ".join(found.titles[code] for code in found.smallest_set)


def in_text(found: CoverageInTime, keys: Sequence[str] = ()) -> str:
    """Each slip with what catches it, then how many each check catches."""
    lines: list[str] = []
    for slip in _told(found, keys):
        lines += [f"{CATALOGUE[slip.entry].name}: {slip.said}", f"    caught by: {_catchers(slip, found)}"]
    if keys:
        return "\n".join(lines)
    lines += ["", f"{len(found.slips)} slips made and looked at."]
    lines += [f"Caught by {title}: {count}." for title, count in _counts(found)]
    lines += [f"Caught by none of these: {len(found.never)} of {len(found.slips)}."]
    if found.smallest_set:
        lines.append(f"The fewest that catch all the others: {_smallest(found)}.")
    return "\n".join(lines)


def in_markdown(found: CoverageInTime, keys: Sequence[str] = ()) -> str:
    """The same as two tables."""
    lines = ["| slip | what is done | caught by |", "| --- | --- | --- |"]
    lines += [
        f"| {CATALOGUE[s.entry].name} | {s.said} | {_catchers(s, found)} |".replace("∥", "&#8741;")
        for s in _told(found, keys)
    ]
    lines += ["", "| check | catches |", "| --- | --- |"]
    lines += [f"| {title} | {count} |" for title, count in _counts(found)]
    return "\n".join(lines)


def in_json(found: CoverageInTime, keys: Sequence[str] = ()) -> str:
    """The same as data."""
    slips = [{"slip": s.entry, "done": s.said, "caught by": list(s.caught)} for s in _told(found, keys)]
    whole: Mapping[str, object] = {
        "slips": slips,
        "checks": {code: {"title": found.titles[code], "catches": n} for code, n in found.counts.items()},
        "smallest set": list(found.smallest_set),
    }
    return json.dumps(whole, ensure_ascii=False, indent=2)


CoverageForm = Callable[[CoverageInTime, Sequence[str]], str]
TIMED_FORMS: Mapping[str, CoverageForm] = {"text": in_text, "md": in_markdown, "json": in_json}
