"""Node potentials: the junction rule in potentials, then Ohm's law for the currents."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from .closing import ending
from .ink import Num, Quot, Sum, Sym, Tree, put_in, total, worth
from .net import Branch, Unfit, solved
from .paper import Paper
from .rows import Row, Solver


def node_potentials(paper: Paper) -> None:
    """Junction equations in potentials, then Ohm's law for the currents."""
    net, rng = paper.net, paper.rng
    truth = solved(net)
    ground = rng.choice(net.points)
    letter = rng.choice(("V", "V", "U", "V"))
    names: dict[str, str] = {}
    for p in net.points:
        names[p] = f"{letter}_{p}" if len(p) > 1 or rng.random() < 0.3 else f"{letter}{p}"
        if names[p] in paper.truth:
            raise Unfit("a name twice")
        paper.know(names[p], truth.potential[p] - truth.potential[ground], "V")
    pen = paper.habits.pen
    d = "$" if pen.kind == "latex" else ""
    if rng.random() < 0.5:
        paper.write(
            Sym(names[ground]),
            Num(Fraction(0), "0"),
            before=rng.choice(("", "Take ", "ground: ", "reference: ")),
        )
    else:
        paper.say(
            rng.choice(
                (
                    f"{ground} is the reference point, {d}{pen.name(names[ground])} = 0{d}.",
                    f"Earth at {ground}: {d}{pen.name(names[ground])} = 0{d}",
                )
            )
        )
    free = [p for p in net.points if p != ground]
    unknowns = [names[p] for p in free]
    rows = [_node(paper, p, ground, names, unknowns) for p in free]
    solver = Solver(paper, unknowns)
    rows = [solver.emit(r) for r in rows]
    solver.solve(rows, "V")
    for b in net.branches:
        if b.fixed is not None:
            continue
        paper.know(b.name, truth.current[b.name], paper.amp)
        slip = (
            paper.hand.slips("source-sign", "voltage-order")
            if b.of("E")
            else paper.hand.slips("voltage-order", "drop-missing" if len(b.of("R")) > 1 else "subscript")
        )
        top = _driving(b, names, ground, slip, b.start)
        bottom = [p.name for p in b.of("R")]
        if slip == "drop-missing":
            bottom = bottom[:-1]
        elif slip == "subscript":
            bottom = [paper.hand.dice.choice([p.name for p in net.parts("R") if p.name not in bottom])]
        paper.result(b.name, Quot(top, total(*((1, Sym(r)) for r in bottom))), paper.amp, last=True)
    ending(paper)


def _driving(b: Branch, names: dict[str, str], ground: str, slip: str | None, point: str) -> Tree:
    """What drives the current of a branch away from a point: potential here, less there, plus emfs."""
    away = 1 if point == b.start else -1
    other = b.end if away > 0 else b.start
    terms: list[tuple[int, Tree]] = []
    order = -1 if slip == "voltage-order" else 1
    if point != ground:
        terms.append((order, Sym(names[point])))
    if other != ground:
        terms.append((-order, Sym(names[other])))
    for p in b.of("E"):
        terms.append((away * p.sign * (-1 if slip == "source-sign" else 1), Sym(p.name)))
    if not terms:
        raise Unfit("nothing drives")
    terms.sort(key=lambda t: -t[0])
    return total(*terms)


def _node(paper: Paper, point: str, ground: str, names: dict[str, str], unknowns: Sequence[str]) -> Row:
    """The junction rule at a point in potentials: what flows away adds up to nothing."""
    net, hand = paper.net, paper.hand
    ends = [b for b in net.branches if point in (b.start, b.end)]
    ways = ["branch-missing", "junction-sign", "subscript"]
    if any(b.of("E") for b in ends):
        ways += ["source-sign", "source-missing"]
    if any(ground not in (b.start, b.end) and b.fixed is None for b in ends):
        ways.append("potential-missing")
    slip = hand.slips(*ways)
    dice = hand.dice
    sourced = [b for b in ends if b.of("E")]
    ohmic = [b for b in ends if b.fixed is None]
    spots = {
        "source-sign": sourced, "source-missing": sourced, "subscript": ohmic,
        "potential-missing": [b for b in ohmic if ground not in (b.start, b.end)],
    }.get(slip or "", ends)  # fmt: skip
    if slip and not spots:
        raise Unfit("no place for it")
    spot = dice.choice(spots) if slip else None
    terms: list[tuple[int, Tree]] = []
    for b in ends:
        away = 1 if point == b.start else -1
        here = slip if b is spot else None
        if here == "branch-missing":
            continue
        sign = -1 if here == "junction-sign" else 1
        if b.fixed is not None:
            terms.append((sign * away * b.fixed.sign, Sym(b.fixed.name)))
            continue
        top = _driving(b, names, ground, here, point)
        if here in ("source-missing", "potential-missing"):
            other = b.end if away > 0 else b.start
            drop = {p.name for p in b.of("E")} if here == "source-missing" else {names[other]}
            kept = [(s, t) for s, t in _terms(top) if not (isinstance(t, Sym) and t.name in drop)]
            if not kept:
                raise Unfit("nothing left")
            top = total(*kept)
        rs: list[str] = [p.name for p in b.of("R")]
        if here == "subscript":
            rs[0] = dice.choice([p.name for p in net.parts("R") if p.name not in rs])
        terms.append((sign, Quot(top, total(*((1, Sym(r)) for r in rs)))))
    row = _linear(paper, terms, unknowns)
    sides: tuple[Tree, Tree] = (total(*terms), Num(Fraction(0), "0"))
    if paper.rng.random() < 0.3 and len(terms) > 1:
        first, *rest = terms
        sides = (total(first), total(*((-s, t) for s, t in rest)))
    if paper.habits.form == "numbers":
        numbers = {k: v for k, v in paper.numbers.items() if k not in unknowns}
        sides = (put_in(sides[0], numbers), put_in(sides[1], numbers))
    before = (
        paper.rng.choice((f"Junction {point}: ", f"At {point}: ", f"Node {point}: "))
        if paper.habits.talk
        else ""
    )
    label = paper.write(*sides, before=before, number=True)
    if paper.rng.random() < 0.6:  # cleared of its fractions
        scale = Fraction(1)
        for c in row.coefs.values():
            scale = max(scale, Fraction(c.denominator))
        if scale <= 600:
            row = Row({k: v * scale for k, v in row.coefs.items()}, row.const * scale)
    return Row(row.coefs, row.const, "", label)


def _terms(tree: Tree) -> tuple[tuple[int, Tree], ...]:
    return tree.terms if isinstance(tree, Sum) else ((1, tree),)


def _linear(paper: Paper, terms: Sequence[tuple[int, Tree]], unknowns: Sequence[str]) -> Row:
    """The row of an equation that is linear in the unknowns, found by trying numbers."""
    from_zero = {**paper.held, **dict.fromkeys(unknowns, Fraction(0))}
    base = _sum(terms, from_zero)
    coefs = {u: _sum(terms, {**from_zero, u: Fraction(1)}) - base for u in unknowns}
    coefs = {u: c for u, c in coefs.items() if c}
    if not coefs:
        raise Unfit("no unknown left")
    return Row(coefs, -base)


def _sum(terms: Sequence[tuple[int, Tree]], env: dict[str, Fraction]) -> Fraction:
    return sum((s * worth(t, env) for s, t in terms), Fraction(0))
