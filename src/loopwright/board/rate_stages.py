"""Between just after and long after: the time constant, the loop rule up to the function of time, what every
quantity asked does, and its curve, which grows piece by piece."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import partial

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Element, Kind, Pass
from ..expressions.nodes import Equation, Expr, Sum, Symbol
from ..expressions.said import Said, names
from ..figure.curve import CurveMark
from ..figure.drawing import Drawing, Whose
from ..figure.figure import draw
from ..sheet.document import DisplayedLine, Heading
from ..sheet.stage_blocks import StageBlocks
from ..sheet.storage_sheet import StorageSheet, TimeCurve
from ..transients.loop_rule import RateLine, loop_rule_lines
from .document_stages import displayed_stages, document_stages
from .parts import places_of
from .stage import Became, BoardFigure, BoardLine, BoardMark, Cut, LectureAct, MarkKind
from .staging import Staging
from .time_stages import after_stage, called_after

CURVE = 58.0  # mm: the width of a curve, so that it is read from the back row
_SOURCE = "V∞"  # of the circuit that a storage sees

# -- the time constant -------------------------------------------------------------------------------


def time_constant_stages(staging: Staging, sheet: StorageSheet, part: StageBlocks) -> None:
    """The time constant: what the storage sees with every source at rest; or how several come about."""
    blocks = part.time_constants()
    if not blocks:
        return
    staging.begin(LectureAct.WORKING, called_after(sheet, part, _head(blocks[0])))
    lines = [block for block in blocks if isinstance(block, DisplayedLine)]
    name = part.single
    if not name or len(lines) < 2 or part.stage.seen.get(name) is None:
        document_stages(staging, blocks[1:])
        return
    after_stage(staging, sheet, part, ("The circuit after the move again.",))
    again = bool(part.stage.begins) and Cut.SECOND in staging.left_out
    back: list[str] = []
    if not again:
        silence = staging.pace.silence(LectureAct.WORKING)
        question: Said = ("Which resistances does ", Symbol(name), " see, with every source at rest?")
        staging.point(question, parts=[("element", name)], pause=silence)
        back = [*_at_rest(staging, part), name]
        out: Said = (Symbol(name), " is taken out, and one looks in between its ends.")
        staging.become([name], Became.GAP, out)
    brief = Cut.BETWEEN in staging.left_out
    resistors: list[Whose] = [
        ("element", n) for n, e in part.circuit.elements.items() if e.kind is Kind.RESISTOR
    ]
    seen, tau = lines
    displayed_stages(staging, _briefly(seen) if brief else seen, resistors)
    if back:
        staging.become(back, None, (*names(back), " is put back." if len(back) == 1 else " are put back."))
    displayed_stages(staging, _briefly(tau) if brief else tau, [("element", name)])


def _head(block: object) -> str:
    return block.words if isinstance(block, Heading) else "Time constant"


def _briefly(line: DisplayedLine) -> DisplayedLine:
    """A line with its first form and its last."""
    return replace(line, sides=(*line.sides[:2], *line.sides[-1:])) if len(line.sides) > 3 else line


def _at_rest(staging: Staging, part: StageBlocks) -> list[str]:
    """The sources that fade: an emf to a wire, a current source to a gap."""
    rested: list[str] = []
    for kind, what, words in (
        (Kind.BATTERY, Became.WIRE, "a wire"),
        (Kind.CURRENT_SOURCE, Became.GAP, "a gap"),
    ):
        met = {p.element for b in part.circuit.branches for p in b.passes}
        own = [n for n, e in part.circuit.elements.items() if e.kind is kind and n in met]
        if own:
            fades = f" fades to {words}." if len(own) == 1 else f" fade to {words[2:]}s."
            staging.become(own, what, (*names(own), fades))
            rested += own
    return rested


# -- from the loop rule ------------------------------------------------------------------------------


def loop_rule_stages(staging: Staging, part: StageBlocks, above: int) -> None:
    """The loop rule round the storage and what it sees, term by term, and from there move by move to the
    function of time. `above`: how many numbers lines have taken so far."""
    lines = loop_rule_lines(part.stage) if part.single and not part.stage.begins else ()
    if not lines:
        return
    staging.begin(LectureAct.WORKING, "From the loop rule")
    _seen_from(staging, part, lines[0], above + 1)
    for number, line in enumerate(lines[1:], above + 2):
        used = [at for n in line.uses if (at := staging.numbered(above + n)) is not None]
        told: Said = (*_clause(line.reason), ": ", Equation(*line.sides), ".")
        last = number == above + len(lines)
        staging.write(
            told,
            line.sides,
            number=number,
            result=last,
            marks=_came_in(used, line),
            remark=line.reason,
        )


def _clause(reason: Said) -> Said:
    last = reason[-1]
    return (*reason[:-1], last.rstrip(". ")) if isinstance(last, str) else reason


def _came_in(used: Sequence[BoardLine], line: RateLine) -> list[BoardMark]:
    """The lines used, what of them goes away, and what came in its place."""
    marks = [BoardMark(one.key, MarkKind.USED) for one in used]
    for one in used:
        left, right = one.sides[0], one.sides[-1]
        if isinstance(left, Symbol):
            for other in used:
                if other is not one:
                    marks += _places(other.key, other.sides, left)
            marks += _places(0, line.sides, right)
    return marks


def _places(key: int, sides: Sequence[Expr], part: Expr) -> list[BoardMark]:
    return [
        BoardMark(key, MarkKind.CHANGED, k, path)
        for k, side in enumerate(sides)
        for path in places_of(side, part)
    ]


def _seen_from(staging: Staging, part: StageBlocks, line: RateLine, number: int) -> None:
    """The circuit as the storage sees it, and the loop equation of it, which grows term by term."""
    name = part.single
    whole, drops = line.sides
    first, second = drops.terms if isinstance(drops, Sum) else (drops, drops)
    figure = staging.made(partial(_equivalent, part, whole, number), "as it is seen")
    current = part.circuit.branch_of(name).name
    seen: Said = ("Seen from ", Symbol(name), ", the rest is one source behind one resistance.")
    staging.draw(figure, seen, arrows=[current])
    loop: Said = ("Once round the loop, along the arrow of ", Symbol(current), ".")
    staging.loop(f"({number})", loop, [("wire", current)])
    resistance = "Rseen"
    key = staging.write(
        ("The source is crossed from − to +: a rise, ", whole, "."),
        (whole,),
        parts=[("element", _SOURCE)],
        remark=("The source is crossed from − to +: a rise.",),
    )
    along: Said = (Symbol(resistance), " is crossed along the arrow of ", Symbol(current), ": a drop")
    staging.grow(
        key,
        (*along, ", ", first, "."),
        (whole, first),
        parts=[("element", resistance), ("arrow", current)],
        marks=[BoardMark(0, MarkKind.NEW, 1)],
        remark=(*along, "."),
    )
    last: Said = (Symbol(name), " is crossed along it as well: a drop")
    staging.grow(
        key,
        (*last, ", ", second, ". The rise equals the drops: ", Equation(whole, drops), "."),
        (whole, drops),
        number=number,
        parts=[("element", name)],
        marks=[BoardMark(0, MarkKind.NEW, 1, (1,))],
        remark=(*last, "."),
    )


def _equivalent(part: StageBlocks, whole: Expr, number: int, name: str) -> BoardFigure:
    """One source behind one resistance, and the storage; its loop bears the number of its equation."""
    storage = part.single
    own = part.circuit.elements[storage]
    branch = part.circuit.branch_of(storage).name
    elements = {
        _SOURCE: Element(_SOURCE, Kind.BATTERY, whole),
        "Rseen": Element("Rseen", Kind.RESISTOR, Symbol("Rseen")),
        storage: replace(own, internal=None),
    }
    corners = (Pass(_SOURCE, 1), "c", Pass("Rseen"), "a", Pass(storage))
    one, nought = Fraction(1), Fraction(0)
    circuit = Circuit(
        (Branch(branch, "b", "b", corners),),
        elements,
        numbers=part.circuit.numbers,
        written=part.circuit.written,
        places={"b": (one, nought), "a": (one, one), "c": (nought, one)},
    )
    loop = [((branch, 1),)]
    drawing = draw(circuit, resistors=part.page.resistors, loops=loop, loop_names=[f"({number})"])
    words = f"Seen from {storage}: one source, one resistance Rseen and {storage} in one loop."
    return BoardFigure(name, _without_points(drawing), words, f"As {storage} sees it")


def _without_points(drawing: Drawing) -> Drawing:
    """The drawing without the names of its points, which mean nothing here."""
    return _kept(drawing, lambda whose: whose[0] != "point")


# -- in between --------------------------------------------------------------------------------------


def in_between_stages(staging: Staging, sheet: StorageSheet, part: StageBlocks) -> None:
    """What is asked as a function of the time, in symbols, then the numbers put in."""
    values = [value for value in sheet.values if sheet.stage_of(value) is part.stage]
    blocks = part.in_between(values)
    if not blocks:
        return
    staging.begin(LectureAct.WORKING, called_after(sheet, part, "In between"))
    after_stage(staging, sheet, part, ("The circuit after the move again.",))
    brief = Cut.NUMBERED in staging.left_out
    again = bool(part.stage.begins) and Cut.SECOND in staging.left_out
    for block in blocks[1:]:
        if not isinstance(block, DisplayedLine):
            document_stages(staging, [block])
            continue
        sides = block.sides
        if len(sides) > 2 and again:  # in numbers alone, for the letters stand for what was carried over
            sides = (sides[0], sides[-1])
        elif len(sides) > 2 and brief:
            sides = sides[:-1]
        displayed_stages(staging, replace(block, sides=sides))


# -- the curve ---------------------------------------------------------------------------------------


def curve_stages(staging: Staging, sheet: StorageSheet) -> None:
    """Every curve, piece by piece: where it starts, where it ends, how steeply it begins, how it runs."""
    curves = sheet.curves(CURVE)
    if not curves:
        return
    staging.begin(LectureAct.WORKING, "The curve" if len(curves) == 1 else "The curves")
    for k, curve in enumerate(curves):
        name = Symbol(curve.quantity)
        told: list[tuple[CurveMark, Said]] = [
            (CurveMark.START, (name, f" against the time: it starts at {curve.first}.")),
            (CurveMark.END, (f"Long after it is {curve.last}.",)),
        ]
        if curve.tau:
            slope = f"As steep as at the start it would be there after τ = {curve.tau}."
            told.append((CurveMark.TANGENT, (slope,)))
        told.append((CurveMark.COURSE, ("And so it runs.",)))
        if k and Cut.PIECES in staging.left_out:
            told = [(CurveMark.COURSE, (name, f" runs from {curve.first} to {curve.last}."))]
        down = {CurveMark.AXES} if len(told) > 1 else {*CurveMark}
        for mark, said in told:
            down.add(mark)
            which = f"{curve.quantity}: {', '.join(sorted(down))}"
            staging.draw(staging.made(partial(_grown, curve, frozenset(down)), which), said)
        if k == 0 and curve.tau:
            staging.point(_after_taus(name), parts=[("curve", str(CurveMark.COURSE))])


def _grown(curve: TimeCurve, down: frozenset[CurveMark], name: str) -> BoardFigure:
    """A curve as far as it is put down."""
    drawing = _kept(curve.drawing, lambda whose: whose[1] in down)
    told = {
        CurveMark.START: f"starts at {curve.first}",
        CurveMark.END: f"ends at {curve.last}",
        CurveMark.TANGENT: f"first tangent meets the end at τ = {curve.tau}",
    }
    words = ", ".join(text for mark, text in told.items() if mark in down and (curve.tau or "τ" not in text))
    return BoardFigure(name, drawing, f"{curve.quantity} against time: {words}.")


def _kept(drawing: Drawing, wanted: Callable[[Whose], bool]) -> Drawing:
    """The marks of a drawing whose owners are wanted, on a sheet as large."""
    kept = [(m, w) for m, w in zip(drawing.marks, drawing.whose, strict=True) if wanted(w)]
    return replace(drawing, marks=tuple(m for m, _ in kept), whose=tuple(w for _, w in kept))


def _after_taus(name: Symbol) -> Said:
    return ("After τ, 63 % of the way is done; after 5 τ, more than 99 %. ", name, " never quite gets there.")
