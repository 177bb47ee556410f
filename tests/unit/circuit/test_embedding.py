"""The meshes of circuits: against facts of plane graphs and NetworkX's test of planarity."""

from collections import Counter
from fractions import Fraction

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Element, Pass
from loopwright.circuit.embedding import embedding, meshes
from loopwright.circuit.placed import track
from loopwright.graph.blocks import blocks
from loopwright.graph.lines import from_point
from loopwright.graph.rotations import Embedding, faces
from loopwright.problem.problem_file import read_text


def net(*edges: str, sources: str = "", places: dict[str, tuple[int, int]] | None = None) -> Circuit:
    """A resistor on each edge `"a b"`, and a battery too on those numbered in `sources`."""
    branches: list[Branch] = []
    elements: dict[str, Element] = {}
    for i, edge in enumerate(edges, 1):
        start, end = edge.split()
        along: list[Pass | str] = [Pass(f"R{i}")]
        elements[f"R{i}"] = resistor(f"R{i}")
        if str(i) in sources.split():
            along.insert(0, Pass(f"E{i}", +1))
            elements[f"E{i}"] = battery(f"E{i}")
        branches.append(Branch(f"I{i}", start, end, tuple(along)))
    positions = {p: (Fraction(x), Fraction(y)) for p, (x, y) in (places or {}).items()}
    return Circuit(tuple(branches), elements, places=positions)


BUS = net("b r", "r b", "b r", sources="2 3")
LADDER = net("g b", "b g", "b c", "c g", "c g", sources="1")
BRIDGE = net("d a", "a b", "b d", "a c", "c d", "b c", sources="1")
CUBE_EDGES = ("a b", "b c", "c d", "d a", "e f", "f g", "g h", "h e", "a e", "b f", "c g", "d h")
K5 = net(*(f"{a} {b}" for i, a in enumerate("abcde") for b in "abcde"[i + 1 :]))


def laid(circuit: Circuit) -> Embedding:
    found = embedding(circuit)
    assert found is not None
    return found


def branch_sets(circuit: Circuit) -> list[set[str]]:
    return [{name for name, _ in loop} for loop in meshes(circuit)]


def test_load_without_source_stands_between_two_sources() -> None:
    """Common practice, no source: sources left and right, the load in the middle."""
    assert sorted(map(sorted, branch_sets(BUS))) == [["I1", "I2"], ["I1", "I3"]]


@pytest.mark.parametrize("sense", [1, -1])
def test_a_branch_that_comes_back_to_its_point_is_gone_along_its_emf(sense: int) -> None:
    branch = Branch("I1", "a", "a", (Pass("E1", sense), Pass("R1")))
    circuit = Circuit((branch,), {"E1": battery("E1"), "R1": resistor("R1")})
    assert tuple(meshes(circuit)) == ((("I1", sense),),)


def test_ladder_has_its_three_usual_meshes() -> None:
    assert {frozenset(s) for s in branch_sets(LADDER)} == {
        frozenset({"I1", "I2"}),
        frozenset({"I2", "I3", "I4"}),
        frozenset({"I4", "I5"}),
    }


def test_bridge_has_the_battery_on_the_rim_and_the_meter_within() -> None:
    rim = {name for name, _ in laid(BRIDGE).rims[0]}
    assert "I1" in rim
    assert "I6" not in rim


def test_cube_has_five_meshes_of_four_branches() -> None:
    assert [len(w) for w in meshes(net(*CUBE_EDGES))] == [4] * 5


def test_cube_with_a_battery_across_its_body_is_not_flat() -> None:
    assert meshes(net(*CUBE_EDGES, "a g")) == ()


def test_complete_graph_on_five_points_is_not_flat() -> None:
    assert meshes(K5) == ()


def test_every_mesh_is_travelled_clockwise_with_the_first_source_rising_at_the_left() -> None:
    """The rim passes the first source from - to +, and meshes on the rim agree with it."""
    found = laid(BUS)
    assert ("I2", +1) in found.rims[0]
    assert any(("I2", +1) in w for w in found.meshes)


def test_flipped_arrows_leave_the_meshes_in_place() -> None:
    turned = BUS.flipped("I1", "I2")
    assert branch_sets(turned) == branch_sets(BUS)


def test_two_loops_joined_by_a_wire_keep_a_mesh_each() -> None:
    circuit = net("a b", "b a", "b c", "c d", "d c", sources="1 4")
    assert sorted(map(sorted, branch_sets(circuit))) == [["I1", "I2"], ["I4", "I5"]]
    assert [len(group) for group in blocks(circuit.branches)] == [2, 1, 2]


def test_one_closed_chain_is_one_mesh() -> None:
    assert meshes(net("a a", sources="1")) == ((("I1", +1),),)


def test_places_decide_the_meshes() -> None:
    """A triangle with its middle point joined to the corners: the places put the middle point inside."""
    positions = {"a": (0, 0), "b": (4, 0), "c": (2, 4), "m": (2, 1)}
    circuit = net("a b", "b c", "c a", "m a", "m b", "m c", places=positions)
    assert all(len({"I4", "I5", "I6"} & s) == 2 for s in branch_sets(circuit))


def test_branches_side_by_side_keep_their_written_order_between_places() -> None:
    circuit = net("t f", "f t", "t f", places={"t": (0, 2), "f": (0, 0)})
    assert sorted(map(sorted, branch_sets(circuit))) == [["I1", "I2"], ["I2", "I3"]]


def test_battery_across_a_placed_bridge_is_led_round_it() -> None:
    """Placed as a diamond, the battery's line would cross the meter's: it goes outside."""
    positions = {"a": (0, 1), "b": (1, 2), "c": (1, 0), "d": (2, 1)}
    circuit = net("a b", "b d", "a c", "c d", "b c", "d a", sources="6", places=positions)
    found = laid(circuit)
    assert {"I1", "I3", "I5"} in branch_sets(circuit)
    assert "I6" in {name for name, _ in found.rims[0]}


edges = st.tuples(st.sampled_from("abcdef"), st.sampled_from("abcdef")).filter(lambda e: e[0] != e[1])


@given(st.lists(edges, min_size=2, max_size=10))
def test_meshes_exist_just_where_the_graph_is_planar(pairs: list[tuple[str, str]]) -> None:
    """Outside reference: NetworkX's left-right planarity test."""
    circuit = net(*(f"{a} {b}" for a, b in pairs))
    planar, _ = nx.check_planarity(nx.Graph(pairs))
    assert (embedding(circuit) is not None) == planar


@given(st.lists(edges, min_size=2, max_size=9))
def test_order_round_the_points_has_eulers_number_of_faces(pairs: list[tuple[str, str]]) -> None:
    """V - E + F = 1 + parts; and each mesh is a face or, where blocks nest, a simple loop."""
    circuit = net(*(f"{a} {b}" for a, b in pairs))
    found = embedding(circuit)
    if found is None:
        return
    assert Counter(d for darts in found.rotation.values() for d in darts) == Counter(
        (f"I{i}", s) for i in range(1, len(pairs) + 1) for s in (1, -1)
    )
    parts = nx.number_connected_components(nx.Graph(pairs))
    walks = faces(found.rotation.values())
    assert len(circuit.points) - len(pairs) + len(walks) == 2 * parts
    assert len(found.meshes) == len(pairs) - len(circuit.points) + parts
    for loop in found.meshes:
        points = [from_point(circuit.branch(name), sense) for name, sense in loop]
        assert len(set(points)) == len(points)


@pytest.mark.parametrize(
    "circuit", [BUS, LADDER, BRIDGE, net(*CUBE_EDGES)], ids=["bus", "ladder", "bridge", "cube"]
)
def test_meshes_and_rim_pass_each_branch_twice(circuit: Circuit) -> None:
    found = laid(circuit)
    held = Counter(name for loop in (*found.meshes, *found.rims) for name, _ in loop)
    assert set(held.values()) == {2}
    assert len(held) == len(circuit.branches)


def test_branches_side_by_side_have_tracks_and_one_by_a_place_on_its_way_has_none() -> None:
    circuit, findings = read_text("""
[branches]
I1 = "a, +E, R1, b"
I2 = "b, R2, a"
I3 = "a, R3, (m), R4, b"
I4 = "b, R5, b"
[places]
a = [0, 0]
b = [0, 2]
m = [2, 1]
""")
    assert circuit is not None, findings
    assert [track(circuit, b) for b in circuit.branches] == [(0, 2), (1, 2), (0, 1), (0, 1)]
