"""What a line comes to with something else at one place, against working the changed line anew."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.expressions.nodes import Equation, Expr, Number, Symbol
from loopwright.expressions.parse import equation
from loopwright.expressions.writers.plain import render
from loopwright.reading.repair.places import Sides, places, put_in_both, replaced, signed_terms
from loopwright.reading.repair.trial_values import Trial, exact, generic, numeric
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
LINES = [
    "E1 - Ic R1 - Ih Rh = 0",
    "Ic = (E1 (R2 + Rh) - E2 Rh)/(R1 R2 + R1 Rh + R2 Rh)",
    "Ih = E1/(R1 + R2 ∥ Rh) - E2^2/(R1 - 9)^3",
    "-(Ic - Ib) Rh = -E1 + R1 Ic",
]
TRIALS = [generic(CIRCUIT), numeric(CIRCUIT), exact(CIRCUIT)]
NEW = (Symbol("R2"), Symbol("Ib"), Number(Fraction(7)))


def line(text: str) -> Equation:
    return equation(text, (*CIRCUIT.symbols, *CIRCUIT.currents))


@pytest.mark.parametrize("trial", TRIALS, ids=["random", "in numbers", "in fractions"])
@pytest.mark.parametrize("text", LINES)
def test_a_change_seen_from_its_place_is_the_changed_line_worked_anew(text: str, trial: Trial) -> None:
    written = line(text)
    sides = Sides(written, trial)
    for place in places(written):
        for new in NEW:
            seen = sides.residue_with(place.path, new)
            assert trial.is_zero(seen - Sides(replaced(written, place.path, new), trial).residue)


@pytest.mark.parametrize("text", LINES)
def test_what_stands_at_a_place_put_back_leaves_the_line(text: str) -> None:
    written = line(text)
    assert all(replaced(written, place.path, place.expr) == written for place in places(written))


def test_true_laws_vanish_in_every_trial_and_false_ones_in_none() -> None:
    for trial in TRIALS:
        assert trial.is_zero(Sides(line("E1 - Ic R1 - Ih Rh = 0"), trial).residue)
        assert trial.is_zero(Sides(line("Ic = Ib + Ih"), trial).residue)
        assert not trial.is_zero(Sides(line("E1 - Ic R1 + Ih Rh = 0"), trial).residue)


def test_the_exact_trial_holds_the_currents_of_the_numbers() -> None:
    """(2, −1, 3) A for 23 V, 18 V, 4 Ω, 3 Ω, 5 Ω: worked by hand."""
    values = exact(CIRCUIT).values
    assert [values[name] for name in ("Ic", "Ib", "Ih")] == [2, -1, 3]


def test_a_part_divided_by_nothing_is_refused() -> None:
    with pytest.raises(ZeroDivisionError):
        Sides(line("Ic = E1/(R1 - R1)"), generic(CIRCUIT))


def test_the_line_below_or_above_which_a_place_stands() -> None:
    found = {render(place.expr): place.line() for place in places(line("Ic = E1/(R1 + R2/Rh)"))}
    assert (found["E1"], found["R1"], found["R2"], found["Rh"], found["Ic"]) == (1, -1, 1, -1, 0)


def test_terms_come_with_their_signs() -> None:
    def terms(side: Expr) -> list[tuple[int, str]]:
        return [(sign, render(body)) for sign, body in signed_terms(side)]

    written = line("-E1 + Ic R1 - Ib R2 = 0")
    assert terms(written.left) == [(-1, "E1"), (1, "Ic R1"), (-1, "Ib R2")]
    assert terms(written.right) == []


def test_symbols_are_put_everywhere() -> None:
    changed = put_in_both(line("Ic + Ib = Ic R1/R1"), {"Ic": Symbol("Ih"), "R1": Symbol("R2")})
    assert render(changed) == "Ih + Ib = Ih R2/R2"
