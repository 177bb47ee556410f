"""The figure measured: nothing meets, nothing crosses, everything is inside the frame and legible."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.circuit.embedding import meshes
from loopwright.expressions.nodes import Symbol
from loopwright.figure.drawing import Bend, Drawing, Label, Stroke
from loopwright.figure.figure import draw, undrawn, where
from loopwright.figure.symbols import ARROW_ASIDE, PLATE, WIRE
from loopwright.graph.loops import simple_loops
from tests.strategies import circuits
from tests.unit.figure.geometry import (
    arrows_of,
    beside_a_wire,
    crossings,
    dots_on_strange_lines,
    heights,
    label_clashes,
    labels_of,
    outside,
    wrong_ends,
)


def net(edges: str, sources: str = "", places: dict[str, tuple[int, int]] | None = None) -> Circuit:
    """A resistor with a number on each edge of `"ab bc"`; a battery too on those numbered in `sources`."""
    branches: list[Branch] = []
    elements: dict[str, Element] = {}
    written: dict[str, str] = {}
    for i, edge in enumerate(edges.split(), 1):
        along: list[Pass | str] = [Pass(f"R{i}")]
        elements[f"R{i}"], written[f"R{i}"] = resistor(f"R{i}"), "47.0 ohm"
        if str(i) in sources.split():
            along.insert(0, Pass(f"E{i}", +1))
            elements[f"E{i}"], written[f"E{i}"] = battery(f"E{i}"), "9.00 V"
        branches.append(Branch(f"I{i}", edge[0], edge[1], tuple(along)))
    numbers = dict.fromkeys(written, Fraction(1))
    positions = {p: (Fraction(x), Fraction(y)) for p, (x, y) in (places or {}).items()}
    return Circuit(tuple(branches), elements, numbers, written, positions)


# Families of circuits used in teaching, up to four meshes: common practice, no source.
SMALL = {
    "one loop": net("aa", "1"),
    "battery, then two side by side": net("ft tf tf", "1"),
    "charger, battery and load": net("ft tf tf", "1 2"),
    "batteries left and in the middle": net("tf ft tf", "1 2"),
    "a battery in each of three": net("ft ft ft", "1 2 3"),
    "three batteries and a load": net("ft ft ft tf", "1 2 3"),
    "three-mesh ladder": net("ga ag ab bg bg", "1 5"),
    "bridge": net("da ab bd ac cd bc", "1"),
    "bridge with a second battery": net("da ab bd ac cd bc", "1 2"),
    "triangle and star": net("ab bc ca am bm cm", "1"),
    "two loops at a point": net("ab ba bc cb", "1 3"),
    "two loops joined by a wire": net("ab ba bc cd dc", "1 4"),
}
LARGER = {
    "four batteries and a load": net("ft ft ft ft tf", "1 2 3 4"),
    "four-mesh ladder": net("ga ag ab bg bc cg cg", "1"),
    "triangle with doubled sides": net("ab ab bc bc ca ca", "1"),
    "two double loops joined by a wire": net("ab ab ab bc cd cd cd", "1 5"),
    "four panes": net("mn me ms mw ne es sw wn", "5"),
    "tetrahedron with a battery": net("ab ac ad bc bd cd ab", "7"),
}
ALL = SMALL | LARGER


@pytest.mark.parametrize("name", ALL)
def test_no_wires_cross_in_the_families_of_teaching(name: str) -> None:
    placement = where(ALL[name])
    assert crossings(placement) == []
    assert placement.hops == ()


@pytest.mark.parametrize("name", ALL)
def test_every_branch_runs_from_its_start_to_its_end(name: str) -> None:
    placement = where(ALL[name])
    assert wrong_ends(ALL[name], placement) == []
    assert dots_on_strange_lines(ALL[name], placement) == []


@pytest.mark.parametrize("resistors", ["iec", "ieee"])
@pytest.mark.parametrize("name", ALL)
def test_labels_meet_nothing_with_all_meshes_marked(name: str, resistors: str) -> None:
    drawing = draw(ALL[name], resistors=resistors, loops=meshes(ALL[name]))
    assert label_clashes(drawing) == []
    assert outside(drawing) == []


@pytest.mark.parametrize("name", SMALL)
def test_letters_are_legible_at_eight_centimetres(name: str) -> None:
    """Common practice, no source: not under 2.6 mm high (about 11 pt type)."""
    for values in (True, False):
        drawing = draw(SMALL[name], values=values, width=80.0)
        names = [label.size for label in labels_of(drawing) if label.italic or label.base == "ℰ"]
        assert min(names) >= 2.6
        assert (
            min(mark.weight for mark in drawing.marks if isinstance(mark, Stroke) and not mark.filled) >= 0.3
        )


@pytest.mark.parametrize("name", SMALL)
def test_every_current_arrow_lies_along_its_wire_at_one_distance(name: str) -> None:
    drawing = draw(SMALL[name])
    arrows = arrows_of(drawing)
    assert len(arrows) == len(SMALL[name].branches)
    assert [beside_a_wire(drawing, shaft) for shaft in arrows] == [
        pytest.approx(ARROW_ASIDE, abs=0.01)
    ] * len(arrows)


@pytest.mark.parametrize("name", ALL)
def test_each_mesh_carries_one_curved_arrow(name: str) -> None:
    loops = meshes(ALL[name])
    drawing = draw(ALL[name], loops=loops)
    assert sum(isinstance(mark, Bend) for mark in drawing.marks) == len(loops)


def test_loops_that_are_not_shown_are_told() -> None:
    """Of loops round several meshes two are shown: the third is told by its name."""
    circuit = ALL["four panes"]
    large = sorted(simple_loops(circuit.branches), key=len)[-3:]
    names = ["(7)", "(8)", "(9)"]
    assert undrawn(draw(circuit, loops=large, loop_names=names), names) == ("(9)",)
    assert undrawn(draw(circuit, loops=large[:2], loop_names=names[:2]), names[:2]) == ()


@given(circuits(loops=3, points=4))
@settings(max_examples=60)
def test_random_circuits_up_to_three_meshes_keep_clear(circuit: Circuit) -> None:
    placement, drawing = where(circuit), draw(circuit, loops=meshes(circuit))
    assert crossings(placement) == []
    assert wrong_ends(circuit, placement) == []
    assert label_clashes(drawing) == []
    assert outside(drawing) == []


def test_flipped_arrows_move_no_wire() -> None:
    circuit = ALL["bridge"]
    placement, turned = where(circuit), where(circuit.flipped("I2", "I5"))
    assert {frozenset(path) for path in placement.routes.values()} == {
        frozenset(path) for path in turned.routes.values()
    }


def test_same_circuit_gives_the_same_drawing() -> None:
    assert draw(ALL["four panes"]) == draw(ALL["four panes"])


def test_two_junctions_make_the_usual_two_meshes() -> None:
    """Left, middle and right branch upright: common practice, no source."""
    placement = where(ALL["charger, battery and load"])
    assert (placement.columns, placement.rows) == (3, 2)
    assert placement.routes["I3"][0][0] == placement.routes["I3"][-1][0] == 1


def test_complete_graph_on_five_points_hops_once() -> None:
    """Its crossing number is 1 (R. K. Guy, Bull. Malayan Math. Soc. 7, 1960; from memory)."""
    points = "abcde"
    circuit = net(" ".join(a + b for i, a in enumerate(points) for b in points[i + 1 :]), "1")
    assert len(where(circuit).hops) == 1
    assert label_clashes(draw(circuit)) == []


def test_three_houses_and_three_wells_hop_once() -> None:
    """The complete bipartite graph on three and three points has crossing number 1 (from memory)."""
    circuit = net(" ".join(a + b for a in "abc" for b in "xyz"), "1")
    assert len(where(circuit).hops) == 1


# -- on places -----------------------------------------------------------------------------------

DIAMOND = net("ab bd ac cd bc da", "6", {"a": (0, 1), "b": (1, 2), "c": (1, 0), "d": (2, 1)})


def test_points_keep_the_order_of_their_places() -> None:
    placement = where(DIAMOND)
    (a,), (b,), (c,), (d,) = (placement.dots[p] for p in "abcd")
    assert a[0] < b[0] == c[0] < d[0]
    assert b[1] < a[1] == d[1] < c[1]


def test_branch_on_one_column_goes_straight_and_the_others_bend_once() -> None:
    routes = where(DIAMOND).routes
    assert len(routes["I5"]) == 2
    assert [len(routes[f"I{k}"]) for k in (1, 2, 3, 4)] == [3, 3, 3, 3]


def test_battery_across_a_placed_bridge_runs_round_it_without_crossing() -> None:
    placement = where(DIAMOND)
    assert crossings(placement) == []
    assert label_clashes(draw(DIAMOND, loops=meshes(DIAMOND))) == []


def test_branches_side_by_side_stand_in_written_order_from_the_left() -> None:
    circuit = net("tf ft tf ft", "2", {"t": (0, 2), "f": (0, 0)})
    columns = [where(circuit).routes[f"I{k}"][0][0] for k in (1, 2, 3, 4)]
    assert columns == sorted(set(columns))


@pytest.mark.parametrize("way", [{"a": (1, 0)}, {"a": (0, 1)}, {"a": (1, 0), "c": (2, 0)}, {"a": (1, 1)}])
def test_closed_chain_does_not_come_back_along_itself(way: dict[str, tuple[int, int]]) -> None:
    along: list[Pass | str] = [Pass("E", 1)]
    for k, point in enumerate(way):
        along += [point, Pass(f"R{k}")]
    elements = {"E": battery("E"), "R0": resistor("R0"), "R1": resistor("R1")}
    places = {p: (Fraction(x), Fraction(y)) for p, (x, y) in {"b": (0, 0), **way}.items()}
    circuit = Circuit((Branch("I", "b", "b", tuple(along)),), elements, places=places)
    assert crossings(where(circuit)) == []
    assert label_clashes(draw(circuit)) == []


def test_wires_that_must_cross_on_places_hop() -> None:
    square = {"a": (0, 1), "b": (1, 1), "c": (1, 0), "d": (0, 0)}
    points = net("ab bc cd da ac bd aa", places=square)
    circuit = replace(points, branches=points.branches[:6])
    assert wrong_ends(circuit, where(circuit)) == []


# -- what is drawn -------------------------------------------------------------------------------


def lone(kind: Kind, *, closed: bool = True) -> Drawing:
    elements = {"X1": Element("X1", kind, closed=closed), "R1": resistor("R1")}
    return draw(Circuit((Branch("I", "a", "a", (Pass("X1"), Pass("R1"))),), elements))


def texts(drawing: Drawing) -> list[str]:
    return ["".join(run.text for run in mark.runs) for mark in drawing.marks if isinstance(mark, Label)]


@pytest.mark.parametrize(("kind", "letter"), [(Kind.AMMETER, "A"), (Kind.VOLTMETER, "V")])
def test_meters_show_their_letter(kind: Kind, letter: str) -> None:
    assert letter in texts(lone(kind))


def test_open_and_closed_switch_differ() -> None:
    assert lone(Kind.SWITCH, closed=True) != lone(Kind.SWITCH, closed=False)


def test_long_plate_of_a_battery_faces_the_plus_terminal() -> None:
    """IEC 60617, from memory: the longer line is the positive pole."""
    circuit = net("ft tf tf", "1")
    drawing = draw(circuit)
    plates = [m for m in drawing.marks if isinstance(m, Stroke) and len(m.points) == 2 and m.weight > 0.46]
    (long,), (short,) = (
        [m for m in plates if abs(abs(m.points[0][0] - m.points[1][0]) - length) < 0.1]
        for length in (6.4, 3.2)
    )
    assert long.points[0][1] < short.points[0][1]  # the + terminal faces t, which is drawn above


@pytest.mark.parametrize("sign", [1, -1])
def test_emf_and_internal_resistance_are_each_named_beside_their_own_part(sign: int) -> None:
    cell = {"E": battery("E", None, Symbol("r")), "R": resistor("R")}
    branches = (Branch("I1", "f", "t", (Pass("E", sign),)), Branch("I2", "t", "f", (Pass("R"),)))
    drawing = draw(Circuit(branches, cell))
    plates, boxes = heights(drawing, PLATE), heights(drawing, WIRE, closed=True)
    names = {mark.base: mark.at[1] for mark in labels_of(drawing)}
    (inner,) = (y for y in boxes if abs(y - names["R"]) > 1)
    assert abs(names["ℰ"] - plates[0]) < 2 < abs(names["ℰ"] - inner)
    assert abs(names["r"] - inner) < 2 < abs(names["r"] - plates[0])


def test_values_stand_beside_the_names_unless_left_out() -> None:
    circuit = ALL["bridge"]
    assert "47.0 Ω" in texts(draw(circuit))
    assert "47.0 Ω" not in texts(draw(circuit, values=False))


@pytest.mark.parametrize("name", SMALL)
def test_every_point_carries_its_name(name: str) -> None:
    assert set(ALL[name].points) <= set(texts(draw(ALL[name])))


def test_loops_carry_the_names_given() -> None:
    circuit = ALL["bridge"]
    assert {"(1)", "(2)", "(3)"} <= set(
        texts(draw(circuit, loops=meshes(circuit), loop_names=["(1)", "(2)", "(3)"]))
    )


def test_outermost_loop_is_a_dashed_line() -> None:
    circuit = ALL["charger, battery and load"]
    drawing = draw(circuit, loops=[(("I1", +1), ("I2", +1))])
    assert any(isinstance(mark, Stroke) and mark.dash for mark in drawing.marks)


def test_width_scales_letters_and_lines_alike() -> None:
    narrow, wide = (draw(ALL["bridge"], width=w) for w in (80.0, 160.0))
    assert wide.width == 160.0
    assert wide.height == pytest.approx(2 * narrow.height, abs=0.01)


def test_unknown_style_of_resistor_is_refused() -> None:
    with pytest.raises(ValueError, match="iec or ieee"):
        draw(ALL["one loop"], resistors="wavy")
