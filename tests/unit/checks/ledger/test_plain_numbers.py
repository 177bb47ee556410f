"""The ledger of a circuit with plain numbers for values passes: a count of trees needs symbols."""

from loopwright import examine
from loopwright.checks.limits.splits import share_symbols
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of


def test_a_circuit_in_numbers_passes_its_ledger() -> None:
    assert examine(circuit_of(CHARGE_OR_HELP_IN_NUMBERS).in_numbers()).failed == ()


def test_letters_put_for_shares_clash_with_no_point() -> None:
    circuit = circuit_of('[branches]\nI1 = "p, +E, R1, q"\nI2 = "q, R2, x"\nI3 = "x, R3, p"\n')
    shares, factor, _ = share_symbols(circuit, ("I1", "I2"))
    assert not {*shares.values(), factor} & {*circuit.named_points, "ρ"}
