"""Rows of running text and formulas: as lines of plain text, or as a small HTML table for a notebook.

Published pages are made in `sheet`. The table brings its one rule in a style element of fixed content, never
as an attribute, so that a page with a strict content policy can allow it by its hash.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from ..expressions.said import Said, as_text
from ..expressions.writers import mathml

Cells = Sequence[Said]

STYLE = "table.loopwright td { text-align: left; }"  # notebooks set their cells flush right


def rows_in_text(rows: Iterable[Cells]) -> str:
    """The rows as lines of plain text, cells apart by three spaces."""
    return "\n".join("   ".join(filter(None, map(as_text, row))).rstrip() for row in rows)


def rows_in_html(rows: Iterable[Cells]) -> str:
    """The rows as an HTML table with MathML formulas."""
    lines = "".join("<tr>" + "".join(f"<td>{_html(cell)}</td>" for cell in row) + "</tr>" for row in rows)
    return f'<style>{STYLE}</style><table class="loopwright">{lines}</table>'


def _html(text: Said) -> str:
    return "".join(escape(piece) if isinstance(piece, str) else mathml.render(piece) for piece in text)
