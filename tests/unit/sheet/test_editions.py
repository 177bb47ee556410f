"""Three editions of one sheet: what each prints, on which paper, in whose terms, and what of it is worked."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from loopwright.checks.ledger.examine import prove
from loopwright.circuit.page_wishes import PAPERS, SECTIONS, PageWishes
from loopwright.expressions.said import OwnWords
from loopwright.expressions.terms import AMERICAN
from loopwright.laws.laws import laws
from loopwright.problem.problem_file import read
from loopwright.sheet import build
from loopwright.sheet.build import FullSheet, sheet
from loopwright.sheet.document import DisplayedLine, Document, Heading, Listing, Paragraph, Table
from loopwright.sheet.document_terms import document_in_terms
from loopwright.sheet.editions import WHOLE, Edition, page_of
from loopwright.solve.exact import solve
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, SYMBOLIC, circuit_of

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))
STEADY = [p for p in EXAMPLES if read(p).ladder is None and not read(p).storages]
TWO_LOOPS = [p for p in STEADY if laws(read(p)).loops_needed == 2]


def full(text: str, edition: str = "") -> FullSheet:
    worked = sheet(circuit_of(text), edition=edition)
    assert isinstance(worked, FullSheet)
    return worked


def heads(document: Document) -> list[str]:
    return [block.words for block in document.blocks if isinstance(block, Heading)]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("path", TWO_LOOPS, ids=lambda path: path.stem)
def test_a_solution_of_two_loops_takes_two_pages_at_most(path: Path, paper: str, pdfinfo: str) -> None:
    page = sheet(read(path), paper=paper).pdf()
    told = subprocess.run([pdfinfo, "-"], input=page, capture_output=True, check=True).stdout.decode()
    found = re.search(r"Pages:\s+(\d+)", told)
    assert found is not None
    assert int(found[1]) <= 2
    assert {"a4": "595.276 x 841.89", "letter": "612 x 792"}[paper] in told


def test_there_are_examples_of_two_loops() -> None:
    assert len(TWO_LOOPS) >= 4


def test_the_solution_is_what_is_made_when_nothing_is_said() -> None:
    assert full(CHARGE_OR_HELP).page.edition is Edition.SOLUTION


def test_with_numbers_the_solution_is_derived_in_numbers_alone_without_them_in_symbols() -> None:
    assert "Solution in symbols" in heads(full(CHARGE_OR_HELP).document)
    in_numbers = heads(full(CHARGE_OR_HELP_IN_NUMBERS).document)
    assert "Solution in numbers" in in_numbers
    assert "Solution in symbols" not in in_numbers


def test_equations_of_a_derivation_in_numbers_are_first_written_in_symbols() -> None:
    worked = full(CHARGE_OR_HELP_IN_NUMBERS)
    lines = [b for b in worked.document.blocks if isinstance(b, DisplayedLine)]
    known = laws(worked.circuit)
    loops = [law.loop for law in worked.in_numbers.laws if law.loop] if worked.in_numbers else []
    assert loops
    for loop in loops:
        written = known.round(loop).written
        assert any(line.sides == (written.left, written.right) and line.number for line in lines)


def test_an_instructor_sees_the_ledger_the_slips_and_both_derivations() -> None:
    found = heads(full(CHARGE_OR_HELP_IN_NUMBERS, "instructor").document)
    for head in ("Solution in symbols", "Solution in numbers", "Ledger of checks"):
        assert head in found
    assert "Which check catches which slip" in found


@pytest.mark.parametrize("name", SYMBOLIC)
def test_the_one_line_counts_the_checks_that_were_made(name: str) -> None:
    worked = full(SYMBOLIC[name])
    made = [e for e in prove(worked.circuit, worked.solution, worked.cases).entries if e.passed]
    words = ("no", "one", "two", "three", "four", "five", "six", "seven")
    (line,) = [b.text[0] for b in worked.document.blocks if isinstance(b, Paragraph) and "proved" in str(b)]
    assert f"and by {words[len(made)]} independent check" in str(line)
    assert all(entry.title.lower() in str(line).lower() for entry in made)


def test_nothing_is_worked_that_a_solution_does_not_print(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError("this is printed by the instructor's edition alone")

    for name in ("coverage", "directions", "joint_cases", "limit_cases", "examine"):
        monkeypatch.setattr(build, name, never)
    assert full(CHARGE_OR_HELP).html()
    with pytest.raises(AssertionError):
        full(CHARGE_OR_HELP, "instructor")


@pytest.mark.parametrize("name", SYMBOLIC)
def test_at_most_three_limits_are_taught_and_each_is_one_of_all(name: str) -> None:
    taught, every = full(SYMBOLIC[name]).cases, full(SYMBOLIC[name], "instructor").cases
    assert len(taught) <= 3
    known = {(case.element, case.to, case.kept): case.sentence for case in every}
    assert all(known[case.element, case.to, case.kept] == case.sentence for case in taught)


def test_in_every_limit_taught_something_asked_vanishes_or_grows_without_limit() -> None:
    worked = full(SYMBOLIC["ladder"])
    assert worked.cases
    for case in worked.cases:
        ends = [str(case.formula[name]) for name in worked.circuit.currents]
        assert any(end == "0" or "Unbounded" in end for end in ends)


@pytest.mark.parametrize("section", [s for s in SECTIONS if s not in WHOLE[Edition.SOLUTION]])
def test_a_section_may_be_chosen_that_the_edition_leaves_out(section: str) -> None:
    circuit = replace(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), page=PageWishes(sections=(section,)))
    more = sheet(circuit).document.blocks
    bare = sheet(replace(circuit, page=PageWishes(sections=("checks",)))).document.blocks
    assert [b for b in more if b not in bare]


def test_sections_chosen_leave_the_others_out_but_never_the_cautions() -> None:
    circuit = replace(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), page=PageWishes(sections=("results",)))
    assert set(heads(sheet(circuit).document)) == {"Results", "Before it is built"}


def test_sections_chosen_for_one_edition_do_not_hold_for_another() -> None:
    circuit = replace(circuit_of(CHARGE_OR_HELP), page=PageWishes(sections=("results",)))
    assert page_of(circuit, "problem").sections == WHOLE[Edition.PROBLEM]


@pytest.mark.parametrize(
    "wrong", [{"edition": "student"}, {"paper": "a5"}, {"terms": "welsh"}, {"resistors": "iecc"}]
)
def test_a_word_that_is_not_known_is_refused(wrong: dict[str, str]) -> None:
    with pytest.raises(ValueError, match=r"is .* or .*, not "):
        page_of(circuit_of(CHARGE_OR_HELP), **wrong)


def test_american_terms_are_one_setting_and_leave_the_persons_words_alone() -> None:
    words = Paragraph(("Each loop is travelled once, towards round.", OwnWords("Go towards it.")))
    ours = Document("Towards noon", (words, Heading("Potential difference")))
    told = document_in_terms(ours, "american", ("round",))
    words = Paragraph(("Each loop is traveled once, toward round.", OwnWords("Go towards it.")))
    assert told.blocks == (words, Heading("Voltage"))
    assert told.language == "en-US"
    assert told.title == ours.title
    assert document_in_terms(ours, "british", ()) is ours


def test_no_american_term_is_left_british_anywhere_on_a_sheet() -> None:
    circuit = circuit_of('title = "T"\n' + CHARGE_OR_HELP_IN_NUMBERS)
    text = sheet(circuit, edition="instructor", terms="american").markdown()
    assert not [word for word in AMERICAN if re.search(rf"(?<!\w){re.escape(word)}(?!\w)", text)]
    assert "traveled" in text or "travelled" not in sheet(circuit, edition="instructor").markdown()


def test_what_is_asked_is_answered_by_a_table_where_the_working_is_in_numbers() -> None:
    blocks = full(CHARGE_OR_HELP_IN_NUMBERS).document.blocks
    assert [b for b in blocks if isinstance(b, Table) and b.caption == "The numbers"]
    assert not [b for b in blocks if isinstance(b, DisplayedLine) and b.result]
    assert [b for b in blocks if isinstance(b, Listing)]


def test_the_proof_is_of_the_currents_themselves() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    right = solve(circuit)
    wrong = replace(right, currents={**right.currents, circuit.currents[0]: circuit.field.one})
    assert {e.title for e in prove(circuit, wrong, ()).failed} >= {"Junction rule", "Loop rule"}
