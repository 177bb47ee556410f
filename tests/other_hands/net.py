"""Circuits drawn at random, solved with fractions, and written as problem files.

Everything here is in volts, with amperes and ohms or (a `milli` net) milliamperes and kilohms.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random


class Unfit(Exception):
    """This draw does not make a fair working: another one is drawn."""


@dataclass(frozen=True, slots=True)
class Part:
    """What stands in a branch: `kind` R, E or J; `sign` +1 where the arrow meets - first (or runs with J).
    `inside`: this resistance is written as the internal one of the battery before it."""

    kind: str
    name: str
    value: Fraction
    sign: int = 1
    inside: bool = False


@dataclass(frozen=True, slots=True)
class Branch:
    """A chain of parts along the arrow of one current."""

    name: str
    start: str
    end: str
    parts: tuple[Part, ...]

    @property
    def ohms(self) -> Fraction:
        return sum((p.value for p in self.parts if p.kind == "R"), Fraction(0))

    @property
    def rise(self) -> Fraction:
        return sum((p.sign * p.value for p in self.parts if p.kind == "E"), Fraction(0))

    @property
    def fixed(self) -> Part | None:
        return next((p for p in self.parts if p.kind == "J"), None)

    def of(self, kind: str) -> list[Part]:
        return [p for p in self.parts if p.kind == kind]


@dataclass(frozen=True, slots=True)
class Net:
    """A circuit: its branches, the names of what is asked, and whether it counts in mA and kilohms."""

    branches: tuple[Branch, ...]
    milli: bool = False

    @property
    def points(self) -> list[str]:
        return list(dict.fromkeys(p for b in self.branches for p in (b.start, b.end)))

    def branch(self, name: str) -> Branch:
        return next(b for b in self.branches if b.name == name)

    def at_rest(self, keep: str) -> Net:
        """All sources but one set to zero: an emf a wire, a current source a gap."""
        made = []
        for b in self.branches:
            parts = tuple(
                p if p.kind == "R" or p.name == keep else replace(p, value=Fraction(0)) for p in b.parts
            )
            made.append(replace(b, parts=parts))
        return replace(self, branches=tuple(made))

    def without(self, name: str) -> Net:
        """The branch of this name taken out."""
        return replace(self, branches=tuple(b for b in self.branches if b.name != name))

    def parts(self, kind: str) -> list[Part]:
        return [p for b in self.branches for p in b.parts if p.kind == kind]


def straight(rows: Sequence[Sequence[Fraction]]) -> list[Fraction]:
    """The solution of a square system, each row its coefficients and its constant; raises `Unfit`."""
    work = [list(row) for row in rows]
    size = len(work)
    for at in range(size):
        pivot = next((k for k in range(at, size) if work[k][at]), None)
        if pivot is None:
            raise Unfit("singular")
        work[at], work[pivot] = work[pivot], work[at]
        head = work[at][at]
        work[at] = [x / head for x in work[at]]
        for k in range(size):
            if k != at and work[k][at]:
                factor = work[k][at]
                work[k] = [x - factor * y for x, y in zip(work[k], work[at], strict=True)]
    return [row[-1] for row in work]


@dataclass(frozen=True, slots=True)
class Solved:
    """Every branch current and every potential, the last point at zero."""

    current: Mapping[str, Fraction]
    potential: Mapping[str, Fraction]


def solved(net: Net) -> Solved:
    """Currents and potentials of a net whose branches all have a resistance or a current source."""
    points, names = net.points, [b.name for b in net.branches]
    free = points[:-1]
    size = len(free) + len(names)
    rows = []
    for point in free:
        row = [Fraction(0)] * (size + 1)
        for k, b in enumerate(net.branches):
            row[len(free) + k] += (b.end == point) - (b.start == point)
        rows.append(row)
    for k, b in enumerate(net.branches):
        row = [Fraction(0)] * (size + 1)
        row[len(free) + k] = Fraction(1)
        if b.fixed is not None:
            row[-1] = b.fixed.sign * b.fixed.value
        else:
            row[len(free) + k] = b.ohms
            for point, sign in ((b.start, -1), (b.end, 1)):
                if point in free:
                    row[free.index(point)] += sign
            row[-1] = b.rise
        rows.append(row)
    found = straight(rows)
    potential = dict(zip(free, found[: len(free)], strict=True)) | {points[-1]: Fraction(0)}
    return Solved(dict(zip(names, found[len(free) :], strict=True)), potential)


# -- drawing one -----------------------------------------------------------------------------------

POINTS = (
    ("a", "b", "c", "d"), ("A", "B", "C", "D"), ("K", "L", "M", "N"), ("p", "q", "r", "s"),
    ("top", "base", "mid", "side"), ("X", "Y", "Z", "W"), ("x", "y", "z", "w"), ("g", "h", "k", "m"),
)  # fmt: skip
SHAPES = {
    "side by side": ((0, 1), (0, 1), (1, 0)),
    "four side by side": ((0, 1), (0, 1), (0, 1), (1, 0)),
    "ladder": ((1, 0), (0, 1), (0, 2), (2, 1), (2, 1)),
    "bridge": ((1, 0), (0, 2), (0, 3), (2, 3), (2, 1), (3, 1)),
    "doubled triangle": ((1, 0), (1, 0), (0, 2), (0, 2), (2, 1), (2, 1)),
    "long ladder": ((1, 0), (0, 1), (0, 2), (2, 1), (2, 3), (3, 1), (3, 1)),
    "fan": ((1, 0), (0, 2), (2, 1), (0, 2), (2, 1)),
}
EASY = [Fraction(n) for n in (2, 3, 4, 5, 6, 8, 9, 10, 12, 15, 18, 20, 24, 25, 30)]
LAB = [Fraction(t) / 10 for t in (15, 22, 27, 33, 39, 47, 56, 68, 82, 100, 120, 150, 180, 220, 330, 470)]
EMFS = [Fraction(n) / 2 for n in (3, 9, 10, 12, 15, 16, 18, 20, 24, 25, 27, 30, 32, 36, 40, 45, 48)]
INSIDE = [Fraction(t) / 10 for t in (2, 3, 4, 5, 6, 8, 12, 15)]


@dataclass(frozen=True, slots=True)
class Wish:
    """What a method needs: which shapes, how many sources, whether a current source may be among them."""

    shapes: tuple[str, ...]
    sources: tuple[int, ...] = (1, 2, 2, 3)
    fixed: bool = True
    inside: bool = True


def drawn(rng: Random, wish: Wish) -> Net:
    """A random net in which no current is zero and no two are alike; raises `Unfit` after many draws."""
    for _ in range(200):
        net = _draw(rng, wish)
        try:
            sizes = [abs(i) for i in solved(net).current.values()]
        except Unfit:
            continue
        if min(sizes) > max(sizes) / 60 and len(set(sizes)) == len(sizes):
            return net
    raise Unfit("no net")


def _draw(rng: Random, wish: Wish) -> Net:
    shape = SHAPES[rng.choice(wish.shapes)]
    points = rng.choice(POINTS)
    pool = rng.choice((EASY, EASY, LAB))
    milli = pool is LAB and rng.random() < 0.8
    values = rng.sample(pool, len(shape) + 2)
    count = min(rng.choice(wish.sources), len(shape))
    sourced = [0, *rng.sample(range(1, len(shape)), count - 1)]
    fixed = rng.choice(sourced[1:]) if wish.fixed and count > 1 and rng.random() < 0.25 else None
    emfs = rng.sample(EMFS, count)
    letter = rng.choice(("E", "E", "E", "U", "V"))
    names = _current_names(rng, len(shape))
    ohms = _resistor_names(rng, len(shape), last=len(shape) - 1)
    branches, extra = [], rng.randrange(len(shape)) if rng.random() < 0.25 else None
    for k, (start, end) in enumerate(shape):
        parts: list[Part] = []
        sign = 1 if k == 0 or rng.random() < 0.6 else -1
        resistor = Part("R", ohms[k], values[k])
        if k == fixed:
            parts = [Part("J", "J1" if rng.random() < 0.6 else "Jq", _flow(rng, milli), sign)]
        elif k in sourced:
            at = sourced.index(k)
            label = f"{letter}{at + 1}" if count > 1 or rng.random() < 0.4 else letter
            battery = Part("E", label, emfs[at], sign)
            if wish.inside and not milli and rng.random() < 0.25:
                low = label[1:] or "i"
                parts = [battery, Part("R", f"r{low}", rng.choice(INSIDE), inside=True), resistor]
            else:
                parts = rng.choice(([battery, resistor], [resistor, battery]))
        else:
            parts = [resistor]
        if k == extra and k != fixed:
            parts = [*parts, Part("R", ohms[-1], values[-1])]
        if rng.random() < 0.3:
            turned = [replace(p, sign=-p.sign) for p in parts]
            start, end = end, start
            parts = turned if any(p.inside for p in parts) else turned[::-1]
        branches.append(Branch(names[k], points[start], points[end], tuple(parts)))
    return Net(tuple(branches), milli)


def _flow(rng: Random, milli: bool) -> Fraction:
    return Fraction(rng.choice((2, 3, 5, 8, 10, 15) if milli else (1, 2, 3, 4))) / (1 if milli else 2)


def _current_names(rng: Random, count: int) -> list[str]:
    way = rng.randrange(4)
    if way == 0:
        return [f"i{k + 1}" for k in range(count)]
    if way == 1:
        return [f"i_{c}" for c in "abcdfgh"[:count]]
    return [f"I{k + 1}" for k in range(count)]


def _resistor_names(rng: Random, count: int, last: int) -> list[str]:
    names = [f"R{k + 1}" for k in range(count + 1)]
    if rng.random() < 0.3:
        names[last] = rng.choice(("RL", "Rx", "Rm"))
    elif rng.random() < 0.15:
        names = [f"R{c}" for c in "ABCDFGHK"[: count + 1]]
    return names


# -- the problem file ------------------------------------------------------------------------------


def problem_file(net: Net, asked: Sequence[str] = ()) -> str:
    """The net in the form in which a problem is handed in."""
    lines = [
        'title = "Drawn at random"',
        f"find = {_list(asked or [b.name for b in net.branches if b.fixed is None])}",
        "",
        "[branches]",
    ]
    for b in net.branches:
        lines.append(f'"{b.name}" = "{b.start}, {", ".join(_met(b))}, {b.end}"')
    tables = [line for b in net.branches for line in _tables(b)]
    if tables:
        lines += ["", "[elements]", *tables]
    lines += ["", "[numbers]"]
    units = {"E": "V", "R": "kohm" if net.milli else "ohm", "J": "mA" if net.milli else "A"}
    for kind in "ERJ":
        lines += [f'{p.name} = "{in_full(p.value)} {units[kind]}"' for p in net.parts(kind)]
    return "\n".join(lines) + "\n"


def _list(names: Sequence[str]) -> str:
    return "[" + ", ".join(f'"{name}"' for name in names) + "]"


def _met(branch: Branch) -> list[str]:
    return [
        p.name if p.kind == "R" else f"{'+' if p.sign > 0 else '-'}{p.name}"
        for p in branch.parts
        if not p.inside
    ]


def _tables(branch: Branch) -> list[str]:
    made = []
    inside = next((p.name for p in branch.parts if p.inside), None)
    for p in branch.parts:
        if p.kind == "E" and (inside or p.name[0] not in "EV"):
            within = f', internal = "{inside}"' if inside else ""
            made.append(f'{p.name} = {{ kind = "battery", value = "{p.name}"{within} }}')
    return made


def in_full(value: Fraction) -> str:
    """A value that ends within four decimals, as a decimal."""
    return f"{float(value):.4f}".rstrip("0").rstrip(".")
