"""Acts on the paper told in the words of the file."""

from __future__ import annotations

import pytest

from loopwright.desk.edits import edited
from loopwright.desk.on_paper import on_paper
from loopwright.desk.paper import centre, stood

TEXT = """[branches]
I1 = "a, +E1, R1, b"
I2 = "b, R2, R3, a"
I3 = "b, R4, a"
"""


def spot(name: str) -> list[float]:
    stands = stood(TEXT, "")
    assert stands is not None
    return [*centre(stands.boxes["element", name])]


@pytest.mark.parametrize(
    ("told", "line"),
    [
        ({"to": "I2", "onto": "R3"}, "b, R2, R1, R3, a"),
        ({"to": "I2", "onto": "R2"}, "b, R1, R2, R3, a"),
        ({"to": "I2"}, "b, R2, R3, R1, a"),
    ],
)
def test_an_element_takes_the_place_of_another_or_comes_last(told: dict[str, str], line: str) -> None:
    made = edited(TEXT, on_paper({"do": "carry", "of": "R1", **told}, TEXT, ""))
    assert f'I2 = "{line}"' in made
    assert 'I1 = "a, +E1, b"' in made


def test_an_element_let_go_on_a_wire_stands_where_it_was_let_go() -> None:
    between = [(p + q) / 2 for p, q in zip(spot("R2"), spot("R3"), strict=True)]
    made = edited(TEXT, on_paper({"do": "carry", "of": "R1", "to": "I2", "where": between}, TEXT, ""))
    assert 'I2 = "b, R2, R1, R3, a"' in made


@pytest.mark.parametrize(("name", "onto", "line"), [("R2", "R3", "R3, R2"), ("R3", "R2", "R3, R2")])
def test_along_its_own_wire_an_element_changes_places(name: str, onto: str, line: str) -> None:
    edit = on_paper({"do": "carry", "of": name, "to": "I2", "onto": onto}, TEXT, "")
    assert f'I2 = "b, {line}, a"' in edited(TEXT, edit)


def test_the_first_point_that_is_told_its_place_brings_those_of_the_others() -> None:
    assert set(on_paper({"do": "place", "point": "a", "x": 0, "y": 0}, TEXT, "")["all"]) == {"a", "b"}  # type: ignore[call-overload]
    drawn = on_paper({"do": "branch", "from": "a", "to": "c", "fresh": {"c": [5, 5]}}, TEXT, "")
    assert set(drawn["places"]) == {"a", "b", "c"}  # type: ignore[call-overload]
    placed = f"{TEXT}[places]\na = [0, 0]\nb = [0, 1]\n"
    drawn = on_paper({"do": "branch", "from": "a", "to": "c", "fresh": {"c": [5, 5]}}, placed, "")
    assert drawn["places"] == {"c": [5, 5]}


@pytest.mark.parametrize("where", [None, "here", [1], ["a", "b"], [1, 2, 3]])
def test_a_place_that_is_none_puts_an_element_last(where: object) -> None:
    edit = on_paper({"do": "carry", "of": "R1", "to": "I2", "where": where, "onto": 4}, TEXT, "")
    assert edit.get("before") is None
    assert 'I2 = "b, R2, R3, R1, a"' in edited(TEXT, edit)
