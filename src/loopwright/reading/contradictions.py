"""Lines above that contradict one another, and a working that finds that out: `36 = 30`, "no solution".

What comes of a wrong equation may be that the unknowns cancel. That is rightly worked, and no new slip.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from ..expressions.nodes import Equation, Number
from ..expressions.said import Said
from .so_far import SoFar
from .truth.consequence import ClaimRow
from .truth.follow_on import FollowOn
from .truth.rounding import lone
from .truth.truth import View
from .verdicts import ClaimKind, Truth, Verdict
from .wording import lines_named
from .working import Claim, WrittenLine

_WORDS = re.compile(
    r"(?P<no>\b(?:no|not|never|without|n[o'’]t)\b[^.;:]{0,20})?"
    r"\b(?:contradict(?:ion|ory|s)?|inconsistent|impossible|no\s+(?:unique\s+)?solutions?|(?:cannot|can't|can’t)\s+be\s+(?:solved|right|true))\b",
    re.IGNORECASE,
)


def two_numbers(written: Equation) -> bool:
    """Whether a claim sets one bare number equal to another."""
    sides = (lone(written.left), lone(written.right))
    return all(side is not None and not side.unit for side in sides)


def contradicting(view: View) -> FollowOn | None:
    """The lines above, as few as can be found, that contradict one another; None where they agree."""
    rows = view.rows.near
    if all(row.true for row in rows) or view.rows.consistent(rows):
        return None
    kept: list[ClaimRow] = list(rows)
    for row in sorted(rows, key=lambda row: (not row.true, row.law, -row.line)):
        fewer = [other for other in kept if other is not row]
        if not view.rows.consistent(fewer):
            kept = fewer
    return FollowOn(tuple(dict.fromkeys(row.line for row in kept)))


def said_in_words(so_far: SoFar, line: WrittenLine) -> Verdict | None:
    """The verdict on a line of words that finds the lines above to contradict one another; None where they
    do not, or where it says nothing of the kind."""
    found = _WORDS.search(line.text)
    if line.claims or line.trouble or found is None or found["no"]:
        return None
    follows = contradicting(so_far.truths.views[-1])
    if follows is None and so_far.cancelled:
        follows = FollowOn((so_far.cancelled,))
    if follows is None:
        return None
    claim = Claim(Equation(Number(Fraction(0)), Number(Fraction(1))), found.start(), found.end())
    cause = cause_of(so_far, follows.used)
    return Verdict(
        line.number, claim, ClaimKind.UNTRUE, said_of(follows.used), Truth.NO, follows.used,
        carried=True, cause=cause,
    )  # fmt: skip


def said_of(used: Sequence[int]) -> Said:
    """That lines contradict one another, in a sentence."""
    if len(used) == 1:
        return (f"Rightly found: nothing can make {lines_named(tuple(used))} true. Look for the slip there.",)
    return (f"Rightly found: {lines_named(tuple(used))} contradict one another. Look for the slip there.",)


def cause_of(so_far: SoFar, used: Sequence[int]) -> int:
    """The line whose slip is at the root of some untrue one among these."""
    untrue = next(v for v in so_far.verdicts if v.line in used and v.kind is ClaimKind.UNTRUE)
    return untrue.cause or untrue.line
