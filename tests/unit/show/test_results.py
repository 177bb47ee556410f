"""Every result of the verbs shows itself, as text where it is printed and as HTML in a notebook."""

from __future__ import annotations

from dataclasses import replace

import pytest

import loopwright
from loopwright.checks.ledger.ledger import Ledger, LedgerEntry
from loopwright.expressions.nodes import Equation, Symbol
from loopwright.methods.compare import compare
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.show.results import as_text
from loopwright.shown import Shown
from loopwright.slips.coverage import CheckRow, Coverage, coverage
from tests.sample_circuits import CHARGE_OR_HELP, circuit_of
from tests.unit.reading.made_readings import CARRIED, JUNCTION, LEFT, WRONG_SIGN, reading
from tests.wide_circuits import complete

CIRCUIT = circuit_of(CHARGE_OR_HELP)
WRONG = reading(JUNCTION, LEFT, WRONG_SIGN, *CARRIED)
MARK = propose(WRONG, BUILT_IN["ten"])
RESULTS: dict[str, Shown] = {
    "laws": loopwright.laws(CIRCUIT),
    "solution": loopwright.solve(CIRCUIT),
    "derivation": loopwright.derive(CIRCUIT),
    "ledger": loopwright.examine(CIRCUIT),
    "coverage": coverage(CIRCUIT),
    "methods": compare(CIRCUIT),
    "reading": WRONG,
    "mark": MARK,
    "sheet": loopwright.sheet(CIRCUIT),
}


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("laws", "loop   E1 − Ic R1 − Ih Rh = 0   Ic Ih"),
        ("solution", "Ih = (E1 R2 + E2 R1)/(R1 Rh + R2 (R1 + Rh))"),
        ("derivation", "(7)   Ih = (E1 R2 + E2 R1)/(R1 Rh + R2 (R1 + Rh))   Solve (6) for Ih."),
        ("coverage", "smallest set: Rh to 0 and to infinity"),
        ("reading", "✓  2  E1 - Ic R1 - Ih Rh = 0               loop equation"),
        ("mark", "Junction equations   1 of 1   right: line 1"),
        ("sheet", "# Circuit"),
    ],
)
def test_it_shows_itself_as_text(name: str, line: str) -> None:
    assert line in str(RESULTS[name]).splitlines()


def test_each_method_stands_on_a_line_with_what_it_takes() -> None:
    lines = [" ".join(line.split()) for line in str(RESULTS["methods"]).splitlines()]
    assert "branch currents 3 9 107" in lines


def test_a_ledger_has_a_line_for_each_entry_and_ends_with_their_count() -> None:
    ends = {
        "a": (True, False),
        "b": (True, False),
        "c": (False, False),
        "d": (None, False),
        "e": (None, True),
    }
    made = Ledger(tuple(LedgerEntry(n, n.upper(), "how", "what", *end) for n, end in ends.items()))
    assert str(made).splitlines() == [
        "A: passed. what (how)",
        "B: passed. what (how)",
        "C: failed. what (how)",
        "D: does not apply. what (how)",
        "E: not done. what (how)",
        "2 passed, 1 failed, 1 do not apply, 1 not done",
    ]
    assert str(RESULTS["ledger"]).endswith(" passed, 0 failed, 0 do not apply")


def test_what_each_check_catches_stands_in_columns() -> None:
    rows = (CheckRow("by hand", frozenset({0, 2})), CheckRow("by", frozenset()))
    made = Coverage(coverage(CIRCUIT).slips[:3], rows, ("by hand",), frozenset())
    assert str(made).splitlines() == ["by hand  2 of 3", "by       0 of 3", "smallest set: by hand"]
    assert "<tr><td>by hand</td><td>2 of 3</td></tr>" in made._repr_html_()


def test_what_a_step_states_beside_its_chain_has_lines_of_its_own() -> None:
    derivation = loopwright.derive(CIRCUIT)
    first = replace(derivation.steps[0], also=(Equation(Symbol("I2"), Symbol("I4")),))
    assert str(replace(derivation, steps=(first,))).splitlines()[1:] == ["I2 = I4"]


@pytest.mark.parametrize("name", [name for name in RESULTS if name != "sheet"])
def test_it_shows_itself_as_a_table_in_a_notebook(name: str) -> None:
    page = RESULTS[name]._repr_html_()
    assert page.startswith(
        '<style>table.loopwright td { text-align: left; }</style><table class="loopwright">'
    )
    assert page.endswith("</td></tr></table>")
    assert ("<math>" in page) is (name in {"laws", "solution", "derivation", "ledger", "reading"})


def test_a_sheet_is_a_page_in_a_notebook() -> None:
    assert RESULTS["sheet"]._repr_html_() == loopwright.sheet(CIRCUIT).html()


def test_a_reading_and_a_mark_have_a_row_for_each_line_and_part() -> None:
    page = RESULTS["reading"]._repr_html_()
    assert page.count("<tr>") == len(WRONG.working.lines) + len(WRONG.closing)
    assert "not true, but follows" in page
    last = RESULTS["mark"]._repr_html_().split("<tr>")[-1]
    assert "9 of 10" in last
    assert "the instructor decides" in last


def test_closed_forms_too_long_to_print_are_shown_by_named_quantities() -> None:
    lines = str(loopwright.solve(circuit_of(complete(5)))).splitlines()
    assert max(map(len, lines)) < 100
    assert lines[10] == "S1 = G2 + G5 + G8 + G9"


def test_what_is_no_result_is_refused() -> None:
    with pytest.raises(TypeError, match="how a Circuit is shown"):
        as_text(CIRCUIT)
