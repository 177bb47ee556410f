"""The code of a paper: short enough to be read out, with a sign by which a slip of reading is noticed.

`K7-2Q4-X`: two signs for the set of papers, three for the paper, one to check the others. There are 31 signs,
none of which is taken for another (no 0, 1, I, L or O), and 31 is a prime: with a weight of its own for each
place, the weighted sum can stay a multiple of 31 neither when one sign is changed nor when two change places
(the principle of ISBN-10, ISO 2108, with 31 in the place of 11; from memory). The same code is drawn for a
camera as a QR code (ISO/IEC 18004), by segno.
"""

from __future__ import annotations

import hashlib
import random

import segno

from ..figure.drawing import Drawing, Stroke
from ..findings import Finding

SIGNS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
WEIGHTS = (2, 3, 4, 5, 6, 1)  # of the six signs, the last of which checks the others
OF_SET, OF_PAPER = 2, 3  # signs
MOST_PAPERS = 10_000  # of the 29,791 that three signs could tell apart
MODULE = 0.7  # mm of one square of the QR code
QUIET = 4  # squares left white round it, as the standard wants
_DASHES = "-‐‑‒–—−"


def codes(key: str, count: int) -> tuple[str, ...]:
    """As many codes, all unlike, drawn by a key: the same key gives the same. They follow no order, so that a
    code does not tell whose place in a list it is."""
    chance = random.Random(hashlib.sha256(key.encode()).hexdigest())
    of_set = _signs(chance.randrange(len(SIGNS) ** OF_SET), OF_SET)
    drawn = chance.sample(range(len(SIGNS) ** OF_PAPER), count)
    return tuple(_with_check(of_set + _signs(number, OF_PAPER)) for number in drawn)


def _signs(number: int, length: int) -> str:
    found = ""
    for _ in range(length):
        number, digit = divmod(number, len(SIGNS))
        found = SIGNS[digit] + found
    return found


def _with_check(signs: str) -> str:
    check = SIGNS[-_weighed(signs) % len(SIGNS)]
    return f"{signs[:OF_SET]}-{signs[OF_SET:]}-{check}"


def _weighed(signs: str) -> int:
    return sum(w * SIGNS.index(s) for w, s in zip(WEIGHTS, signs, strict=False))


def read_code(text: str) -> str | Finding:
    """A code as somebody typed or scanned it, in its usual form; or what is wrong with it. Small letters,
    spaces and dashes do not matter."""
    signs = "".join(c for c in text.upper() if not c.isspace() and c not in _DASHES)
    again = "Read it from the paper again: it stands at the head and at the foot of every page."
    strange = next((c for c in signs if c not in SIGNS), "")
    if strange:
        message = f'"{text.strip()}" is no code of a paper: none has the sign {strange}.'
        return Finding("papers/not-a-code", message, again)
    if len(signs) != len(WEIGHTS):
        message = f'"{text.strip()}" is no code of a paper: one has {len(WEIGHTS)} signs, not {len(signs)}.'
        return Finding("papers/not-a-code", message, again)
    if _weighed(signs) % len(SIGNS):
        message = f'"{text.strip()}" was read wrongly: its last sign does not fit the others.'
        return Finding("papers/not-a-code", message, again)
    return _with_check(signs[:-1])


def drawn(code: str) -> Drawing:
    """The code as a QR code that can be read with a quarter of it gone, in runs of black squares."""
    rows = segno.make(code, error="q", micro=False).matrix
    size = (len(rows) + 2 * QUIET) * MODULE
    marks: list[Stroke] = []
    for y, row in enumerate(rows, QUIET):
        x = 0
        while x < len(row):
            end = x
            while end < len(row) and row[end]:
                end += 1
            if end > x:
                left, right = ((x + QUIET) * MODULE, (end + QUIET) * MODULE)
                top, bottom = y * MODULE, (y + 1) * MODULE
                corners = ((left, top), (right, top), (right, bottom), (left, bottom))
                marks.append(Stroke(corners, weight=0.02, closed=True, filled=True))
            x = end + 1
    return Drawing(size, size, tuple(marks))
