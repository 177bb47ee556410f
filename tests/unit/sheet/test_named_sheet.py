"""Sheets of circuits whose closed forms are too long: they come out, and leave nothing unsaid."""

from __future__ import annotations

import pytest

from loopwright.checks.ledger.ledger import Ledger, LedgerEntry
from loopwright.checks.limits.expectations import Judgement
from loopwright.errors import BrokenPromise
from loopwright.expressions.nodes import Equation
from loopwright.expressions.said import as_text
from loopwright.sheet import named
from loopwright.sheet.build import sheet
from loopwright.sheet.document import DisplayedLine, Picture
from loopwright.sheet.named import NamedSheet
from loopwright.solve.exact import solve
from tests.sample_circuits import circuit_of
from tests.wide_circuits import complete, grid, ladder

NUMBERED = (
    complete(5) + '[numbers]\nE = "6 V"\nr = "1 ohm"\n' + "\n".join(f'R{n} = "{n} ohm"' for n in range(1, 11))
)


def worked(text: str) -> NamedSheet:
    found = sheet(circuit_of(text), edition="instructor")
    assert isinstance(found, NamedSheet)
    return found


@pytest.mark.parametrize("text", [complete(6), ladder(8), grid(4)], ids=["six points", "ladder", "grid"])
def test_the_sheet_of_a_long_circuit_comes_out_in_every_form(text: str) -> None:
    found = worked(text)
    assert f"{found.terms:,} terms" in found.markdown()
    assert found.html().endswith("</html>\n")
    assert found.latex().rstrip().endswith(r"\end{document}")
    assert found.spoken().endswith(".\n")
    assert found.ledger.passed


def test_every_current_has_its_line() -> None:
    found = worked(complete(6))
    left = [
        str(block.sides[0])
        for block in found.document.blocks
        if isinstance(block, DisplayedLine) and block.result
    ]
    assert len(left) == 16


def test_series_and_parallel_are_written_at_once_where_that_is_short() -> None:
    texts = [as_text(b.reason) for b in worked(ladder(4)).document.blocks if isinstance(b, DisplayedLine)]
    assert "Series and parallel put into one another, each resistance written once." in texts
    texts = [as_text(b.reason) for b in worked(ladder(8)).document.blocks if isinstance(b, DisplayedLine)]
    assert not any("put into one another" in text for text in texts)


def test_what_a_line_uses_stands_above_it() -> None:
    written = worked(complete(5)).markdown()
    assert written.index("G_{1} = ") < written.index("S_{1} = ") < written.index("V_{\\mathrm{ab}} = ")


def test_what_is_left_out_is_said_on_the_sheet_and_beside_it() -> None:
    found = worked('expect = ["I3 -> 0 as R3 -> oo"]\n' + grid(4))
    (note,) = found.notes
    assert note.code == "sheet/closed-forms-too-long"
    for words in ("derivation", "limits in words", "the list of equations"):
        assert words in note.message
        assert words in found.markdown()
    assert [v.judgement for v in found.verdicts] == [Judgement.CONFIRMED]  # judged, and so not left out


def test_a_figure_of_what_does_not_lie_flat_is_left_out_and_said_so() -> None:
    assert not any(isinstance(b, Picture) for b in worked(complete(6)).document.blocks)
    assert "the figure" in worked(complete(6)).notes[0].message
    assert any(isinstance(b, Picture) for b in worked(ladder(8)).document.blocks)


def test_numbers_come_by_the_exact_solver() -> None:
    circuit = circuit_of(NUMBERED)
    found = worked(NUMBERED)
    wanted = solve(circuit.in_numbers()).currents
    assert {str(a.target.as_text()): a.value for a in found.answers} == dict(wanted)


def test_potential_differences_powers_and_resistances_are_answered() -> None:
    found = worked('find = ["V(a, c)", "P(R3)", "R(a, b) without E"]\n' + NUMBERED)
    texts = [
        as_text((Equation(b.sides[0], b.sides[1]),))
        for b in found.document.blocks
        if isinstance(b, DisplayedLine) and b.result
    ]
    assert texts == ["V(a, c) = E + I5 R5 − I0 r", "P(R3) = I3² R3"]
    assert [str(a.target.as_text()) for a in found.answers] == ["V(a, c)", "P(R3)", "R(a, b) without E"]


def test_a_failed_check_stops_the_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    failed = Ledger((LedgerEntry("power", "Power balance", "sum", "1 W is missing", False),))
    monkeypatch.setattr(named, "examine_named", lambda _: failed)
    with pytest.raises(BrokenPromise, match="1 W is missing"):
        sheet(circuit_of(complete(6)))
