"""Where a true line comes from that states no law: from the numbers that the working came to above."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction

from ..expressions.nodes import numbers_in, parts_of
from ..expressions.values import symbols_of
from .so_far import SoFar
from .truth.rounding import lone
from .wording import lines_named
from .working import Claim, WrittenLine


def where_from(so_far: SoFar, line: WrittenLine, claim: Claim) -> str:
    """Whether the working shows where a true line comes from that no rule of ours gives, as a sentence.

    Arithmetic of numbers may rest on a rule that we do not know (of series and parallel parts, or of an
    equivalent source): that it follows from nothing is not said of it.
    """
    if not _is_arithmetic(claim):
        return "It does not follow from the lines above."
    given = {abs(value) for value in so_far.circuit.numbers.values()}
    lines = lines_with_its_numbers(so_far, line, claim, apart_from=given)
    if not lines:
        return "Say where it comes from."
    owner = "value" if len(lines) == 1 else "values"
    return f"It is worked with the {owner} of {lines_named(lines)}: say by which rule."


def lines_with_its_numbers(
    so_far: SoFar, line: WrittenLine, claim: Claim, *, apart_from: Collection[Fraction] = ()
) -> tuple[int, ...]:
    """The lines above that came last to the numbers that a claim works with, their signs aside."""
    if not _is_arithmetic(claim):
        return ()
    numbers = numbers_in(claim.written.right)
    sizes = {abs(number.value) for number in numbers}.difference(apart_from)
    if so_far.truths.views[-1].meanings.thousands:  # 5.46 after 5.46 mA
        sizes |= {abs(number.value) / 1000 for number in numbers if not number.unit}
    above = ((n for n in reversed(so_far.came_to.get(size, ())) if n < line.number) for size in sizes)
    return tuple(sorted({last for lines in above if (last := next(lines, 0))}))


def _is_arithmetic(claim: Claim) -> bool:
    """Whether a claim's right side is an operation of numbers alone."""
    worked = claim.written.right
    return not symbols_of(worked) and bool(parts_of(worked)) and lone(worked) is None
