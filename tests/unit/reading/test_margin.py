"""What stands in the margin of a working: the terminal's lines and the JSON, from readings made by hand."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction

from loopwright.expressions.display import told
from loopwright.reading.as_json import as_data
from loopwright.reading.margin import in_margin
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.reading.remarks import Standing, counter_said
from loopwright.reading.verdicts import ClaimKind, Counter
from loopwright.reading.working import Trouble, Working, WrittenLine
from tests.architecture.source import ROOT
from tests.unit.reading.made_readings import CARRIED, GOOD, JUNCTION, LEFT, WRONG_SIGN, reading

WRONG = reading(JUNCTION, LEFT, WRONG_SIGN, *CARRIED)


def test_every_line_stands_in_its_place_with_a_sign_and_words() -> None:
    rows = str(WRONG).splitlines()
    assert rows[0].split() == ["✓", "1", "I1", "+", "I2", "=", "I3", "junction", "equation"]
    assert rows[2].startswith("✗  3  -E2 - I2 R2 - I3 R3 = 0")
    assert "NOT TRUE." in rows[2]
    assert rows[7].startswith("   7  Two currents run against")


def test_the_mend_and_the_numbers_are_told() -> None:
    text = " ".join(str(WRONG).split())
    assert "Source signed by an arrow: a slip. It should read E2 − I2 R2 − I3 R3 = 0." in text


def test_signs_that_a_terminal_would_act_on_are_left_out() -> None:
    lines = (*WRONG.working.lines, WrittenLine(8, "\x1b[2J\x07gone\u202e"))
    text = str(replace(WRONG, working=Working(lines)))
    assert "\x1b" not in text
    assert "[2J gone" in text


def test_no_row_is_wider_than_asked() -> None:
    text = in_margin(WRONG.remarks, WRONG.closing, propose(WRONG, BUILT_IN["ten"]), width=72)
    assert max(map(len, text.splitlines())) <= 72


def test_the_mark_is_called_a_proposal() -> None:
    text = in_margin(WRONG.remarks, WRONG.closing, propose(WRONG, BUILT_IN["ten"]))
    assert "Proposed mark, Ten points: 9 of 10" in text
    assert text.endswith("This mark is a proposal; the instructor decides.\n")


def test_a_line_that_could_not_be_read_says_where() -> None:
    lines = (*WRONG.working.lines, WrittenLine(8, "I1 = ((3", trouble=Trouble("a bracket is not closed", 5)))
    last = replace(WRONG, working=Working(lines)).remarks[-1]
    assert last.standing is Standing.UNREAD
    assert told(last.remarks[-1]) == "Not read: a bracket is not closed (at sign 6)."


def test_the_worst_of_several_claims_is_what_the_line_comes_to() -> None:
    standings = [each.standing for each in reading(*GOOD, ("I1 = I2", ClaimKind.UNDECIDED, {})).remarks]
    assert standings[-2:] == [Standing.SAID, Standing.OPEN]


def test_numbers_that_show_an_untruth_carry_their_units() -> None:
    counter = Counter({"E1": Fraction(12), "I1": Fraction(-1, 3)}, Fraction(2), Fraction(5, 2))
    assert told(counter_said(counter, WRONG.names)) == (
        "With E1 = 12 V and I1 = −333.3 mA the left side comes to 2 and the right side to 2.5."
    )


def test_json_keeps_its_shape() -> None:
    data = json.loads(json.dumps(as_data(WRONG, propose(WRONG, BUILT_IN["ten"]))))
    assert list(data) == ["right", "first_untrue", "arrows", "lines", "enough", "mark"]
    line = data["lines"][2]
    assert (line["standing"], line["claims"][0]["repairs"][0]["entry"]) == ("not true", "source-sign")
    assert list(line["claims"][0]) == [
        "read", "start", "end", "case", "kind", "holds", "truth", "said", "used", "how", "loops", "points",
        "carried", "cause", "counter", "repairs",
    ]  # fmt: skip
    assert (data["mark"]["total"], data["mark"]["out_of"], data["first_untrue"]) == (9.0, 10.0, 3)


def test_a_reading_and_a_mark_show_themselves_in_a_notebook() -> None:
    page = WRONG._repr_html_()
    assert page.count("<tr>") == len(WRONG.working.lines) + len(WRONG.closing)
    assert "not true, but follows" in page
    mark = propose(WRONG, BUILT_IN["ten"])._repr_html_()
    assert "the instructor decides" in mark
    assert "9 of 10" in mark


def test_every_key_of_the_json_is_documented() -> None:
    page = (ROOT / "docs/marking.md").read_text()
    case = ("I1 = I2", ClaimKind.UNTRUE, {"counter": Counter({"I1": Fraction(1)}, Fraction(1), Fraction(2))})
    made = reading(*GOOD, case)
    found: set[str] = set()

    def keys(data: object) -> None:
        for each in data.values() if isinstance(data, dict) else data if isinstance(data, list) else ():
            keys(each)
        if isinstance(data, dict):
            found.update(data)

    keys(as_data(made, propose(made, BUILT_IN["ten"])))
    own = {*made.circuit.currents, *map(str, range(99))}  # names and numbers of lines, not keys
    assert sorted(key for key in found - own if f"`{key}`" not in page) == []
