"""How untrue results of a working are found again in later lines."""

from __future__ import annotations

from fractions import Fraction

from loopwright.expressions.nodes import Equation, Number, Symbol
from loopwright.reading.truth.wrong_forms import WrongForms


def number(value: int) -> Number:
    return Number(Fraction(value), "", str(value))


def test_untrue_result_is_found_among_hundreds_and_few_of_these_are_looked_at() -> None:
    forms = WrongForms(frozenset(), {})
    for n in range(1, 400):
        forms.note(n, Equation(Symbol(f"x{n}"), number(7 * n * n)), goes_on=False, untrue=True)
    claim = Equation(Symbol("I1"), number(7 * 200 * 200))
    near = forms.forms.near(claim)
    assert [f.name for f in near if f.written == claim.right] == ["x200"]
    assert len(near) < 40
    assert [put.right for put, lines in forms.without(claim) if lines == (200,)] == [Symbol("x200")]
