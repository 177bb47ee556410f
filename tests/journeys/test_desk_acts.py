"""Acts on the desk in a real Chromium besides drawing: elements carried along and between wires, lines copied
as LaTeX, a plot and a lecture that follow; and each time the file is what is compared."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.test_desk import CHARGE_OR_HELP, comes_to

pytestmark = pytest.mark.slow
CARRIED = CHARGE_OR_HELP.replace("+E1, R1, bus", "+E1, bus").replace("bus, R2, -E2", "bus, R1, R2, -E2")


def middle_of(page: Page, kind: str, name: str) -> tuple[float, float]:
    """Where the middle of a thing is on the screen."""
    spot = "([kind, name]) => desk.paper.px(desk.paper.find(kind, name).dataset.at.split(' ').map(Number))"
    x, y = page.evaluate(spot, [kind, name])
    room = page.locator("#board").bounding_box()
    assert room is not None
    return room["x"] + x, room["y"] + y


def test_an_element_is_carried_to_another_wire_by_keys_alone(at: Callable[..., Page], folder: Path) -> None:
    page = at("carried-by-key", CHARGE_OR_HELP)
    page.evaluate("desk.paper.focus(desk.paper.find('element', 'R1'))")
    page.keyboard.press("m")
    expect(page.locator("#said")).to_contain_text("In the hand: R1.")
    page.evaluate("desk.paper.focus(desk.paper.find('element', 'R2'))")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text(
        "R1 put into Ib. Branch Ib: arrow from bus to rail, meeting"
    )
    assert comes_to(page, folder, "carried-by-key", CARRIED.__eq__)
    expect(page.locator("#hint")).to_contain_text("R2 in Ib:")
    page.keyboard.press("m")
    page.keyboard.press("Escape")
    expect(page.locator("#said")).to_have_text("Left.")
    page.keyboard.press("Control+z")
    assert comes_to(page, folder, "carried-by-key", CHARGE_OR_HELP.__eq__)


def test_an_element_is_drawn_along_its_wire_and_to_another_by_mouse(
    at: Callable[..., Page], folder: Path
) -> None:
    page = at("carried-by-mouse", CHARGE_OR_HELP)
    for held, goal, right in (
        ("R1", "R2", CARRIED),
        ("R2", "R1", CARRIED.replace("R1, R2", "R2, R1")),
    ):
        page.mouse.move(*middle_of(page, "element", held))
        page.mouse.down()
        x, y = middle_of(page, "element", goal)
        page.mouse.move(x - 20, y)
        page.mouse.move(x, y)
        page.mouse.up()
        assert comes_to(page, folder, "carried-by-mouse", right.__eq__), held


def test_an_element_is_drawn_to_another_wire_by_finger(at: Callable[..., Page], folder: Path) -> None:
    page = at("carried-by-finger", CHARGE_OR_HELP, has_touch=True)
    sent = page.context.new_cdp_session(page)
    start, goal = middle_of(page, "element", "R1"), middle_of(page, "element", "R2")
    for kind, points in (
        ("touchStart", [start]),
        ("touchMove", [((start[0] + goal[0]) / 2, start[1] + 9)]),
        ("touchMove", [goal]),
        ("touchEnd", []),
    ):
        told = [{"x": x, "y": y} for x, y in points]
        sent.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": told})
    assert comes_to(page, folder, "carried-by-finger", CARRIED.__eq__)


def test_a_source_is_turned_about_by_one_key(at: Callable[..., Page], folder: Path) -> None:
    page = at("about", CHARGE_OR_HELP)
    page.evaluate("desk.paper.focus(desk.paper.find('element', 'E2'))")
    page.keyboard.press("f")
    expect(page.locator("#said")).to_contain_text("E2 turned about")
    assert comes_to(page, folder, "about", CHARGE_OR_HELP.replace("-E2", "+E2").__eq__)


def test_any_line_is_copied_as_latex_by_one_key_and_lights_what_it_was_made_from(
    at: Callable[..., Page],
) -> None:
    page = at("copied", CHARGE_OR_HELP)
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page.locator(".term").first.focus()
    page.keyboard.press("c")
    expect(page.locator("#said")).to_contain_text("Copied:")
    first = page.evaluate("navigator.clipboard.readText()")
    assert first == r"I_{\mathrm{c}} = I_{\mathrm{b}} + I_{\mathrm{h}}"
    line = page.locator("#proved .line", has_text="(1) into (2)")
    line.click(position={"x": 3, "y": 3})
    expect(page.locator("#proved .line.lit")).to_have_count(2)
    page.keyboard.press("c")
    expect(page.locator("#said")).to_contain_text(r"\mathcal{E}_{1} -")
    page.keyboard.press("ArrowDown")
    expect(line).not_to_be_focused()


def test_the_plot_follows_a_value_while_it_is_drawn_along_its_line(
    at: Callable[..., Page], folder: Path
) -> None:
    page = at("following", CHARGE_OR_HELP)
    page.locator("#plots summary").click()
    page.locator("#plot-over").select_option("Rh")
    words = page.locator("#plot-inside svg desc")
    before = words.text_content()
    slider = page.locator("[type=range][data-value=E1]")
    slider.evaluate("one => { one.value = 700; one.dispatchEvent(new Event('input', { bubbles: true })); }")
    expect(words).not_to_have_text(before or "")
    assert (folder / "following.toml").read_text() == CHARGE_OR_HELP


def test_an_open_lecture_follows_the_file_and_comes_back_to_its_stage(
    at: Callable[..., Page], folder: Path
) -> None:
    page = at("lesson", CHARGE_OR_HELP)
    with page.context.expect_page() as opened:
        page.locator("#to-board").click()
    board = opened.value
    board.wait_for_selector("html[data-ready=yes]")
    for _ in range(2):
        board.keyboard.press("ArrowRight")
    expect(board.locator("html")).to_have_attribute("data-stage", "3")
    (folder / "lesson.toml").write_text(CHARGE_OR_HELP.replace("Charge or help", "Charge or aid"))
    expect(board).to_have_title("Charge or aid")
    expect(board.locator("html")).to_have_attribute("data-stage", "3")
    (folder / "lesson.toml").write_text("[branches]\nI1 = 4\n")  # what cannot be shown leaves what is there
    expect(page.locator("#findings")).not_to_be_empty()
    board.wait_for_timeout(500)
    expect(board).to_have_title("Charge or aid")
