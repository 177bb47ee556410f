"""Results showing themselves: rows of running text and formulas as a small HTML table or as plain lines.

For notebooks and the terminal; published pages are made in `sheet`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from .said import Said
from .writers import mathml, plain

Cells = Sequence[Said]


def as_html(rows: Iterable[Cells]) -> str:
    """The rows as an HTML table with MathML formulas."""
    lines = "".join(
        "<tr>" + "".join(f"<td style='text-align:left'>{_html(cell)}</td>" for cell in row) + "</tr>"
        for row in rows
    )
    return f"<table>{lines}</table>"


def as_text(rows: Iterable[Cells]) -> str:
    """The rows as lines of plain text, cells apart by three spaces."""
    return "\n".join("   ".join(filter(None, map(told, row))).rstrip() for row in rows)


def told(text: Said) -> str:
    """Running text with its formulas on one line."""
    return "".join(piece if isinstance(piece, str) else plain.render(piece) for piece in text)


def _html(text: Said) -> str:
    return "".join(escape(piece) if isinstance(piece, str) else mathml.render(piece) for piece in text)
