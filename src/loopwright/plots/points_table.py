"""A curve as a table of points: comma-separated values with a head that names quantities and units.

RFC 4180; each column is headed quantity/unit (ISO 80000-1, from memory). The points are those of the drawn
line, between which it is straight on the scale, with the ends and all points that have a name.
"""

from __future__ import annotations

import csv
from decimal import Context, Decimal
from fractions import Fraction
from io import StringIO

from ..circuit.plots_asked import unit_of_value
from .curve_picture import CurveOnPaper
from .curves import CurvePoint
from .map_picture import boundary_lines
from .maps import SignMap

_FIGURES = 9
INFINITE = "inf"


def points_table(paper: CurveOnPaper) -> str:
    """The table: the value moved, the quantity, and what the point is where it has a name."""
    data = paper.data
    unit, result_unit = data.units
    text = StringIO()
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow(
        [_head(data.symbol, unit), _head(data.asked.target.as_text(), result_unit), "point"],
    )
    for value, result, name in _rows(paper):
        rows.writerow([value, result, name])
    return text.getvalue()


def boundary_table(found: SignMap) -> str:
    """The points of a map's boundaries: both values, and the number of the line that they belong to."""
    text = StringIO()
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow([*(_head(s, unit_of_value(found.circuit, s)) for s in found.asked.over), "line"])
    lines = [line for boundary in found.boundaries for line in boundary_lines(found, boundary)]
    for number, line in enumerate(lines, start=1):
        for point in line:
            values = (
                written(scale.value(Fraction(share)), 6) if share < 1 else INFINITE
                for scale, share in zip(found.scales, point, strict=True)
            )
            rows.writerow([*values, number])
    return text.getvalue()


def _rows(paper: CurveOnPaper) -> list[tuple[str, str, str]]:
    data = paper.data
    zero, infinity = (
        written(end.limit) if end.limit is not None else f"{'-' if end.sign < 0 else ''}{INFINITE}"
        for end in data.ends
    )
    named: list[tuple[Fraction, Fraction, str]] = [_named(point) for point in data.points]
    taken = {value for value, _, _ in named}
    rest: list[tuple[Fraction, Fraction, str]] = []
    for line in paper.lines:
        for share, _ in line:
            if 0 < share < 1:
                value = Fraction(written(paper.scale.value(share), 6))
                if value not in taken and _has_result(paper, value):
                    taken.add(value)
                    rest.append((value, data.result(value), ""))
    poles = [(pole.at.near, None, "no bound") for pole in data.poles]
    between = sorted([*named, *rest, *poles], key=lambda row: row[0])
    return [
        ("0", zero, "limit"),
        *(
            (written(value), "" if result is None else written(result), name)
            for value, result, name in between
        ),
        (INFINITE, infinity, "limit"),
    ]


def _named(point: CurvePoint) -> tuple[Fraction, Fraction, str]:
    return point.at.near, point.result.near, str(point.name)


def _has_result(paper: CurveOnPaper, value: Fraction) -> bool:
    try:
        paper.data.result(value)
    except ZeroDivisionError:
        return False
    return True


def _head(name: str, unit: str) -> str:
    return f"{name}/{unit}" if unit else name


def written(value: Fraction, figures: int = _FIGURES) -> str:
    """A number in so many figures, with a full stop and no spaces."""
    context = Context(prec=figures)
    number = context.divide(Decimal(value.numerator), Decimal(value.denominator)).normalize(context)
    plain = f"{number:f}"
    return plain if len(plain) <= figures + 8 else f"{number:e}"
