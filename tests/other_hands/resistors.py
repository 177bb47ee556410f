"""Circuits of series and parallel parts with one battery: made one resistance, then unrolled again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from .closing import ending
from .ink import Beside, Num, Prod, Quot, Sum, Sym, Tree, times, total
from .net import EASY, EMFS, INSIDE, LAB, POINTS, Branch, Net, Part, Unfit, solved
from .paper import Paper


@dataclass(frozen=True, slots=True)
class Leaf:
    """One resistor."""

    name: str
    value: Fraction


@dataclass(frozen=True, slots=True)
class Group:
    """Parts in a row (`side` false) or side by side."""

    parts: tuple[Shape, ...]
    side: bool


Shape = Leaf | Group


def ohms(shape: Shape) -> Fraction:
    """What it comes to."""
    if isinstance(shape, Leaf):
        return shape.value
    if shape.side:
        return 1 / sum((1 / ohms(p) for p in shape.parts), Fraction(0))
    return sum((ohms(p) for p in shape.parts), Fraction(0))


def leaves(shape: Shape) -> list[str]:
    """The names of its resistors."""
    return [shape.name] if isinstance(shape, Leaf) else [n for p in shape.parts for n in leaves(p)]


@dataclass(slots=True)
class Nest:
    """A net of one battery with the shape that it sees (its own resistors in `front`)."""

    net: Net
    front: list[str]
    shape: Group
    flows: dict[int, tuple[str, int]]  # id of a shape in a branch of its own -> the current's name and sense


def nest(rng: Random) -> Nest:
    """A random one, of three to seven resistors."""
    milli = rng.random() < 0.3
    made = [Leaf(f"R{k + 1}", value) for k, value in enumerate(rng.sample(LAB if milli else EASY, 7))]
    own = iter(made)

    def row(*parts: Shape) -> Group:
        return Group(parts, False)

    def side(*parts: Shape) -> Group:
        return Group(parts, True)

    front = [next(own) for _ in range(rng.choice((1, 1, 1, 0, 2)))]
    a, b, c, d, *_ = own
    shape = rng.choice((
        side(a, b), side(a, b, c), side(a, row(b, c)), side(a, row(b, side(c, d))),
        side(row(a, b), row(c, d)), side(a, row(side(b, c), d)),
    ))  # fmt: skip
    inside = not milli and rng.random() < 0.3
    if not front and not inside:
        front = [Leaf("R9", Fraction(7))]
    return _laid(rng, front, shape, inside, milli)


def _laid(rng: Random, front: Sequence[Leaf], shape: Group, inside: bool, milli: bool) -> Nest:
    points = list(rng.choice(POINTS))
    a, b, *more = points
    low = "" if rng.random() < 0.6 else "1"
    letter = rng.choice(("E", "E", "U", "V"))
    source = [Part("E", f"{letter}{low}", rng.choice(EMFS))]
    if inside:
        source.append(Part("R", f"r{low or 'i'}", rng.choice(INSIDE), inside=True))
    parts = [*source, *(Part("R", leaf.name, leaf.value) for leaf in front)]
    branches = [Branch("I1", b, a, tuple(parts))]
    flows: dict[int, tuple[str, int]] = {}

    def lay(part: Shape, start: str, end: str) -> None:
        chain = [part] if isinstance(part, Leaf) else list(part.parts)
        if all(isinstance(p, Leaf) for p in chain) and not (isinstance(part, Group) and part.side):
            sense = 1 if rng.random() < 0.8 else -1
            name = f"I{len(branches) + 1}"
            made = tuple(Part("R", p.name, p.value) for p in chain if isinstance(p, Leaf))
            flows[id(part)] = (name, sense)
            branches.append(
                Branch(
                    name, *((start, end) if sense > 0 else (end, start)), made if sense > 0 else made[::-1]
                )
            )
        elif isinstance(part, Group) and part.side:
            for p in part.parts:
                lay(p, start, end)
        elif isinstance(part, Group):
            at = start
            for k, p in enumerate(part.parts):
                to = end if k == len(part.parts) - 1 else more.pop(0)
                lay(p, at, to)
                at = to

    lay(shape, a, b)
    fronts = [p.name for p in parts if p.kind == "R"]
    return Nest(Net(tuple(branches), milli), fronts, shape, flows)


class Collapse:
    """Makes a shape one resistance on a sheet, and goes back outwards. `mark`: marks of a part circuit."""

    def __init__(self, paper: Paper) -> None:
        self.paper, self.names = paper, iter(paper.rng.sample(("Rp", "Rq", "Rs", "Ru", "Rv", "Rw"), 6))
        self.style = paper.rng.choice(("product", "product", "reciprocal", "beside", "powers"))
        self.digits = paper.rng.random() < 0.5
        self.known: dict[int, str] = {}

    def name(self, shape: Shape) -> str:
        """What a shape is called, when it has been made one."""
        return shape.name if isinstance(shape, Leaf) else self.known[id(shape)]

    def one(self, shape: Shape) -> str:
        """Writes what a shape comes to, its parts first; its name."""
        if isinstance(shape, Leaf):
            return shape.name
        parts = [self.one(p) for p in shape.parts]
        inner = leaves(shape)
        name = "R" + "".join(n[1:] for n in inner) if self.digits and len(inner) <= 3 else next(self.names)
        self.known[id(shape)] = name
        self.paper.know(name, ohms(shape), self.paper.ohm)
        self.combine(name, parts, shape.side)
        return name

    def combine(self, name: str, parts: Sequence[str], side: bool) -> None:
        """Writes parts in a row or side by side as one."""
        paper = self.paper
        listed = self._listed(parts)
        if side:
            slip = paper.hand.slips(
                "parallel-added",
                "reciprocal-left",
                "product-over-sum" if len(parts) == 3 else "false-product",
                "subscript",
            )
            before = (
                paper.rng.choice((f"{listed} in parallel: ", f"{listed} side by side: ", "parallel: ", ""))
                if paper.habits.talk
                else ""
            )
            paper.result(name, self._side(parts, slip), paper.ohm, before=before)
        else:
            slip = paper.hand.slips("series-as-parallel", "term-missing")
            before = (
                paper.rng.choice((f"{listed} in series: ", "in series: ", "")) if paper.habits.talk else ""
            )
            symbols = [Sym(p) for p in parts]
            formula = total(*((1, s) for s in symbols))
            if slip == "series-as-parallel":
                formula = self._side(parts, None)
            elif slip == "term-missing":
                formula = total(*((1, s) for s in symbols[:-1]))
            paper.result(name, formula, paper.ohm, before=before)

    def _listed(self, parts: Sequence[str]) -> str:
        pen = self.paper.habits.pen
        d = "$" if pen.kind == "latex" else ""
        names = [f"{d}{pen.name(p)}{d}" for p in parts]
        return ", ".join(names[:-1]) + f" and {names[-1]}"

    def _side(self, parts: Sequence[str], slip: str | None) -> Tree:
        symbols: list[Tree] = [Sym(p) for p in parts]
        one = Num(Fraction(1), "1")
        inverse = total(*((1, Quot(one, s)) for s in symbols))
        if slip == "parallel-added":
            return total(*((1, s) for s in symbols))
        if slip == "reciprocal-left":
            return inverse
        if slip == "product-over-sum":
            return Quot(times(*symbols), total(*((1, s) for s in symbols)))
        if slip == "false-product":
            return Quot(total(*((1, s) for s in symbols)), times(*symbols))
        if slip == "subscript":
            others = [p.name for p in self.paper.net.parts("R") if p.name not in parts]
            if not others:
                raise Unfit("no other")
            symbols[0] = Sym(self.paper.hand.dice.choice(others))
            inverse = total(*((1, Quot(one, s)) for s in symbols))
        if self.style == "beside":
            return Beside(tuple(symbols))
        if len(symbols) == 2 and self.style == "product":
            return Quot(times(*symbols), total(*((1, s) for s in symbols)))
        return Quot(one, inverse)


def series_parallel(paper: Paper, made: Nest) -> None:
    """One resistance, the battery's current, and the way back."""
    collapse, rng, net = Collapse(paper), paper.rng, made.net
    battery = net.parts("E")[0]
    truth = solved(net)
    inner = collapse.one(made.shape)
    whole = rng.choice(("Req", "Rt", "R_tot", "Rges", "R0"))
    paper.know(whole, sum((paper.truth[n] for n in made.front), paper.truth[inner]), paper.ohm)
    insides = [p.name for p in net.parts("R") if p.inside]
    ways = ["term-missing", *(("inside-forgotten",) if insides else ())]
    slip = paper.hand.slips(*ways)
    parts = [*made.front, inner]
    if slip == "inside-forgotten":
        parts = [p for p in parts if p not in insides]
    elif slip == "term-missing":
        parts = parts[:-1] if len(parts) > 1 else parts
    before = (
        rng.choice(("Total: ", "All together: ", "Seen by the battery: ", "")) if paper.habits.talk else ""
    )
    paper.result(whole, total(*((1, Sym(p)) for p in parts)), paper.ohm, before=before)
    name = net.branches[0].name
    paper.know(name, truth.current[name], paper.amp)
    slip = paper.hand.slips("fraction-upside-down")
    ratio: Tree = Quot(Sym(whole), Sym(battery.name)) if slip else Quot(Sym(battery.name), Sym(whole))
    paper.result(name, ratio, paper.amp, last=True)
    _unroll(paper, collapse, made, made.shape, Sym(name), battery.name, truth.current)
    ending(paper)


def _unroll(
    paper: Paper,
    collapse: Collapse,
    made: Nest,
    shape: Group,
    flow: Tree,
    battery: str,
    truth: dict[str, Fraction] | object,
) -> None:
    """The currents of parts side by side from the current that enters them, by the voltage or by shares."""
    currents = solved(made.net).current
    if not shape.side:
        for p in shape.parts:
            if isinstance(p, Group):
                _unroll(paper, collapse, made, p, flow, battery, truth)
        return
    voltage = ""
    if paper.rng.random() < 0.6 or len(shape.parts) > 2:
        voltage = _voltage(paper, collapse, made, shape, flow, battery)
    for k, p in enumerate(shape.parts):
        name, sense = _flow_of(made, p)
        paper.know(name, currents[name], paper.amp)
        own = Sym(collapse.name(p))
        if voltage:
            slip = paper.hand.slips("equal-split")
            formula: Tree = Quot(Sym(voltage), own)
            if slip:
                formula = Quot(flow, Num(Fraction(len(shape.parts)), str(len(shape.parts))))
        else:
            other = Sym(collapse.name(shape.parts[1 - k]))
            slip = paper.hand.slips("divider-inverted", "equal-split", "denominator-term")
            bottom = total((1, own), (1, other)) if paper.rng.random() < 0.5 else total((1, other), (1, own))
            share = Quot(
                own if slip == "divider-inverted" else other, other if slip == "denominator-term" else bottom
            )
            if slip == "denominator-term":
                share = Quot(other, own)
            formula = (
                times(flow, share) if paper.rng.random() < 0.6 else Quot(times(flow, share.top), share.bottom)
            )
            if slip == "equal-split":
                formula = Quot(flow, Num(Fraction(2), "2"))
        paper.result(name, formula if sense > 0 else Sum(((-1, formula),)), paper.amp, last=True)
        if isinstance(p, Group):
            inner: Tree = Sym(name) if sense > 0 else Sum(((-1, Sym(name)),))
            _unroll(paper, collapse, made, p, inner, battery, truth)


def _flow_of(made: Nest, shape: Shape) -> tuple[str, int]:
    """The name of the current that enters a part, and its sense."""
    if id(shape) in made.flows:
        return made.flows[id(shape)]
    if isinstance(shape, Group) and not shape.side:
        for p in shape.parts:
            if id(p) in made.flows:
                return made.flows[id(p)]
    raise Unfit("no current there")


def _voltage(paper: Paper, collapse: Collapse, made: Nest, shape: Group, flow: Tree, battery: str) -> str:
    """The voltage across parts side by side, as the current times what they are together."""
    inner = collapse.name(shape)
    points = {p.name: p for p in made.net.parts("R")}
    del points
    name = f"U{inner[1:]}" if inner[1:] else "Up"
    if name in paper.truth:
        raise Unfit("a name twice")
    from_truth = _worth(flow, paper.truth) * paper.truth[inner]
    paper.know(name, from_truth, "V")
    slip = paper.hand.slips("whole-emf", "subscript-voltage")
    formula: Tree = times(flow, Sym(inner))
    if isinstance(flow, Sum):
        formula = Sum(((-1, Prod((flow.terms[0][1], Sym(inner)))),))
    if slip == "whole-emf":
        formula = Sym(battery)
    elif slip == "subscript-voltage":
        formula = times(
            flow, Sym(paper.hand.dice.choice([n for n in made.front if n != inner] or leaves(shape)))
        )
    paper.result(name, formula, "V")
    return name


def _worth(tree: Tree, truth: dict[str, Fraction]) -> Fraction:
    if isinstance(tree, Sum):
        return sum((s * _worth(t, truth) for s, t in tree.terms), Fraction(0))
    if isinstance(tree, Sym):
        return truth[tree.name]
    raise Unfit("not a current")
