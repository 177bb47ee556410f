"""Published solutions read as workings: every line is accepted, and printed slips are found.

Each working is typed from the fact: junction and loop equations of its circuit in numbers, then the
published results as printed. Sources stand in sources.md and beside each printed error.
"""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import Pass
from loopwright.expressions.nodes import Equation, number, put
from loopwright.laws.laws import laws
from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.published.fact_circuits import Built, Fact, build, facts_of
from tests.workings import Notation, written

PUBLISHED, ERRORS = facts_of("published.json"), facts_of("printed-errors.json")
LONG = {"helm-track-circuit-ladder"}  # a closed form of 978,122 terms: workings of it are not read


def named(fact: Fact) -> tuple[Circuit, Built]:
    """The fact's circuit in branches with the published arrows and names; other branches get their own."""
    built = build(fact, "as chains")
    names: dict[str, tuple[str, int]] = {}
    for name, (start, _, through) in fact["arrows"].items():
        element = through.removeprefix("through ")
        edge = next(e for e in fact["branches"] if element in e.values())
        branch, sense = built.place[element]
        names.setdefault(branch, (name, sense if edge["from"] == start else -sense))
    branches = []
    for i, b in enumerate(built.circuit.branches):
        name, sense = names.get(b.name, (f"y{i}", 1))
        if sense < 0:
            along = tuple(
                Pass(item.element, -item.sign) if isinstance(item, Pass) else item for item in b.along[::-1]
            )
            b = replace(b, start=b.end, end=b.start, along=along)
        branches.append(replace(b, name=name))
    return replace(built.circuit, branches=tuple(branches)), built


def results(fact: Fact, figures: dict[str, str]) -> list[str]:
    """The published figures that a line can state, as printed."""
    lines = []
    for name, text in figures.items():
        asked = fact.get("defines", {}).get(name)
        text = text.replace("ohm", "Ω")
        if asked is None and name in fact["arrows"]:
            lines.append(f"{name} = {text}")
        elif asked and asked["q"] == "V":
            lines.append(f"V({asked['plus']}, {asked['minus']}) = {text}")
        elif asked and asked["q"] == "P":  # printed as taken in, also by a battery that is charged
            is_battery = any(edge.get("battery") == asked["of"] for edge in fact["branches"])
            lines.append(f"{'-' if is_battery else ''}P({asked['of']}) = {text}")
        elif asked and asked["q"] == "P_supplied":
            lines.append(f"{' + '.join(f'P({name})' for name in asked['of'])} = {text}")
        elif asked and asked["q"] == "P_dissipated":
            lines.append(f"P(heat) = {text}")
    return lines


READ = [
    name
    for name, fact in PUBLISHED.items()
    if "branches" in fact and name not in LONG and not any("capacitor" in edge for edge in fact["branches"])
    and results(fact, fact["published"]) and all("expr" not in text for text in fact["published"].values())
]  # fmt: skip


def law_lines(circuit: Circuit, seed: int) -> str:
    values = {n: number(v) for n, v in circuit.numbers.items()}
    lines = [
        Equation(put(e.written.left, values), put(e.written.right, values)) for e in laws(circuit).chosen
    ]
    chance = random.Random(seed)
    return written(lines, chance.choice(list(Notation)), chance, known=[*circuit.currents, *circuit.elements])


@pytest.mark.parametrize("name", READ)
def test_a_published_solution_is_accepted_line_by_line(name: str) -> None:
    fact = PUBLISHED[name]
    circuit, _ = named(fact)
    text = law_lines(circuit, len(name)) + "\n" + "\n".join(results(fact, fact["published"]))
    reading = read_working(circuit, text)
    assert not [line for line in reading.working.lines if line.trouble], text
    wrong = [(v.line, str(v.claim.written), v.said) for v in reading.verdicts if not v.holds]
    assert not wrong, (fact["source"], wrong)
    assert len(reading.verdicts) >= len(results(fact, fact["published"])) + len(circuit.branches)
    assert reading.enough.enough


def read_printed(name: str, *lines: str) -> Reading:
    circuit, _ = named(ERRORS[name])
    return read_working(circuit, "\n".join(lines))


@pytest.mark.parametrize(
    ("name", "wrong", "right"),
    [
        # OpenStax, University Physics Volume 2, sec. 10.3: the sign of the second battery's power
        ("up-two-source-24-29-power-formula", "24 I1 + 29 I3 = 130 W", "24 I1 - 29 I3 = 130 W"),
        # OpenStax, College Physics for AP Courses 2e, ch. 21 Test Prep 11(b): I1 r1 for I2 r1
        ("ap-21-11b-loop-equation", "6 - 6 I1 - 6 I2 - 1 I1 = 0", "6 - 6 I1 - 6 I2 - 1 I2 = 0"),
        # US Department of Energy, DOE-HDBK-1011/1-92, module 2, p. 52: a rounded number put back
        ("doe-loop-equations-I2", "I2 = 345.8 mA", "I2 = 345.7 mA"),
        # OpenStax, University Physics Volume 2, ch. 10 problem 77(d): rounded currents squared
        ("up-10-77-powers", "P(R2) = 4.04 W", "P(R2) = 4.00 W"),
        # OpenStax, University Physics Volume 2, Example 10.1(a): 11.88 V printed as 11.90 V
        ("up-battery-load-10-terminal", "V(p, g) = 11.90 V", "V(p, g) = 11.88 V"),
    ],
)
def test_a_printed_slip_is_found_and_its_correction_accepted(name: str, wrong: str, right: str) -> None:
    assert read_printed(name, wrong).verdicts[0].kind is ClaimKind.UNTRUE
    assert read_printed(name, right).verdicts[0].holds
