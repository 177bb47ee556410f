"""How much of a circuit's work a page has room for: which closed forms are printed and which are too long.

Whether they can be worked at all is `solve`'s business; it counts their terms without writing them.
"""

from __future__ import annotations

from ..circuit.circuit import Circuit
from ..solve.closed_forms import predicted_terms

# Five points all joined have a denominator of 175 terms; tidied, one current still takes 218 symbols,
# whereas the lines of all its currents with named quantities take 146 together.
MOST_PRINTED = 150  # terms of a denominator on a sheet; beyond, named quantities say the same
MOST_WORKED = 40  # branches of a circuit that is worked in steps, with limits; more take minutes


def is_printable(circuit: Circuit) -> bool:
    """Whether closed forms and steps are short enough for a sheet. Terms are counted, not written."""
    return len(circuit.branches) <= MOST_WORKED and predicted_terms(circuit) <= MOST_PRINTED
