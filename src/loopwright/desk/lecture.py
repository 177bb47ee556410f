"""The board opened from the desk: the lecture on a paper as a page, and its style. Knows no web."""

from __future__ import annotations

from functools import lru_cache
from html import escape

from ..board.html import served
from ..board.plan import board
from .read_once import sound

SCRIPT_AT = "/static/board.js"
FOLLOW = '<script type="module" src="/static/follow.js"></script>'
ICON = '<link rel="icon" href="/static/mark.svg" type="image/svg+xml">'


@lru_cache(maxsize=2)  # the style is asked for right after the page
def lecture(text: str, style_at: str) -> tuple[str, str]:
    """The page, which has its style at this address, and the style. As the file wishes it under [board].

    Raises FaultyMaterial where the text is no sound circuit with one answer.
    """
    circuit = sound(text)
    links = f'{ICON}\n{FOLLOW}\n<link rel="stylesheet" href="{escape(style_at)}">'
    return served(board(circuit), links, SCRIPT_AT, look=circuit.board.look or "dark")
