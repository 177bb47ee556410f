"""Matrices as they are drawn on paper, over several lines, made into one; and equations of matrices,
`[8 4; 4 6] [x; y] = [12; 7]`, as the equations that their rows are."""

from __future__ import annotations

import re
from collections.abc import Sequence

from .determinants_written import entries_of
from .mapped import Mapped

MOST_DRAWN = 5  # lines over which a matrix is drawn
_GROUP = re.compile(r"(?<![\\|])\[([^\[\]|;=]{1,120})\]|(?<!\|)\|(?!\|)([^\[\]|;=]{1,120})(?<!\|)\|(?!\|)")
_CORNERS = str.maketrans("⎡⎢⎣⎤⎥⎦│⎛⎜⎝⎞⎟⎠", "[[[]]]|((()))")
_SQUARE = str.maketrans("()", "[]")
_ROUND = re.compile(  # ( 5.7 -3.9 ) (i1) = ( 15 ), one row of each matrix
    r"[\s\w]{0,8}=?\s{0,9}(?:\(\s{0,9}[^()=|\[\]]{1,80}\)\s{0,9}[·*]?\s{0,9}=?\s{0,9}){2,3}"
)
_MANY = re.compile(r"\(\s{0,9}[-−–+]?[\w.]+(?:[\s,]{1,9}[-−–+]?[\w.]+){1,4}\s{0,9}\)")
_TIMES = re.compile(r"(?:\\cdot|\\times|[·*×\s])*")
_BEGUN = re.compile(r"\\(begin|end)\{[bpv]matrix\}")
_ON = re.compile(r"\\begin\{[bp]matrix\}|&?\s{0,9}=\s{0,9}(?:$|\\begin\{[bp]matrix\})")
_ONE = (
    r"(?:\\begin\{[bp]matrix\}(?:(?!\\end).){1,400}\\end\{[bp]matrix\}|"
    r"(?<!\\)\[[^\[\]|=]{1,300}\]|\([^()|=;]{1,80};[^()|=]{1,200}\))"
)
_EQUATION = re.compile(
    rf"({_ONE})(?:{_TIMES.pattern}({_ONE}))?\s{{0,9}}&?=\s{{0,9}}({_ONE})(\s{{0,9}}[a-zA-ZΩµ]{{1,3}}\b)?"
)
_PLAIN = re.compile(r"[\w.]+")
_AROUND = re.compile(r"\\(?:begin|end)\{[bp]matrix\}|^[\[(]|[\])]$")


def goes_on_as_matrix(line: str, following: str) -> bool:
    """Whether a LaTeX matrix, or a product or an equation of them, goes on in the next line."""
    if "matrix}" not in line:
        return False
    words = [m[1] for m in _BEGUN.finditer(line)]
    if words.count("begin") > words.count("end"):
        return True
    return line.rstrip(" &").endswith(("matrix}", "=")) and bool(_ON.match(following))


def drawn_as_one(lines: Sequence[tuple[int, str]]) -> list[tuple[int, str]]:
    """The lines with their numbers, those that draw the rows of matrices between bars or brackets made one,
    `D = |8 4; 4 6| = 32`, which has the number of the first of them."""
    found: list[tuple[int, str]] = []
    at = 0
    while at < len(lines):
        text = lines[at][1]
        marked = any(sign in text for sign in "[|⎡│⎛(") and len(text) < 400
        for count in range(MOST_DRAWN, 1, -1) if marked else ():
            block = lines[at : at + count]
            whole = _whole([text for _, text in block]) if _adjoin(block, count) else None
            if whole is not None:
                found.append((block[0][0], whole))
                at += count
                break
        else:
            found.append(lines[at])
            at += 1
    return found


def _adjoin(block: Sequence[tuple[int, str]], count: int) -> bool:
    numbers = [number for number, _ in block]
    return len(block) == count and numbers[-1] - numbers[0] == count - 1


def _whole(rows: Sequence[str]) -> str | None:
    """The rows as one line; None where they are not those of matrices, one of them square."""
    plain = [row.translate(_CORNERS) for row in rows]
    if all(_ROUND.fullmatch(row) for row in plain) and all(map(_MANY.search, plain)):
        plain = [row.translate(_SQUARE) for row in plain]
    plain = [row for row in plain if row.strip(" []|")]
    groups = [list(_GROUP.finditer(row)) for row in plain]
    columns = list(zip(*(one for one in groups if not _is_bare(one)), strict=False))
    if not columns or any(len(one) != len(columns) for one in groups):
        return None
    count = len(columns[0])
    made: list[str] = []
    square = False
    for column in columns:
        texts = [m[1] or m[2] for m in column]
        sizes = {len(entries_of(text)) for text in texts}
        alike = len({m[0][0] for m in column}) == 1
        if not alike or sizes not in ({1}, {count}):
            return None
        square = square or sizes == {count} != {1}
        made.append(f"{column[0][0][0]}{'; '.join(t.strip() for t in texts)}{column[0][0][-1]}")
    between = [_between(plain, groups, at) for at in range(len(columns) + 1)]
    if not square or any(text is None for text in between):
        return None
    last = between.pop()
    whole = all(len(entries_of(text[1:-1].partition(";")[0])) == count for text in made)
    if (
        len(made) > 1 and not whole and any("=" in (text or "") for text in between)
    ):  # bars round matrices of an equation
        made = [f"[{text[1:-1]}]" for text in made]
    return "".join(f"{text}{group}" for text, group in zip(between, made, strict=True)) + (last or "")


def _is_bare(groups: Sequence[re.Match[str]]) -> bool:
    """Whether a line only draws the bars or brackets on."""
    return bool(groups) and not any((m[1] or m[2]).strip() for m in groups)


def _between(rows: Sequence[str], groups: Sequence[Sequence[re.Match[str]]], at: int) -> str | None:
    """What stands before the group at a place, in whichever row; None where several rows say different
    things."""
    found: list[str] = []
    for row, matches in zip(rows, groups, strict=True):
        start = matches[at - 1].end() if at else 0
        end = matches[at].start() if at < len(matches) else len(row)
        if row[start:end].strip():
            found.append(row[start:end])
    if len({text.strip() for text in found}) > 1:
        return None
    return found[0] if found else " "


def is_matrix_equation(text: str) -> bool:
    """Whether a line holds an equation of matrices."""
    return _EQUATION.search(text) is not None


def with_matrix_equations(line: Mapped) -> Mapped:
    """The line with each equation of matrices written out, row by row: `8 x + 4 y = 12, 4 x + 6 y = 7`."""
    if "=" in line.text and any(sign in line.text for sign in ("[", ";", "matrix")):
        return line.replaced(_EQUATION, _rows)
    return line


def _rows(match: re.Match[str]) -> str:
    parts = [_entries(part) for part in match.groups()[:3] if part]
    *factors, sides = parts
    count = len(sides)
    if count < 2 or any(len(row) != 1 for row in (*sides, *factors[-1])):
        return match[0]
    if len(factors) == 1:
        lefts = [f"{row[0]}" for row in factors[0]]
    else:
        matrix, column = factors
        if any(len(row) != len(column) for row in matrix):
            return match[0]
        lefts = [row_times(row, [n[0] for n in column]) for row in matrix]
    if len(lefts) != count:
        return match[0]
    unit = match[4] or ""
    return ", ".join(f"{left} = {side[0]}{unit}" for left, side in zip(lefts, sides, strict=True))


def row_times(row: Sequence[str], names: Sequence[str]) -> str:
    """A row times a column, written out."""
    terms = []
    for entry, name in zip(row, names, strict=True):
        bare = entry.lstrip("-−")
        sign = "- " if _PLAIN.fullmatch(bare) and bare != entry else "+ "
        factor = bare if _PLAIN.fullmatch(bare) else f"({entry})"
        terms.append(f"{sign}{factor}*{name}")
    return " ".join(terms).removeprefix("+ ")


def _entries(whole: str) -> list[list[str]]:
    inside = _AROUND.sub("", whole)
    rows = inside.split("\\\\") if "matrix" in whole else inside.split(";")
    return [entries_of(row) for row in rows if row.strip()]
