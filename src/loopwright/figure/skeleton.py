"""The skeleton of a figure: nodes of at most four edges in a fixed order round each.

A point of four branches or more becomes a bar: a row of nodes joined by plain wires, so that its
branches come down side by side as on a drawn board. Combinatorial: no coordinates.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ..circuit.circuit import Circuit
from ..graph.lines import AnyDart, Dart
from ..graph.rotations import Embedding, faces

EdgeDart = AnyDart[int]  # an edge by its number, left from its first node (+1) or from its second (-1)


@dataclass(slots=True)
class Skeleton:
    """The figure as nodes and edges. `nodes`: the point that each node belongs to. `edges`: two nodes and
    the branch between them (empty: a wire of a bar). `rotation`: for each node the darts that leave it,
    clockwise as seen."""

    nodes: list[str] = field(default_factory=list)
    edges: list[tuple[int, int, str]] = field(default_factory=list)
    rotation: list[list[EdgeDart]] = field(default_factory=list)

    def leaves(self, dart: EdgeDart) -> int:
        """The node that a dart leaves."""
        first, second, _ = self.edges[dart[0]]
        return first if dart[1] > 0 else second


def skeleton_of(
    circuit: Circuit, found: Embedding, points: Sequence[str], whole_crosses: bool = True
) -> tuple[Skeleton, set[EdgeDart]]:
    """The skeleton of one connected part, and the darts that have the outside at their right hand.

    `whole_crosses`: inner points of four branches stay one node with a branch to each side. A bar
    begins and ends at the outside, which lies clockwise of a dart that the outermost face leaves by.
    """
    skeleton = Skeleton()
    number = {b.name: i for i, b in enumerate(b for b in circuit.branches if b.start in points)}
    ends: list[list[int]] = [[-1, -1] for _ in number]
    names = list(number)
    outer = outer_darts(circuit, found, points)
    wires: list[tuple[int, int]] = []
    orders: list[list[Dart | int]] = []  # a dart of the circuit, or a wire (number, sign in two)
    for point in points:
        darts = list(found.rotation[point])
        at = next((i for i, dart in enumerate(darts) if dart in outer), -1)
        on_rim = at >= 0
        darts = darts[at + 1 :] + darts[: at + 1]  # begun just clockwise of the outside
        split = len(darts) > 4 or (len(darts) == 4 and (on_rim or not whole_crosses))
        groups = [darts[:2], *([d] for d in darts[2:-2]), darts[-2:]] if split else [darts]
        for k, group in enumerate(groups):
            node = len(skeleton.nodes)
            skeleton.nodes.append(point)
            order: list[Dart | int] = []
            if split and k > 0:
                order.append(-len(wires))  # the wire to the node before, made in the last round
            order.extend(group)
            if split and k < len(groups) - 1:
                wires.append((node, node + 1))
                order.append(len(wires))
            orders.append(order)
            for name, sense in group:
                ends[number[name]][0 if sense > 0 else 1] = node
    skeleton.edges = [(ends[i][0], ends[i][1], names[i]) for i in range(len(names))]
    skeleton.edges += [(a, b, "") for a, b in wires]
    for order in orders:
        row: list[EdgeDart] = []
        for item in order:
            if isinstance(item, tuple):
                row.append((number[item[0]], item[1]))
            else:
                row.append((len(names) + abs(item) - 1, +1 if item > 0 else -1))
        skeleton.rotation.append(row)
    return skeleton, {(number[name], sense) for name, sense in outer}


def outer_darts(circuit: Circuit, found: Embedding, points: Sequence[str]) -> set[Dart]:
    """The darts of the outermost face of a part, the outside at their right hand."""
    rims = {(name, -sense) for rim in found.rims for name, sense in rim}
    walks = [set(walk) for walk in faces(found.rotation[p] for p in points)]
    return max(walks, key=lambda walk: (len(walk & rims), len(walk)))
