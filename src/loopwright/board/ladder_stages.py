"""The lecture on a ladder without end, act by act: its first sections, the rest made one resistor, the
quadratic and its root, finite ladders growing section by section, limits, checks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from ..checks.limits.expectations import INFINITE
from ..checks.limits.ladder_limits import LadderLimit
from ..circuit.circuit import Circuit
from ..circuit.ladders import laid_out
from ..expressions.amounts import amount
from ..expressions.nodes import ZERO, Equation, Expr, Quotient, Symbol, parts_of, times
from ..expressions.said import OwnWords, Said, counted, names
from ..expressions.surd_form import surd_form
from ..expressions.tidy import tidy
from ..figure.describe import describe
from ..figure.drawing import Whose
from ..figure.figure import draw, is_drawn
from ..sheet.document import DisplayedLine
from ..sheet.ladder_sheet import MORE_FIGURES, SHOWN, LadderSheet
from ..solve.endless_ladder import closed_by
from .check_stages import check_stages
from .document_stages import displayed_stages
from .parts import Path
from .stage import Became, BoardFigure, BoardLine, BoardMark, Cut, LectureAct, MarkKind
from .staging import Staging

SECTIONS = 2  # that are drawn of a ladder without end


def ladder_lecture(staging: Staging, sheet: LadderSheet, acts: Sequence[LectureAct]) -> None:
    """The acts in the order given. No current is asked of a ladder: in the place of its arrows, what is
    expected of it is."""
    told: dict[LectureAct, Callable[[], None]] = {
        LectureAct.CIRCUIT: lambda: _circuit(staging, sheet),
        LectureAct.QUESTION: lambda: _question(staging, sheet),
        LectureAct.ARROWS: lambda: _expected(staging, sheet),
        LectureAct.EQUATIONS: lambda: _self_similar(staging, sheet),
        LectureAct.WORKING: lambda: _root(staging, sheet),
        LectureAct.NUMBERS: lambda: _finite(staging, sheet),
        LectureAct.LIMITS: lambda: _limits(staging, sheet),
        LectureAct.CHECKS: lambda: check_stages(staging, sheet.ledger, ()),
    }
    for act in acts:
        if act in told:
            told[act]()


# -- the figures -------------------------------------------------------------------------------------


def _of_sections(sheet: LadderSheet, count: int) -> Circuit:
    """So many sections of the ladder, the end open."""
    ladder = replace(sheet.found.ladder, count=count)
    return replace(laid_out(replace(sheet.circuit, ladder=None), ladder), find=())


def _draw(staging: Staging, sheet: LadderSheet, circuit: Circuit, said: Said, caption: str = "") -> None:
    """A circuit drawn, if it is not too large; its words otherwise."""
    if not is_drawn(circuit):
        staging.write(said, words=said)
        return

    def figure(name: str) -> BoardFigure:
        return BoardFigure(name, draw(circuit, resistors=sheet.page.resistors), describe(circuit), caption)

    there = [f for f in staging.figures.values() if (f.words, f.caption) == (describe(circuit), caption)]
    drawn = there[0] if there else staging.made(figure, f"{caption}: {describe(circuit)}")
    staging.draw(drawn, said)


def _closed(sheet: LadderSheet) -> Circuit:
    return closed_by(sheet.circuit, sheet.found.rest)


# -- the acts ----------------------------------------------------------------------------------------


def _circuit(staging: Staging, sheet: LadderSheet) -> None:
    staging.begin(LectureAct.CIRCUIT, "The ladder")
    story: Said = (OwnWords(sheet.circuit.story),) if sheet.circuit.story else ("A ladder without end.",)
    _draw(staging, sheet, _of_sections(sheet, SECTIONS), story, _FIRST)


_ONE = "One section, and all that follows it"
_FIRST = f"The first {SECTIONS} sections; the ladder goes on without end"


def _question(staging: Staging, sheet: LadderSheet) -> None:
    staging.begin(LectureAct.QUESTION, "The question")
    asked: Said = ("To find: ", sheet.asked, " of the ladder whose section is repeated without end.")
    staging.write(asked, words=asked, parts=[("point", point) for point in sheet.found.ladder.start])


def _expected(staging: Staging, sheet: LadderSheet) -> None:
    staging.begin(LectureAct.ARROWS, "What is expected")
    silence = staging.pace.silence(LectureAct.ARROWS)
    question = "Every section more is one more way to the other rail. What does that do to the resistance?"
    staging.point((question,), pause=silence)


def _self_similar(staging: Staging, sheet: LadderSheet) -> None:
    """The first section taken off leaves the same ladder: the rest is one resistor, and the section says what
    it must be."""
    staging.begin(LectureAct.EQUATIONS, "Self-similarity")
    rest, ladder = Symbol(sheet.found.rest), sheet.found.ladder
    first: list[Whose] = [("element", p.element) for b in sheet.circuit.branches for p in b.passes]
    question: Said = ("Take the first section off. What is left?",)
    staging.point(question, parts=first, pause=staging.pace.silence(LectureAct.EQUATIONS))
    left: Said = ("The same ladder, with the same resistance ", rest, ": one that has no end misses nothing.")
    staging.write(left, words=left)
    ends = f"{ladder.end[0]} and {ladder.end[1]}"
    said: Said = (f"So all that follows {ends} is drawn as one resistor, ", rest, ".")
    _draw(staging, sheet, _closed(sheet), said, _ONE)
    line = next(block for block in sheet.lines if block.number == 1)
    whole: list[Whose] = [*first, ("element", sheet.found.rest)]
    displayed_stages(staging, _briefly(staging, line), whole)
    key = staging.scene.lines[-1].key
    both: Said = ("On both sides stands the same ", rest, ".")
    marks = [BoardMark(key, MarkKind.CHANGED, side, path) for side, path in _where(line, rest)]
    staging.point(both, marks=[BoardMark(key, MarkKind.USED), *marks], parts=[("element", sheet.found.rest)])


def _briefly(staging: Staging, line: DisplayedLine) -> DisplayedLine:
    if Cut.BETWEEN in staging.left_out and len(line.sides) > 2:
        return replace(line, sides=(line.sides[0], line.sides[-1]))
    return line


def _where(line: DisplayedLine, symbol: Symbol) -> list[tuple[int, Path]]:
    """Where a symbol stands on a line: in which side, and where there."""

    def places(expr: Expr, path: Path = ()) -> list[Path]:
        if expr == symbol:
            return [path]
        return [p for k, part in enumerate(parts_of(expr)) for p in places(part, (*path, k))]

    return [(0, path) for path in places(line.sides[0])] + [
        (len(line.sides) - 1, path) for path in places(line.sides[-1])
    ]


def _root(staging: Staging, sheet: LadderSheet) -> None:
    """The fraction cleared, the quadratic, its positive root."""
    staging.begin(LectureAct.WORKING, "The root")
    found, rest = sheet.found, Symbol(sheet.found.rest)
    first = staging.numbered(1)
    below = tidy(found.seen.denominator)
    marks = [] if first is None else [BoardMark(first.key, MarkKind.USED)]
    if found.seen.denominator.constant() is None:
        struck = [] if first is None else _denominators(first, below)
        cleared: Said = ("Multiply by ", below, ": ")
        put = Equation(times(rest, below), tidy(found.seen.numerator))
        staging.write(
            (*cleared, put, "."),
            (put.left, put.right),
            marks=[*marks, *struck],
            remark=("Multiplied by ", below, "."),
        )
        marks = [BoardMark(staging.scene.lines[-1].key, MarkKind.USED)]
    square, root = (next(b for b in sheet.lines if b.number == n) for n in (2, 3))
    staging.write(
        ("All on one side: ", Equation(square.sides[0], square.sides[1]), "."),
        square.sides,
        number=2,
        marks=marks,
        remark=("All on one side, by powers of ", rest, "."),
    )
    key = staging.scene.lines[-1].key
    if sheet.found.equation[0]:
        why: Said = ("Two roots, and their product is negative: one is positive, one negative.",)
        silence = staging.pace.silence(LectureAct.WORKING)
        question: Said = (*why, " Which of them is a resistance?")
        staging.point(question, marks=[BoardMark(key, MarkKind.USED)], pause=silence)
    displayed_stages(staging, root)
    if sheet.number is not None:
        number = (sheet.asked, sheet.number)
        staging.write(
            ("With the numbers: ", Equation(*number, "≈"), "."),
            number,
            relation="≈",
            marks=[BoardMark(staging.scene.lines[-1].key, MarkKind.USED)],
        )


def _denominators(line: BoardLine, below: Expr) -> list[BoardMark]:
    """The denominators that clearing strikes out."""

    def places(expr: Expr, path: Path = ()) -> list[Path]:
        own = [(*path, 1)] if isinstance(expr, Quotient) and expr.below == below else []
        return own + [p for k, part in enumerate(parts_of(expr)) for p in places(part, (*path, k))]

    side = len(line.sides) - 1
    return [BoardMark(line.key, MarkKind.STRUCK, side, path) for path in places(line.sides[side])]


def _finite(staging: Staging, sheet: LadderSheet) -> None:
    """Ladders that end, drawn as they grow, and how near they come."""
    staging.begin(LectureAct.NUMBERS, "Finite ladders")
    near, figures = sheet.near, sheet.circuit.figures + MORE_FIGURES
    silence = staging.pace.silence(LectureAct.NUMBERS)
    staging.point(("How near does a ladder of a few sections come?",), pause=silence)
    given = sheet.given
    if given:
        staging.write(given, words=given)
    shown = SHOWN[:SECTIONS] if Cut.CHECKS in staging.left_out else SHOWN
    for count, seen in near.finite.items():
        if count not in shown:
            continue
        sections = counted(count, "section")
        begun = sections[:1].upper() + sections[1:]
        if count <= SECTIONS:
            circuit = _of_sections(sheet, count)
            _draw(staging, sheet, circuit, (f"{begun}, the end open.",), sections)
        over = amount(seen - near.limit, "Ω", 3)
        words: Said = (
            f"{begun}: ",
            Equation(sheet.asked, amount(seen, "Ω", figures)),
            ", over the limit by ",
            over,
            ".",
        )
        staging.write(words, words=words)
    share: Said = (sheet.share,)
    staging.write(share, words=share)


def _limits(staging: Staging, sheet: LadderSheet) -> None:
    """Every limit: a prediction, the section changed, the formula, and that both agree."""
    if not sheet.limits:
        return
    staging.begin(LectureAct.LIMITS, "Limits")
    _draw(
        staging,
        sheet,
        _closed(sheet),
        ("One section and the rest again.",),
        _ONE,
    )
    for case in sheet.limits[:2] if Cut.LIMITS in staging.left_out else sheet.limits:
        _limit(staging, sheet, case)


def _limit(staging: Staging, sheet: LadderSheet, case: LadderLimit) -> None:
    goes = Equation(Symbol(case.symbol), INFINITE if case.to_infinity else ZERO, "→")
    own = [e.name for e in sheet.circuit.elements.values() if e.value == Symbol(case.symbol)]
    lit: list[Whose] = [("element", name) for name in own]
    silence = staging.pace.silence(LectureAct.LIMITS)
    question: Said = ("As ", goes, ", what do you expect of ", sheet.asked, "?")
    staging.write(question, words=(goes, ": ?"), parts=lit, pause=silence)
    what, words = (Became.GAP, "gap") if case.to_infinity else (Became.WIRE, "wire")
    fades = f" fades to a {words}." if len(own) == 1 else f" fade to {words}s."
    staging.become(own, what, (*names(own), f"{fades} So it is in every section."))
    limit: Expr = INFINITE if case.resistance is None else surd_form(case.resistance)
    drawn: Said = ("Drawn again, the ladder has no other way: ", sheet.asked, " grows without limit.")
    if case.resistance is not None:
        drawn = ("Drawn again, with such sections: ", Equation(sheet.asked, limit), ".")
    staging.write(drawn, words=drawn, parts=lit)
    root = staging.numbered(3)
    marks = [] if root is None else [BoardMark(root.key, MarkKind.USED)]
    formula: Said = ("The formula: ", Equation(sheet.asked, limit, "→"), ".")
    if case.resistance is None:
        staging.write(formula, words=formula, marks=marks)
    else:
        staging.write(formula, (sheet.asked, limit), relation="→", marks=marks)
    agreed: Said = ("Both ways agree.",) if case.agree else ("Whether both agree is left open.",)
    staging.write(agreed, words=agreed)
    back = " is put back." if len(own) == 1 else " are put back."
    staging.become(own, None, (*names(own), back))
