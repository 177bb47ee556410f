"""Wires led over tracks: what is found at a look is what the search finds."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.figure.placement import Cell, GridPath
from loopwright.figure.routing import Tracks

SIDE = 9
CELLS = st.tuples(st.integers(0, SIDE - 1), st.integers(0, SIDE - 1))


def wires() -> st.SearchStrategy[list[GridPath]]:
    """A few straight wires, anywhere."""
    level = st.tuples(CELLS, st.integers(1, SIDE - 1)).map(lambda w: (w[0], (w[1], w[0][1])))
    upright = st.tuples(CELLS, st.integers(1, SIDE - 1)).map(lambda w: (w[0], (w[0][0], w[1])))
    return st.lists(st.one_of(level, upright).filter(lambda wire: wire[0] != wire[1]), max_size=3)


def tracks_with(start: Cell, end: Cell, laid: list[GridPath]) -> Tracks:
    tracks = Tracks(SIDE, SIDE)
    for wire in laid:
        tracks.lay(wire)
    tracks.stand("a", [start])
    tracks.stand("b", [end])
    return tracks


@given(CELLS, CELLS, wires())
def test_plain_way_is_the_one_that_the_search_finds(start: Cell, end: Cell, laid: list[GridPath]) -> None:
    """With a price asked of cells every way is searched for, and nothing is a price that changes none."""
    if start == end:
        return
    tracks = tracks_with(start, end, laid)
    try:
        searched = tracks.lead("a", "b", lambda _: 0)
    except ValueError:
        with pytest.raises(ValueError, match="no way"):
            tracks.lead("a", "b")
        return
    assert tracks.lead("a", "b") == searched


def test_way_bends_where_alone_it_is_free() -> None:
    """With one corner taken the wire turns at the other; it comes round a wall by more than one bend."""
    taken = tracks_with((1, 1), (5, 5), [((5, 0), (5, 2))])
    assert taken.lead("a", "b") == (((1, 1), (1, 5), (5, 5)), ())
    walled = tracks_with((1, 4), (7, 4), [((4, 0), (4, 7))])
    assert walled.lead("a", "b") == (((1, 4), (1, 8), (7, 8), (7, 4)), ())
