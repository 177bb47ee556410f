"""Workings of the stranger's fed to the reader, and what came of them counted: the one room here that knows
the product, and that by its front doors only."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from loopwright import read_working
from loopwright.problem.problem_file import read_text
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.show.reading_json import as_data
from tests.strangers.draw import Drawn
from tests.strangers.slips import FAIR

RELATIONS = ("=", "≈", "→")


@dataclass
class Tally:
    """Counts of one method. Every working that is not as it should be is kept under its cause."""

    right: int = 0
    wrong: int = 0
    counts: Counter[str] = field(default_factory=Counter)
    kinds: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    kept: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))

    def share(self, what: str) -> float:
        """How many of those that could be are so."""
        of = {"named": self.wrong, "found": self.wrong, "passed": self.wrong}.get(what, self.right)
        if what == "credited":
            of = self.counts["follow-on lines"]
        if what == "full marks":
            of = self.counts["could have full marks"]
        return self.counts[what] / of if of else 1.0

    def said(self) -> str:
        """The tally in a line."""
        c = self.counts
        return (
            f"right {self.right}: accused {c['accused']}, not read {c['not read']}, broken {c['broken']}, "
            f"full marks {c['full marks']}/{c['could have full marks']} | "
            f"wrong {self.wrong}: passed {c['passed']}, found {c['found']} "
            f"(early {c['early']}, late {c['late']}), named {c['named']}, "
            f"follow-on {c['credited']}/{c['follow-on lines']}"
        )


def looked_at(drawn: Drawn) -> Mapping[str, Any] | str:
    """What the reader makes of a working, with the mark it proposes; or what went wrong."""
    circuit, findings = read_text(drawn.problem)
    if circuit is None:
        return f"the problem is refused: {[f.message for f in findings]}"
    try:
        reading = read_working(circuit, drawn.text)
        return as_data(reading, propose(reading, BUILT_IN["ten"]))
    except Exception as broken:  # whatever it is, it is a fault of the reader's, and told as one
        return f"{type(broken).__name__}: {broken}"


def unread(data: Mapping[str, Any]) -> list[int]:
    """Numbers of the lines with a relation in them that were not read or not decided."""
    return [
        line["number"]
        for line in data["lines"]
        if any(sign in line["text"] for sign in RELATIONS)
        and (line["standing"] in ("", "not read", "not decided") or line["trouble"])
    ]


def denied(line: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The claims of a line that are said not to be true."""
    return [c for c in line["claims"] if c["kind"] == "not true"]


def count(tally: Tally, drawn: Drawn) -> None:
    """Adds one working."""
    if drawn.wrong:
        tally.wrong += 1
    else:
        tally.right += 1
    data = looked_at(drawn)
    if isinstance(data, str):
        tally.counts["broken"] += 1
        tally.kept[f"broken: {data[:60]}"].append(told(drawn, {}, data))
    elif drawn.wrong:
        _count_wrong(tally, drawn, data)
    else:
        _count_right(tally, drawn, data)


def _count_right(tally: Tally, drawn: Drawn, data: Mapping[str, Any]) -> None:
    untrue = [line for line in data["lines"] if denied(line)]
    if untrue:
        tally.counts["accused"] += 1
        tally.kept[f"accused, {drawn.hand.name}"].append(told(drawn, data, ""))
    if unread(data):
        tally.counts["not read"] += 1
        tally.kept[f"not read, {drawn.hand.name}"].append(told(drawn, data, ""))
    if drawn.hand.units != "none":
        tally.counts["could have full marks"] += 1
        if data["mark"]["total"] >= data["mark"]["out_of"]:
            tally.counts["full marks"] += 1
        elif not untrue and not unread(data):
            short = ", ".join(
                sorted(
                    p["part"] for p in data["mark"]["parts"] if p["points"] < p["of"] and p["part"] != "check"
                )
            )
            tally.kept[f"marks lost, {short}"].append(told(drawn, data, ""))


def _count_wrong(tally: Tally, drawn: Drawn, data: Mapping[str, Any]) -> None:
    first, by_kind = data["first_untrue"], tally.kinds[drawn.slip]
    by_kind["all"] += 1
    lines = {line["number"]: line for line in data["lines"]}
    if first is None:
        tally.counts["passed"] += 1
        by_kind["passed"] += 1
        tally.kept[f"passed, {drawn.slip}"].append(told(drawn, data, ""))
        return
    if first != drawn.wrong:
        side = "early" if first < drawn.wrong else "late"
        tally.counts[side] += 1
        by_kind[side] += 1
        tally.kept[f"first line {side}, {drawn.slip}"].append(told(drawn, data, ""))
        return
    tally.counts["found"] += 1
    by_kind["found"] += 1
    causes = [c["repairs"][0]["entry"] for c in denied(lines[first]) if c["repairs"]]
    if causes and causes[0] in FAIR[drawn.slip]:
        tally.counts["named"] += 1
        by_kind["named"] += 1
    else:
        named = causes[0] if causes else "nothing"
        tally.kept[f"not named, {drawn.slip} called {named}"].append(told(drawn, data, ""))
    lost = [n for n in drawn.follow if not _credited(lines.get(n))]
    tally.counts["follow-on lines"] += len(drawn.follow)
    tally.counts["credited"] += len(drawn.follow) - len(lost)
    if lost:
        tally.kept[f"follow-on denied, {drawn.slip}"].append(told(drawn, data, f"denied: {lost}"))


def _credited(line: Mapping[str, Any] | None) -> bool:
    return line is not None and all(c["holds"] or c["carried"] for c in line["claims"])


def told(drawn: Drawn, data: Mapping[str, Any], word: str) -> str:
    """A working with what was expected and what the reader said, for whoever mends it."""
    out = [
        f"### {drawn.method} {drawn.seed} ({drawn.hand.name})",
        "",
        "```toml",
        drawn.problem.rstrip(),
        "```",
        "```",
    ]
    marks = dict.fromkeys(drawn.follow, "> ") | {drawn.wrong: "X "}
    out += [f"{i:2} {marks.get(i, '  ')}{text}" for i, text in enumerate(drawn.lines, 1)]
    out.append("```")
    if drawn.wrong:
        out.append(f"line {drawn.wrong} slip: {drawn.slip}; right would be `{drawn.right_line}`")
    if word:
        out.append(word)
    for line in data.get("lines", []):
        for claim in line["claims"]:
            if not claim["holds"] or line["number"] == drawn.wrong:
                kind = claim["kind"] + (", carried" if claim["carried"] else "")
                out.append(f"- {line['number']} `{claim['read']}`: {kind}: {' '.join(claim['said'])}")
        if line["trouble"]:
            out.append(f"- {line['number']} not read: {line['trouble']['why']}")
    if data:
        lost = [
            f"{p['part']} {p['points']}/{p['of']}: {p['why']}"
            for p in data["mark"]["parts"]
            if p["points"] < p["of"]
        ]
        out.append(f"- mark {data['mark']['total']}/{data['mark']['out_of']}: " + "; ".join(lost))
        out.append(f"- {data['arrows']['said']}")
    return "\n".join(out) + "\n"


def reports(tally: Tally, method: str, folder: Path, most: int = 6) -> None:
    """Failing workings, grouped, the most frequent group first."""
    groups = sorted(tally.kept.items(), key=lambda g: -len(g[1]))
    text = [f"# {method}", "", tally.said(), ""]
    text += [f"- {len(cases)}: {name}" for name, cases in groups]
    text += ["", "By slip (all, passed, early, late, found, named):", ""]
    text += [
        f"- {kind}: " + " ".join(str(c[x]) for x in ("all", "passed", "early", "late", "found", "named"))
        for kind, c in sorted(tally.kinds.items())
    ]
    for name, cases in groups:
        text += ["", f"## {name} ({len(cases)})", "", *sorted(cases, key=len)[:most]]
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{method}.md").write_text("\n".join(text), encoding="utf-8")


def tally_of(workings: Iterable[Drawn]) -> Tally:
    """All of them counted."""
    tally = Tally()
    for each in workings:
        count(tally, each)
    return tally
