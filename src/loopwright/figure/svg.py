"""A drawing as SVG 1.1: black strokes on a clear ground, text as text, sizes in millimetres."""

from __future__ import annotations

from math import cos, radians, sin
from xml.sax.saxutils import escape

from .drawing import Bend, Drawing, Label, Mark, Round, Stroke
from .lettering import CAPITALS, DROP, LOWERED

_FACES = "'Libertinus Serif', 'STIX Two Text', 'Times New Roman', 'Liberation Serif', serif"


def svg(drawing: Drawing, title: str = "", description: str = "") -> str:
    """The drawing as one `<svg>` element with its title and description for those who do not see it."""
    w, h = _number(drawing.width), _number(drawing.height)
    told = "".join(
        f"<{tag}>{escape(text)}</{tag}>" for tag, text in (("title", title), ("desc", description)) if text
    )
    body = "\n".join(map(_mark, drawing.marks))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" '
        f'role="img" fill="none" stroke="black" stroke-linecap="butt" stroke-linejoin="miter">'
        f"{told}\n{body}\n</svg>\n"
    )


def _mark(mark: Mark) -> str:
    match mark:
        case Stroke(points, weight, closed, filled, dash):
            path = " ".join(
                f"{'L' if i else 'M'}{_number(x)} {_number(y)}" for i, (x, y) in enumerate(points)
            )
            fill = ' fill="black"' if filled else ""
            dashes = f' stroke-dasharray="{" ".join(map(_number, dash))}"' if dash else ""
            cap = "" if closed or dash else ' stroke-linecap="square"'
            return f'<path d="{path}{" Z" if closed else ""}" stroke-width="{_number(weight)}"{fill}{dashes}{cap}/>'
        case Round((x, y), radius, weight, filled):
            fill = ' fill="black"' if filled else ""
            return (
                f'<circle cx="{_number(x)}" cy="{_number(y)}" r="{_number(radius)}" '
                f'stroke-width="{_number(weight)}"{fill}/>'
            )
        case Bend():
            return _bend(mark)
        case Label():
            return _label(mark)


def _bend(bend: Bend) -> str:
    (x, y), r = bend.centre, bend.radius
    ends = [(x + r * cos(radians(angle)), y + r * sin(radians(angle))) for angle in (bend.start, bend.stop)]
    (x1, y1), (x2, y2) = ends
    large = int(abs(bend.stop - bend.start) > 180)
    sweep = int(bend.stop > bend.start)
    dashes = f' stroke-dasharray="{" ".join(map(_number, bend.dash))}"' if bend.dash else ""
    return (
        f'<path d="M{_number(x1)} {_number(y1)} A{_number(r)} {_number(r)} 0 {large} {sweep} '
        f'{_number(x2)} {_number(y2)}" stroke-width="{_number(bend.weight)}"{dashes}/>'
    )


def _label(label: Label) -> str:
    x, y = label.at
    size = label.size / CAPITALS
    weight = ' font-weight="bold"' if label.bold else ""
    parts: list[str] = []
    low = False
    for run in label.runs:
        shift = DROP * label.size * (int(run.lowered) - int(low))
        low = run.lowered
        attributes = (
            (f' dy="{_number(shift)}"' if shift else "")
            + (' font-style="italic"' if run.italic else "")
            + (f' font-size="{_number(size * LOWERED)}"' if run.lowered else "")
        )
        parts.append(f"<tspan{attributes}>{escape(run.text)}</tspan>")
    return (
        f'<text x="{_number(x)}" y="{_number(y + label.size / 2)}" font-family="{_FACES}" '
        f'font-size="{_number(size)}" text-anchor="{label.anchor}" fill="black" stroke="none" '
        f'xml:space="preserve"{weight}>{"".join(parts)}</text>'
    )


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".") if value else "0"
