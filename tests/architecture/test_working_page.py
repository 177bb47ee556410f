"""The page on how a working may be written says what is so: every example on it is read as it says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from loopwright.expressions.nodes import Equation, Expr, Symbol, put
from loopwright.expressions.parse import expression
from loopwright.expressions.sameness import same_algebra
from loopwright.expressions.values import symbols_of
from loopwright.problem.problem_file import read_text
from loopwright.reading.page.lines import working
from loopwright.reading.working import WrittenLine

PAGE = (Path(__file__).parents[2] / "docs/working.md").read_text()
TOML = re.search(r"```toml\n(.*?)```", PAGE, re.DOTALL)
CIRCUIT, FINDINGS = read_text(TOML[1] if TOML else "")
ROW = re.compile(r"^\| `(?P<typed>.+)` \|(?P<rest>.*)\|$", re.MULTILINE)


def rows(head: str) -> list[tuple[str, list[str]]]:
    """The rows of all tables with this head: what is typed, and the other cells."""
    found = []
    for table in re.findall(rf"^\| typed \| {head} \|\n.*?(?:\n\n|\Z)", PAGE, re.MULTILINE | re.DOTALL):
        for row in ROW.finditer(table):
            cells = [cell.strip() for cell in row["rest"].split("|")]
            found.append((row["typed"].replace(r"\|", "|"), cells))
    return found


def read(typed: str) -> WrittenLine:
    assert CIRCUIT is not None
    (line,) = working(typed, CIRCUIT).lines
    return line


def side(text: str) -> Expr:
    assert CIRCUIT is not None
    known = (*CIRCUIT.currents, *CIRCUIT.symbols)
    return Symbol("∞") if text.strip() == "∞" else expression(text, known)


def relation(text: str) -> Equation:
    sign = next(sign for sign in "=≈→" if sign in text)
    left, right = text.split(sign)
    return Equation(side(left), side(right), sign)


def test_the_circuit_of_the_page_is_without_faults() -> None:
    assert CIRCUIT is not None
    assert not FINDINGS


@pytest.mark.parametrize(("typed", "cells"), rows("read as"))
def test_every_example_is_read_as_the_page_says(typed: str, cells: list[str]) -> None:
    line = read(typed)
    assert line.trouble is None
    wanted = [text.partition(" if ") for text in cells[0].split(";") if text]
    assert len(line.claims) == len(wanted)
    for claim, (said, _, case) in zip(line.claims, wanted, strict=True):
        assert same_algebra(claim.written, relation(said))
        assert claim.case == ((relation(case),) if case else ())


@pytest.mark.parametrize(("typed", "cells"), rows(r"label \| rests on \| combination"))
def test_every_label_and_source_is_found_as_the_page_says(typed: str, cells: list[str]) -> None:
    line = read(typed)
    label, rests_on, combination = cells
    assert line.label == label
    assert (", ".join(line.source.labels) if line.source else "") == rests_on
    found = line.source.combination if line.source else None
    if not combination:
        assert found is None
        return
    assert found is not None
    named = put(found, {name: Symbol(f"x{name}") for name in symbols_of(found) if name.isdigit()})
    assert same_algebra(named, expression(re.sub(r"\((\d)\)", r"x\1", combination)))


@pytest.mark.parametrize(("typed", "cells"), rows("arrow"))
def test_every_arrow_is_found_as_the_page_says(typed: str, cells: list[str]) -> None:
    (arrow,) = read(typed).arrows
    through = f" through {', '.join(arrow.through)}" if arrow.through else ""
    assert f"{arrow.name} from {arrow.start} to {arrow.end}{through}" == cells[0]


@pytest.mark.parametrize(("typed", "cells"), rows("the circuit"))
def test_every_changed_circuit_is_found_as_the_page_says(typed: str, cells: list[str]) -> None:
    assert read(typed).setting.words == cells[0]


@pytest.mark.parametrize(("typed", "cells"), rows("trouble"))
def test_every_trouble_is_told_as_the_page_says(typed: str, cells: list[str]) -> None:
    line = read(typed)
    assert line.claims == ()
    assert line.trouble is not None
    assert cells[0] in line.trouble.why


def test_the_page_has_examples_of_every_sort() -> None:
    heads = ("read as", r"label \| rests on \| combination", "arrow", "the circuit", "trouble")
    assert [len(rows(head)) >= 4 for head in heads] == [True] * 5
