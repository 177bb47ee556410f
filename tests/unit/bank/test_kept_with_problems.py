"""Versions, items, certificates and what was given: kept, looked up, exported and backed up without loss."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from loopwright.bank.bank import Bank, bring_to, open_bank
from loopwright.bank.given import GivenPaper
from loopwright.bank.tables import NEWEST
from loopwright.cli.main import main
from loopwright.errors import FaultyMaterial
from loopwright.problem.problem_file import read_text
from loopwright.versions.slips_apart import certificate
from tests.bank_samples import QUIZ, fill, whole
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS


def found(bank: Bank, line: str) -> list[str]:
    return [problem.name for problem in bank.find(line).problems]


@pytest.fixture
def folder(tmp_path: Path, filled_bank: Path) -> Path:
    return Path(shutil.copytree(filled_bank, tmp_path / "bank"))


def test_what_is_kept_with_a_problem_finds_it(folder: Path) -> None:
    with open_bank(folder) as bank:
        assert found(bank, "2 versions, items") == ["bus"]
        assert found(bank, "no versions, never given") == ["bridge"]
        assert found(bank, "given in 2026, two sources") == ["bus", "tram"]
        assert found(bank, "given before 2026-03-02") == found(bank, "given in 2026-03-01") == ["bus"]
        assert found(bank, "given to s18, given to s17") == ["bus", "tram"]
        assert found(bank, "given to nobody") == []
        assert [p.problem for p in bank.given(student="s18")] == ["bus", "bus", "tram"]
        assert [(s.day, s.papers, s.problems) for s in bank.sets("tram")] == [
            ("2026-03-08", 2, ("bus", "tram"))
        ]


def test_a_certificate_says_what_the_numbers_tell_of_slips(folder: Path) -> None:
    with open_bank(folder) as bank:
        told = bank.certify("bus")
        kept = json.loads(bank.problem("bus").certificate)
        assert (kept["told"], kept["slips"]) == (told.told, told.slips)
        assert found(bank, "slips apart") == (["bus"] if told.apart else [])
        assert "bus" in found(bank, "slips apart" if told.apart else "not slips apart")
        bank.certify("bus")  # a second time it takes the place of the first
        with pytest.raises(FaultyMaterial):
            bank.certify("bridge")  # letters alone


def test_what_students_had_stays(folder: Path) -> None:
    with open_bank(folder) as bank:
        with pytest.raises(FaultyMaterial, match="was given to students"):
            bank.remove("bus")
        bank.remove("bridge")
        assert bank.names() == ("bus", "tram")


def test_each_version_has_a_certificate_of_its_own(folder: Path, tmp_path: Path) -> None:
    with open_bank(folder) as bank:
        told = dict(bank.certify_versions("bus"))
        assert len(told) == 2
        for version in bank.versions("bus"):
            circuit, _ = read_text(version.text)
            assert circuit is not None
            assert (
                json.loads(version.certificate)["told"]
                == told[version.name].told
                == certificate(circuit).told
            )
        written = dict(bank.plain_files())
    for name, text in written.items():
        (tmp_path / "out" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "out" / name).write_text(text)
    with open_bank(tmp_path / "again", new=True) as again:
        again.take_in(tmp_path / "out")
        assert dict(again.plain_files()) == written
        assert all(version.certificate for version in again.versions("bus"))


def test_papers_made_here_name_their_problems(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    problem, roster = tmp_path / "bus.toml", tmp_path / "roster.csv"
    problem.write_text(CHARGE_OR_HELP_IN_NUMBERS)
    roster.write_text("student\ns17\ns18\n")
    made = str(tmp_path / "week8")
    assert main(["papers", str(problem), "--roster", str(roster), "--as", "html", "-o", made]) == 0
    assert main(["bank", str(folder), "given", made, "--on", "2026-05-01"]) == 0
    assert "2 problems on papers recorded" in capsys.readouterr().out
    with open_bank(folder) as bank:
        assert [p.problem for p in bank.given(student="s17") if p.day == "2026-05-01"] == ["bus"]
    (tmp_path / "week8" / "problems.csv").unlink()  # as papers were made before
    assert main(["bank", str(folder), "given", made, "--on", "2026-05-02"]) == 1
    assert "--of NAME" in capsys.readouterr().err
    assert main(["bank", str(folder), "given", made, "--of", "tram", "--on", "2026-05-02"]) == 0


def test_a_folder_of_papers_is_recorded_once(folder: Path, tmp_path: Path) -> None:
    week = tmp_path / "week7"
    week.mkdir()
    (week / "who.csv").write_text("paper,student\r\nA2,s17\r\nB3,s18\r\n")
    with open_bank(folder) as bank:
        assert bank.record_papers(week, ["bridge", "bus"], "2026-04-01") == 4
        assert bank.record_papers(week, ["bridge", "bus"], "2026-04-01") == 0
        assert GivenPaper("2026-04-01", "week7", "B3", "s18", "bridge") in bank.given(problem="bridge")
        before = bank.given()
        for names, day, text in (
            (["bsu"], "2026-04-02", "no problem called bsu"),
            (["bus"], "1 April", "is no day"),
        ):
            with pytest.raises(FaultyMaterial, match=text):
                bank.record_papers(week, names, day)
        (week / "who.csv").write_text("paper,person\nA2,s17\n")
        with pytest.raises(FaultyMaterial, match="not a paper and a student"):
            bank.record_papers(week, ["bus"], "2026-04-02")
        assert bank.given() == before


def test_nothing_is_kept_where_one_version_has_a_fault(folder: Path) -> None:
    with open_bank(folder) as bank:
        before = bank.versions("tram")
        with pytest.raises(FaultyMaterial, match="names no branch"):
            bank.keep("tram", {"1": CHARGE_OR_HELP, "2": 'title = "no"\n'})
        with pytest.raises(FaultyMaterial, match="no quiz"):
            bank.keep("tram", {"1": CHARGE_OR_HELP}, {"q.json": "[1, 2"})
        assert bank.versions("tram") == before


def test_an_export_put_in_elsewhere_exports_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    bank, other = str(folder), str(tmp_path / "other")
    assert main(["bank", bank, "export", str(tmp_path / "files")]) == 0
    assert main(["bank", other, "import", str(tmp_path / "files")]) == 0
    with open_bank(folder) as one, open_bank(other) as two:
        assert whole(one) == whole(two)
        assert dict(one.plain_files()) == dict(two.plain_files())
        assert two.take_in(tmp_path / "files") == 0  # a second time nothing is new
        assert whole(one) == whole(two)
    assert main(["bank", bank, "export", str(tmp_path / "files")]) == 1  # it holds something already


@pytest.mark.parametrize("loss", ["bank.json", "problems/bus.toml", "versions/bus/002.toml", "given.csv"])
def test_an_export_with_a_loss_is_refused_whole(loss: str, folder: Path, tmp_path: Path) -> None:
    assert main(["bank", str(folder), "export", str(tmp_path / "files")]) == 0
    (tmp_path / "files" / loss).unlink()
    with open_bank(tmp_path / "other", new=True) as bank:
        with pytest.raises(FaultyMaterial, match="no whole export"):
            bank.take_in(tmp_path / "files")
        assert bank.names() == ()


def test_a_backup_taken_while_another_writes_is_whole_and_a_bank_itself(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("loopwright.bank.copies.PAGES", 3)  # so that others write half way
    with open_bank(folder) as bank:
        before = whole(bank)

        def others_write(_: str) -> None:
            with open_bank(folder) as second:
                second.add(CHARGE_OR_HELP_IN_NUMBERS + "# later\n", "later", "2026-05-01")

        bank.back_up(tmp_path / "backup.db", others_write)
        assert "later" in bank.names()
    (tmp_path / "again").mkdir()
    shutil.copy(tmp_path / "backup.db", tmp_path / "again" / "bank.db")
    for made in (tmp_path / "again", tmp_path / "restored"):
        with open_bank(made, new=True) as again:
            if made.name == "restored":
                again.restore(tmp_path / "backup.db")
            assert whole(again, but="later") == before
    assert sorted(p.name for p in tmp_path.iterdir()) == ["again", "backup.db", "bank", "restored"]
    with open_bank(folder) as bank, pytest.raises(FaultyMaterial, match="holds something already"):
        bank.restore(tmp_path / "backup.db")


def test_a_damaged_bank_is_not_backed_up_over_a_good_backup(folder: Path, tmp_path: Path) -> None:
    backup = tmp_path / "backup.db"
    with open_bank(folder) as bank:
        bank.back_up(backup)
    good = backup.read_bytes()
    content = bytearray((folder / "bank.db").read_bytes())
    content[5 * 4096 : 9 * 4096] = b"\xaa" * (4 * 4096)
    (folder / "bank.db").write_bytes(content)
    with open_bank(folder) as bank, pytest.raises(FaultyMaterial, match="damaged"):
        bank.back_up(backup)
    assert backup.read_bytes() == good


def test_schemas_go_down_and_up_with_what_the_tables_hold(folder: Path, tmp_path: Path) -> None:
    with open_bank(folder) as bank:
        problems = [bank.problem(name) for name in bank.names()]
        lines = ["two sources", "bridge", "charger"]
        before = [found(bank, line) for line in lines]
    with pytest.raises(FaultyMaterial, match="no place for"):
        bring_to(folder, 1)
    with open_bank(folder) as bank:
        assert bank.counts()["versions"] == 2  # nothing was lost by the refusal
    bring_to(folder, 1, let_go=True)
    bring_to(folder, 2)
    with open_bank(folder) as bank:
        assert [(p.name, p.text, p.added) for p in map(bank.problem, bank.names())] == [
            (p.name, p.text, p.added) for p in problems
        ]
        assert [found(bank, line) for line in lines] == before
        assert (bank.counts()["versions"], bank.sets()) == (0, ())
    bring_to(folder, 1)  # nothing left to lose
    with open_bank(folder) as bank:  # opening brings it up again
        assert bank.counts()["problems"] == len(problems)
        fill(bank)
    with pytest.raises(FaultyMaterial, match="There is no schema 9"):
        bring_to(folder, 9)


def test_every_verb_does_what_it_says_when_typed(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bank, week = str(folder), tmp_path / "week7"
    week.mkdir()
    (week / "who.csv").write_text("paper,student\nA2,s17\n")
    (tmp_path / "007.toml").write_text(CHARGE_OR_HELP)
    (tmp_path / "quiz.json").write_text(QUIZ)

    def told(*typed: str) -> str:
        assert main(["bank", bank, *typed]) == 0
        return capsys.readouterr().out

    assert told("keep", "tram", str(tmp_path)) == "tram: 2 kept with it\n"
    certified = told("slips", "tram").removeprefix("tram: ")
    recorded = told("given", str(week), "--of", "tram", "--on", "2026-05-04", "--occasion", "Test 3")
    assert recorded == f"{week}: 1 problem on papers recorded\n"
    assert told("given").splitlines()[-1] == "2026-05-04  Test 3  1 paper: tram"
    assert told("given", "s17").splitlines()[-1] == "2026-05-04  Test 3  A2  tram"
    assert told("about").startswith(f"{bank}: 3 problems, 3 versions, 2 quiz items; 3 sets")
    about = told("about", "tram")
    for part in (
        "batteries charged 1",
        "1 version, 1 quiz item\n",
        "other numbers: bus",
        certified,
        "Test 3",
    ):
        assert part in about
    assert told("schema") == f"{bank}: schema {NEWEST}\n"
    backup = str(tmp_path / "b.db")
    assert told("backup", backup) == f"{backup}: a backup of {bank}\n"
    assert main(["bank", bank, "schema", "1"]) == 1
    assert told("schema", "1", "--let-go") == f"{bank}: schema 1\n"
    assert main(["bank", str(tmp_path / "new"), "restore", backup]) == 0
    with open_bank(tmp_path / "new") as restored:
        assert len(restored.sets()) == 3
