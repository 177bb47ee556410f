"""The three standard streams as a command may find them: of any encoding, or closed.

A console that lacks Ω or − gets plain words in their place, not an error. A stream that is closed is put in
place by one that takes nothing, so that no file opened later takes its number.
"""

from __future__ import annotations

import codecs
import io
import os
import sys
import unicodedata

_IN_ASCII = {
    "Ω": "ohm", "ω": "omega", "µ": "u", "μ": "u", "ρ": "rho", "ε": "emf", "ℰ": "E", "Δ": "Delta",
    "−": "-", "–": "-", "—": "-", "×": "x", "·": "*", "⋅": "*", "÷": "/", "⁄": "/", "√": "sqrt", "∞": "oo",
    "→": "->", "←": "<-", "⇒": "=>", "≈": "~", "≠": "!=", "≤": "<=", "≥": ">=", "∥": "||", "±": "+-",
    "✓": "ok", "✗": "x", "°": " deg", "…": "...", "‘": "'", "’": "'", "′": "'", "“": '"', "”": '"', "″": '"',
    "•": "*",
}  # fmt: skip
_HANDLER = "loopwright-plain"


def _plain(error: UnicodeError) -> tuple[str, int]:
    """What stands for signs that an encoding lacks: their plain form, or a question mark."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    signs = error.object[error.start : error.end]
    return "".join(map(_in_ascii, signs)), error.end


def _in_ascii(sign: str) -> str:
    if sign in _IN_ASCII:
        return _IN_ASCII[sign]
    parts = unicodedata.normalize("NFKD", sign)
    return "".join(c for c in parts if c.isascii() and c.isprintable()) or "?"


def make_ready() -> None:
    """Readies the standard streams of this process; called once, before anything is said."""
    codecs.register_error(_HANDLER, _plain)
    if sys.stdin is None:
        sys.stdin = open(os.devnull, encoding="utf-8")  # noqa: SIM115 - stays open as long as the process
    if sys.stdout is None:
        # Opened for reading only: what is written fails, and the person is told where it did not go.
        sys.stdout = open(os.open(os.devnull, os.O_RDONLY), "w", encoding="utf-8")  # noqa: SIM115
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_HANDLER)


def abandon_output() -> None:
    """Lets standard output end in nothing, so that what is still held back is not tried once more at exit."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError):  # no true file: a stream of a test, or closed meanwhile
        return


def input_bytes(most: int) -> bytes:
    """What standard input gives, up to one byte more than `most`."""
    if isinstance(sys.stdin, io.TextIOWrapper):
        content: bytes = sys.stdin.buffer.read(most + 1)
        return content
    return sys.stdin.read(most + 1).encode()  # a stream of text alone, put in place by a caller
