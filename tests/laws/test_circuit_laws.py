"""Every law of circuit_laws.py on random circuits, and what keeps the laws from being empty."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, Phase, find, given, settings
from hypothesis import strategies as st

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.diagnose import diagnose
from loopwright.circuit.elements import Kind
from loopwright.findings import Severity
from loopwright.graph.loops import simple_loops
from tests.laws.circuit_laws import LAWS
from tests.strategies import circuits

Law = Callable[[Circuit, st.DataObject], None]
each_law = pytest.mark.parametrize("law", LAWS, ids=[law.__name__ for law in LAWS])


@each_law
@settings(max_examples=40)
@given(circuit=circuits(), data=st.data())
def test_it_holds_that(law: Law, circuit: Circuit, data: st.DataObject) -> None:
    law(circuit, data)


@pytest.mark.slow
@each_law
@settings(max_examples=200, suppress_health_check=[HealthCheck.too_slow])
@given(circuit=circuits(points=6, loops=4), data=st.data())
def test_it_holds_at_length_that(law: Law, circuit: Circuit, data: st.DataObject) -> None:
    law(circuit, data)


@settings(max_examples=300)
@given(circuit=circuits())
def test_drawn_circuits_have_one_answer(circuit: Circuit) -> None:
    assert [f.as_text() for f in diagnose(circuit) if f.severity is Severity.ERROR] == []


def has_kind(kind: Kind) -> Callable[[Circuit], bool]:
    return lambda circuit: any(
        circuit.elements[p.element].kind is kind for b in circuit.branches for p in b.passes
    )


WANTED: dict[str, Callable[[Circuit], bool]] = {
    **{kind.value: has_kind(kind) for kind in Kind},
    "wire": lambda circuit: any(not b.passes for b in circuit.branches),
    "internal resistance": lambda circuit: any(e.internal is not None for e in circuit.elements.values()),
    "shared symbol": lambda circuit: len(circuit.symbols) < len(circuit.elements),
    "closed chain": lambda circuit: any(b.start == b.end for b in circuit.branches),
    "point on the way": lambda circuit: len(circuit.named_points) > len(circuit.points),
    "side by side": lambda circuit: any(len(loop) == 2 for loop in simple_loops(circuit.branches)),
    "six loops": lambda circuit: len(list(simple_loops(circuit.branches))) >= 6,
}


@pytest.mark.parametrize("what", WANTED)
def test_drawn_circuits_may_hold(what: str) -> None:
    first = settings(max_examples=3000, phases=[Phase.generate])
    assert WANTED[what](find(circuits(), WANTED[what], settings=first))
