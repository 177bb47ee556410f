"""Sets of equations that stand as matrices alone, put as the equations that their rows are.

    augmented     [17 -12 | 32; -12 24 | -13.5], also a row a line, and what row operations make of it
    two matrices  A = [17 -12; -12 24], b = [32; -13.5], with x = A^-1 b = [2.3; 0.59]
    determinants  D = |17 -12; -12 24|, D1 = |32 -12; -13.5 24|, where no equations stand above

The unknowns are those last listed above, as many as there are columns; else the first that get results below,
by their marks. A row operation says nothing of the circuit. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from .determinants_written import entries_of
from .mapped import Mapped, joined, mapped
from .matrices_written import is_matrix_equation, row_times

FEWEST, MOST = 2, 5  # unknowns of a set
_LATEX = (
    r"(?:\\left\s{0,3}[\[(|.]\s{0,3})?\\begin\{(?:[bpv]?matrix|array)\}(?:\{[^{}]{0,20}\})?(?:(?!\\end).){3,500}"
    r"\\end\{(?:[bpv]?matrix|array)\}(?:\s{0,3}\\right\s{0,3}[\])|.])?(?:\^\{?[T⊤]\}?)?"
)
_NESTED = r"\[\s{0,3}(?:\[[^\[\]=]{1,100}\]\s{0,3},?\s{0,3}){1,5}\]"
_PLAIN = r"(?<!\\)\[[^\[\]=]{3,300}\](?:\^?T\b)?|\([^()=]{1,200}[|;][^()=]{1,200}\)"
_BARS = r"(?<!\|)\|(?!\|)[^|=]{1,200};[^|=]{1,200}\|(?!\|)"
_WHOLE = re.compile(rf"{_LATEX}|{_NESTED}|{_PLAIN}|{_BARS}")
_ENTRY = r"[-−–+]?[\w.,]+(?:[-+*/·][\w.]+){0,5}"
_ROW = re.compile(
    rf"(?P<before>^[^\[(|=]{{0,60}}?)(?P<row>[\[(|⎡⎢⎣]?\s{{0,9}}(?P<left>{_ENTRY}(?:[\s&,]{{1,9}}{_ENTRY}){{1,4}})"
    rf"[\s&]{{0,9}}[|:¦⋮│]\s{{0,9}}(?P<right>{_ENTRY})\s{{0,9}}[\])|⎤⎥⎦]?)(?P<behind>(?=\s|$)[^|=]{{0,60}}$)"
)
_TURNED = re.compile(r"\]\^?T$|\^\{?[T⊤]\}?$")
_CALLED = re.compile(
    r"(?P<name>(?:\\?[A-Za-zΔ]\w{0,5}(?:_\{?\w{1,2}\}?)?|\([A-Z]\s?\|\s?\w\)))\s{0,9}&?=\s{0,9}"
    r"(?P<array>(?:np\.|numpy\.)?(?:array|matrix)\()?$"
)
_DET = re.compile(r"^\\?(?:det|Delta|[DΔ])_?\{?(?:\(?A)?_?\{?(?P<mark>\w{0,2})\}?\)?$")
_NAME = (
    r"(?:[IJUVφ]_?\{?[A-Za-z0-9]{1,2}\}?|[ijuv](?:_\{?[A-Za-z0-9]{1,2}\}?|\d{1,2}|[a-d])|[xyz]_?\d?)(?![\w{])"
)
_NUMBERED = re.compile(r"(?<![\w\\=])[IiJjUuVv]_?\{?\d\}?(?![\w{])(?!\s{0,3}=)")
_IS_NAME = re.compile(_NAME)
_LISTED = re.compile(
    rf"(?<![\w\\=]){_NAME}(?:(?:\s{{0,9}}\([^()=]{{1,30}}\)|(?:\s[a-z]{{3,12}}){{1,2}})?"
    rf"(?:\s{{0,9}}(?:,|;|&|\\\\|\band\b|\bund\b|\bet\b|\by\b|\be\b)\s{{0,9}}|\s{{1,9}}){_NAME}){{1,4}}"
)
_HEAD = (
    r"(?<![\w\\}])(?<!det )"
    r"(?P<name>(?!\\?(?:det|Delta))[A-Za-z](?:_\{?\w{1,2}\}?|\w{0,2})['′]?)\s{0,9}&?=\s{0,9}"
)
_RESULT = re.compile(_HEAD + r"(?=[-−–(]{0,2}\s?[\d.]|[-−]?\\?frac\{|\\?det|\\?Delta|[DΔ]_?\{?\w)")
_SOLVED = re.compile(_HEAD + r"(?!\s?[A-Za-z]\w{0,3}\s?=)(?=[^\[|])")
_NO_UNKNOWN = re.compile(r"^(?:[ABDMRGPEWb]|det)")
_INVERSE = r"(?:inv\(\w{1,2}\)|\w{1,2}(?:\^\{?-1\}?|⁻¹|\\))"
_INVERTED = re.compile(  # what a matrix turned over comes to, D^-1 = 1/22.4 * [...]
    rf"(?:[Ii]nverse(?:\s+of\s+\w{{1,2}})?|{_INVERSE})\s{{0,3}}=\s{{0,3}}[^=]{{0,20}}$"
)
_SOLVED_SO = re.compile(  # how a calculator is told to, x = A\\b
    rf"\s*\w{{1,3}}\s{{0,3}}=\s{{0,3}}(?:{_INVERSE}\s{{0,3}}[·*]?\s{{0,3}}\w{{1,2}}|[\w.]{{0,10}}solve\(\w{{1,2}},\s?\w{{1,2}}\))\s*[;.]?\s*"
)
_PRODUCT = re.compile(  # what stands before a column of results, x = A^-1 b
    rf"(?:[\w\\{{}}]{{1,8}}\s{{0,3}}=\s{{0,3}})?{_INVERSE}\s{{0,3}}(?:[·*]|\\cdot)?\s{{0,3}}(?:\w{{1,2}}\s{{0,3}}=?)?[;,.]?"
)
_TARGET = r"(?P<target>(?P<letter>[RLZFrlzf]|Row|row|Zeile|fila|ligne|Eq\.?|eq\.?)\s?_?\{?\d\}?)['′]?"
_SIGN = r"(?:<->|↔|->|→|<-|←|⟶|:=|=|\\(?:left|right|leftright)arrow|\\to)"
_OPERATION = re.compile(
    rf"{_TARGET}\s{{0,3}}{_SIGN}(?P<made>(?:[\s\d./·*×+−–()_{{}}-]|\\frac|\\cdot|(?P=letter)\s?_?\{{?\d)+)\s{{0,3}}:?"
)
_MADE_OF_ROWS = re.compile(
    r"[\s\d./·*×+−–()_{}:;,~→'-]*(?:(?:R|r|L|Z|F|Row|row|Zeile|Zeilen|rows|[IV]{1,3})[\s\d./·*×+−–()_{}:;,~→>'-]*)+"
)
_BETWEEN = re.compile(
    r"\s*(?:~|∼|→|⇒|->|=>|\\sim|\\to|\\(?:long)?[Rr]ightarrow|\\xrightarrow\{[^{}]*\}|=)\s*"
)


@dataclass(frozen=True, slots=True)
class _Matrix:
    """A matrix where it stands, with its name: the line, from where to where (`body`: without the name), as
    typed, and its entries;
    `barred`: whether a bar stands before the last column; `between_bars`: whether it is a determinant."""

    line: int
    start: int
    body: int
    end: int
    name: str
    text: str
    rows: tuple[tuple[str, ...], ...]
    barred: bool = False
    between_bars: bool = False

    @property
    def is_augmented(self) -> bool:
        """Whether its rows are whole equations."""
        whole = len(self.rows[0]) == len(self.rows) + 1 and len(self.rows) >= FEWEST
        return not self.between_bars and (whole or self.barred)

    @property
    def is_square(self) -> bool:
        """Whether it has as many columns as rows, two of them at least."""
        return FEWEST <= len(self.rows) == len(self.rows[0]) <= MOST

    @property
    def column(self) -> tuple[str, ...]:
        """Its entries where it is one column, or one row that stands for that."""
        if all(len(row) == 1 for row in self.rows):
            return tuple(row[0] for row in self.rows)
        return self.rows[0] if len(self.rows) == 1 else ()


@dataclass(frozen=True, slots=True)
class _Instead:
    """What is put in the place of part of a line."""

    start: int
    end: int
    words: str


def sets_written_out(texts: Sequence[str], *, decimal_comma: bool = False) -> list[Mapped]:
    """The lines of a working, with the equations that matrices stand for in their places."""
    lines = [mapped(text) for text in texts]
    if not any(sign in text for text in texts for sign in ("[", "|", "matrix", "array")):
        return lines
    made = _Page(texts, decimal_comma).made()
    return [_with(line, made[at]) if at in made else line for at, line in enumerate(lines)]


class _Page:
    """The matrices of a working, and what they come to."""

    def __init__(self, texts: Sequence[str], decimal_comma: bool) -> None:
        self.texts, self.decimal_comma = texts, decimal_comma
        self.matrices = [m for at, text in enumerate(texts) for m in self._in_line(at, text)]

    def made(self) -> dict[int, list[_Instead]]:
        """What is put in the place of what, line by line."""
        found: dict[int, list[_Instead]] = {}
        for matrix, words in self._equations():
            found.setdefault(matrix.line, []).append(_Instead(matrix.start, matrix.end, words))
        if not found:
            return {}
        for at, text in enumerate(self.texts):
            aside = [m for m in _OPERATION.finditer(text) if m["target"] in m["made"]]
            aside += [m for m in [_SOLVED_SO.fullmatch(text)] if m and at not in found]
            spans = [m.span() for m in aside] + self._around(text, found.get(at, []))
            taken = [(one.start, one.end) for one in found.get(at, ())]
            for start, end in spans:
                if not any(a < end and start < b for a, b in taken):
                    found.setdefault(at, []).append(_Instead(start, end, " ; "))
                    taken.append((start, end))
        return found

    def _around(self, text: str, made: Sequence[_Instead]) -> list[tuple[int, int]]:
        """What stands before, between and behind the matrices of a line and only says how they were made."""
        if not made:
            return []
        order = sorted(made, key=lambda one: one.start)
        ends = [0, *(one.end for one in order)]
        starts = [*(one.start for one in order), len(text)]
        spans = [span for span in zip(ends, starts, strict=True) if text[slice(*span)].strip()]
        plain = (_BETWEEN, _MADE_OF_ROWS, _PRODUCT)
        return [s for s in spans if any(pattern.fullmatch(text[slice(*s)].strip()) for pattern in plain)]

    def _in_line(self, at: int, text: str) -> Iterator[_Matrix]:
        if is_matrix_equation(text):
            return
        found = list(_WHOLE.finditer(text))
        for match in found:
            rows, barred = self._entries(match[0])
            if rows and len({len(row) for row in rows}) == 1:
                called = _CALLED.search(text[: match.start()])
                bars = (
                    "vmatrix" in match[0]
                    or match[0][0] == "|"
                    or text[: match.start()].rstrip().endswith("det")
                )
                name = called["name"] if called else ""
                start = called.start() if called else match.start()
                end = match.end() + (bool(called and called["array"]) and text[match.end() :].startswith(")"))
                yield _Matrix(at, start, match.start(), end, name, match[0], rows, barred, bars)
        if not found and (row := _ROW.match(text)):
            left, right = self._row(row["left"]), self._row(row["right"])
            if left and len(right) == 1:
                yield _Matrix(
                    at,
                    row.start("row"),
                    row.start("row"),
                    row.end("row"),
                    "",
                    row["row"],
                    ((*left, *right),),
                    True,
                )

    def _entries(self, whole: str) -> tuple[tuple[tuple[str, ...], ...], bool]:
        """The rows of a matrix as it is written, and whether a bar stands before its last column."""
        turned = bool(_TURNED.search(whole))
        if "\\begin" in whole:
            inside = re.sub(r"^.*?\\begin\{\w+\}(?:\{[^{}]*\})?|\\end\{.*$", "", whole)
            barred = bool(re.search(r"array\}\{[^{}]*\|", whole))
            texts = [re.sub(r"\\hline", "", row) for row in inside.split("\\\\")]
        elif whole.startswith("[") and "[" in whole[1:]:
            barred, texts = False, re.findall(r"\[([^\[\]]*)\]", whole[1:-1])
        else:
            inside = re.sub(r"^[\[(|]|[\])|](?:\^?T)?$", "", whole)
            texts, barred = inside.split(";"), False
        parted = [re.split(r"[|⋮¦│]|\\vert\b|\\mid\b", text) for text in texts if text.strip()]
        if any(len(parts) == 2 for parts in parted):
            if any(len(parts) != 2 for parts in parted):
                return (), False
            barred = True
        elif any(len(parts) > 2 for parts in parted):
            return (), False
        rows = tuple(tuple(e for part in parts for e in self._row(part.strip(" &"))) for parts in parted)
        if not rows or not all(rows):
            return (), False
        if turned and len(rows) == 1:
            rows = tuple((entry,) for entry in rows[0])
        return rows, barred

    def _row(self, text: str) -> tuple[str, ...]:
        if self.decimal_comma:
            text = re.sub(r"(?<=\d),(?=\d)", ".", text)
        if "&" not in text and "," not in text and re.fullmatch(rf"\s*{_ENTRY}(?:\s+{_ENTRY})*\s*", text):
            return tuple(text.split())
        found = tuple(entries_of(text))
        return found if all(found) and not any("=" in entry for entry in found) else ()

    # -- what they come to ---------------------------------------------------------------------------

    def _equations(self) -> Iterator[tuple[_Matrix, str]]:
        """Each matrix that says something, with what it says."""
        yield from self._of_augmented()
        yield from self._of_pairs()
        yield from self._of_determinants()
        for matrix in self.matrices:
            inverted = _INVERTED.search(self.texts[matrix.line][: matrix.body])
            if matrix.is_square and inverted and not matrix.between_bars:
                yield replace(matrix, start=inverted.start()), ""

    def _of_augmented(self) -> Iterator[tuple[_Matrix, str]]:
        whole = [m for m in self.matrices if m.is_augmented and FEWEST < len(m.rows[0]) <= MOST + 1]
        sizes = {len(m.rows) for m in whole}
        for columns in {len(m.rows[0]): None for m in whole}:
            alike = [m for m in self.matrices if len(m.rows[0]) == columns]
            own = [m for m in alike if m in whole or (len(m.rows) == 1 and not m.between_bars)]
            names = self._unknowns(own[0].line, columns - 1)
            if not names or (sizes == {1} and len(own) < columns - 1):
                continue
            for matrix in own:
                yield matrix, ", ".join(_equation(row[:-1], names, row[-1]) for row in matrix.rows)

    def _of_pairs(self) -> Iterator[tuple[_Matrix, str]]:
        """A named matrix and the column that stands behind it, and columns of results."""
        square: _Matrix | None = None
        column: _Matrix | None = None
        names: tuple[str, ...] = ()
        for matrix in self.matrices:
            if matrix.is_square and matrix.name and not matrix.between_bars:
                square, column, names = matrix, None, self._unknowns(matrix.line, len(matrix.rows))
                continue
            size = len(matrix.column)
            if size >= FEWEST and matrix.name and all(_IS_NAME.fullmatch(entry) for entry in matrix.column):
                names = matrix.column if square else names
                yield matrix, ""
                continue
            if square is None or size != len(square.rows) or not names:
                continue
            if not matrix.name and column is None:
                continue
            if column is None:
                column = matrix
                yield square, ""
                rows = zip(square.rows, column.column, strict=True)
                yield column, ", ".join(_equation(row, names, side) for row, side in rows)
            else:
                yield matrix, ", ".join(f"{n} = {side}" for n, side in zip(names, matrix.column, strict=True))

    def _of_determinants(self) -> Iterator[tuple[_Matrix, str]]:
        """The equations that the determinants of Cramer's rule are of, where the constants first stand."""
        whole: _Matrix | None = None
        told = False
        for matrix in self.matrices:
            named = _DET.match(matrix.name) if matrix.between_bars and matrix.is_square else None
            if named is None:
                continue
            if not named["mark"]:
                whole, told = matrix, False
                continue
            if whole is None or told or len(matrix.rows) != len(whole.rows):
                continue
            columns = list(zip(zip(*whole.rows, strict=True), zip(*matrix.rows, strict=True), strict=True))
            other = [new for old, new in columns if old != new]
            names = self._unknowns(whole.line, len(columns))
            if len(other) != 1 or not names or self._stand_above(whole.line, names):
                continue
            told = True
            rows = zip(whole.rows, other[0], strict=True)
            equations = [_equation(row, names, side) for row, side in rows]
            own = [f"{each.name} = {each.text}" for each in (whole, matrix)]
            yield matrix, ", ".join([*equations, *own])

    def _stand_above(self, line: int, names: Sequence[str]) -> bool:
        """Whether an equation in two of the unknowns stands above a line."""
        for text in self.texts[:line]:
            held = [n for n in names if re.search(rf"(?<![\w\\]){re.escape(n)}(?!\w)", text)]
            if "=" in text and len(held) > 1:
                return True
        return False

    def _unknowns(self, line: int, count: int) -> tuple[str, ...]:
        """What the columns of a matrix in a line are of; none where nothing says so."""
        for text in reversed(self.texts[: line + 1]):
            for listed in _LISTED.finditer(text):
                names = tuple(m[0] for m in re.finditer(rf"(?<![\w\\]){_NAME}", listed[0]))
                if len(names) == count == len(set(names)):
                    return names
            told = tuple(dict.fromkeys(m[0] for m in _NUMBERED.finditer(text)))
            if len(told) == count and len({name[0] for name in told}) == 1:
                return tuple(sorted(told))  # i1 on the left, i2 in the middle
        for pattern in (_RESULT, _SOLVED):
            below = [m["name"] for text in self.texts[line:] for m in pattern.finditer(text)]
            results = list(dict.fromkeys(name for name in below if not _NO_UNKNOWN.match(name)))
            if len(results) >= count:
                return tuple(sorted(results[:count]))
        return ()


def _equation(row: Sequence[str], names: Sequence[str], side: str) -> str:
    """A row as the equation that it is, without what is nought times."""
    kept = [
        (entry, name)
        for entry, name in zip(row, names, strict=True)
        if entry.strip("-−+ ") not in ("0", "0.0")
    ]
    entries, own = [entry for entry, _ in kept], [name for _, name in kept]
    left = re.sub(r"(?<![\w.)])1\*", "", row_times(entries, own)) if kept else "0"
    return f"{re.sub('^- ', '-', left)} = {side}"


def _with(line: Mapped, made: Sequence[_Instead]) -> Mapped:
    """A line with what is put in; what stands there is said to come from where it began."""
    parts: list[Mapped] = []
    last = 0
    for one in sorted(made, key=lambda one: one.start):
        parts.append(line.part(last, one.start))
        parts.append(Mapped(one.words, (line.places[one.start],) * (len(one.words) + 1)))
        last = one.end
    return joined([*parts, line.part(last, len(line.text))], line.places[-1])
