"""Lines of keys, and TOML's complaints in plain words."""

import pytest

from loopwright.problem.key_lines import key_lines, load


def test_key_in_table_has_the_line_it_stands_on() -> None:
    assert key_lines('title = "x"\n\n[branches]\nI1 = "a, b"\n').of("branches", "I1") == 4


def test_quoted_and_dotted_keys_are_followed() -> None:
    keys = key_lines("[elements]\n\"R 1\" = 'x'\nE1.internal = 'r'\n")
    assert (keys.of("elements", "R 1"), keys.of("elements", "E1", "internal")) == (2, 3)


def test_text_over_several_lines_hides_what_looks_like_a_key() -> None:
    keys = key_lines('story = """\n[branches]\nI1 = 3\n"""\n[branches]\nI1 = "a, b"\n')
    assert (keys.of("branches"), keys.of("branches", "I1")) == (5, 6)


def test_items_of_a_list_have_their_own_lines() -> None:
    keys = key_lines('find = [\n  "I1",  # "I9",\n  "I2",\n]\n')
    assert (keys.of("find", 0), keys.of("find", 1)) == (2, 3)


def test_keys_between_braces_have_the_line_of_the_braces() -> None:
    assert (
        key_lines('[elements]\nE1 = { kind = "battery", internal = "r" }\n').of("elements", "E1", "internal")
        == 2
    )


def test_unknown_path_falls_back_to_the_table_around_it() -> None:
    assert key_lines("\n[elements]\n").of("elements", "R9", "value") == 2


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("a = top, R1", 1, "straight quotes"),
        ("a = 1\nb = “top, R1”", 2, "straight quotes"),
        ('a = 1\nb = "open', 2, "never closed"),
        ("a = [1,\n 2\nb = 3", 1, "never closed"),
        ('a = 1\nb = """x\ny', 2, "never closed"),
        ("a = 1\na = 2", 2, "a stands twice, first on line 1"),
        ("[t]\nx = 1\n[t]", 3, "t stands twice, first on line 1"),
        ("hello", 1, "neither a table"),
        ("= 3", 1, "does not begin with a key"),
        ('a = "\\q"', 1, "backslash"),
        ('a = "x" y', 1, "left over"),
        ("a = {b = 1, b = 2}", 1, "twice between these braces"),
        ("a = " + "9" * 5000, 1, "cannot be read"),
    ],
)
def test_complaint_tells_line_and_fault_in_plain_words(text: str, line: int, words: str) -> None:
    _, complaints = load(text)
    assert [complaint.line for complaint in complaints] == [line]
    assert words in complaints[0].message
    assert complaints[0].mend


def test_every_faulty_line_is_told_at_once() -> None:
    _, complaints = load("a = b c\nx = 1\nd = e f\n")
    assert [complaint.line for complaint in complaints] == [1, 3]


def test_keys_between_braces_have_lines_of_their_own() -> None:
    keys = key_lines("[places]\nx = { a = 1,\n  b = { c = 2 } }\ny = 3\n")
    assert keys.lines["places", "x", "a"] == 2
    assert keys.lines["places", "x", "b", "c"] == 3
    assert keys.lines["places", "y"] == 4


def test_at_most_twenty_complaints_are_gathered_from_a_text() -> None:
    _, complaints = load("a = b c\nx = 1\n" * 40)
    assert len(complaints) == 20


def test_where_a_key_and_its_value_stand_is_found() -> None:
    text = '[branches]\nIa = "a, R1, b"  # here\nfind = ["I1", 7]\n'
    found = key_lines(text)
    start, end = found.values["branches", "Ia"]
    assert text[start:end] == '"a, R1, b"'
    assert text[slice(*found.keys["branches", "Ia"])] == "Ia"
    assert text[slice(*found.values["branches", "find", 1])] == "7"
