"""The one table of forms: what is typed is what is offered, and a sheet writes the same."""

from __future__ import annotations

from loopwright.cli.options import FORMATS
from loopwright.sheet.build import sheet
from loopwright.sheet.forms import FORMS
from tests.sample_circuits import CHARGE_OR_HELP, circuit_of


def test_the_command_line_offers_every_form_and_no_other() -> None:
    assert tuple(FORMS) == FORMATS


def test_every_form_is_found_by_its_name_and_ends_its_files_in_its_own_way() -> None:
    assert [form.name for form in FORMS.values()] == list(FORMS)
    assert len({form.ending for form in FORMS.values()}) == len(FORMS)


def test_a_sheet_offers_every_form() -> None:
    worked = sheet(circuit_of(CHARGE_OR_HELP))
    offered = [worked.html(), worked.pdf(), worked.latex(), worked.markdown(), worked.spoken()]
    assert offered == [form.write(worked.document) for form in FORMS.values()]
