"""Cheapest flow through a small network, by successive shortest paths.

Source: R. G. Busacker and P. J. Gowen, 1961, as told in R. K. Ahuja, T. L. Magnanti and J. B. Orlin,
"Network Flows", 1993, section 9.7 (from memory). Whole-number costs and capacities; knows no circuit.
"""

from __future__ import annotations

from collections import deque


class FlowNetwork:
    """A network in which whole units flow from nodes that give some to nodes that take some, at a cost.

    Nodes are numbers from 0; an arc has a capacity and a cost for each unit. Say what there is (`arc`,
    `supply`), then `solve`, then ask for the `flow`.
    """

    def __init__(self, nodes: int) -> None:
        self._leaving: list[list[int]] = [[] for _ in range(nodes + 2)]
        self._to: list[int] = []
        self._left: list[int] = []
        self._cost: list[int] = []
        self._source, self._sink = nodes, nodes + 1
        self._wanted = 0

    def arc(self, start: int, end: int, capacity: int, cost: int) -> int:
        """Adds an arc for at most `capacity` units at `cost` each, and gives its number."""
        number = len(self._to)
        for a, b, room, price in ((start, end, capacity, cost), (end, start, 0, -cost)):
            self._leaving[a].append(len(self._to))
            self._to.append(b)
            self._left.append(room)
            self._cost.append(price)
        return number

    def supply(self, node: int, amount: int) -> None:
        """Says how much a node gives (negative: takes)."""
        if amount > 0:
            self.arc(self._source, node, amount, 0)
            self._wanted += amount
        elif amount < 0:
            self.arc(node, self._sink, -amount, 0)

    def solve(self) -> bool:
        """Sends all supplies as cheaply as can be; whether all could be sent."""
        sent = 0
        while (path := self._cheapest_path()) is not None:
            room = min(self._left[arc] for arc in path)
            for arc in path:
                self._left[arc] -= room
                self._left[arc ^ 1] += room
            sent += room
        return sent == self._wanted

    def flow(self, arc: int) -> int:
        """How much goes through an arc after `solve`."""
        return self._left[arc ^ 1]

    def _cheapest_path(self) -> list[int] | None:
        """The arcs of the cheapest path on which another unit can go from a node that has some left to one
        that lacks some; None where there is none."""
        far = 1 << 60
        dear = [far] * len(self._leaving)
        came_by = [-1] * len(self._leaving)
        dear[self._source] = 0
        queue, waiting = deque([self._source]), {self._source}
        while queue:
            node = queue.popleft()
            waiting.discard(node)
            for arc in self._leaving[node]:
                price = dear[node] + self._cost[arc]
                to = self._to[arc]
                if self._left[arc] and price < dear[to]:
                    dear[to], came_by[to] = price, arc
                    if to not in waiting:
                        waiting.add(to)
                        queue.append(to)
        if dear[self._sink] == far:
            return None
        path: list[int] = []
        node = self._sink
        while node != self._source:
            path.append(came_by[node])
            node = self._to[came_by[node] ^ 1]
        return path
