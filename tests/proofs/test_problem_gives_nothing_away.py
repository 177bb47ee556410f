"""The problem edition tells no answer, direction, limit or expectation, in no form of output; and the search
for them finds each of these where it is put in."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from loopwright.expressions.nodes import Equation, Symbol
from loopwright.problem.problem_file import read
from loopwright.sheet.build import FullSheet, sheet
from loopwright.sheet.document import Paragraph, Picture, Text
from loopwright.sheet.problem_sheet import ProblemSheet
from tests.leaks import leaks, searched

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
CLOSED = [path for path in EXAMPLES if read(path).ladder is None]
NAMED = ("charge-or-help", "tide-gauge-bridge", "bridge", "weather-mast")

pytestmark = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs pdftotext")


def problem(path: Path) -> ProblemSheet:
    made = sheet(read(path), edition="problem")
    assert isinstance(made, ProblemSheet)
    return made


@pytest.mark.parametrize("path", CLOSED, ids=lambda path: path.stem)
def test_nothing_is_given_away_in_any_form(path: Path) -> None:
    made = problem(path)
    assert leaks(made.document, made.circuit) == []


@pytest.mark.parametrize("path", [p for p in EXAMPLES if p not in CLOSED], ids=lambda path: path.stem)
def test_the_ladder_without_end_is_not_told_to_repeat_itself(path: Path) -> None:
    for text in searched(problem(path).document).values():
        assert not any(word in text for word in ("same resistance", "terminated", "root", "tends", "Ledger"))


def giveaways(worked: FullSheet) -> dict[str, Text]:
    """Sentences of the solution, one of each sort."""
    answer = next(a for a in worked.answers if a.target.kind == "current")
    found: dict[str, Text] = {
        "closed form": (Equation(answer.name, answer.form),),
        "direction": worked.directions[0].sentence,
        "limit": worked.cases[0].sentence,
        "a word": ("The solution is on the next page.",),
    }
    if answer.rounded is not None:
        found["number"] = (answer.name, " is ", answer.rounded)
    if worked.verdicts:
        found["expectation"] = worked.verdicts[0].sentence
    return found


@pytest.mark.parametrize("name", NAMED)
def test_whatever_is_let_slip_is_found_in_every_form(name: str) -> None:
    path = next(p for p in CLOSED if p.stem == name)
    worked = sheet(read(path), edition="instructor")
    assert isinstance(worked, FullSheet)
    clean = problem(path).document
    for sort, words in giveaways(worked).items():
        spoilt = replace(clean, blocks=(*clean.blocks, Paragraph(words)))
        forms = {leak.split(":")[0] for leak in leaks(spoilt, worked.circuit)}
        assert forms == {"html", "pdf", "tex", "md", "say"}, sort


def test_an_answer_in_the_words_of_the_figure_is_found() -> None:
    made = problem(next(p for p in CLOSED if p.stem == "charge-or-help"))
    blocks = tuple(
        replace(b, alternative=b.alternative + "\nIc is 2.00 A.") if isinstance(b, Picture) else b
        for b in made.document.blocks
    )
    spoilt = replace(made.document, blocks=blocks)
    assert {leak.split(":")[0] for leak in leaks(spoilt, made.circuit)} >= {"html", "pdf", "md"}


def test_what_is_asked_and_given_stands_on_the_problem() -> None:
    said = problem(next(p for p in CLOSED if p.stem == "charge-or-help")).document
    paragraphs = [b.text for b in said.blocks if isinstance(b, Paragraph)]
    assert any(text[0] == "Given: " for text in paragraphs)
    assert any(text[0] == "To find: " and Symbol("Ic") in text for text in paragraphs)
