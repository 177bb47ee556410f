"""Whether an untrue claim is what untrue lines above give: correct as following from the slip."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from ..algebra.linear import Linear
from ..expressions.nodes import Equation
from .following import NEAREST, Row, Target
from .rounding import Policy, lone, rounds_to, worth
from .truth import View, Worth
from .working import Claim


def carried(view: View, found: Worth, linear: Linear | None, claim: Claim, policy: Policy) -> tuple[int, ...]:
    """The lines that an untrue claim follows from, untrue ones among them; none when it follows from
    nothing written.

    Lines that contradict one another give anything, so the untrue lines are taken first, then true ones
    as long as they agree with those: all that do, the nearest first, or one or two of them alone, since
    another line may have been put aside where a person went on from this one.
    """
    rows = view.rows.rows
    wrong = _agreeing(view, [row for row in reversed(rows) if not row.true])
    if not wrong:
        return ()
    true = [row for row in reversed(rows) if row.true]
    for some in (true, *((row,) for row in true[:NEAREST]), *combinations(true[:NEAREST], 2)):
        support = _support(view, found, linear, claim, policy, _agreeing(view, [*wrong, *some]))
        if support is not None and not all(row.true for row in support):
            return tuple(dict.fromkeys(row.line for row in support))
    return ()


def _agreeing(view: View, rows: Sequence[Row]) -> list[Row]:
    """The rows in this order, those left out that contradict the ones before."""
    together: list[Row] = []
    for row in rows:
        if view.rows.consistent([*together, row]):
            together.append(row)
    return together


def _support(
    view: View, found: Worth, linear: Linear | None, claim: Claim, policy: Policy, rows: list[Row]
) -> tuple[Row, ...] | None:
    """As few of the rows as can be found that give the claim, exactly or as rounded."""
    together = sorted(rows, key=lambda row: row.line)
    support = view.rows.support(Target(found.difference, linear), together)
    if support is None and not view.frame.symbols.symbols:
        return _rounded(view, claim, together, policy)
    return support


def _rounded(view: View, claim: Claim, rows: Sequence[Row], policy: Policy) -> tuple[Row, ...] | None:
    """The rows that fix one side of a claim, which rounds to the number that is the other."""
    left, right = claim.written.left, claim.written.right
    for side, other in ((right, left), (left, right)):
        if lone(side) is None:
            continue
        value = view.rows.fixed(view.frame.ratio(other), rows)
        shown = view.shown(side)
        if value is not None and rounds_to(value, shown, policy):
            off = value - worth(shown, {})
            target = Target(view.frame.difference(Equation(other, side)), None, off)
            return view.rows.support(target, rows)
    return None
