"""Determinants written between bars, `|8 4; 4 6|`, in brackets, `det(8, 4; 4, 6)`, or as a LaTeX matrix with
bars, as the products that they stand for, so that they are read like any other algebra."""

from __future__ import annotations

import re

from .mapped import Mapped

_BARS = re.compile(r"(?<!\|)(?:\bdet\s{0,3})?\|(?!\|)([^|\n]{1,200};[^|\n]{1,200})(?<!\|)\|(?!\|)")
_BRACKETS = re.compile(r"\bdet\s{0,3}\(((?:[^()\n]|\([^()\n]{0,80}\)){3,400})\)")
_LATEX = re.compile(
    r"(?:\\begin\{vmatrix\}(.{3,400}?)\\end\{vmatrix\}|\\det\s{0,3}\\begin\{[bp]matrix\}(.{3,400}?)\\end\{[bp]matrix\})",
    re.DOTALL,
)
_OF_A_MATRIX = re.compile(  # det A, det(A), \det A_1
    r"\\?\bdet\s{0,3}(?:\(\s{0,3})?\\?(?:math(?:bf|rm)\{)?[AM](?![a-z])\}?(?:_?\{?(\d|[xyz])\}?)?(?:\s{0,3}\))?"
    r"(?=\s{0,3}(?:[=≈)/,;}$]|$))"
)
_ENTRY = re.compile(r"[-−–+]?[\w.′'{}\\]+")
LARGEST = 3


def with_determinants(line: Mapped) -> Mapped:
    """The line with every determinant of two or three rows multiplied out; one that is not square stays as it
    is."""
    text = line.text
    if "det" in text:
        line = line.replaced(_OF_A_MATRIX, lambda m: f"det_{m[1]}" if m[1] else "det")
    if "matrix" in text:
        line = line.replaced(_LATEX, lambda m: _products(m[0], (m[1] or m[2]).split("\\\\")))
    if "det" in text and ";" in text:
        line = line.replaced(_BRACKETS, lambda m: _products(m[0], m[1].split(";")))
    if "|" in text and ";" in text:
        line = line.replaced(_BARS, lambda m: _products(m[0], m[1].split(";")))
    return line


def _products(whole: str, rows: list[str]) -> str:
    matrix = [entries_of(row) for row in rows if row.strip()]
    count = len(matrix)
    if not 1 < count <= LARGEST or any(len(row) != count for row in matrix):
        return whole
    return f"({_determinant(matrix)})"


def entries_of(row: str) -> list[str]:
    """The entries of a row of a matrix, apart by `&`, commas or spaces; none where it is no such row."""
    for sign in ("&", ","):
        if sign in row:
            return [entry.strip() for entry in row.split(sign)]
    found = row.split()
    return found if all(_ENTRY.fullmatch(entry) for entry in found) else []


def _determinant(matrix: list[list[str]]) -> str:
    if len(matrix) == 2:
        (a, b), (c, d) = matrix
        return f"({a})({d}) - ({b})({c})"
    terms = []
    for at, entry in enumerate(matrix[0]):
        rest = [[*row[:at], *row[at + 1 :]] for row in matrix[1:]]
        terms.append(f"{'- ' if at % 2 else '+ ' if at else ''}({entry})({_determinant(rest)})")
    return " ".join(terms)
