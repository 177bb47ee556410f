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
        ("less than 3 meshes", 0, 2),
        ("up to 3 loops", 0, 3),
        ("exactly 3 loops", 3, 3),
        ("between 2 and 4 loops", 2, 4),
        ("2-4 loops", 2, 4),
        ("3 loops or fewer", 0, 3),
        ("3 loops or more", 3, MANY),
        ("loops >= 3", 3, MANY),
        ("loops>2", 3, MANY),
        ("loops < 3", 0, 2),
        ("loops = 2", 2, 2),
        ("a loop", 1, MANY),
        ("with a mesh", 1, MANY),
        ("loops", 1, MANY),
    ],
)
def test_a_count_has_bounds(part: str, least: int, most: int) -> None:
    assert looked_for(part) == (FeatureLooked("loops", least, most),)


@pytest.mark.parametrize(
    ("joined", "apart"),
    [
        ("two loops two batteries", "two loops, two batteries"),
        ("one coil and one switch", "one coil, one switch"),
        ("bridge with one battery", "bridge, one battery"),
        ("bridge without internal resistance", "bridge, without internal resistance"),
        ("winch and two batteries", "winch, two batteries"),
        ("pumps no switch", "pumps, no switch"),
        ("used in 2025", "given in 2025"),
    ],
)
def test_features_may_be_joined_by_words(joined: str, apart: str) -> None:
    assert looked_for(joined) == looked_for(apart)


def test_words_joined_by_and_stay_together() -> None:
    assert looked_for("salt and pepper, week 5 lamp") == (
        WordsLooked(("salt", "and", "pepper"), "salt and pepper"),
        WordsLooked(("week", "5", "lamp"), "week 5 lamp"),
    )


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


@pytest.mark.parametrize("line", ["at least 3 lamps", "lamps >= 2", "bridge, 2 or more ideas", "bridge, !!"])
def test_what_counts_nothing_known_or_holds_no_word_is_told(line: str) -> None:
    with pytest.raises(FaultyMaterial, match=r"bank does not count|holds no word"):
        looked_for(line)
