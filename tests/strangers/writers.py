"""The writers: hands as seen on paper, for every method. Two of each method are kept aside: nothing is mended
by looking at what they write."""

from __future__ import annotations

from tests.strangers.hands import Hand

OPEN = [
    Hand("all in a chain"),
    Hand("letters", show="letters", figures=0, names=2, gap=" "),
    Hand(
        "numbers only",
        show="numbers",
        units="none",
        talk=0,
        dot="·",
        names=1,
        labels=False,
        eliminate="put in",
    ),
    Hand("four figures", figures=4, notation="pretty", dot="·", ohm="Ω", names=2, zeros=True),
    Hand("fractions", figures=0, units="result", gap="*", names=1, talk=1, parallel="reciprocal"),
    Hand("typeset", notation="tex", names=0, figures=3, parallel="bars"),
    Hand("two figures", check=True, figures=2, units="result", gap="", dot="*", names=3, eliminate="put in"),
    Hand("formula first", show="symbols", figures=3, names=3, ohm="Ω", declare=False),
    Hand("calculator", carry=False, figures=3, names=0, dot="*", units="result", talk=2, declare=False),
    Hand("units everywhere", units="all", figures=3, names=2, ohm="ohm", gap=" "),
]
LATE = [
    Hand(
        "hasty",
        dot=" x ",
        rounds="≈",
        point=".",
        talk=0,
        declare=False,
        figures=3,
        names=0,
        ohm="Ω",
        labels=False,
    ),
    Hand(
        "milliamperes as well", small=True, figures=3, names=1, dot="·", ohm="Ω", gap="·", eliminate="put in"
    ),
]
"""Hands that came later; seeds from LATE_SEEDS on are theirs as well."""
LATE_SEEDS = 10_000
ASIDE = [
    Hand(
        "terse",
        show="numbers",
        units="result",
        talk=0,
        figures=3,
        names=0,
        gap="",
        declare=False,
        parallel="bars",
    ),
    Hand(
        "typeset and careful",
        check=True,
        notation="tex",
        figures=4,
        zeros=True,
        names=1,
        eliminate="put in",
        talk=2,
        parallel="reciprocal",
    ),
]
ASIDE_SEEDS = 1_000_000
"""Seeds from here on are kept aside too."""


def hands_of(seed: int) -> list[Hand]:
    """Who may write the working of a seed."""
    if seed >= ASIDE_SEEDS:
        return [*OPEN, *LATE, *ASIDE, *ASIDE, *ASIDE]
    return [*OPEN, *LATE, *LATE, *LATE] if seed >= LATE_SEEDS else OPEN
