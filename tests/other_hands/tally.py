"""What the reader makes of the workings: accusations of right ones, slips that pass, wrong names."""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from loopwright import read, read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.show.reading_json import as_data

from .fair_names import FAIR
from .scripts import Script

OPEN = ("not read", "not decided")


@dataclass(slots=True)
class Verdict:
    """What is wrong with the reading of one working, each fault as its kind and the line."""

    script: Script
    faults: list[tuple[str, str]] = field(default_factory=list)


def judged(script: Script) -> Verdict:
    """Reads a working and compares with what is known of it."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "drawn.toml"
        path.write_text(script.problem, encoding="utf-8")
        circuit = read(path)
    reading = read_working(circuit, script.working.text, decimal_comma=script.comma)
    data = as_data(reading, propose(reading, BUILT_IN["ten"]))
    verdict = Verdict(script)
    if data["faults"]:
        verdict.faults.append(("failed", str(data["faults"])))
    lines = data["lines"]
    assert isinstance(lines, list)
    (_right if not script.slip else _wrong)(verdict, data, lines)
    return verdict


def _right(verdict: Verdict, data: dict[str, object], lines: list[dict[str, object]]) -> None:
    for line in lines:
        standing, at = line["standing"], line["number"]
        shown = f"{at}: {line['text']}\n      {_why(line)}"
        if standing in ("not true", "not true, but follows"):
            verdict.faults.append(("accused", shown))
        elif standing in OPEN:
            verdict.faults.append((str(standing), shown))
        elif at in verdict.script.working.formulas and not line["claims"]:
            verdict.faults.append(("not seen", shown))
    if verdict.faults:
        return
    mark = data["mark"]
    assert isinstance(mark, dict)
    for part in mark["parts"]:
        own = verdict.script.habits
        if part["points"] == part["of"] or part["part"] == "check":
            continue
        if part["part"] == "units" and (own.units == "none" or not own.reversed_said):
            continue
        verdict.faults.append(("mark", f"{part['part']}: {part['points']} of {part['of']}, {part['why']}"))


def _wrong(verdict: Verdict, data: dict[str, object], lines: list[dict[str, object]]) -> None:
    planted, slip = verdict.script.working.planted, verdict.script.slip
    first = data["first_untrue"]
    if first is None:
        verdict.faults.append(("passed", _text(lines, planted)))
        return
    if first != planted:
        kind = "accused before" if isinstance(first, int) and first < planted else "told later"
        verdict.faults.append((kind, f"{_text(lines, int(str(first)))} (planted {_text(lines, planted)})"))
        return
    for line in lines:
        if line["number"] == planted:
            claims = line["claims"]
            assert isinstance(claims, list)
            names = {r["entry"] for c in claims for r in c["repairs"]}
            if not names & FAIR[slip]:
                verdict.faults.append(
                    ("name", f"{_text(lines, planted)}: {slip}, called {sorted(names) or 'nothing'}")
                )
        elif int(str(line["number"])) > planted and line["standing"] in ("not true", *OPEN):
            verdict.faults.append(
                ("follow-on", f"{line['standing']}: {_text(lines, int(str(line['number'])))}")
            )


def _why(line: dict[str, object]) -> str:
    """What the reader says of a line."""
    claims, trouble = line["claims"], line["trouble"]
    assert isinstance(claims, list)
    said = [f"[{c['read']}] {c['kind']}: {' '.join(c['said'])}" for c in claims if not c["holds"]]
    return " | ".join(said) or str(trouble)


def _text(lines: list[dict[str, object]], number: int) -> str:
    return next((f"{number}: {line['text']}" for line in lines if line["number"] == number), f"{number}")


def counted(verdicts: Iterable[Verdict]) -> Counter[str]:
    """How many workings have a fault of each kind (each kind once for a working)."""
    kinds: Counter[str] = Counter()
    for verdict in verdicts:
        kinds.update({kind for kind, _ in verdict.faults} or {"as it should be"})
    return kinds
