"""Running text with formulas in it, as plain text for the terminal."""

from __future__ import annotations

from collections.abc import Iterable

from ..expressions.nodes import Equation, Expr
from ..expressions.writers import plain


def told(text: Iterable[str | Expr | Equation]) -> str:
    """The pieces joined, formulas on one line."""
    return "".join(piece if isinstance(piece, str) else plain.render(piece) for piece in text)
