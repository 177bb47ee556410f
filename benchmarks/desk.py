"""What the desk takes: to open, to answer a change, to look after a large folder, and a minute of edits.

`python -m benchmarks.desk`. A desk in a process of its own, as a person starts it, spoken to over the
loopback as its page does, without a browser: by the clock, on whatever disk holds temporary files. Bars:
the page is there within a second of the command; a change of a three-loop circuit is answered, and saved on
the disk, within 60 ms at the median and 120 ms at the 95th percentile; fifty edits a second for a minute
end in the right state, with memory grown by less than a tenth over its second half.
"""

from __future__ import annotations

import http.client
import json
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from loopwright.desk.folder import PaperFolder
from tests.open_desk import OpenDesk, open_desk
from tests.sample_circuits import BRIDGE

SECONDS, A_SECOND = 60, 50  # how long edits come, and how many
MANY = 500  # papers in a large folder


class _Page:
    """One connection that is kept, as a browser keeps it."""

    def __init__(self, desk: OpenDesk) -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", desk.port, timeout=60)
        self._headers = {
            "Cookie": desk.cookie, "Origin": desk.address, "Content-Type": "application/json"
        }  # fmt: skip

    def ask(self, path: str, given: object = None) -> dict[str, object]:
        """What comes back, which must be what was asked for."""
        method, body = ("GET", None) if given is None else ("POST", json.dumps(given))
        self._connection.request(method, path, body, self._headers)
        answer = self._connection.getresponse()
        content: dict[str, object] = json.loads(answer.read())
        if answer.status != 200:
            raise RuntimeError(f"{answer.status}: {content}")
        return content

    def edits(self, opened: dict[str, object]) -> Iterator[dict[str, object]]:
        """The paper after one change after another."""
        text = str(opened["text"])
        number = 0
        while True:
            number += 1
            edit = {"do": "text", "text": f"{text}# {number}\n"}
            opened = self.ask("/papers/bridge/edits", {"version": opened["version"], "edits": [edit]})
            yield opened


def run() -> bool:
    """Prints the figures; whether the bars are met."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        (place / "bridge.toml").write_text(BRIDGE)
        begun = time.perf_counter()
        with open_desk(place) as desk:
            desk.send("GET", "/", headers={"Cookie": desk.cookie})
            open_after = time.perf_counter() - begun
            page = _Page(desk)
            opened = page.ask("/papers/bridge")
            answered_after = time.perf_counter() - begun
            print(
                f"\nThe desk: page after {open_after:.2f} s (bar 1), an answer after {answered_after:.2f} s"
            )
            changes = page.edits(opened)
            taken = sorted(_seconds(lambda: next(changes)) for _ in range(100))
            middle, most = statistics.median(taken), taken[94]
            print(f"  a change answered and saved: {1000 * middle:.0f} ms, 95 % within {1000 * most:.0f} ms")
            right, grown = _minute(page, changes, desk, place)
    looking = _looking()
    print(f"  one look at {MANY} papers: {1000 * looking:.1f} ms, four times a second")
    return open_after < 1 and middle < 0.060 and most < 0.120 and right and grown < 0.1


def _minute(
    page: _Page, changes: Iterator[dict[str, object]], desk: OpenDesk, place: Path
) -> tuple[bool, float]:
    """Whether the last state is right after edits without a pause, and by how much memory grew meanwhile."""
    begun = time.perf_counter()
    memory = []
    for number in range(SECONDS * A_SECOND):
        last = next(changes)
        if number in (SECONDS * A_SECOND // 2, SECONDS * A_SECOND - 1):
            memory.append(_memory(desk.process.pid))
        time.sleep(max(0.0, begun + (number + 1) / A_SECOND - time.perf_counter()))
    passed = time.perf_counter() - begun
    right = (place / "bridge.toml").read_text() == last["text"] == page.ask("/papers/bridge")["text"]
    grown = memory[1] / memory[0] - 1
    print(
        f"  {SECONDS * A_SECOND} changes in {passed:.0f} s (wished: {SECONDS}): last state "
        f"{'right' if right else 'WRONG'}, memory {memory[1] / 1e6:.0f} MB, over the second half {grown:+.1%}"
    )
    return right, grown


def _memory(process: int) -> float:
    """Bytes that a process and all that it started hold for themselves."""
    total = 0.0
    for line in Path(f"/proc/{process}/smaps_rollup").read_text().splitlines():
        if line.startswith("Pss:"):
            total += 1024 * float(line.split()[1])
    children = Path(f"/proc/{process}/task/{process}/children").read_text().split()
    return total + sum(_memory(int(child)) for child in children)


def _looking() -> float:
    """Seconds that one look at a large folder takes: every paper's name, time and size."""
    with tempfile.TemporaryDirectory() as folder:
        for number in range(MANY):
            (Path(folder) / f"{number}.toml").write_text(BRIDGE)
        papers = PaperFolder(Path(folder))
        return statistics.median(_seconds(papers.seen) for _ in range(20))


def _seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


if __name__ == "__main__":
    sys.exit(0 if run() else 1)
