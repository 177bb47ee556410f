"""The documentation says what is so: commands, options and file keys are all in it, and read."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

import pytest

from loopwright.circuit.elements import Kind
from loopwright.cli.options import OVERVIEW, parser
from loopwright.problem.problem_file import read_text
from loopwright.reading.marking.scheme import KEYS as KEYS_OF_SCHEMES
from loopwright.reading.marking.scheme import MarkPart, scheme_of

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text()
KEYS = (ROOT / "docs/problem_file.md").read_text()


def commands() -> dict[str, argparse.ArgumentParser]:
    action = next(a for a in parser()._actions if isinstance(a, argparse._SubParsersAction))
    return dict(action.choices)


@pytest.mark.parametrize("name", commands())
def test_every_command_is_in_the_readme_and_the_overview(name: str) -> None:
    assert re.search(rf"`loopwright {name} (FILE|FOLDER)[^`]*`", README)
    assert re.search(rf"^  {name} ", OVERVIEW, re.MULTILINE)


@pytest.mark.parametrize("name", commands())
def test_every_option_says_what_it_does(name: str) -> None:
    for action in commands()[name]._actions:
        assert action.help


def test_every_option_of_reading_is_documented() -> None:
    page = (ROOT / "docs/marking.md").read_text()
    options = [o for a in commands()["read"]._actions for o in a.option_strings if o not in ("-h", "--help")]
    assert [option for option in options if f"`{option}" not in page] == []


def test_every_key_of_a_scheme_is_documented() -> None:
    page = (ROOT / "docs/marking.md").read_text()
    example = re.search(r"```toml\n(.*?)```", page, re.DOTALL)
    assert example is not None
    assert scheme_of(example[1]).title == "Week five"
    assert [key for key in KEYS_OF_SCHEMES if f"{key} = " not in example[1] and key != "points"] == []
    assert [part for part in MarkPart if f"| `{part}` |" not in page] == []


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_of_element_is_documented(kind: Kind) -> None:
    assert f'"{kind}"' in KEYS


def test_every_key_the_documentation_names_is_read() -> None:
    keys = re.findall(r"^\| `\[?(\w+)\]?` \|", KEYS.split("## Branches")[0], re.MULTILINE)
    assert len(keys) > 16  # the table was read
    text = """
title = "t"
story = "s"
find = ["I1", "R(a, b) without E1", "R3"]
given = ["I1 = 0.5 mA"]
expect = ["I1 -> 0 as R1 -> oo"]
figures = 2
method = "shortest"
loops = ["I1 + I2"]
[branches]
I1 = "a, +E1, R1, b"
I2 = "b, R2, R3, a"
[elements]
R2 = "2 R1"
[numbers]
R1 = "4k7"
E1 = "9.0 V"
[places]
a = [0, 1]
b = [0, 0]
[ratings]
R1 = "0.5 W"
[ladder]
section = ["I2"]
from = "b, a"
to = "a, b"
repeated = 1
[versions]
R1 = "E12 from 1 kohm to 10 kohm"
hold = ["I1 < 5 mA"]
difficulty = "mixed"
[sheet]
edition = "solution"
sections = ["figure", "results"]
paper = "letter"
terms = "american"
[board]
acts = ["circuit", "question"]
methods = ["branch currents", "node potentials"]
minutes = 8
words_a_minute = 120
look = "light"
[board.pauses]
limits = 6
[board.say]
circuit = "Look at this."
"""
    in_time = """
[branches]
I1 = "a, +E1, S1, R1, b"
I2 = "b, C1, a"
[switching]
S1 = "open -> closed"
[start]
C1 = "0 V"
"""
    plotted = 'plots = ["I against R"]\n[branches]\nI = "a, +E, R, a"\n[numbers]\nE = "9 V"\nR = "2 ohm"\n'
    assert all(re.search(rf"^\[?{key}\b", text + in_time + plotted, re.MULTILINE) for key in keys)
    for one in (text, in_time, plotted):
        circuit, findings = read_text(one)
        assert circuit is not None
        assert not findings


def test_a_key_that_is_not_documented_is_refused() -> None:
    circuit, findings = read_text('colour = "red"\n[branches]\nI1 = "a, +E1, R1, a"\n')
    assert circuit is None
    assert [f.code for f in findings] == ["file/unknown-key"]


def test_the_example_of_the_readme_is_a_problem_without_faults() -> None:
    block = re.search(r"```toml\n(.*?)```", README, re.DOTALL)
    assert block is not None
    circuit, findings = read_text(block[1])
    assert circuit is not None
    assert not findings
