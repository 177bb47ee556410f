"""A line is read as features, days and words; the example of the documentation among them."""

import pytest

from loopwright.bank.looking import MANY, DayLooked, FeatureLooked, WordsLooked, looked_for
from loopwright.errors import FaultyMaterial


def test_a_line_of_features_is_read() -> None:
    assert looked_for("two sources, bridge, one battery charged, whole numbers; added in 2026") == (
        FeatureLooked("sources", 2, 2),
        FeatureLooked("bridge", 1, MANY),
        FeatureLooked("batteries charged", 1, 1),
        FeatureLooked("whole numbers", 1, MANY),
        DayLooked("added", "in", "2026"),
    )


@pytest.mark.parametrize(
    ("part", "least", "most"),
    [
        ("at least 3 loops", 3, MANY),
        ("at most two loops", 0, 2),
        ("more than 2 loops", 3, MANY),
        ("fewer than 3 loops", 0, 2),
        ("2 to 4 loops", 2, 4),
        ("3 or more loops", 3, MANY),
        ("no loops", 0, 0),
        ("loops", 1, MANY),
    ],
)
def test_a_count_has_bounds(part: str, least: int, most: int) -> None:
    assert looked_for(part) == (FeatureLooked("loops", least, most),)


def test_a_plain_feature_may_be_absent() -> None:
    assert looked_for("no bridge, without internal resistance") == (
        FeatureLooked("bridge", 0, 0),
        FeatureLooked("internal resistance", 0, 0),
    )


def test_what_is_no_feature_is_words_and_so_is_what_stands_in_quotation_marks() -> None:
    assert looked_for('Pumps at  Été, "bridge, and more"') == (
        WordsLooked(("pump", "at", "ete"), "pumps at été"),
        WordsLooked(("bridge", "and", "more"), "bridge, and more"),
    )


@pytest.mark.parametrize("line", ["at least 3 lamps", "bridge, 2 or more ideas", "bridge, !!"])
def test_what_counts_nothing_known_or_holds_no_word_is_told(line: str) -> None:
    with pytest.raises(FaultyMaterial, match=r"bank does not count|holds no word"):
        looked_for(line)
