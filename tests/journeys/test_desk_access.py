"""The desk for everybody: what axe finds, what is heard, a wrong sign found without seeing, other looks."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.axe import OF_COLOURS, violations
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS as TEXT

pytestmark = pytest.mark.slow
LOOKS: tuple[dict[str, Any], ...] = (
    {"color_scheme": "dark"},
    {"color_scheme": "light", "forced_colors": "active"},
    {"color_scheme": "dark", "contrast": "more"},
)


@pytest.fixture(scope="module")
def whole(at_once: Callable[..., Page]) -> Page:
    """The page with everything opened that opens, once all is proved."""
    page = at_once("whole", TEXT)
    expect(page.locator("#proved details")).not_to_have_count(0)
    page.locator("#written").fill("Ic = Ib + Ih\nE1 - Ic R1 + Ih Rh = 0\n")
    expect(page.locator("#margin li.untrue")).to_have_count(1)
    page.evaluate("for (const each of document.querySelectorAll('main details')) each.open = true")
    page.get_by_label("Show loop currents beside").check()
    expect(page.locator("#methods h3")).to_have_count(1)
    expect(page.locator("#plot-inside svg")).to_have_count(1)
    return page


@pytest.fixture(autouse=True)
def as_usual(whole: Page) -> Iterator[None]:
    """Puts the page back as it was."""
    yield
    whole.emulate_media(media="null", color_scheme="null", forced_colors="null", contrast="null")
    whole.set_viewport_size({"width": 1280, "height": 900})


# Three thousand elements in a page of four; they have the colours of what is around them, as is proved below.
FORMULAS = ("#proved math", "#methods math")
_OWN_COLOURS = """selectors => [...document.querySelectorAll(selectors)].flatMap((math) => {
  const around = getComputedStyle(math.parentElement).color;
  return [math, ...math.querySelectorAll("*")].filter((each) => {
    const look = getComputedStyle(each);
    return look.color !== around || !look.backgroundColor.endsWith(", 0)") || look.opacity !== "1";
  }).map((each) => each.outerHTML.slice(0, 80));
})"""


def test_axe_finds_nothing_on_the_desk_in_any_colours(whole: Page) -> None:
    assert violations(whole, without=FORMULAS) == []
    for look in LOOKS:
        whole.emulate_media(**look)
        assert violations(whole, *OF_COLOURS, without=FORMULAS) == [], look
        assert whole.evaluate(_OWN_COLOURS, ", ".join(FORMULAS)) == [], look
    colour = "colour => (document.getElementById('enough').style.color = colour)"
    whole.evaluate(colour, "#222")  # on black
    pale = violations(whole, *OF_COLOURS, without=FORMULAS)
    assert [found.split(":")[0] for found in pale] == ["color-contrast"]
    whole.evaluate(colour, "")


def test_what_is_heard_of_the_page_is_a_tree_of_names(whole: Page) -> None:
    heard = whole.locator("body").aria_snapshot().replace("'", "")  # with which it quotes what holds a colon
    for line in (
        '- region "Paper":',
        '- button "Branch Ib: arrow from bus to rail, meeting resistor R2, then battery E2 as a drop. Ib is',
        '- button "Point bus, where Ic, Ib and Ih meet"',
        '- region "Working":',
        '- group "Currents":',
        '- list "Equations":',
        '- group "Equation 2, Loop Ic + Ih: E1 − Ic R1 − Ih Rh = 0":',
        '- button "minus I sub c times R sub one. R1 is crossed along the arrow of Ic: a drop."',
        '- region "Values":',
        '- slider "R sub one, from nothing to infinity"',
        '- region "Plots":',
        '- combobox "Show"',
        '- combobox "against"',
        '- figure "Ic against E1"',
        '- img "Ic against E1 Ic against E1, on a scale that goes from 0 to ∞.',
        '- link "Board"',
        '- textbox "The file"',
        '- textbox "A working to be read"',
    ):
        assert line in heard, heard


def test_a_wrong_sign_is_found_by_ear_and_keys_alone(at: Callable[..., Page]) -> None:
    page = at("ear", TEXT.replace("-E2", "+E2"))
    expect(page.locator("#equations li")).to_have_count(3)
    heard: list[str] = []
    page.locator(".term").first.focus()
    for row in range(3):
        page.keyboard.press("ArrowDown") if row else None
        for _ in range(6):
            heard.append(str(page.evaluate("document.activeElement.getAttribute('aria-label')")))
            page.keyboard.press("ArrowRight")
        for _ in range(6):
            page.keyboard.press("ArrowLeft")
    told = [each for each in heard if "E2" in each]
    assert told
    assert all("E2 is crossed from" in each for each in told)
    branch = page.evaluate("desk.paper.find('branch', 'Ib').getAttribute('aria-label')")
    assert "then battery E2 as a rise" in branch


def test_everything_that_can_be_reached_has_a_name(whole: Page) -> None:
    nameless = whole.evaluate(
        """() => [...document.querySelectorAll(
          'button, summary, a, input, select, textarea, [tabindex]'
        )].filter(
        (e) => !(e.ariaLabel || e.textContent.trim() || e.labels?.length || e.getAttribute('aria-labelledby'))
        ).map((e) => e.outerHTML.slice(0, 80))"""
    )
    assert nameless == []


def test_a_narrow_page_scrolls_one_way_only(whole: Page) -> None:
    whole.set_viewport_size({"width": 390, "height": 844})
    assert whole.evaluate("document.documentElement.scrollWidth") <= 390
    whole.set_viewport_size({"width": 320, "height": 600})  # 1280 px at four times the size
    assert whole.evaluate("document.documentElement.scrollWidth") <= 320


def test_what_is_printed_is_the_circuit_and_its_working(whole: Page) -> None:
    page = whole
    page.emulate_media(media="print")
    for part in ("#board", "#equations", "#proved"):
        expect(page.locator(part)).to_be_visible()
    for part in ("footer", "#file", "#papers", "#to-board", "#loops", "#what-next", "#plot-of"):
        expect(page.locator(part)).to_be_hidden()
    assert re.match(
        r"rgb\(255, 255, 255\)",
        page.evaluate("getComputedStyle(document.body.parentElement).backgroundColor"),
    )
