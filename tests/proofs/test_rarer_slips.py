"""Kinds of slip for which batteries and resistors alone leave no room: gaps, wires, meters, prefixes, and
three side by side. Each is committed here by hand, as equations solved by NumPy, and compared.

With these and the twenty circuits of `test_quiz_distractors`, every kind that the catalogue can commit in a
steady circuit has been reproduced outside.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from loopwright.slips.catalogue import CATALOGUE
from loopwright.slips.models import NOT_MODELLED, point_of, slip_models
from loopwright.slips.settings import Fate, Setting
from tests.quiz_circuits import CIRCUITS, RARER
from tests.sample_circuits import circuit_of

Rows = Sequence[Sequence[float]]  # by equation: the coefficients of I1, I2, ... and what they add up to
BY_HAND: dict[tuple[str, str, str], Rows] = {
    ("three side by side", "product-over-sum", "I2, I3, I4"): [[2 + 3 * 6 * 4 / (3 + 6 + 4), 24]],
    ("a wire between", "short-no-current", "the wire I3"): [
        [1, -1, -1, 0, 0, 0],
        [0, 0, 1, -1, -1, 0],
        [2, 3, 0, 0, 0, 24],
        [0, 0, 0, 6, -4, 0],
        [0, 0, 1, 0, 0, 0],
    ],
    ("an open switch", "current-to-gap", "S1 were closed"): [[1, -1, 1, 0], [2, 6, 0, 24], [0, 6, 4, 10]],
    ("meters", "meters-ideal-wrong", "A1 taken to block"): [
        [1, -1, -1, -1, 0],
        [0, 1, 0, 0, 0],
        [2, 0, 6, 0, 24],
        [0, 0, 0, 1, 0],
    ],
    ("meters", "meters-ideal-wrong", "V1 taken for a wire"): [
        [1, -1, -1, -1, 0],
        [2, 3, 0, 0, 24],
        [0, 3, -6, 0, 0],
        [0, 3, 0, 0, 0],
    ],
    ("a prefix", "prefix-dropped", "R1 as 2"): [[1, -1, -1, 0], [2, 3000, 0, 12], [0, 3000, -6000, 0]],
}


@pytest.mark.parametrize(("name", "entry", "place"), BY_HAND)
def test_a_slip_comes_to_what_its_equations_come_to(name: str, entry: str, place: str) -> None:
    setting = Setting(circuit_of(RARER[name]))
    (model,) = [m for m in slip_models(setting) if m.entry == entry and place in m.place]
    found = model.at(point_of(setting))
    rows = np.array(BY_HAND[name, entry, place], dtype=float)
    outside = np.linalg.solve(rows[:, :-1], rows[:, -1])
    assert found.fate is Fate.ANSWER
    told = [float(found.values[f"I{n}"]) for n in range(1, len(outside) + 1)]
    assert told == pytest.approx(list(outside))


@pytest.mark.parametrize("entry", ["open-no-voltage", "voltage-needs-current"])
def test_a_gap_without_current_is_said_to_have_no_voltage(entry: str) -> None:
    setting = Setting(circuit_of(RARER["meters"]))
    (model,) = [m for m in slip_models(setting) if m.entry == entry]
    assert dict(model.at(point_of(setting)).values) == {"V(a, g)": 0}
    drop = 24 / (2 + 1 / (1 / 3 + 1 / 6)) * (1 / (1 / 3 + 1 / 6))  # what there really is
    assert drop == pytest.approx(12)


def test_every_kind_that_can_be_committed_has_arisen() -> None:
    settings = [Setting(circuit_of(text)) for text in (*CIRCUITS.values(), *RARER.values())]
    made = {model.entry for setting in settings for model in slip_models(setting)}
    assert made | set(NOT_MODELLED) == set(CATALOGUE)
