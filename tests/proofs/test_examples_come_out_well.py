"""The example problems: well posed, with decent numbers, and with expectations that are true."""

from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.algebra.ratios import Ratio
from loopwright.circuit.circuit import Circuit
from loopwright.circuit.claims import End, claim
from loopwright.circuit.diagnose import diagnose
from loopwright.circuit.in_time import moves
from loopwright.circuit.targets import target
from loopwright.expressions.nodes import Expr
from loopwright.expressions.values import ratio_of, symbols_of
from loopwright.findings import Severity
from loopwright.problem.problem_file import read, read_text, written
from loopwright.solve.exact import Solution, solve

ALL = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
EXAMPLES = [path for path in ALL if read(path).ladder is None]
WITH_NUMBERS = [path for path in EXAMPLES if read(path).has_all_numbers]
STEADY = [path for path in EXAMPLES if not moves(read(path))]  # others: `tests/unit/transients/`
EXPECTED = [(path, text) for path in STEADY for text in read(path).expect]
FAR = Fraction(10) ** 15


def numbers_of(circuit: Circuit) -> dict[str, Fraction]:
    """The circuit's numbers, and unlike ones where it has none."""
    return {name: circuit.numbers.get(name, Fraction(3 * at + 2)) for at, name in enumerate(circuit.symbols)}


def value_of(expr: Expr, solution: Solution, numbers: dict[str, Fraction]) -> Fraction:
    """The value of a side of an expectation, its currents and voltages put in from the solution."""
    from_circuit: dict[str, Fraction] = dict(numbers)
    for name in symbols_of(expr):
        if name not in numbers:
            from_circuit[name] = asked_for(name, solution).value(numbers)
    field = type(solution.circuit.field)(from_circuit)
    return ratio_of(expr, field).value(from_circuit)


def asked_for(name: str, solution: Solution) -> Ratio:
    question = target(name, solution.circuit)
    return solution.difference(*question.names) if len(question.names) == 2 else solution.currents[name]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_example_is_well_posed(path: Path) -> None:
    assert [f for f in diagnose(read(path)) if f.severity is not Severity.NOTE] == []


@pytest.mark.parametrize("path", WITH_NUMBERS, ids=lambda path: path.stem)
def test_currents_are_short_decimals(path: Path) -> None:
    circuit = read(path)
    for current in solve(circuit).currents.values():
        micro = current.value(circuit.numbers) * 1_000_000
        assert micro.denominator == 1
        assert len(str(abs(micro.numerator)).rstrip("0")) <= 3


@pytest.mark.parametrize("path", WITH_NUMBERS, ids=lambda path: path.stem)
def test_no_resistance_is_one_ohm(path: Path) -> None:
    """A lost factor of 1 Ω could not be seen (common practice, no source)."""
    assert 1 not in read(path).numbers.values()


@pytest.mark.parametrize(("path", "text"), EXPECTED, ids=lambda x: x if isinstance(x, str) else x.stem)
def test_expectation_holds_close_to_the_limit(path: Path, text: str) -> None:
    circuit = read(path)
    said = claim(text, (*circuit.currents, *circuit.symbols))
    assert said.right is not None
    numbers = numbers_of(circuit)
    assert said.symbol in numbers
    numbers[said.symbol] = FAR if said.to is End.INFINITY else 1 / FAR
    solution = solve(circuit)
    left, right = (value_of(side, solution, numbers) for side in (said.left, said.right))
    assert abs(left - right) < Fraction(1, 10**9)


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_example_written_back_is_the_same_circuit(path: Path) -> None:
    again, findings = read_text(written(read(path)))
    assert (again, findings) == (read(path), ())


def test_some_currents_run_against_their_arrows() -> None:
    negative = [
        p.stem for p in WITH_NUMBERS for c in solve(read(p)).currents.values() if c.value(read(p).numbers) < 0
    ]
    assert {"charge-or-help", "field-station", "tide-gauge-bridge", "tender-start"} <= set(negative)
