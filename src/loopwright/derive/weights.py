"""What each move of a derivation is taken to cost a person, in written symbols: one table for the search.

A plan is priced by what has to be written and, where that alone led to derivations that are hard to
follow, by what has to be read or kept in mind. Every entry says why it is there. None is measured on
people, and how each was first found is not on record. How much hangs on each is: by
`benchmarks/derivation_weights.py`, which leaves out or varies one at a time; its figures are in
`docs/decisions.md`. Stands on nothing.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Weights:
    """In symbols written, where nothing else is said; a `share` is a pure number."""

    # -- the lines as they stand -----------------------------------------------------------------

    result: float = 10.0
    """A line for one single current: it leads to the same closed form whatever the way, so that its
    length must not decide between ways."""
    number: float = 0.6
    """A number as a coefficient, before its digits are counted: quicker to write than a symbol."""
    digit: float = 0.4
    """Each digit of that number, and its fraction line."""
    longest_number: float = 2.2
    """The most that a coefficient in numbers comes to: products of numbers are worked out at once,
    products of symbols grow. About a number of four digits."""
    sum_of_two: float = 1.0
    """The least that a coefficient comes to once two terms of a current are collected into it: R + R."""

    # -- moves -----------------------------------------------------------------------------------

    read_off: float = 0.5
    """Taking a current from a junction equation where it stands alone on one side: nothing to write."""
    turn_round: float = 2.0
    """The same where its terms must change sides first: two signs to mind."""
    solve: float = 1.0
    """Solving a written line for a current: the sentence that says so."""
    solve_share: float = 0.7
    """What of that line's symbols is to write again: the current and its factor move to the left."""
    solve_at_once: float = 2.0
    """Solving a line while what was put into it is collected: the line is new, and two moves are read
    as one."""
    put_in: float = 0.8
    """Each line that a current is put into: a number and a word in the sentence."""
    combine: float = 2.0
    """Adding or subtracting two lines: the sentence, with what drops out."""
    combine_collected: float = 2.0
    """Each of the two that must be collected first: one line more before the sum can be seen."""

    # -- what makes a way hard to follow ---------------------------------------------------------

    factor_share: float = 1.5
    """Each symbol of the factor that a line is divided by: it comes back in every later line and must
    cancel again when results are put back."""
    may_be_nought: float = 25.0
    """Dividing by a factor that can be zero for some values: the derivation would not hold there. A guard:
    no derivation measured so far would be another without it."""
    comes_back: float = 8.0
    """Putting in a current, through a factor, that came into the line with what was put in before: the
    line is then written with one inside another."""
    comes_back_in_fraction: float = 16.0
    """The same where the line holds a fraction already: a fraction within a fraction."""
    comes_back_plain: float = 1.5
    """The same without a factor, as from a junction equation."""

    # -- writing out a line that others were put into --------------------------------------------

    read_easily: float = 14.0
    """Symbols of a line before collecting that can still be taken in at a glance."""
    read_hard_share: float = 0.8
    """What each symbol beyond that counts besides."""
    raw_share: float = 0.5
    """What the line before collecting counts where it stands inside the sentence, without fractions."""
    clear_fractions: float = 4.0
    """Clearing fractions: the line with them and the line without are both written, and the factor told.
    A guard as well: left out, it changes none of the derivations measured."""
    longest_raw: float = 40.0
    """The most that the line with the fractions counts: a longer one is not shown (`narrate.SHORT`)."""

    # -- what the lines that are left will at least cost -----------------------------------------

    left_share: float = 0.6
    """Each line still to be used will be written about once more, shorter where currents drop out."""
    left_collected_share: float = 0.9
    """The same of a line that others were put into: it must be written collected."""
    left_raw_share: float = 0.5
    """And of that line before collecting: as `raw_share`."""


@dataclass(frozen=True, slots=True)
class Extent:
    """How far the search looks; more finds hardly shorter ways and takes longer."""

    beam: int = 6
    """Partial plans kept at each depth."""
    hope: float = 0.8
    """Which share of the estimate for the lines left a plan must still pay, once another is finished: one
    that cannot win even so is dropped. It saves time: 0 and 1 gave the same 627 derivations."""
    actions: int = 2
    """Actions for each line, at most: a combination may be followed by a combination."""


WEIGHTS = Weights()
EXTENT = Extent()
