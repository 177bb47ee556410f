"""Branch currents: the junction rule at all points but one, the loop rule round as many loops as needed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction

from tests.strangers.by_parts import paper_name
from tests.strangers.circuits import Net
from tests.strangers.elimination import by_calculator, linear, put_down, two_unknowns
from tests.strangers.figures import Row
from tests.strangers.formulas import Formula, Num, Prod, Sum, Sym, num, times, total
from tests.strangers.paper import Law, Paper

Term = tuple[int, Formula, str]
"""Sign, what, and "source" or "drop"."""


def sides(terms: list[Term], form: str) -> tuple[Formula, Formula]:
    """The terms of a loop set out: all = 0, sources = drops, or drops = sources."""
    if form == "zero":
        ordered = sorted(terms, key=lambda t: (t[2] != "source", -t[0]))
        if ordered[0][0] < 0 and any(t[0] > 0 for t in ordered):
            ordered.sort(key=lambda t: -t[0])
        return total(*((s, f) for s, f, _ in ordered)), num(0)
    sources = [(s, f) for s, f, kind in terms if kind == "source"]
    drops = [(-s, f) for s, f, kind in terms if kind == "drop"]
    left = total(*sorted(sources, key=lambda t: -t[0])) if sources else num(0)
    right = total(*sorted(drops, key=lambda t: -t[0])) if drops else num(0)
    return (left, right) if form == "sources" else (right, left)


def loop_terms(net: Net, loop: tuple[tuple[int, int], ...], named: Mapping[str, Formula]) -> list[Term]:
    """What is met round a loop: emfs as rises, resistances as drops. `named`: how each current is written."""
    terms: list[Term] = []
    for k, sense in loop:
        arm = net.arms[k]
        source: list[Term] = [(sense * arm.rise, Sym(arm.emf), "source")] if arm.emf else []
        drop: Term = (-sense, times(named[arm.current], Sym(arm.resistor)), "drop")
        terms += [*source, drop] if arm.source_first else [drop, *source]
    return terms


def loop_faults(
    terms: list[Term], form: str, others: Mapping[str, Formula], resistors: list[str]
) -> Iterator[tuple[str, Formula, Formula]]:
    """One slip in a loop equation. `others`: for a name of a current, another that may be taken for it."""
    for i, (sign, f, kind) in enumerate(terms):
        before, after = terms[:i], terms[i + 1 :]
        yield f"{kind}-sign", *sides([*before, (-sign, f, kind), *after], form)
        if len(terms) > 2:
            yield f"{kind}-missing", *sides([*before, *after], form)
        if kind == "drop" and isinstance(f, Prod) and len(f.factors) == 2:
            current, resistor = f.factors
            if isinstance(current, Sym) and current.name in others:
                wrong = times(others[current.name], resistor)
                yield "wrong-current", *sides([*before, (sign, wrong, kind), *after], form)
            if isinstance(resistor, Sym):
                other = next(r for r in resistors if r != resistor.name)
                wrong = times(current, Sym(other))
                yield "wrong-resistance", *sides([*before, (sign, wrong, kind), *after], form)


def junction_terms(net: Net, point: str) -> tuple[list[str], list[str]]:
    """Currents into a point and out of it."""
    into = [a.current for a in net.arms if a.end == point]
    return into, [a.current for a in net.arms if a.start == point]


def written_junction(into: list[tuple[int, str]], out: list[tuple[int, str]]) -> tuple[Formula, Formula]:
    """In = out, or the sum of all = 0 where they all run one way."""
    if not into or not out:
        return total(*((s, Sym(n)) for s, n in into or out)), num(0)
    return total(*((s, Sym(n)) for s, n in into)), total(*((s, Sym(n)) for s, n in out))


def junction_law(paper: Paper, net: Net, point: str, truth: Mapping[str, Fraction], lead: str) -> Law:
    """The junction rule at a point."""
    a, b = junction_terms(net, point)
    into, out = [(1, n) for n in a], [(1, n) for n in b]
    ways = []
    for i, (_, n) in enumerate(into):
        flipped = [*into[:i], (-1, n), *into[i + 1 :]]
        ways.append(("junction-sign", *written_junction(flipped, out)))
        if len(into) > 1:
            ways.append(("branch-missing", *written_junction([*into[:i], *into[i + 1 :]], out)))
    for i, (_, n) in enumerate(out):
        flipped = [*out[:i], (-1, n), *out[i + 1 :]]
        ways.append(("junction-sign", *written_junction(into, flipped)))
        if len(out) > 1:
            ways.append(("branch-missing", *written_junction(into, [*out[:i], *out[i + 1 :]])))
    return paper.law(*written_junction(into, out), list(truth), ways, lead, truth, symbols=True)


def renamed(net: Net, ways: list[int], head: str) -> Net:
    """The circuit with the writer's own names and arrows; `ways`: 1, or -1 for an arrow turned round."""
    arms = []
    for i, (a, way) in enumerate(zip(net.arms, ways, strict=True), 1):
        turned = a if way > 0 else replace(a, start=a.end, end=a.start, rise=-a.rise)
        arms.append(replace(turned, current=f"{head}{i}"))
    loops = tuple(tuple((k, s * ways[k]) for k, s in loop) for loop in net.loops)
    return replace(net, arms=tuple(arms), loops=loops)


def by_branches(paper: Paper, net: Net) -> None:
    """The whole working, in the problem's arrows or in the writer's own."""
    own, ways = net, [1] * len(net.arms)
    if paper.hand.declare and paper.hand.notation != "tex" and paper.chance.random() < 0.3:
        ways = [paper.chance.choice([1, -1]) for _ in net.arms]
        own = renamed(net, ways, "x")
        for arm in own.arms:
            paper.say(f"{arm.current}: {arm.start} -> {arm.end} through {arm.resistor}")
    truth = own.currents()
    unknowns = [a.current for a in own.arms]
    paper.dims.update(dict.fromkeys(unknowns, "I"))
    laws = []
    for p in own.points[:-1]:
        lead = f"Junction {p}: " if paper.hand.talk else ""
        laws.append(junction_law(paper, own, p, truth, lead))
    form = paper.chance.choice(["zero", "zero", "sources", "drops"])
    named = {n: Sym(n) for n in unknowns}
    after = {n: Sym(unknowns[(i + 1) % len(unknowns)]) for i, n in enumerate(unknowns)}
    for number, loop in enumerate(own.loops, 1):
        met = ", ".join(paper_name(paper, own.arms[k].resistor) for k, _ in loop)
        lead = (
            f"Loop {number} ({met}): "
            if paper.hand.talk > 1
            else f"Loop {number}: "
            if paper.hand.talk
            else ""
        )
        terms = loop_terms(own, loop, named)
        faulty = loop_faults(terms, form, after, [a.resistor for a in own.arms])
        laws.append(paper.law(*sides(terms, form), unknowns, faulty, lead, truth))
    rows = [law.row for law in laws]
    if len(unknowns) == 3:
        _three(paper, laws[0], rows, unknowns)
    else:
        by_calculator(paper, rows, unknowns, "I")
    if own is not net:
        for arm, mine, way in zip(net.arms, own.arms, ways, strict=True):
            f: Formula = Sym(mine.current) if way > 0 else Sum(((-1, Sym(mine.current)),))
            paper.formula(arm.current, "I", f, final=True)


def _three(paper: Paper, junction: Law, rows: list[Row], unknowns: list[str]) -> None:
    """Three currents: the junction rule puts the third in terms of two others, two equations are left."""
    first, second, third = unknowns
    weights, _ = rows[0]
    if weights[2] == 0:
        by_calculator(paper, rows, unknowns, "I")
        return
    shares = [-w / weights[2] for w in weights[:2]]
    third_is = linear(shares, [first, second])
    left = []
    for number, (w, c) in enumerate(rows[1:], 1):
        pair = [w[0] + w[2] * shares[0], w[1] + w[2] * shares[1]]
        lead = f"({number}) " if paper.hand.labels else ""
        put_down(paper, linear(pair, [first, second]), Num(c), lead)
        left.append((pair, c))
    two_unknowns(paper, left, [first, second], "I")
    paper.formula(third, "I", third_is, final=True, general=paper.hand.show != "symbols")
