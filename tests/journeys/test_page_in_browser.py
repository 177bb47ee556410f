"""The published page in a real browser: no sideways scrolling, nothing unreachable, nothing for axe to find.

Debian's Chromium is driven without further packages: a measuring script is put at the end of a copy
of the page and leaves its result in an element that the browser is asked to print.
"""

from __future__ import annotations

import base64
import hashlib
import html as markup
import json
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from loopwright.circuit.page_wishes import PAPERS
from loopwright.laws.laws import laws
from loopwright.problem.problem_file import read
from loopwright.sheet import html
from loopwright.sheet.build import sheet
from loopwright.sheet.document import Document
from tests.axe import axe_script
from tests.unit.sheet.sample_sheet import SAMPLE, hostile

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed"),
]

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


def told_by_browser(document: Document, width: int, folder: Path, script: str) -> Any:
    """What the script tells when the page of the document stands in a frame of this width."""
    page = html.write(document).replace("</body>", f"<script>{TELL}{script}</script></body>")
    return told_of_page(page, width, folder)


def told_of_page(page: str, width: int, folder: Path) -> Any:
    """What the script in this page tells when it stands in a frame of this width."""
    (folder / "page.html").write_text(page, encoding="utf-8")
    (folder / "frame.html").write_text(
        f"<!DOCTYPE html><iframe id=f src=page.html style='border:0;width:{width}px;height:900px'></iframe>"
        "<script>onload = () => setTimeout(() => { document.body.append("
        "document.getElementById('f').contentDocument.getElementById('told')); }, 1500);</script>",
        encoding="utf-8",
    )
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--allow-file-access-from-files"]
    run = subprocess.run(
        [str(CHROMIUM), *flags, f"--user-data-dir={folder / 'profile'}", "--virtual-time-budget=20000",
         "--window-size=1600,1000", "--dump-dom", (folder / "frame.html").as_uri()],
        capture_output=True, text=True, timeout=120, check=True,
    )  # fmt: skip
    told = re.search(r'<pre id="told">(.*?)</pre>', run.stdout, re.DOTALL)
    assert told, run.stderr[-1000:]
    return json.loads(markup.unescape(told[1]))


@pytest.fixture(scope="module", params=[320, 1280])
def seen(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Any:
    return told_by_browser(SAMPLE, request.param, tmp_path_factory.mktemp("page"), MEASURE)


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


def test_hostile_words_do_not_run_in_the_browser(tmp_path: Path) -> None:
    seen = told_by_browser(
        hostile(), 640, tmp_path, "tell({scripts: document.scripts.length, title: document.title})"
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


def look(page: str, folder: Path, *, policy: bool) -> Any:
    """How the page looks, and what a strict content policy kept out of it."""
    style = page[page.index("<style>") + len("<style>") : page.index("</style>")]
    script = WATCH + TELL + LOOK
    allowed = f"{POLICY.format(style=by_hash(style))}; script-src '{by_hash(script)}'"
    meta = f'<meta http-equiv="Content-Security-Policy" content="{allowed}">' if policy else ""
    head = f'<meta charset="utf-8">{meta}<script>{script}</script>'
    return told_of_page(page.replace('<meta charset="utf-8">', head), 900, folder)


def test_a_strict_content_policy_takes_nothing_from_the_page(tmp_path: Path) -> None:
    page = html.write(SAMPLE)
    strict, free = (look(page, tmp_path, policy=policy) for policy in (True, False))
    assert strict["kept"] == []
    assert strict["rules"] > 50
    assert len(strict["boxes"]) > 500
    assert strict == free


def test_a_style_attribute_would_be_kept_out(tmp_path: Path) -> None:
    page = html.write(SAMPLE).replace("<h1>", '<h1 style="color: red">')
    strict, free = (look(page, tmp_path, policy=policy) for policy in (True, False))
    assert [directive for directive, _ in strict["kept"]] == ["style-src-attr"]
    assert strict["boxes"] != free["boxes"]


@pytest.mark.parametrize("width", [320, 1280])
def test_axe_finds_nothing(width: int, tmp_path: Path) -> None:
    script = axe_script().replace("</script", "<\\/script") + (
        "\n;axe.run(document).then(found => tell(found.violations.map("
        "v => [v.id, ...v.nodes.map(n => n.html.slice(0, 120))])));"
    )
    assert told_by_browser(SAMPLE, width, tmp_path, script) == []


EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
TWO_LOOPS = [
    p for p in EXAMPLES if read(p).ladder is None and not read(p).storages and laws(read(p)).loops_needed == 2
]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("path", TWO_LOOPS, ids=lambda path: path.stem)
def test_a_solution_of_two_loops_printed_from_the_browser_takes_two_pages(
    path: Path, paper: str, tmp_path: Path, pdfinfo: str
) -> None:
    page, printed = tmp_path / "page.html", tmp_path / "page.pdf"
    page.write_text(sheet(read(path), paper=paper).html(), encoding="utf-8")
    assert CHROMIUM is not None
    command = [CHROMIUM, "--headless", "--no-sandbox", "--no-pdf-header-footer", f"--print-to-pdf={printed}"]
    subprocess.run([*command, page.as_uri()], check=True, capture_output=True, timeout=60)
    told = subprocess.run([pdfinfo, printed], check=True, capture_output=True, text=True).stdout
    pages, wide = re.search(r"Pages: +(\d+)", told), re.search(r"Page size: +(\d+)", told)
    assert pages is not None
    assert wide is not None
    assert int(pages[1]) <= 2
    assert abs(int(wide[1]) - {"a4": 595, "letter": 612}[paper]) <= 1
