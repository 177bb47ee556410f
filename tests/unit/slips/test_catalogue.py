"""The catalogue of slips: whole, with a source or an honest word for every row, and documented."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from loopwright.reading.repair.edits import SIZES
from loopwright.slips.catalogue import CATALOGUE, WORKS, CatalogueEntry, Evidence

PAGE = (Path(__file__).parents[3] / "docs/slips.md").read_text("utf-8")


def row(entry: CatalogueEntry) -> str:
    """The row of an entry in the documentation."""
    works = ", ".join(entry.source)
    near = "; near to it: " if entry.evidence in (Evidence.PRACTICE, Evidence.COMPUTED) else ": "
    attested = entry.evidence + (near + works if works else "")
    return f"| `{entry.key}` | {entry.name} | {entry.said} | {entry.usual} | {attested} |"


@pytest.mark.parametrize("entry", CATALOGUE.values(), ids=CATALOGUE)
def test_no_two_slips_have_one_name(entry: CatalogueEntry) -> None:
    assert [other.key for other in CATALOGUE.values() if other.name.lower() == entry.name] == [entry.key]


@pytest.mark.parametrize("entry", CATALOGUE.values(), ids=CATALOGUE)
def test_every_entry_is_documented_word_for_word(entry: CatalogueEntry) -> None:
    assert row(entry) in PAGE


@pytest.mark.parametrize("entry", CATALOGUE.values(), ids=CATALOGUE)
def test_a_published_slip_names_works_that_are_listed(entry: CatalogueEntry) -> None:
    published = entry.evidence in (Evidence.SEEN, Evidence.MEMORY)
    assert set(entry.source) <= WORKS.keys()
    assert bool(entry.source) >= published
    if entry.evidence is Evidence.SEEN:
        assert set(entry.source) - entry.from_memory


@pytest.mark.parametrize("entry", CATALOGUE.values(), ids=CATALOGUE)
def test_an_entry_is_told_in_one_sentence_under_a_short_key(entry: CatalogueEntry) -> None:
    assert CATALOGUE[entry.key] is entry
    assert re.fullmatch(r"[a-z]+(-[a-z]+){0,2}", entry.key)
    assert re.fullmatch(r"[A-Z][^.]+\.", entry.said)
    assert 1 <= entry.usual <= 5


def test_every_work_is_used_and_documented() -> None:
    used = {work for entry in CATALOGUE.values() for work in entry.source}
    assert used == WORKS.keys()
    assert [code for code, work in WORKS.items() if f"- **{code}** {work}" not in PAGE] == []


def test_the_slips_recognised_in_a_line_are_listed() -> None:
    listed = PAGE.split("## Recognised in one line")[1].split("## Works")[0]
    assert re.findall(r"`([a-z-]+)`", listed) == [key for key in CATALOGUE if key in SIZES]
