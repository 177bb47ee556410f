"""The page as it is served: small, whole, and hanging together."""

import re
from pathlib import Path

import loopwright.desk as desk

PAGE = Path(desk.__file__).parent / "page"
HTML = (PAGE / "index.html").read_text()
SCRIPTS = {path.name: path.read_text() for path in sorted(PAGE.glob("*.js"))}


def test_all_scripts_together_are_served_in_less_than_forty_kilobytes() -> None:
    assert sum(path.stat().st_size for path in PAGE.glob("*.js")) < 40_000


def test_every_part_that_a_script_asks_for_by_its_name_stands_in_the_page() -> None:
    made = (PAGE.parent / "plot_choice.py").read_text()  # the page's choice of plots comes from the desk
    known = set(re.findall(r'\bid="([^"]+)"', HTML + made))
    asked = {
        name
        for text in SCRIPTS.values()
        for name in re.findall(r'(?:(?<![.\w])(?:at|fill)|\.part)\("([^"]+)"', text)
    }
    assert asked
    assert asked <= known


def test_every_script_begins_with_what_it_does_and_every_name_imported_is_exported() -> None:
    for text in SCRIPTS.values():
        assert text.startswith("// ")
        for names, file in re.findall(r'import {([^}]+)} from "./(.+?)"', text):
            exported = re.findall(r"export (?:const|class|(?:async )?function) (\w+)", SCRIPTS[file])
            assert {name.strip() for name in names.split(",")} <= set(exported)


def test_nothing_in_the_page_is_written_into_its_elements_as_style_or_script() -> None:
    assert " style=" not in HTML
    assert not re.search(r"\son\w+=", HTML)
