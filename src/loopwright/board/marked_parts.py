"""A formula in any markup with some of its parts marked: struck, changed, new or used.

A part is found in the markup of the whole by a sign that no formula holds: its symbols are renamed, so that
what is written for it occurs once and can be taken out for what is written for the part itself, marked. So
one way serves every writer of formulas, and none of them knows of marks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from ..expressions.nodes import Expr, Negative, Number, Power, Sum, Symbol, alike, parts_of
from ..expressions.writers import plain
from .parts import Path, part_at
from .room import USUAL_SHAPE, pieces_of
from .stage import BoardLine, BoardStage

PartMarks = tuple[tuple[int, Path, str], ...]  # side, path, kind
Render = Callable[[Expr, Mapping[str, str]], str]  # a writer of formulas, given what symbols stand for
Wrap = Callable[[str, str], str]  # markup and the kind of mark -> markup

_SIGN = "ꙮ"  # a letter of no formula


def part_marks(stage: BoardStage, key: int) -> PartMarks:
    """The parts of a line that a stage marks."""
    found = [(m.side, m.path, str(m.kind)) for m in stage.light.marks if m.line == key and m.side >= 0]
    return tuple(dict.fromkeys(found))


def marked_pieces(
    line: BoardLine, marks: PartMarks, shape: str = USUAL_SHAPE
) -> Iterator[tuple[str, Expr, list[tuple[Path, str]]]]:
    """The pieces between which a formula may break, each with what stands before it and its own marks."""
    pieces = list(pieces_of(line, shape))
    for side, expr in enumerate(line.sides):
        own = [(path, kind) for at, path, kind in marks if at == side]
        mine = pieces[: 1 if pieces[0].expr is expr else len(getattr(expr, "terms", (expr,)))]
        pieces = pieces[len(mine) :]
        for term, piece in enumerate(mine):
            inner = own if piece.expr is expr else [(p[1:], k) for p, k in own if p[:1] == (term,)]
            yield piece.before, piece.expr, inner


def marked(
    expr: Expr, roles: Mapping[str, str], marks: Sequence[tuple[Path, str]], render: Render, wrap: Wrap
) -> str:
    """The markup of an expression in which the part at each path is wrapped as its kind asks. Of parts that
    hold one another the first is marked alone; a part that cannot be told from the rest is not marked."""
    chosen: list[tuple[Path, str]] = []
    for path, kind in dict.fromkeys((_bare(expr, path), kind) for path, kind in marks):
        if not any(path[: len(p)] == p or p[: len(path)] == path for p, _ in chosen):
            chosen.append((path, kind))
    if not chosen:
        return render(expr, roles)
    signed, known = expr, dict(roles)
    found: list[tuple[str, str]] = []
    for k, (path, kind) in enumerate(chosen, 1):
        part = part_at(expr, path)
        stand_in = _renamed(part, _SIGN * k, known)
        signed = _put(signed, path, stand_in)
        found.append((render(stand_in, known), wrap(render(part, roles), kind)))
    markup = render(signed, known)
    if any(markup.count(sought) != 1 for sought, _ in found):
        return render(expr, roles)
    for sought, shown in found:
        markup = markup.replace(sought, shown)
    return render(expr, roles) if _SIGN in markup else markup


def _renamed(part: Expr, sign: str, known: dict[str, str]) -> Expr:
    """The part with its symbols and numbers renamed; what they stand for is noted in `known`."""
    match part:
        case Symbol(name):
            if name in known:
                known[name + sign] = known[name]
            return Symbol(name + sign)
        case Number(_, unit, text):
            shown = text or plain.render(replace(part, unit="")) if not unit else text
            return replace(part, text=shown + sign) if shown else part
        case _:
            return alike(part, [_renamed(inner, sign, known) for inner in parts_of(part)])


def _put(expr: Expr, path: Path, part: Expr) -> Expr:
    """The expression with another part at a path."""
    if not path:
        return part
    inner = list(parts_of(expr))
    inner[path[0]] = _put(inner[path[0]], path[1:], part)
    return alike(expr, inner)


def _bare(expr: Expr, path: Path) -> Path:
    """The path to what stands by itself: a term without the minus that stands before it as an operation, a
    whole power for its base."""
    for k in range(len(path)):
        if isinstance(part_at(expr, path[:k]), Power):
            return path[:k]
    part = part_at(expr, path)
    if isinstance(part, Negative) and path and isinstance(part_at(expr, path[:-1]), Sum) and path[-1]:
        return (*path, 0)
    return path
