"""On twenty circuits: what slips lead to, worked once more outside by NumPy, and the items made of it.

A slip is committed here on what the text of the problem file says (`tests/outside_slips.py`,
`tests/outside_ideas.py`); only the words that say where it was made are taken from the product.
"""

from __future__ import annotations

from functools import cache

import pytest

from loopwright import items
from loopwright.circuit.circuit import Circuit
from loopwright.items.item import ItemKind
from loopwright.slips.models import point_of, slip_models
from loopwright.slips.settings import Fate, Model, Setting, SettingInNumbers
from tests.outside_ideas import Found, outside_found
from tests.outside_networks import OutsideSystem
from tests.outside_slips import OutsideCircuit
from tests.quiz_circuits import CIRCUITS
from tests.sample_circuits import circuit_of
from tests.sweeps import parts

CLOSE = 1e-9
MADE = 8063  # slips in the usual equations of the twenty circuits, each in each place


@cache
def told(name: str) -> tuple[Circuit, SettingInNumbers, OutsideCircuit, tuple[Model, ...]]:
    circuit = circuit_of(CIRCUITS[name])
    setting = Setting(circuit)
    outside = OutsideCircuit(CIRCUITS[name], [row.name for row in setting.rows])
    return circuit, point_of(setting), outside, slip_models(setting)


def agree(model: Model, here: SettingInNumbers, outside: Found) -> bool:
    """Whether a model and the computation outside come to the same, and speak of the same quantities."""
    found = model.at(here)
    if isinstance(outside, OutsideSystem):
        if outside.contradicts:
            return found.fate is Fate.CONTRADICTION
        missed = [outside.off(found.values), *(outside.off(way, change=True) for way in found.ways)]
        return found.fate is Fate.OPEN and len(found.ways) == outside.open_ways and max(missed) < CLOSE
    if not isinstance(outside, dict):
        return outside is None and found.fate is Fate.CONTRADICTION
    return (
        found.fate is Fate.ANSWER
        and found.values.keys() == outside.keys()
        and all(abs(float(found.values[n]) - v) < CLOSE * (1 + abs(v)) for n, v in outside.items())
    )


def not_reproduced(name: str, *, usual: bool) -> tuple[int, list[str]]:
    """How many slips are made in a circuit, and those that do not come to what is found outside."""
    _, here, outside, models = told(name)
    looked_at = [m for m in models if m.usual is usual]
    wrong = [m for m in looked_at if not agree(m, here, outside_found(outside, m.place))]
    return len(looked_at), [f"{m.entry}: {m.place}" for m in wrong]


@pytest.mark.parametrize("name", CIRCUITS)
def test_the_right_currents_are_those_found_outside(name: str) -> None:
    _, here, outside, _ = told(name)
    assert {n: float(v) for n, v in here.right.items()} == pytest.approx(outside.right)


@pytest.mark.slow
def test_every_slip_comes_to_what_is_found_outside() -> None:
    found = [not_reproduced(name, usual=True) for name in CIRCUITS]
    assert [wrong for _, some in found for wrong in some] == []
    assert sum(made for made, _ in found) >= MADE


@pytest.mark.parametrize("part", parts(range(4), in_ci=1))
def test_every_slip_in_other_sets_of_equations_too(part: int) -> None:
    for name in list(CIRCUITS)[part::4]:
        made, wrong = not_reproduced(name, usual=False)
        assert wrong == [], name
        assert made, name


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
            found = [outside_found(outside, m.place) for m in models if m.usual and m.entry in slips]
            known = [v[item.about] for v in found if isinstance(v, dict) and item.about in v]
            assert (not slips and float(value) == pytest.approx(-right)) or any(
                abs(float(value) - v) < CLOSE * (1 + abs(v)) for v in known
            ), (item.name, value, slips)


@pytest.mark.slow
def test_items_of_every_kind_are_made_of_most_circuits() -> None:
    made = dict.fromkeys(ItemKind, 0)
    for name in list(CIRCUITS)[::6]:
        for item in items(told(name)[0], each=1).items:
            made[item.kind] += 1
    assert all(made[kind] == 4 for kind in ItemKind if kind is not ItemKind.WRONG_LINE)
    assert made[ItemKind.WRONG_LINE] == 3  # of a bridge the numbers are too unwieldy
