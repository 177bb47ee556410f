"""The working, move by move: laws that grow term by term, and moves of algebra with what they use lit.

Written from the steps of a derivation by whatever method; what a step says is all said, nothing is worked
here. A step that puts something in is told in two stages, the line before it is tidied and the line after.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..circuit.circuit import Circuit
from ..derive.steps import Move, Step
from ..expressions.nodes import ZERO, Equation, Expr, Negative, Product, Quotient, Sum, Symbol, add, parts_of
from ..expressions.said import Said
from ..figure.drawing import Whose
from ..graph.lines import Loop
from ..laws.equations import Law, LawEquation, round_loop
from ..laws.term_reasons import term_reasons
from .parts import places_of
from .stage import BoardMark, Cut, MarkKind
from .staging import Staging

_AFTER = "; "  # in a reason: what is done next


def law_stages(staging: Staging, circuit: Circuit, step: Step, law: LawEquation) -> None:
    """A junction lit and its equation; a loop travelled while its equation grows; a current that an element
    fixes."""
    if law.law is Law.LOOP and _grows(circuit, step, law):
        _travelled(staging, circuit, step, law)
    elif law.law is Law.JUNCTION and law.point in circuit.named_points:
        ends = [b.name for b in circuit.branches if law.point in (b.start, b.end)]
        parts: list[Whose] = [("point", law.point), *(("arrow", name) for name in ends)]
        move_stages(staging, step, parts)
    else:
        move_stages(staging, step, [("wire", law.branch), ("arrow", law.branch)])


def move_stages(staging: Staging, step: Step, parts: Sequence[Whose] = ()) -> None:
    """A step of algebra: the line as it is once something was put in, then the line it comes to; or one line
    that grows side by side."""
    way = step.on_the_way
    first, rest = _halves(step.reason, way)
    if way is not None and way.left != step.written.left:
        _put_in(staging, step, way, first, rest)
        return
    sides = step.chain
    if step.move is Move.PUT_BACK and len(sides) > 2 and Cut.BETWEEN in staging.left_out:
        sides, first = (sides[0], sides[-1]), step.reason
    marks = _used(staging, step, sides[1] if len(sides) > 1 else sides[0])
    done = len(sides) == 2
    said: Said = (*_lead(first if not done else step.reason), Equation(sides[0], sides[1]), ".")
    key = staging.write(
        said,
        sides[:2],
        number=step.number if done else 0,
        result=step.is_result and done,
        parts=[*parts, *(_solved(step) if done else ())],
        marks=marks,
        remark=first if not done else step.reason,
    )
    for k in range(2, len(sides)):
        last = k == len(sides) - 1
        told: Said = (*_lead(rest if k == 2 else ()), "this equals ", sides[k], ".")
        staging.grow(
            key,
            told,
            sides[: k + 1],
            number=step.number if last else 0,
            result=step.is_result and last,
            parts=_solved(step) if last else (),
            marks=[BoardMark(0, MarkKind.NEW, k), *_cancelled(sides, key, k)],
            remark=rest if k == 2 else (),
        )
    for also in step.apart:
        staging.write((also, "."), (also.left, also.right), remark=step.reason)


def _put_in(staging: Staging, step: Step, way: Equation, first: Said, rest: Said) -> None:
    """The line as it is once something was put in, what came in marked, and the line it comes to."""
    marks = _used(staging, step, way.left, way.right)
    key = staging.write((*_lead(first), way, "."), (way.left, way.right), marks=marks, remark=first)
    told = rest or ("So",)
    staging.write(
        (*_lead(told), Equation(*_two(step)), "."),
        step.chain[:2],
        number=step.number,
        result=step.is_result,
        parts=_solved(step),
        marks=[BoardMark(key, MarkKind.USED)],
        remark=rest,
    )
    line = staging.scene.lines[-1].key
    for k in range(2, len(step.chain)):
        staging.grow(line, ("This equals ", step.chain[k], "."), step.chain[: k + 1], result=step.is_result)
    for also in step.apart:
        staging.write((also, "."), (also.left, also.right), remark=step.reason)


def _two(step: Step) -> tuple[Expr, Expr]:
    return step.chain[0], step.chain[1]


def _solved(step: Step) -> list[Whose]:
    return [("arrow", step.solves), ("wire", step.solves)] if step.solves and step.is_result else []


# -- a loop travelled --------------------------------------------------------------------------------


def _terms(step: Step) -> tuple[Expr, ...]:
    """The rises and drops of a loop equation as the step writes them, before anything is collected."""
    written = step.on_the_way or step.written
    left = written.left
    return left.terms if isinstance(left, Sum) else (left,)


def _grows(circuit: Circuit, step: Step, law: LawEquation) -> bool:
    """Whether the line has one term for each element crossed, so that it can be written term by term."""
    known = set(circuit.currents)
    if not all(name in known for name, _ in law.loop):
        return False
    return len(_terms(step)) == len(round_loop(circuit, law.loop)) > 1


def _travelled(staging: Staging, circuit: Circuit, step: Step, law: LawEquation) -> None:
    """The loop, then its elements one by one, each with its term and the reason of its sign."""
    name = f"({step.number})"
    first, rest = _halves(step.reason, step.on_the_way)
    staging.loop(name, _spoken_loop(first), loop_parts(circuit, law.loop))
    terms, written = _terms(step), step.on_the_way or step.written
    key = 0
    for k, (told, crossed) in enumerate(
        zip(term_reasons(circuit, law), round_loop(circuit, law.loop), strict=True)
    ):
        so_far = add(*terms[: k + 1])
        parts = [("element", told.element), ("arrow", crossed.branch)]
        term = terms[k]
        sign = "minus " if isinstance(term, Negative) else "plus " if k else ""
        body = term.body if isinstance(term, Negative) else term
        said: Said = (*_as_clause(told.reason), f": {sign}", body, ".")
        if k == 0:
            key = staging.write(said, (so_far,), parts=parts, remark=told.reason)
        else:
            marks = [BoardMark(0, MarkKind.NEW, 0, (k,))]
            staging.grow(key, said, (so_far,), parts=parts, marks=marks, remark=told.reason)
    collected = step.on_the_way is not None
    brief = Cut.AGAIN in staging.left_out and written.right == ZERO
    staging.grow(
        key,
        ("Back at the start: equals zero.",) if brief else ("Back at the start: ", written, "."),
        (written.left, written.right),
        number=0 if collected else step.number,
        parts=loop_parts(circuit, law.loop),
        remark=("Once round, the rises and drops add up to nothing.",),
    )
    if collected:
        staging.write(
            (*_lead(rest or ("Collect",)), Equation(*_two(step)), "."),
            step.chain,
            number=step.number,
            marks=[BoardMark(key, MarkKind.USED)],
            remark=rest,
        )


def loop_parts(circuit: Circuit, loop: Loop) -> list[Whose]:
    """Whatever of the figure lies on a loop."""
    found: list[Whose] = []
    for name, _ in loop:
        found.append(("wire", name))
        found += [("element", p.element) for p in circuit.branch(name).passes]
    return found


def _spoken_loop(reason: Said) -> Said:
    """The reason of a loop's line as the beginning of its travel."""
    return (*reason, ".") if isinstance(reason[-1], Symbol) else reason


def _as_clause(reason: Said) -> Said:
    """A sentence without its full stop."""
    last = reason[-1]
    return (*reason[:-1], last.rstrip(". ")) if isinstance(last, str) else reason


# -- reasons and marks -------------------------------------------------------------------------------


def _halves(reason: Said, way: Equation | None) -> tuple[Said, Said]:
    """A reason in two: what is put in, and what is done then. The line on the way is told by itself."""
    for k, piece in enumerate(reason):
        if way is not None and piece == way:
            return _closed(reason[:k]), _opened(reason[k + 1 :])
    for k, piece in enumerate(reason):
        if type(piece) is str and _AFTER in piece:
            before, _, after = piece.partition(_AFTER)
            return _closed((*reason[:k], before)), _opened((after, *reason[k + 1 :]))
    return reason, ()


def _closed(said: Said) -> Said:
    """Running text that ends as a sentence does."""
    if not said:
        return ()
    last = said[-1]
    if isinstance(last, str):
        last = last.rstrip(" :;,.")
        return (*said[:-1], last + ".") if last else _closed(said[:-1])
    return (*said, ".")


def _opened(said: Said) -> Said:
    """Running text that begins as a sentence does."""
    while said and isinstance(said[0], str) and not said[0].strip(" ;:,."):
        said = said[1:]
    if said and isinstance(said[0], str):
        first = said[0].lstrip(" ;:,.")
        return _closed((first[:1].upper() + first[1:], *said[1:]))
    return _closed(said)


def _lead(reason: Said) -> Said:
    """A reason before the line that it leads to."""
    if not reason:
        return ()
    return (*_as_clause(reason), ": ")


def _used(staging: Staging, step: Step, *sides: Expr) -> list[BoardMark]:
    """Marks on the lines used, on what of them goes away, and on what came in its place."""
    marks: list[BoardMark] = []
    lines = [line for n in dict.fromkeys(step.uses) if (line := staging.numbered(n)) is not None]
    for line in lines:
        marks.append(BoardMark(line.key, MarkKind.USED))
    for line in lines:
        left, right = line.sides[0], line.sides[-1]
        if not isinstance(left, Symbol) or isinstance(right, Symbol):
            continue
        for k, side in enumerate(sides):
            at = k if len(sides) > 1 else 1
            marks += [BoardMark(0, MarkKind.CHANGED, at, path) for path in places_of(side, right)]
        for other in lines:
            if other is not line and step.move in (Move.PUT_IN, Move.PUT_BACK):
                marks += [
                    BoardMark(other.key, MarkKind.CHANGED, k, path)
                    for k, side in enumerate(other.sides)
                    for path in places_of(side, left)
                ]
    if step.factor is not None:
        for line in lines:
            marks += [BoardMark(line.key, MarkKind.STRUCK, k, p) for k, p in _below(line.sides, step.factor)]
    return marks


def _below(sides: Sequence[Expr], factor: Expr) -> list[tuple[int, tuple[int, ...]]]:
    """The denominators that a factor clears."""
    found: list[tuple[int, tuple[int, ...]]] = []
    for k, side in enumerate(sides):
        for path, part in _quotients(side):
            if part.below == factor:
                found.append((k, (*path, 1)))
    return found


def _quotients(expr: Expr, path: tuple[int, ...] = ()) -> list[tuple[tuple[int, ...], Quotient]]:
    own = [(path, expr)] if isinstance(expr, Quotient) else []
    return own + [q for k, part in enumerate(parts_of(expr)) for q in _quotients(part, (*path, k))]


def _cancelled(sides: Sequence[Expr], key: int, side: int) -> list[BoardMark]:
    """The factors of a denominator that are gone in a side of a line, struck in the one before."""
    side -= 1
    before, after = sides[side], sides[side + 1]
    marks: list[BoardMark] = []
    gone = _quotients(after)
    left = gone[0][1].below if gone else None
    for path, quotient in _quotients(before)[:1]:
        below = quotient.below
        if isinstance(below, Product) and left is not None:
            kept = left.factors if isinstance(left, Product) else (left,)
            marks += [
                BoardMark(key, MarkKind.STRUCK, side, (*path, 1, k))
                for k, factor in enumerate(below.factors)
                if factor not in kept
            ]
    return marks
