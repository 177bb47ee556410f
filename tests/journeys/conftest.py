"""A desk that runs and a browser before it, for the journeys across it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from tests.open_desk import PATIENCE, OpenDesk, open_desk


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("week")


@pytest.fixture(scope="module")
def desk(folder: Path) -> Iterator[OpenDesk]:
    with open_desk(folder) as opened:
        yield opened


@pytest.fixture(scope="module")
def browser(chromium: str) -> Iterator[Browser]:
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        yield opened
        opened.close()


@contextmanager
def opening(desk: OpenDesk, browser: Browser, folder: Path) -> Iterator[Callable[..., Page]]:
    """Gives what opens a paper with a text; whatever goes wrong in the page fails the journey."""
    faults: list[str] = []
    contexts = []

    def opened(name: str, text: str, **how: object) -> Page:
        (folder / f"{name}.toml").write_text(text)
        context = browser.new_context(viewport={"width": 1280, "height": 900}, **how)  # type: ignore[arg-type]
        context.set_default_timeout(PATIENCE)
        key, _, value = desk.cookie.partition("=")
        context.add_cookies([{"name": key, "value": value, "url": desk.address}])
        page = context.new_page()
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda line: faults.append(line.text) if "Content Security" in line.text else None)
        page.goto(f"{desk.address}/#{name}")
        page.wait_for_selector(f"body[data-ready={name}]")
        contexts.append(context)
        return page

    expect.set_options(timeout=PATIENCE)
    yield opened
    for context in contexts:
        context.close()
    assert faults == []


@pytest.fixture
def at(desk: OpenDesk, browser: Browser, folder: Path) -> Iterator[Callable[..., Page]]:
    """Opens a paper with this text, for one journey."""
    with opening(desk, browser, folder) as opened:
        yield opened


@pytest.fixture(scope="module")
def at_once(desk: OpenDesk, browser: Browser, folder: Path) -> Iterator[Callable[..., Page]]:
    """Opens a paper that all tests of a module look at."""
    with opening(desk, browser, folder) as opened:
        yield opened
