"""Which circuits get a figure: all that are taught with, and none that would take minutes."""

from pathlib import Path

import pytest

from loopwright.figure.figure import is_drawn
from loopwright.problem.problem_file import read
from tests.sample_circuits import circuit_of
from tests.wide_circuits import complete, ladder

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_is_drawn(path: Path) -> None:
    """The cube with a battery across its diagonal does not lie flat; it has one crossing."""
    assert is_drawn(read(str(path)))


def test_what_does_not_lie_flat_is_drawn_only_while_it_is_small() -> None:
    assert is_drawn(circuit_of(complete(5)))
    assert not is_drawn(circuit_of(complete(6)))
    assert is_drawn(circuit_of(ladder(6)))
