"""Each modelled slip made in right lines: the repair found is true exactly, and names the slip made."""

from __future__ import annotations

import random
from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.diagnose import diagnose
from loopwright.expressions.nodes import Expr, Negative, Product, Sum, Symbol
from loopwright.reading.repair.repairs import repairs
from tests.injected_slips import Case, Form, cases, closed_form_cases, numeric_cases, unique_and_false
from tests.random_workings import drawn
from tests.sample_circuits import (
    BRIDGE,
    CHARGE_OR_HELP,
    CHARGE_OR_HELP_IN_NUMBERS,
    LADDER,
    ONE_LOOP,
    REAL_BRIDGE,
    circuit_of,
)
from tests.strategies import circuits
from tests.sweeps import parts
from tests.truth import truth_of

BAR = 0.95  # how often the slip named first is the one made, where only one slip makes the line
SAMPLES = {
    "charge or help": CHARGE_OR_HELP,
    "one loop": ONE_LOOP,
    "ladder": LADDER,
    "bridge": BRIDGE,
    "real bridge": REAL_BRIDGE,
}


def product(*names: str) -> Expr:
    return Product(tuple(map(Symbol, names)))


def forms() -> list[Form]:
    """The currents of charger, battery and heater, over one denominator (derived by hand)."""
    r1, r2, rh = map(Symbol, ("R1", "R2", "Rh"))
    below = [product("R1", "R2"), product("R1", "Rh"), product("R2", "Rh")]
    return [
        ("Ic", [Product((Symbol("E1"), Sum((r2, rh)))), Negative(product("E2", "Rh"))], below),
        ("Ib", [product("E1", "Rh"), Negative(Product((Symbol("E2"), Sum((r1, rh)))))], below),
        ("Ih", [product("E1", "R2"), product("E2", "R1")], below),
    ]


def rate(made: list[Case], circuit: Circuit) -> tuple[float, Counter[str], Counter[str]]:
    """How often a slip is named rightly; what was missed, and what was not found at all, by slip."""
    holds, missed, unfound = truth_of(circuit), Counter[str](), Counter[str]()
    for case in made:
        assert holds(case.right)
        found = repairs(case.wrong, circuit, holds, above=case.above)
        assert all(holds(r.mended) for r in found)
        unfound[case.entry] += not found
        missed[case.entry] += not found or found[0].entry != case.entry
    return 1 - missed.total() / len(made), +missed, +unfound


@pytest.mark.parametrize("name", SAMPLES)
def test_a_tenth_of_all_slips_in_laws_is_named_and_mended(name: str) -> None:
    circuit = circuit_of(SAMPLES[name])
    made = unique_and_false(cases(circuit), truth_of(circuit))
    share, missed, unfound = rate(made[:: 1 if len(made) < 60 else 10], circuit)
    assert share >= BAR, f"named rightly: {share:.1%}, missed: {missed}"
    assert not unfound


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_every_slip_in_laws_is_named_and_mended(name: str) -> None:
    circuit = circuit_of(SAMPLES[name])
    share, missed, unfound = rate(unique_and_false(cases(circuit), truth_of(circuit)), circuit)
    assert share >= BAR, f"named rightly: {share:.1%}, missed: {missed}"
    assert not unfound


def test_slips_in_closed_forms_are_named_and_mended() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    made = unique_and_false(closed_form_cases(circuit, forms()), truth_of(circuit))
    share, missed, unfound = rate(made, circuit)
    assert share >= BAR, f"named rightly: {share:.1%}, missed: {missed}"
    assert not unfound


def test_slips_in_lines_with_numbers_are_named_and_mended() -> None:
    circuit = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
    made = unique_and_false(numeric_cases(circuit), truth_of(circuit))
    share, missed, unfound = rate(made, circuit)
    assert share >= BAR, f"named rightly: {share:.1%}, missed: {missed}"
    assert not unfound


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(circuits(plain=True, wired=False, shared=False, points=3, loops=2), st.data())
def test_what_is_found_restores_the_truth_in_random_circuits(circuit: Circuit, data: st.DataObject) -> None:
    holds = truth_of(circuit)
    made = [case for case in cases(circuit) if not holds(case.wrong)]
    if not made:
        return
    case = data.draw(st.sampled_from(made))
    found = repairs(case.wrong, circuit, holds, above=case.above)
    assert found, case
    assert holds(case.right)
    assert all(holds(r.mended) and r.mended != case.wrong for r in found)


@pytest.mark.parametrize("start", parts(range(0, 80, 20), in_ci=1))
def test_slips_in_random_circuits_are_named_and_mended(start: int) -> None:
    made_of_all, missed, unfound = 0, Counter[str](), Counter[str]()
    for seed in range(start, start + 20):
        chance = random.Random(seed)
        circuit = drawn(chance, numbers=False)
        if any(f.severity == "error" for f in diagnose(circuit)):
            continue
        made = unique_and_false(cases(circuit), truth_of(circuit))
        chance.shuffle(made)
        if made:
            _, astray, lost = rate(made[:25], circuit)
            made_of_all, missed, unfound = made_of_all + len(made[:25]), missed + astray, unfound + lost
    share = 1 - missed.total() / made_of_all
    assert share >= BAR, f"named rightly: {share:.1%} of {made_of_all}, missed: {missed}"
    assert not unfound
