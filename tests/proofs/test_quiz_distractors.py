"""On twenty circuits: what slips lead to, worked once more outside by NumPy, and the items made of it.

A slip is committed here on equations set up from the text of the problem file (`tests/outside_slips.py`);
only the words that say where it was made are taken from the product.
"""

from __future__ import annotations

from functools import cache

import pytest

from loopwright import items
from loopwright.circuit.circuit import Circuit
from loopwright.items.item import ItemKind
from loopwright.slips.models import point_of, slip_models
from loopwright.slips.settings import Fate, Model, Setting, SettingInNumbers
from tests.outside_slips import OutsideCircuit, Values
from tests.quiz_circuits import CIRCUITS
from tests.sample_circuits import circuit_of

CLOSE = 1e-9
# Slips whose words say too little to be committed from them alone: how much is lost or mixed up is a choice
# of the model's own, or they leave no answer at all.
LEFT_OUT = frozenset((
    "bridge-balanced", "bridge-reduced", "calculator-order", "cancelled-across-sum", "charging-voltage",
    "cover-rule", "current-used-up", "false-parallel", "false-series", "fraction-inverted",
    "junction-twice", "label-twice", "load-sees-sum", "loaded-divider", "loops-only", "mesh-sum",
    "numerator-bracket", "own-mesh-only",
    "parallel-added", "parallel-sources-add", "power-superposed", "reciprocal-left", "source-supplies",
    "stronger-wins", "superposed-open", "two-grounds", "voltage-order", "whole-emf-each",
))  # fmt: skip

IN_PART = ("branch-alone", "inside-forgotten", "meter-misplaced", "wrong-current")  # in some of their places


@cache
def told(name: str) -> tuple[Circuit, SettingInNumbers, OutsideCircuit, tuple[Model, ...]]:
    circuit = circuit_of(CIRCUITS[name])
    setting = Setting(circuit)
    outside = OutsideCircuit(CIRCUITS[name], [row.name for row in setting.rows])
    return circuit, point_of(setting), outside, tuple(m for m in slip_models(setting) if m.usual)


def agree(model: Model, here: SettingInNumbers, outside: Values | None) -> bool:
    """Whether a model and the computation outside come to the same."""
    found = model.at(here)
    if outside is None or found.fate is not Fate.ANSWER:
        return outside is None and found.fate is not Fate.ANSWER
    both = outside.keys() & found.values.keys()
    return bool(both) and all(
        abs(float(found.values[n]) - outside[n]) < CLOSE * (1 + abs(outside[n])) for n in both
    )


@pytest.mark.parametrize("name", CIRCUITS)
def test_the_right_currents_are_those_found_outside(name: str) -> None:
    _, here, outside, _ = told(name)
    assert {n: float(v) for n, v in here.right.items()} == pytest.approx(outside.right)


@pytest.mark.slow
@pytest.mark.parametrize("name", CIRCUITS)
def test_every_slip_comes_to_what_is_found_outside(name: str) -> None:
    _, here, outside, models = told(name)
    wrong = []
    for model in models:
        found = outside.slipped(model.place)
        if isinstance(found, str):
            assert model.entry in LEFT_OUT or model.entry in IN_PART
        elif not agree(model, here, found):
            wrong.append(f"{model.entry}: {model.place}")
    assert wrong == []


@pytest.mark.slow
@pytest.mark.parametrize("name", CIRCUITS)
def test_every_wrong_option_is_a_value_found_outside_for_its_slip(name: str) -> None:
    circuit, here, outside, models = told(name)
    quiz = items(circuit, ["choice", "number"], each=9)
    assert {item.about for item in quiz.items} == set(circuit.currents)
    for item in quiz.items:
        right = float(here.right[item.about])
        answers = [(o.value, o.slips) for o in item.options if not o.right]
        if item.number is not None:
            answers = [(f.value * item.number.scale, f.slips) for f in item.number.foreseen]
            assert abs(float(item.number.value * item.number.scale) - right) < CLOSE
        for value, slips in answers:
            assert value is not None
            found = [outside.slipped(m.place) for m in models if m.entry in slips]
            known = [v[item.about] for v in found if isinstance(v, dict) and item.about in v]
            assert (
                (not slips and float(value) == pytest.approx(-right))
                or any(abs(float(value) - v) < CLOSE * (1 + abs(v)) for v in known)
                or set(slips) <= LEFT_OUT
            ), (item.name, value, slips)


@pytest.mark.slow
def test_items_of_every_kind_are_made_of_most_circuits() -> None:
    made = dict.fromkeys(ItemKind, 0)
    for name in list(CIRCUITS)[::6]:
        for item in items(told(name)[0], each=1).items:
            made[item.kind] += 1
    assert all(made[kind] == 4 for kind in ItemKind if kind is not ItemKind.WRONG_LINE)
    assert made[ItemKind.WRONG_LINE] == 3  # of a bridge the numbers are too unwieldy
