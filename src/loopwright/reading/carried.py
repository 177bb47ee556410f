"""Whether an untrue claim is what untrue lines above give: correct as following from the slip."""

from __future__ import annotations

from collections.abc import Sequence

from ..algebra.linear import Linear
from ..expressions.nodes import Equation
from .following import Row, Target
from .rounding import Policy, lone, rounds_to, worth
from .truth import View, Worth
from .working import Claim


def carried(view: View, found: Worth, linear: Linear | None, claim: Claim, policy: Policy) -> tuple[int, ...]:
    """The lines that an untrue claim follows from, untrue ones among them; none when it follows from
    nothing written.

    Lines that contradict one another give anything, so the untrue lines are taken first, then true ones
    as long as they agree with those, the nearest first.
    """
    rows = view.rows.rows
    wrong = [row for row in rows if not row.true]
    if not wrong:
        return ()
    together: list[Row] = []
    for row in (*reversed(wrong), *(r for r in reversed(rows) if r.true)):
        if view.rows.consistent([*together, row]):
            together.append(row)
    together.sort(key=lambda row: row.line)
    support = view.rows.support(Target(found.difference, linear), together)
    if support is None and not view.frame.symbols.symbols:
        support = _rounded(view, claim, together, policy)
    if support is None or all(row.true for row in support):
        return ()
    return tuple(dict.fromkeys(row.line for row in support))


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
