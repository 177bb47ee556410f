"""Whether lines come down to nothing by taking those in series and those side by side for one."""

from __future__ import annotations

from collections.abc import Iterable

from .lines import Line


def is_series_parallel(lines: Iterable[Line]) -> bool:
    """Whether no bridge is among the lines: no four points each of which is joined to each other by ways that
    share no point on the way.

    Lines that end where they begin and dead ends count for nothing; two side by side or in series become one.
    Cost: near linear. Source: R. J. Duffin, "Topology of series-parallel networks", J. Math. Anal. Appl. 10,
    303, 1965 (from memory).
    """
    near: dict[str, set[str]] = {}
    for line in lines:
        if line.start != line.end:
            near.setdefault(line.start, set()).add(line.end)
            near.setdefault(line.end, set()).add(line.start)
    waiting = [point for point, others in near.items() if len(others) < 3]
    while waiting:
        point = waiting.pop()
        others = near.pop(point, None)
        if others is None:
            continue
        for other in others:
            near[other].discard(point)
            near[other] |= others - {other}
        waiting += [other for other in others if len(near[other]) < 3]
    return not near
