"""Labels turned and room saved in figures that would come out too wide: letters stay legible."""

from pathlib import Path

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.figure.figure import draw, where
from loopwright.figure.label_sides import narrower
from loopwright.figure.slots import legs_of
from loopwright.figure.spacing import neighbours
from loopwright.graph.lines import Loop
from loopwright.methods.methods import derive
from loopwright.problem.problem_file import read
from tests.unit.figure.geometry import label_clashes, labels_of, outside

FILES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))
EXAMPLES = [path for path in FILES if read(path).ladder is None]  # without end there is no derivation
LADDER = next(path for path in EXAMPLES if path.stem == "jetty-ladder")


def travelled(circuit: Circuit) -> list[Loop]:
    """The loops that the sheet's figure shows: those whose equations the derivation starts from."""
    return [law.loop for law in derive(circuit).laws if law.loop]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_quantities_of_examples_are_legible_at_eight_centimetres(path: Path) -> None:
    """Common practice, no source: capitals not under 2.6 mm, values and loops shown."""
    circuit = read(path)
    drawing = draw(circuit, loops=travelled(circuit), width=80.0)
    names = [label.size for label in labels_of(drawing) if label.italic or label.base == "ℰ"]
    assert min(names) >= 2.6


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_labels_of_examples_meet_nothing(path: Path) -> None:
    circuit = read(path)
    drawing = draw(circuit, loops=travelled(circuit))
    assert label_clashes(drawing) == []
    assert outside(drawing) == []


def test_ways_with_all_the_room_come_before_ways_with_less() -> None:
    circuit, placement = read(LADDER), where(read(LADDER))
    legs = legs_of(circuit, placement, resistors="iec", values=True)
    ways = narrower(legs, neighbours(legs), placement.columns, 200.0)
    rooms = [room for _, room in ways]
    assert rooms == sorted(rooms, reverse=True)


def test_only_labels_of_upright_wires_are_turned() -> None:
    circuit, placement = read(LADDER), where(read(LADDER))
    legs = legs_of(circuit, placement, resistors="iec", values=True)
    for changed, _ in narrower(legs, neighbours(legs), placement.columns, 80.0):
        turned = [leg for leg, other in zip(legs, changed, strict=True) if leg != other]
        assert all(leg.upright for leg in turned)
