"""Bytes of a file as text with plain line ends, and back so that only what was changed changes.

A page knows one line end. A file may have another, or a mark at its start; both stay as they were wherever
the text is the same, at the beginning and at the end of the file, and what is new takes the line end of the
file.
"""

from __future__ import annotations

from .refusals import Refusal

_MARK = b"\xef\xbb\xbf"  # that some editors put before UTF-8


def text_of(raw: bytes) -> str:
    """The text, with \\n for every line end and without a mark; raises Refusal where it is no UTF-8."""
    try:
        return raw.removeprefix(_MARK).decode("utf-8").replace("\r\n", "\n")
    except UnicodeDecodeError as trouble:
        line = raw[: trouble.start].count(b"\n") + 1
        raise Refusal(422, f"Line {line} of the file is not UTF-8 text.", "Save it again as UTF-8.") from None


def bytes_like(text: str, raw: bytes) -> bytes:
    """The bytes of a text that takes the place of what a file held."""
    mark = _MARK if raw.startswith(_MARK) else b""
    before = raw.removeprefix(_MARK)
    if b"\r\n" not in before:
        return mark + text.encode()
    old, new = before.split(b"\n"), text.encode().split(b"\n")
    plain = [line.removesuffix(b"\r") for line in old[:-1]] + old[-1:]
    start = _alike(plain[:-1], new[:-1])
    end = min(_alike(plain[::-1], new[::-1]), min(len(old), len(new)) - start)
    usual = b"\r" if 2 * before.count(b"\r\n") >= before.count(b"\n") else b""
    last = len(new) - end
    middle = [line + usual if n < len(new) - 1 else line for n, line in enumerate(new[start:last], start)]
    return mark + b"\n".join(old[:start] + middle + old[len(old) - end :])


def _alike(first: list[bytes], second: list[bytes]) -> int:
    """How many lines at the beginning are the same."""
    same = 0
    for one, other in zip(first, second, strict=False):
        if one != other:
            break
        same += 1
    return same
