"""A plot on the page: what can be chosen, what is drawn of it, and the act that puts it on the sheet."""

from pathlib import Path

import pytest

from loopwright.desk.edits import edited
from loopwright.desk.handed_out import handed_out
from loopwright.desk.plot_choice import plot_choice
from loopwright.desk.plotting import plotted, request
from loopwright.errors import FaultyMaterial
from loopwright.problem.problem_file import read_text
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS

TEXT = f'title = "Charge or help"\n{CHARGE_OR_HELP_IN_NUMBERS}'
STRAIN = Path("examples/mooring-strain.toml").read_text()
HEAT = "P(Rh) against Rh"


def choice(text: str) -> str:
    circuit, findings = read_text(text)
    assert circuit is not None, findings
    return plot_choice(circuit)


def test_every_current_potential_and_power_can_be_chosen_against_every_value() -> None:
    offered = choice(TEXT)
    for quantity in ("Ic", "V(rail, bus)", "P(Rh)", "P(E1)", "E2"):
        assert f">{quantity}</option>" in offered


def test_what_the_file_asks_for_is_chosen_first_and_stands_in_a_row() -> None:
    offered = choice(STRAIN)
    assert "<option selected>V(b, c)</option>" in offered
    assert "<option selected>R1</option>" in offered
    assert "sign of V(b, c) over R1, R4</button>" in offered


@pytest.mark.parametrize("name", ["night-lamp", "two-reservoirs"])
def test_of_a_circuit_in_time_nothing_is_offered(name: str) -> None:
    assert choice(Path(f"examples/{name}.toml").read_text()) == ""


def test_a_curve_comes_with_its_words_its_formulas_its_checks_and_ways_to_take_it() -> None:
    made = plotted(TEXT, request("P(Rh)", "Rh"))
    assert made["said"].startswith("P(Rh) against Rh, on a scale that goes from 0 to ∞.")
    assert 'aria-labelledby="plot-figure-1-title plot-figure-1-words"' in made["html"]
    assert "independent checks agree" in made["html"]
    assert "form=svg&amp;plot=P%28Rh%29+against+Rh" in made["html"]
    assert " style=" not in made["html"]


def test_the_middle_of_a_values_own_line_is_the_middle_of_the_scale() -> None:
    usual, moved = (plotted(TEXT, HEAT, middle)["html"] for middle in (None, 50.0))
    assert usual != moved
    assert "middle=50.0" in moved
    taken, _ = handed_out(TEXT, "svg", plot=HEAT, middle="50.0")
    path = next(line for line in taken.decode().splitlines() if 'stroke-width="0.6"' in line)
    assert path in moved


def test_a_map_is_asked_for_by_a_second_value_and_tells_its_boundary() -> None:
    made = plotted(TEXT, request("Ib", "R1", "Rh"))
    assert "against its arrow" in made["said"]
    points, ending = handed_out(TEXT, "csv", plot="sign of Ib over R1, Rh")
    assert ending == ".csv"
    assert points.count(b"\n") > 10


def test_a_plot_goes_on_the_sheet_and_off_it_and_all_else_stays() -> None:
    on = edited(TEXT, {"do": "plot", "request": HEAT, "keep": True})
    assert f'plots = ["{HEAT}"]' in on
    again = edited(on, {"do": "plot", "request": "P(Rh)  against Rh", "keep": True})
    assert again == on
    two = edited(on, {"do": "plot", "request": "Ic against E1", "keep": True})
    assert f'plots = ["{HEAT}", "Ic against E1"]' in two
    assert edited(two, {"do": "plot", "request": "Ic against E1", "keep": False}) == on
    assert edited(on, {"do": "plot", "request": HEAT, "keep": False}) == TEXT


def test_a_comment_in_the_list_of_plots_stays() -> None:
    text = f'plots = [\n  "{HEAT}", # asked on Friday\n]\n{TEXT}'
    more = edited(text, {"do": "plot", "request": "Ic against E1", "keep": True})
    assert "# asked on Friday" in more
    circuit, findings = read_text(more)
    assert circuit is not None, findings
    assert circuit.plots == (HEAT, "Ic against E1")


def test_what_cannot_be_drawn_is_refused_in_words() -> None:
    with pytest.raises(FaultyMaterial) as caught:
        plotted(TEXT.replace('R1 = "4 ohm"\n', ""), HEAT)
    assert caught.value.findings[0].code == "plots/no-number"
