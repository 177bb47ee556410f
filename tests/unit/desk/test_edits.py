"""Acts on a problem file: what they change, what follows them, and that all the rest stays."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from loopwright import solve
from loopwright.desk.edits import edited, turned_line
from loopwright.errors import FaultyMaterial
from loopwright.problem.problem_file import read_text
from loopwright.problem.problem_text import written
from tests.strategies import circuits

EXAMPLES = sorted(Path("examples").glob("*.toml"))
TEXT = """# the harbour light
title = 'Two cells'
find = ["I1", "2 I1 - I2"]   # asked
given = ["I1 = 0.50 A"]
expect = ["I1 -> E1/R1 as R2 -> ∞"]

[branches]          # read along the arrow
I1 = "a, +E1, R1, b"   # the first cell
I2   = 'b, R2, -E2, a'

[numbers]
R1 = "4 ohm"  # the lamp
R2 = "5 ohm"
"""
COMMENTS = [line.partition("#")[2] for line in TEXT.splitlines()]


def circuit(text: str):  # type: ignore[no-untyped-def]
    found, findings = read_text(text)
    assert found is not None, findings
    return found


@given(circuits())
def test_turning_an_arrow_twice_gives_back_the_same_circuit(drawn) -> None:  # type: ignore[no-untyped-def]
    text = written(drawn)
    name = drawn.currents[0]
    twice = edited(edited(text, {"do": "turn", "branch": name}), {"do": "turn", "branch": name})
    assert twice == text


@given(circuits(), st.data())
def test_turning_an_arrow_negates_its_current_and_no_other(drawn, data) -> None:  # type: ignore[no-untyped-def]
    assume(read_text(written(drawn))[0] is not None)  # a dead end is a circuit, and no problem file
    name = data.draw(st.sampled_from(drawn.currents))
    before = solve(drawn).currents
    after = solve(circuit(edited(written(drawn), {"do": "turn", "branch": name}))).currents
    assert all(after[n] == (-value if n == name else value) for n, value in before.items())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_turning_every_arrow_of_an_example_keeps_comments_and_turns_back(path: Path) -> None:
    text = path.read_text()
    for name in circuit(text).currents if "[ladder]" not in text else ():
        turned = edited(text, {"do": "turn", "branch": name})
        assert [line.partition("#")[2] for line in turned.splitlines()] == [
            line.partition("#")[2] for line in text.splitlines()
        ]
        assert edited(turned, {"do": "turn", "branch": name}) == text


def test_what_counts_along_an_arrow_follows_in_sign_when_it_turns() -> None:
    turned = edited(TEXT, {"do": "turn", "branch": "I1"})
    assert 'I1 = "b, R1, -E1, a"   # the first cell' in turned
    assert 'find = ["I1", "-2 I1 - I2"]   # asked' in turned
    assert '["I1 = -0.50 A"]' in turned
    assert '"I1 -> -E1/R1 as R2 -> ∞"' in turned


def test_what_is_plotted_follows_names_and_arrows() -> None:
    text = 'plots = ["I1 against R1", "2 I1 - I2 against R2", "sign of I1 - I2 over R1, R2"]\n' + TEXT
    turned = edited(text, {"do": "turn", "branch": "I1"})
    assert 'plots = ["I1 against R1", "-2 I1 - I2 against R2", "sign of -I1 - I2 over R1, R2"]' in turned
    renamed = edited(text, {"do": "rename", "from": "R2", "to": "Rx"})
    assert 'plots = ["I1 against R1", "2 I1 - I2 against Rx", "sign of I1 - I2 over R1, Rx"]' in renamed


def test_a_storage_holds_the_opposite_of_what_it_held_when_its_arrow_turns() -> None:
    text = '[branches]\nI1 = "a, +E1, R1, C1, a"\n[start]\nC1 = "4 V"\n'
    assert 'C1 = "-4 V"' in edited(text, {"do": "turn", "branch": "I1"})


def test_a_line_keeps_its_blanks_when_it_turns() -> None:
    assert turned_line("a,  +E1 ,R1, b") == "b,  R1 ,-E1, a"


def test_a_branch_is_put_in_below_the_last_one_with_its_signs_in_line() -> None:
    text = edited(TEXT, {"do": "branch", "from": "a", "to": "b", "words": "R3"})
    assert "I2   = 'b, R2, -E2, a'\nI3   = \"a, R3, b\"\n" in text


def test_a_first_branch_is_drawn_on_an_empty_paper_with_its_places() -> None:
    edit = {"do": "branch", "from": "a", "to": "b", "places": {"a": [0, 0], "b": [0, 2.5]}}
    assert edited("", edit) == '[branches]\nI1 = "a, b"\n\n[places]\na = [0, 0]\nb = [0, 2.5]\n'


def test_a_comment_keeps_its_column_as_long_as_there_is_room() -> None:
    longer = edited(TEXT, {"do": "write", "branch": "I1", "words": "+E1, R17"})
    assert 'I1 = "a, +E1, R17, b"  # the first cell' in longer
    assert 'I1 = "a, R1, b"        # the first cell' in edited(
        TEXT, {"do": "write", "branch": "I1", "words": "R1"}
    )


def test_writing_on_a_wire_keeps_its_ends_and_its_comment() -> None:
    text = edited(TEXT, {"do": "write", "branch": "I1", "words": "+E1, R7"})
    assert 'I1 = "a, +E1, R7, b"   # the first cell' in text
    assert "R1 =" not in text.replace("E1/R1", "")
    assert 'R2 = "5 ohm"' in text


def test_a_number_that_a_value_still_needs_stays_when_its_element_goes() -> None:
    text = '[branches]\nI1 = "a, +E1, R1, a"\n[elements]\nE1 = "2 R1"\n[numbers]\nR1 = "2 ohm"\n'
    assert 'R1 = "2 ohm"' in edited(text, {"do": "write", "branch": "I1", "words": "+E1"})


def test_a_branch_goes_with_what_only_it_needed() -> None:
    text = edited(TEXT, {"do": "take out", "branch": "I2"})
    assert "I2" not in text
    assert "R2" not in text.split("[branches]")[1]
    assert 'R1 = "4 ohm"  # the lamp' in text
    assert 'find = ["I1"]   # asked' in text


def test_a_number_changes_on_its_line_and_its_comment_stays() -> None:
    text = edited(TEXT, {"do": "value", "of": "R1", "value": "4k7"})
    assert 'R1 = "4k7"    # the lamp' in text
    assert edited(text, {"do": "value", "of": "R1", "value": "4 ohm"}) == TEXT


def test_a_value_in_symbols_stands_among_the_elements() -> None:
    text = edited(TEXT, {"do": "value", "of": "R2", "value": "2 R1"})
    assert '[elements]\nR2 = "2 R1"' in text
    assert 'R2 = "5 ohm"' not in text


def test_a_switch_opens_and_closes() -> None:
    text = (
        '[branches]\nI1 = "a, +E1, S1, R1, a"\n[elements]\nS1 = { kind = "switch", closed = true } # here\n'
    )
    opened = edited(text, {"do": "switch", "of": "S1"})
    assert "closed = false } # here" in opened
    assert edited(opened, {"do": "switch", "of": "S1"}) == text


def test_the_first_point_moved_gives_the_others_their_places() -> None:
    edit = {"do": "place", "point": "a", "x": 3, "y": 1, "all": {"a": [0, 0], "b": [2, 0]}}
    text = edited(TEXT, edit)
    assert text.endswith("\n[places]\na = [3, 1]\nb = [2, 0]\n")
    assert edited(text, {"do": "lay out"}) == TEXT


def test_an_element_gets_another_name_everywhere() -> None:
    text = edited(TEXT, {"do": "rename", "from": "R2", "to": "Rx"})
    assert "R2" not in text
    assert 'Rx = "5 ohm"' in text
    assert "as Rx -> ∞" in text


def test_a_current_gets_another_name_everywhere() -> None:
    text = edited(TEXT, {"do": "rename", "from": "I1", "to": "Ic"})
    assert "I1" not in text
    assert '"2 Ic - I2"' in text


@given(circuits())
def test_renaming_there_and_back_gives_the_same_text(drawn) -> None:  # type: ignore[no-untyped-def]
    text = written(drawn)
    point = drawn.points[0]
    there = edited(text, {"do": "rename", "from": point, "to": "qqq"})
    assert edited(there, {"do": "rename", "from": "qqq", "to": point}) == text
    assert "qqq" in there


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        ({"do": "fly"}, "desk/unknown-act"),
        ({"do": "turn", "branch": "I9"}, "desk/no-such-branch"),
        ({"do": "turn"}, "desk/act-untold"),
        ({"do": "rename", "from": "R1", "to": "R2"}, "desk/name-taken"),
        ({"do": "rename", "from": "R1", "to": "4"}, "desk/unreadable-name"),
        ({"do": "rename", "from": "R9", "to": "R8"}, "desk/no-such-name"),
        ({"do": "place", "point": "a", "x": "left", "y": 0}, "desk/no-place"),
        ({"do": "branch", "from": "a,b", "to": "c"}, "desk/unreadable-name"),
    ],
)
def test_what_cannot_be_done_is_said(edit: dict[str, object], code: str) -> None:
    with pytest.raises(FaultyMaterial) as caught:
        edited(TEXT, edit)
    assert caught.value.findings[0].code == code


def test_a_text_that_is_not_toml_is_to_be_put_right_first() -> None:
    with pytest.raises(FaultyMaterial, match="line 2"):
        edited('[branches]\nI1 = "a', {"do": "turn", "branch": "I1"})


def test_line_ends_of_another_system_stay() -> None:
    text = TEXT.replace("\n", "\r\n")
    assert edited(text, {"do": "branch", "from": "a", "to": "b"}).count("\n") == text.count("\r\n") + 1


def test_loops_of_ones_own_are_kept_in_the_file_and_follow_turned_arrows_and_names() -> None:
    text = '[branches]\nI1 = "a, +E1, R1, b"\nI2 = "b, R2, a"\nI3 = "b, R3, a"\n'
    own = edited(text, {"do": "loops", "loops": ["I1 + I2", "I2 − I3"]})
    assert own.startswith('loops = ["I1 + I2", "I2 - I3"]\n')
    turned = edited(own, {"do": "turn", "branch": "I2"})
    assert 'loops = ["I1 - I2", "-I2 - I3"]' in turned
    assert 'loops = ["I1 - Ib", "-Ib - I3"]' in edited(turned, {"do": "rename", "from": "I2", "to": "Ib"})
    assert 'loops = ["I1 + I2"]' in edited(own, {"do": "take out", "branch": "I3"})
    assert edited(own, {"do": "loops", "loops": []}).strip() == text.strip()
    with pytest.raises(FaultyMaterial, match="list of loops"):
        edited(text, {"do": "loops", "loops": ["I1 I2"]})


IN_TIME = """\
find = ["I1(t)"]
[branches]
I1 = "a, +E1, S1, R1, b"
I2 = "b, C1, a"
I3 = "b, S2, R3, a"
[numbers]
E1 = "9 V"
R1 = "1 kohm"
R3 = "2 kohm"
C1 = "1 uF"
t1 = "5 ms"
[switching]
S1 = "open -> closed"
S2 = ["open -> closed at t1", "closed -> open at 20 ms"]
[start]
C1 = "0 V"
"""


@pytest.mark.parametrize(
    ("act", "told"),
    [
        ({"do": "rename", "from": "t1", "to": "tb"}, '"open -> closed at tb", "closed -> open at 20 ms"'),
        ({"do": "rename", "from": "S2", "to": "Sb"}, 'Sb = ["open -> closed at t1"'),
        ({"do": "switch", "of": "S2"}, '"closed -> open at t1", "open -> closed at 20 ms"'),
        ({"do": "switch", "of": "S1"}, 'S1 = "closed -> open"'),
        ({"do": "turn", "branch": "I3"}, 'I3 = "a, R3, S2, b"'),
        ({"do": "write", "branch": "I3", "words": "R3"}, 'S1 = "open -> closed"\n[start]'),
        ({"do": "take out", "branch": "I3"}, 'C1 = "1 uF"\n[switching]'),
        ({"do": "rename", "from": "C1", "to": "Cx"}, '[start]\nCx = "0 V"'),
    ],
)
def test_several_moves_of_one_switch_follow_every_act(act: dict[str, str], told: str) -> None:
    text = edited(IN_TIME, act)
    assert told in text
    circuit, findings = read_text(text)
    assert circuit is not None, findings


def test_names_written_together_are_known_for_what_they_are() -> None:
    text = '[branches]\nI1 = "a, +E1, R1, b"\nI2 = "b, R2, a"\nI3 = "b, R3, a"\n'
    asked = f'find = ["I1R1 - V(a, b)", "R1I2"]\nexpect = ["I1R1 -> 0 as R2 -> ∞"]\n{text}'
    turned = edited(asked, {"do": "turn", "branch": "I1"})
    assert turned.startswith('find = ["-I1 R1 - V(a, b)", "R1I2"]\nexpect = ["-I1 R1 -> 0 as R2 -> ∞"]\n')
    named = edited(asked, {"do": "rename", "from": "R1", "to": "Ra"})
    assert named.startswith('find = ["I1 Ra - V(a, b)", "Ra I2"]')
    assert 'find = ["I1R1 - V(a, b)"]' in edited(asked, {"do": "take out", "branch": "I2"})


@pytest.mark.parametrize(
    ("act", "first", "second"),
    [
        ({"of": "R2", "to": "I1", "before": "R1"}, "a, +E1, R2, R1, b", "b, -E2, a"),
        ({"of": "E1", "to": "I2"}, "a, R1, b", "b, R2, -E2, +E1, a"),
        ({"of": "E1", "to": "I1"}, "a, R1, +E1, b", "b, R2, -E2, a"),
        ({"of": "E2", "to": "I2", "before": "R2"}, "a, +E1, R1, b", "b, -E2, R2, a"),
        ({"of": "R2", "to": "I2", "before": "E2"}, "a, +E1, R1, b", "b, R2, -E2, a"),
    ],
)
def test_an_element_is_carried_along_a_wire_and_to_another(
    act: dict[str, str], first: str, second: str
) -> None:
    made = edited(TEXT, {"do": "carry", **act})
    assert tomllib.loads(made) == {**tomllib.loads(TEXT), "branches": {"I1": first, "I2": second}}
    assert [line.partition("#")[2] for line in made.splitlines()] == COMMENTS


def test_a_source_turned_about_is_met_from_its_other_side_and_nothing_else_changes() -> None:
    made = edited(TEXT, {"do": "flip", "of": "E2"})
    assert made == TEXT.replace("-E2", "+E2")
    assert edited(made, {"do": "flip", "of": "E2"}) == TEXT


@pytest.mark.parametrize(
    ("act", "code"),
    [
        ({"do": "flip", "of": "R1"}, "desk/no-sign"),
        ({"do": "flip", "of": "R9"}, "desk/no-such-name"),
        ({"do": "carry", "of": "R1", "to": "I9"}, "desk/no-such-branch"),
        ({"do": "carry", "of": "R1", "to": "I1", "before": "R2"}, "desk/no-such-name"),
    ],
)
def test_what_cannot_be_carried_or_turned_about_is_told(act: dict[str, str], code: str) -> None:
    with pytest.raises(FaultyMaterial) as trouble:
        edited(TEXT, act)
    assert trouble.value.findings[0].code == code
