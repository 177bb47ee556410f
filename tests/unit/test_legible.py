"""Text that may be shown."""

from __future__ import annotations

import sys

from loopwright.legible import MARK, legible

STEERING = (
    *range(0x09),
    *range(0x0B, 0x20),
    *range(0x7F, 0xA0),
    0x2028,
    0x2029,
    *range(0x202A, 0x202F),
    *range(0x2066, 0x206A),
    *range(0xD800, 0xE000),
    *range(0xFFF9, 0xFFFC),
    0xFFFE,
    0xFFFF,
    *range(0xE0000, 0xE0080),
)


def test_every_sign_that_steers_is_marked_on_whatever_line_it_stands() -> None:
    assert [c for c in STEERING if legible(f"a\nb{chr(c)}c\nd") != f"a\nb{MARK}c\nd"] == []


def test_no_other_sign_is_marked() -> None:
    others = "".join(map(chr, sorted(set(range(sys.maxunicode + 1)) - set(STEERING))))
    assert legible(others) == others
