"""Every case file is found faulty exactly where its comments say (`# finds circuit/missing-sign`)."""

import re
from pathlib import Path

import pytest

from loopwright.circuit.diagnose import diagnose
from loopwright.problem.problem_file import read_text

CASES = sorted((Path(__file__).parent / "problem_files").glob("*.toml"))
_FINDS = re.compile(r"# finds (?P<codes>[\w/, -]+)")


def announced(text: str) -> list[tuple[int, str]]:
    """The (line, code) pairs that the comments of a case announce."""
    return sorted(
        (number, code.strip())
        for number, line in enumerate(text.splitlines(), 1)
        if (match := _FINDS.search(line))
        for code in match["codes"].split(",")
    )


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_case_is_found_faulty_where_it_says(case: Path) -> None:
    text = case.read_text(encoding="utf-8")
    circuit, findings = read_text(text, case.name)
    if circuit is not None:
        findings = (*findings, *diagnose(circuit))
    assert sorted((f.place.line, f.code) for f in findings) == announced(text)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_every_finding_tells_file_key_sentence_and_mend(case: Path) -> None:
    text = case.read_text(encoding="utf-8")
    circuit, findings = read_text(text, case.name)
    if circuit is not None:
        findings = (*findings, *diagnose(circuit))
    assert findings
    for finding in findings:
        assert finding.place.file == case.name
        assert finding.place.line > 0
        assert finding.place.key or finding.code == "file/not-toml"
        assert finding.message.endswith(".")
        assert finding.mend.endswith((".", "?", ")")) or finding.code == "circuit/no-current"


def test_two_spellings_of_one_element_are_both_named() -> None:
    _, findings = read_text('[branches]\nI1 = "a, +E, R3, a"\n[elements]\nR3 = "r"\nR_3 = "r"\n')
    (found,) = (f for f in findings if f.code == "file/repeated-key")
    assert "R3 and R_3 are the same element R3." in found.message


def test_a_key_within_braces_has_the_line_on_which_it_stands() -> None:
    text = '[branches]\nI1 = "a, +E, R3, a"\n[elements]\n\nR3 = { value = "r", internall = "x" }\n'
    _, findings = read_text(text)
    (found,) = (f for f in findings if f.code == "file/unknown-key")
    assert (found.place.line, found.place.key) == (5, "elements.R3.internall")
