"""Slips worked out one by one, in small circuits where the wrong answer can be found by hand."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.slips.models import NOT_MODELLED
from loopwright.slips.slip_table import SlipTable, slip_table
from tests.sample_circuits import circuit_of

PAGE = (Path(__file__).parents[3] / "docs/slips.md").read_text("utf-8")
LAMPS = '[branches]\nI1 = "b, +E, R1, a"\n' + "".join(f'I{i} = "a, R{i}, b"\n' for i in (2, 3, 4))
LAMPS += '[numbers]\nE = "22 V"\nR1 = "1 kΩ"\nR2 = "2 kΩ"\nR3 = "3 kΩ"\nR4 = "6 kΩ"\n'
DIVIDER = '[branches]\nI1 = "n, +E, R1, m"\nI2 = "m, R2, n"\nI3 = "m, R3, n"\n'
DIVIDER += '[numbers]\nE = "12 V"\nR1 = "2 ohm"\nR2 = "4 ohm"\nR3 = "4 ohm"\n'
BRIDGE = '[branches]\nI = "d, +E, a"\nI1 = "a, R1, b"\nI2 = "a, R2, c"\nI3 = "b, R3, d"\nI4 = "c, R4, d"\n'
BRIDGE += 'I5 = "b, R5, c"\n[numbers]\nE = "12 V"\nR1 = "1 ohm"\nR2 = "3 ohm"\nR3 = "2 ohm"\nR4 = "1 ohm"\n'
BRIDGE += 'R5 = "5 ohm"\n'
WIRED = '[branches]\nI1 = "b, +E, R1, a"\nI2 = "a, A1, b"\nI3 = "a, R3, b"\n'
WIRED += '[numbers]\nE = "12 V"\nR1 = "2 ohm"\nR3 = "4 ohm"\n'


def answers(table: SlipTable, entry: str, place: str = "") -> dict[str, Fraction]:
    return dict(table.class_of(entry, place).outcome.values)


@pytest.mark.parametrize(
    ("entry", "kilohms"),
    [
        ("parallel-added", 1 + 11),  # 2 + 3 + 6
        ("product-over-sum", 1 + Fraction(36, 11)),  # in kilohms; see below
    ],
)
def test_one_step_of_a_reduction_worked_wrongly(entry: str, kilohms: Fraction) -> None:
    """Three lamps of 2, 3 and 6 kΩ side by side behind 1 kΩ: 1 kΩ when worked rightly."""
    in_ohms = LAMPS.replace("kΩ", "ohm")
    found = answers(slip_table(circuit_of(in_ohms)), entry)
    assert found == {"I1": 22 / Fraction(kilohms)}


def test_the_reciprocal_left_is_a_resistance_of_the_wrong_dimension() -> None:
    """1/2 + 1/3 + 1/6 = 1 in plain numbers: right by accident for these, and not for others."""
    table = slip_table(circuit_of(LAMPS.replace("kΩ", "ohm")))
    found = table.class_of("reciprocal-left")
    assert dict(found.outcome.values) == {"I1": 11}
    assert found.hidden == "here"


def test_a_prefix_lost_in_one_resistance() -> None:
    """6 kΩ taken as 6 Ω all but shorts the others: 22 V over 1000 Ω and a little."""
    found = answers(slip_table(circuit_of(LAMPS)), "prefix-dropped", "R4")
    little = 1 / (Fraction(1, 2000) + Fraction(1, 3000) + Fraction(1, 6))
    assert found["I1"] == 22 / (1000 + little)


def test_the_divider_rule_with_a_load_connected() -> None:
    """12 V over 2 and 4 Ω: 2 A and 8 V, where the load of 4 Ω brings it to 6 V."""
    found = answers(slip_table(circuit_of(DIVIDER)), "loaded-divider", "although I3")
    assert found == {"I1": 2, "I2": 2, "I3": 2, "V(m, n)": 8}


@pytest.mark.parametrize(
    ("entry", "place", "source", "middle"),
    [
        ("bridge-balanced", "", 12 / Fraction(3) + 12 / Fraction(4), 0),
        ("bridge-reduced", "arms in series", 12 / Fraction(3) + 12 / Fraction(4), 0),
        ("bridge-reduced", "arms in parallel", 12 / (Fraction(3, 4) + Fraction(2, 3)), Fraction(60, 17)),
    ],
)
def test_a_bridge_reduced_all_the_same(entry: str, place: str, source: Fraction, middle: Fraction) -> None:
    """Arms of 1 and 2 Ω, 3 and 1 Ω. With the middle as a wire 144/17 A divide: 108/17 and 36/17, then 48/17
    and 96/17."""
    found = answers(slip_table(circuit_of(BRIDGE)), entry, place)
    assert (found["I"], found["I5"]) == (source, middle)


def test_a_wire_without_current_leaves_the_rest_as_if_it_were_cut() -> None:
    found = answers(slip_table(circuit_of(WIRED)), "short-no-current")
    assert found == {"I1": 2, "I2": 0, "I3": 2}


def test_a_sum_below_cancelled_against_a_part() -> None:
    """I1 = E (R2 + R3)/(R1 (R2 + R3) + R2 R3) with R2 + R3 struck out: E/(R1 + R2 R3)."""
    found = answers(slip_table(circuit_of(DIVIDER)), "cancelled-across-sum", "in the closed form of I1")
    assert found["I1"] == Fraction(12, 2 + 16)


@pytest.mark.parametrize("key", NOT_MODELLED)
def test_a_slip_that_comes_to_no_number_says_why_in_the_documentation(key: str) -> None:
    assert f"| `{key}` | {NOT_MODELLED[key]} |" in PAGE


def test_the_example_of_the_documentation_runs() -> None:
    block = re.search(r"```python\n(.*?)```", PAGE, re.DOTALL)
    assert block is not None
    example = str(Path(__file__).parents[3] / "examples/charge-or-help.toml")
    scope: dict[str, object] = {}
    exec(block[1].replace("examples/charge-or-help.toml", example), scope)
    assert getattr(scope["found"], "matches", None)


def test_a_current_through_a_series_chain_needs_a_resistor_in_both_branches() -> None:
    """I of the bridge meets a battery alone: nothing of it is in series with a resistor."""
    table = slip_table(circuit_of(BRIDGE))
    places = [m.place for c in table.classes for m in c.members if m.entry == "false-series"]
    assert places
    assert not any(re.search(r"\bI\b", place) for place in (p.split(" as one")[0] for p in places))
