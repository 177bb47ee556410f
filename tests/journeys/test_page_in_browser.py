"""The published page in a real browser: no sideways scrolling, nothing unreachable, nothing for axe to find.

A measuring script is put at the end of a copy of the page and leaves its result in an element of its own.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from loopwright.circuit.page_wishes import PAPERS
from loopwright.laws.laws import laws
from loopwright.problem.problem_file import read
from loopwright.sheet import html
from loopwright.sheet.build import sheet
from loopwright.sheet.document import Document
from tests.axe import violations
from tests.unit.sheet.sample_sheet import SAMPLE, hostile

pytestmark = pytest.mark.slow

MEASURE = """
  const room = document.documentElement;
  const boxes = [...document.querySelectorAll('.formula, .table, .drawing, .wide')];
  const scrolls = box => box.scrollWidth > box.clientWidth + 1;
  tell({
    inner: window.innerWidth, page: room.scrollWidth, room: room.clientWidth,
    beyond: [...document.querySelectorAll('h1, h2, p, li, aside, figure, .line, .number')]
      .filter(e => e.getBoundingClientRect().right > room.clientWidth + 1 && !e.closest('.unseen'))
      .map(e => e.outerHTML.slice(0, 80)),
    unreachable: boxes.filter(b => scrolls(b) && b.tabIndex < 0).map(b => b.outerHTML.slice(0, 80)),
    scrolling: boxes.filter(scrolls).length,
    letters: parseFloat(getComputedStyle(document.querySelector('p')).fontSize),
    smallest: Math.min(...[...document.querySelectorAll('p, td, th, .number, figcaption, math')]
      .map(e => parseFloat(getComputedStyle(e).fontSize))),
    measure: Math.max(...[...document.querySelectorAll('p, li')].map(e => e.getBoundingClientRect().width)),
  });
"""
TELL = """
  const tell = what => {
    const told = document.createElement('pre');
    told.id = 'told'; told.textContent = JSON.stringify(what); document.body.append(told);
  };
"""


def told_by_browser(browser: Browser, document: Document, width: int, script: str) -> Any:
    """What the script tells when the page of the document stands in a window of this width."""
    page = html.write(document).replace("</body>", f"<script>{TELL}{script}</script></body>")
    return told_of_page(browser, page, width)


def told_of_page(browser: Browser, content: str, width: int) -> Any:
    """What the script in this page tells when it stands in a window of this width."""
    page = browser.new_page(viewport={"width": width, "height": 900})
    page.set_content(content)
    told = page.locator("#told").text_content()
    page.close()
    assert told is not None
    return json.loads(told)


@pytest.fixture(scope="module", params=[320, 1280])
def seen(request: pytest.FixtureRequest, browser: Browser) -> Any:
    return told_by_browser(browser, SAMPLE, request.param, MEASURE)


def test_the_page_never_scrolls_sideways(seen: Any) -> None:
    """WCAG 2.2, 1.4.10 Reflow: no scrolling in two dimensions at a width of 320 CSS pixels."""
    assert seen["inner"] in (320, 1280)
    assert seen["page"] <= seen["room"]
    assert seen["beyond"] == []


def test_every_box_that_scrolls_can_be_reached_by_keyboard(seen: Any) -> None:
    """WCAG 2.2, 2.1.1 Keyboard."""
    assert seen["unreachable"] == []
    assert seen["scrolling"] > 0  # the sample holds a fraction wider than any page


def test_letters_are_large_and_lines_are_not_too_long(seen: Any) -> None:
    """Large type for the back row; about 70 characters to a line (common practice, no source)."""
    assert seen["letters"] >= (22 if seen["inner"] == 1280 else 17)
    assert seen["smallest"] >= 14
    assert seen["measure"] <= 40 * seen["letters"]


def test_hostile_words_do_not_run_in_the_browser(browser: Browser) -> None:
    seen = told_by_browser(
        browser, hostile(), 640, "tell({scripts: document.scripts.length, title: document.title})"
    )
    assert seen["scripts"] == 1  # the measuring one
    assert seen["title"].startswith("<script>")


POLICY = "default-src 'none'; style-src '{style}'; img-src data:"
# What is kept out is told by an event; so this script stands before all else, and is allowed by its hash.
WATCH = """
  const kept = [];
  document.addEventListener('securitypolicyviolation', e => kept.push([e.violatedDirective, e.sample]));
"""
LOOK = """
  addEventListener('load', () => setTimeout(() => tell({
    kept, rules: document.styleSheets[0]?.cssRules.length ?? 0,
    boxes: [...document.querySelectorAll('main, main *')].map(e => {
      const box = e.getBoundingClientRect(), look = getComputedStyle(e);
      return [e.tagName, box.x, box.y, box.width, box.height, look.fontSize, look.color, look.borderWidth];
    }),
  }), 300));
"""


def by_hash(text: str) -> str:
    """The source expression that allows exactly this text (Content Security Policy Level 3, W3C)."""
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def look(browser: Browser, page: str, *, policy: bool) -> Any:
    """How the page looks, and what a strict content policy kept out of it."""
    style = page[page.index("<style>") + len("<style>") : page.index("</style>")]
    script = WATCH + TELL + LOOK
    allowed = f"{POLICY.format(style=by_hash(style))}; script-src '{by_hash(script)}'"
    meta = f'<meta http-equiv="Content-Security-Policy" content="{allowed}">' if policy else ""
    head = f'<meta charset="utf-8">{meta}<script>{script}</script>'
    return told_of_page(browser, page.replace('<meta charset="utf-8">', head), 900)


def test_a_strict_content_policy_takes_nothing_from_the_page(browser: Browser) -> None:
    page = html.write(SAMPLE)
    strict, free = (look(browser, page, policy=policy) for policy in (True, False))
    assert strict["kept"] == []
    assert strict["rules"] > 50
    assert len(strict["boxes"]) > 500
    assert strict == free


def test_a_style_attribute_would_be_kept_out(browser: Browser) -> None:
    page = html.write(SAMPLE).replace("<h1>", '<h1 style="color: red">')
    strict, free = (look(browser, page, policy=policy) for policy in (True, False))
    assert [directive for directive, _ in strict["kept"]] == ["style-src-attr"]
    assert strict["boxes"] != free["boxes"]


@pytest.mark.parametrize("width", [320, 1280])
def test_axe_finds_nothing(width: int, browser: Browser) -> None:
    page = browser.new_page(viewport={"width": width, "height": 900})
    page.set_content(html.write(SAMPLE))
    assert violations(page) == []
    page.close()


EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
TWO_LOOPS = [
    p for p in EXAMPLES if read(p).ladder is None and not read(p).storages and laws(read(p)).loops_needed == 2
]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("path", TWO_LOOPS, ids=lambda path: path.stem)
def test_a_solution_of_two_loops_printed_from_the_browser_takes_two_pages(
    path: Path, paper: str, tmp_path: Path, pdfinfo: str, browser: Browser
) -> None:
    page, printed = browser.new_page(), tmp_path / "page.pdf"
    page.set_content(sheet(read(path), paper=paper).html())
    page.pdf(path=printed, prefer_css_page_size=True)
    page.close()
    told = subprocess.run([pdfinfo, printed], check=True, capture_output=True, text=True).stdout
    pages, wide = re.search(r"Pages: +(\d+)", told), re.search(r"Page size: +(\d+)", told)
    assert pages is not None
    assert wide is not None
    assert int(pages[1]) <= 2
    assert abs(int(wide[1]) - {"a4": 595, "letter": 612}[paper]) <= 1
