"""What a derivation comes to: few lines, the right ends, the same physics for any arrows."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from loopwright.algebra.ratios import Field
from loopwright.derive.narrate import is_nested
from loopwright.derive.search import by_branch_currents, plain_numbers
from loopwright.derive.steps import Derivation, Move
from loopwright.derive.verify import verify
from loopwright.errors import BrokenPromise
from loopwright.expressions.amounts import joint
from loopwright.expressions.nodes import ONE, Number, Symbol, add
from loopwright.expressions.said import as_text
from loopwright.expressions.values import ratio_of, symbols_of
from loopwright.expressions.writers import plain
from loopwright.methods.methods import derive, derive_in_numbers
from loopwright.reading.judge import read_working
from loopwright.solve.exact import solve
from tests.sample_circuits import (
    CHARGE_OR_HELP,
    CHARGE_OR_HELP_IN_NUMBERS,
    CUBE,
    SERIES_PARALLEL,
    SYMBOLIC,
    circuit_of,
)

# A good textbook's solution of the lead circuit in symbols: junction, two loops, one or two
# substitutions, the equation for one current, its result, two results put back: 9 or 10 lines
# (common practice, no source). The bridge: three junctions, three loops, five lines of elimination,
# six results, and the name of the denominator.
MOST_LINES = {"charge or help": 9, "one loop": 2, "ladder": 15, "bridge": 18, "equal cells": 6, "cube": 11}


@pytest.mark.parametrize("name", SYMBOLIC)
def test_every_current_ends_in_its_closed_form(name: str) -> None:
    circuit = circuit_of(SYMBOLIC[name])
    solution = solve(circuit)
    derivation = derive(circuit, solution)
    for current in circuit.currents:
        step = derivation.result(current) if name else None
        assert step is not None
        line = next(e for e in step.equations if e.left == Symbol(current))
        wide = Field((*circuit.symbols, *derivation.names))
        value = ratio_of(line.right, wide).at(dict(derivation.names), circuit.field)
        assert value == solution.currents[current]


@pytest.mark.parametrize(("name", "most"), MOST_LINES.items())
def test_no_more_lines_than_a_textbook(name: str, most: int) -> None:
    assert derive(circuit_of(SYMBOLIC[name])).written_lines <= most


def test_charge_or_help_is_worked_as_on_the_board() -> None:
    moves = [step.move for step in derive(circuit_of(CHARGE_OR_HELP)).steps]
    assert moves == [
        Move.JUNCTION, Move.LOOP, Move.LOOP, Move.PUT_IN,
        Move.PUT_IN, Move.COLLECT, Move.SOLVE, Move.PUT_BACK, Move.PUT_BACK,
    ]  # fmt: skip


def test_flipped_arrow_still_derives_and_changes_only_its_sign() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    before, after = derive(circuit), derive(circuit.flipped("Ib"))
    assert after.values["Ib"] == -before.values["Ib"]
    assert after.values["Ic"] == before.values["Ic"]


def test_a_cube_is_worked_by_symmetry() -> None:
    derivation = derive(circuit_of(CUBE))
    assert derivation.steps[0].move is Move.SYMMETRY
    assert len(derivation.laws) == 3


@pytest.mark.parametrize(
    ("name", "most"), [("side by side", 4), ("straight across", 4), ("fed by a current", 6)]
)
def test_series_and_parallel_parts_are_made_one_first(name: str, most: int) -> None:
    circuit = circuit_of(SERIES_PARALLEL[name])
    derivation = derive(circuit)
    assert not any(law.loop or law.point for law in derivation.laws)
    assert derivation.written_lines <= most
    assert derivation.values == solve(circuit).currents


def test_one_battery_with_two_loads_side_by_side_is_worked_in_four_lines() -> None:
    lines = [step.chain for step in derive(circuit_of(SERIES_PARALLEL["side by side"])).steps]
    assert [" = ".join(plain.render(side) for side in chain) for chain in lines] == [
        "R23 = R2 R3/(R2 + R3)",
        "I1 = E/(R1 + R23) = E (R2 + R3)/(R1 R3 + R2 (R1 + R3))",
        "I2 = I1 R3/(R2 + R3) = E R3/(R1 R3 + R2 (R1 + R3))",
        "I3 = I1 R2/(R2 + R3) = E R2/(R1 R3 + R2 (R1 + R3))",
    ]


def test_parts_made_one_get_a_name_that_is_free() -> None:
    text = SERIES_PARALLEL["side by side"].replace("R1,", "R23,")
    first = derive(circuit_of(text)).steps[0]
    assert first.written.left == Symbol("Rp")


def test_a_current_that_an_element_fixes_is_put_in_at_once() -> None:
    derivation = derive(circuit_of(SYMBOLIC["driven"]))
    given, junction, *rest = derivation.steps
    assert given.move is Move.GIVEN
    assert junction.uses == (given.number,)
    held = {
        n for s in (junction, *rest) for e in s.equations for n in symbols_of(e.left) + symbols_of(e.right)
    }
    assert "I1" not in held


def test_numbers_put_in_early_end_in_the_same_numbers() -> None:
    circuit = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
    derivation = derive_in_numbers(circuit)
    assert derivation is not None
    assert [derivation.values[n].constant() for n in circuit.currents] == [2, -1, 3]
    assert derivation.unit_words == "volts, amperes and ohms"


def test_small_currents_are_worked_in_milliamperes_and_kilohms() -> None:
    text = CHARGE_OR_HELP_IN_NUMBERS.replace("ohm", "kohm")
    derivation = derive_in_numbers(circuit_of(text))
    assert derivation is not None
    assert derivation.unit_words == "volts, milliamperes and kilohms"
    assert derivation.values["Ih"].constant() == 3


def test_without_all_numbers_there_is_no_derivation_in_numbers() -> None:
    assert derive_in_numbers(circuit_of(CHARGE_OR_HELP)) is None


DEAD_END = """
[branches]
I1 = "a, +E1, b"
I2 = "b, R2, c"
I3 = "c, S3, R3, d"
I4 = "a, R4, b"
I5 = "c, -E5, R5, b"

[elements]
E1 = { internal = "r1" }
S3 = "open"
"""


def test_a_dead_end_behind_an_open_switch_is_no_second_equation() -> None:
    derivation = derive(circuit_of(DEAD_END.replace('R3, d"', 'R3, d"\nI6 = "d, M1, a"').replace(
        'S3 = "open"', 'S3 = "open"\nM1 = { kind = "voltmeter" }'
    )))  # fmt: skip
    assert derivation.values["I3"] == 0
    assert len(derivation.laws) == 6


def test_how_fractions_are_cleared_is_said_to_the_letter() -> None:
    symbols = derive(circuit_of(CHARGE_OR_HELP))
    collected = next(s for s in symbols.steps if s.move is Move.COLLECT)
    assert collected.factor == Symbol("R1")
    numbers = derive_in_numbers(circuit_of(CHARGE_OR_HELP_IN_NUMBERS))
    assert numbers is not None
    plain = next(s for s in numbers.steps if s.move is Move.COLLECT)
    assert plain.reason == ("Multiply out and collect the terms.",)
    numbers = derive_in_numbers(circuit_of(LADDER_IN_NUMBERS))
    assert numbers is not None
    divided = next(s for s in numbers.steps if s.move is Move.COLLECT)
    assert as_text(divided.reason) == "Multiply by 11, collect the terms and divide by 28.7."
    assert divided.factor is not None


LADDER_IN_NUMBERS = """
[branches]
I1 = "n, +E1, R1, a"
I2 = "a, R2, n"
I3 = "a, R3, b"
I4 = "b, R4, n"
I5 = "b, -E2, R5, n"

[numbers]
E1 = "12.5 V"
E2 = "4.0 V"
R1 = "2.0 ohm"
R2 = "9.0 ohm"
R3 = "4.0 ohm"
R4 = "12 ohm"
R5 = "8.0 ohm"
"""


CANCELLING = """
[branches]
I1 = "a, +E1, R1, b"
I2 = "a, R2, c"
I3 = "c, R3, b"
I4 = "b, -E4, R4, a"

[numbers]
E1 = "21 V"
E4 = "16 V"
R1 = "6 ohm"
R2 = "16 ohm"
R3 = "10 ohm"
R4 = "15 ohm"
"""


def lines_of(derivation: Derivation | None) -> list[str]:
    """The lines as text, as they are shown."""
    assert derivation is not None
    found = []
    for step in derivation.steps:
        shown = plain.render(step.chain[0])
        for one, other in pairwise(step.chain):
            shown += f" {joint(one, other)} {plain.render(other)}"
        found.append(shown)
    return found


def test_decimals_of_the_data_stay_decimals() -> None:
    lines = lines_of(derive_in_numbers(circuit_of(LADDER_IN_NUMBERS)))
    assert "I1 = (12.5 − 9)/2 = 1.75" in lines
    assert "I2 = (12.5 − 2 I3)/11" in lines
    assert not any("25 −" in line for line in lines)


def test_numbers_that_do_not_end_are_rounded_as_shown_and_exact_behind() -> None:
    circuit = circuit_of(LADDER_IN_NUMBERS.replace("12.5", "12.6"))
    derivation = derive_in_numbers(circuit)
    assert derivation is not None
    result = derivation.result("I3").written
    assert isinstance(result.right, Number)
    assert result.right.text == "0.76"
    assert result.right.value == derivation.values["I3"].constant()
    lines = lines_of(derivation)
    assert "I3 ≈ 0.76" in lines
    assert not any(re.search(r"\d{4,}/\d", line) for line in lines)
    assert any("× 0.7" in line and line.count("≈") == 2 for line in lines)  # two figures more are put in


@pytest.mark.parametrize("name", [*SYMBOLIC, *SERIES_PARALLEL])
def test_no_fraction_stands_within_a_fraction_without_the_line_that_clears_it(name: str) -> None:
    for step in derive(circuit_of({**SYMBOLIC, **SERIES_PARALLEL}[name])).steps:
        assert not any(is_nested(e.left) or is_nested(e.right) for e in step.equations)
        if step.on_the_way is not None and step.move is not Move.MAKE_ONE:
            assert not is_nested(step.on_the_way.right)


@pytest.mark.parametrize("text", [*SERIES_PARALLEL.values(), SYMBOLIC["charge or help"], SYMBOLIC["driven"]])
def test_what_is_printed_is_read_and_found_true(text: str) -> None:
    circuit = circuit_of(text)
    reading = read_working(circuit, "\n".join(lines_of(derive(circuit))))
    assert [line.text for line in reading.working.lines if line.trouble] == []
    assert [verdict.claim.written for verdict in reading.verdicts if not verdict.holds] == []


def test_a_working_in_rounded_numbers_is_read_and_found_true() -> None:
    circuit = circuit_of(LADDER_IN_NUMBERS.replace("12.5", "12.6"))
    reading = read_working(circuit, "\n".join(lines_of(derive_in_numbers(circuit))))
    assert len(reading.verdicts) > 10
    assert [verdict.claim.written for verdict in reading.verdicts if not verdict.holds] == []


def test_two_equations_are_subtracted_where_terms_cancel_and_that_is_shorter() -> None:
    derivation = derive_in_numbers(circuit_of(CANCELLING))
    assert derivation is not None
    taken = next(step for step in derivation.steps if step.move is Move.SUBTRACT)
    assert plain.render(taken.written) == "5 = 6 I1 + 15 I4"


TWO_LOADS = (
    SERIES_PARALLEL["side by side"]
    + """
[numbers]
E = "24 V"
R1 = "2 ohm"
R2 = "6 ohm"
R3 = "3 ohm"
"""
)


def test_a_reduction_in_numbers_shows_its_letters_before_they_are_put_in() -> None:
    numbers = derive_in_numbers(circuit_of(TWO_LOADS))
    assert numbers is not None
    assert [" = ".join(map(plain.render, step.chain)) for step in numbers.steps] == [
        "R23 = R2 R3/(R2 + R3) = 6 × 3/(6 + 3) = 2",
        "I1 = E/(R1 + R23) = 24/(2 + 2) = 6",
        "I2 = I1 R3/(R2 + R3) = 6 × 3/(6 + 3) = 2",
        "I3 = I1 R2/(R2 + R3) = 6 × 6/(6 + 3) = 4",
    ]


def test_letters_that_do_not_come_to_the_number_are_refused() -> None:
    circuit = circuit_of(TWO_LOADS)
    worked = plain_numbers(circuit, solve(circuit)).solution
    told = by_branch_currents(worked)
    for at, step in enumerate(told.steps):
        wrong = replace(step, in_letters=add(step.in_letters or ONE, Symbol("R1")))
        steps = (*told.steps[:at], wrong, *told.steps[at + 1 :])
        with pytest.raises(BrokenPromise, match="in letters is not what is written"):
            verify(replace(told, steps=steps), worked.circuit, worked.currents)
