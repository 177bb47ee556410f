"""A plot of points on two logarithmic scales as SVG, readable in black and white."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from math import ceil, floor, log10

WIDTH, HEIGHT = 760, 480
LEFT, RIGHT, TOP, BOTTOM = 80, 190, 20, 60
DASHES = ("", "8 4", "2 3", "10 3 2 3", "5 5", "1 4")
MARKS = ("circle", "square", "cross", "diamond", "plus", "ring")


@dataclass(frozen=True, slots=True)
class Line:
    """A name and its points (x, y), both above zero."""

    name: str
    points: tuple[tuple[float, float], ...]


def plot(lines: list[Line], along: str, up: str) -> str:
    """The plot as SVG text; `along` and `up` name the scales."""
    xs = [x for line in lines for x, _ in line.points]
    ys = [y for line in lines for _, y in line.points]
    x_range, y_range = _decades(xs), _decades(ys)

    def place(x: float, y: float) -> tuple[float, float]:
        across = (log10(x) - x_range[0]) / (x_range[1] - x_range[0])
        above = (log10(y) - y_range[0]) / (y_range[1] - y_range[0])
        return LEFT + across * (WIDTH - LEFT - RIGHT), HEIGHT - BOTTOM - above * (HEIGHT - TOP - BOTTOM)

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif"'
        f' font-size="13" role="img"><title>{escape(up)} against {escape(along)}</title>'
        '<rect width="100%" height="100%" fill="#fff"/>'
    ]
    for decade in range(x_range[0], x_range[1] + 1):
        x, _ = place(10.0**decade, 10.0 ** y_range[0])
        parts.append(f'<path d="M{x:.1f} {TOP}V{HEIGHT - BOTTOM}" stroke="#ccc"/>')
        parts.append(_label(x, HEIGHT - BOTTOM + 18, f"10{_raised(decade)}", "middle"))
    for decade in range(y_range[0], y_range[1] + 1):
        _, y = place(10.0 ** x_range[0], 10.0**decade)
        parts.append(f'<path d="M{LEFT} {y:.1f}H{WIDTH - RIGHT}" stroke="#ccc"/>')
        parts.append(_label(LEFT - 8, y + 4, f"10{_raised(decade)}", "end"))
    parts.append(_label((LEFT + WIDTH - RIGHT) / 2, HEIGHT - 16, along, "middle"))
    middle = (TOP + HEIGHT - BOTTOM) / 2
    parts.append(f'<g transform="rotate(-90 24 {middle:.1f})">{_label(24, middle, up, "middle")}</g>')
    for number, line in enumerate(lines):
        parts.extend(_drawn(line, number, [place(x, y) for x, y in line.points]))
    return "\n".join([*parts, "</svg>", ""])


def _drawn(line: Line, number: int, at: list[tuple[float, float]]) -> list[str]:
    """A line with its marks and its row in the key."""
    dash, mark = DASHES[number % len(DASHES)], MARKS[number % len(MARKS)]
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in at)
    stroke = f'fill="none" stroke="#000" stroke-dasharray="{dash}"' if dash else 'fill="none" stroke="#000"'
    key = TOP + 16 + 22 * number
    start = WIDTH - RIGHT + 14
    return [
        f'<path d="{path}" {stroke}/>',
        *(_mark(mark, x, y) for x, y in at),
        f'<path d="M{start} {key}h34" {stroke}/>',
        _mark(mark, start + 17, key),
        _label(start + 42, key + 4, line.name, "start"),
    ]


def _mark(kind: str, x: float, y: float) -> str:
    shapes = {
        "circle": '<circle cx="{x:.1f}" cy="{y:.1f}" r="3.5"/>',
        "ring": '<circle cx="{x:.1f}" cy="{y:.1f}" r="3.5" fill="#fff" stroke="#000"/>',
        "square": '<path d="M{x:.1f} {y:.1f}m-3 -3h6v6h-6z"/>',
        "diamond": '<path d="M{x:.1f} {y:.1f}m0 -4.5l4.5 4.5-4.5 4.5-4.5-4.5z" fill="#fff" stroke="#000"/>',
        "cross": '<path d="M{x:.1f} {y:.1f}m-3.5 -3.5l7 7m0 -7l-7 7" stroke="#000"/>',
        "plus": '<path d="M{x:.1f} {y:.1f}m-4 0h8m-4 -4v8" stroke="#000"/>',
    }
    return shapes[kind].format(x=x, y=y)


def _label(x: float, y: float, text: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(text)}</text>'


def _decades(values: list[float]) -> tuple[int, int]:
    """The powers of ten that hold all the values."""
    low, high = floor(log10(min(values))), ceil(log10(max(values)))
    return low, max(high, low + 1)


def _raised(power: int) -> str:
    return str(power).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
