"""Versions in other forms: what stands in their files, proved outside by NumPy on the text of each."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping

import numpy as np
import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.problem.problem_file import read_text, written
from loopwright.versions.forms import VersionForm, formed
from loopwright.versions.version import VersionSet
from loopwright.versions.versions import versions

POWER_STATION = """
title = "Two chargers and a heater"
story = "Two supplies feed a heater."
find = ["Ia", "V(bus, rail)/Ib", "P(R1) + P(R2)", "V(m, rail)", "rank P(R1), P(R3)"]
expect = [
    "Ib -> (E1 - E2) / (R1 + R2 + r1 + r2 + R3) as Rh -> ∞",
    "2 Ib - Ia -> -E1 / (R1 + R3 + r1 + Rh) as R2 alone -> ∞",
]
plots = ["sign of Ib over R1, R2"]
loops = ["Ia + Ih", "Ib - Ih"]

[branches]
Ia = "rail, +E1, R1, (m), R3, bus"
Ib = "bus, R2, -E2, rail"
Ih = "bus, Rh, rail"

[elements]
E1 = { internal = "r1" }
E2 = { internal = "r2" }

[numbers]
E1 = "20 V"
E2 = "12 V"
R1 = "3 ohm"
R2 = "4 ohm"
Rh = "6 ohm"
R3 = "2 ohm"
r1 = "1 ohm"
r2 = "2 ohm"

[ratings]
R2 = "500 W"

[versions]
E1 = "6 to 24 V"
E2 = "6 to 24 V"
R1 = "2 to 12 ohm"
R2 = "2 to 12 ohm"
Rh = "2 to 12 ohm"
hold = ["currents with at most 1 decimal", "one current negative"]
forms = ["arrows turned", "renamed"]
asked = [["Ih", "P(E2)"], ["Ib", "P(Rh)"]]
"""


def outside(text: str, **instead: float) -> dict[str, float]:
    """Currents, potentials and values of a problem file, by NumPy from its text alone: one unknown for each
    current and each point but the first. `instead`: other values for some symbols."""
    told = tomllib.loads(text)
    value = {n: float(v.split()[0]) for n, v in told["numbers"].items()} | instead
    inside = {n: value[e["internal"]] for n, e in told["elements"].items()}
    ways = {n: [p.strip() for p in way.split(",")] for n, way in told["branches"].items()}
    points = list(dict.fromkeys(p for way in ways.values() for p in (way[0], way[-1])))
    names = [*ways, *points]
    rows, right = np.zeros((len(names), len(names))), np.zeros(len(names))
    for k, way in enumerate(ways.values()):
        rows[k, names.index(way[0])] += 1
        rows[k, names.index(way[-1])] -= 1
        for part in way[1:-1]:
            if part[0] in "+-":
                right[k] -= value[part[1:]] * (1 if part[0] == "+" else -1)
                rows[k, k] -= inside.get(part[1:], 0.0)
            elif part[0] != "(":
                rows[k, k] -= value[part]
        for at, point in enumerate(points[1:], len(ways)):
            rows[at, k] = (way[-1] == point) - (way[0] == point)
    rows[-1, len(ways)] = 1  # the first point is at 0 V
    return value | dict(zip(names, map(float, np.linalg.solve(rows, right)), strict=True))


def asked_outside(text: str, question: str) -> float:
    """The value of a question, by its text."""
    known, told = outside(text), tomllib.loads(text)
    ways = {n: [p.strip().strip("+-") for p in way.split(",")] for n, way in told["branches"].items()}

    def potential(name: str) -> float:
        if name in known:
            return known[name]
        current, way = next((c, w) for c, w in ways.items() if f"({name})" in w)
        level = known[way[0]]
        for part, signed in zip(way[1:], told["branches"][current].split(",")[1:], strict=True):
            if part == f"({name})":
                break
            inside = told["elements"].get(part, {}).get("internal")
            rise = known[part] * (1 if "+" in signed else -1) if part[0] == "E" else 0.0
            level += rise - known[current] * (known.get(inside, 0.0) if part[0] == "E" else known[part])
        return level

    def power(name: str) -> float:
        current = next(c for c, w in ways.items() if name in w)
        sign = 1 if f"+{name}" in told["branches"][current] else -1
        return known[name] * known[current] * (sign if name[0] == "E" else known[current])

    wanted = re.sub(r"V\((\w+), (\w+)\)", lambda m: str(f"({potential(m[1]) - potential(m[2])})"), question)
    wanted = re.sub(r"P\((\w+)\)", lambda m: f"({power(m[1])})", wanted)
    return evaluated(wanted, known)


def evaluated(formula: str, known: Mapping[str, float]) -> float:
    """A formula with names and numbers side by side, in numbers."""
    typed = re.sub(r"(?<=[\w)]) +(?=[\w(])", " * ", formula).replace("−", "-")
    return float(eval(typed, {"__builtins__": {}}, dict(known)))


@pytest.fixture(scope="module")
def twenty() -> VersionSet:
    return versions(problem(), 20, seed=4, same_lines=False)


def problem(text: str = POWER_STATION) -> Circuit:
    circuit, findings = read_text(text)
    assert circuit is not None, findings
    return circuit


def test_twenty_versions_are_their_circuit_up_to_signs_and_names(twenty: VersionSet) -> None:
    base = written(twenty.circuit)
    assert len({v.form.told for v in twenty.versions}) > 10
    for version in twenty.versions:
        text = written(version.circuit)
        back = {new: old for old, new in version.form.names.items()}
        numbers = {back.get(n, n): float(v) for n, v in version.circuit.numbers.items()}
        old, new = outside(base, **numbers), outside(text)
        for name in version.circuit.currents:
            assert new[name] == pytest.approx((-1 if name in version.form.arrows else 1) * old[name])
        assert sum(new[name] < 0 for name in version.circuit.currents) == 1


def test_twenty_versions_ask_the_same_quantities_and_expect_what_is_true(twenty: VersionSet) -> None:
    for version in twenty.versions:
        text = written(version.circuit)
        plain = formed(version.circuit, VersionForm(names={n: o for o, n in version.form.names.items()}))
        old = written(plain.flipped(*version.form.arrows))
        own = version.form.asked or twenty.circuit.find
        for question, first in zip(version.circuit.find, own, strict=True):
            sign = -1 if first in version.form.arrows else 1
            assert asked_outside(text, question) == pytest.approx(sign * asked_outside(old, first))
        for said in version.circuit.expect:
            left, right, symbol = re.fullmatch(r"(.+) -> (.+) as (\w+).* -> ∞", said).groups()  # type: ignore[union-attr]
            far = outside(text, **{symbol: 1e9})
            assert evaluated(left, far) == pytest.approx(evaluated(right, far), abs=1e-6)


def test_the_same_seed_gives_the_same_files(twenty: VersionSet) -> None:
    again = versions(problem(), 20, seed=4, same_lines=False)
    assert [*map(written, again.circuits)] == [*map(written, twenty.circuits)]


def test_what_is_called_in_the_story_keeps_its_name() -> None:
    told = POWER_STATION.replace("feed a heater.", "feed a heater; R2 is a long cable, and Ih warms.")
    _, findings = read_text(told)
    assert [(f.code, f.about, f.place.key) for f in findings] == [
        ("versions/named-in-prose", ("Ih",), "versions.forms, item 1"),
        ("versions/named-in-prose", ("R2",), "versions.forms, item 2"),
    ]


def test_loops_are_written_with_their_file() -> None:
    circuit = problem()
    assert circuit.loops
    assert problem(written(circuit)) == circuit
