"""Whether every time that a problem asks for comes, in the numbers of a version.

A time such as `t when V(C1) = 9 V` is a logarithm, or the root of a sum of powers of e: no condition on whole
numbers. So each candidate is worked in time, by itself.
"""

from __future__ import annotations

from ..circuit.circuit import Circuit
from ..circuit.timed_wishes import asked_times, is_in_time
from ..transients.stages import stages, value_in_stages
from ..transients.timed_numbers import number_of

MOST_REFUSED = 1000  # candidates in which such a time never comes, and none before in which it does
TIMES_COME = "that every time asked for comes"  # the wish that stands for it


def asks_for_times(circuit: Circuit) -> bool:
    """Whether a time is asked for at which something has a value."""
    return is_in_time(circuit) and bool(asked_times(circuit))


def times_come(circuit: Circuit) -> bool:
    """Whether all such times come, with the circuit's numbers."""
    whole = stages(circuit)
    found = (value_in_stages(whole, question) for question in asked_times(circuit))
    return all(number_of(value, whole[-1].circuit) is not None for value in found)
