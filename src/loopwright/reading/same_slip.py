"""Whether an untrue claim holds the very term that a line above has wrong: the slip of that line again.

Below `(Vb − Va)/2 + (Vb + 10)/5 = 0` with a plus that should be a minus, `I5 = (7.62 + 10)/5` is what was
written there for the current of that branch, with the number of Vb put in. So is a source that was turned
above and is turned here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from ..circuit.elements import Kind
from ..expressions.nodes import Equation, Expr, Quotient, Symbol, negate, numbers_in, parts_within, put_for
from ..expressions.values import symbols_of
from .repair.places import signed_terms
from .so_far import SoFar
from .truth.consequence import NEAREST
from .truth.rounding import lone, value_of
from .verdicts import ClaimKind

SOURCE_TURNED = ("source-sign", "numerator-sign", "terminals-swapped", "sources-all-plus")


def line_of_same_term(so_far: SoFar, written: Equation, is_right: Callable[[Equation], bool]) -> int:
    """The line whose wrong term stands in a claim that is right with the mended one in its place; 0 where
    there is none."""
    wrong = [v for v in so_far.verdicts if v.kind is ClaimKind.UNTRUE and v.repairs and not v.carried]
    for verdict in reversed(wrong[-NEAREST:]):
        above, repair = verdict.claim.written, verdict.repairs[0]
        changes = _changed(above, repair.mended)
        if repair.entry in SOURCE_TURNED:
            turned = ((emf, negate(emf)) for emf in _emfs_in(so_far, above))
            changes += [change for change in turned if is_right(_with_in_both(above, *change))]
        changes += [
            (worked, new if way > 0 else negate(new))
            for old, new in changes
            for worked, way in _worked_out(so_far, old, written)
        ]
        for form in (written, *(put for put, _ in so_far.wrong.without(written))) if changes else ():
            for change in changes:
                mended = _with_in_both(form, *change)
                if mended != form and is_right(mended):
                    return verdict.line
    return 0


def _worked_out(so_far: SoFar, old: Expr, written: Equation) -> Iterator[tuple[Expr, int]]:
    """The quotients in a claim that are a wrong one with what is above its line worked out in the head, and
    their sense: 0.45/5 for (V − 20)/5 and V = 20.45 V."""
    values = {n: so_far.wrong.values()[n][1] for n in symbols_of(old) if n in so_far.wrong.values()}
    if not isinstance(old, Quotient) or set(values) != set(symbols_of(old)):
        return
    numbers = so_far.truths.views[-1].as_rounded.numbers
    known = {n: numbers.written(number) * sign for n, (number, sign) in values.items()}
    meant = value_of(old.above, known)
    for part in parts_within(written):
        number = lone(part.above) if isinstance(part, Quotient) else None
        if isinstance(part, Quotient) and part.below == old.below and number is not None:
            size = numbers.written(number) * (1 if number is part.above else -1)
            ways = [way for way in (1, -1) if abs(size * way - meant) <= numbers.half(number)]
            yield from ((part, way) for way in ways[:1])


def _emfs_in(so_far: SoFar, written: Equation) -> list[Expr]:
    """The emfs that stand in an equation, by their names or as their numbers."""
    circuit = so_far.circuit
    names = [n for n in symbols_of(written) if circuit.role(n) is Kind.BATTERY]
    values = {v for n, v in circuit.numbers.items() if circuit.role(n) is Kind.BATTERY}
    return [*map(Symbol, names), *dict.fromkeys(n for n in numbers_in(written) if n.value in values)]


def _with_in_both(written: Equation, old: Expr, new: Expr) -> Equation:
    return Equation(put_for(written.left, old, new), put_for(written.right, old, new), written.relation)


def _changed(written: Equation, mended: Equation) -> list[tuple[Expr, Expr]]:
    """The terms of an equation that its mend makes others, if they are quotients with a name in them: any
    other may stand in a line for another reason."""
    old, new = (
        [body for side in (one.left, one.right) for _, body in signed_terms(side)]
        for one in (written, mended)
    )
    gone, come = [t for t in old if t not in new], [t for t in new if t not in old]
    are_currents = all(isinstance(t, Quotient) and symbols_of(t) for t in gone)
    return list(zip(gone, come, strict=True)) if are_currents and len(gone) == len(come) else []
