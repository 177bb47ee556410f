"""How much the board holds: the frame, the sizes of letters, and the one rule by which lines scroll off.

The unit is the fortieth part of the frame's height, whatever the frame is shown on. What is in sight follows
from the scene, the light and the shape of the frame alone, so that it is the same forwards and backwards and
in every form of output: the newest line and the lines that are marked stay, then as many others as there is
room for, the newest first. Heights and widths are guessed from the trees and meant to err on the large side.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain

from ..expressions.nodes import (
    Determinant,
    Equation,
    Exponential,
    Expr,
    Negative,
    Quotient,
    Sum,
    Symbol,
    parts_of,
)
from ..expressions.said import Said
from ..sheet.width import RELATION, SIGN, width_of
from .stage import BoardLine, Light, Plan, Scene

HEIGHT = 40.0  # units: the whole frame
USUAL_SHAPE = "16:9"
SHAPES = {"16:9": 640 / 9, "4:3": 160 / 3}  # units: the width of the frame
MARGIN = 1.2  # units: round the frame and between its columns
TITLE = 2.6  # units: the row of the title
REMARK = 4.8  # units: the rows of the remark below the working
FIGURE = {"16:9": 28.0, "4:3": 22.0}  # units: the width of the figure's column
COLUMN = {shape: width - FIGURE[shape] - 3 * MARGIN for shape, width in SHAPES.items()}
LETTERS = 1.75  # units: the usual size of type of a formula
LEAST = 1.0  # units: the smallest size of type anywhere
WORDS = 1.35  # units: the size of type of words
TITLES, CHAPTER = 1.25, 1.15  # units: the usual size of type of the title, and that of a chapter's name
REMARKS = 1.2  # units: the usual size of type of a remark
ROOM = HEIGHT - TITLE - REMARK - 2 * MARGIN  # units: what the lines in sight may take
BETWEEN = 0.55  # units: between two lines
_LETTER = 0.56  # em: the width of a letter of words, spaces and figures included
_BOLD = 0.68  # em: the same of the title and of the name of a chapter, where it must not be too small
_IN_WORDS = 1.15  # the size of a formula in words to the size of these
_SURELY = 0.97  # of a row: what fits it by guessed widths is taken to fit
_FRAME = 1.3  # units: the sides of the frame round a result
_MENU = 4.0  # units: the button of the menu
_NUMBER = 4.1  # units: the number beside a line and the room round it


@dataclass(frozen=True, slots=True)
class LinePiece:
    """A part of a line that does not break: what stands `before` it (a relation, a plus, or nothing) and an
    expression; `width` in em with that."""

    before: str
    expr: Expr
    width: float


def pieces_of(line: BoardLine, shape: str = USUAL_SHAPE) -> tuple[LinePiece, ...]:
    """A formula in the pieces between which it may break: its sides, and the terms of long sums."""
    found: list[LinePiece] = []
    wide = (COLUMN[shape] - _NUMBER) / LETTERS
    for k, side in enumerate(line.sides):
        relation = line.displayed.relations[k - 1] if k else ""
        terms = side.terms if isinstance(side, Sum) and width_of(side) > wide else (side,)
        for at, term in enumerate(terms):
            before = relation if at == 0 else "" if isinstance(term, Negative) else "+"
            extra = (RELATION if relation and at == 0 else 0.0) + (SIGN if at else 0.0)
            found.append(LinePiece(before, term, width_of(term) + extra))
    return tuple(found)


def size_of(line: BoardLine, shape: str = USUAL_SHAPE) -> float:
    """The size of type of a line in units: the usual one, or less where a piece is too wide for it."""
    usual, widest, room = _fit(line, shape)
    return max(LEAST, min(usual, room / widest)) if widest else usual


def is_wide(line: BoardLine, shape: str = USUAL_SHAPE) -> bool:
    """Whether a line holds a piece that does not fit the column at the smallest size: the figure then makes
    room for it."""
    _, widest, room = _fit(line, shape)
    return LEAST * widest > room


def _fit(line: BoardLine, shape: str) -> tuple[float, float, float]:
    """The usual size of type of a line in units, its widest piece in em, and the units there are for that."""
    if line.words or not line.sides:
        formulas = [_width(piece) for piece in line.words if not isinstance(piece, str)]
        return WORDS, max(formulas, default=0.0), COLUMN[shape] - MARGIN
    return LETTERS, max(piece.width for piece in pieces_of(line, shape)), COLUMN[shape] - _NUMBER


def height_of(line: BoardLine, shape: str = USUAL_SHAPE) -> float:
    """How high a line stands, in units, with the space after it."""
    size, column = size_of(line, shape), COLUMN[shape]
    if line.words:
        rows = _rows(line.words, (column - MARGIN) / size)
        highs = [_height(e) for piece in line.words for e in _exprs(piece)]
        return (rows * 1.35 + 1.15 * sum(high - 1.35 for high in _tallest(highs, rows))) * size + BETWEEN
    pieces = pieces_of(line, shape)
    rows, used = 1, 0.0
    row = _SURELY * (column - _NUMBER - (_FRAME if line.result else 0.0))
    for k, piece in enumerate(pieces):
        used += piece.width * size
        if k and used > row:
            rows, used = rows + 1, piece.width * size
    highs = [_height(piece.expr) for piece in pieces]
    frame = 0.9 if line.result else 0.0
    return sum(_tallest(highs, rows)) * size + frame + BETWEEN


def title_size(plan: Plan, shape: str = USUAL_SHAPE) -> float:
    """The size of type of the title in units: the usual one, or the least, in two rows, where it finds no
    room beside the longest name of a chapter."""
    chapter = max((len(title) for title, _ in plan.chapters), default=0) + len(" · 100 of 100")
    free = SHAPES[shape] - 2 * MARGIN - _BOLD * CHAPTER * chapter - 2 * MARGIN - _MENU
    return TITLES if _BOLD * TITLES * len(plan.title) <= free else LEAST


def remark_size(remark: Said, shape: str = USUAL_SHAPE, *, aside: bool = False) -> float:
    """The size of type of a remark in units: the usual one, or the least where it does not find room so.
    `aside`: whether the figure makes room for it."""
    column = (SHAPES[shape] - 2 * MARGIN if aside else COLUMN[shape]) - 1.0
    highs = [_height(e) for piece in remark for e in _exprs(piece)]
    rows = int(sum(map(_width, remark)) * REMARKS / column) + 1
    high = rows * 1.3 + 1.15 * sum(high - 1.35 for high in _tallest(highs, rows))
    return REMARKS if high * REMARKS <= REMARK - 0.4 else LEAST


def _rows(words: Said, wide: float) -> int:
    """How many rows words take, each `wide` em: a formula does not break, and leaves a gap before it."""
    pieces = [[f"{one} " for one in piece.split()] if isinstance(piece, str) else [piece] for piece in words]
    rows, used = 1, 0.0
    for piece in chain.from_iterable(pieces):
        if used and used + _width(piece) > wide:
            rows, used = rows + 1, 0.0
        used += _width(piece)
    return rows


def _tallest(highs: list[float], rows: int) -> list[float]:
    """The heights of so many rows at the most, wherever they break."""
    return sorted(highs, reverse=True)[:rows]


def in_sight(scene: Scene, light: Light, shape: str = USUAL_SHAPE) -> tuple[int, ...]:
    """The keys of the lines that stand in sight in a frame of this shape, in order."""
    marked = {mark.line for mark in light.marks}
    newest = list(reversed(scene.lines))
    first = [line for k, line in enumerate(newest) if k == 0 or line.key in marked]
    rest = [line for line in newest if line not in first]
    kept: set[int] = set()
    left = ROOM
    for line in first:
        if not kept or height_of(line, shape) <= left:
            kept.add(line.key)
            left -= height_of(line, shape)
    for line in rest:
        if height_of(line, shape) > left:
            break
        kept.add(line.key)
        left -= height_of(line, shape)
    return tuple(line.key for line in scene.lines if line.key in kept)


def _width(piece: str | Expr | Equation) -> float:
    return _LETTER * len(piece) if isinstance(piece, str) else _IN_WORDS * width_of(piece)


def _exprs(piece: str | Expr | Equation) -> tuple[Expr, ...]:
    if isinstance(piece, Equation):
        return piece.left, piece.right
    return () if isinstance(piece, str) else (piece,)


def _height(expr: Expr) -> float:
    """The height in em of an expression set on one row."""
    match expr:
        case Quotient(above, below):
            return _height(above) + _height(below) + 0.15
        case Determinant(rows):
            return 0.2 + sum(max(map(_height, row)) + 0.15 for row in rows)
        case Exponential():
            return 2.25
        case Symbol(name) if name.endswith("/dt"):  # how fast a quantity changes, set as a fraction
            return 2.95
        case Symbol(name) if "′" in name:  # a prime above its subscript
            return 1.5
        case _:
            return max([1.35, *map(_height, parts_of(expr))])
