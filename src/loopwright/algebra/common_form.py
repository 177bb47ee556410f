"""What polynomials have in common, and several ratios over one denominator: cheap to compare, scale and
take to a limit together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from .ratios import Field, Polynomial, Ratio


def common_multiple(field: Field, parts: Iterable[Polynomial]) -> Polynomial:
    """The least polynomial that all the parts divide; 1 for none."""
    found = field.one.above
    for part in parts:
        if not part.is_one() and part != found:
            found = found * (part // found.gcd(part))
    return found


def common_factor(field: Field, parts: Iterable[Polynomial]) -> Polynomial:
    """The greatest polynomial that divides all the parts; 0 where all are zero."""
    found = field.zero.above
    for part in sorted(parts, key=len):
        found = found.gcd(part)
        if found.is_one():
            break
    return found


def over_one_denominator(
    field: Field, ratios: Mapping[str, Ratio]
) -> tuple[dict[str, Polynomial], Polynomial]:
    """The numerators over the least common denominator, and that denominator."""
    common = common_multiple(field, (ratio.below for ratio in ratios.values()))
    above = {n: r.above if r.below == common else r.above * (common // r.below) for n, r in ratios.items()}
    return above, common


class LimitApproach:
    """How several ratios behave as one symbol goes to 0 or to infinity.

    Made from the ratios by name. Every polynomial is taken apart once, as power of the symbol -> its
    coefficient: `above` holds the numerators by name, `below` the one denominator they share.
    """

    def __init__(self, field: Field, ratios: Mapping[str, Ratio], symbol: str) -> None:
        self.field, self.symbol = field, symbol
        above, below = over_one_denominator(field, ratios)
        self.above = {name: self._apart(part) for name, part in above.items()}
        self.below = self._apart(below)

    def _apart(self, part: Polynomial) -> dict[int, Polynomial]:
        """A polynomial as power of the symbol -> coefficient."""
        ratio = Ratio(self.field, part, self.field.one.below, reduced=True)
        return {power: c.above for power, c in ratio.coefficients_in(self.symbol).items()}

    def tends_to(self, name: str, to: str, value: Ratio) -> bool:
        """Whether the ratio of this name goes to `value` (a ratio without the symbol) as the symbol goes
        `to` "0" or to infinity; compared crosswise, so that nothing is brought to lowest terms."""
        pick = min if to == "0" else max
        above, low = self.above[name], pick(self.below)
        if not above:
            return not value
        high = pick(above)
        if high != low:
            return (high > low) == (to == "0") and not value
        return bool(above[high] * value.below == self.below[low] * value.above)
