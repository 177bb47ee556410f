"""Every label of every figure keeps clear of every other label and every stroke, loop marks included."""

import random
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.circuit.embedding import meshes
from loopwright.expressions.nodes import Symbol
from loopwright.figure.drawing import Drawing
from loopwright.figure.figure import draw, undrawn
from loopwright.problem.problem_file import read
from tests.unit.figure.geometry import overlaps

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))
NAMES = [f"({k})" for k in range(1, 20)]
STYLES = [(resistors, values) for resistors in ("iec", "ieee") for values in (True, False)]


def with_meshes(circuit: Circuit, resistors: str, *, values: bool) -> Drawing:
    return draw(circuit, resistors=resistors, loops=meshes(circuit), loop_names=NAMES, values=values)


def wheel(spokes: int) -> Circuit:
    """A hub, a rim, and a battery in the first part of the rim."""
    edges = [pair for k in range(spokes) for pair in (("h", f"p{k}"), (f"p{k}", f"p{(k + 1) % spokes}"))]
    along: list[list[Pass | str]] = [[Pass(f"R{k}")] for k in range(1, len(edges) + 1)]
    along[1].insert(0, Pass("E1", +1))
    elements = {name: resistor(name) for (name,) in ((f"R{k}",) for k in range(1, len(edges) + 1))}
    written = {**dict.fromkeys(elements, "4.7 kohm"), "E1": "9.00 V"}
    branches = tuple(
        Branch(f"I{k}", a, b, tuple(met)) for k, ((a, b), met) in enumerate(zip(edges, along, strict=True), 1)
    )
    numbers = dict.fromkeys(written, Fraction(1))
    return Circuit(branches, {**elements, "E1": battery("E1")}, numbers, written)


def at_random(seed: int) -> Circuit:
    """A connected circuit of two to six points, every other one with places."""
    dice = random.Random(seed)
    points = "abcdef"[: dice.randint(2, 6)]
    edges = [(points[dice.randrange(k)], points[k]) for k in range(1, len(points))]
    edges += [(a, b) for a, b in (dice.sample(points, 2) for _ in range(dice.randint(1, 4)))]
    branches: list[Branch] = []
    elements: dict[str, Element] = {}
    written: dict[str, str] = {}
    for k, (a, b) in enumerate(edges, 1):
        made = [resistor(f"R{k}")]
        written[f"R{k}"] = dice.choice(["47 ohm", "2.2 kohm", "0.40 ohm"])
        kind = dice.choice(["", "", "battery", "real battery", "meter", "switch"])
        if kind.endswith("battery"):
            inner = Symbol(f"r{k}") if kind == "real battery" else None
            made.insert(dice.randint(0, 1), battery(f"E{k}", None, inner))
            written[f"E{k}"] = "9.00 V"
        if kind == "meter":
            made.append(Element(f"M{k}", dice.choice([Kind.AMMETER, Kind.VOLTMETER])))
        if kind == "switch":
            made.append(Element(f"S{k}", Kind.SWITCH, closed=dice.random() < 0.5))
        elements.update({e.name: e for e in made})
        along = tuple(Pass(e.name, dice.choice([1, -1]) if e.has_sign else 0) for e in made)
        branches.append(Branch(f"I{k}", a, b, along))
    cells = dice.sample([(Fraction(x), Fraction(y)) for x in range(4) for y in range(3)], len(points))
    places = dict(zip(points, cells, strict=True)) if seed % 2 else {}
    return Circuit(tuple(branches), elements, dict.fromkeys(written, Fraction(1)), written, places)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_labels_of_every_example_keep_clear(example: Path) -> None:
    circuit = read(example)
    for resistors, values in STYLES:
        drawing = with_meshes(circuit, resistors, values=values)
        assert overlaps(drawing) == []
        assert undrawn(drawing, NAMES[: len(meshes(circuit))]) == ()


@pytest.mark.parametrize("spokes", [4, 5, 6])
def test_labels_of_neighbours_keep_apart_in_a_wheel(spokes: int) -> None:
    for resistors in ("iec", "ieee"):
        assert overlaps(with_meshes(wheel(spokes), resistors, values=True)) == []


@pytest.mark.slow
@pytest.mark.parametrize("spokes", [7, 8])
def test_labels_of_neighbours_keep_apart_in_a_large_wheel(spokes: int) -> None:
    for resistors, values in STYLES:
        assert overlaps(with_meshes(wheel(spokes), resistors, values=values)) == []


@pytest.mark.parametrize("seed", range(24))
def test_labels_of_random_circuits_keep_clear(seed: int) -> None:
    resistors, values = STYLES[seed // 2 % 4]
    assert overlaps(with_meshes(at_random(seed), resistors, values=values)) == []


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(24, 174))
def test_labels_of_many_random_circuits_keep_clear(seed: int) -> None:
    for resistors, values in STYLES:
        assert overlaps(with_meshes(at_random(seed), resistors, values=values)) == []
