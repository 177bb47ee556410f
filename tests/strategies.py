"""Random circuits for Hypothesis: connected, with positive resistances, and always with one answer.

What makes them well-posed is built in, so that no drawn circuit is thrown away: branches without
resistance never close a loop among themselves, and branches that fix their own current never hold
the circuit together.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from hypothesis import strategies as st

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.expressions.nodes import Expr, Number, Parallel, Symbol, add, times

SIGNS = st.sampled_from([1, -1])
POSITIVE = st.fractions(Fraction(1, 9), 9, max_denominator=9)
RESISTIVE = ("resistor", "resistor", "resistor", "battery and resistor", "real battery", "two resistors")
PLAIN = ("ideal battery", "wire", "ammeter", "coil")
FIXING = ("current source", "current source and resistor", "open switch", "voltmeter", "capacitor")


@dataclass
class _Bench:
    """Elements and branches laid so far, and which points are joined without resistance."""

    elements: dict[str, Element] = field(default_factory=dict)
    branches: list[Branch] = field(default_factory=list)
    joined: dict[str, str] = field(default_factory=dict)

    def joins_anew(self, start: str, end: str) -> bool:
        """Whether a wire from start to end would close no loop of wires; if not, it is laid."""
        one, other = self.joined.get(start, start), self.joined.get(end, end)
        if one == other:
            return False
        group = {p for p, g in self.joined.items() if g == other} | {other}
        self.joined.update(dict.fromkeys([*group, one], one))
        return True


def resistances(n: int, *, shared: bool) -> st.SearchStrategy[Expr]:
    """The resistance of the n-th branch: mostly its own symbol; with `shared` also others' and multiples."""
    own = Symbol(f"R{n}")
    if not shared:
        return st.just(own)
    common = Symbol("R")
    doubled = times(Number(Fraction(2)), common)
    return st.sampled_from([own, own, own, common, doubled, add(own, common), Parallel((own, common))])


def _emfs(n: int, *, shared: bool) -> st.SearchStrategy[Expr]:
    own = Symbol(f"E{n}")
    return st.sampled_from([own, own, Symbol("E")]) if shared else st.just(own)


@st.composite
def _laid(
    draw: st.DrawFn, bench: _Bench, kinds: tuple[str, ...], start: str, end: str, shared: bool
) -> Branch:
    """One branch of a drawn kind; its elements go on the bench."""
    n = len(bench.branches) + 1
    kind = draw(st.sampled_from(kinds))
    if kind in PLAIN and not bench.joins_anew(start, end):
        kind = "resistor"
    made: list[tuple[Element, int]] = []
    if kind in ("ideal battery", "battery and resistor"):
        made.append((battery(f"E{n}", draw(_emfs(n, shared=shared))), draw(SIGNS)))
    if kind == "real battery":
        made.append((battery(f"E{n}", draw(_emfs(n, shared=shared)), Symbol(f"r{n}")), draw(SIGNS)))
    if kind.startswith("current source"):
        made.append((Element(f"J{n}", Kind.CURRENT_SOURCE, Symbol(f"J{n}")), draw(SIGNS)))
    if kind == "open switch":
        made.append((Element(f"S{n}", Kind.SWITCH, closed=False), 0))
    if kind in ("capacitor", "coil"):
        letter = "C" if kind == "capacitor" else "L"
        made.append((Element(f"{letter}{n}", Kind(kind), Symbol(f"{letter}{n}")), 0))
    if kind in ("voltmeter", "ammeter"):
        made.append((Element(f"M{n}", Kind(kind)), 0))
    if kind.endswith("resistor") or kind == "two resistors":
        made.append((resistor(f"R{n}", draw(resistances(n, shared=shared))), 0))
    if kind == "two resistors":
        made.append((resistor(f"Q{n}", Symbol(f"Q{n}")), 0))
    along: list[Pass | str] = [Pass(element.name, sign) for element, sign in draw(st.permutations(made))]
    if len(along) > 1 and draw(st.booleans()):
        along.insert(1, f"on{n}")
    bench.elements.update({element.name: element for element, _ in made})
    return Branch(f"I{n}", start, end, tuple(along))


@st.composite
def circuits(
    draw: st.DrawFn,
    *,
    plain: bool = False,
    shared: bool = True,
    wired: bool = True,
    points: int = 4,
    loops: int = 3,
) -> Circuit:
    """A connected circuit with one answer, of two up to `points` points and one up to `loops` loops.

    `plain`: resistors and batteries only, no current sources and no gaps. `shared`: symbols may
    stand in several values. `wired`: branches without resistance may occur.
    """
    names = [f"p{i}" for i in range(draw(st.integers(2, points)))]
    tree = [(names[draw(st.integers(0, i - 1))], names[i]) for i in range(1, len(names))]
    ends = st.tuples(st.sampled_from(names), st.sampled_from(names))
    others = draw(st.lists(ends, min_size=1, max_size=loops))
    kinds = RESISTIVE + (PLAIN if wired else ())
    bench = _Bench()
    for start, end in tree:
        bench.branches.append(draw(_laid(bench, kinds, start, end, shared)))
    for start, end in others:
        allowed = kinds + (() if plain or start == end else FIXING)
        bench.branches.append(draw(_laid(bench, allowed, start, end, shared)))
    order = draw(st.permutations(bench.branches))
    return Circuit(tuple(order), bench.elements)


@st.composite
def amounts(draw: st.DrawFn, circuit: Circuit) -> dict[str, Fraction]:
    """A positive number for every symbol of a circuit."""
    return {symbol: draw(POSITIVE) for symbol in circuit.symbols}
