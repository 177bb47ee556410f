"""A value with one square root in few symbols: `(R1 + √(R1 (R1 + 4 R2)))/2`, `R (1 + √5)/2`.

What the two parts share stands before the bracket, and one line is drawn over their common denominator.
"""

from __future__ import annotations

from ..algebra.surds import Surd
from .nodes import Expr, Negative, add, negate, over, root, times
from .tidy import tidy


def surd_form(surd: Surd) -> Expr:
    """The tidy form of p + q √n, the root last where that begins without a minus."""
    if not surd.factor:
        return tidy(surd.plain)
    one, other = surd.plain.denominator, surd.factor.denominator
    common = one * (other / one).numerator
    plain, factor = surd.plain * common, surd.factor * common
    shared = plain / (plain / factor).numerator if plain else factor
    shared = -shared if shared.terms()[0][1] < 0 else shared
    front = shared / common
    sign, rest = tidy(plain / shared), tidy(factor / shared)
    lid = root(tidy(surd.under))
    minus = isinstance(rest, Negative)
    rooted = times(negate(rest) if minus else rest, lid)
    last = negate(rooted) if minus else rooted
    inside = last if not plain else add(last, sign) if isinstance(sign, Negative) else add(sign, last)
    return over(times(tidy(front.numerator), inside), tidy(front.denominator))
