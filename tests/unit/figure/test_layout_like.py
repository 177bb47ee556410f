"""A changed circuit drawn like the one it came from: what both have stands where it stood."""

from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings

from loopwright.circuit.changed import at_rest, sources_in, taken_out
from loopwright.circuit.circuit import Circuit, resistor
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.circuit.made_one import collapse
from loopwright.expressions.nodes import Symbol
from loopwright.figure.drawing import Drawing, Label, Round
from loopwright.figure.figure import draw, where
from loopwright.figure.layout_like import placed_like
from loopwright.problem.problem_file import read
from tests.strategies import circuits
from tests.unit.figure.geometry import crossings, label_clashes, labels_of, outside, wrong_ends
from tests.unit.figure.test_figure_geometry import ALL, SMALL, net

EXAMPLES = Path(__file__).parents[3] / "examples"
Spot = tuple[float, float]

SEVERAL = [name for name in ALL if len(ALL[name].branches) > 2]


def spots(drawing: Drawing) -> dict[str, Spot]:
    """Where the names of elements and of currents stand."""
    return {m.base + m.sub: m.at for m in labels_of(drawing) if m.sub}


def shift(before: Drawing, after: Drawing) -> Spot:
    """By how much the names in both drawings were moved: all by the same, or the picture is another."""
    one, other = spots(before), spots(after)
    found = [(other[n][0] - one[n][0], other[n][1] - one[n][1]) for n in one if n in other]
    assert len(found) > 2
    assert found == [pytest.approx(found[0], abs=0.01)] * len(found)
    return found[0]


def batteries(circuit: Circuit) -> list[str]:
    return [p.element for b in circuit.branches for p in b.passes if circuit.elements[p.element].has_sign]


def open_ends(drawing: Drawing) -> list[Spot]:
    return [m.centre for m in drawing.marks if isinstance(m, Round) and m.radius == 0.7]


def made_one(circuit: Circuit, one: str, other: str) -> Circuit:
    """Two branches side by side made one, with a resistor named after both."""
    name = f"R{one[1:]}{other[1:]}"
    first = circuit.branch(one)
    whole = Branch(f"I{one[1:]}{other[1:]}", first.start, first.end, (Pass(name),))
    rest = tuple(whole if b is first else b for b in circuit.branches if b.name != other)
    return replace(circuit, branches=rest, elements={**circuit.elements, name: resistor(name)})


@pytest.mark.parametrize("name", SEVERAL)
def test_nothing_moves_when_a_source_is_replaced_by_a_wire(name: str) -> None:
    circuit = ALL[name]
    for source in batteries(circuit):
        drawing = draw(circuit.shorted(source), like=circuit)
        shift(draw(circuit), drawing)
        assert label_clashes(drawing) == []


@pytest.mark.parametrize("name", SEVERAL)
def test_nothing_moves_when_a_branch_is_cut_out(name: str) -> None:
    circuit = ALL[name]
    for branch in circuit.branches:
        rest = replace(circuit, branches=tuple(b for b in circuit.branches if b is not branch))
        for gaps in ((), (branch.name,)):
            drawing = draw(rest, like=circuit, gaps=gaps)
            shift(draw(circuit), drawing)
            assert label_clashes(drawing) == []
            assert outside(drawing) == []


def test_a_gap_is_two_open_ends_where_the_element_stood() -> None:
    circuit = SMALL["bridge"]
    rest = replace(circuit, branches=circuit.branches[:4] + circuit.branches[5:])
    before, after = draw(circuit), draw(rest, like=circuit, gaps=("I5",))
    dx, dy = shift(before, after)
    one, other = open_ends(after)
    middle = ((one[0] + other[0]) / 2 - dx, (one[1] + other[1]) / 2 - dy)
    x, y = next(m.at for m in labels_of(before) if m.base + m.sub == "R5")
    assert abs(middle[0] - x) < 6
    assert abs(middle[1] - y) < 6
    assert {"a", "b", "c", "d"} <= {m.base for m in after.marks if isinstance(m, Label)}


def test_an_element_taken_out_of_its_branch_leaves_two_open_ends_and_no_name() -> None:
    circuit = SMALL["bridge with a second battery"]
    drawing = draw(taken_out(circuit, ("R2",)), like=circuit)
    shift(draw(circuit), drawing)
    assert len(open_ends(drawing)) == 2
    assert {"R1", "R2", "R3"} & spots(drawing).keys() == {"R1", "R3"}


def test_a_current_source_at_rest_leaves_two_open_ends() -> None:
    circuit = SMALL["bridge"]
    source = Element("E1", Kind.CURRENT_SOURCE, Symbol("E1"))
    fed = replace(circuit, elements={**circuit.elements, "E1": source})
    drawing = draw(at_rest(fed), like=fed)
    shift(draw(fed), drawing)
    assert len(open_ends(drawing)) == 2


def test_an_open_switch_of_the_original_stays_a_switch() -> None:
    circuit = SMALL["bridge"]
    switch = {**circuit.elements, "R5": Element("R5", Kind.SWITCH, closed=False)}
    drawing = draw(replace(circuit, elements=switch).shorted("E1"), like=replace(circuit, elements=switch))
    assert "R5" in spots(drawing)


def test_without_gaps_nothing_is_left_of_a_branch_cut_out() -> None:
    circuit = SMALL["bridge"]
    rest = replace(circuit, branches=circuit.branches[:5])
    assert not [m for m in draw(rest, like=circuit).marks if isinstance(m, Round) and not m.filled]


def test_parts_made_one_stand_where_the_first_of_them_stood() -> None:
    circuit = SMALL["battery, then two side by side"]
    before, after = draw(circuit), draw(made_one(circuit, "I2", "I3"), like=circuit)
    dx, dy = shift(before, after)
    x, y = spots(before)["R2"]
    assert spots(after)["R23"] == pytest.approx((x + dx, y + dy), abs=3.0)


def test_a_chain_made_of_several_branches_runs_where_they_ran() -> None:
    """The last loop of a collapse: the source on its leg, the load on one of the legs it was made of."""
    circuit = SMALL["battery, then two side by side"]
    load = made_one(circuit, "I2", "I3")
    first = load.branch("I1")
    chain = replace(load, branches=(Branch("I", "f", "f", (*first.along, Pass("R23"))),))
    placement = placed_like(chain, circuit, where(circuit))
    assert placement is not None
    cells = set(placement.routes["I"])
    assert cells == set(where(circuit).routes["I1"]) | set(where(circuit).routes["I2"])
    before, after = spots(draw(circuit)), spots(draw(chain, like=circuit))
    assert after["R23"][0] - after["R1"][0] == pytest.approx(before["R2"][0] - before["R1"][0], abs=0.1)


@pytest.mark.parametrize(
    "example", ["greenhouse", "jetty-ladder", "charge-or-help", "mooring-strain", "reed-relay"]
)
def test_every_step_of_a_collapse_leaves_the_other_elements_where_they_stood(example: str) -> None:
    circuit = read(EXAMPLES / f"{example}.toml")
    before = spots(draw(circuit))
    for kept in sources_in(circuit):
        alone = at_rest(circuit, [source for source in sources_in(circuit) if source != kept])
        for step in collapse(alone).steps:
            drawing = draw(step.after, like=circuit)
            after = spots(drawing)
            held = [name for name in before if name in after and name[0] in "Rℰ"]
            moved = [(after[n][0] - before[n][0], after[n][1] - before[n][1]) for n in held]
            assert all(each == pytest.approx(moved[0], abs=0.01) for each in moved)
            assert label_clashes(drawing) == []


def test_a_renamed_current_keeps_its_place() -> None:
    circuit = SMALL["bridge"]
    renamed = replace(circuit, branches=tuple(replace(b, name=f"{b.name}'") for b in circuit.branches))
    placement = placed_like(renamed, circuit, where(circuit))
    assert placement is not None
    assert {name.rstrip("'"): path for name, path in placement.routes.items()} == where(circuit).routes


def test_a_flipped_arrow_keeps_its_place() -> None:
    circuit = SMALL["bridge"]
    flipped = placed_like(circuit.flipped("I2"), circuit, where(circuit))
    assert flipped is not None
    assert flipped.routes["I2"] == where(circuit).routes["I2"][::-1]


def test_what_is_placed_by_hand_stays_there() -> None:
    places = {"a": (0, 1), "b": (1, 2), "c": (1, 0), "d": (2, 1)}
    circuit = net("ab bd ac cd bc da", "1 6", places)
    for source in ("E1", "E6"):
        shift(draw(circuit), draw(circuit.shorted(source), like=circuit))


def test_a_circuit_that_came_from_another_is_placed_by_itself() -> None:
    strange = net("xy yz zx", "1")
    assert placed_like(strange, SMALL["bridge"], where(SMALL["bridge"])) is None
    assert draw(strange, like=SMALL["bridge"]) == draw(strange)


def test_wires_that_hopped_hop_no_more_when_what_they_crossed_is_out() -> None:
    points = "abcde"
    circuit = net(" ".join(a + b for i, a in enumerate(points) for b in points[i + 1 :]), "1")
    whole = where(circuit)
    ((hopping, cell),) = whole.hops
    for out in circuit.branches:
        rest = replace(circuit, branches=tuple(b for b in circuit.branches if b is not out))
        placement = placed_like(rest, circuit, whole)
        assert placement is not None
        crossed = out.name == hopping or any(
            a[0] == b[0] == cell[0] or a[1] == b[1] == cell[1]
            for path in [whole.routes[out.name]]
            for a, b in pairwise(path)
            if min(a, b) <= cell <= max(a, b)
        )
        assert placement.hops == (() if crossed else whole.hops)


def test_no_wire_of_a_bar_leads_nowhere_once_its_branches_are_out() -> None:
    circuit = SMALL["three batteries and a load"]
    for left in combinations(circuit.branches, 2):
        placement = placed_like(replace(circuit, branches=left), circuit, where(circuit))
        assert placement is not None
        ends = [cell for path in placement.paths() for cell in (path[0], path[-1])]
        assert all(ends.count(cell) > 1 for cell in ends)


@given(circuits(loops=3, points=4))
@settings(max_examples=40)
def test_random_circuits_changed_keep_clear_and_in_place(circuit: Circuit) -> None:
    for source in batteries(circuit)[:1]:
        changed = circuit.shorted(source)
        assert label_clashes(draw(changed, like=circuit)) == []
    out = circuit.branches[-1]
    rest = replace(circuit, branches=circuit.branches[:-1])
    placement = placed_like(rest, circuit, where(circuit), (out.name,))
    assert placement is not None
    assert crossings(placement) == []
    assert wrong_ends(rest, placement) == []
    assert all(where(circuit).routes[b.name] == placement.routes[b.name] for b in rest.branches)
    assert label_clashes(draw(rest, like=circuit, gaps=(out.name,))) == []
