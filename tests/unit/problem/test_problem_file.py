"""Reading problem files: what a circuit holds, and what is said of files that are none."""

from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import Branch, Kind, Pass
from loopwright.errors import FaultyMaterial
from loopwright.expressions.nodes import Symbol
from loopwright.findings import Severity
from loopwright.problem.problem_file import read, read_file, read_text
from loopwright.problem.problem_text import written
from loopwright.solve.exact import solve

BUS = """
title = "Charge or help"
[branches]
Ic = "rail, +E1, R1, (m), bus"
Ib = "bus, R2, −E2, rail"
Ih = "bus, Rh, rail"
[elements]
E1 = "E2"
R1 = "2 R2"
[numbers]
E2 = "9.00 V"
Rh = "47.0 ohm"
R2 = "4k7"
[ratings]
Rh = "0.5 W"
"""


def circuit_of(text: str) -> Circuit:
    circuit, findings = read_text(text)
    assert circuit is not None, findings
    return circuit


def codes(text: str) -> list[str]:
    return [finding.code for finding in read_text(text)[1]]


def test_branch_is_read_along_its_arrow() -> None:
    expected = Branch("Ic", "rail", "bus", (Pass("E1", 1), Pass("R1"), "m"))
    assert circuit_of(BUS).branch("Ic") == expected


def test_typographic_minus_is_a_sign_like_any_other() -> None:
    assert circuit_of(BUS).pass_of("E2").sign == -1


def test_numbers_are_exact_and_kept_as_written() -> None:
    circuit = circuit_of(BUS)
    assert circuit.numbers == {"E2": Fraction(9), "Rh": Fraction(47), "R2": Fraction(4700)}
    assert circuit.written["Rh"] == "47.0 ohm"
    assert circuit.ratings == {"Rh": Fraction(1, 2)}


def test_value_of_another_element_is_put_in() -> None:
    circuit = circuit_of(
        '[branches]\nI1 = "a, +E1, R1, b"\nI2 = "a, R2, b"\n[elements]\nR1 = "2 R2"\nR2 = "r"\n'
    )
    assert circuit.symbols == ("E1", "r")
    assert circuit.value("R1") == circuit.value("R2") * 2


def test_number_under_elements_stands_under_the_elements_own_name() -> None:
    circuit = circuit_of('[branches]\nI = "a, +E, R, a"\n[elements]\nR = "5.0 ohm"\n')
    assert circuit.elements["R"].value == Symbol("R")
    assert circuit.numbers["R"] == 5


def test_internal_resistance_given_as_a_number_gets_a_symbol_of_its_own() -> None:
    text = '[branches]\nI = "a, +E1, R, a"\n[elements]\nE1 = { internal = "0.5 ohm" }\n'
    circuit = circuit_of(text)
    assert circuit.elements["E1"].internal == Symbol("r1")
    assert circuit.numbers["r1"] == Fraction(1, 2)


def test_symbol_of_internal_resistance_avoids_one_that_is_taken() -> None:
    text = '[branches]\nI = "a, +E1, R, a"\n[elements]\nR = "r1"\nE1 = { internal = "0.5 ohm" }\n'
    assert circuit_of(text).elements["E1"].internal == Symbol("rE1")


def test_the_older_key_of_an_internal_resistance_is_read_and_written_anew() -> None:
    text = '[branches]\nI = "a, +E1, R, a"\n[elements]\nE1 = { inside = "r" }\n'
    circuit = circuit_of(text)
    assert circuit.elements["E1"].internal == Symbol("r")
    assert 'E1 = { internal = "r" }' in written(circuit)


@pytest.mark.parametrize(
    ("name", "kind"),
    [("R1", "resistor"), ("r", "resistor"), ("E1", "battery"), ("V7", "battery"), ("J1", "current source")],
)
def test_first_letter_tells_the_kind(name: str, kind: str) -> None:
    sign = "" if kind == "resistor" else "+"
    assert circuit_of(f'[branches]\nI = "a, {sign}{name}, R9, a"\n').elements[name].kind == Kind(kind)


def test_switch_and_meters_have_no_value() -> None:
    elements = '[elements]\nS1 = "open"\nM1.kind = "voltmeter"\n'
    text = '[branches]\nI = "a, +E, A1, S1, R, a"\nI2 = "a, M1, a"\n' + elements
    circuit = circuit_of(text)
    assert circuit.elements["S1"].is_gap
    assert circuit.elements["M1"].kind is Kind.VOLTMETER
    assert not circuit.value("A1")


def test_underscores_and_subscripts_are_the_same_name() -> None:
    circuit = circuit_of('[branches]\nI_1 = "a, +E_1, R₁, a"\n[numbers]\nR1 = "5 ohm"\nE_1 = "2 V"\n')
    assert circuit.currents == ("I1",)
    assert set(circuit.numbers) == {"E1", "R1"}


def test_factor_without_unit_is_a_plain_number() -> None:
    circuit = circuit_of(
        '[branches]\nI = "a, +E, R1, R2, a"\n[elements]\nR2 = "k R1"\n[numbers]\nk = "2.5"\n'
    )
    assert circuit.numbers["k"] == Fraction(5, 2)


def test_all_faults_are_told_not_the_first() -> None:
    text = '[branches]\nI1 = "a, E1, R1, b"\nI2 = "a, R1, b"\nI3 = "a, R3, c"\n'
    assert codes(text) == ["circuit/missing-sign", "circuit/repeated-element", "circuit/point-used-once"]


def test_missing_sign_is_told_in_full() -> None:
    _, findings = read_text('[branches]\nI2 = "a, E2, R2, a"\n', "bus.toml")
    assert findings[0].as_text() == (
        "bus.toml, line 2, branches.I2: branch I2 passes battery E2 without a sign. "
        "Write +E2 if the arrow meets its − terminal first, -E2 if its + terminal."
    )


@pytest.mark.parametrize(
    ("text", "told"), [("", "branch I1 is empty;"), (" a ", 'branch I1 names only "a";')]
)
def test_a_branch_without_two_ends_is_told_by_what_it_has(text: str, told: str) -> None:
    _, findings = read_text(f'[branches]\nI1 = "{text}"\n')
    assert findings[0].message.startswith(told)


def test_mistyped_point_is_answered_with_the_nearest() -> None:
    _, findings = read_text(
        '[branches]\nI1 = "bus, R1, rail"\nI2 = "rail, +E, R2, buz"\nI3 = "bus, R3, rail"\n'
    )
    assert [finding.mend.split("?")[0] for finding in findings] == ["Did you mean bus"]


def test_warnings_come_with_the_circuit() -> None:
    circuit, findings = read_text('[branches]\nI = "a, +E, R, a"\n[numbers]\nE = "-3 V"\nR = "2 ohm"\n')
    assert circuit is not None
    assert [finding.severity for finding in findings] == [Severity.WARNING]


@pytest.mark.parametrize("text", ["", "  \n\n", "\ufeff"])
def test_empty_file_is_said_to_be_empty(text: str) -> None:
    assert codes(text) == ["file/empty"]


def test_byte_order_mark_and_windows_line_ends_are_no_fault(tmp_path: Path) -> None:
    file = tmp_path / "p.toml"
    file.write_bytes('\ufeff[branches]\r\nI = "a, +E, R, a"\r\n'.encode())
    assert read(file).currents == ("I",)


def test_file_that_is_not_utf8_is_told_with_its_line(tmp_path: Path) -> None:
    file = tmp_path / "p.toml"
    file.write_bytes(b'title = "x"\nstory = "caf\xe9"\n')
    _, findings = read_file(file)
    assert (findings[0].code, findings[0].place.line) == ("file/not-utf-8", 2)


def test_folder_and_missing_file_are_told_apart(tmp_path: Path) -> None:
    (tmp_path / "bus.toml").write_text("")
    found = [read_file(path)[1][0] for path in (tmp_path, tmp_path / "bsu.toml", "\0")]
    assert [finding.code for finding in found] == ["file/not-a-file", "file/missing", "file/unreadable"]
    assert found[1].mend == "Did you mean bus.toml?"


def test_too_long_a_text_is_refused() -> None:
    assert codes("#" * 2_000_001) == ["file/too-long"]


def test_read_raises_all_errors(tmp_path: Path) -> None:
    file = tmp_path / "p.toml"
    file.write_text('[branches]\nI1 = "a, E1, R1, b"\nI2 = "a, R1, b"\n')
    with pytest.raises(FaultyMaterial) as caught:
        read(file)
    assert [finding.place.line for finding in caught.value.findings] == [2, 3]


def test_every_example_reads_without_a_finding() -> None:
    examples = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))
    assert len(examples) >= 8
    assert {path.name: read_file(path)[1] for path in examples} == {path.name: () for path in examples}


def test_greek_letters_are_names_like_others() -> None:
    circuit = circuit_of('[branches]\nI = "a, +ε1, R, a"\n[elements]\nR = "2 ρ"\n')
    assert circuit.symbols == ("ε1", "ρ")
    assert str(circuit.value("R")) == "2*ρ"


def test_number_before_a_name_in_use_is_a_product() -> None:
    text = '[branches]\nI1 = "a, +E, R1, R2, a"\n[elements]\nR1 = "3 k"\nR2 = "k"\n'
    assert circuit_of(text).value("R1") == circuit_of(text).value("R2") * 3


def test_names_run_together_are_a_product_of_known_elements() -> None:
    text = '[branches]\nI1 = "a, +E, R1, a"\nI2 = "a, R2, R3, a"\n[elements]\nR1 = "R2R3 / (R2 + R3)"\n'
    assert circuit_of(text).symbols == ("E", "R2", "R3")


FREE_END = 'find = ["R(a, b)"]\n[branches]\nI1 = "a, R1, c"\nI2 = "c, R2, b"\nI3 = "c, R3, b"\n'


def test_a_branch_may_end_freely_where_a_resistance_is_asked() -> None:
    circuit, findings = read_text(FREE_END)
    assert circuit is not None
    assert not findings
    assert solve(circuit).resistance("a", "b").value({"R1": 2, "R2": 3, "R3": 6}) == 4


def test_a_free_end_that_is_not_asked_about_is_a_fault() -> None:
    assert codes(FREE_END.replace("R(a, b)", "R(c, b)")) == ["circuit/point-used-once"]


def test_the_method_of_a_problem_is_read_and_written_back() -> None:
    circuit, findings = read_text('method = "Loop  currents"\n[branches]\nI1 = "a, +E1, R1, a"\n')
    assert circuit is not None
    assert not findings
    assert circuit.page.method == "loop currents"
    assert read_text(written(circuit)) == (circuit, ())
