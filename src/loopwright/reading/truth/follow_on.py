"""Whether an untrue claim is what untrue lines above give: correct as following from the slip."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, combinations

from ...algebra.linear import Linear
from ...expressions.nodes import Equation
from ..working import Claim
from .consequence import NEAREST, ClaimRow, WantedRow
from .rounding import Policy, lone, rounds_to, value_of
from .truth import ClaimValue, View


def follow_on(
    view: View, found: ClaimValue, linear: Linear | None, claim: Claim, policy: Policy
) -> tuple[int, ...]:
    """The lines that an untrue claim follows from, untrue ones among them; none when it follows from
    nothing written.

    Lines that contradict one another give anything. So one untrue line is tried by itself, with one and
    with two others; then as many lines as agree, the untrue ones taken first, and true ones the nearest
    first, in the order written, or the laws before what was made of them.
    """
    rows = view.rows.rows
    wrong = [row for row in rows if not row.true]
    if not wrong:
        return ()
    for together in chain(_along(view, found, wrong), _sets(view, wrong, rows)):
        support = view.rows.support(WantedRow(found.difference, linear), together)
        if support is None and not view.meanings.symbols.symbols:
            support = _rounded(view, claim, together, policy)
        if support is not None and not all(row.true for row in support):
            return tuple(dict.fromkeys(row.line for row in support if row.line))
    return ()


def _along(view: View, found: ClaimValue, wrong: Sequence[ClaimRow]) -> list[tuple[ClaimRow, ...]]:
    """For a claim on potentials: sets of one untrue line (the latest first) and what holds along one
    branch."""
    if not any(name.startswith("φ") for name in found.difference.held()):
        return []
    relations = [view.rows.row(0, relation) for relation in view.meanings.relations().values()]
    return [(relation, row) for row in reversed(wrong) for relation in relations]


def _sets(view: View, wrong: Sequence[ClaimRow], rows: Sequence[ClaimRow]) -> Iterator[tuple[ClaimRow, ...]]:
    """Sets of rows that agree with one another, each with an untrue one."""
    latest = list(reversed(wrong))
    for row in latest:
        yield (row,)
    near = list(reversed(rows))[:NEAREST]
    for size in (1, 2):
        for row in latest[:NEAREST]:
            for others in combinations([r for r in near if r is not row], size):
                if view.rows.consistent([row, *others]):
                    yield tuple(sorted((row, *others), key=lambda r: r.line))
    true = [row for row in rows if row.true]
    laws_first = sorted(true, key=lambda row: not row.law)
    for order in (true[::-1], true, laws_first):
        for untrue in (latest, wrong):
            together: list[ClaimRow] = []
            for row in (*untrue, *order):
                if view.rows.consistent([*together, row]):
                    together.append(row)
            yield tuple(sorted(together, key=lambda r: r.line))


def _rounded(
    view: View, claim: Claim, rows: Sequence[ClaimRow], policy: Policy
) -> tuple[ClaimRow, ...] | None:
    """The rows that fix one side of a claim at a number that rounds to the other side; None where none
    do."""
    left, right = claim.written.left, claim.written.right
    for side, other in ((right, left), (left, right)):
        if lone(side) is None:
            continue
        value = view.rows.fixed(view.meanings.ratio(other), rows)
        shown = view.shown(side)
        if value is not None and rounds_to(value, shown, policy):
            off = value - value_of(shown, {})
            target = WantedRow(view.meanings.difference(Equation(other, side)), None, off)
            return view.rows.support(target, rows)
    return None
