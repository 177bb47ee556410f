"""Limits: a prediction first, then the element fades to a gap or a wire, then the formula, then agreement."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..algebra.ratios import Ratio
from ..checks.limits.cases import LimitCase
from ..checks.limits.expectations import ExpectationVerdict, Judgement, claimed
from ..checks.limits.limit_variables import LimitQuantity, SharedSymbol
from ..expressions.nodes import ZERO, Equation, Symbol
from ..expressions.said import Said, as_text, in_a_row, names
from ..expressions.tidy import tidy
from .parts import outweighed
from .stage import Became, BoardMark, Cut, LectureAct, MarkKind
from .staging import Staging

LONGEST = 90  # characters: a longer limit of a formula is not put on the board


@dataclass(frozen=True, slots=True)
class LimitTold:
    """A limit to be told: the case, the currents that are looked at, and what was expected of it, if that was
    said."""

    case: LimitCase
    looked_at: tuple[str, ...]
    verdict: ExpectationVerdict | None = None


def limit_stages(staging: Staging, told: Sequence[LimitTold], loose: Sequence[ExpectationVerdict]) -> None:
    """Every limit, then those expectations that no limit of one element stands for."""
    staging.begin(LectureAct.LIMITS, "Limits")
    for one in told:
        _limit(staging, one)
    for verdict in loose:
        staging.write(verdict.sentence, words=verdict.sentence)


def _limit(staging: Staging, told: LimitTold) -> None:
    case = told.case
    elements = [("element", name) for name in case.moved]
    silence = staging.pace.silence(LectureAct.LIMITS)
    if told.verdict is None:
        question: Said = (*case.head, ": what do you expect?")
        words: Said = (*case.head, ": ?")
        staging.write(question, words=words, parts=elements, pause=silence)
    else:
        expected = claimed(told.verdict.claim)
        said: Said = ("A prediction: ", *expected, ". Do you agree?")
        staging.write(said, words=("Prediction: ", *expected), parts=elements, pause=silence)
    what = became(case)
    if what is not None:
        fades = " fades to a gap." if what is Became.GAP else " fades to a wire."
        fade = fades if len(case.moved) == 1 else fades.replace("fades", "fade").replace("to a", "to")
        staging.become(case.moved, what, (*names(case.moved), _many(fade, len(case.moved))))
    brief = Cut.LIMITS in staging.left_out and told.verdict is not None
    body = _redrawn(told) if brief else case.sentence[len(case.head) :]
    if body:
        lead = body[0]
        opened: Said = (lead.lstrip(": "), *body[1:]) if isinstance(lead, str) else body
        staging.write(("Drawn again: ", *opened), words=("Drawn again: ", *opened), parts=elements)
    for name in told.looked_at:
        _formula(staging, case, name, brief=brief)
    if told.verdict is not None and not told.looked_at and isinstance(told.verdict.left, Ratio):
        _quantity(staging, told.verdict, told.verdict.left)
    _agreement(staging, told, both=bool(body))
    if what is not None:
        back = " is put back." if len(case.moved) == 1 else " are put back."
        staging.become(case.moved, None, (*names(case.moved), back))


def _many(words: str, count: int) -> str:
    if count == 1:
        return words
    return " fade to gaps." if "gap" in words else " fade to wires."


def became(case: LimitCase) -> Became | None:
    """What the elements of a case are drawn as; None where that shows in no symbol."""
    quantity, shared = case.variable.quantity, isinstance(case.variable, SharedSymbol)
    match quantity:
        case LimitQuantity.RESISTANCE:
            return Became.WIRE if case.to == "0" else Became.GAP
        case LimitQuantity.EMF:
            return Became.WIRE
        case LimitQuantity.INTERNAL:
            return None if case.to == "0" and not shared else Became.GAP
        case _:
            return Became.GAP


def _redrawn(told: LimitTold) -> Said:
    """The currents looked at, as the circuit drawn again gives them; nothing where they are not settled."""
    given = {name: told.case.redrawn.get(name) for name in told.looked_at}
    found: list[Said] = [
        (Equation(Symbol(name), tidy(value)),) for name, value in given.items() if isinstance(value, Ratio)
    ]
    return (*in_a_row(found), ".") if found and len(found) == len(given) else ()


def _quantity(staging: Staging, verdict: ExpectationVerdict, limit: Ratio) -> None:
    """What something other than a current tends to, by its closed form."""
    left = verdict.claim.left
    said: Said = ("The formula: ", Equation(left, tidy(limit), "→"), ".")
    staging.write(said, (left, tidy(limit)), relation="→")


def _formula(staging: Staging, case: LimitCase, name: str, *, brief: bool) -> None:
    """What the closed form does, the terms that no longer count struck."""
    value = case.formula.get(name)
    source = next(
        (
            line
            for line in reversed(staging.scene.lines)
            if line.sides[:1] == (Symbol(name),)
            and len(line.sides) > 1
            and line.relation == "="
            and line.number
        ),
        None,
    )
    if not isinstance(value, Ratio) or source is None:
        return
    limit = tidy(value)
    if len(as_text((limit,))) > LONGEST:
        return
    side = len(source.sides) - 1
    struck = outweighed(source.sides[side], case.symbol, at_zero=case.to == "0")
    marks = [
        BoardMark(source.key, MarkKind.USED),
        *(BoardMark(source.key, MarkKind.STRUCK, side, p) for p in struck),
    ]
    goes = Equation(Symbol(case.symbol), ZERO if case.to == "0" else Symbol("∞"), "→")
    said: Said = ("The formula, as ", goes, ": ", Equation(Symbol(name), limit, "→"), ".")
    if brief and case.redrawn.get(name) == value:
        said = ("The formula tends to the same as ", goes, ".")
    remark: Said = ("Struck: what no longer counts as ", goes, ".")
    staging.write(said, (Symbol(name), limit), relation="→", marks=marks, remark=remark)


def _agreement(staging: Staging, told: LimitTold, *, both: bool) -> None:
    """That the circuit drawn again and the formula agree, and what became of what was expected; `both`:
    whether both were shown."""
    if told.verdict is None:
        staging.write(("Both ways agree.",), words=("Both ways agree.",))
        return
    confirmed = told.verdict.judgement is Judgement.CONFIRMED
    agreed = "Both ways agree, and so does the prediction." if both else "The prediction is confirmed."
    words: Said = (agreed,) if confirmed else told.verdict.sentence
    staging.write(words, words=words)
