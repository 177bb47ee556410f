"""Ill-posed circuits, said in words of the trade with the elements at fault named."""

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.diagnose import diagnose, has_one_answer
from loopwright.findings import Finding
from loopwright.problem.problem_file import read_text


def found(text: str) -> tuple[Finding, ...]:
    circuit, findings = read_text(text)
    assert circuit is not None, findings
    return diagnose(circuit)


def branches(*lines: str, more: str = "") -> str:
    return "\n".join(["[branches]", *(f'I{n} = "{line}"' for n, line in enumerate(lines, 1)), more])


OPEN_SWITCH = '[elements]\nS1 = "open"'


def test_sound_circuit_has_nothing_to_be_said() -> None:
    assert found(branches("a, +E1, R1, b", "a, R2, b")) == ()


def test_shorted_battery_is_named_with_the_wire() -> None:
    first = found(branches("a, +E1, b", "a, b", "a, R1, b"))[0]
    assert first.code == "circuit/battery-shorted"
    assert first.about == ("E1", "I1", "I2")
    assert first.message.startswith("battery E1 is shorted: branch I2 joins its ends by plain wire")


def test_ammeter_across_a_battery_is_a_short_told_as_one() -> None:
    first = found(branches("a, +E1, b", "a, A1, b", "a, R1, b"))[0]
    assert "through A1" in first.message
    assert first.mend.endswith("An ammeter is never put across a battery.")


def test_battery_with_inside_resistance_is_not_shorted() -> None:
    text = branches("a, +E1, b", "a, b", more='[elements]\nE1 = { internal = "r" }')
    assert found(text) == ()


def test_unequal_batteries_in_parallel_disagree() -> None:
    first = found(branches("a, +E1, b", "a, +E2, b", "a, R1, b"))[0]
    assert first.code == "circuit/batteries-disagree"
    assert "E1 − E2 = 0" in first.message


def test_numbers_tell_by_how_much_the_batteries_disagree() -> None:
    numbers = '[numbers]\nE1 = "9 V"\nE2 = "6 V"\nR1 = "3 ohm"'
    first = found(branches("a, +E1, b", "a, +E2, b", "a, R1, b", more=numbers))[0]
    assert first.message.endswith("but it is 3 V.")


def test_equal_batteries_in_parallel_leave_the_split_undetermined() -> None:
    text = branches("a, +E1, b", "a, +E2, b", "a, R1, b", more='[elements]\nE2 = "E1"')
    assert [finding.code for finding in found(text)] == ["circuit/split-undetermined"]


def test_equal_batteries_turned_against_each_other_disagree() -> None:
    text = branches("a, +E1, b", "a, -E2, b", "a, R1, b", more='[elements]\nE2 = "E1"')
    assert [finding.code for finding in found(text)] == ["circuit/batteries-disagree"]


def test_current_source_with_only_a_voltmeter_across_is_left_open() -> None:
    text = branches("a, +J1, b", "a, M1, b", more='[elements]\nM1.kind = "voltmeter"')
    first = found(text)[0]
    assert first.code == "circuit/current-source-open"
    assert first.about == ("J1", "M1")


def test_current_source_in_one_branch_with_an_open_switch_is_left_open() -> None:
    text = branches("a, +J1, S1, b", "a, R1, b", more=OPEN_SWITCH)
    assert [finding.code for finding in found(text)] == ["circuit/current-source-open"]


def test_two_current_sources_in_one_branch_disagree() -> None:
    first = found(branches("a, +J1, +J2, b", "a, R1, b"))[0]
    assert first.code == "circuit/current-sources-disagree"
    assert first.about == ("J1", "J2")


@pytest.mark.parametrize(
    ("ways", "sources", "mend"),
    [
        (("a, +J1, +J2, b", "a, R1, b"), ("J1", "J2"), "Keep one of them"),
        (("a, +J1, b", "b, +J2, c", "c, R1, a"), ("J1", "J2"), "Keep one of them"),
        (("a, +J1, R1, b", "b, +J2, R2, a", "b, R3, +J3, a"), ("J1", "J2", "J3"), "Take one of them out"),
    ],
)
def test_how_voltages_of_like_current_sources_in_series_divide_is_undetermined(
    ways: tuple[str, ...], sources: tuple[str, ...], mend: str
) -> None:
    value = "J2 + J3" if "J3" in sources else "J2"
    (finding,) = found(branches(*ways, more=f'[elements]\nJ1 = "{value}"'))
    assert finding.code == "circuit/current-sources-in-series"
    assert finding.about == sources
    assert finding.mend.startswith(mend)


def test_potential_beyond_an_open_switch_is_undetermined_only_when_asked() -> None:
    body = branches("a, +E1, R1, b", "a, R2, b", "b, S1, c", "c, R3, d", "d, +E2, R4, c", "c, S2, a")
    body += '\n[elements]\nS1 = "open"\nS2 = "open"\n'
    assert found(body) == ()
    assert [finding.code for finding in found('find = ["V(a, d)"]\n' + body)] == [
        "circuit/potential-undetermined"
    ]


def test_potential_within_the_open_branch_is_determined() -> None:
    text = 'find = ["V(a, m)"]\n' + branches(
        "a, +E1, R1, b", "a, R2, b", "a, S1, (m), R3, b", more=OPEN_SWITCH
    )
    assert [finding.code for finding in found(text)] == []


def test_part_not_connected_is_named_by_its_elements() -> None:
    first = found(branches("a, +E1, R1, b", "a, R2, b", "p, +E3, R3, p"))[0]
    assert first.code == "circuit/part-not-connected"
    assert first.about == ("E3", "R3", "p")


def test_circuit_asked_only_for_a_resistance_needs_no_source() -> None:
    body = branches("a, R1, b", "a, R2, b")
    assert [finding.code for finding in found(body)] == ["circuit/no-source"]
    assert found('find = ["R(a, b)"]\n' + body) == ()


def test_wire_between_two_loops_carries_no_current() -> None:
    lines = branches("a, +E1, R1, b", "b, R2, a", "a, c", "c, +E2, R3, d", "d, R4, c")
    assert [(finding.code, finding.about) for finding in found(lines)] == [("circuit/no-current", ("I3",))]


def test_only_unsettled_currents_spoil_the_answer() -> None:
    sound, _ = read_text(branches("a, +E1, R1, b", "b, R2, a", "a, R3, a"))
    spoilt, _ = read_text(branches("a, +E1, b", "b, a"))
    assert sound is not None
    assert spoilt is not None
    assert (has_one_answer(sound), has_one_answer(spoilt)) == (True, False)


def test_finding_carries_its_file_and_line() -> None:
    text = branches("a, +E1, b", "a, b")
    assert found(text)[0].place.as_text() == "problem, line 2, branches.I1"


def test_circuit_without_branches_is_told_as_empty() -> None:
    assert [finding.code for finding in diagnose(Circuit((), {}))] == ["circuit/empty"]


@pytest.mark.parametrize(
    ("along", "told"), [("S1, ", " of plain wire through S1:"), ("", " of plain wire: ")]
)
def test_a_loop_of_wires_tells_what_it_leads_through(along: str, told: str) -> None:
    circuit, _ = read_text(f"""
[branches]
I1 = "a, +E, R1, b"
I2 = "b, R2, a"
I3 = "a, {along}b"
I4 = "b, a"
[elements]
{'S1 = "closed"' if along else ""}
""")
    assert circuit is not None
    finding = next(f for f in diagnose(circuit) if f.code == "circuit/wire-loop")
    assert told in finding.message
