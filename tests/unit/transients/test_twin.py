"""The twin of a circuit: coils for capacitors, capacitors for coils; the ends of currents change places."""

from __future__ import annotations

import pytest

from loopwright.circuit.elements import Kind
from loopwright.errors import FaultyMaterial
from loopwright.problem.problem_file import read_text
from loopwright.problem.problem_text import written
from loopwright.transients.transient import transient
from loopwright.transients.twin import twin
from tests.unit.transients.sample_transients import LAMP, MAGNET, RESERVOIRS, SHARING, circuit_of

COIL = LAMP.replace("C1", "L1").replace('"2 V"', '"0 A"').replace('"10 uF"', '"40 mH"')
BOTH = """
[branches]
I1 = "foot, +E, S1, R1, top"
I2 = "top, L1, foot"
I3 = "top, R3, C1, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "V0"
L1 = "0 A"
"""

CARRYING = COIL.replace('"0 A"', '"-3 mA"')
LADEN = """
[branches]
I1 = "foot, +E, S1, R1, L1, L2, top"
I2 = "top, R2, foot"
I3 = "top, R3, C1, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "1 V"
L1 = "2 mA"
L2 = "2 mA"
[numbers]
E = "12 V"
R1 = "2 kohm"
R2 = "4 kohm"
R3 = "1 kohm"
C1 = "10 uF"
L1 = "20 mH"
L2 = "40 mH"
"""


@pytest.mark.parametrize("text", [LAMP, COIL, BOTH, RESERVOIRS, MAGNET, CARRYING, LADEN])
def test_just_after_and_long_after_change_places(text: str) -> None:
    circuit = circuit_of(text)
    one, other = transient(circuit), transient(twin(circuit))
    for name, course in one.currents.items():
        found = other.currents[name]
        assert found.long_after is not None
        if circuit.has_all_numbers:
            assert found.just_after.value(other.circuit.numbers) == course.end.value(circuit.numbers)
            assert found.end.value(other.circuit.numbers) == course.just_after.value(circuit.numbers)
        else:
            assert str(found.just_after) == str(course.end)
            assert str(found.end) == str(course.just_after)


def test_the_time_constants_multiply_to_the_capacitance_times_the_inductance() -> None:
    circuit = circuit_of(LAMP)
    tau = 1 / transient(circuit).rates[0].value(circuit.numbers)
    other = twin(circuit)
    assert tau / transient(other).rates[0].value(other.numbers) == circuit.numbers["C1"] * other.numbers["L1"]


def test_the_twin_reads_back_and_is_asked_what_does_not_speak_of_the_storage() -> None:
    circuit = circuit_of('find = ["I1(t)", "V(C1)(t)", "tau"]\n' + LAMP)
    other = twin(circuit)
    again, findings = read_text(written(other))
    assert findings == ()
    assert again is not None
    assert again.in_time == ("I1(t)", "tau")
    assert again.storages == ("L1",)
    assert again.elements["L1"].kind is Kind.COIL


def test_the_twin_of_a_twin_is_the_circuit_again() -> None:
    circuit = circuit_of(COIL)
    again = twin(twin(circuit))
    assert again.branches == circuit.branches
    assert again.numbers == circuit.numbers


def test_scaled_values_turn_over_with_the_kind() -> None:
    other = twin(circuit_of(SHARING + '[elements]\nC2 = "2 C1"\n'))
    ratio = other.value("L1") / other.value("L2")
    assert ratio == 2  # in series C1 and 2 C1 make 2/3 C1; side by side L1 and L1/2 make L1/3


def test_a_resistance_inside_a_coil_stands_beside_the_capacitor() -> None:
    text = MAGNET.replace('"closed -> open"', '"open -> closed"') + '[start]\nL1 = "0 A"\n'
    other = twin(circuit_of(text))
    assert [p.element for p in other.branch("IL").passes] == ["C1", "RL1"]


def test_the_current_of_a_coil_stands_as_a_source_beside_the_capacitor() -> None:
    other = twin(circuit_of(MAGNET))
    assert [p.element for p in other.branch("IL").passes] == ["RL1"]
    assert [(b.start, b.end) for b in other.branches if b.name in ("IC1", "IJ1")] == [("m1", "rail")] * 2
    again, findings = read_text(written(other))
    assert findings == ()
    assert again is not None
    assert again.branches == other.branches


def test_where_there_is_no_twin_the_reason_is_given() -> None:
    text = LAMP.replace('"open -> closed"', '["open -> closed", "closed -> open at 1 s"]')
    with pytest.raises(FaultyMaterial) as caught:
        twin(circuit_of(text))
    assert [f.code for f in caught.value.findings] == ["time/no-twin"]
    assert "the ends no longer change places" in caught.value.findings[0].message


def test_a_steady_circuit_has_no_twin() -> None:
    circuit, _ = read_text('[branches]\nI1 = "a, +E, R1, b"\nI2 = "b, R2, a"\n')
    assert circuit is not None
    with pytest.raises(FaultyMaterial, match="nothing in it changes in time"):
        twin(circuit)
