"""Sets of papers: what is written, that it is right, that runs go on, and whose names stand where."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.errors import BrokenPromise, FaultyMaterial
from loopwright.many.each import CrewWish
from loopwright.papers import papers as room
from loopwright.papers.answers import paper_answers
from loopwright.papers.paper import paper_key, student_paper
from loopwright.papers.papers import contents, papers
from loopwright.papers.plan import PaperPlan, PaperWishes, planned
from loopwright.papers.roster import Roster, RosterEntry
from loopwright.problem.problem_file import read_text
from loopwright.sheet.document import Document, ProblemHead, WorkingRoom
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS

VARIED = """
[versions]
E1 = "6 to 24 V"
E2 = "6 to 24 V"
R1 = "2 to 6 ohm"
R2 = "2 to 6 ohm"
Rh = "2 to 6 ohm"
hold = ["currents with at most 1 decimal", "currents not zero"]
"""
ROSTER = Roster(tuple(RosterEntry(f"10{n}", f"Person{n} Example") for n in range(5)))
WISHES = PaperWishes(title="Week five", points=(8, 6), forms=("md",))


def circuit(text: str) -> Circuit:
    found, findings = read_text(text)
    assert found is not None, findings
    return found


BUS = circuit('title = "Charge or help"\n' + CHARGE_OR_HELP + VARIED)
RIG = circuit('title = "Rig"\n[branches]\nI1 = "a, +E, R, a"\n[numbers]\nE = "9 V"\nR = "3 ohm"\n')


def files(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def rows(folder: Path, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO((folder / name).read_text("utf-8"))))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("set")
    papers([BUS, RIG], ROSTER, folder, WISHES)
    return folder


def test_everybody_gets_a_paper_with_a_key(made: Path) -> None:
    who = rows(made, "who.csv")
    assert [(row["student"], row["name"]) for row in who] == [(e.student, e.name) for e in ROSTER.entries]
    codes = {row["paper"] for row in who}
    assert {p.stem for p in (made / "papers").iterdir()} == codes
    assert {p.stem for p in (made / "keys").iterdir()} == {f"{code}-key" for code in codes}
    for row in who:
        text = (made / "papers" / f"{row['paper']}.md").read_text("utf-8")
        assert row["paper"] in text
        assert row["name"] in text
        assert "## 1. Charge or help (8 points)" in text
        assert "## 2. Rig (6 points)" in text


def test_answers_of_every_paper_are_those_of_its_numbers_worked_by_elimination(made: Path) -> None:
    """The three equations of Charge or help put down by hand, and solved by NumPy."""
    plan = planned([BUS, RIG], ROSTER, WISHES)
    table = {(r["paper"], r["problem"], r["asked"]): r for r in rows(made, "answers.csv")}
    seen = set()
    for paper in plan.papers:
        n = {name: float(value) for name, value in paper.circuits[0].numbers.items()}
        seen.add(tuple(n.values()))
        laws = np.array([[1.0, -1.0, -1.0], [n["R1"], 0.0, n["Rh"]], [0.0, -n["R2"], n["Rh"]]])
        currents = np.linalg.solve(laws, [0.0, n["E1"], n["E2"]])
        for name, right in zip(("Ic", "Ib", "Ih"), currents, strict=True):
            row = table[paper.code, "1", name]
            assert float(row["value"]) == pytest.approx(right, abs=1e-9)
            assert row["unit"] == "A"
            assert 0.0099 < float(row["tolerance"]) / abs(float(row["value"])) < 0.2
        assert table[paper.code, "2", "I1"]["value"] == "3"
    assert len(seen) == len(ROSTER.entries)


def test_papers_give_no_answer_away_and_keys_do(made: Path) -> None:
    for row in rows(made, "answers.csv"):
        if row["problem"] == "1" and row["asked"] == "Ih":
            shown = row["shown"].split()[0].replace("−", "-")
            paper = (made / "papers" / f"{row['paper']}.md").read_text("utf-8")
            key = (made / "keys" / f"{row['paper']}-key.md").read_text("utf-8")
            assert shown in key
            assert "independent check" in key
            assert "independent check" not in paper
            assert "Equations" not in paper


def test_the_same_again_has_the_same_bytes_and_writes_nothing(made: Path, tmp_path: Path) -> None:
    again = papers([BUS, RIG], ROSTER, tmp_path, WISHES)
    assert files(tmp_path) == files(made)
    assert again.written == len(files(made)) - 1  # all but the list
    before = {p: p.stat().st_mtime_ns for p in (tmp_path / "papers").iterdir()}
    assert papers([BUS, RIG], ROSTER, tmp_path, WISHES).written == 0
    assert before == {p: p.stat().st_mtime_ns for p in (tmp_path / "papers").iterdir()}


def test_a_run_that_was_stopped_goes_on(made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files_of, begun = room.files_of, []

    def stopped(plan: PaperPlan, at: int) -> list[tuple[str, bytes]]:
        begun.append(at)
        if len(begun) == 3:
            raise KeyboardInterrupt
        return files_of(plan, at)

    with monkeypatch.context() as patch:
        patch.setattr(room, "files_of", stopped)
        with pytest.raises(KeyboardInterrupt):
            papers([BUS, RIG], ROSTER, tmp_path, WISHES)
    first = min((tmp_path / "keys").iterdir())
    first.write_bytes(first.read_bytes()[:100])  # torn, as by a full disk
    (tmp_path / "papers" / ".loopwright-left").write_text("half")
    went_on = papers([BUS, RIG], ROSTER, tmp_path, WISHES)
    assert went_on.kept == 3
    assert files(tmp_path) == files(made)


def test_a_folder_of_another_set_is_left_alone(made: Path) -> None:
    before = files(made)
    with pytest.raises(FaultyMaterial) as trouble:
        papers([BUS, RIG], ROSTER, made, replace(WISHES, seed=2))
    assert trouble.value.findings[0].code == "papers/other-set"
    assert files(made) == before


def test_a_code_in_place_of_a_name_leaves_names_and_numbers_in_one_file(tmp_path: Path) -> None:
    papers([RIG], ROSTER, tmp_path, replace(WISHES, points=(), named=False, forms=("md", "html")))
    for name, content in files(tmp_path).items():
        text = content.decode()
        told = [e for e in ROSTER.entries if e.student in text.split() or e.name in text]
        assert bool(told) == (name == "who.csv")


def test_versions_are_dealt_in_turn_where_there_are_fewer() -> None:
    plan = planned([BUS], ROSTER, replace(WISHES, points=(), count=2))
    dealt = [paper.circuits[0].numbers for paper in plan.papers]
    assert dealt[0] != dealt[1]
    assert dealt == [dealt[0], dealt[1]] * 2 + [dealt[0]]


def test_too_few_versions_are_told_with_how_many_there_are() -> None:
    narrow = circuit(CHARGE_OR_HELP_IN_NUMBERS + '[versions]\nE1 = "20, 22, 23 V"\n')
    with pytest.raises(FaultyMaterial) as trouble:
        planned([narrow], ROSTER, replace(WISHES, points=()))
    assert trouble.value.findings[0].mend.endswith("Papers may share versions: --versions 3.")


def document(**wished: object) -> Document:
    wishes = replace(WISHES, **wished)  # type: ignore[arg-type]
    plan = planned([BUS, RIG], Roster(ROSTER.entries[:1]), wishes)
    return student_paper(plan, plan.papers[0])


def test_each_problem_has_room_and_a_page_of_its_own_unless_none_is_wished() -> None:
    roomy, dense = document().blocks, document(room=0.0).blocks
    assert sum(isinstance(block, WorkingRoom) for block in roomy) == 2
    assert [block.leaf for block in roomy if isinstance(block, ProblemHead)] == [False, True]
    assert not any(isinstance(block, WorkingRoom) for block in dense)
    assert [block.leaf for block in dense if isinstance(block, ProblemHead)] == [False, False]


def test_any_edition_is_handed_out() -> None:
    lengths = [len(document(edition=edition).blocks) for edition in ("problem", "solution", "instructor")]
    assert lengths == sorted(set(lengths))


def test_a_key_without_its_ledger_is_not_given_out(monkeypatch: pytest.MonkeyPatch) -> None:
    plan = planned([RIG], ROSTER, replace(WISHES, points=()))
    wrong = [replace(paper_answers(RIG)[0], value=Fraction(4))]
    monkeypatch.setattr("loopwright.papers.paper.paper_answers", lambda _: wrong)
    with pytest.raises(BrokenPromise, match="two routes"):
        paper_key(plan, plan.papers[0])


def test_a_set_is_set_as_pdf_on_several_processes_with_the_same_bytes(tmp_path: Path) -> None:
    plan = planned([RIG], Roster(ROSTER.entries[:2]), replace(WISHES, points=(), forms=("pdf",)))
    alone, together = (dict(contents(plan, frozenset(), CrewWish(n))) for n in (1, 2))
    assert alone == together
    assert all(content.startswith(b"%PDF") for name, content in alone.items() if name.endswith(".pdf"))


@pytest.mark.parametrize("wrong", [{"points": (1, 2, 3)}, {"points": (0,)}, {"room": 500.0}])
def test_wishes_without_sense_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"points|room"):
        document(**wrong)
