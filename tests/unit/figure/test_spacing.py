"""From grid to millimetres: distances are kept, and what is turned changes no neighbour."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from loopwright.figure.figure import where
from loopwright.figure.slots import Leg, legs_of
from loopwright.figure.spacing import END, ends, neighbours, positions
from loopwright.problem.problem_file import read

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))


@given(
    st.dictionaries(
        st.tuples(st.integers(0, 4), st.integers(1, 5)).filter(lambda pair: pair[0] < pair[1]),
        st.floats(1, 50),
    ),
    st.floats(1, 3),
)
def test_columns_keep_every_distance_asked_for(needs: dict[tuple[int, int], float], stretch: float) -> None:
    xs = positions(6, needs, stretch)
    assert all(xs[b] - xs[a] >= need * stretch - 1e-9 for (a, b), need in needs.items())
    assert all(b - a >= 6.0 * stretch - 1e-9 for a, b in pairwise(xs))


def legs_in(path: Path) -> tuple[Leg, ...]:
    circuit = read(path)
    return legs_of(circuit, where(circuit), resistors="iec", values=True)


def test_turned_labels_leave_neighbours_as_they_are() -> None:
    for path in EXAMPLES:
        legs = legs_in(path)
        turned = [replace(leg, label_way=(-leg.label_way[0], -leg.label_way[1])) for leg in legs]
        assert neighbours(legs) == neighbours(turned)


def test_only_labels_that_look_at_one_another_ask_for_more_room_at_the_end() -> None:
    """An upright leg whose labels stand to the right gives way to a label below a level leg there."""
    (upright,) = (leg for leg in legs_in(EXAMPLES[0]) if leg.upright and leg.slots and leg.line == 0)
    low = min(upright.start, upright.end, key=lambda cell: cell[1])
    level = Leg("I", low, (low[0] + 1, low[1]), upright.slots, (0, 1))
    for way, more in ((1, True), (-1, False)):
        clear, _ = ends([replace(upright, label_way=(way, 0)), level])
        assert (max(clear) > END) == more
