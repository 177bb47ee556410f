"""One false line for each slip that is recognised in a line: what is found first, and the line it mends."""

from __future__ import annotations

import pytest

from loopwright.algebra.ratios import Field
from loopwright.circuit.circuit import Circuit
from loopwright.expressions.nodes import Equation, Symbol
from loopwright.expressions.parse import equation
from loopwright.expressions.values import difference_of
from loopwright.expressions.writers.plain import render
from loopwright.reading.repair import repairs as searching
from loopwright.reading.repair.edits import SIZES
from loopwright.reading.repair.repairs import repairs, search
from loopwright.reading.truth.changed import in_setting, part
from loopwright.reading.verdicts import Repair
from loopwright.reading.working import CircuitChange
from loopwright.slips.catalogue import CATALOGUE
from tests.sample_circuits import (
    BRIDGE,
    CHARGE_OR_HELP,
    CHARGE_OR_HELP_IN_NUMBERS,
    CUBE,
    LADDER,
    ONE_LOOP,
    REAL_BRIDGE,
    circuit_of,
)
from tests.truth import truth_of

DIVIDER = """
[branches]
I1 = "g, +E, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, g"
"""
FOUR = DIVIDER + 'I4 = "a, R4, g"\n'
DIVIDER_IN_NUMBERS = (
    DIVIDER
    + """
[numbers]
E = "12 V"
R1 = "4 kohm"
R2 = "3 kohm"
R3 = "6 kohm"
"""
)
THREE_PACKS = """
[branches]
I = "a, +E1, -E2, -E3, R, a"
"""
TWO_IN_A_BRANCH = """
[branches]
Ic = "rail, +E1, R1, Q1, bus"
Ib = "bus, R2, -E2, rail"
Ih = "bus, Rh, rail"

[elements]
Q1 = { kind = "resistor" }
"""
LOOPS = {"ia": {"Ic": 1}, "ib": {"Ib": 1}}  # two loop currents with the same sense
L1, L2 = "E1 - Ic R1 - Ih Rh = 0", "E2 + Ib R2 - Ih Rh = 0"

# the slip, the circuit, the false line, the line it should be
LINES = [
    ("drop-sign", CHARGE_OR_HELP, "E1 - Ic R1 + Ih Rh = 0", "E1 − Ic R1 − Ih Rh = 0"),
    ("source-sign", CHARGE_OR_HELP, "E1 - Ic R1 - Ib R2 + E2 = 0", "E1 − Ic R1 − Ib R2 − E2 = 0"),
    ("sources-all-plus", THREE_PACKS, "E1 + E2 + E3 - I R = 0", "E1 − E2 − E3 − I R = 0"),
    ("terminals-swapped", LADDER, "-E1 - I1 R1 - I3 R3 + I5 R5 + E2 = 0", None),
    ("junction-sign", CHARGE_OR_HELP, "Ic = Ib - Ih", "Ic = Ib + Ih"),
    ("drops-all-minus", LADDER, "E2 - I5 R5 - I3 R3 - I1 R1 - E1 = 0", None),
    ("sense-turned", LADDER, "E1 - I1 R1 + I3 R3 + I4 R4 = 0", "E1 − I1 R1 − I3 R3 − I4 R4 = 0"),
    ("wrong-current", CHARGE_OR_HELP, "E1 - Ic R1 - Ic Rh = 0", "E1 − Ic R1 − Ih Rh = 0"),
    ("drop-missing", CHARGE_OR_HELP, "E1 - Ih Rh = 0", "E1 − Ih Rh − Ic R1 = 0"),
    ("source-missing", CHARGE_OR_HELP, "Ic R1 + Ih Rh = 0", "Ic R1 + Ih Rh − E1 = 0"),
    ("branch-missing", CHARGE_OR_HELP, "Ic = Ih", "Ic = Ih + Ib"),
    ("inside-forgotten", REAL_BRIDGE, "E - I1 R1 - I3 R3 = 0", "E − I1 R1 − I3 R3 − I r = 0"),
    ("term-extra", BRIDGE, "E - I1 R1 - I3 R3 - I5 R5 = 0", "E − I1 R1 − I3 R3 = 0"),
    ("term-twice", CHARGE_OR_HELP, "E1 - 2 Ic R1 - Ih Rh = 0", "E1 − Ic R1 − Ih Rh = 0"),
    ("arrow-otherwise", TWO_IN_A_BRANCH, "E1 + Ic R1 + Ic Q1 - Ih Rh = 0", "E1 − Ic R1 − Ic Q1 − Ih Rh = 0"),
    ("false-series", DIVIDER, "E - I1 (R1 + R2) = 0", "E − (I1 R1 + I2 R2) = 0"),
    ("false-parallel", ONE_LOOP, "I = (E1 - E2)/(R1 ∥ R2)", "I = (E1 − E2)/(R1 + R2)"),
    ("parallel-added", DIVIDER, "I1 = E/(R1 + R2 + R3)", "I1 = E/(R1 + R2 ∥ R3)"),
    ("reciprocal-left", DIVIDER, "I1 = E/(R1 + 1/R2 + 1/R3)", "I1 = E/(R1 + 1/(1/R2 + 1/R3))"),
    (
        "product-over-sum",
        FOUR,
        "I1 = E/(R1 + R2 R3 R4/(R2 + R3 + R4))",
        "I1 = E/(R1 + R2 ∥ R3 ∥ R4)",
    ),
    ("loaded-divider", DIVIDER, "V(a, g) = E R2/(R1 + R2)", None),
    ("divider-inverted", DIVIDER, "I2 = I1 R2/(R2 + R3)", "I2 = I1 R3/(R2 + R3)"),
    ("equal-split", DIVIDER, "I2 = I1/2", "I2 = I1 R3/(R2 + R3)"),
    ("voltage-order", DIVIDER, "V(g, a) = I2 R2", "V(g, a) = −I2 R2"),
    ("charging-voltage", REAL_BRIDGE, "V(a, d) = E + I r", "V(a, d) = E − I r"),
    ("bracket-lost", CHARGE_OR_HELP, "E1 = Ib + Ih R1 + Ih Rh", "E1 = Ib R1 + Ih R1 + Ih Rh"),
    ("minus-bracket", CHARGE_OR_HELP, "E1 - Ib R1 + Ih R1 - Ih Rh = 0", "E1 − Ib R1 − Ih R1 − Ih Rh = 0"),
    ("one-term-multiplied", CHARGE_OR_HELP, "E1 R2 - Ic R1 R2 - Ih Rh = 0", None),
    (
        "numerator-sign",
        CHARGE_OR_HELP,
        "Ic = (E1 (R2 + Rh) + E2 Rh)/(R1 R2 + R1 Rh + R2 Rh)",
        "Ic = (E1 (R2 + Rh) − E2 Rh)/(R1 R2 + R1 Rh + R2 Rh)",
    ),
    ("numerator-bracket", CHARGE_OR_HELP, "Ic = (E1 R2 + Rh - E2 Rh)/(R1 R2 + R1 Rh + R2 Rh)", None),
    ("denominator-term", CHARGE_OR_HELP, "Ih = (E1 R2 + E2 R1)/(R1 R2 + R1 Rh)", None),
    ("denominator-sign", CHARGE_OR_HELP, "Ih = (E1 R2 + E2 R1)/(R1 R2 + R1 Rh - R2 Rh)", None),
    ("resistance-squared", CHARGE_OR_HELP, "Ih = (E1 R2 + E2 R1)/(R1 R2 + R1 Rh^2 + R2 Rh)", None),
    ("cancelled-across-sum", CHARGE_OR_HELP, "Ih = (E1 + E2 R1)/(R1 + R1 Rh + R2 Rh)", None),
    ("fraction-inverted", DIVIDER, "I2 = I1 (R2 + R3)/R3", "I2 = I1 R3/(R2 + R3)"),
    ("subscript", CHARGE_OR_HELP, "E2 - Ic R1 - Ih Rh = 0", "E1 − Ic R1 − Ih Rh = 0"),
    ("calculator-order", DIVIDER, "I1 = E/R1 + R2 R3/(R2 + R3)", "I1 = E/(R1 + R2 R3/(R2 + R3))"),
    ("term-missing", CHARGE_OR_HELP, "Ih = E1 R2/(R1 R2 + R1 Rh + R2 Rh)", None),
    ("factor-missing", DIVIDER, "P(R1) = I1 R1", None),
    ("factor-extra", DIVIDER, "V(a, g) = I2 R2 R3", "V(a, g) = I2 R2"),
    ("wrong-divisor", DIVIDER, "V(a, g) = I2/R2", "V(a, g) = I2 R2"),
    ("minus-dropped", CHARGE_OR_HELP_IN_NUMBERS, "Ib = 1 A", "Ib = −1 A"),
    ("units-mixed", DIVIDER_IN_NUMBERS, "I1 = 2 A", "I1 = 2 mA"),
    ("prefix-dropped", DIVIDER_IN_NUMBERS, "12 V - 4 ohm I1 - 3 kohm I2 = 0", None),
    ("digits", CHARGE_OR_HELP_IN_NUMBERS, "4*2 + 5*3 = 32", "4 × 2 + 5 × 3 = 23"),
    ("bridge-balanced", BRIDGE, "I5 = 0", None),
    ("branch-alone", CHARGE_OR_HELP, "Ic = E1/R1", None),
    ("own-mesh-only", CHARGE_OR_HELP, "Ic = E1/(R1 + Rh)", None),
    ("whole-emf-each", DIVIDER, "V(a, g) = E", None),
    ("stronger-wins", CHARGE_OR_HELP, "Ih = E1/Rh", "Ih = (E1 R2 + E2 R1)/(R1 Rh + R2 (R1 + Rh))"),
    ("load-sees-sum", CHARGE_OR_HELP, "Ih = (E1 + E2)/Rh", "Ih = (E1 R2 + E2 R1)/(R1 Rh + R2 (R1 + Rh))"),
    ("net-emf", CHARGE_OR_HELP_IN_NUMBERS, "Ic = 5/12", "Ic = 2"),
    ("early-rounding", CHARGE_OR_HELP_IN_NUMBERS, "23 - 4 Ic - 4.9 Ih = 0", "23 − 4 Ic − 5 Ih = 0"),
]


def read(text: str, circuit: Circuit, *more: str) -> Equation:
    return equation(text, (*circuit.symbols, *circuit.currents, *more))


def first(text: str, circuit: Circuit, *above: str) -> Repair:
    """The likeliest repair of a line that is false."""
    wrong, holds = read(text, circuit), truth_of(circuit)
    assert not holds(wrong)
    found = repairs(wrong, circuit, holds, above=[read(line, circuit) for line in above])
    assert found, text
    assert all(holds(r.mended) for r in found)
    return found[0]


@pytest.mark.parametrize(("entry", "problem", "wrong", "right"), LINES, ids=[row[0] for row in LINES])
def test_the_slip_is_named_and_mended(entry: str, problem: str, wrong: str, right: str | None) -> None:
    found = first(wrong, circuit_of(problem))
    assert found.entry == entry
    assert right is None or render(found.mended) == right


BESIDE_OTHERS = [
    ("moved-sign", "E1 - Ic R1 = -Ih Rh", "E1 − Ic R1 = Ih Rh"),
    ("copied-wrong", "E1 - Ic R1 - Ic Rh = 0", "E1 − Ic R1 − Ih Rh = 0"),
    ("added-for-subtracted", "E1 + E2 - Ic R1 + Ib R2 = 0", None),
    ("shared-once", "E1 + E2 - Ic R1 + Ib R2 - Ih Rh = 0", "E1 + E2 − Ic R1 + Ib R2 − 2 Ih Rh = 0"),
]


@pytest.mark.parametrize(("entry", "wrong", "right"), BESIDE_OTHERS, ids=[row[0] for row in BESIDE_OTHERS])
def test_lines_above_tell_what_was_done(entry: str, wrong: str, right: str | None) -> None:
    found = first(wrong, circuit_of(CHARGE_OR_HELP), L1, L2)
    assert found.entry == entry
    assert right is None or render(found.mended) == right


def test_loop_currents_added_for_subtracted() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    wrong = read("E1 - ia R1 - (ia + ib) Rh = 0", circuit, *LOOPS)
    found = repairs(wrong, circuit, truth_of(circuit, LOOPS), names=LOOPS)
    assert [(r.entry, render(r.mended)) for r in found] == [("mesh-sum", "E1 − ia R1 − (ia − ib) Rh = 0")]


def test_a_branch_is_missed_in_what_a_source_alone_sees() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    meant = read("x = R1 Rh/(R1 + Rh)", circuit).right
    alone = CircuitChange(at_zero=("E1",))
    assert in_setting(circuit, alone)
    parts = {"Ib′": {part("Ib", alone): 1}}
    found = repairs(
        Equation(Symbol("R1h"), Symbol("Rh")),
        circuit,
        lambda e: e.right == meant,
        names=parts,
        meaning={"R1h": meant},
    )
    assert [(r.entry, render(r.mended)) for r in found] == [("superposed-open", "R1h = R1 Rh/(R1 + Rh)")]


IN_CHANGED_CIRCUITS = {"mesh-sum", "superposed-open", "power-superposed"}  # in whole workings: tests/cases
ACROSS_A_GAP = {"open-no-voltage"}  # a voltage, which the judge of this file does not know: tests/cases


def test_every_slip_that_can_be_found_is_tried_here_and_is_in_the_catalogue() -> None:
    tried = {row[0] for row in LINES} | {row[0] for row in BESIDE_OTHERS} | IN_CHANGED_CIRCUITS | ACROSS_A_GAP
    assert tried == SIZES.keys()
    assert CATALOGUE.keys() >= SIZES.keys()


def test_the_arrow_of_a_drop_is_told_with_the_loop() -> None:
    found = first("E1 - Ic R1 + Ih Rh = 0", circuit_of(CHARGE_OR_HELP))
    text = "".join(piece if isinstance(piece, str) else render(piece) for piece in found.said)
    assert text.startswith("the drop Ih Rh is met along the arrow of Ih: − Ih Rh is wanted")
    assert "loop along Ic and Ih" in text


def test_two_slips_are_looked_for_only_where_a_law_results() -> None:
    found = first("E1 + I1 R1 - I3 R3 = 0", circuit_of(LADDER))
    assert render(found.mended) == "E1 − I1 R1 − I3 R3 − I4 R4 = 0"
    assert found.size > 2


@pytest.mark.parametrize("text", ["E1 = E2", "Ic = E1", "Ic R1 = 3 Ic R1"])
def test_a_line_is_not_mended_into_one_that_says_nothing(text: str) -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    for found in repairs(read(text, circuit), circuit, truth_of(circuit)):
        assert found.mended.left != found.mended.right
        assert set("".join(render(found.mended))) & set("I")


def test_a_long_line_is_left_when_too_many_changes_would_be_tried() -> None:
    circuit = circuit_of(BRIDGE)
    long = " + ".join(f"I{i % 5 + 1} R{j % 5 + 1} (R1 + R2 + R3 + R4)" for i in range(6) for j in range(6))
    found = search(read(f"E = {long}", circuit), circuit, truth_of(circuit))
    assert found.capped
    assert found.repairs == ()


def test_no_more_changes_are_judged_exactly_than_allowed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(searching, "MOST_PROVED", 2)
    circuit, asked = circuit_of(CHARGE_OR_HELP_IN_NUMBERS), list[Equation]()

    def holds(mended: Equation) -> bool:
        asked.append(mended)
        return False

    repairs(read("4*2 + 5 Ih = 32", circuit), circuit, holds)
    assert len(asked) == 2


def test_a_second_slip_is_found_below_a_first() -> None:
    """Below E1 − Ic R1 + Ih Rh = 0, which is false, the current Ih is left out when it is solved for Ic."""
    circuit = circuit_of(CHARGE_OR_HELP)
    false_line = read("E1 - Ic R1 + Ih Rh = 0", circuit)
    right = read("Ic = E1/R1 + Ih Rh/R1", circuit)
    field = Field((*circuit.symbols, *circuit.currents))

    def follows(written: Equation) -> bool:
        one, other = difference_of(written, field), difference_of(false_line, field)
        return any(one * factor in (other, -other) for factor in (field.one, field.symbol("R1")))

    assert follows(right)
    wrong = read("Ic = E1/R1 - Ih Rh/R1", circuit)
    assert not follows(wrong)
    assert repairs(wrong, circuit, follows, above=[false_line]) == ()
    found = repairs(wrong, circuit, follows, above=[false_line], basis=[false_line])
    assert [render(r.mended) for r in found] == ["Ic = E1/R1 + Ih Rh/R1"]


def test_the_term_is_told_in_which_a_name_is_wrong() -> None:
    found = first("E1 - Ic R1 - Ic Rh = 0", circuit_of(CHARGE_OR_HELP))
    text = "".join(piece if isinstance(piece, str) else render(piece) for piece in found.said)
    assert text.startswith("wrong current in a drop: in Ic Rh, Ih belongs where Ic stands")


def test_the_writers_own_names_and_arrows_are_kept() -> None:
    """x is Ic against its arrow, y is Ib, z is Ih."""
    names = {"x": {"Ic": -1}, "y": {"Ib": 1}, "z": {"Ih": 1}}
    circuit = circuit_of(CHARGE_OR_HELP)
    holds = truth_of(circuit, names)
    for wrong, right in (
        ("E1 - x R1 - z Rh = 0", "E1 + x R1 − z Rh = 0"),
        ("E1 + x R1 - y Rh = 0", "E1 + x R1 − z Rh = 0"),
        ("E1 - z Rh = 0", "E1 − z Rh + x R1 = 0"),
        ("x + z = 0", "x + z + y = 0"),
    ):
        found = repairs(read(wrong, circuit, *names), circuit, holds, names=names)
        assert render(found[0].mended) == right


def test_a_forgotten_inside_resistance_is_put_below_the_line() -> None:
    circuit = circuit_of(CUBE)
    found = first("I0 = E/(5 R/6)", circuit)
    assert (found.entry, render(found.mended)) == ("inside-forgotten", "I0 = E/(5 R/6 + r)")


def test_a_drop_beside_another_of_the_same_resistance_is_a_drop_all_the_same() -> None:
    assert first("E - I1 R - I4 R + I11 R - I0 r = 0", circuit_of(CUBE)).entry == "drop-sign"


LOST_FACTORS = [
    ("Ic = ((R2 + Rh) - E2 Rh)/(R1 R2 + Rh (R1 + R2))", "Ic = ((R2 + Rh) E1 − E2 Rh)/(R1 R2 + Rh (R1 + R2))"),
    ("Ih = (E1 R2 + E2 R1)/(R1 R2 + (R1 + R2))", "Ih = (E1 R2 + E2 R1)/(R1 R2 + (R1 + R2) Rh)"),
    ("Ic R1 - E1 = -Ih", "Ic R1 − E1 = −Ih Rh"),
]


@pytest.mark.parametrize(("wrong", "right"), LOST_FACTORS)
def test_a_factor_that_stands_nowhere_else_is_found(wrong: str, right: str) -> None:
    assert render(first(wrong, circuit_of(CHARGE_OR_HELP)).mended) == right
