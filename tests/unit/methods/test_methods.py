"""The table of methods, and what is said where one does not serve."""

from __future__ import annotations

import pytest

from loopwright.circuit import page_wishes
from loopwright.errors import FaultyMaterial
from loopwright.methods.methods import METHODS, NAMES, Method, derive
from tests.sample_circuits import CHARGE_OR_HELP, ONE_LOOP, circuit_of


def test_the_names_that_a_file_may_say_are_those_of_the_table() -> None:
    assert page_wishes.METHODS == NAMES


def test_an_unknown_method_is_told_with_the_nearest_name() -> None:
    with pytest.raises(FaultyMaterial, match="Did you mean loop currents"):
        derive(circuit_of(CHARGE_OR_HELP), method="loop curents")


@pytest.mark.parametrize("method", METHODS, ids=NAMES)
def test_one_loop_is_worked_by_a_method_or_refused_with_its_reason(method: Method) -> None:
    circuit = circuit_of(ONE_LOOP)
    why = method.why_not(circuit)
    if why:
        with pytest.raises(FaultyMaterial, match=why):
            derive(circuit, method=method.name)
    else:
        assert derive(circuit, method=method.name).method == method.name
