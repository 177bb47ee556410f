"""British or American words by one setting, in whatever a command prints."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import loopwright
from loopwright.cli.main import main
from loopwright.expressions.terms import AMERICAN
from loopwright.methods.methods import derive
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, ONE_LOOP, SERIES_PARALLEL, circuit_of

SOURCE = Path(loopwright.__file__).parent
TITLE = "Round the towards"  # words of the person's own
BUS, TWO_LOADS = CHARGE_OR_HELP_IN_NUMBERS, SERIES_PARALLEL["side by side"]
# What each command is given, and a word that it then prints which is another in American usage.
TOLD = {
    ("figure", "--words"): (BUS, "towards bus", "toward bus"),
    ("figure", "-o", "-"): (BUS, "towards bus", "toward bus"),
    ("slips", "--as", "md"): (BUS, "the wrong way round", "the wrong way around"),
    ("limits",): (TWO_LOADS, "a current any more", "a current anymore"),
    ("loops", "--through", "R1", "bus"): (BUS, "branch travelled", "branch traveled"),
    ("sheet", "--edition", "instructor", "--as", "md", "-o", "-"): (BUS, "be travelled", "be traveled"),
    ("sheet", "--as", "say", "-o", "-"): (BUS, "towards bus", "toward bus"),
}


def british(text: str) -> set[str]:
    """The words of ours in a text that American usage has not."""
    own = text.replace(TITLE, "")
    return {word for word in AMERICAN if re.search(rf"(?<![\w-]){word}(?![\w-])", own, re.IGNORECASE)}


def printed(given: pytest.CaptureFixture[str], *arguments: str) -> str:
    main(list(arguments))
    return "".join(given.readouterr())


@pytest.mark.parametrize("command", TOLD, ids=" ".join)
def test_every_command_says_its_words_in_the_terms_asked_for(
    command: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text, here, there = TOLD[command]
    file = tmp_path / "bus.toml"
    file.write_text(f'title = "{TITLE}"\n{text}')
    line = (command[0], str(file), *command[1:])
    assert here in printed(capsys, *line)
    american = printed(capsys, *line, "--terms", "american")
    assert there in american
    assert not british(american)


def test_the_problem_file_may_say_the_terms(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "bus.toml"
    file.write_text(BUS + '[sheet]\nterms = "american"\n')
    assert "toward bus" in printed(capsys, "figure", str(file), "--words")
    assert "towards bus" in printed(capsys, "figure", str(file), "--words", "--terms", "british")


def test_a_marked_working_keeps_what_was_written_and_turns_what_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "bus.toml").write_text(BUS)
    (tmp_path / "mine.txt").write_text("Going round:\nE1 - Ic R1 + Ih Rh = 0\nIc = Ib + Ih\n")
    line = ("read", str(tmp_path / "bus.toml"), str(tmp_path / "mine.txt"))
    assert "(round the loop" in printed(capsys, *line)
    american = printed(capsys, *line, "--terms", "american")
    assert "Going round:" in american
    assert not british(american.replace("Going round", ""))


def test_a_derivation_printed_by_itself_follows_the_problem_file() -> None:
    circuit = circuit_of(ONE_LOOP + '[sheet]\nterms = "american"\n')
    assert "Around the loop" in str(derive(circuit))


def test_every_word_of_the_table_is_said_somewhere() -> None:
    said = "\n".join(
        node.value
        for path in SOURCE.rglob("*.py")
        if path.name != "terms.py"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and "\n    " not in node.value
    )
    assert british(said) == set(AMERICAN)
