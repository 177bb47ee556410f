"""Sheets of circuits whose closed forms are too long: they come out, and leave nothing unsaid."""

from __future__ import annotations

import numpy as np
import pytest

from loopwright.checks.ledger.ledger import Ledger, LedgerEntry
from loopwright.checks.limits.expectations import Judgement
from loopwright.errors import BrokenPromise, FaultyMaterial
from loopwright.expressions.nodes import Equation, Symbol
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


def test_with_all_numbers_the_solution_is_worked_in_numbers_and_names_stand_in_the_instructors_edition() -> (
    None
):
    solution = sheet(circuit_of(NUMBERED))
    assert isinstance(solution, NamedSheet)
    assert solution.working is not None
    written = solution.markdown()
    assert "Solution in numbers" in written
    assert "named quantities" not in written
    assert "closed forms in symbols" in solution.notes[0].message
    assert "derivation" not in solution.notes[0].message
    assert "Solution by named quantities" in worked(NUMBERED).markdown()
    assert sheet(circuit_of(complete(5))).working is None  # type: ignore[union-attr]


def test_the_steps_in_numbers_end_in_the_currents_that_numpy_finds() -> None:
    """K5 by NumPy, potentials from the bare list of its branches."""
    found = sheet(circuit_of(NUMBERED))
    assert isinstance(found, NamedSheet)
    circuit = found.circuit
    points = sorted({p for b in circuit.branches for p in (b.start, b.end)})
    of = {e.name: float(circuit.numbers[e.name]) for e in circuit.elements.values() if e.name != "E"}
    a = np.zeros((len(points), len(points)))
    rhs = np.zeros(len(points))
    drawn = []
    for b in circuit.branches:
        ohms = sum(of[p.element] for p in b.passes if p.element != "E")
        emf = sum(6.0 * p.sign for p in b.passes if p.element == "E")
        i, j = points.index(b.start), points.index(b.end)
        drawn.append((b.name, i, j, ohms, emf))
        for here, there, sign in ((i, j, 1.0), (j, i, -1.0)):
            a[here, here] += 1 / ohms
            a[here, there] -= 1 / ohms
            rhs[here] -= sign * emf / ohms
    a[0] = 0.0
    a[0, 0], rhs[0] = 1.0, 0.0
    levels = np.linalg.solve(a, rhs)
    ends = {}
    for block in found.document.blocks:
        if isinstance(block, DisplayedLine) and isinstance(block.sides[0], Symbol):
            printed = as_text((block.sides[-1],)).replace("−", "-")
            if printed.endswith(" A"):
                ends[block.sides[0].name] = float(printed.removesuffix(" A"))
    assert len(ends) == len(circuit.branches)
    for name, i, j, ohms, emf in drawn:
        assert ends[name] == pytest.approx((levels[i] - levels[j] + emf) / ohms, rel=6e-3)


@pytest.mark.parametrize(
    ("method", "head"), [("node potentials", "Node potentials"), ("loop currents", "Loop currents")]
)
def test_a_method_of_ones_choice_works_it_in_numbers(method: str, head: str) -> None:
    assert f"## {head}" in sheet(circuit_of(NUMBERED), method=method).markdown()


def test_the_shortest_method_is_taken_where_it_is_wished() -> None:
    lines = {}
    for method in ("branch currents", "loop currents", "node potentials", "shortest"):
        found = sheet(circuit_of(NUMBERED), method=method)
        assert isinstance(found, NamedSheet)
        assert found.working is not None
        lines[method] = found.working.written_lines
    assert lines.pop("shortest") == min(lines.values())


@pytest.mark.parametrize(("text", "method"), [(NUMBERED, "determinants"), (complete(5), "node potentials")])
def test_a_method_that_does_not_work_it_in_numbers_is_refused_with_those_that_do(
    text: str, method: str
) -> None:
    with pytest.raises(FaultyMaterial, match="loop currents and node potentials"):
        sheet(circuit_of(text), method=method)


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
