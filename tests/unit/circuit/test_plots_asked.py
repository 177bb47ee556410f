"""Requests for plots: what they name, and what they need."""

from __future__ import annotations

import pytest

from loopwright.circuit.plots_asked import PlotAsked, plot_asked, plots_asked
from loopwright.circuit.targets import Asked
from loopwright.errors import FaultyMaterial
from loopwright.problem.problem_file import read_text
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, circuit_of


def test_a_curve_names_a_quantity_and_the_value_it_goes_against() -> None:
    asked = plot_asked(" P(Rh)  against R_h ", circuit_of(CHARGE_OR_HELP_IN_NUMBERS))
    assert (asked.target.kind, asked.target.names, asked.over) == (Asked.POWER, ("Rh",), ("Rh",))
    assert asked.as_text() == "P(Rh) against Rh"
    assert not asked.is_map


@pytest.mark.parametrize("text", ["sign of Ib over R1, Rh", "Sign of Ib over R1 and Rh"])
def test_a_map_names_two_values(text: str) -> None:
    asked = plot_asked(text, circuit_of(CHARGE_OR_HELP_IN_NUMBERS))
    assert asked.is_map
    assert asked.as_text() == "sign of Ib over R1, Rh"


def test_the_value_that_is_moved_needs_no_number() -> None:
    circuit = circuit_of(CHARGE_OR_HELP_IN_NUMBERS.replace('Rh = "5 ohm"\n', ""))
    assert plot_asked("Ib against Rh", circuit).over == ("Rh",)
    with pytest.raises(FaultyMaterial, match="Rh has none"):
        plot_asked("Ib against R1", circuit)


def test_all_values_without_a_number_are_named() -> None:
    with pytest.raises(FaultyMaterial, match="E1, E2, R1 and R2 have none"):
        plot_asked("Ib against Rh", circuit_of(CHARGE_OR_HELP))


def test_the_file_says_what_is_plotted_each_once() -> None:
    text = (
        'plots = ["Ib against Rh", "sign of Ib over R1, Rh", "Ib against R_h"]\n' + CHARGE_OR_HELP_IN_NUMBERS
    )
    circuit = circuit_of(text)
    found = plots_asked(circuit)
    assert [type(one) for one in found] == [PlotAsked, PlotAsked]
    assert read_text(text)[1] == ()
