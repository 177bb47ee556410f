"""The way in with a real Chromium, and what a page from elsewhere can do to the desk meanwhile: nothing."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext

from tests.open_desk import OpenDesk, open_desk
from tests.sample_circuits import CHARGE_OR_HELP

pytestmark = pytest.mark.slow

# Tries all ways in which one page can reach another address with its cookies, and tells how each ended.
STRANGER = """<!DOCTYPE html><title>Stranger</title><script type="module">
const desk = "DESK", told = {};
const tell = async (name, work) => {
  try { told[name] = String(await work()); } catch { told[name] = "refused"; }
};
const send = (kind, mode) => fetch(desk + "/papers/bus/bin", {
  method: "POST", mode, credentials: "include", headers: { "content-type": kind }, body: "{}",
}).then((a) => a.type);
const loaded = (kind, path) => new Promise((yes, no) => {
  const part = document.createElement(kind);
  part.onload = () => yes("loaded"); part.onerror = no; part[kind === "link" ? "href" : "src"] = desk + path;
  if (kind === "link") part.rel = "stylesheet";
  document.body.append(part);
});
await tell("read", () => fetch(desk + "/papers", { credentials: "include" }).then((a) => a.text()));
await tell("send", () => send("application/json", "cors"));
await tell("send unasked", () => send("text/plain", "no-cors"));
await tell("script", () => loaded("script", "/static/desk.js"));
await tell("style", () => loaded("link", "/static/desk.css"));
await tell("events", () => new Promise((yes, no) => {
  const stream = new EventSource(desk + "/events", { withCredentials: true });
  stream.onopen = () => yes("open"); stream.onerror = no;
}));
document.title = JSON.stringify(told);
</script>"""


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[OpenDesk]:
    (tmp_path / "bus.toml").write_text(CHARGE_OR_HELP)
    with open_desk(tmp_path, entered=False) as opened:
        yield opened


@pytest.fixture
def visitor(browser: Browser) -> Iterator[BrowserContext]:
    """A browser that was never here."""
    context = browser.new_context()
    yield context
    context.close()


@pytest.fixture
def stranger(desk: OpenDesk) -> Iterator[str]:
    """The address of a page on another port of this machine."""

    class Served(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("content-type", "text/html")
            self.end_headers()
            self.wfile.write(STRANGER.replace("DESK", desk.address).encode())

        def log_message(self, *_: object) -> None:
            return

    server = ThreadingHTTPServer(("127.0.0.1", 0), Served)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def test_the_printed_address_lets_one_browser_in_once(desk: OpenDesk, visitor: BrowserContext) -> None:
    page = visitor.new_page()
    page.goto(desk.address + desk.way_in)
    assert page.url == f"{desk.address}/"
    assert page.evaluate("fetch('/papers').then((answer) => answer.status)") == 200
    assert page.evaluate("document.cookie") == ""
    second = visitor.new_page()
    second.goto(desk.address + desk.way_in)
    assert "spent" in second.inner_text("h1")


def test_a_page_from_elsewhere_in_the_same_browser_can_do_nothing(
    desk: OpenDesk, visitor: BrowserContext, stranger: str, tmp_path: Path
) -> None:
    visitor.new_page().goto(desk.address + desk.way_in)
    page = visitor.new_page()
    page.goto(stranger)
    page.wait_for_function("document.title.startsWith('{')")
    told = page.evaluate("JSON.parse(document.title)")
    assert told.pop("send unasked") in ("refused", "opaque")  # sent, perhaps, but to no effect
    assert told == dict.fromkeys(("read", "send", "script", "style", "events"), "refused")
    assert (tmp_path / "bus.toml").read_text() == CHARGE_OR_HELP
