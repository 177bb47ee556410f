"""A repair in words: what is wrong in the line, where, and what should stand there."""

from __future__ import annotations

from collections.abc import Sequence

from ...expressions.nodes import Equation, Expr, Negative, Sum, Symbol
from ...expressions.said import Said, in_a_row, names
from ...expressions.values import symbols_of
from ...graph.lines import Loop, reversed_loop
from ...laws.equations import Law, LawEquation
from ...slips.catalogue import CATALOGUE
from .edits import Change, Edit, WideEdit, body_of
from .line_view import LineView, NameSort


def repair_said(view: LineView, entry: str, edits: Sequence[Edit | WideEdit], mended: Equation) -> Said:
    """What is wrong, with the terms shown, and the law meant where the mended line is one."""
    found = view.law_of(mended)
    law = found[0] if found is not None else None
    loop = _travelled(view, edits, mended, *found) if found is not None else ()
    pieces: list[str | Expr | Equation] = []
    for edit in edits:
        if pieces:
            pieces.append("; and ")
        slip = entry if len(edits) == 1 else edit.entry
        pieces.extend(_wide(edit) if isinstance(edit, WideEdit) else _single(view, slip, edit, law, loop))
    return (*pieces, *_place(law, loop))


def _travelled(
    view: LineView, edits: Sequence[Edit | WideEdit], mended: Equation, law: LawEquation, sign: int
) -> Loop:
    """The loop in the sense of travel that the line suggests: along the arrow of the first drop that is
    not the one in question, as most people go; otherwise so that rises count as positive."""
    if law.law is not Law.LOOP:
        return ()
    doubted = {view.current_in(e.old) for e in edits if isinstance(e, Edit)}
    for name in symbols_of(mended):
        if view.sort(name) is NameSort.CURRENT and name not in doubted:
            sense = _sense(view, name, law.loop)
            if sense:
                return law.loop if sense > 0 else reversed_loop(law.loop)
    return law.loop if sign > 0 else reversed_loop(law.loop)


def _single(view: LineView, entry: str, edit: Edit, law: LawEquation | None, loop: Loop) -> Said:
    name = CATALOGUE[entry].name
    if edit.change is Change.SIGN:
        return _sign(view, entry, edit, law, loop)
    if edit.change is Change.MISSING:
        sign = "− " if isinstance(edit.wanted, Negative) else "+ "
        inside = _term_round(view, edit) if len(edit.path) > 1 else None
        within: Said = ("in ", inside, ", ") if inside is not None else ()
        return (f"{name}: ", *within, sign, body_of(edit.wanted), " is missing")
    if edit.change is Change.EXTRA:
        return (f"{name}: ", body_of(edit.old), " does not belong there")
    term = _term_round(view, edit)
    place: Said = ("in ", term, ", ") if term is not None else ()
    return (f"{name}: ", *place, edit.wanted, " belongs where ", edit.old, " stands")


def _term_round(view: LineView, edit: Edit) -> Expr | None:
    """The term that holds the small part changed, to be shown with it; None where the whole term is
    changed."""
    inside = [s for s in view.places if s.is_term and s.path == edit.path[: len(s.path)]]
    terms = [s.expr for s in inside if not isinstance(s.expr, Sum)]
    return body_of(terms[-1]) if terms and body_of(terms[-1]) != body_of(edit.old) else None


def _sign(view: LineView, entry: str, edit: Edit, law: LawEquation | None, loop: Loop) -> Said:
    body = body_of(edit.old)
    if isinstance(body, Negative):  # of −(−2): what is wanted is −2
        return (f"{CATALOGUE[entry].name}: ", body, " is wanted where ", edit.old, " stands")
    wanted = ("− " if isinstance(edit.wanted, Negative) else "+ ", body, " is wanted")
    current = view.current_in(body)
    sense = _sense(view, current, loop)
    if entry == "drop-sign" and sense:
        how = "along" if sense > 0 else "against"
        return ("the drop ", body, f" is met {how} the arrow of ", Symbol(current), ": ", *wanted)
    if entry == "junction-sign" and law is not None and law.law is Law.JUNCTION:
        return (Symbol(current), " is counted on the wrong side: ", *wanted)
    return (f"{CATALOGUE[entry].name}: ", *wanted)


def _sense(view: LineView, current: str, loop: Loop) -> int:
    """In which sense a loop meets the arrow of a current; 0 where it does not."""
    own = view.names.get(current, {current: 1})
    branch, sign = next(iter(own.items()))
    return dict(loop).get(branch, 0) * sign if len(own) == 1 else 0


def _wide(edit: WideEdit) -> Said:
    if edit.entry == "arrow-otherwise":
        return ("the line is right with the arrow of ", edit.parts[0], " the other way")
    if edit.entry == "loaded-divider":
        return ("the load ", edit.parts[1], " lies beside ", edit.parts[0], ", which is not counted")
    if edit.entry == "open-no-voltage":
        why = "no current flows through the gap, and the rest of the circuit holds its ends "
        return (why, edit.parts[1], " apart")
    name = CATALOGUE[edit.entry].name
    if edit.entry in ("drop-missing", "term-missing") and edit.change is Change.OTHER:
        return (f"{name}: ", edit.parts[0], " is what there would be without ", edit.parts[1])
    if edit.change is Change.PLACES:
        where = " stands, in more than one place"
        return (f"{name}: ", edit.parts[1], " belongs where ", edit.parts[0], where)
    if edit.change is Change.WORKED:
        left, right = edit.parts
        return (f"{name}: ", Equation(left, right), " comes to ", edit.mended)
    if edit.change is Change.MISSING:
        sign = "− " if isinstance(edit.parts[0], Negative) else "+ "
        return (f"{name}: ", sign, body_of(edit.parts[0]), " is missing")
    if edit.change is Change.OTHER:
        idea = CATALOGUE[edit.entry].said.rstrip(".")
        return (f"{name}: ", edit.parts[0], f" comes of the idea that {idea[:1].lower()}{idea[1:]}")
    if edit.change is Change.THROUGHOUT and edit.entry != "subscript":
        return (f"{name}: ", edit.parts[1], " belongs where ", edit.parts[0], " stands")
    if edit.change is Change.THROUGHOUT:
        return (f"{name}: ", *in_a_row([(part,) for part in edit.parts]), " are exchanged")
    return (f"{name}: the signs of ", *in_a_row([(part,) for part in edit.parts]), " are reversed")


def _place(law: LawEquation | None, loop: Loop) -> Said:
    """The junction, or the loop with its sense, that the mended line belongs to."""
    if law is not None and law.law is Law.JUNCTION:
        return (f" (junction {law.point})",)
    along = [name for name, sense in loop if sense > 0]
    against = [name for name, sense in loop if sense < 0]
    if not loop:
        return ()
    pieces: list[str | Expr | Equation] = [" (round the loop "]
    if along:
        pieces.extend(("along ", *names(along)))
    if against:
        pieces.extend((" and " if along else "", "against ", *names(against)))
    return (*pieces, ")")
