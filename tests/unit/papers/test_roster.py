"""Rosters: what is read, and everything that can be wrong with one, with its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.errors import FaultyMaterial
from loopwright.papers.codes import MOST_PAPERS
from loopwright.papers.roster import RosterEntry, read_roster, roster_file

PAIR = (RosterEntry("1001", "Ann Example"), RosterEntry("1002", "Bo"))


@pytest.mark.parametrize(
    "text",
    [
        "student,name\n1001,Ann Example\n1002,Bo\n",
        "\ufeffName;Student\r\nAnn Example;1001\r\n\r\nBo;1002\r\n",
        'student\tname\n"1001"\t Ann Example \n1002\tBo',
    ],
)
def test_commas_semicolons_and_tabs_are_read_alike(text: str) -> None:
    assert read_roster(text.encode()).entries == PAIR


def test_unseen_marks_round_a_name_from_right_to_left_are_left_out_and_joiners_kept() -> None:
    found = read_roster("student,name\n7\u200e,\u200fדנה\u200f\n8,علی\u200cزاده\n".encode())
    assert found.entries == (RosterEntry("7", "דנה"), RosterEntry("8", "علی\u200cزاده"))


def test_a_roster_needs_no_names() -> None:
    assert read_roster(b"student\nQ7\n").entries == (RosterEntry("Q7"),)


def test_what_papers_do_not_need_is_not_read_and_told() -> None:
    found = read_roster(b"student,born,name\n1001,=1+1,Ann Example\n1002,,Bo\n")
    assert found.entries == PAIR
    assert [(note.code, note.place.line) for note in found.notes] == [("roster/unused-column", 1)]


BAD = [
    (b"", "roster/empty", 0),
    (b" \n\n", "roster/empty", 0),
    (b"student,name\n", "roster/nobody", 0),
    (b"number,name\n1,Ann\n", "roster/missing-column", 1),
    (b"student,student\n1,2\n", "roster/repeated-column", 1),
    ("student,name\n1,Ann\n2,Zoë\n".encode("latin-1"), "roster/not-utf-8", 3),
    ("student\n1\n".encode("utf-16"), "roster/not-utf-8", 0),
    (b"PK\x03\x04rest of a workbook", "roster/not-utf-8", 0),
    (b"student,name\n1,Ann\n1,Bo\n", "roster/repeated-student", 3),
    ("student\nq７\nQ7\n".encode(), "roster/repeated-student", 3),
    (b"student,name\n1,Ann\n,Bo\n", "roster/no-student", 3),
    (b"student,name\n1,=2+5\n", "roster/formula", 2),
    (b"student,name\n@SUM(A1),Ann\n", "roster/formula", 2),
    (b"student,name\n1,-Ann\n", "roster/formula", 2),
    (b"student,name\n1\n", "roster/uneven", 2),
    (b"student,name\n1,Example, Ann\n", "roster/uneven", 2),
    (b'student,name\n1,"Ann\n', "roster/not-csv", 2),
    (b'student,name\n1,"Ann\nBo"\n', "roster/unprintable", 3),
    (b"student,name\n1,A\x1b[31m\n", "roster/unprintable", 2),
    (b"student\n" + b"9" * 81 + b"\n", "roster/long-cell", 2),
    (b"student\n" + b"9" * 4_000_001, "roster/too-long", 0),
]


@pytest.mark.parametrize(("data", "code", "line"), BAD)
def test_what_is_wrong_is_told_with_its_line_and_a_mend(data: bytes, code: str, line: int) -> None:
    with pytest.raises(FaultyMaterial) as trouble:
        read_roster(data, "week5.csv")
    (finding,) = trouble.value.findings
    assert (finding.code, finding.place.file, finding.place.line) == (code, "week5.csv", line)
    assert finding.mend


def test_all_faults_are_told_at_once_in_the_order_of_lines() -> None:
    with pytest.raises(FaultyMaterial) as trouble:
        read_roster(b"student,name\n1,=A\n\n,B\n1,C\n")
    assert [f.place.line for f in trouble.value.findings] == [2, 4, 5]


def test_more_students_than_codes_are_refused() -> None:
    rows = "".join(f"{n}\n" for n in range(MOST_PAPERS + 1))
    with pytest.raises(FaultyMaterial, match="Divide the roster"):
        read_roster(f"student\n{rows}".encode())


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(FaultyMaterial) as trouble:
            roster_file(path)
        assert trouble.value.findings[0].code == "roster/missing"
