"""A drawing as SVG 1.1: black strokes on a clear ground, text as text, sizes in millimetres."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from html import escape
from math import cos, radians, sin

from ..legible import legible
from .drawing import NOBODYS, Bend, Drawing, Drawn, Label, Round, Run, Stroke, Whose
from .lettering import CAPITALS, DROP, LOWERED, SCRIPT_E, run_width

_FACES = (  # book faces as wide as the room that labels are given; what a system calls serif may be wider
    "'STIX Two Text', 'Times New Roman', 'Liberation Serif', 'Libertinus Serif', Tinos, 'Nimbus Roman', "
    "'TeX Gyre Termes', FreeSerif, 'Latin Modern Roman', serif"
)
_SCRIPT_FACES = (  # faces that have the script ℰ, named for it alone so that its neighbours keep theirs
    "'STIX Two Math', 'New Computer Modern Math', 'Latin Modern Math', 'Cambria Math', "
    "'DejaVu Math TeX Gyre', serif"
)
NO_MARKS: Mapping[Whose, str] = {}


def svg(
    drawing: Drawing,
    title: str = "",
    description: str = "",
    *,
    named: bool = False,
    marked: Mapping[Whose, str] = NO_MARKS,
    style: str = "",
) -> str:
    """The drawing as one `<svg>` element with its title and description for those who do not see it.

    `named`: what belongs together stands in a group that says what it is (`class="element" data-of="R1"`),
    for a page on which it can be touched. `marked`: classes that such a group bears besides; `style`: rules
    for them, for a drawing that stands by itself.
    """
    w, h = _number(drawing.width), _number(drawing.height)
    told = "".join(
        f"<{tag}>{escape(text, quote=False)}</{tag}>"
        for tag, text in (("title", title), ("desc", description))
        if text
    )
    told += f"<style>{style}</style>" if style else ""
    body = "\n".join(_groups(drawing, marked) if named else map(_mark, drawing.marks))
    return legible(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" '
        f'role="img" fill="none" stroke="black" stroke-linecap="butt" stroke-linejoin="miter">'
        f"{told}\n{body}\n</svg>\n"
    )


def stroke_markup(stroke: Stroke) -> str:
    """One stroke as it stands inside a drawing."""
    return _mark(stroke)


def _groups(drawing: Drawing, marked: Mapping[Whose, str]) -> Iterator[str]:
    """The marks in groups by what they belong to, each group where its first mark stands."""
    whose = drawing.whose or (NOBODYS,) * len(drawing.marks)
    held: dict[Whose, list[str]] = {}
    for mark, owner in zip(drawing.marks, whose, strict=True):
        held.setdefault(owner, []).append(_mark(mark))
    for (kind, name), marks in held.items():
        classes = f"{kind} {marked.get((kind, name), '')}".strip()
        yield f'<g class="{escape(classes)}" data-of="{escape(name)}">{"".join(marks)}</g>'


def _mark(mark: Drawn) -> str:
    match mark:
        case Stroke(points, weight, closed, filled, dash):
            path = " ".join(
                f"{'L' if i else 'M'}{_number(x)} {_number(y)}" for i, (x, y) in enumerate(points)
            )
            fill = ' fill="black"' if filled else ""
            dashes = f' stroke-dasharray="{" ".join(map(_number, dash))}"' if dash else ""
            cap = "" if closed or dash else ' stroke-linecap="square"'
            end = " Z" if closed else ""
            return f'<path d="{path}{end}" stroke-width="{_number(weight)}"{fill}{dashes}{cap}/>'
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
    size = label.size / CAPITALS
    weight = ' font-weight="bold"' if label.bold else ""
    x, y = label.at
    starts: tuple[float | None, ...] = ()
    if SCRIPT_E in label.base or any(SCRIPT_E in run.text for run in label.tail):
        starts = _starts(label, label.runs)
        text = _spans(label.runs, starts, label.size)
    else:
        text = _plain_spans(label.base, label.sub, label.aside, label.italic, label.size, label.tail)
    first = next((start for start in starts if start is not None), x)
    anchor = label.anchor if first == x else "start"
    return (
        f'<text x="{_number(first)}" y="{_number(y + label.size / 2)}" font-family="{_FACES}" '
        f'font-size="{_number(size)}" text-anchor="{anchor}" fill="black" stroke="none" '
        f'xml:space="preserve"{weight}>{text}</text>'
    )


@lru_cache(maxsize=1024)  # a circuit that is redrawn has most labels again
def _plain_spans(base: str, sub: str, aside: str, italic: bool, size: float, tail: tuple[Run, ...]) -> str:
    """The runs of a label that just follow one another, wherever it stands."""
    runs = Label(base, (0.0, 0.0), sub, aside, italic, size, tail=tail).runs
    return _spans(runs, (None,) * len(runs), size)


def _spans(runs: Sequence[Run], starts: Sequence[float | None], size: float) -> str:
    """The runs of a label whose capitals are so many mm high, each where it starts."""
    parts: list[str] = []
    low = False
    for run, start in zip(runs, starts, strict=True):
        shift = DROP * size * (int(run.lowered) - int(low))
        low = run.lowered
        attributes = (
            (f' x="{_number(start)}"' if start is not None else "")
            + (f' dy="{_number(shift)}"' if shift else "")
            + (' font-style="italic"' if run.italic else "")
            + (f' font-size="{_number(size / CAPITALS * LOWERED)}"' if run.lowered else "")
            + (f' font-family="{_SCRIPT_FACES}"' if run.text == SCRIPT_E else "")
        )
        parts.append(f"<tspan{attributes}>{escape(run.text, quote=False)}</tspan>")
    return "".join(parts)


def _starts(label: Label, runs: Sequence[Run]) -> tuple[float | None, ...]:
    """Where each run starts, for a label that holds the script ℰ; None for a run that just follows.

    Some renderers choose one face for all letters that follow each other without a position of their
    own, and a face that has the ℰ is not the face of its neighbours.
    """
    if all(run.text != SCRIPT_E for run in runs):
        return (None,) * len(runs)
    widths = [run_width(run, label.size, loose=False) for run in runs]
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor]
    at = label.at[0] - share * sum(widths)
    starts: list[float | None] = []
    for k, (run, width) in enumerate(zip(runs, widths, strict=True)):
        apart = k == 0 or SCRIPT_E in (run.text, runs[k - 1].text)
        starts.append(at if apart else None)
        at += width
    return tuple(starts)


@lru_cache(maxsize=4096)  # many marks share a coordinate or a weight
def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".") if value else "0"
