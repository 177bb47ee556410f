"""Which parts of the page are taken: boxes round everything drawn, and whether two meet."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import cos, radians, sin
from typing import NamedTuple

from .drawing import XY, Bend, Drawn, Label, Round, Stroke
from .lettering import label_size


class Box(NamedTuple):
    """A rectangle in mm: left, top, right, foot. A tuple, because thousands are made and compared."""

    left: float
    top: float
    right: float
    foot: float

    def meets(self, other: Box, apart: float = 0.0) -> bool:
        """Whether two boxes come nearer than `apart`."""
        return (
            self.left < other.right + apart
            and other.left < self.right + apart
            and self.top < other.foot + apart
            and other.top < self.foot + apart
        )


Edges = tuple[float, float, float, float]  # of a box, when nothing is asked of it by name


def touching(box: Edges, others: Iterable[Edges], apart: float = 0.0) -> list[Edges]:
    """The boxes that come nearer to one than `apart`: `Box.meets` written out, for it is asked so often."""
    left, top, right, foot = box[0] - apart, box[1] - apart, box[2] + apart, box[3] + apart
    return [b for b in others if left < b[2] and b[0] < right and top < b[3] and b[1] < foot]


def around(points: Iterable[XY], margin: float = 0.0) -> Box:
    """The smallest box round some positions."""
    positions = list(points)
    xs, ys = [x for x, _ in positions], [y for _, y in positions]
    return Box(min(xs) - margin, min(ys) - margin, max(xs) + margin, max(ys) + margin)


def label_box(label: Label) -> Box:
    """The box of a label: from the top of its capitals to its foot, subscripts and descenders counted."""
    width, hangs = label_size(label)
    x, y = label.at
    left = x - width / 2 if label.anchor == "middle" else x if label.anchor == "start" else x - width
    return Box(left, y - 0.55 * label.size, left + width, y + (0.5 + hangs) * label.size)


def boxes_of(mark: Drawn) -> tuple[Box, ...]:
    """The boxes that a mark takes: one for each straight piece of a stroke."""
    match mark:
        case Stroke(points, weight, closed):
            if closed or len(points) == 1:
                return (around(points, weight / 2),)
            half = weight / 2
            return tuple(
                Box(
                    (x if x < u else u) - half,
                    (y if y < v else v) - half,
                    (u if x < u else x) + half,
                    (v if y < v else y) + half,
                )
                for (x, y), (u, v) in pairwise(points)
            )
        case Round((x, y), radius, weight):
            reach = radius + weight / 2
            return (Box(x - reach, y - reach, x + reach, y + reach),)
        case Bend():
            return (around(bend_points(mark), mark.weight / 2),)
        case Label():
            return (label_box(mark),)


def bend_points(bend: Bend, pieces: int = 24) -> tuple[XY, ...]:
    """Positions along an arc, from its start to its stop."""
    (x, y), r = bend.centre, bend.radius
    angles = [bend.start + (bend.stop - bend.start) * k / pieces for k in range(pieces + 1)]
    return tuple((x + r * cos(radians(a)), y + r * sin(radians(a))) for a in angles)
