"""What every sheet shares: the roles of symbols, and the sections that several editions have."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from loopwright.expressions.writers import plain
from loopwright.sheet.build import sheet
from loopwright.sheet.document import Heading, Listing, Paragraph
from loopwright.sheet.sections import as_written
from loopwright.sheet.sheets import roles
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, circuit_of


def test_an_emf_a_resistance_and_a_current_have_their_roles() -> None:
    found = roles(circuit_of(CHARGE_OR_HELP))
    assert [found[name] for name in ("E1", "R1", "Ib")] == ["emf", "resistance", "current"]


def test_a_symbol_that_values_several_elements_has_the_role_of_the_first() -> None:
    circuit = circuit_of(CHARGE_OR_HELP + '[elements]\nE1 = "2 E"\nE2 = "E"\n')
    assert roles(circuit)["E"] == "emf"


def test_the_loops_that_add_nothing_are_listed_for_the_instructor() -> None:
    blocks = sheet(circuit_of(CHARGE_OR_HELP), edition="instructor").document.blocks
    lead = next(
        i for i, b in enumerate(blocks) if isinstance(b, Paragraph) and "it adds nothing" in str(b.text[0])
    )
    assert isinstance(blocks[lead + 1], Listing)
    assert not isinstance(blocks[lead + 1], Heading)


def test_a_number_that_nobody_wrote_is_shown_with_its_unit() -> None:
    circuit = replace(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), written={}, numbers={"R1": Fraction(4700)})
    assert plain.render(as_written(circuit, "R1")) == "4.70000 kΩ"
