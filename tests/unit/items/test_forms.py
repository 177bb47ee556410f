"""A quiz on paper with its key, as JSON and CSV, and what the command writes."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright import items
from loopwright.cli.main import main
from loopwright.cli.options import FORMATS, ITEM_KINDS, QUIZ_PACKAGES
from loopwright.items.item import ItemKind, right_answer
from loopwright.items.listed_items import COLUMNS, as_csv, data
from loopwright.items.printed import printed
from loopwright.items.qti_package import package_files
from loopwright.items.qti_tree import QTI_30
from loopwright.items.quiz import KINDS, Quiz
from loopwright.items.quiz_forms import QUIZ_FORMS, written
from loopwright.sheet import spoken
from loopwright.sheet.document import Table
from loopwright.slips.catalogue import CATALOGUE
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, circuit_of

ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "docs" / "items.md").read_text("utf-8")


@pytest.fixture(scope="module")
def quiz() -> Quiz:
    return items(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), each=1)


@pytest.fixture
def problem(tmp_path: Path) -> str:
    path = tmp_path / "bus.toml"
    path.write_text(CHARGE_OR_HELP_IN_NUMBERS, encoding="utf-8")
    return str(path)


def test_the_command_line_offers_every_kind_and_every_form() -> None:
    assert ITEM_KINDS == KINDS == tuple(map(str, ItemKind))
    assert (*QUIZ_PACKAGES, *FORMATS) == tuple(QUIZ_FORMS)


def test_every_kind_form_and_key_is_documented() -> None:
    assert [kind for kind in ITEM_KINDS if f"| `{kind}` |" not in PAGE] == []
    assert [form for form in QUIZ_FORMS if f"`{form}`" not in PAGE] == []
    assert [column for column in COLUMNS if f"| `{column}` |" not in PAGE] == []


def keys_of(value: object) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {key for inner in value.values() for key in keys_of(inner)}
    return {key for inner in value for key in keys_of(inner)} if isinstance(value, list) else set()


def test_every_key_of_the_data_is_documented(quiz: Quiz) -> None:
    keys = keys_of(json.loads(json.dumps(data(quiz)))) | {"code", "message"}
    assert [key for key in sorted(keys) if f"`{key}`" not in PAGE] == []


def test_the_paper_gives_nothing_away_and_the_key_tells_all(quiz: Quiz) -> None:
    files = written(quiz, "md", "quiz.md")
    assert list(files) == ["quiz.md", "quiz-figure.svg", "quiz-key.md"]
    paper, key = str(files["quiz.md"]), str(files["quiz-key.md"])
    for item in quiz.items:
        told = [option.feedback for option in item.options if option.feedback] + [item.yes] * bool(item.yes)
        assert told
        for feedback in told:
            plain = re.sub(r"[\\*_]", "", feedback)[:30]
            assert plain not in re.sub(r"[\\*_]", "", paper)
            assert plain in re.sub(r"[\\*_]", "", key)
    assert "Yes" not in paper


def test_every_paper_form_writes_a_quiz_and_a_key(quiz: Quiz) -> None:
    for form in FORMATS:
        files = written(quiz, form, f"quiz{QUIZ_FORMS[form].ending}")
        assert [name for name in files if "key" in name] == [f"quiz-key{QUIZ_FORMS[form].ending}"]
        assert all(files.values())


def test_the_table_has_a_row_for_every_answer_and_exact_values(quiz: Quiz) -> None:
    rows = list(csv.DictReader(io.StringIO(as_csv(quiz), newline="")))
    assert {row["item"] for row in rows} == {item.name for item in quiz.items}
    assert all(set(row["slips"].split()) <= CATALOGUE.keys() for row in rows)
    right = [
        Fraction(row["value"])
        for row in rows
        if row["kind"] in ("choice", "number") and row["right"] == "yes"
    ]
    assert right == [2, -1]  # the value typed is another one than the value chosen
    assert all(row["feedback"] for row in rows)


def test_the_data_says_which_slips_and_what_is_right(quiz: Quiz) -> None:
    found = {item["kind"]: item for item in data(quiz)["items"]}
    assert found["number"]["number"]["value"] == "-1"
    assert found["wrong-line"]["right"] == [o["answer"] for o in found["wrong-line"]["options"] if o["right"]]
    assert [o["slips"] == [] for o in found["choice"]["options"]] == [
        o["right"] for o in found["choice"]["options"]
    ]


def test_the_ending_of_the_file_says_the_form(problem: str, tmp_path: Path) -> None:
    target = tmp_path / "week5.zip"
    assert main(["items", problem, "--kinds", "direction", "--each", "1", "-o", str(target)]) == 0
    with zipfile.ZipFile(target) as package:
        assert "imsqti_item_xmlv3p0" in package.read("imsmanifest.xml").decode()


def test_both_packages_are_told_apart_by_name_and_a_paper_has_its_key_beside(
    problem: str, tmp_path: Path
) -> None:
    asked = ["items", problem, "--kinds", "direction", "--as", "qti30", "--as", "qti22", "--as", "html"]
    assert main([*asked, "-o", f"{tmp_path}/out/"]) == 0
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "bus-quiz-key.html",
        "bus-quiz-qti22.zip",
        "bus-quiz-qti30.zip",
        "bus-quiz.html",
    ]


def test_data_goes_to_standard_output_and_a_paper_does_not(
    problem: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["items", problem, "--kinds", "direction", "--as", "json", "-o", "-"]) == 0
    assert len(json.loads(capsys.readouterr().out)["items"]) == 2
    assert main(["items", problem, "--as", "html", "-o", "-"]) == 2
    assert "Only one file can go to standard output" in capsys.readouterr().err


def test_kinds_that_cannot_be_made_are_told_and_the_rest_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "letters.toml"
    path.write_text(CHARGE_OR_HELP, encoding="utf-8")
    assert main(["items", str(path), "--kinds", "number", "formula", "--as", "csv", "-o", "-"]) == 0
    out, err = capsys.readouterr()
    assert "letters" not in out
    assert "formula" in out
    assert "Left out: Wrong answers are numbers, and the problem gives none for E1" in err
    assert main(["items", str(path), "--kinds", "number", "-o", "-", "--as", "csv"]) == 1
    assert "Wrong answers are numbers" in capsys.readouterr().err


def test_american_terms_are_kept_on_paper_and_in_the_package() -> None:
    text = CHARGE_OR_HELP_IN_NUMBERS + '[sheet]\nterms = "american"\n'
    quiz = items(circuit_of(text), ["choice", "number"], each=1)
    assert 'lang="en-US"' in str(written(quiz, "html", "quiz.html")["quiz.html"])
    files = package_files(quiz, QTI_30)
    assert b'xml:lang="en-US"' in files["items/circuit-01-choice.xml"]


def test_the_key_calls_lines_by_their_numbers_and_every_table_by_a_name(quiz: Quiz) -> None:
    (hunt,) = (item for item in quiz.items if item.kind is ItemKind.WRONG_LINE)
    assert right_answer(hunt) == f"line {hunt.right[0].removeprefix('L')}"
    key = printed(quiz).key
    tables = [block for block in key.blocks if isinstance(block, Table)]
    assert len(tables) == 1 + len(quiz.items)
    assert all(table.caption for table in tables)


def test_letters_of_options_are_no_symbols_when_they_are_read_aloud() -> None:
    """With a battery called E, whose symbol is said otherwise, and room to write in."""
    text = CHARGE_OR_HELP_IN_NUMBERS.replace("E1", "E")
    made = printed(items(circuit_of(text), ["choice", "number", "ranking"], each=2))
    handed_out, key = spoken.write(made.paper), spoken.write(made.key)
    assert "Given: e m f equals" in handed_out
    assert re.search(r"^E: (negative )?\w+", handed_out, re.MULTILINE)
    assert "Blank" in handed_out
    assert "nderscore" not in handed_out
    assert "E m f:" not in handed_out
    assert re.search(r"answer: [A-E]: ", key)
    assert re.search(r"[A-E], then [A-E]", key)
