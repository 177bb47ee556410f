"""Values from results: exact, all of them, put back; worked by hand beside each."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.algebra.surds import Surd
from loopwright.circuit.circuit import Circuit
from loopwright.errors import FaultyMaterial
from loopwright.solve import unknown_values as module
from loopwright.solve.exact import solve
from loopwright.solve.unknown_values import FoundValues, UnknownValues, unknown_values
from tests.sample_circuits import circuit_of

# a battery through R1 into R2 and R3 side by side
BRANCHES = '[branches]\nI1 = "b, +E1, R1, a"\nI2 = "a, R2, b"\nI3 = "a, R3, b"\n'


def asked(find: str, given: str, **numbers: str) -> Circuit:
    listed = "\n".join(f'{name} = "{text}"' for name, text in numbers.items())
    return circuit_of(f"find = {find}\ngiven = {given}\n{BRANCHES}[numbers]\n{listed}\n")


def found(find: str, given: str, **numbers: str) -> UnknownValues:
    return unknown_values(solve(asked(find, given, **numbers)))


def plain(one: FoundValues) -> dict[str, Fraction | None]:
    assert not any(value.factor for value in one.values.values())
    return {name: value.plain.constant() for name, value in one.values.items()}


def test_a_resistance_from_a_current() -> None:
    # 2 A through 3 Ω leaves 6 V of 12 V; 1 A of it passes 6 Ω, so 1 A passes R2
    (one,) = found('["R2"]', '["I1 = 2.0 A"]', E1="12 V", R1="3 ohm", R3="6 ohm").solutions
    assert plain(one) == {"R2": 6}
    assert one.put_back
    assert one.signs() == {"R2": 1}


def test_a_resistance_that_would_be_negative_is_told_apart() -> None:
    # 1 A would leave 9 V, which drives 1.5 A through 6 Ω alone: R2 would carry -0.5 A
    (one,) = found('["R2"]', '["I1 = 1.0 A"]', E1="12 V", R1="3 ohm", R3="6 ohm").solutions
    assert plain(one) == {"R2": -18}
    assert one.signs() == {"R2": -1}


def test_a_power_has_two_resistances_with_one_square_root() -> None:
    # R2 sees 12 V · 6/10 = 7.2 V behind 4 ∥ 6 = 2.4 Ω: (7.2/(2.4 + x))² x = 2
    worked = found('["R2"]', '["P(R2) = 2 W"]', E1="12 V", R1="4 ohm", R3="6 ohm")
    assert [one.put_back for one in worked.solutions] == [True, True]
    for one in worked.solutions:
        x = one.values["R2"].value({})
        assert abs((Fraction(36, 5) / (Fraction(12, 5) + x)) ** 2 * x - 2) < Fraction(1, 10**30)
    assert worked.solutions[0].values["R2"].under.constant() == 51


def test_more_power_than_there_is_has_no_real_resistance() -> None:
    worked = found('["R2"]', '["P(R2) = 5.5 W"]', E1="12 V", R1="4 ohm", R3="6 ohm")  # at most 5.4 W
    assert not worked.solutions
    assert worked.unreal == 2


def test_a_formula_where_numbers_are_missing() -> None:
    circuit = circuit_of(f'find = ["R1"]\ngiven = ["I1"]\n{BRANCHES}')
    (one,) = unknown_values(solve(circuit)).solutions
    root = one.values["R1"].plain
    numbers = {"E1": Fraction(12), "I1": Fraction(2), "R2": Fraction(6), "R3": Fraction(6)}
    assert root.value(numbers) == 3  # 12 V/2 A less 6 ∥ 6
    assert one.put_back
    assert one.signs() is None


def test_two_resistances_from_two_currents() -> None:
    # 12 V − 1 A · 4 Ω = 8 V across both; 0.25 A in R2, 0.75 A in R3; R2 = 0 solves nothing
    worked = found('["R2", "R3"]', '["I1 = 1 A", "I2 = 0.25 A"]', E1="12 V", R1="4 ohm")
    assert [plain(one) for one in worked.solutions] == [{"R2": 32, "R3": Fraction(32, 3)}]
    assert worked.dropped == 1


def test_an_emf_from_a_voltage() -> None:
    (one,) = found('["E1"]', '["V(a, b) = 3.0 V"]', R1="2 ohm", R2="6 ohm", R3="3 ohm").solutions
    assert plain(one) == {"E1": 6}  # 1.5 A in all, 3 V more across R1


@pytest.mark.parametrize(
    ("find", "given", "code"),
    [
        ('["E1"]', '["R(a, b) = 3 ohm"]', "given/does-not-depend"),
        ('["E1", "R3"]', '["I2 = 1 A", "V(a, b) = 2 V"]', "given/contradictory"),
        ('["E1", "R3"]', '["I2 = 1 A", "V(a, b) = 6 V"]', "given/says-the-same"),
        ('["R1", "R3"]', '["P(R1) = 1 W", "P(R3) = 2 W"]', "given/too-hard"),
    ],
)
def test_what_cannot_be_found_is_a_finding_at_its_key(find: str, given: str, code: str) -> None:
    numbers = {"E1": "12 V", "R1": "12 ohm", "R2": "6 ohm", "R3": "5 ohm"}
    left = {name: text for name, text in numbers.items() if f'"{name}"' not in find}
    with pytest.raises(FaultyMaterial) as caught:
        found(find, given, **left)
    (finding,) = caught.value.findings
    assert (finding.code, finding.place.key) == (code, "given")


def test_a_false_root_is_noticed_when_it_is_put_back(monkeypatch: pytest.MonkeyPatch) -> None:
    real = module._roots

    def wrong(*arguments: object) -> tuple[list[Surd], int]:
        roots, unreal = real(*arguments)  # type: ignore[arg-type]
        return [root + root.plain.field.one for root in roots], unreal

    monkeypatch.setattr(module, "_roots", wrong)
    (one,) = found('["R2"]', '["I1 = 2.0 A"]', E1="12 V", R1="3 ohm", R3="6 ohm").solutions
    assert not one.put_back
