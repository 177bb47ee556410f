"""The desk in a real Chromium: from a key press to the painted figure and equations, and to all of it proved.

A circuit of three loops and six branches with numbers, and one of twenty branches; each press turns the arrow
under the hand, which changes every equation. The clock starts with the event of the key and stops in the
second frame after the new equations stand in the page, and again when what is proved is no longer marked as
of the circuit before. Bars for the small one: 60 ms at the median and 120 ms at the 95th percentile, 400 ms
for the whole page; twice that for the other. Other work on the machine stretches this clock by any factor, so
the processor time of the two answers themselves is told beside it, that of the page's main thread for a
press with all that follows from it, and what the same page takes in the same run for an answer that is empty.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path

from playwright.sync_api import CDPSession, Page, sync_playwright

from loopwright.desk.answer import first, second
from loopwright.desk.edits import edited
from tests.open_desk import CHROMIUM, PATIENCE, open_desk

PRESSES = 60  # that are answered, and a quarter of them until all is proved
MEDIAN, MOST, PROVED = 60.0, 120.0, 400.0  # ms
TURNS = 10  # of which the processor time is taken
_CLOCK = """() => {
  window.taken = [];
  window.proved = [];
  let start = 0, begun = 0;
  addEventListener('keydown', (event) => { start = begun = event.timeStamp; }, true);
  new MutationObserver(() => {
    if (!start) return;
    const from = start;
    start = 0;
    requestAnimationFrame(() => requestAnimationFrame(() => taken.push(performance.now() - from)));
  }).observe(
    document.getElementById('equations'), { subtree: true, childList: true, attributeFilter: ['aria-label'] }
  );
  new MutationObserver(() => {
    if (!begun || document.getElementById('proved').classList.contains('stale')) return;
    proved.push(performance.now() - begun);
    begun = 0;
  }).observe(document.getElementById('proved'), { attributes: true });
}"""


_EMPTY = """async () => {
  const taken = [], frame = () => new Promise(requestAnimationFrame);
  for (let i = 0; i < 30; i++) {
    const from = performance.now();
    await fetch('/static/mark.svg');
    document.getElementById('why').textContent = `${i}`;
    await frame();
    await frame();
    taken.push(performance.now() - from);
  }
  return taken;
}"""


def twenty_branches() -> str:
    """A ladder of twenty branches with numbers."""
    edges = [("a0", "b0")]
    for n in range(6):
        edges += [(f"a{n}", f"a{n + 1}"), (f"b{n}", f"b{n + 1}"), (f"a{n + 1}", f"b{n + 1}")]
    lines = ['I0 = "b0, +E, r, a0"', *(f'I{n} = "{a}, R{n}, {b}"' for n, (a, b) in enumerate(edges, 1))]
    numbers = ['E = "12 V"', 'r = "1 ohm"', *(f'R{n} = "{n + 1} ohm"' for n in range(1, len(edges) + 1))]
    return "\n".join(("[branches]", *lines, "[numbers]", *numbers, ""))


CIRCUITS = {
    "three loops": (Path("examples/tide-gauge-bridge.toml").read_text(encoding="utf-8"), 1.0),
    "twenty branches": (twenty_branches(), 2.0),
}


def _counted(page: Page, what: str, count: int) -> None:
    for _ in range(PATIENCE // 10):
        if page.evaluate(f"{what}.length") >= count:
            return
        page.wait_for_timeout(10)
    raise TimeoutError(f"{what} does not come to {count}")


def pressed(page: Page) -> tuple[list[float], list[float], float]:
    """Milliseconds of each press until figure and equations are there, and of some until all is proved; and
    the processor time that the page's main thread takes for one press, in milliseconds."""
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    page.evaluate(_CLOCK)
    before = _worked(session)
    name = page.evaluate("Object.keys(desk.paper.now.branches)[0]")
    page.evaluate("name => desk.paper.focus(desk.paper.find('branch', name))", name)
    for count in range(1, PRESSES + 1):
        page.keyboard.press("t")
        _counted(page, "taken", count)
        page.wait_for_timeout(30)
        if count % 4 == 0:
            _counted(page, "proved", count // 4)
    worked = (_worked(session) - before) / PRESSES
    return page.evaluate("taken"), page.evaluate("proved"), worked


def _worked(session: CDPSession) -> float:
    """Milliseconds of processor time that the page's main thread has worked."""
    told = session.send("Performance.getMetrics")["metrics"]
    return 1000 * next(float(each["value"]) for each in told if each["name"] == "TaskDuration")


def answering(text: str) -> tuple[float, float]:
    """Milliseconds of processor time of the first and of the second answer to the same turns."""
    like, name = text, text.split("[branches]")[1].split("=")[0].split("\n")[-1].strip()
    taken = []
    for _ in range(TURNS):
        start = time.process_time()
        text = edited(text, {"do": "turn", "branch": name})
        first(text, like)
        middle = time.process_time()
        second(text)
        taken.append((1000 * (middle - start), 1000 * (time.process_time() - middle)))
    return statistics.median(a for a, _ in taken), statistics.median(b for _, b in taken)


def run() -> bool:
    """Prints a row for each circuit; whether the bars are met. True where there is no browser to ask."""
    if not Path(CHROMIUM).exists():
        print("\nThe desk: left out, there is no Chromium")
        return True
    print("\nThe desk: a key pressed, figure and equations painted, then all of it proved, by the clock")
    met = True
    with tempfile.TemporaryDirectory() as place:
        for name, (text, _) in CIRCUITS.items():
            (Path(place) / f"{name}.toml").write_text(text, encoding="utf-8")
        with open_desk(Path(place)) as desk, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
            for name, (text, times) in CIRCUITS.items():
                context = browser.new_context(viewport={"width": 1280, "height": 900})
                key, _, value = desk.cookie.partition("=")
                context.add_cookies([{"name": key, "value": value, "url": desk.address}])
                page = context.new_page()
                page.goto(f"{desk.address}/#{name}")
                page.wait_for_selector("#proved details")
                empty = statistics.median(page.evaluate(_EMPTY))
                print(f"  an empty answer of the same page: {empty:.0f} ms")
                met &= _told(name, times, *pressed(page), *answering(text))
                context.close()
            browser.close()
    return met


def _told(
    name: str,
    times: float,
    taken: list[float],
    proved: list[float],
    worked: float,
    first_alone: float,
    second_alone: float,
) -> bool:
    median, most = statistics.median(taken), statistics.quantiles(taken, n=20)[-1]
    whole = statistics.median(proved)
    met = median <= times * MEDIAN and most <= times * MOST and whole <= times * PROVED
    print(
        f"  {name}: median {median:.0f} ms (bar {times * MEDIAN:.0f})  95th percentile {most:.0f} ms "
        f"(bar {times * MOST:.0f})  proved {whole:.0f} ms (bar {times * PROVED:.0f}): "
        f"{'met' if met else 'NOT met'}; processor time of the answers {first_alone:.0f} and "
        f"{second_alone:.0f} ms, of the page {worked:.0f} ms a press"
    )
    return met


if __name__ == "__main__":
    run()
