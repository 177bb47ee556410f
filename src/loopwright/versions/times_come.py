"""What of a version is known only once it is worked in time: that every time asked for comes, and wishes for
values at a time.

A time such as `t when V(C1) = 9 V` is a logarithm, or the root of a sum of powers of e: no condition on whole
numbers. So each candidate is worked in time, by itself. Values that are no fractions are known to twelve
figures; where one is so near to what it is compared with that this does not decide, the candidate is not
taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.timed_wishes import ComparedInTime, asked_times, is_in_time
from ..transients.stages import by_move, stages, value_in_stages
from ..transients.timed_numbers import number_of
from ..transients.transient import Transient

MOST_REFUSED = 1000  # candidates worked in time of which none was taken
NEAR = Fraction(1, 10**9)  # of the greater of two numbers: how far apart they are to be told apart
TIMES_COME = "that every time asked for comes"  # the wish that stands for it


def asks_for_times(circuit: Circuit) -> bool:
    """Whether a time is asked for at which something has a value."""
    return is_in_time(circuit) and bool(asked_times(circuit))


def holds_in_time(circuit: Circuit, wished: Sequence[ComparedInTime]) -> bool:
    """Whether all times that are asked for come with the circuit's numbers, and all these wishes hold."""
    whole = stages(circuit)
    found = (value_in_stages(whole, question) for question in asked_times(circuit))
    if any(number_of(value, whole[-1].circuit) is None for value in found):
        return False
    return all(_holds(wish, whole) for wish in wished)


def _holds(wish: ComparedInTime, whole: tuple[Transient, ...]) -> bool:
    found = value_in_stages(whole, by_move(wish.question, len(whole))[0])
    value = number_of(found, whole[-1].circuit)
    if value is None:
        return False
    if found.exact is None and abs(value - wish.amount) <= NEAR * max(abs(value), abs(wish.amount)):
        return False
    return wish.holds_of(value)
