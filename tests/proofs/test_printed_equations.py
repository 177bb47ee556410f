"""Every equation that `loopwright loops` prints, put to the test with currents worked by NumPy alone.

The file is read here once more, as a stranger would: TOML, its own words for elements, branch equations and
potentials in one matrix. A storage in time is given any voltage, for the equations must hold whatever it is.
"""

from __future__ import annotations

import random
import re
import tomllib
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

import numpy as np
import pytest

from loopwright.cli.main import main
from tests.odd_files import odd_file

UNITS = {"": 1.0, "m": 1e-3, "u": 1e-6, "n": 1e-9, "k": 1e3}


class Network:
    """What a file says, with numbers for everything."""

    def __init__(self, text: str, chance: random.Random) -> None:
        told = tomllib.loads(text)
        self.values = {name: _number(said) for name, said in told.get("numbers", {}).items()}
        self.told, self.chance = told.get("elements", {}), chance
        self.moves = told.get("switching", {})
        self.in_time = bool(self.moves or told.get("start"))
        self.ways = {name: said.split(", ") for name, said in told["branches"].items()}
        self.names: dict[str, float] = {}  # everything that an equation may speak of

    def value(self, name: str) -> float:
        """An element's value by its table, its number, or one of our own choice."""
        said = self.told.get(name, name)
        said = said.get("value", name) if isinstance(said, dict) else said
        for symbol in re.findall(r"[A-Za-z]\w*", said):
            if symbol != name and symbol in self.told:  # the value of another element
                self.names[symbol] = self.value(symbol)
            self.names.setdefault(symbol, self.values.get(symbol, self.chance.uniform(1, 9)))
        return _worked(said, self.names)

    def inside(self, name: str) -> float:
        """The internal resistance."""
        said = self.told.get(name)
        if not isinstance(said, dict):
            return 0.0
        text = said["internal"]
        if re.match(r"[A-Za-z]", text):
            return self.names.setdefault(text, self.values.get(text, self.chance.uniform(1, 9)))
        return self.names.setdefault(f"r{name[1:]}", _number(text))  # it is written by a letter

    def solve(self, after: int) -> bool:
        """Finds every current and every voltage that nothing fixes after so many later moves; False for a
        circuit that contradicts itself."""
        points = sorted({p for way in self.ways.values() for p in (way[0], way[-1])})
        forced = [(b, way, e) for b, way in self.ways.items() for e in way[1:-1] if self.fixes(e, after)]
        columns = [*self.ways, *points, *(f"V({e.lstrip('+-')})" for _, _, e in forced)]
        at = {name: n for n, name in enumerate(columns)}
        rows: list[tuple[dict[str, float], float]] = []
        for b, way in self.ways.items():
            row, push = {way[0]: 1.0, way[-1]: -1.0} if way[0] != way[-1] else {}, 0.0
            for met in way[1:-1]:
                sign, name = -1.0 if met[0] == "-" else 1.0, met.lstrip("+-")
                if name[0] == "R":
                    row[b] = row.get(b, 0.0) - self.value(name)
                elif name[0] == "E":
                    push += sign * self.value(name)
                    row[b] = row.get(b, 0.0) - self.inside(name)
                elif self.fixes(met, after):
                    row[f"V({name})"] = -1.0
                elif name[0] == "C":
                    push -= self.names.setdefault(f"V({name})", self.chance.uniform(1, 9))
                elif name[0] == "L":
                    row[b] = row.get(b, 0.0) - self.inside(name)
                    if self.in_time:
                        slope = self.names.setdefault(f"d{b}/dt", self.chance.uniform(1, 9))
                        push -= slope * self.value(name)
            rows.append((row, -push))
        for point in points:
            into = {b: float((w[-1] == point) - (w[0] == point)) for b, w in self.ways.items()}
            rows.append((into, 0.0))
        for b, _, met in forced:
            current = (-1.0 if met[0] == "-" else 1.0) * self.value(met[1:]) if met[1] == "J" else 0.0
            rows.append(({b: 1.0}, current))
        matrix = np.array([[row.get(name, 0.0) for name in columns] for row, _ in rows])
        wanted = np.array([value for _, value in rows])
        found, *_ = np.linalg.lstsq(matrix, wanted, rcond=None)
        if not np.allclose(matrix @ found, wanted, rtol=0, atol=1e-6 * max(1.0, float(np.abs(wanted).max()))):
            return False
        self.names |= {name: float(found[at[name]]) for name in columns if name not in points}
        return True

    def fixes(self, met: str, after: int) -> bool:
        """Whether an element holds its branch's current."""
        name = met.lstrip("+-")
        if name[0] == "J":
            return True
        if name[0] == "C":
            return not self.in_time
        if name[0] != "S":
            return False
        if name not in self.moves:
            return bool(self.told[name] == "open")
        begins, ends, *_ = re.findall(r"open|closed", self.moves[name])
        late = " at " in self.moves[name]
        return bool((begins if late and not after else ends) == "open")


def _number(said: str) -> float:
    amount, unit = said.split(" ")
    prefix = unit[0] if len(unit) > 1 and unit[0] in UNITS and unit not in ("ohm",) else ""
    above, _, below = amount.partition("/")
    return float(above) / float(below or 1) * UNITS[prefix]


def _worked(text: str, names: dict[str, float]) -> float:
    """A printed expression, worked with these numbers."""
    pieces = re.findall(r"d\w+/dt|V\(\w+\)|[A-Za-z]\w*|\d+(?:\.\d+)?|[()+/=]|[−-]", text)
    code, last = "", ""
    for piece in pieces:
        value = repr(names[piece]) if piece in names else {"−": "-"}.get(piece, piece)
        if (
            last
            and (last[-1].isalnum() or last == ")" or last.endswith(")"))
            and (piece in names or piece[0].isalnum() or piece == "(")
        ):
            code += "*"
        code += f"({value})" if piece in names else value
        last = piece
    return float(eval(code, {"__builtins__": {}}))


def _printed(text: str, folder: Path) -> tuple[int, str]:
    (folder / "odd.toml").write_text(text)
    out = StringIO()
    with redirect_stdout(out), redirect_stderr(StringIO()):
        status = main(["loops", str(folder / "odd.toml")])
    return status, out.getvalue()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("first", "count"), [(40_000, 360), pytest.param(50_000, 1640, marks=pytest.mark.long)]
)
def test_every_printed_equation_holds_of_currents_worked_apart(
    tmp_path: Path, first: int, count: int
) -> None:
    held = in_time = with_coils = 0
    for number in range(first, first + count):
        text, _ = odd_file(number)
        status, told = _printed(text, tmp_path)
        if status != 0:
            continue
        network = Network(text, random.Random(number))
        after = 1
        for line in told.splitlines():
            if line.startswith("After"):
                after = int(line.split()[-1]) - 1 if line[-1].isdigit() else 1
                network.names = {}
            if " = " not in line or "dV(" in line:
                continue
            known = any(name in network.names for name in network.ways)
            if not known and not network.solve(after):
                break
            left, right = line.partition("   (")[0].rpartition(": ")[2].split(" = ")
            sides = _worked(left, network.names), _worked(right, network.names)
            size = max(abs(value) for value in [1e-9, *network.names.values()])
            assert abs(sides[0] - sides[1]) < 1e-6 * size, (number, line)
            held += 1
            in_time += network.in_time
            with_coils += "dt" in line
    assert held > 500
    assert in_time > 50
    assert with_coils > 10
