"""What an act on the paper means in the words of the file: where on a wire an element is let go, and which
places the points have once one of them is told. Stands on how a text lies on paper; knows no page.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import hypot

from ..figure.drawing import XY
from ..figure.standing import OnPaper
from .looking import Act
from .paper import centre, stood


def on_paper(edit: Act, text: str, like: str) -> Act:
    """The edit with what only the paper tells put in. `like`: the text whose picture the paper keeps."""
    given = edit.get("where") or edit.get("onto") if edit.get("do") == "carry" else edit.get("fresh")
    stands = stood(text, like) if given or edit.get("do") == "place" else None
    match edit:
        case {"do": "carry", "of": str(name), "to": str(branch), **rest} if stands and given:
            return {"do": "carry", "of": name, "to": branch} | _before(stands, name, branch, rest)
        case {"do": "branch", "fresh": Mapping() as fresh}:
            told = {} if stands is None or stands.circuit.places else _all(stands)
            return {**edit, "places": {**told, **fresh}}
        case {"do": "place"} if stands:
            return {**edit, "all": _all(stands)}
    return edit


def _all(stands: OnPaper) -> dict[str, Sequence[float]]:
    return {point: [*at] for point, at in stands.places.items()}


def _before(stands: OnPaper, name: str, branch: str, told: Mapping[str, object]) -> dict[str, str]:
    """Before which element of a branch another is put: in the place of that `onto` which it is let go, or
    `where` on the wire (in mm)."""
    if branch not in stands.circuit.currents:
        return {}
    elements = [p.element for p in stands.circuit.branch(branch).passes]
    others = [element for element in elements if element != name]
    if told.get("onto") in elements:
        then = others[elements.index(str(told["onto"])) :]
    else:
        match told.get("where"):
            case [int() | float() as x, int() | float() as y]:
                route = stands.routes[branch]
                here, boxes = _far(route, (x, y)), stands.boxes
                then = [e for e in others if _far(route, centre(boxes["element", e])) > here]
            case _:
                then = []
    return {"before": then[0]} if then else {}


def _far(route: Sequence[XY], at: XY) -> float:
    """How far along a route the place of it lies that is nearest to `at`, in mm."""
    before, best = 0.0, (float("inf"), 0.0)
    for (x, y), (u, v) in pairwise(route):
        long = hypot(u - x, v - y)
        part = ((at[0] - x) * (u - x) + (at[1] - y) * (v - y)) / long**2 if long else 0.0
        part = min(1.0, max(0.0, part))
        off = hypot(x + part * (u - x) - at[0], y + part * (v - y) - at[1])
        best = min(best, (off, before + part * long))
        before += long
    return best[1]
