"""A repair in words: what is wrong in the line, where, and what should stand there."""

from __future__ import annotations

from collections.abc import Sequence

from ..expressions.nodes import Equation, Expr, Negative, Symbol
from ..expressions.said import Said, in_a_row, names
from ..laws.equations import Law, LawEquation
from .edits import Change, Edit, WideEdit, body_of
from .line_view import LineView
from .slip_catalogue import CATALOGUE


def told(view: LineView, entry: str, edits: Sequence[Edit | WideEdit], mended: Equation) -> Said:
    """What is wrong, with the terms shown, and the law meant where the mended line is one."""
    found = view.law_of(mended)
    pieces: list[str | Expr | Equation] = []
    for edit in edits:
        if pieces:
            pieces.append("; and ")
        slip = entry if len(edits) == 1 else edit.entry
        own = _wide(edit) if isinstance(edit, WideEdit) else _single(view, slip, edit, found)
        pieces.extend(own)
    if found is not None:
        pieces.extend(_place(*found))
    return tuple(pieces)


def _single(view: LineView, entry: str, edit: Edit, law: tuple[LawEquation, int] | None) -> Said:
    name = CATALOGUE[entry].name
    if edit.change is Change.SIGN:
        return _sign(view, entry, edit, law)
    if edit.change is Change.MISSING:
        sign = "− " if isinstance(edit.wanted, Negative) else "+ "
        return (f"{name}: ", sign, body_of(edit.wanted), " is missing")
    if edit.change is Change.EXTRA:
        return (f"{name}: ", body_of(edit.old), " does not belong there")
    return (f"{name}: ", edit.wanted, " belongs where ", edit.old, " stands")


def _sign(view: LineView, entry: str, edit: Edit, law: tuple[LawEquation, int] | None) -> Said:
    body = body_of(edit.old)
    wanted = ("− ", body) if isinstance(edit.wanted, Negative) else ("+ ", body)
    current = view.current_in(body)
    sense = _sense(view, current, law)
    if entry == "drop-sign" and sense:
        how = "along" if sense > 0 else "against"
        return (
            "the drop ",
            body,
            f" is met {how} the arrow of ",
            Symbol(current),
            ": ",
            *wanted,
            " is wanted",
        )
    if entry == "junction-sign" and law is not None and law[0].law is Law.JUNCTION:
        return (Symbol(current), " is counted on the wrong side: ", *wanted, " is wanted")
    return (f"{CATALOGUE[entry].name}: ", *wanted, " is wanted")


def _sense(view: LineView, current: str, law: tuple[LawEquation, int] | None) -> int:
    """In which sense the loop, travelled as the law says, meets the arrow of a current; 0 if unknown."""
    if law is None or law[0].law is not Law.LOOP or not current:
        return 0
    own = view.names.get(current, {current: 1})
    if len(own) != 1:
        return 0
    (branch, sign), senses = next(iter(own.items())), dict(law[0].loop)
    return senses.get(branch, 0) * sign * law[1]


def _wide(edit: WideEdit) -> Said:
    if edit.entry == "arrow-otherwise":
        return ("the line is right with the arrow of ", edit.parts[0], " the other way")
    if edit.entry == "loaded-divider":
        return ("the load ", edit.parts[1], " lies beside ", edit.parts[0], ", which is not counted")
    name = CATALOGUE[edit.entry].name
    if edit.change is Change.THROUGHOUT:
        return (f"{name}: ", *in_a_row([(part,) for part in edit.parts]), " are exchanged")
    return (f"{name}: the signs of ", *in_a_row([(part,) for part in edit.parts]), " are turned")


def _place(law: LawEquation, sign: int) -> Said:
    """The junction, or the loop with its sense, that the mended line belongs to."""
    if law.law is Law.JUNCTION:
        return (f" (junction {law.point})",)
    if law.law is Law.ELEMENT:
        return ()
    loop = law.loop if sign > 0 else tuple((n, -s) for n, s in reversed(law.loop))
    along = [name for name, sense in loop if sense > 0]
    against = [name for name, sense in loop if sense < 0]
    pieces: list[str | Expr | Equation] = [" (round the loop "]
    if along:
        pieces.extend(("along ", *names(along)))
    if against:
        pieces.extend((" and " if along else "", "against ", *names(against)))
    return (*pieces, ")")
