"""Whole ways across the desk in a real Chromium: drawn by mouse, by touch and by keys alone, turned, valued,
read, handed out; and each time the file is what is compared."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from loopwright.problem.problem_file import read_text
from tests.open_desk import PATIENCE
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS as LETTERED

pytestmark = pytest.mark.slow
CHARGE_OR_HELP = f'title = "Charge or help"\n{LETTERED}'
DRAWN = """\
[branches]
I1 = "a, +E1, R1, b"
I2 = "a, +E2, R2, b"
I3 = "b, R3, a"

[places]
a = [0, 0]
b = [0, 1]
"""


def written(folder: Path, name: str) -> str:
    return (folder / f"{name}.toml").read_text()


def comes_to(page: Page, folder: Path, name: str, right: Callable[[str], bool]) -> bool:
    """Whether the file comes to say what is right: it is saved a moment after the page shows it."""
    for _ in range(PATIENCE // 50):
        if right(written(folder, name)):
            return True
        page.wait_for_timeout(50)
    return False


def on_paper(page: Page, place: tuple[int, int]) -> tuple[float, float]:
    """Where a place of the grid is on the screen."""
    x, y = page.evaluate("place => desk.paper.px(desk.paper.mm(place))", place)
    room = page.locator("#board").bounding_box()
    assert room is not None
    return room["x"] + x, room["y"] + y


def the_same(one: str, other: str) -> bool:
    first, second = read_text(one)[0], read_text(other)[0]
    return first is not None and first == second


def test_a_circuit_is_drawn_from_nothing_by_mouse(at: Callable[..., Page], folder: Path) -> None:
    page = at("mouse", "")
    for place in ((0, 0), (0, 1)):
        page.mouse.click(*on_paper(page, place))
    for ends, words in ((("a", "b"), "+E1, R1"), (("a", "b"), "+E2, R2"), (("b", "a"), "R3")):
        start, goal = (on_paper(page, (0, "ab".index(point))) for point in ends)
        page.mouse.move(*start)
        page.mouse.down()
        page.mouse.move(goal[0] + 30, goal[1] + 40)
        page.mouse.move(*goal)
        page.mouse.up()
        page.locator("#pen").fill(words)
        page.keyboard.press("Enter")
        expect(page.locator("#text")).to_have_value(re.compile(re.escape(words)))
    expect(page.locator("#equations li")).to_have_count(3)
    assert comes_to(page, folder, "mouse", lambda text: the_same(text, DRAWN))


def test_a_circuit_is_drawn_from_nothing_by_touch(at: Callable[..., Page], folder: Path) -> None:
    page = at("touch", "", has_touch=True)
    sent = page.context.new_cdp_session(page)

    def finger(kind: str, at_: tuple[float, float] | None = None) -> None:
        points = [] if at_ is None else [{"x": at_[0], "y": at_[1]}]
        sent.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    for place in ((0, 0), (0, 1)):
        page.touchscreen.tap(*on_paper(page, place))
    for ends, words in ((("a", "b"), "+E1, R1"), (("a", "b"), "+E2, R2"), (("b", "a"), "R3")):
        start, goal = (on_paper(page, (0, "ab".index(point))) for point in ends)
        finger("touchStart", start)
        finger("touchMove", (start[0] + 12, start[1]))
        finger("touchMove", goal)
        finger("touchEnd")
        page.locator("#pen").fill(words)
        page.keyboard.press("Enter")
        expect(page.locator("#text")).to_have_value(re.compile(re.escape(words)))
    assert comes_to(page, folder, "touch", lambda text: the_same(text, DRAWN))


def test_a_circuit_is_drawn_from_nothing_by_keys_alone(at: Callable[..., Page], folder: Path) -> None:
    page = at("keys", "")
    keys = page.keyboard
    page.locator("#board").focus()
    for key in ("n", "Enter", "n", "ArrowLeft", "ArrowUp", "Enter"):  # a at 0, 0 and b above it
        keys.press(key)
    expect(page.locator(":focus")).to_have_attribute("aria-label", "Point b, not joined yet")
    for moves, words in ((("ArrowDown", "b", "ArrowUp", "Enter"), "+E1, R1"), ((), "+E2, R2"), ((), "R3")):
        if not moves:
            start, goal = ("b", "a") if words == "R3" else ("a", "b")
            page.evaluate("name => desk.paper.focus(desk.paper.find('point', name))", start)
            keys.press("b")
            keys.press("ArrowUp" if goal == "b" else "ArrowDown")
            keys.press("Enter")
        for key in moves:
            keys.press(key)
        expect(page.locator("#pen")).to_be_focused()
        keys.type(words)
        keys.press("Enter")
        expect(page.locator("#text")).to_have_value(re.compile(re.escape(words)))
    assert comes_to(page, folder, "keys", lambda text: the_same(text, DRAWN))


def test_an_arrow_turns_by_key_and_by_click_and_every_sign_follows(
    at: Callable[..., Page], folder: Path
) -> None:
    page = at("turn", CHARGE_OR_HELP)
    loops = page.locator("#equations li")
    before = loops.all_inner_texts()
    page.evaluate("desk.paper.focus(desk.paper.find('branch', 'Ih'))")
    page.keyboard.press("t")
    expect(page.locator("#said")).to_contain_text("Arrow of Ih turned")
    assert loops.all_inner_texts() != before
    assert comes_to(page, folder, "turn", lambda text: 'Ih = "rail, Rh, bus"' in text)
    page.locator('.of-arrow[data-name="Ih"]').click()
    expect(page.locator("#said")).to_contain_text("now from bus to rail")
    assert loops.all_inner_texts() == before
    assert comes_to(page, folder, "turn", CHARGE_OR_HELP.__eq__)
    page.keyboard.press("Control+z")
    expect(page.locator("#text")).to_have_value(re.compile('Ih = "rail, Rh, bus"'))
    page.keyboard.press("Control+z")
    expect(page.locator("#text")).to_have_value(CHARGE_OR_HELP)
    assert comes_to(page, folder, "turn", CHARGE_OR_HELP.__eq__)


def test_a_term_says_its_reason_and_lights_its_element(at: Callable[..., Page]) -> None:
    page = at("terms", CHARGE_OR_HELP)
    page.locator('.term[data-of="R1"]').first.focus()
    expect(page.locator("#why")).to_have_text("R1 is crossed along the arrow of Ic: a drop.")
    expect(page.locator('#board g.element.lit[data-of="R1"]')).to_have_count(1)
    page.evaluate("desk.paper.focus(desk.paper.find('element', 'E2'))")
    expect(page.locator('.term.lit[data-of="E2"]')).not_to_have_count(0)


def test_at_infinity_currents_are_limits_and_the_arrow_has_turned_over(
    at: Callable[..., Page], folder: Path
) -> None:
    page = at("ends", CHARGE_OR_HELP)
    flow = page.locator('.flow[data-current="Ib"]')
    expect(flow).to_have_attribute("data-way", "against")
    page.locator('[type=range][data-value="Rh"]').focus()
    page.keyboard.press("End")
    expect(page.locator("#said")).to_contain_text("Rh → ∞: Ic → 714 mA, Ib → 714 mA, Ih → 0 A.")
    expect(flow).to_have_attribute("data-way", "along")
    assert written(folder, "ends") == CHARGE_OR_HELP
    page.keyboard.press("PageDown")
    expect(page.locator("#text")).not_to_have_value(CHARGE_OR_HELP)


def test_a_plot_is_chosen_by_key_by_mouse_and_by_finger_and_taken_away(
    at: Callable[..., Page], folder: Path
) -> None:
    page = at("plot", CHARGE_OR_HELP, has_touch=True)
    said, title = page.locator("#said"), page.locator("#plot-inside svg title")
    page.evaluate("desk.paper.focus(desk.paper.find('element', 'Rh'))")
    page.keyboard.press("p")
    expect(page.locator("#plot-of")).to_be_focused()
    expect(said).to_contain_text("Ih against Rh, on a scale that goes from 0 to ∞. As Rh → 0, Ih → ")
    page.keyboard.press("ArrowUp")  # the current before it
    expect(title).to_have_text("Ib against Rh")
    expect(said).to_contain_text("Ib turns over at Rh = 14.4 Ω: against its arrow below that")
    page.locator("#plot-beside").select_option("R1")
    expect(title).to_have_text("sign of Ib over Rh, R1")
    page.locator("#keep-plot").tap()
    assert comes_to(page, folder, "plot", lambda text: 'plots = ["sign of Ib over Rh, R1"]' in text)
    page.locator("#plot-beside").select_option("")
    expect(title).to_have_text("Ib against Rh")
    page.locator("#plot-choice [data-plot]").tap()
    expect(title).to_have_text("sign of Ib over Rh, R1")
    page.locator("#keep-plot").click()
    assert comes_to(page, folder, "plot", CHARGE_OR_HELP.__eq__)
    for words, start in (("SVG", "<svg "), ("CSV", "Rh/Ω,R1/Ω")):
        with page.expect_download() as download:
            page.locator("#plot-inside a", has_text=words).click()
        assert download.value.suggested_filename == f"plot-plot.{words.lower()}"
        assert Path(download.value.path()).read_text().startswith(start)


def test_the_board_is_opened_by_one_key_and_nothing_in_it_is_kept_out(at: Callable[..., Page]) -> None:
    page = at("lecture", CHARGE_OR_HELP)
    page.evaluate("desk.paper.focus(desk.paper.find('branch', 'Ic'))")
    kept_out: list[str] = []
    page.context.on("console", lambda told: kept_out.append(told.text) if told.type == "error" else None)
    with page.context.expect_page() as opened:
        page.keyboard.press("k")
    board = opened.value
    board.wait_for_selector("html[data-ready=yes]")
    policy = board.evaluate("fetch(location).then((a) => a.headers.get('content-security-policy'))")
    assert "script-src 'self'; style-src 'self'" in policy
    assert board.evaluate("document.styleSheets[0].cssRules.length") > 50
    board.keyboard.press("ArrowRight")
    expect(board.locator("html")).to_have_attribute("data-stage", "2")
    with board.expect_popup() as speaker:
        board.keyboard.press("s")
    speaker.value.wait_for_selector("html[data-ready=yes][data-stage='2']")
    assert kept_out == []


def test_a_set_of_loops_that_does_not_do_is_told_why(at: Callable[..., Page]) -> None:
    page = at("loops", CHARGE_OR_HELP)
    page.locator("#loops summary").click()
    boxes = page.locator("#loops input")
    boxes.nth(1).check()
    expect(page.locator("#enough")).to_contain_text("says nothing new")
    boxes.nth(1).uncheck()
    boxes.nth(0).uncheck()  # before the page has answered: neither undoes the other
    expect(page.locator("#enough")).to_contain_text("1 loop is missing")
    for name in ("Ic", "Ib"):
        page.evaluate("name => desk.paper.focus(desk.paper.find('branch', name))", name)
        page.keyboard.press("l")
    expect(page.locator("#enough")).to_have_text("Three currents, three equations: enough.")


def test_the_derivation_goes_from_ones_own_loops(at: Callable[..., Page], folder: Path) -> None:
    page = at("own", CHARGE_OR_HELP)
    start = page.locator("#proved details").first
    expect(start).to_contain_text("through ℰ1, R1, Rh")
    page.locator("#loops summary").click()
    page.get_by_role("checkbox", name="Ic + Ib").check()
    page.get_by_role("checkbox", name="Ic + Ih").uncheck()
    expect(page.locator("#enough")).to_have_text("Three currents, three equations: enough.")
    assert comes_to(page, folder, "own", lambda text: 'loops = ["Ic + Ib"' not in text and "Ic + Ib" in text)
    expect(start).to_contain_text("through ℰ1, R1, R2, ℰ2")
    expect(start).not_to_contain_text("through ℰ1, R1, Rh.")
    page.locator("#usual-loops").click()
    assert comes_to(page, folder, "own", CHARGE_OR_HELP.__eq__)


def test_methods_stand_side_by_side_and_two_derivations_beside_one_another(at: Callable[..., Page]) -> None:
    page = at("methods", CHARGE_OR_HELP)
    page.locator("#methods summary").click()
    expect(page.locator("#methods th", has_text="(shortest)")).to_have_count(1)
    page.get_by_label("Show loop currents beside").check()
    page.get_by_label("Show node potentials beside").check()
    expect(page.locator("#methods h3")).to_have_count(2)
    expect(page.locator("#methods h3").first).to_be_visible()


def test_the_next_step_is_told_by_one_key_at_four_levels_and_then_written(at: Callable[..., Page]) -> None:
    page = at("next", CHARGE_OR_HELP)
    page.locator("#written").fill("Ic = Ib + Ih")
    for level, said in enumerate(("A loop equation is missing.", "Loop from", "ℰ1", "ℰ1"), 1):
        page.keyboard.press("Control+Enter")
        expect(page.locator("#next")).to_contain_text(f"{level} of 4")
        expect(page.locator("#next")).to_contain_text(said)
    page.keyboard.press("Control+Enter")
    expect(page.locator("#written")).to_have_value("Ic = Ib + Ih\nE1 − Ic R1 − Ih Rh = 0\n")
    expect(page.locator("#margin li[data-number]")).to_have_count(2)
    expect(page.locator("#margin li.untrue")).to_have_count(0)


def test_a_step_that_names_a_line_leads_to_it_and_not_to_another_paper(at: Callable[..., Page]) -> None:
    page = at("links", CHARGE_OR_HELP)
    page.locator('#proved details[open] a[href^="#proved-line"]').first.click()
    assert page.url.endswith("#links")
    expect(page.locator("#said")).not_to_contain_text("no paper")


def test_a_wrong_working_is_annotated_and_mended_by_a_key(at: Callable[..., Page]) -> None:
    page = at("read", CHARGE_OR_HELP)
    page.locator("#written").fill("Ic = Ib + Ih\nE1 - Ic R1 + Ih Rh = 0\n")
    wrong = page.locator("#margin li.untrue")
    expect(wrong).to_have_count(1)
    expect(wrong).to_contain_text("not true")
    wrong.focus()
    expect(page.locator('#board g.lit[data-of="Rh"]')).to_have_count(1)
    page.keyboard.press("m")
    expect(page.locator("#margin li.untrue")).to_have_count(0)
    assert "E1 − Ic R1 − Ih Rh = 0" in page.locator("#written").input_value()


def test_an_answer_that_never_came_is_asked_for_anew(at: Callable[..., Page], folder: Path) -> None:
    page = at("late", CHARGE_OR_HELP)
    expect(page.locator("#equations li")).to_have_count(3)

    def without_answer(route: Route) -> None:
        told = route.fetch().json()
        route.fulfill(json=told | {"answer": None})  # as where the paper has gone on by then

    page.route("**/edits", without_answer)
    page.evaluate("desk.paper.focus(desk.paper.find('branch', 'Ih'))")
    page.keyboard.press("t")
    expect(page.locator("#equations li").first).to_contain_text("Ih")
    expect(page.locator("#currents")).to_contain_text("−3.00 A")
    assert comes_to(page, folder, "late", lambda text: 'Ih = "rail, Rh, bus"' in text)


def test_the_list_of_papers_shows_a_small_figure_of_each(at: Callable[..., Page]) -> None:
    page = at("listed", CHARGE_OR_HELP)
    with page.expect_response("**/papers/listed/figure*") as drawn:
        page.locator("#papers summary").click()
    assert drawn.value.header_value("content-type") == "image/svg+xml"
    small = page.locator("[id='paper:listed'] img")
    assert small.evaluate("one => one.decode().then(() => one.naturalWidth)") > 0


def test_a_sheet_is_handed_out_as_pdf(at: Callable[..., Page]) -> None:
    page = at("out", CHARGE_OR_HELP)
    page.locator("#out summary").click()
    with page.expect_download() as download:
        page.locator('#out a[href*="form=pdf&edition=solution"]').click()
    assert download.value.suggested_filename == "out-solution.pdf"
    assert Path(download.value.path()).read_bytes().startswith(b"%PDF")


def test_an_edit_of_the_file_elsewhere_shows_at_once(at: Callable[..., Page], folder: Path) -> None:
    page = at("behind", CHARGE_OR_HELP)
    expect(page.locator("#equations li")).to_have_count(3)
    (folder / "behind.toml").write_text(CHARGE_OR_HELP.replace("Charge or help", "Changed elsewhere"))
    expect(page.locator("#title")).to_have_text("Changed elsewhere")
