"""Node potentials: the point of reference, ideal sources, and what each current follows from."""

from __future__ import annotations

from loopwright.derive.steps import Derivation
from loopwright.expressions.writers import plain
from loopwright.methods.methods import derive
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, DRIVEN, circuit_of

FLOATING = """
[branches]
I1 = "c, R1, a"
I2 = "a, +E2, b"
I3 = "b, R3, c"
I4 = "c, +E4, R4, a"
I5 = "b, R5, d"
I6 = "d, +E6, c"
I7 = "d, R7, a"
"""
TURNED = '[branches]\nI1 = "b, +E1, R1, a"\nI2 = "b, R2, a"\nI3 = "a, S3, b"\n'


def lines(derivation: Derivation) -> list[str]:
    return [" = ".join(plain.render(side) for side in step.chain) for step in derivation.steps]


def by_potentials(text: str) -> Derivation:
    return derive(circuit_of(text), method="node potentials")


def test_one_equation_balances_the_currents_of_each_point_but_one() -> None:
    derivation = by_potentials(CHARGE_OR_HELP)
    assert lines(derivation)[0] == "(E1 − Vbus)/R1 = (Vbus − E2)/R2 + Vbus/Rh"
    assert derivation.together == ("Vbus",)
    assert derivation.figures[0].levels == {"rail": "0", "bus": "Vbus"}


def test_an_ideal_battery_at_the_point_of_reference_gives_a_potential_at_once() -> None:
    derivation = by_potentials(BRIDGE)
    assert lines(derivation)[0] == "Va = E"
    assert derivation.together == ("Vb", "Vc")
    assert derivation.steps[1].uses == (1,)


def test_an_ideal_battery_between_two_other_points_leaves_one_unknown_for_both() -> None:
    derivation = by_potentials(FLOATING)
    assert derivation.together == ("Vc",)
    assert any(line.startswith("Vd = Vc − E6 = ") for line in lines(derivation))
    assert any("Junctions c and d together" in str(step.reason[0]) for step in derivation.steps)


def test_the_current_of_an_ideal_battery_follows_from_the_junction_rule() -> None:
    derivation = by_potentials(BRIDGE)
    assert any(line.startswith("I = I3 + I4 = ") for line in lines(derivation))
    assert derivation.steps[-1].law is not None


def test_a_current_source_goes_into_the_balance_as_it_is() -> None:
    derivation = by_potentials(DRIVEN)
    circuit = circuit_of(DRIVEN)
    source = next(e.name for e in circuit.elements.values() if e.kind == "current source")
    first = derivation.steps[0].written
    assert source in plain.render(first.left) + plain.render(first.right)


def test_a_branch_whose_ends_meet_everything_against_its_arrow_has_its_minus_in_front() -> None:
    derivation = by_potentials(TURNED + '[elements]\nS3 = "open"\n')
    assert "I2 = −Va/R2 = −E1/(R1 + R2)" in lines(derivation)
