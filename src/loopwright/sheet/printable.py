"""How much of a circuit's work a page has room for: which closed forms are printed and which are too long.

Whether they can be worked at all is `solve`'s business; it counts their terms without writing them.
"""

from __future__ import annotations

from ..circuit.circuit import Circuit
from ..solve.closed_forms import independent_loops, predicted_terms

# Five points all joined have a denominator of 175 terms; tidied, one current still takes 218 symbols,
# whereas the lines of all its currents with named quantities take 146 together.
MOST_PRINTED = 150  # terms of a denominator on a sheet; beyond, named quantities say the same
MOST_WORKED = 40  # branches of a circuit that is worked in steps, with limits; more take minutes
# The search for steps looks through every loop at every step. A ladder of five unlike sections takes it two
# seconds, one of six eight, one of ten has no end in sight; where few symbols are shared, lines stay short.
MOST_LOOPS = 5  # independent loops worked in steps whatever their symbols
MOST_SHORT_LOOPS = 8  # the same where the denominator has no more than SHORT terms
SHORT = 30


def is_printable(circuit: Circuit) -> bool:
    """Whether closed forms and steps are short enough for a sheet. Terms are counted, not written."""
    terms = predicted_terms(circuit)
    most_loops = MOST_SHORT_LOOPS if terms <= SHORT else MOST_LOOPS
    return (
        len(circuit.branches) <= MOST_WORKED
        and terms <= MOST_PRINTED
        and independent_loops(circuit) <= most_loops
    )
