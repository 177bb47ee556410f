"""What is said of a badly written number never offers another value for it."""

import pytest

from loopwright.problem.problem_file import read_text
from loopwright.quantities import read_quantity

LOOP = '[branches]\nI = "a, +E, R, a"\n[elements]\nE = "9 V"\nR = '


@pytest.mark.parametrize("written", ["4.7e3", "2.2e-3", "0.00000047", "1/3", "470"])
@pytest.mark.parametrize("quoted", [True, False])
def test_a_mend_for_a_missing_unit_keeps_the_value(written: str, quoted: bool) -> None:
    if written == "1/3" and not quoted:
        return
    _, (finding,) = read_text(LOOP + (f'"{written}"' if quoted else written))
    assert finding.code == "file/missing-unit"
    offered = finding.mend.removeprefix('Write "').removesuffix('".')
    assert read_quantity(offered).value == read_quantity(written).value
    assert read_quantity(offered).unit == "Ω"


@pytest.mark.parametrize("written", ["3e2 A", "20 milliamps", "4.5 V"])
def test_a_unit_of_another_kind_is_not_mended_by_another_number(written: str) -> None:
    _, (finding,) = read_text(f'{LOOP}"{written}"')
    assert finding.code == "file/wrong-unit"
    assert finding.mend == 'Write a resistance, such as "5.0 Ω", or look whether the right key is named.'


def test_exponents_are_read_exactly() -> None:
    circuit, findings = read_text(f'{LOOP}"4.7e3 ohm"')
    assert circuit is not None
    assert not findings
    assert circuit.numbers["R"] == 4700
