"""The board in a real Chromium: from a key press to the painted stage, and how large the page is.

The longest lecture of the examples, told whole: a circuit of three loops and six branches with every check
and limit. Bars: 50 ms of processor time of the page's own thread for any stage, from the key to the task
after the frame in which it is painted; for the default of ten minutes, a page of 1.5 million bytes. The
clock from the key to that task is told beside it: other work on the machine stretches it by any factor.
"""

from __future__ import annotations

import statistics
import tempfile
from pathlib import Path

from playwright.sync_api import CDPSession, sync_playwright

from loopwright.board import html
from loopwright.board.plan import board
from loopwright.problem.problem_file import read

CHROMIUM = "/usr/bin/chromium"
EXAMPLE = Path("examples/tide-gauge-bridge.toml")
MOST, LARGEST = 50.0, 1_500_000  # ms, bytes
_CLOCK = """() => {
  window.taken = [];
  addEventListener('keydown', (event) => {
    const begun = event.timeStamp;
    requestAnimationFrame(() => {
      const after = new MessageChannel();
      after.port1.onmessage = () => taken.push(performance.now() - begun);
      after.port2.postMessage(0);
    });
  }, true);
}"""


def _task_time(session: CDPSession) -> float:
    """Seconds of processor time that the page's thread has worked."""
    metrics = session.send("Performance.getMetrics")["metrics"]
    return float(next(m["value"] for m in metrics if m["name"] == "TaskDuration"))


def run() -> bool:
    """Prints the row; whether the bars are met. True where there is no browser to ask."""
    if not Path(CHROMIUM).exists():
        print("\nThe board: left out, there is no Chromium")
        return True
    circuit = read(EXAMPLE)
    whole = board(circuit, minutes=0)
    size = len(html.write(board(circuit)).encode())
    with tempfile.TemporaryDirectory() as place, sync_playwright() as playwright:
        path = Path(place) / "board.html"
        path.write_text(html.write(whole), encoding="utf-8")
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1920, "height": 1080})
        page.goto(path.as_uri())
        page.wait_for_selector("html[data-ready=yes]")
        page.evaluate(_CLOCK)
        session = page.context.new_cdp_session(page)
        session.send("Performance.enable", {"timeDomain": "threadTicks"})
        worked: list[float] = []
        before = _task_time(session)
        for count in range(1, len(whole.stages)):
            page.keyboard.press("ArrowRight")
            page.wait_for_function("count => taken.length >= count", arg=count)
            now = _task_time(session)
            worked.append(1000 * (now - before))
            before = now
        taken = [float(value) for value in page.evaluate("taken")]
        browser.close()
    met = max(worked) <= MOST and size <= LARGEST
    print("\nThe board: a stage painted after a key, milliseconds")
    print(f"{'stages':>8}{'processor':>12}{'at most':>10}{'clock':>10}{'page, kB':>12}")
    median, clock = statistics.median(worked), statistics.median(taken)
    print(f"{len(taken) + 1:>8}{median:>12.1f}{max(worked):>10.1f}{clock:>10.1f}{size / 1000:>12.0f}")
    bars = f"bars: at most {MOST:g} ms of processor time, a page below {LARGEST / 1e6:g} MB"
    print(f"{bars}: {'met' if met else 'NOT MET'}")
    return met
