"""Items on closed forms, limits, orders, directions and sets of equations, held against work outside."""

from __future__ import annotations

import re
from fractions import Fraction

import numpy as np
import pytest

from loopwright import items
from loopwright.circuit.circuit import Circuit
from loopwright.expressions.nodes import Equation, Expr
from loopwright.expressions.said import as_text
from loopwright.expressions.values import ratio_of
from loopwright.items.item import AnswerOption, ItemKind, QuizItem
from loopwright.laws.laws import laws
from loopwright.slips.equation_slips import loop_row
from loopwright.slips.settings import Setting
from tests.outside_slips import OutsideCircuit
from tests.quiz_circuits import CIRCUITS
from tests.sample_circuits import circuit_of

NAMES = ("two sources", "three sources", "unbalanced bridge")


def made(name: str, kind: ItemKind, each: int = 9) -> tuple[Circuit, OutsideCircuit, tuple[QuizItem, ...]]:
    circuit = circuit_of(CIRCUITS[name])
    outside = OutsideCircuit(CIRCUITS[name], [row.name for row in Setting(circuit).rows])
    return circuit, outside, items(circuit, [str(kind)], each=each).items


def value(circuit: Circuit, form: Expr, numbers: dict[str, float]) -> float:
    exact = {n: Fraction(v).limit_denominator(10**12) for n, v in numbers.items()}
    return float(ratio_of(form, circuit.field, {}).value(exact))


def form_of(option: AnswerOption) -> Expr:
    (said,) = option.said
    assert isinstance(said, Equation)
    return said.right


@pytest.mark.parametrize("name", NAMES)
def test_the_right_form_is_the_right_current_and_no_other_is(name: str) -> None:
    circuit, outside, found = made(name, ItemKind.FORMULA, each=2)
    assert found
    for item in found:
        right = outside.right[item.about]
        for option in item.options:
            off = abs(value(circuit, form_of(option), outside.numbers) - right)
            assert (off < 1e-9 * (1 + abs(right))) == option.right


def test_wrong_forms_are_those_of_the_slips_that_are_told() -> None:
    circuit, outside, found = made("two sources", ItemKind.FORMULA)
    for item in found:
        for option in (o for o in item.options if not o.right):
            place = re.search(r"\(((?:sign of|\w+ ).*)\)\.$", option.feedback)
            assert place is not None
            slip = outside.slipped(place[1].replace(" turned in ", " in "))
            assert isinstance(slip, dict)
            assert value(circuit, form_of(option), outside.numbers) == pytest.approx(slip[item.about])


@pytest.mark.parametrize("name", NAMES[:2])
def test_only_the_right_limit_shows_that_the_form_is_wrong(name: str) -> None:
    circuit, outside, found = made(name, ItemKind.LIMIT, each=3)
    assert found
    numbers = {
        n: v * (1 + 0.07 * k) for k, (n, v) in enumerate(outside.numbers.items())
    }  # no luck with these
    for item in found:
        ((_, form),) = item.shown
        assert len([o for o in item.options if o.right]) == 1
        for option in item.options:
            symbol, end = re.match(r"(\w+) → (0|∞)", as_text(option.said)).groups()  # type: ignore[union-attr]
            outside.numbers = numbers | {symbol: 1e-9 if end == "0" else 1e9}
            outside.equations = {n: outside.terms(n) for n in outside.equations}
            off = value(circuit, form, outside.numbers) - outside.right[item.about]
            assert (abs(off) > 1e-4) == option.right


def test_resistors_are_ranked_by_the_power_that_they_turn_into_heat() -> None:
    _, outside, found = made("two sources", ItemKind.RANKING)
    item = found[0]
    said = {option.name: as_text(option.said) for option in item.options}
    through = {"R1": "I1", "R2": "I2", "R3": "I3"}
    powers = {n: outside.right[i] ** 2 * outside.numbers[n] for n, i in through.items()}
    assert (
        [said[name] for name in item.order] == sorted(powers, key=lambda n: -powers[n]) == ["R3", "R2", "R1"]
    )
    told = {tuple(said[n] for n in f.names): f.feedback for f in item.foreseen}
    assert told["R3", "R1", "R2"] == "They are put in order by their resistances alone."
    assert told["R2", "R3", "R1"] == "They are put in order by their currents alone."
    assert told["R1", "R2", "R3"].startswith("The order is right")


def test_currents_are_ranked_by_size_and_the_order_with_signs_is_foreseen() -> None:
    _, _, found = made("ladder with sources against one another", ItemKind.RANKING)
    (item,) = [i for i in found if i.title.startswith("In order: the currents")]
    said = {option.name: as_text(option.said) for option in item.options}
    assert [said[n] for n in item.order] == ["I5", "I3", "I2", "I4", "I1"]
    assert any("with their signs" in f.feedback for f in item.foreseen)


@pytest.mark.parametrize("name", NAMES)
def test_the_way_of_a_current_is_that_of_its_sign(name: str) -> None:
    circuit, outside, found = made(name, ItemKind.DIRECTION)
    assert {item.about for item in found} == set(circuit.currents)
    for item in found:
        (right,) = (as_text(option.said) for option in item.options if option.right)
        start, *_, end = outside.branches[item.about]
        ways = (start, end) if outside.right[item.about] > 0 else (end, start)
        assert right.startswith(f"from {ways[0]} to {ways[1]}, ")
    against = [outside.right[item.about] < 0 for item in found]
    assert against == sorted(against, reverse=True)


@pytest.mark.parametrize("name", NAMES)
def test_sets_that_are_enough_have_full_rank_and_others_have_not(name: str) -> None:
    circuit, outside, found = made(name, ItemKind.ENOUGH)
    rows = [f"junction {law.point}" for law in laws(circuit).junctions]
    rows += [loop_row(circuit, law.loop).name for law in laws(circuit).every_loop]
    assert len(found) == 2
    for item in found:
        assert item.points == sum(option.right for option in item.options)
        for option in item.options:
            chosen = [rows[int(n) - 1] for n in re.findall(r"\((\d+)\)", as_text(option.said))]
            matrix = np.zeros((len(chosen), len(circuit.currents)))
            for i, row in enumerate(chosen):
                for t in outside.terms(row):
                    if t.current:
                        matrix[i, circuit.currents.index(t.current)] += t.factor
            assert (np.linalg.matrix_rank(matrix) == len(circuit.currents)) == option.right


def test_a_set_that_is_not_enough_is_told_why() -> None:
    _, _, found = made("two sources", ItemKind.ENOUGH)
    told = [o.feedback for item in found for o in item.options if not o.right]
    assert all(text.startswith("No, ") for text in told)
    assert any("loops and no junction" in text for text in told)
