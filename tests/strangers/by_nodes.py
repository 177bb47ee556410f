"""Node potentials: one point is zero, the currents into every other point are written by the potentials."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import lcm

from tests.strangers.circuits import Arm, Net
from tests.strangers.elimination import by_calculator, linear, neat, off, one_unknown, put_down, two_unknowns
from tests.strangers.figures import ends, rounded
from tests.strangers.formulas import Formula, Num, Prod, Quot, Sum, Sym, num, total, worth
from tests.strangers.paper import Law, Paper


def potential_names(paper: Paper, points: tuple[str, ...]) -> dict[str, str]:
    """What the potentials are called in this hand."""
    if len(points) == 1 and paper.hand.names in (1, 3):
        return {points[0]: "V" if paper.hand.names == 1 else "U"}
    head = {0: "V", 1: "V_", 2: "φ_", 3: "U"}[paper.hand.names]
    return {p: f"{head}{p}" for p in points}


def along(arm: Arm, names: Mapping[str, str], sense: int, *, source: int = 1) -> Formula:
    """The current of an arm along `sense`, by the potentials at its ends. `source`: 1 as it is, -1 with
    its battery taken the wrong way round, 0 with it forgotten."""
    start, end = (arm.start, arm.end) if sense > 0 else (arm.end, arm.start)
    terms: list[tuple[int, Formula]] = []
    if start in names:
        terms.append((1, Sym(names[start])))
    if end in names:
        terms.append((-1, Sym(names[end])))
    if arm.emf and source:
        battery = (sense * arm.rise * source, Sym(arm.emf))
        terms = [battery, *terms] if battery[0] > 0 and terms[0][0] < 0 else [*terms, battery]
    if len(terms) == 1:
        sign, alone = terms[0]
        lone = Quot(alone, Sym(arm.resistor))
        return lone if sign > 0 else Sum(((-1, lone),))
    return Quot(Sum(tuple(terms)), Sym(arm.resistor))


def junction(
    paper: Paper, net: Net, point: str, names: Mapping[str, str], truth: Mapping[str, Fraction], lead: str
) -> Law:
    """The junction rule at a point, by the potentials."""
    leaving = paper.chance.random() < 0.4
    here = [a for a in net.arms if point in (a.start, a.end)]

    def sides(
        sign: Arm | None = None, gone: Arm | None = None, turned: Arm | None = None,
        bare: Arm | None = None, other: Arm | None = None,
    ) -> tuple[Formula, Formula]:  # fmt: skip
        groups: dict[int, list[tuple[int, Formula]]] = {1: [], -1: []}
        for arm in here:
            if arm is gone:
                continue
            sense = 1 if arm.start == point else -1
            source = -1 if arm is turned else 0 if arm is bare else 1
            s = -1 if arm is sign else 1
            if other is not None and arm is here[0]:
                swapped = Arm(arm.current, arm.start, arm.end, other.resistor, arm.emf, arm.rise)
                term = along(swapped, names, sense if leaving else 1, source=source)
            else:
                term = along(arm, names, sense if leaving else 1, source=source)
            groups[1 if leaving else -sense].append((s, term))
        left, right = groups[1], groups[-1]
        if not left:
            left, right = right, left
        return total(*left), total(*right) if right else num(0)

    ways: list[tuple[str, Formula, Formula]] = []
    for arm in here:
        ways.append(("junction-sign", *sides(sign=arm)))
        if len(here) > 2:
            ways.append(("branch-missing", *sides(gone=arm)))
        if arm.emf:
            ways.append(("source-sign", *sides(turned=arm)))
            ways.append(("source-missing", *sides(bare=arm)))
    ways.append(("wrong-resistance", *sides(other=here[1])))
    return paper.law(*sides(), list(names.values()), ways, lead, truth)


def in_closed_form(paper: Paper, net: Net, point: str, name: str) -> None:
    """The one potential in letters: the emfs over their resistances, over the sum of the reciprocals."""
    powered = [a for a in net.arms if a.emf]
    gains = [(a.rise * (1 if a.end == point else -1), Quot(Sym(a.emf), Sym(a.resistor))) for a in powered]
    above = total(*sorted(gains, key=lambda t: -t[0]))
    below = Sum(tuple((1, Quot(num(1), Sym(a.resistor))) for a in net.arms))
    paper.formula(name, "V", Quot(above, below))


def one_potential(paper: Paper, law: Law, name: str) -> None:
    """One unknown potential, multiplied out by hand or collected over the reciprocals."""
    parts: list[tuple[int, Fraction, Fraction, Fraction]] = []  # side, 1/R with sign, constant, weight of V
    for side, f in ((1, law.left), (-1, law.right)):
        for sign, term in f.terms if isinstance(f, Sum) else ((1, f),):
            if not isinstance(term, Quot):
                continue
            under = _value(term.under, law)
            c, w = _value(term.over, law, name, 0), _value(term.over, law, name, 1)
            parts.append((side, sign / under, c, w - c))
    scale = Fraction(1)
    for _, k, _, _ in parts:
        r = abs(1 / k)
        scale = Fraction(lcm(scale.numerator * r.denominator, r.numerator * scale.denominator)) / (
            scale.denominator * r.denominator
        )
    if scale <= 400 and paper.hand.eliminate == "subtract":
        _multiplied_out(paper, [(s, k * scale, c, w) for s, k, c, w in parts], scale, name)
    else:
        weight = sum((s * k * w for s, k, _, w in parts), Fraction(0))
        constant = -sum((s * k * c for s, k, c, _ in parts), Fraction(0))
        if weight < 0:
            weight, constant = -weight, -constant
        figures = paper.hand.figures
        if figures and not (ends(weight) and rounded(weight, figures) == weight):
            weight = rounded(weight, figures + 1)
        if figures and not (ends(constant) and rounded(constant, figures) == constant):
            constant = rounded(constant, figures + 1)
        one_unknown(paper, off(paper, weight), off(paper, constant), name, "V")


def _value(f: Formula, law: Law, name: str = "", at: int = 0) -> Fraction:
    return worth(f, {**law.at, name: Fraction(at)})


def _multiplied_out(
    paper: Paper, parts: list[tuple[int, Fraction, Fraction, Fraction]], scale: Fraction, name: str
) -> None:
    """Times the common multiple, brackets undone, collected."""
    first: list[list[tuple[int, Formula]]] = [[], []]
    second: list[list[tuple[int, Formula]]] = [[], []]
    weight = constant = Fraction(0)
    for side, k, c, w in parts:
        if paper.slipped("one-term-unmultiplied"):
            paper.made("one-term-unmultiplied", abs(k) != 1)
            k = Fraction(1 if k > 0 else -1)
        sign = 1 if k > 0 else -1
        bracket = (
            linear([w], [name], c)
            if c <= 0
            else Sum(((1, Num(c)), (1 if w > 0 else -1, linear([abs(w)], [name]))))
        )
        put = first[0 if side > 0 else 1]
        put.append((sign, bracket if abs(k) == 1 else Prod((Num(abs(k)), bracket))))
    start = len(paper.lines)
    paper.talk(f"Times {int(scale) if scale.denominator == 1 else float(scale)}:", 2)
    put_down(paper, _side(first[0]), _side(first[1]))
    for side, k, c, w in _as_written(first, name):
        out = second[0 if side > 0 else 1]
        inner = k * w
        if c != 0 and k < 0 and paper.slipped("minus-bracket"):
            paper.made("minus-bracket", True)
            inner = -inner
        elif c != 0 and abs(k) != 1 and paper.slipped("bracket"):
            paper.made("bracket", True)
            inner = w if k > 0 else -w
        if c != 0:
            out.append((1 if k * c > 0 else -1, Num(abs(k * c))))
        out.append((1 if inner > 0 else -1, linear([abs(inner)], [name])))
        weight += side * inner
        constant -= side * k * c
    assert len(paper.lines) > start
    put_down(paper, _side(second[0]), _side(second[1]))
    if weight < 0:
        weight, constant = -weight, -constant
    one_unknown(paper, off(paper, weight), off(paper, constant), name, "V")


def _side(terms: list[tuple[int, Formula]]) -> Formula:
    return total(*terms) if terms else num(0)


def _as_written(
    sides: list[list[tuple[int, Formula]]], name: str
) -> list[tuple[int, Fraction, Fraction, Fraction]]:
    """The terms k (c + w V) of the two sides, as they stand."""
    found = []
    for side, terms in ((1, sides[0]), (-1, sides[1])):
        for sign, term in terms:
            k, inner = Fraction(sign), term
            if isinstance(term, Prod) and isinstance(term.factors[0], Num):
                k, inner = sign * term.factors[0].value, term.factors[1]
            c = worth(inner, {name: Fraction(0)})
            found.append((side, k, c, worth(inner, {name: Fraction(1)}) - c))
    return found


def by_nodes(paper: Paper, net: Net) -> None:
    """The whole working."""
    *free, ground = net.points
    names = potential_names(paper, tuple(free))
    true_at = net.potentials()
    truth = {names[p]: true_at[p] for p in free}
    called = ", ".join(f"{paper.name(names[p])} at {p}" for p in free)
    if paper.hand.declare:
        paper.say(
            paper.chance.choice(
                [
                    f"Take {ground} as zero; the potentials: {called}.",
                    f"Potential of {ground} is zero. Potentials {called}.",
                    f"Node potentials against {ground}: {called}",
                ]
            )
        )
    paper.dims.update(dict.fromkeys(names.values(), "V"))
    laws = []
    for i, p in enumerate(free):
        lead = f"Junction {p}: " if paper.hand.talk else f"({i + 1}) " if len(free) > 1 else ""
        laws.append(junction(paper, net, p, names, truth, lead))
    if paper.hand.show == "letters":
        in_closed_form(paper, net, free[0], names[free[0]])
    elif len(free) == 1:
        one_potential(paper, laws[0], names[free[0]])
    else:
        rows = [neat(paper, law.row) for law in laws]
        order = [names[p] for p in free]
        for i, (weights, constant) in enumerate(rows):
            put_down(paper, linear(weights, order), Num(constant), f"({i + 1}) " if paper.hand.talk else "")
        (two_unknowns if len(free) == 2 else by_calculator)(paper, rows, order, "V")
    for arm in net.arms:
        ways = [("source-sign", along(arm, names, 1, source=-1))] if arm.emf else []
        paper.formula(
            arm.current, "I", along(arm, names, 1), also=ways,
            alike={arm.resistor: [a.resistor for a in net.arms if a is not arm][:1]}, final=True,
        )  # fmt: skip
