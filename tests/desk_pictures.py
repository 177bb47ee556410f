"""Pictures of the desk in each of its states: light and dark, narrow, and in the looks that some need.

`python -m tests.desk_pictures FOLDER [STATE ...]`; with `--docs` those that `docs/desk.md` shows."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

from tests.architecture.source import ROOT
from tests.open_desk import CHROMIUM, PATIENCE, open_desk

WIDE = {"width": 1280, "height": 860}
BEGUN = '[branches]\nI1 = "a, +E1, R1, b"\n\n[places]\na = [0, 0]\nb = [0, 1]\n'


def _branch(page: Page, name: str) -> None:
    page.evaluate("name => desk.paper.focus(desk.paper.find('branch', name))", name)


def _as_it_opens(page: Page) -> None:
    page.wait_for_selector("#proved details")


def _term(page: Page) -> None:
    _as_it_opens(page)
    page.locator('.term[data-of="R2"]').first.focus()


def _on_the_wire(page: Page) -> None:
    _as_it_opens(page)
    _branch(page, "Ib")
    page.keyboard.press("Enter")
    page.keyboard.press("End")
    page.keyboard.type(", E3")
    page.wait_for_selector("#pen-fault:not([hidden])")


def _at_infinity(page: Page) -> None:
    _as_it_opens(page)
    page.locator('[type=range][data-value="Rh"]').focus()
    page.keyboard.press("End")


def _plot(page: Page) -> None:
    _as_it_opens(page)
    page.locator("#plots summary").click()
    page.wait_for_selector("#plot-inside svg")
    page.locator("#plotted").scroll_into_view_if_needed()


def _map(page: Page) -> None:
    _plot(page)
    page.locator("#plot-choice [data-plot]").nth(1).click()
    page.locator("#plot-inside title", has_text="sign of").wait_for(state="attached")
    page.locator("#plotted").scroll_into_view_if_needed()


def _own_loops(page: Page) -> None:
    page.locator("#loops summary").click()
    page.locator("#loops input").nth(1).check()
    page.locator("#enough", has_text="new").wait_for()


def _methods(page: Page) -> None:
    page.locator("#methods summary").click()
    page.get_by_label("Show loop currents beside").check()
    page.get_by_label("Show node potentials beside").check()
    page.wait_for_selector("#methods h3 >> nth=1")
    page.locator("#methods").scroll_into_view_if_needed()


def _next_step(page: Page) -> None:
    page.locator("#written").fill("Ic = Ib + Ih")
    page.keyboard.press("Control+Enter")
    page.locator("#next", has_text="1 of").wait_for()
    page.keyboard.press("Control+Enter")
    page.locator("#next", has_text="2 of").wait_for()
    page.locator("#margin").scroll_into_view_if_needed()


def _read(page: Page) -> None:
    page.locator("#written").fill("Ic = Ib + Ih\nE1 - Ic R1 + Ih Rh = 0\n")
    page.wait_for_selector("#margin li.untrue")
    page.locator("#margin li.untrue").focus()
    page.locator("#margin").scroll_into_view_if_needed()


def _begun(page: Page) -> None:
    page.keyboard.press("Tab")
    page.evaluate("desk.paper.focus(desk.paper.find('point', 'b'))")
    page.keyboard.press("b")


def _papers(page: Page) -> None:
    page.locator("#papers summary").click()


STATES: dict[str, tuple[str, Callable[[Page], None]]] = {
    "open": ("charge-or-help", _as_it_opens),
    "term": ("charge-or-help", _term),
    "wire": ("charge-or-help", _on_the_wire),
    "infinity": ("charge-or-help", _at_infinity),
    "plot": ("mooring-strain", _plot),
    "map": ("mooring-strain", _map),
    "loops": ("charge-or-help", _own_loops),
    "methods": ("charge-or-help", _methods),
    "next": ("charge-or-help", _next_step),
    "read": ("charge-or-help", _read),
    "begun": ("begun", _begun),
    "blank": ("blank", lambda page: page.locator("#board").focus()),
    "bridge": ("tide-gauge-bridge", _as_it_opens),
    "papers": ("charge-or-help", _papers),
}
OF_DOCS = {"desk-term": ("term", "light"), "desk-wire": ("wire", "dark"), "desk-plot": ("plot", "light")}
LOOKS: dict[str, dict[str, Any]] = {
    "light": {"color_scheme": "light"},
    "dark": {"color_scheme": "dark"},
    "narrow": {"viewport": {"width": 390, "height": 844}},
    "forced": {"color_scheme": "dark", "forced_colors": "active"},
    "contrast": {"contrast": "more"},
    "large": {"viewport": {"width": 640, "height": 430}, "device_scale_factor": 2},  # twice the size
    "print": {},
    "wall": {"viewport": {"width": 1920, "height": 1080}},
}
_ALL_OF_IT = """() => {  // what is not in sight is not drawn until it is
  const sheet = new CSSStyleSheet();
  sheet.replaceSync('#proved details[open] { content-visibility: visible }');
  document.adoptedStyleSheets = [sheet];
}"""
USUAL = ("light", "dark", "narrow")  # of every state; the others are of how it opens and of a working read


def main(folder: Path, states: Sequence[str], *, docs: bool) -> None:
    """Takes them all, those of these states, or those of the documentation."""
    wanted = [
        (f"{state}-{look}", state, look)
        for state in states or STATES
        for look in (LOOKS if state in ("open", "read") else USUAL)
    ]
    if docs:
        wanted = [(name, state, look) for name, (state, look) in OF_DOCS.items()]
    with tempfile.TemporaryDirectory() as place:
        for name in ("charge-or-help", "tide-gauge-bridge", "mooring-strain"):
            (Path(place) / f"{name}.toml").write_text((ROOT / "examples" / f"{name}.toml").read_text())
        (Path(place) / "begun.toml").write_text(BEGUN)
        (Path(place) / "blank.toml").write_text("")
        with open_desk(Path(place)) as desk, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
            for file, state, look in wanted:
                paper, act = STATES[state]
                context = browser.new_context(**{"viewport": WIDE, **LOOKS[look]})
                context.set_default_timeout(PATIENCE)
                key, _, value = desk.cookie.partition("=")
                context.add_cookies([{"name": key, "value": value, "url": desk.address}])
                page = context.new_page()
                page.goto(f"{desk.address}/#{paper}")
                page.wait_for_selector(f"body[data-ready={paper}]")
                act(page)
                page.wait_for_timeout(400)
                page.evaluate(_ALL_OF_IT)
                if look == "print":
                    page.pdf(path=folder / f"{file}.pdf")
                else:
                    page.screenshot(path=folder / f"{file}.png", full_page=look in ("narrow", "large"))
                context.close()
            browser.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), [a for a in sys.argv[2:] if a != "--docs"], docs="--docs" in sys.argv)
