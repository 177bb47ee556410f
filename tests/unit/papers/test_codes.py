"""Codes of papers: a misread one is noticed, and the square for cameras holds the same code."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import pytest

from loopwright.figure.drawing import Drawing, Stroke
from loopwright.findings import Finding
from loopwright.papers.codes import MODULE, QUIET, SIGNS, codes, drawn, read_code

CODES = codes("week five", 300)
ALPHANUMERIC = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"  # ISO/IEC 18004, table of values, from memory


def test_codes_are_all_unlike_and_the_same_each_time() -> None:
    assert len(set(CODES)) == 300
    assert codes("week five", 300) == CODES
    assert not set(codes("week six", 300)) & set(CODES)


def test_a_code_is_read_however_it_is_typed() -> None:
    assert {read_code(c.lower().replace("-", " ")) for c in CODES} == set(CODES)


def test_every_sign_read_wrongly_is_noticed() -> None:
    signs = CODES[0].replace("-", "")
    wrong = [signs[:at] + sign + signs[at + 1 :] for at in range(6) for sign in SIGNS if sign != signs[at]]
    assert len(wrong) == 180
    assert all(isinstance(read_code(text), Finding) for text in wrong)


def test_any_two_signs_that_change_places_are_noticed() -> None:
    for code in CODES[:40]:
        signs = code.replace("-", "")
        for a, b in combinations(range(6), 2):
            turned = list(signs)
            turned[a], turned[b] = turned[b], turned[a]
            assert isinstance(read_code("".join(turned)), Finding) == (signs[a] != signs[b])


@pytest.mark.parametrize(("text", "why"), [("K7-0Q4-X", "sign 0"), ("K7-2Q", "not 4"), ("", "not 0")])
def test_what_is_no_code_is_told(text: str, why: str) -> None:
    found = read_code(text)
    assert isinstance(found, Finding)
    assert why in found.message


def squares(drawing: Drawing) -> list[list[bool]]:
    """Which squares of a drawn QR code are black, without the white rim."""
    size = round(drawing.width / MODULE) - 2 * QUIET
    black = [[False] * size for _ in range(size)]
    for mark in drawing.marks:
        assert isinstance(mark, Stroke)
        xs, ys = ([round(p[axis] / MODULE) - QUIET for p in mark.points] for axis in (0, 1))
        for x in range(min(xs), max(xs)):
            assert not black[min(ys)][x]
            black[min(ys)][x] = True
    return black


def scanned(black: list[list[bool]]) -> str:
    """The text of a QR code of version 1, read as ISO/IEC 18004 says (from memory) and as a camera would,
    with no code of ours or of the library that drew it; its words for correction are left unread."""
    assert len(black) == 21
    masks: tuple[Callable[[int, int], int], ...] = (
        lambda i, j: (i + j) % 2, lambda i, j: i % 2, lambda i, j: j % 3, lambda i, j: (i + j) % 3,
        lambda i, j: (i // 2 + j // 3) % 2, lambda i, j: i * j % 2 + i * j % 3,
        lambda i, j: (i * j % 2 + i * j % 3) % 2, lambda i, j: ((i + j) % 2 + i * j % 3) % 2,
    )  # fmt: skip
    mask = masks[int("".join(str(int(black[8][x])) for x in (2, 3, 4)), 2) ^ 0b101]

    def is_data(i: int, j: int) -> bool:
        corners = (i < 9 and (j < 9 or j > 12)) or (i > 12 and j < 9)
        return not corners and i != 6 and j != 6

    bits = ""
    upwards = True
    for right in (20, 18, 16, 14, 12, 10, 8, 5, 3, 1):
        for i in range(20, -1, -1) if upwards else range(21):
            for j in (right, right - 1):
                if is_data(i, j):
                    bits += str(int(black[i][j] != (mask(i, j) == 0)))
        upwards = not upwards
    assert bits[:4] == "0010"  # letters and digits
    length, text, at = int(bits[4:13], 2), "", 13
    while len(text) < length:
        if length - len(text) > 1:
            text += "".join(ALPHANUMERIC[v] for v in divmod(int(bits[at : at + 11], 2), 45))
            at += 11
        else:
            text += ALPHANUMERIC[int(bits[at : at + 6], 2)]
            at += 6
    return text


@pytest.mark.parametrize("code", CODES[:24])
def test_a_camera_reads_the_same_code(code: str) -> None:
    assert scanned(squares(drawn(code))) == code
