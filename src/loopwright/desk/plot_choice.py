"""What can be plotted on the page, in HTML: quantities, values, and what the file itself asks for."""

from __future__ import annotations

from html import escape
from itertools import combinations
from json import dumps

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.plots_asked import PlotAsked, movable, plots_asked
from ..errors import FaultyMaterial

MOST_VOLTAGES = 45  # between ten points, each with each
_POWERED = (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE)


def plot_choice(circuit: Circuit) -> str:
    """The quantities and the values that a plot can be of, and what the file itself asks for, which is chosen
    first; empty where a plot can be of nothing."""
    values = movable(circuit)
    if not values or circuit.storages or circuit.ladder is not None:
        return ""
    kept = kept_plots(circuit)
    offered = _offered(circuit)
    own = [asked.target.as_text() for asked in kept]
    known = {name for names in offered.values() for name in names}
    offered = {"Of the file": list(dict.fromkeys(n for n in own if n not in known))} | offered
    first = kept[0] if kept else None
    of = first.target.as_text() if first else circuit.currents[0]
    over = [*(first.over if first else ()), "", ""]
    groups = "".join(
        f'<optgroup label="{head}">{_options(names, of)}</optgroup>'
        for head, names in offered.items()
        if names
    )
    beside = f'<option value="">no other</option>{_options(values, over[1])}'
    sheet = "".join(
        f'<li><button type="button" data-plot="{escape(dumps([a.target.as_text(), *a.over]))}">'
        f"{escape(a.as_text())}</button></li>"
        for a in kept
    )
    return (
        f'<p class="choice"><label>Show <select id="plot-of">{groups}</select></label> '
        f'<label>against <select id="plot-over">{_options(values, over[0])}</select></label> '
        f'<label>and <select id="plot-beside">{beside}</select></label></p>'
        + (f'<ul class="choice" aria-label="On the sheet">{sheet}</ul>' if sheet else "")
    )


def _offered(circuit: Circuit) -> dict[str, list[str]]:
    """Every quantity in its plain form, by its kind."""
    powered = [name for name, element in circuit.elements.items() if element.kind in _POWERED]
    pairs = list(combinations(circuit.named_points, 2))[:MOST_VOLTAGES]
    return {
        "Currents": list(circuit.currents),
        "Potentials, of the first point over the second": [f"V({a}, {b})" for a, b in pairs],
        "Powers": [f"P({name})" for name in powered],
    }


def _options(names: list[str], chosen: str) -> str:
    return "".join(
        f"<option{' selected' if name == chosen else ''}>{escape(name)}</option>" for name in names
    )


def kept_plots(circuit: Circuit) -> tuple[PlotAsked, ...]:
    """What the file asks for."""
    try:
        return plots_asked(circuit)
    except FaultyMaterial:  # told beside the paper, where the file's faults are
        return ()
