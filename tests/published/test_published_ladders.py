"""Published ladders, written as a section that is repeated."""

from __future__ import annotations

from loopwright.solve.exact import solve
from tests.published.fact_circuits import facts_of
from tests.published.printed import printed
from tests.sample_circuits import circuit_of

# HELM consortium, Helping Engineers Learn Mathematics, Workbook 30, sec. 30.5, Engineering Example 1: a train
# relay at the far end of a track of ten leaky sections.
TRACK = """
[branches]
I0 = "g0, +E, R0, t0"
i1 = "t0, R1, t1"
j1 = "g0, R2, g1"
k1 = "t1, R3, g1"
relay = "far, R4, foot"
[elements]
R2 = "R1"
[numbers]
E = "4 V"
R0 = "5 ohm"
R1 = "0.017 ohm"
R3 = "30 ohm"
R4 = "10 ohm"
[ladder]
section = ["i1", "j1", "k1"]
from = "t0, g0"
to = "t1, g1"
repeated = 10
last = "far, foot"
"""


def test_relay_at_the_end_of_a_leaky_track_gets_the_published_current() -> None:
    figures = facts_of("published.json")["helm-track-circuit-ladder"]["published"]
    found = solve(circuit_of(TRACK).in_numbers()).currents
    names = {**{f"i{n}": f"i{n}" for n in range(1, 11)}, "i11": "relay"}
    values = {quantity: found[names[quantity]].constant() for quantity in figures}
    wrong = [
        q for q, value in values.items() if value is None or not printed(figures[q]).bears(value, exact=False)
    ]
    assert wrong == []
