"""The board in a real browser, from a file: keys alone, the speaker's window, the frame, axe."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal

import pytest
from playwright.sync_api import BrowserContext, Page, expect, sync_playwright

from loopwright.board import html
from loopwright.board.plan import board
from loopwright.board.stage import Plan
from loopwright.board.timeline import recorded
from loopwright.circuit.circuit import Circuit
from loopwright.methods.methods import METHODS
from loopwright.problem.problem_file import read
from tests.axe import violations
from tests.sweeps import LONG

pytestmark = pytest.mark.slow
EXAMPLES = Path(__file__).parents[2] / "examples"
SIZES = {"16:9": (1280, 720), "4:3": (960, 720)}

MEASURE = (Path(__file__).parent / "board_measure.js").read_text(encoding="utf-8")
STATE = (Path(__file__).parent / "board_state.js").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def browser(chromium: str) -> Iterator[BrowserContext]:
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        context = started.new_context(reduced_motion="reduce")
        yield context
        started.close()


def plan_of(name: str) -> Plan:
    return board(read(EXAMPLES / f"{name}.toml"))


def serving(circuit: Circuit) -> list[str]:
    return [method.name for method in METHODS if not method.why_not(circuit)]


def opened(browser: BrowserContext, path: Path, shape: str = "16:9") -> Page:
    page = browser.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on("console", lambda said: troubles.append(said.text) if said.type == "error" else None)
    page.set_viewport_size({"width": SIZES[shape][0], "height": SIZES[shape][1]})
    page.goto(path.as_uri())
    page.wait_for_selector("html[data-ready=yes]")
    assert troubles == []
    return page


def here(page: Page) -> int:
    return int(page.evaluate("document.documentElement.dataset.stage"))


@pytest.fixture(scope="module")
def charge(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("board") / "charge or help.html"
    path.write_text(html.write(plan_of("charge-or-help")), encoding="utf-8")
    return path


def test_the_whole_board_goes_forwards_and_backwards_by_keyboard_without_loss(
    browser: BrowserContext, charge: Path
) -> None:
    page = opened(browser, charge)
    count = int(page.evaluate("stages.length"))
    forwards = [page.evaluate(STATE)]
    for n in range(2, count + 1):
        page.keyboard.press(("ArrowRight", "PageDown", "Space")[n % 3])
        forwards.append(page.evaluate(STATE))
    page.keyboard.press("ArrowRight")  # the end is the end
    assert here(page) == count
    for n in range(count - 1, 0, -1):
        page.keyboard.press(("ArrowLeft", "PageUp")[n % 2])
        assert page.evaluate(STATE) == forwards[n - 1]
    page.keyboard.press("End")
    page.keyboard.press("Home")
    assert page.evaluate(STATE) == forwards[0]
    page.close()


TALL = "wire-cube"  # its figure is twice as high as wide: its letters are smaller than all others
NAMES = [path.stem for path in sorted(EXAMPLES.glob("*.toml"))]


def faults_of_the_frame(browser: BrowserContext, path: Path, name: str, plan: Plan) -> list[str]:
    """What is wrong with any stage in either shape, each with its number."""
    path.write_text(html.write(plan), encoding="utf-8")
    page = opened(browser, path)
    found: list[str] = []
    for shape, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        faults: list[str] = page.evaluate(MEASURE)
        found += [f"{shape} {fault}" for fault in faults if name != TALL or "small figure text" not in fault]
    page.close()
    return found


@pytest.mark.parametrize("name", NAMES)
def test_nothing_stands_outside_the_frame_or_over_another(
    browser: BrowserContext, tmp_path: Path, name: str
) -> None:
    assert faults_of_the_frame(browser, tmp_path / "board.html", name, plan_of(name)) == []


@pytest.mark.parametrize(
    ("name", "methods"),
    [
        ("bridge", ("node potentials",)),
        ("charge-or-help", ("loop currents", "superposition")),
        *(pytest.param(name, (), marks=LONG) for name in NAMES),
    ],
)
def test_nothing_stands_outside_the_frame_by_other_methods_with_nothing_left_out(
    browser: BrowserContext, tmp_path: Path, name: str, methods: tuple[str, ...]
) -> None:
    """By the methods given in one lecture; by none, in a lecture each by every method that serves."""
    circuit = read(EXAMPLES / f"{name}.toml")
    alone = [()] if circuit.storages or circuit.ladder else [(one,) for one in serving(circuit)]
    found: dict[tuple[str, ...], list[str]] = {}
    for chosen in [methods] if methods else alone:
        plan = board(circuit, methods=chosen, minutes=0)
        found[chosen] = faults_of_the_frame(browser, tmp_path / "board.html", name, plan)
    assert found == {chosen: [] for chosen in found}
    assert found


def test_the_speakers_window_follows_and_leads(browser: BrowserContext, charge: Path) -> None:
    page = opened(browser, charge)
    page.keyboard.press("ArrowRight")
    with page.expect_popup() as popup:
        page.keyboard.press("s")
    speaker = popup.value
    speaker.wait_for_selector("html[data-ready=yes][data-stage='2']")
    page.keyboard.press("ArrowRight")
    speaker.wait_for_selector("html[data-stage='3']")
    stages: list[dict[str, Any]] = page.evaluate("stages")
    assert speaker.locator("#now").inner_text() == stages[2]["words"]
    assert speaker.locator("#then").inner_text() == stages[3]["words"]
    speaker.keyboard.press("ArrowRight")
    page.wait_for_selector("html[data-stage='4']")
    speaker.wait_for_selector("html[data-stage='4']")
    expect(speaker.locator("#elapsed")).not_to_have_text("0:00")  # no script of ours may be evaluated there
    speaker.close()
    page.close()


def test_the_overview_the_pen_and_the_look(browser: BrowserContext, charge: Path) -> None:
    page = opened(browser, charge)
    page.keyboard.press("o")
    page.locator("#overview [data-stage='9']").press("Enter")
    assert here(page) == 9
    page.keyboard.press("p")
    page.mouse.move(300, 300)
    page.mouse.down()
    page.mouse.move(420, 380, steps=4)
    page.mouse.up()
    assert page.locator("#ink path").count() == 1
    assert here(page) == 9  # the pen does not go on
    page.keyboard.press("w")
    assert page.locator("#ink path").count() == 0
    page.keyboard.press("p")
    page.mouse.click(300, 300)
    assert here(page) == 10
    page.keyboard.press("l")
    assert page.evaluate("document.documentElement.dataset.look") == "light"
    page.close()


def test_f_fills_the_screen_and_gives_it_back(browser: BrowserContext, charge: Path) -> None:
    page = opened(browser, charge)
    page.keyboard.press("f")
    page.wait_for_function("document.fullscreenElement === document.documentElement")
    page.keyboard.press("ArrowRight")
    assert here(page) == 2
    page.keyboard.press("f")
    page.wait_for_function("document.fullscreenElement === null")
    page.close()


def test_from_a_file_nothing_else_is_asked_for(browser: BrowserContext, charge: Path) -> None:
    context = browser.browser
    assert context is not None
    cut_off = context.new_context(offline=True)
    asked: list[str] = []
    cut_off.on("request", lambda request: asked.append(request.url))
    page = opened(cut_off, charge)
    with page.expect_popup() as popup:
        page.keyboard.press("s")
    popup.value.wait_for_selector("html[data-ready=yes]")
    page.keyboard.press("End")
    assert here(page) == int(page.evaluate("stages.length"))
    assert {url.split("#")[0] for url in asked} == {charge.as_uri()}
    cut_off.close()


@pytest.mark.parametrize(("wish", "moves"), [("reduce", False), ("no-preference", True)])
def test_nothing_moves_where_the_system_asks_for_that(
    browser: BrowserContext, charge: Path, wish: Literal["reduce", "no-preference"], moves: bool
) -> None:
    page = opened(browser, charge)
    page.emulate_media(reduced_motion=wish)
    page.evaluate("show(2)")
    assert page.evaluate("document.getAnimations().length > 0") is moves
    page.close()


def test_a_reload_comes_back_to_the_same_stage(browser: BrowserContext, charge: Path) -> None:
    page = opened(browser, charge)
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    state = page.evaluate(STATE)
    page.reload()
    page.wait_for_selector("html[data-ready=yes]")
    assert (here(page), page.evaluate(STATE)) == (6, state)
    page.close()


def test_the_times_of_a_run_are_saved_and_read_back(
    browser: BrowserContext, charge: Path, tmp_path: Path
) -> None:
    page = opened(browser, charge)
    page.keyboard.press("t")
    for key in ("ArrowRight", "ArrowRight", "ArrowLeft", "ArrowRight"):
        page.wait_for_timeout(120)
        page.keyboard.press(key)
    page.wait_for_timeout(120)
    with page.expect_download() as saved:
        page.keyboard.press("t")
    saved.value.save_as(tmp_path / "times.json")
    showings = recorded(plan_of("charge-or-help"), (tmp_path / "times.json").read_text(encoding="utf-8"))
    assert [showing.stage.number for showing in showings] == [1, 2, 3, 2, 3]
    assert all(showing.end - showing.start > 0.1 for showing in showings)
    page.close()


@pytest.mark.parametrize("look", ["dark", "light"])
def test_axe_finds_nothing(browser: BrowserContext, charge: Path, look: str) -> None:
    context = browser.browser
    assert context is not None
    free = context.new_context(bypass_csp=True, reduced_motion="reduce")  # so that axe can be put in
    page = opened(free, charge)
    page.evaluate(f"document.documentElement.dataset.look = '{look}'")
    for stage, key in ((22, ""), (40, ""), (40, "o")):
        page.evaluate(f"show({stage - 1})")
        if key:
            page.keyboard.press(key)
        assert violations(page) == []
    free.close()
