"""Keys worked once more outside: by NumPy, from the numbers that stand on each paper as it is handed out."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import numpy as np
import pytest

from loopwright import read
from loopwright.circuit.circuit import Circuit
from loopwright.papers.papers import papers
from loopwright.papers.plan import PaperWishes
from loopwright.papers.roster import Roster, RosterEntry
from loopwright.problem.problem_file import read_text
from tests.architecture.source import ROOT
from tests.unit.transients.sample_transients import FILLING

CISTERN = (
    """
title = "Cistern"
find = ["tau", "I1 just after", "V(C1) at 20 ms", "Q(C1) long after", "t when V(C1) = 6 V"]
"""
    + FILLING
    + """
[numbers]
E = "12.0 V"
C1 = "10.0 uF"
[versions]
E = "15 to 24 V"
R1 = "1, 2, 3, 4, 6 kohm"
R2 = "3, 4, 6, 12 kohm"
R3 = "1, 1.5, 2, 3 kohm"
hold = ["I1 just after with 3 decimals in mA", "V(C1) long after > 7 V", "slips apart"]
"""
)
WORTH = {"": 1.0, "k": 1e3, "m": 1e-3, "µ": 1e-6}
GIVEN = re.compile(r"(\w+) = ([\d.]+)[\s\u00a0]*([kmµ]?)(?:V|Ω|F)")
ROSTER = Roster(tuple(RosterEntry(str(n)) for n in range(12)))


def cistern() -> Circuit:
    found, findings = read_text(CISTERN)
    assert found is not None, findings
    return found


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("set")
    files = ["tide-bridge.toml", "two-lamps.toml"]
    problems = [cistern(), *(read(ROOT / "examples" / "papers" / name) for name in files)]
    papers(problems, ROSTER, folder, PaperWishes(forms=("md",)))
    return folder


def given(text: str) -> list[dict[str, float]]:
    """The numbers given for each problem of a paper, by their names, in SI units."""
    plain = re.sub(r"\\mathcal\{E\}", "E", text)
    plain = re.sub(r"\\mathrm\{((?:[^{}]|\{[^{}]*\})*)\}", r"\1", plain)
    plain = plain.replace("\\Omega", "Ω").replace("{\\mu}", "µ").replace("\\,", " ")
    plain = re.sub(r"[{}_$]", "", plain)
    lines = [line for line in plain.splitlines() if line.startswith("Given:")]
    return [
        {name: float(digits) * WORTH[prefix] for name, digits, prefix in GIVEN.findall(line)}
        for line in lines
    ]


def of_cistern(n: dict[str, float]) -> dict[str, float]:
    """By the potential of the top, and the one exponential."""
    seen = 1 / (1 / n["R1"] + 1 / n["R2"])
    tau, end, start = (n["R3"] + seen) * n["C1"], n["E"] * n["R2"] / (n["R1"] + n["R2"]), n["VC1"]
    leads = [[1 / n["R1"] + 1 / n["R2"] + 1 / n["R3"]]]
    (top,) = np.linalg.solve(leads, [n["E"] / n["R1"] + start / n["R3"]])
    return {
        "τ": tau,
        "I1 just after": (n["E"] - top) / n["R1"],
        "V(C1) at 20 ms": end + (start - end) * np.exp(-0.02 / tau),
        "Q(C1) long after": n["C1"] * end,
        "t when V(C1) = 6 V": tau * np.log((end - start) / (end - 6)),
    }


def of_bridge(n: dict[str, float]) -> dict[str, float]:
    """By the potentials of b and c, that of d being 0 and that of a the emf."""
    g1, g2, g3, g4, g5 = (1 / n[f"R{k}"] for k in range(1, 6))
    leads = [[g1 + g3 + g5, -g5], [-g5, g2 + g4 + g5]]
    b, c = np.linalg.solve(leads, [n["E"] * g1, n["E"] * g2])
    return {"I5": (b - c) * g5, "I6": (n["E"] - b) * g1 + (n["E"] - c) * g2, "V(b, c)": b - c}


def of_lamps(n: dict[str, float]) -> dict[str, float]:
    """By the potentials of the two ends of the pier against the shore."""
    g1, g2, g3, g4, g5 = (1 / n[f"R{k}"] for k in range(1, 6))
    leads = [[g1 + g2 + g3, -g3], [-g3, g3 + g4 + g5]]
    near, head = np.linalg.solve(leads, [n["E1"] * g1, n["E2"] * g5])
    across = (near - head) * g3
    return {"I1": (n["E1"] - near) * g1, "I2": near * g2, "I3": across, "P(R3)": across**2 * n["R3"]}


def test_every_answer_is_that_of_the_numbers_on_its_paper(made: Path) -> None:
    rows = list(csv.DictReader(io.StringIO((made / "answers.csv").read_text("utf-8"))))
    checked = 0
    for file in sorted((made / "papers").glob("*.md")):
        numbers = given(file.read_text("utf-8"))
        assert len(numbers) == 3
        worked = [of(n) for of, n in zip((of_cistern, of_bridge, of_lamps), numbers, strict=True)]
        for row in (row for row in rows if row["paper"] == file.stem):
            right = float(worked[int(row["problem"]) - 1][row["asked"]])
            assert float(row["value"]) == pytest.approx(right, rel=1e-9, abs=1e-15)
            assert abs(float(row["value"]) - right) < float(row["tolerance"])
            checked += 1
    assert checked == len(rows) == 12 * 12


def test_the_cover_tells_what_goes_wrong_in_time_and_the_forms_after_the_move(made: Path) -> None:
    """The switch closed: what C1 sees holds R1, which it does not while the switch is open."""
    text = (made / "cover.md").read_text("utf-8")
    first = text[: text.index("## 2.")]
    assert "What goes wrong most often" in first
    assert "time constant of the wrong form" in first
    (form,) = re.findall(r"\\tau +=(.+)", first)
    assert "R_{1}" in form
