"""Circuits between two junctions: each source alone, and the source that all the rest is equal to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from random import Random

from .closing import ending
from .ink import Beside, Num, Prod, Quot, Sum, Sym, Tree, times, total
from .net import EASY, EMFS, POINTS, Branch, Net, Part, Unfit, solved
from .paper import Paper

ONE = Num(Fraction(1), "1")


def _row(names: Sequence[str]) -> Tree:
    return total(*((1, Sym(n)) for n in names))


def _ohms(b: Branch) -> list[str]:
    return [p.name for p in b.of("R")]


# -- each source alone -----------------------------------------------------------------------------


def superposition(paper: Paper) -> None:
    """Each source alone, then the sums."""
    net, rng = paper.net, paper.rng
    sources = [(b, p) for b in net.branches for p in b.parts if p.kind in "EJ"]
    if len(sources) < 2 or len(sources) > 3:
        raise Unfit("not two or three sources")
    digits = all(b.name[-1].isdigit() and "_" not in b.name for b in net.branches)
    marks = rng.choice((("'", "''", "'''"), ("a", "b", "c"))) if digits else ("'", "''", "'''")
    parts: dict[str, list[str]] = {b.name: [] for b in net.branches if b.fixed is None}
    for k, (branch, source) in enumerate(sources):
        others = [p.name for _, p in sources if p is not source]
        _heading(paper, source, [p for _, p in sources if p is not source])
        alone = solved(net.at_rest(source.name)).current
        for name in parts:
            parts[name].append(name + marks[k])
            paper.know(name + marks[k], alone[name], paper.amp)
        _alone(paper, branch, source, others, marks[k], k)
    if paper.habits.talk:
        paper.say(rng.choice(("Together:", "Added:", "Superposition:", "Sum of the parts:")))
    whole = solved(net).current
    for name, summed in parts.items():
        paper.know(name, whole[name], paper.amp)
        slip = paper.hand.slips("part-sign", "part-missing")
        terms: list[tuple[int, Tree]] = [(1, Sym(s)) for s in summed]
        if slip == "part-sign":
            terms[-1] = (-1, terms[-1][1])
        elif slip == "part-missing":
            del terms[paper.hand.dice.randrange(len(terms))]
        paper.result(name, total(*terms), paper.amp, last=True)
    ending(paper)


def _heading(paper: Paper, source: Part, others: Sequence[Part]) -> None:
    pen, rng = paper.habits.pen, paper.rng
    d = "$" if pen.kind == "latex" else ""
    own = f"{d}{pen.name(source.name)}{d}"
    emfs = [f"{d}{pen.name(p.name)}{d}" for p in others if p.kind == "E"]
    ways = [f"{own} alone:", f"Only {own}:", f"{own} acting alone:"]
    if len(emfs) == len(others):
        ways += [
            f"{own} alone ({' and '.join(emfs)} replaced by a wire):",
            f"With {' and '.join(emfs)} shorted:",
        ]
    paper.say(rng.choice(ways))


def _alone(paper: Paper, branch: Branch, source: Part, others: Sequence[str], mark: str, turn: int) -> None:
    """The part circuit of one source: what is side by side made one, the source's current, the shares."""
    net, hand = paper.net, paper.hand
    rest = [b for b in net.branches if b is not branch and b.fixed is None]
    kept = list(rest)
    ways = ["parallel-added"]
    opened = [b for b in rest if b.of("E")]
    if opened and len(rest) > 1:
        ways.append("superposed-open")
    slip = hand.slips(*ways)
    if slip == "superposed-open":
        gone = hand.dice.choice(opened)
        kept = [b for b in rest if b is not gone]
    number = f"{turn + 1}"
    side = f"Rp{number}"
    if source.kind == "J":
        kept_all = kept
        paper.know(side, _beside([b.ohms for b in rest]), paper.ohm)
        if len(rest) < 2:
            raise Unfit("one way only")
        paper.result(side, _combined(paper, kept_all, slip), paper.ohm)
        flow_name, flow_sense = source.name, 1
    else:
        flow_name = branch.name + mark
        inner = _beside([b.ohms for b in rest])
        if len(kept) == 1:
            whole: Tree = total(*((1, Sym(n)) for n in [*_ohms(branch), *_ohms(kept[0])]))
        elif paper.rng.random() < 0.5:
            paper.know(side, inner, paper.ohm)
            paper.result(side, _combined(paper, kept, slip), paper.ohm)
            whole = total(*((1, Sym(n)) for n in [*_ohms(branch), side]))
        else:
            whole = total(*((1, Sym(n)) for n in _ohms(branch)), (1, _combined(paper, kept, slip)))
        paper.know(f"Rt{number}", branch.ohms + inner, paper.ohm)
        paper.result(f"Rt{number}", whole, paper.ohm)
        slip = hand.slips("source-left-on", "source-sign")
        top: Tree = Sym(source.name)
        if slip == "source-left-on":
            emfs = [n for n in others if any(p.name == n for p in net.parts("E"))]
            if not emfs:
                raise Unfit("no other emf")
            top = total((1, top), (hand.dice.choice((1, -1)), Sym(emfs[0])))
        sign = source.sign * (-1 if slip == "source-sign" else 1)
        formula: Tree = Quot(top, Sym(f"Rt{number}"))
        paper.result(flow_name, formula if sign > 0 else Sum(((-1, formula),)), paper.amp)
        flow_sense = 1
    _shares(paper, branch, source, rest, kept, mark, side, flow_name, flow_sense)


def _shares(
    paper: Paper,
    branch: Branch,
    source: Part,
    rest: Sequence[Branch],
    kept: Sequence[Branch],
    mark: str,
    side: str,
    flow: str,
    sense: int,
) -> None:
    """The currents of the other branches from that of the source."""
    hand = paper.hand
    towards = branch.end if source.kind == "E" or source.sign > 0 else branch.start
    for b in rest:
        way = (1 if b.start == towards else -1) * sense
        if b not in kept:
            paper.result(b.name + mark, Num(Fraction(0), "0"), paper.amp)
            continue
        if len(kept) == 1:
            formula: Tree = Sym(flow)
        elif len(kept) == 2:
            other = next(c for c in kept if c is not b)
            slip = hand.slips("divider-inverted", "equal-split", "share-sign")
            top = _row(_ohms(b if slip == "divider-inverted" else other))
            bottom = total(*((1, Sym(n)) for n in [*_ohms(kept[0]), *_ohms(kept[1])]))
            formula = times(Sym(flow), Quot(top, bottom))
            if slip == "equal-split":
                formula = Quot(Sym(flow), Num(Fraction(2), "2"))
            if slip == "share-sign":
                way = -way
        else:
            slip = hand.slips("equal-split", "share-sign")
            formula = Quot(
                times(
                    Sym(flow),
                    Sym(side) if side in paper.numbers else Beside(tuple(_row(_ohms(c)) for c in kept)),
                ),
                _row(_ohms(b)),
            )
            if slip == "equal-split":
                formula = Quot(Sym(flow), Num(Fraction(len(kept)), str(len(kept))))
            if slip == "share-sign":
                way = -way
        paper.result(b.name + mark, formula if way > 0 else Sum(((-1, formula),)), paper.amp)


def _beside(values: Sequence[Fraction]) -> Fraction:
    return 1 / sum((1 / v for v in values), Fraction(0))


def _combined(paper: Paper, branches: Sequence[Branch], slip: str | None) -> Tree:
    """Branches side by side as one resistance."""
    rows = [_row(_ohms(b)) for b in branches]
    if slip == "parallel-added":
        return total(*((1, Sym(n)) for b in branches for n in _ohms(b)))
    if len(rows) == 1:
        return rows[0]
    if len(rows) == 2 and paper.rng.random() < 0.6:
        return Quot(times(*rows), total(*((1, Sym(n)) for b in branches for n in _ohms(b))))
    if paper.rng.random() < 0.4:
        return Beside(tuple(rows))
    return Quot(ONE, total(*((1, Quot(ONE, r)) for r in rows)))


# -- the source that the rest is equal to ----------------------------------------------------------


def bridge(rng: Random) -> Net:
    """An unbalanced bridge on an ideal battery, its load between the two taps."""
    for _ in range(50):
        a, b, c, d = rng.choice(POINTS)
        r = rng.sample(EASY, 5)
        if r[0] * r[3] == r[1] * r[2]:
            continue
        arms = [("R1", a, c), ("R2", c, b), ("R3", a, d), ("R4", d, b)]
        branches = [Branch(f"I{k + 1}", s, e, (Part("R", n, r[k]),)) for k, (n, s, e) in enumerate(arms)]
        load = rng.choice(("R5", "Rm", "Rx"))
        branches.append(Branch("I5" if load == "R5" else f"I{load[1:]}", c, d, (Part("R", load, r[4]),)))
        branches.append(
            Branch(
                "I6" if rng.random() < 0.5 else "It",
                b,
                a,
                (Part("E", rng.choice(("E", "U", "E1")), rng.choice(EMFS)),),
            )
        )
        return Net(tuple(branches))
    raise Unfit("balanced")


def equivalent_source(paper: Paper, load: Branch) -> None:
    """The open voltage, the resistance seen, and the current of the load."""
    pen, rng = paper.habits.pen, paper.rng
    d = "$" if pen.kind == "latex" else ""
    own = f"{d}{pen.name(load.parts[0].name)}{d}"
    paper.say(
        rng.choice(
            (f"Take {own} out.", f"{own} removed:", f"Without {own}:", f"Equivalent source as seen by {own}:")
        )
    )
    low = rng.choice(("0", "th", "q"))
    names = (f"U_{low}" if low == "th" else f"U{low}", rng.choice(("Ri", "Rth", "R0")), "Ik")
    if len(load.of("R")) != 1 or load.of("E") or load.fixed:
        raise Unfit("no load")
    without = solved(paper.net.without(load.name)).potential
    paper.know(names[0], without[load.start] - without[load.end], "V")
    paper.know(load.name, solved(paper.net).current[load.name], paper.amp)
    if len(paper.net.points) == 4:
        _taps(paper, load, names)
    else:
        _sides(paper, load, names)


def _final(paper: Paper, load: Branch, names: tuple[str, str, str]) -> None:
    slip = paper.hand.slips("load-left-out", "added-for-subtracted")
    rl = Sym(load.parts[0].name)
    bottom: Tree = total((1, Sym(names[1])), (1, rl))
    if slip == "load-left-out":
        bottom = Sym(names[1])
    elif slip == "added-for-subtracted":
        bottom = total((1, rl), (-1, Sym(names[1])))
    before = paper.rng.choice(("Load back in: ", "With the load: ", "")) if paper.habits.talk else ""
    paper.result(load.name, Quot(Sym(names[0]), bottom), paper.amp, last=True, before=before)


def _taps(paper: Paper, load: Branch, names: tuple[str, str, str]) -> None:
    """A bridge: two dividers and their difference."""
    net, hand, rng = paper.net, paper.hand, paper.rng
    e = Sym(net.parts("E")[0].name)
    r = [Sym(b.parts[0].name) for b in net.branches[:4]]
    truth = solved(net.without(load.name)).potential
    low = net.branches[1].end
    taps = []
    for k, point in ((0, load.start), (2, load.end)):
        name = f"U_{point}" if len(point) > 1 else f"U{point}"
        if name in paper.truth:
            raise Unfit("a name twice")
        paper.know(name, truth[point] - truth[low], "V")
        slip = hand.slips("divider-inverted", "denominator-term")
        share = Quot(
            r[k] if slip == "divider-inverted" else r[k + 1],
            r[k] if slip == "denominator-term" else total((1, r[k]), (1, r[k + 1])),
        )
        formula: Tree = times(e, share) if rng.random() < 0.5 else Quot(times(e, share.top), share.bottom)
        before = (
            rng.choice((f"Potential of {point}: ", f"Divider at {point}: ", "")) if paper.habits.talk else ""
        )
        paper.result(name, formula, "V", before=before)
        taps.append(Sym(name))
    slip = hand.slips("voltage-order", "added-for-subtracted")
    difference = {None: ((1, taps[0]), (-1, taps[1])), "voltage-order": ((1, taps[1]), (-1, taps[0]))}.get(
        slip, ((1, taps[0]), (1, taps[1]))
    )
    paper.result(names[0], total(*difference), "V")
    values = [b.parts[0].value for b in net.branches[:4]]
    paper.know(names[1], _beside(values[:2]) + _beside(values[2:]), paper.ohm)
    slip = hand.slips("parallel-added", "battery-left-in", "part-missing")
    pairs = [
        Quot(Prod((r[0], r[1])), total((1, r[0]), (1, r[1]))),
        Quot(Prod((r[2], r[3])), total((1, r[2]), (1, r[3]))),
    ]
    formula = total((1, pairs[0]), (1, pairs[1]))
    if slip == "parallel-added":
        formula = total((1, total((1, r[0]), (1, r[1]))), (1, pairs[1]))
    elif slip == "battery-left-in":
        one, two = total((1, r[0]), (1, r[2])), total((1, r[1]), (1, r[3]))
        formula = Quot(Prod((one, two)), total(*((1, x) for x in r)))
    elif slip == "part-missing":
        formula = pairs[0]
    before = (
        rng.choice(("Battery replaced by a wire: ", "Seen from the taps: ", "")) if paper.habits.talk else ""
    )
    paper.result(names[1], formula, paper.ohm, before=before)
    _final(paper, load, names)
    ending(paper)


def _sides(paper: Paper, load: Branch, names: tuple[str, str, str]) -> None:
    """Branches side by side: by the current of the loop left, by a mean, or by the short-circuit current."""
    net, hand, rng = paper.net, paper.hand, paper.rng
    rest = [b for b in net.branches if b is not load]
    ohmic = [b for b in rest if b.fixed is None]
    if not any(b.of("E") for b in ohmic):
        raise Unfit("no emf")
    truth = solved(net.without(load.name))

    def push(b: Branch, slip: bool = False) -> list[tuple[int, Tree]]:
        way = (1 if b.end == load.start else -1) * (-1 if slip else 1)
        return [(way * p.sign, Sym(p.name)) for p in b.of("E")]

    fixed: list[tuple[int, Tree]] = [
        ((1 if b.end == load.start else -1) * b.fixed.sign, Sym(b.fixed.name))
        for b in rest
        if b.fixed is not None
    ]
    sources = [b for b in ohmic if b.of("E")]
    seen_first = rng.random() < 0.4
    if seen_first:
        _seen(paper, ohmic, load, names)
    if len(ohmic) == 2 and not fixed and rng.random() < 0.7:
        one = sources[0]
        two = next(b for b in ohmic if b is not one)
        way = 1 if one.end == load.start else -1
        name = "I0"
        paper.know(name, way * truth.current[one.name], paper.amp)
        slip = hand.slips("source-sign", "drop-missing") if two.of("E") else hand.slips("drop-missing")
        top = [*push(one), *((-s, t) for s, t in push(two, slip == "source-sign"))]
        top.sort(key=lambda t: -t[0])
        bottom = [*_ohms(one), *_ohms(two)]
        if slip == "drop-missing":
            bottom = bottom[:-1]
        before = (
            rng.choice(("Current round the loop left: ", "One loop is left: ", ""))
            if paper.habits.talk
            else ""
        )
        paper.result(name, Quot(total(*top), _row(bottom)), paper.amp, before=before)
        slip = hand.slips("drop-sign", "subscript")
        drop = times(Sym(name), _row(_ohms(two if slip == "subscript" else one)))
        formula = total(*push(one), (1 if slip == "drop-sign" else -1, drop))
        paper.result(names[0], formula, "V")
    elif rng.random() < 0.5:
        slip = hand.slips(
            "source-sign", "source-missing" if len(sources) > 1 else "source-sign", "branch-missing"
        )
        spot = hand.dice.choice(sources)
        terms: list[tuple[int, Tree]] = []
        for b in sources:
            if b is spot and slip == "source-missing":
                continue
            for s, t in push(b, b is spot and slip == "source-sign"):
                terms.append((s, Quot(t, _row(_ohms(b)))))
        terms += fixed
        bottoms = [b for b in ohmic if not (b is ohmic[-1] and slip == "branch-missing")]
        if not terms:
            raise Unfit("nothing left")
        paper.result(
            names[0], Quot(total(*terms), total(*((1, Quot(ONE, _row(_ohms(b)))) for b in bottoms))), "V"
        )
    else:
        if not seen_first:
            _seen(paper, ohmic, load, names)
        _short(paper, load, names, sources, fixed, push)
        ending(paper)
        return
    if not seen_first:
        _seen(paper, ohmic, load, names)
    _final(paper, load, names)
    ending(paper)


def _short(
    paper: Paper,
    load: Branch,
    names: tuple[str, str, str],
    sources: Sequence[Branch],
    fixed: list[tuple[int, Tree]],
    push: Callable[[Branch, bool], list[tuple[int, Tree]]],
) -> None:
    """By the current of a short circuit in the load's place."""
    hand, rng = paper.hand, paper.rng
    slip = hand.slips("source-sign", "source-missing" if len(sources) > 1 else "source-sign")
    spot = hand.dice.choice(sources)
    terms: list[tuple[int, Tree]] = []
    for b in sources:
        if b is spot and slip == "source-missing":
            continue
        for s, t in push(b, b is spot and slip == "source-sign"):
            terms.append((s, Quot(t, _row(_ohms(b)))))
    terms = [*terms, *fixed]
    if not terms:
        raise Unfit("nothing left")
    paper.know(names[2], paper.truth[names[0]] / paper.truth[names[1]], paper.amp)
    before = (
        rng.choice(("Short-circuit current: ", "A wire in place of the load: ", ""))
        if paper.habits.talk
        else ""
    )
    paper.result(names[2], total(*terms), paper.amp, before=before)
    slip = hand.slips("divider-inverted", "load-left-out")
    rl, ri = Sym(load.parts[0].name), Sym(names[1])
    top: Tree = Prod((Sym(names[2]), rl if slip == "divider-inverted" else ri))
    paper.result(
        load.name, Quot(top, rl if slip == "load-left-out" else total((1, ri), (1, rl))), paper.amp, last=True
    )


def _seen(paper: Paper, ohmic: Sequence[Branch], load: Branch, names: tuple[str, str, str]) -> None:
    """The resistance seen by the load, all sources at rest."""
    hand = paper.hand
    paper.know(names[1], _beside([b.ohms for b in ohmic]), paper.ohm)
    slip = hand.slips("parallel-added", "load-in-parallel", "part-missing")
    branches = list(ohmic)
    if slip == "load-in-parallel":
        branches.append(load)
    elif slip == "part-missing":
        branches = branches[:-1]
    before = (
        paper.rng.choice(("Sources at rest: ", "Seen from the load: ", "Inner resistance: ", ""))
        if paper.habits.talk
        else ""
    )
    if len(ohmic) == 1:
        raise Unfit("one way only")
    paper.result(names[1], _combined(paper, branches, slip), paper.ohm, before=before)
