"""A ladder of ten sections behind a battery: 31 branches, a denominator of few terms, ten loops."""

from __future__ import annotations


def ten_sections(find: str = '["I0"]', expect: str = "[]", rest: str = "") -> str:
    """The problem file of the ladder, with what is asked and expected, and further tables after it."""
    return f"""
find = {find}
expect = {expect}
[branches]
I0 = "b, r, +E, a"
I1 = "a, R1, c"
I2 = "c, R2, d"
I3 = "c, R3, b"
[ladder]
from = "a, b"
to = "d, b"
repeated = 10
section = ["I1", "I2", "I3"]
{rest}"""
