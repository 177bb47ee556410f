"""Acts on the desk in a real Chromium besides drawing: elements carried along and between wires, lines copied
as LaTeX, a plot and a lecture that follow; and each time the file is what is compared."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.test_desk import CHARGE_OR_HELP, comes_to, on_paper

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


SWITCHED = """\
[branches]
I1 = "a, +E1, S1, R1, b"
I2 = "b, R2, a"
I3 = "b, R3, a"

[elements]
S1 = "closed"

[numbers]
E1 = "9 V"
R1 = "2 ohm"
R2 = "6 ohm"
R3 = "3 ohm"
"""


def test_a_switch_a_name_a_value_and_a_place_are_changed_by_keys_alone(
    at: Callable[..., Page], folder: Path
) -> None:
    page = at("by-keys", SWITCHED)
    keys = page.keyboard

    def on(kind: str, name: str) -> None:
        page.evaluate("([kind, name]) => desk.paper.focus(desk.paper.find(kind, name))", [kind, name])

    on("element", "S1")
    keys.press("o")
    opened = SWITCHED.replace('"closed"', '"open"')
    assert comes_to(page, folder, "by-keys", opened.__eq__)
    keys.press("o")
    assert comes_to(page, folder, "by-keys", SWITCHED.__eq__)
    on("element", "R2")
    keys.press("r")
    page.locator("#pen").fill("Ra")
    keys.press("Enter")
    renamed = SWITCHED.replace("R2", "Ra")
    assert comes_to(page, folder, "by-keys", renamed.__eq__)
    expect(page.locator("#said")).to_have_text("R2 is now called Ra.")
    on("element", "Ra")
    keys.press("v")
    expect(page.locator("[type=range][data-value=Ra]")).to_be_focused()
    page.locator("[id='typed:Ra']").fill("12 ohm")
    keys.press("Enter")
    valued = renamed.replace('"6 ohm"', '"12 ohm"')
    assert comes_to(page, folder, "by-keys", valued.__eq__)
    expect(page.locator("#said")).to_have_text("Ra is 12 ohm.")
    on("point", "a")
    keys.press("Shift+ArrowLeft")
    assert comes_to(page, folder, "by-keys", lambda text: "[places]" in text and "a = [0, " in text)
    expect(page.locator("#said")).to_contain_text("a moved to 0 to the right")
    keys.press("g")
    assert comes_to(page, folder, "by-keys", lambda text: text.rstrip() == valued.rstrip())


def test_a_point_is_moved_by_mouse_and_by_a_finger_that_holds_it(
    at: Callable[..., Page], folder: Path
) -> None:
    placed = f"{SWITCHED}\n[places]\na = [0, 0]\nb = [0, 1]\n"
    page = at("held", placed, has_touch=True)
    x, y = middle_of(page, "point", "b")
    page.keyboard.down("Shift")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 60, y)
    page.mouse.move(*on_paper(page, (1, 1)))
    page.mouse.up()
    page.keyboard.up("Shift")
    assert comes_to(page, folder, "held", placed.replace("b = [0, 1]", "b = [1, 1]").__eq__)
    expect(page.locator("#said")).to_contain_text("b moved to 1 to the right")
    sent = page.context.new_cdp_session(page)

    def finger(kind: str, *at_: tuple[float, float]) -> None:
        points = [{"x": x, "y": y} for x, y in at_]
        sent.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    finger("touchStart", middle_of(page, "point", "b"))
    expect(page.locator("#said")).to_have_text("b is in the hand: move it.")
    finger("touchMove", on_paper(page, (0, 1)))
    finger("touchEnd")
    assert comes_to(page, folder, "held", placed.__eq__)


def test_two_edits_at_a_time_stand_side_by_side_and_none_is_lost(
    at: Callable[..., Page], folder: Path
) -> None:
    page = at("twice", CHARGE_OR_HELP)
    page.evaluate("desk.opened = desk.open, desk.open = async () => {}")  # it has not heard of the other yet
    elsewhere = CHARGE_OR_HELP.replace("Charge or help", "Charge or aid")
    (folder / "twice.toml").write_text(elsewhere)
    page.evaluate("desk.paper.focus(desk.paper.find('branch', 'Ih'))")
    page.keyboard.press("t")
    expect(page.locator("#both")).to_be_visible()
    expect(page.locator("#theirs")).to_contain_text("Charge or aid")
    expect(page.locator("#yours")).to_contain_text('Ih = "rail, Rh, bus"')
    assert (folder / "twice.toml").read_text() == elsewhere
    page.evaluate("desk.open = desk.opened")
    page.locator("#mine").click()
    mine = CHARGE_OR_HELP.replace('"bus, Rh, rail"', '"rail, Rh, bus"')
    assert comes_to(page, folder, "twice", mine.__eq__)
    page.keyboard.press("Control+z")
    assert comes_to(page, folder, "twice", elsewhere.__eq__)
