"""Slips worked out in many circuits: every one is decoded again, and the law it broke is named."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.circuit.circuit import Circuit
from loopwright.quantities import rounded
from loopwright.slips.broken_laws import BrokenLaw, broken_laws
from loopwright.slips.catalogue import CATALOGUE
from loopwright.slips.decoder import decode
from loopwright.slips.models import NOT_MODELLED, slip_models
from loopwright.slips.settings import Setting
from loopwright.slips.slip_table import SlipTable, slip_table
from loopwright.solve.exact import solve
from tests.sample_circuits import (
    BRIDGE,
    CHARGE_OR_HELP,
    DRIVEN,
    EQUAL_CELLS,
    LADDER,
    ONE_LOOP,
    OPEN_SWITCH,
    REAL_BRIDGE,
    circuit_of,
)
from tests.strategies import amounts, circuits

THREE_LAMPS = '[branches]\nI1 = "b, +E, R1, a"\n' + "".join(f'I{i} = "a, R{i}, b"\n' for i in (2, 3, 4))
LOADED = '[branches]\nI1 = "b, +E, R1, a"\nI2 = "a, R2, b"\nI3 = "a, R3, b"\n'
METERED = """
[branches]
I1 = "b, +E, R1, a"
I2 = "a, R2, c"
I3 = "a, R3, d"
I4 = "c, M1, d"
I5 = "c, R4, b"
I6 = "d, R5, b"
I7 = "c, A1, d"

[elements]
M1 = { kind = "voltmeter" }
"""
CIRCUITS = {
    "charge or help": CHARGE_OR_HELP,
    "one loop": ONE_LOOP,
    "ladder": LADDER,
    "bridge": BRIDGE,
    "real bridge": REAL_BRIDGE,
    "equal cells": EQUAL_CELLS,
    "driven": DRIVEN,
    "open switch": OPEN_SWITCH,
    "three lamps": THREE_LAMPS,
    "loaded": LOADED,
    "metered": METERED,
}
BIG = {"bridge", "real bridge", "metered"}


def numbered(name: str, seed: int) -> Circuit:
    """The circuit with numbers drawn for its symbols."""
    circuit = circuit_of(CIRCUITS[name])
    chance = random.Random(f"{name} {seed}")
    numbers = {
        symbol: Fraction(chance.randint(2, 60), chance.choice((1, 1, 2, 5))) for symbol in circuit.symbols
    }
    written = {symbol: f"{float(value):g} kΩ" for symbol, value in numbers.items() if symbol[0] in "Rr"}
    numbers.update({symbol: numbers[symbol] * 1000 for symbol in written})
    return replace(circuit, numbers=numbers, written=written)


@cache
def table_of(name: str, seed: int = 1) -> SlipTable:
    return slip_table(numbered(name, seed), every_set=name not in BIG)


NAMES = [pytest.param(name, marks=[pytest.mark.slow] if name in BIG else []) for name in CIRCUITS]
SEEDS = (1, 2, 3)
RULES = {"junction": BrokenLaw.JUNCTION, "loop": BrokenLaw.LOOP}
ONE_TERM = {
    "drop-sign",
    "source-sign",
    "junction-sign",
    "drop-missing",
    "source-missing",
    "branch-missing",
}
SAMPLE = 20  # classes decoded for each circuit


@pytest.mark.parametrize("name", NAMES)
def test_the_right_answers_are_those_of_the_closed_forms(name: str) -> None:
    table = table_of(name)
    solution = solve(table.circuit)
    assert dict(table.right) == {n: solution.number(ratio) for n, ratio in solution.currents.items()}


@pytest.mark.parametrize("name", NAMES)
def test_the_answers_of_a_slip_are_decoded_as_that_slip_exact_or_rounded(name: str) -> None:
    table = table_of(name)
    seen = [c for c in table.classes if c.hidden != "always" and c.outcome.values]
    for c in random.Random(name).sample(seen, min(SAMPLE, len(seen))):
        values = c.outcome.values
        units = {"V": "V", "P": "W", "I": "A"}
        shown = {n: rounded(v, units[n[0] if "(" in n else "I"]) for n, v in values.items()}
        exact = decode(table.circuit, values, arrows={}, table=table)
        about = decode(table.circuit, shown, arrows={}, table=table)
        assert any(match.slips is c and match.exact for match in exact.matches), c.members[0]
        assert any(match.slips is c for match in about.matches), c.members[0]


@pytest.mark.parametrize("name", NAMES)
def test_right_answers_are_right_exact_rounded_and_under_any_arrows(name: str) -> None:
    table = table_of(name)
    shown = {n: rounded(v, "A") for n, v in table.right.items()}
    for turned in (0, 1):
        arrows = {n: 1 - 2 * ((i + turned) % 2) for i, n in enumerate(table.right)}
        numbers = {n: v * arrows[n] for n, v in table.right.items()}
        found = [
            decode(table.circuit, numbers, arrows=arrows, table=table),
            decode(table.circuit, numbers, table=table),
            decode(table.circuit, shown, arrows={}, table=table),
        ]
        assert all(decoded.right is not None for decoded in found)
        assert found[0].broken.law is found[2].broken.law is BrokenLaw.NONE


@pytest.mark.parametrize("name", NAMES)
def test_one_wrong_term_breaks_the_law_that_its_equation_states(name: str) -> None:
    count = 0
    for table in [table_of(name, seed) for seed in SEEDS[: 1 if name in BIG else 2]]:
        for c in table.classes:
            for model in c.members:
                law = RULES.get(model.line.split()[0])
                if model.entry not in ONE_TERM or law is None or c.outcome.values == table.right:
                    continue
                none = dict.fromkeys(c.outcome.values, Fraction(0))
                found = broken_laws(table.here, c.outcome.values, none)
                assert found.law is law, model.place
                count += 1
    assert count >= 8


@pytest.mark.parametrize("name", NAMES)
def test_the_answers_satisfy_the_wrong_equations_and_not_the_right_ones(name: str) -> None:
    table = table_of(name)
    for c in table.classes:
        for model in c.members:
            values = c.outcome.values
            if model.rows and all(n in values for n in table.circuit.currents):
                assert not any(table.here.off(row, values) for row in model.rows)
                off = any(table.here.off(row, values) for row in table.setting.rows)
                assert off is (values != table.right)


def test_every_slip_of_the_catalogue_is_worked_out_somewhere_or_has_its_reason() -> None:
    models = [
        model
        for setting in (Setting(numbered(name, seed)) for name in CIRCUITS for seed in SEEDS)
        for model in slip_models(setting)
    ]
    worked = {model.entry for model in models}
    assert worked | NOT_MODELLED.keys() == CATALOGUE.keys()
    assert not worked & NOT_MODELLED.keys()


@pytest.mark.parametrize("name", NAMES)
def test_slips_in_one_class_agree_with_other_numbers_and_other_classes_do_not(name: str) -> None:
    """The classes are decided at three points; here they are met again at a fourth."""
    table = table_of(name)
    chance = random.Random(f"{name} again")
    there = table.here.moved({n: 1 + Fraction(chance.randint(1, 99), 7919) for n in table.circuit.symbols})
    outcomes = [c.members[0].at(there) for c in table.classes]
    for c, outcome in zip(table.classes, outcomes, strict=True):
        assert all(model.at(there) == outcome for model in c.members)
    assert len({str(sorted(o.values.items())) for o in outcomes}) == len(outcomes)


@st.composite
def circuits_in_numbers(draw: st.DrawFn) -> Circuit:
    circuit = draw(circuits())
    return replace(circuit, numbers=draw(amounts(circuit)))


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(circuits_in_numbers(), st.randoms(use_true_random=False))
def test_slips_of_random_circuits_are_decoded_and_break_the_law_of_their_line(
    circuit: Circuit, chance: random.Random
) -> None:
    table = slip_table(circuit)
    right = decode(circuit, table.right, arrows={}, table=table)
    assert right.right is not None
    assert right.broken.law in (BrokenLaw.NONE, BrokenLaw.UNTOLD)
    seen = [c for c in table.classes if c.hidden != "always" and c.outcome.values]
    for c in chance.sample(seen, min(5, len(seen))):
        found = decode(circuit, c.outcome.values, arrows={}, table=table)
        assert any(match.slips is c and match.exact for match in found.matches)
        if {m.entry for m in c.members} & ONE_TERM and c.outcome.values != table.right:
            laws = {RULES.get(m.line.split()[0]) for m in c.members if m.entry in ONE_TERM}
            assert found.broken.law in laws or not laws - {None}


def test_collisions_in_one_circuit_are_counted() -> None:
    """Charger, battery and heater, 23 V, 18 V, 4, 3, 5 Ω: counts of our own computation, kept so that a
    change of them is noticed."""
    values = {"E1": 23, "E2": 18, "R1": 4, "R2": 3, "Rh": 5}
    circuit = replace(circuit_of(CHARGE_OR_HELP), numbers={n: Fraction(v) for n, v in values.items()})
    table = slip_table(circuit)
    counts = (table.slips, len(table.classes), len(table.structural), len(table.colliding))
    assert counts == (284, 222, 27, 40)
    assert [c.entries for c in table.hidden] == [("false-parallel",), ("fraction-inverted",)]
