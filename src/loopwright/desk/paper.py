"""The sheet of paper of a text: the figure with what can be touched laid over it, and where its ruling lies.

Everything is one piece of SVG in mm: the ruling, washes that light a thing, the broad arrows of the currents,
the figure, and over it a shape for each point, branch, arrow and element with its name in words. Beside it,
for the hand, where points and branches are. Knows no page.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from html import escape
from itertools import pairwise
from math import atan2, ceil, degrees, floor, hypot

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind, Pass
from ..circuit.names import listed
from ..expressions.values import symbols_of
from ..figure.describe import describe
from ..figure.drawing import XY
from ..figure.room import Box
from ..figure.standing import OnPaper, standing
from ..figure.svg import svg
from ..problem.problem_text import branch_words
from .equations import ForPage
from .looking import words_of_branches
from .read_once import in_part

USUAL = 22.0  # mm from one line of the ruling to the next where no figure needs more or less
_BEYOND = 16  # lines of the ruling on each side of a figure
_WIDE = 30.0  # mm between two lines from which on a line half-way is offered
_FAR = 900  # mm: as long as a line of the ruling is drawn

Ruling = list[tuple[float, float]]  # places along an axis, each with where it is in mm


def stood(text: str, like: str) -> OnPaper | None:
    """How a text stands on paper; `like`: the text whose picture is kept as far as it fits. None where
    nothing of it can be drawn."""
    before = _stood(like) if like and like != text else None
    return _stood(text) if before is None else _drawn(text, before)


@lru_cache(maxsize=64)
def _stood(text: str) -> OnPaper | None:
    return _drawn(text, None)


def _drawn(text: str, like: OnPaper | None) -> OnPaper | None:
    circuit, _ = in_part(text)
    circuit = None if circuit is None else _told_in_full(circuit)
    if circuit is None or not circuit.branches:
        return None
    try:
        return standing(circuit, like)
    except (ValueError, LookupError):  # a part hangs loose, and nothing says where
        return None


def _told_in_full(circuit: Circuit) -> Circuit:
    """The circuit with what its text says in full: branches with both ends, each element once and each source
    with its sign."""
    met: set[str] = set()
    names: set[str] = set()
    branches = []
    for branch in circuit.branches:
        if not (branch.name and branch.start and branch.end) or branch.name in names:
            continue
        names.add(branch.name)
        along: list[Pass | str] = []
        for item in branch.along:
            if isinstance(item, Pass):
                if item.element in met or (not item.sign and circuit.elements[item.element].has_sign):
                    continue
                met.add(item.element)
            along.append(item)
        if along or branch.start != branch.end:
            branches.append(replace(branch, along=tuple(along)))
    ends = {point for branch in branches for point in (branch.start, branch.end)}
    places = circuit.places if all(point in circuit.places for point in ends) else {}
    if tuple(branches) == circuit.branches and places == circuit.places:
        return circuit  # which remembers what was worked of it
    return replace(circuit, branches=tuple(branches), places=places)


def blank() -> ForPage:
    """A sheet with nothing on it."""
    across, up = _ruled([], USUAL), _ruled([], -USUAL)
    return _sheet((0.0, 0.0), across, up, _ruling(across, up))


def paper(stands: OnPaper, text: str, shares: Mapping[str, float], told: Mapping[str, str]) -> ForPage:
    """The sheet with the figure of a text. `shares`: each current as a share of the greatest, for the broad
    arrows; `told`: what is said besides of a branch or an element, by its name."""
    circuit, drawing, places = stands.circuit, stands.drawing, stands.places
    written = words_of_branches(text)
    across = _ruled([(places[p][0], at[0]) for p, at in stands.points.items()], USUAL)
    up = _ruled([(places[p][1], at[1]) for p, at in stands.points.items()], -USUAL)
    figure = svg(drawing, circuit.title or "Circuit", describe(circuit), named=True)
    size = f'<svg class="figure" width="{_n(drawing.width)}" height="{_n(drawing.height)}"'
    figure = size + figure[figure.index(" viewBox") :]
    parts = (
        _ruling(across, up),
        _washes(stands),
        _flows(stands, shares),
        figure,
        f'<g class="things">{"".join(_things(stands, told))}</g>',
    )
    return _sheet((drawing.width, drawing.height), across, up, "".join(parts)) | {
        "placed": bool(circuit.places),
        "points": {p: {"at": _mm(at), "place": list(places[p])} for p, at in stands.points.items()},
        "branches": {
            b.name: {
                "from": b.start,
                "to": b.end,
                "words": written.get(b.name, branch_words(b)),
                "middle": _mm(_middle(_leg(stands, b.name))),
                "elements": [p.element for p in b.passes],
            }
            for b in circuit.branches
        },
    }


def _sheet(size: tuple[float, float], across: Ruling, up: Ruling, drawn: str) -> ForPage:
    return {
        "size": list(size),
        "across": across,
        "up": up,
        "svg": drawn,
        "placed": False,
        "points": {},
        "branches": {},
    }


# -- the ruling ----------------------------------------------------------------------------------


def _ruled(knots: Iterable[tuple[float, float]], usual: float) -> Ruling:
    """The lines of the ruling along one axis, in order of their places. It gives way where a figure needs
    room: it is straight between neighbouring points, and beyond the last as wide as usual."""
    held: dict[float, list[float]] = {}
    for place, at in knots:
        held.setdefault(place, []).append(at)
    fixed = sorted((place, sum(all_) / len(all_)) for place, all_ in held.items()) or [(0.0, 0.0)]
    (first, first_at), (last, last_at) = fixed[0], fixed[-1]
    low, high = floor(first) - _BEYOND, ceil(last) + _BEYOND
    fixed = [(low, first_at + (low - first) * usual), *fixed, (high, last_at + (high - last) * usual)]
    found: dict[float, float] = {}
    for (a, a_at), (b, b_at) in pairwise(fixed):
        slope = (b_at - a_at) / (b - a)
        step = 2 if abs(slope) > _WIDE else 1
        inner = range(ceil(a * step), floor(b * step) + 1)
        found |= {a: a_at} | {k / step: a_at + (k / step - a) * slope for k in inner} | {b: b_at}
    return [(place, round(at, 2)) for place, at in sorted(found.items())]


def _ruling(across: Ruling, up: Ruling) -> str:
    upright = "".join(f"M{_n(x)} -{_FAR}v{2 * _FAR}" for place, x in across if place == int(place))
    level = "".join(f"M-{_FAR} {_n(y)}h{2 * _FAR}" for place, y in up if place == int(place))
    return f'<path class="ruling" d="{upright}{level}"/>'


# -- what lies over and under the figure ----------------------------------------------------------


def _washes(stands: OnPaper) -> str:
    """What is seen under a thing once it is lit."""
    boxes = stands.boxes
    things = [
        _rect(boxes["element", p.element], -0.6, f'class="wash" data-of="{escape(p.element)}"')
        for b in stands.circuit.branches
        for p in b.passes
        if ("element", p.element) in boxes
    ]
    ways = [
        f'<path class="wash way" data-of="{escape(b.name)}" d="{_path(stands.routes[b.name])}"/>'
        for b in stands.circuit.branches
    ]
    return "".join((*ways, *things))


def _flows(stands: OnPaper, shares: Mapping[str, float]) -> str:
    """Every current as a broad arrow under its wire: how broad tells how much, and it points as the current
    runs."""
    found = []
    for b in stands.circuit.branches:
        (x, y), (u, v) = leg = _leg(stands, b.name)
        long = hypot(u - x, v - y)
        if b.name not in shares or not long:
            continue
        half = min(long / 2 - 0.5, 10.0)
        neck = half - min(half, 4.0)
        arrow = f"M{_n(-half)} -1H{_n(neck)}V-1.7L{_n(half)} 0L{_n(neck)} 1.7V1H{_n(-half)}Z"
        mx, my = _middle(leg)
        turn = degrees(atan2(v - y, u - x))
        found.append(
            f'<g transform="translate({_n(mx)} {_n(my)}) rotate({_n(turn)})"><path class="flow" '
            f'data-current="{escape(b.name)}" data-share="{_n(shares[b.name])}" d="{arrow}"/></g>'
        )
    return "".join(found)


def _things(stands: OnPaper, told: Mapping[str, str]) -> Iterable[str]:
    """A shape for everything that can be touched: branches lowest, points on top."""
    circuit, boxes = stands.circuit, stands.boxes
    for b in circuit.branches:
        said = said_of_branch(circuit, b.name) + (f". {told[b.name]}" if b.name in told else "")
        lights = " ".join((b.name, *(p.element for p in b.passes)))
        yield _thing(
            "branch",
            b.name,
            said,
            _middle(_leg(stands, b.name)),
            f'path d="{_path(stands.routes[b.name])}"',
            lights,
        )
    for b in circuit.branches:
        arrow = boxes.get(("arrow", b.name))
        if arrow is not None:
            yield _thing("arrow", b.name, "", centre(arrow), _rectangle(arrow, 0.9))
        for p in b.passes:
            room = boxes.get(("element", p.element))
            if room is not None:
                said = f"{p.element} in branch {b.name}" + (
                    f", {told[p.element]}" if told.get(p.element) else ""
                )
                element = circuit.elements[p.element]
                own = " switch" if element.kind is Kind.SWITCH else " signed" if element.has_sign else ""
                valued = " valued" if symbols_of(element.value) else ""
                yield _thing(
                    f"element{own}{valued}", p.element, said, centre(room), _rectangle(room, 0.8), p.element
                )
    for point, (x, y) in stands.points.items():
        meet = listed([b.name for b in circuit.branches if point in (b.start, b.end)])
        yield _thing(
            "point",
            point,
            f"Point {point}, where {meet} meet",
            (x, y),
            f'circle cx="{_n(x)}" cy="{_n(y)}" r="2.8"',
        )


def _thing(kinds: str, name: str, said: str, at: XY, shape: str, lights: str = "") -> str:
    """A thing that can be touched, reached by keys unless it is an arrow, and heard by its name."""
    kind, name = kinds.split()[0], escape(name)
    heard = f'role="button" tabindex="-1" aria-label="{escape(said)}"' if said else 'aria-hidden="true"'
    return (
        f'<g class="thing of-{kinds}" id="{kind}:{name}" {heard} data-kind="{kind}" data-name="{name}" '
        f'data-at="{_n(at[0])} {_n(at[1])}" data-lights="{escape(lights)}">'
        f'<{shape} class="reach"/><{shape} class="ring"/></g>'
    )


def said_of_branch(circuit: Circuit, name: str) -> str:
    """A branch in words, for those who hear it."""
    b = circuit.branch(name)
    told = []
    for item in b.along:
        if isinstance(item, str):
            told.append(f"point {item}")
            continue
        kind = circuit.elements[item.element].kind
        battery = kind is Kind.BATTERY
        way = {1: " as a rise", -1: " as a drop"} if battery else {1: " along it", -1: " against it"}
        told.append(f"{kind} {item.element}{way.get(item.sign, '')}")
    return f"Branch {name}: arrow from {b.start} to {b.end}, meeting {', then '.join(told) or 'plain wire'}"


# -- shapes --------------------------------------------------------------------------------------


def _leg(stands: OnPaper, branch: str) -> tuple[XY, XY]:
    """The straight part of a branch beside which its arrow stands."""
    first, second, *_ = stands.routes[branch]
    return stands.arrow(branch) or (first, second)


def _middle(leg: tuple[XY, XY]) -> XY:
    (x, y), (u, v) = leg
    return (x + u) / 2, (y + v) / 2


def centre(box: Box) -> XY:
    """The middle of the room that something takes."""
    return (box.left + box.right) / 2, (box.top + box.foot) / 2


def _rect(box: Box, by: float, how: str) -> str:
    return f"<{_rectangle(box, by)} {how}/>"


def _rectangle(box: Box, by: float) -> str:
    return (
        f'rect x="{_n(box.left - by)}" y="{_n(box.top - by)}" '
        f'width="{_n(max(0.1, box.right - box.left + 2 * by))}" '
        f'height="{_n(max(0.1, box.foot - box.top + 2 * by))}" rx="1.2"'
    )


def _path(corners: Sequence[XY]) -> str:
    return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in corners)


def _mm(at: Sequence[float]) -> list[float]:
    return [round(value, 2) for value in at]


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"
