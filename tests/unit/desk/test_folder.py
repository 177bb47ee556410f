"""Papers are files: nothing is overwritten, nothing leads out of the folder, nothing else is touched."""

import os
import threading
from contextlib import suppress
from pathlib import Path

import pytest

from loopwright.desk import folder as home
from loopwright.desk.folder import PaperFolder
from loopwright.desk.refusals import Refusal
from loopwright.problem.problem_file import LARGEST

TEXT = 'title = "Lamp"  # mine\n[branches]\nI1 = "a, +E1, R1, a"\n'


@pytest.fixture
def papers(tmp_path: Path) -> PaperFolder:
    place = tmp_path / "week"
    place.mkdir()
    (place / "lamp.toml").write_text(TEXT)
    return PaperFolder(place)


def refused(status: int) -> "pytest.RaisesExc[Refusal]":
    return pytest.raises(Refusal, check=lambda refusal: refusal.status == status)


def names(papers: PaperFolder) -> list[str]:
    return [paper.name for paper in papers.papers()]


def test_a_change_is_written_and_undone_and_done_again(papers: PaperFolder) -> None:
    before = papers.open("lamp")
    after = papers.write("lamp", before.version, TEXT + "# more\n")
    assert (papers.path / "lamp.toml").read_text() == TEXT + "# more\n"
    assert papers.undo("lamp", after.version).text == TEXT
    again = papers.redo("lamp", before.version)
    assert (again.text, again.version, again.undo, again.redo) == (TEXT + "# more\n", after.version, 1, 0)


def test_undo_reaches_back_over_a_restart(papers: PaperFolder) -> None:
    version = papers.open("lamp").version
    for number in range(5):
        version = papers.write("lamp", version, f"{TEXT}# {number}\n").version
    for _ in range(5):
        opened = PaperFolder(papers.path).undo("lamp", version)
        version = opened.version
    assert (opened.text, opened.undo, opened.redo) == (TEXT, 0, 5)


def test_a_change_of_what_is_no_longer_there_is_refused_with_both_texts(papers: PaperFolder) -> None:
    version = papers.open("lamp").version
    (papers.path / "lamp.toml").write_text("# theirs\n")
    with refused(409) as raised:
        papers.write("lamp", version, "# mine\n")
    assert (raised.value.more["yours"], raised.value.more["theirs"]) == ("# mine\n", "# theirs\n")
    assert (papers.path / "lamp.toml").read_text() == "# theirs\n"


def test_a_change_from_elsewhere_can_be_undone(papers: PaperFolder) -> None:
    papers.write("lamp", papers.open("lamp").version, "# one\n")
    (papers.path / "lamp.toml").write_text("# theirs\n")
    opened = papers.open("lamp")
    assert opened.undo == 2
    assert papers.undo("lamp", opened.version).text == "# one\n"


def test_a_program_that_knows_no_lock_and_writes_in_between_is_not_overwritten(
    papers: PaperFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    version = papers.open("lamp").version
    (papers.path / ".loopwright").mkdir(exist_ok=True)
    brought = os.fsync
    monkeypatch.setattr(os, "fsync", lambda handle: (papers.path / "lamp.toml").write_text("# theirs\n"))
    with refused(409):
        papers.write("lamp", version, "# mine\n")
    monkeypatch.setattr(os, "fsync", brought)
    assert papers.open("lamp").text == "# theirs\n"
    assert [p.name for p in (papers.path / ".loopwright").glob("new-*")] == []


def test_of_many_who_change_one_version_exactly_one_is_written(papers: PaperFolder) -> None:
    version, done = papers.open("lamp").version, []

    def change(number: int) -> None:
        with suppress(Refusal):
            done.append(PaperFolder(papers.path).write("lamp", version, f"# {number}\n").text)

    writers = [threading.Thread(target=change, args=(number,)) for number in range(8)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [papers.open("lamp").text] == done


def test_a_folder_that_cannot_be_written_can_be_read(
    papers: PaperFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda path, how: False)
    assert papers.open("lamp").text == TEXT
    assert [path.name for path in papers.path.iterdir()] == ["lamp.toml"]


def test_the_title_is_found_without_reading_the_problem(papers: PaperFolder) -> None:
    (papers.path / "odd.toml").write_text('title = "a \\"b\\" <i>"\n')
    (papers.path / "none.toml").write_text("[branches]\n")
    assert [paper.title for paper in papers.papers()] == ["Lamp", "", 'a "b" <i>']


def test_a_copy_a_new_name_and_the_bin_keep_the_text(papers: PaperFolder) -> None:
    version = papers.open("lamp").version
    papers.write("lamp", version, TEXT + "#\n")
    assert papers.copy("lamp").name == "lamp 2"
    assert papers.rename("lamp", "bulb").undo == 1
    assert papers.bin("bulb") == "bulb"
    papers.rename("lamp 2", "bulb")
    assert papers.bin("bulb") == "bulb 2"
    assert names(papers) == []
    there = sorted(path.name for path in (papers.path / "bin").glob("*.toml"))
    assert there == ["bulb 2.toml", "bulb.toml"]


def test_a_new_paper_has_no_past_of_one_that_had_its_name(papers: PaperFolder) -> None:
    papers.write("lamp", papers.open("lamp").version, "# one\n")
    papers.bin("lamp")
    assert papers.new("lamp", TEXT).undo == 0


def test_a_name_that_is_taken_is_refused_whatever_its_case(papers: PaperFolder) -> None:
    with refused(409):
        papers.new("LAMP", TEXT)
    assert papers.rename("lamp", "Lamp").name == "Lamp"


IMPOSSIBLE = [
    "",
    " ",
    ".",
    "..",
    "../out",
    "a/b",
    "a\\b",
    "C:x",
    ".hidden",
    "a\0b",
    "a\nb",
    "x" * 200,
    "ü" * 61,
]
UNWISE = ["con", "NUL.old", "a\u202eb", "\ud800", "a.", "~a", None, 3, ["a"]]


@pytest.mark.parametrize("name", [*IMPOSSIBLE, *UNWISE])
@pytest.mark.parametrize("way", ["new", "rename"])
def test_a_name_that_will_not_do_is_refused(papers: PaperFolder, name: object, way: str) -> None:
    with pytest.raises(Refusal) as raised:
        papers.new(name, TEXT) if way == "new" else papers.rename("lamp", name)
    assert raised.value.status in (400, 422)
    assert names(papers) == ["lamp"]


@pytest.mark.parametrize("name", ["..", "../week/lamp", "./lamp", "/etc/x", "a\0b", "x" * 500, "\ud800", ""])
def test_no_name_leads_out_of_the_folder(papers: PaperFolder, name: str) -> None:
    looks = (papers.open, papers.version, papers.bin)
    for look in looks:
        with refused(404):
            look(name)
    for make in (papers.copy, papers.rename):
        with refused(404):
            make(name, "new")


def test_a_name_composed_otherwise_is_the_same_name(papers: PaperFolder) -> None:
    papers.new("Kafe\u0301", TEXT)
    assert papers.open("Kaf\u00e9").name == "Kaf\u00e9"


def test_links_are_not_papers(papers: PaperFolder) -> None:
    secret = papers.path.parent / "secret.toml"
    secret.write_text(TEXT)
    (papers.path / "way-out.toml").symlink_to(secret)
    (papers.path / "folder.toml").mkdir()
    assert names(papers) == ["lamp"]
    with refused(404):
        papers.open("way-out")
    with refused(409):
        papers.new("way-out", "# over it\n")


@pytest.mark.parametrize("name", [home.HIDDEN, home.BIN])
def test_a_link_in_place_of_a_folder_of_ours_is_not_followed(papers: PaperFolder, name: str) -> None:
    outside = papers.path.parent / "outside"
    outside.mkdir()
    (papers.path / name).symlink_to(outside)
    with refused(500):
        papers.bin("lamp")
    assert list(outside.iterdir()) == []
    assert names(papers) == ["lamp"]


def test_a_name_with_markup_and_one_that_is_no_text_do_no_harm(papers: PaperFolder) -> None:
    (papers.path / "<img src=x onerror=alert(1)>.toml").write_text(TEXT)
    (Path(os.fsdecode(os.fsencode(papers.path) + b"/\xff.toml"))).write_text(TEXT)
    assert names(papers) == ["<img src=x onerror=alert(1)>", "lamp"]
    assert papers.open("<img src=x onerror=alert(1)>").text == TEXT


def test_what_is_too_long_to_be_read_is_too_long_for_the_desk() -> None:
    assert home.LONGEST == LARGEST


def test_what_is_no_problem_file_is_refused_in_words(papers: PaperFolder) -> None:
    (papers.path / "long.toml").write_bytes(b"#" * 2_000_001)
    (papers.path / "latin.toml").write_bytes("é".encode("latin-1"))
    for name in ("long", "latin"):
        with refused(422):
            papers.open(name)
    with refused(422):
        papers.write("lamp", papers.open("lamp").version, "\ud800")


def test_a_change_keeps_the_permissions_and_takes_away_what_was_left(papers: PaperFolder) -> None:
    os.chmod(papers.path / "lamp.toml", 0o640)
    papers.write("lamp", papers.open("lamp").version, "# one\n")
    assert (papers.path / "lamp.toml").stat().st_mode & 0o777 == 0o640
    (papers.path / ".loopwright" / "new-left").write_text("half")
    PaperFolder(papers.path).tidy()
    assert sorted(p.name for p in (papers.path / ".loopwright").iterdir() if not p.suffix) == ["lock"]


def test_another_desk_that_holds_the_folder_too_long_is_told(
    papers: PaperFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(home, "PATIENCE", 0.05)
    version = papers.open("lamp").version
    with PaperFolder(papers.path)._locked(), refused(503):
        papers.write("lamp", version, "# one\n")
    assert papers.open("lamp").text == TEXT
