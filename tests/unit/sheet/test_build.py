"""The sheet as a whole: every example in every form, nothing published that failed a check."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from loopwright.checks.ledger.ledger import Ledger, LedgerEntry
from loopwright.checks.limits.expectations import Judgement
from loopwright.circuit.circuit import Circuit
from loopwright.errors import BrokenPromise
from loopwright.figure.describe import describe
from loopwright.figure.rebuild import rebuild
from loopwright.problem.problem_file import read
from loopwright.sheet import build
from loopwright.sheet.build import FullSheet
from loopwright.sheet.build import sheet as any_sheet
from loopwright.sheet.document import CautionBox, DisplayedLine, Heading, Paragraph, Table
from loopwright.sheet.problem_sheet import ProblemSheet
from loopwright.sheet.sections import undrawn_blocks
from loopwright.slips.coverage import coverage
from loopwright.solve.exact import solve
from tests.sample_circuits import (
    CHARGE_OR_HELP,
    CHARGE_OR_HELP_IN_NUMBERS,
    CHARGING_IN_NUMBERS,
    SYMBOLIC,
    circuit_of,
)

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))


def sheet(circuit: Circuit, edition: str = "instructor") -> FullSheet:
    worked = any_sheet(circuit, edition=edition)
    assert isinstance(worked, FullSheet)
    return worked


def test_there_are_eight_examples_or_more() -> None:
    assert len(EXAMPLES) >= 8


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_goes_into_every_form(path: Path) -> None:
    worked = any_sheet(read(path))
    assert not isinstance(worked, ProblemSheet)
    assert worked.html().endswith("</html>\n")
    assert worked.pdf().startswith(b"%PDF")
    assert worked.latex().rstrip().endswith(r"\end{document}")
    assert worked.markdown().startswith("# ")
    assert worked.spoken().endswith(".\n")
    assert worked.ledger.passed
    assert not worked.unmet


@pytest.mark.parametrize("path", [p for p in EXAMPLES if read(p).ladder is None], ids=lambda path: path.stem)
def test_the_circuit_can_be_rebuilt_and_solved_from_the_figure_in_words(path: Path) -> None:
    circuit = replace(read(path), start={})  # what storages hold is no part of the figure
    again = rebuild(describe(circuit))
    assert again.symbols == circuit.symbols
    assert dict(solve(again).currents) == dict(solve(circuit).currents)


def test_the_figure_in_words_says_the_same_whatever_is_asked() -> None:
    asked = circuit_of('find = ["Ib", "P(Rh)"]\n' + CHARGE_OR_HELP_IN_NUMBERS)
    assert describe(asked) == describe(circuit_of(CHARGE_OR_HELP_IN_NUMBERS))


@pytest.mark.parametrize("name", SYMBOLIC)
def test_every_derived_line_stands_in_the_document_once(name: str) -> None:
    worked = sheet(circuit_of(SYMBOLIC[name]))
    numbers = [b.number for b in worked.document.blocks if isinstance(b, DisplayedLine) and b.number]
    assert numbers == [step.number for step in worked.derivation.steps]


def test_a_failed_check_stops_the_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    failed = Ledger((LedgerEntry("power", "Power balance", "sum", "1 W is missing", False),))
    for checks, edition in (("examine", "instructor"), ("prove", "solution")):
        monkeypatch.setattr(build, checks, lambda *_: failed)
        with pytest.raises(BrokenPromise, match="1 W is missing"):
            sheet(circuit_of(CHARGE_OR_HELP), edition)


def test_expectations_are_confirmed_and_refuted_with_the_true_result() -> None:
    text = 'expect = ["Ih -> 0 as Rh -> oo", "Ic = -Ib when Rh -> oo"]\n' + CHARGE_OR_HELP
    worked = sheet(circuit_of(text))
    assert [v.judgement for v in worked.verdicts] == [Judgement.CONFIRMED, Judgement.REFUTED]
    assert len(worked.unmet) == 1


def test_loops_that_the_figure_does_not_show_are_named() -> None:
    (told,) = undrawn_blocks(("(5)", "(6)"))
    assert isinstance(told, Paragraph)
    assert told.text == ("The loops of equations (5) and (6) are not drawn in the figure, for want of room.",)
    assert undrawn_blocks(()) == ()


def test_a_negative_current_is_explained_and_a_charged_battery_warned_of() -> None:
    worked = sheet(circuit_of(CHARGING_IN_NUMBERS).flipped("Ib"))
    html = worked.html()
    assert "is negative: this current really runs against its arrow." in html
    assert any(isinstance(b, CautionBox) for b in worked.document.blocks)
    heads = [b.words for b in worked.document.blocks if isinstance(b, Heading)]
    assert heads.index("Before it is built") > heads.index("Results")


def test_numbers_stand_in_a_table_with_unit_and_figures() -> None:
    worked = sheet(circuit_of("figures = 2\n" + CHARGE_OR_HELP_IN_NUMBERS))
    table = next(b for b in worked.document.blocks if isinstance(b, Table) and b.caption == "The numbers")
    spoken = worked.spoken()
    assert len(table.rows) == 3
    assert "negative one point zero amperes" in spoken


def test_the_numeric_solution_starts_from_the_equations_of_the_symbolic_one() -> None:
    worked = sheet(circuit_of(CHARGE_OR_HELP_IN_NUMBERS))
    assert worked.in_numbers is not None
    assert [law.loop for law in worked.in_numbers.laws] == [law.loop for law in worked.derivation.laws]
    assert worked.in_numbers.steps[0].number == worked.derivation.steps[-1].number + 1


@pytest.mark.parametrize("name", ["ladder", "bridge", "real bridge"])
def test_slips_are_counted_in_the_equations_that_the_sheet_shows(name: str) -> None:
    circuit = circuit_of(SYMBOLIC[name])
    worked = sheet(circuit)
    shown = [law.loop for law in worked.derivation.laws if law.loop]
    assert worked.coverage.slips == coverage(circuit, shown).slips
    assert "left out in the equations above" in worked.markdown()


def test_where_symmetry_replaces_equations_slips_are_counted_in_the_usual_set() -> None:
    circuit = circuit_of(SYMBOLIC["equal cells"])
    assert sheet(circuit).coverage.slips == coverage(circuit).slips
    assert "left out in the usual set of junction and loop equations" in sheet(circuit).markdown()
