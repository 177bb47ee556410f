"""A small bank with something of everything, and all that a bank holds as one value."""

from __future__ import annotations

import json
from typing import Any

from loopwright.bank.bank import Bank
from loopwright.bank.given import GivenPaper
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP_IN_NUMBERS, CHARGING_IN_NUMBERS

DAY = "2026-02-20"
BUS = 'title = "Bus"\nstory = "A charger and a battery."\n' + CHARGE_OR_HELP_IN_NUMBERS
TRAM = 'title = "Tram"\n' + CHARGING_IN_NUMBERS
QUIZ = json.dumps({"items": [{"item": "bus-01-choice", "kind": "choice", "question": "Ib in Ω? “é”"}]})


def fill(bank: Bank) -> None:
    """Three problems, versions, an item, two sets of papers."""
    for text, name in ((BUS, "bus"), (TRAM, "tram"), ('title = "Bridge"\n' + BRIDGE, "bridge")):
        bank.add(text, name, DAY)
    bank.keep(
        "bus", {"001": BUS.replace("23 V", "24 V"), "002": BUS.replace("23 V", "25 V")}, {"q.json": QUIZ}
    )
    bank.record([GivenPaper("2026-03-01", "week 5", f"K{n}", f"s{n}", "bus") for n in (17, 18)])
    bank.record(
        [GivenPaper("2026-03-08", "week 6", f"L{n}", f"s{n}", p) for n in (17, 18) for p in ("bus", "tram")]
    )


def whole(bank: Bank, but: str = "") -> dict[str, Any]:
    """All that a bank holds, but for the numbers of its rows, and for one problem."""
    problems = [bank.problem(name) for name in bank.names() if name != but]
    return {
        "names": [p.name for p in problems],
        "problems": [(p.title, p.text, p.added, p.certificate) for p in problems],
        "versions": [bank.versions(p.name) for p in problems],
        "items": [bank.items(p.name) for p in problems],
        "given": bank.given(),
    }
