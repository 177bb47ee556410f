"""Sheets worked by another method: what stands on the page and what is drawn."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.errors import FaultyMaterial
from loopwright.figure.drawing import Label
from loopwright.methods.methods import METHODS
from loopwright.sheet.build import FullSheet, sheet
from loopwright.sheet.document import DisplayedLine, Heading, Picture
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, circuit_of
from tests.wide_circuits import complete

SERVING = [m.name for m in METHODS[1:] if not m.why_not(circuit_of(CHARGE_OR_HELP))]


def worked(text: str, method: str, edition: str = "solution") -> FullSheet:
    made = sheet(circuit_of(text), method=method, edition=edition)
    assert isinstance(made, FullSheet)
    return made


@pytest.mark.parametrize("method", SERVING)
@pytest.mark.parametrize("edition", ["solution", "instructor"])
def test_a_sheet_is_worked_by_the_method_asked_for(method: str, edition: str) -> None:
    made = worked(CHARGE_OR_HELP_IN_NUMBERS, method, edition)
    heads = [b.words for b in made.document.blocks if isinstance(b, Heading)]
    assert method.capitalize() in heads
    numbers = [b.number for b in made.document.blocks if isinstance(b, DisplayedLine) and b.number]
    assert numbers == sorted(set(numbers))


def test_the_figure_shows_the_loop_currents_by_their_names() -> None:
    made = worked(BRIDGE, "loop currents")
    figure = next(b for b in made.document.blocks if isinstance(b, Picture))
    written = {m.base + m.sub for m in figure.drawing.marks if isinstance(m, Label)}
    assert set(made.derivation.meanings) <= written


def test_a_ranking_that_is_asked_stands_with_its_proof_among_the_results() -> None:
    circuit = replace(circuit_of(CHARGE_OR_HELP), ranked=("rank P(R1), P(R2)",))
    page = sheet(circuit).markdown()
    assert "the order of $P(R_{1})$ and $P(R_{2})$" in page
    assert "## Ranking" in page
    assert "The order depends on the values:" in page


def test_a_method_asked_for_a_circuit_too_large_for_a_page_is_refused_not_ignored() -> None:
    with pytest.raises(FaultyMaterial, match="is not worked in numbers"):
        sheet(circuit_of(complete(7)), method="loop currents")


def test_the_shortest_is_taken_only_when_the_problem_says_so() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    plain = sheet(circuit)
    asked = sheet(replace(circuit, page=replace(circuit.page, method="shortest")))
    assert isinstance(plain, FullSheet)
    assert isinstance(asked, FullSheet)
    assert plain.method == "branch currents"
    methods = ("branch currents", *SERVING)
    least = min(worked(CHARGE_OR_HELP, m).derivation.written_symbols for m in methods)
    assert asked.derivation.written_symbols == least
