"""Setting up: names of currents, junctions, loops. Each law is a list of terms, and a slip of the setting up
changes the list before it is written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from .closing import ending
from .ink import Num, Sym, Tree, put_in, times, total
from .net import Branch, Net, Unfit, solved
from .paper import Paper
from .rows import Row, Solver

Term = tuple[int, tuple[str, ...]]
Walk = list[tuple[Branch, int]]  # a loop: branches, each with the sense in which it is travelled


# -- names -----------------------------------------------------------------------------------------


@dataclass(slots=True)
class Named:
    """What the writer calls each branch current, and whether along (+1) or against the problem's arrow."""

    of: dict[str, tuple[str, int]]


OWN = (
    ("x", "y", "z", "w", "v", "u"),
    ("Ia", "Ib", "Ic", "Id", "Ie", "If"),
    ("i_1", "i_2", "i_3", "i_4", "i_5", "i_6"),
    ("I_x", "I_y", "I_z", "I_u", "I_v", "I_w"),
    ("j1", "j2", "j3", "j4", "j5", "j6"),
)


def name_currents(paper: Paper) -> Named:
    """Names for the currents, said where they or their arrows are the writer's own."""
    net, rng, truth = paper.net, paper.rng, solved(paper.net)
    given = {b.name for b in net.branches} | set(net.points)
    of: dict[str, tuple[str, int]] = {}
    pools = [p for p in OWN if not given & {n.replace("_", "") for n in p} and not given & set(p)]
    way = rng.choice(("own names", "own arrows")) if paper.habits.own else ""
    if paper.habits.pen.dot == " x ":
        pools = [p for p in pools if "x" not in p]
    names: tuple[str, ...] = (
        rng.choice(pools) if way == "own names" and pools and len(net.branches) <= 6 else ()
    )
    if names and paper.habits.of_resistor and not any(b.fixed for b in net.branches):
        names = tuple(f"I_{b.of('R')[-1].name}" for b in net.branches)
    if paper.habits.given and not names and not way:
        paper.say(
            rng.choice(("Arrows as in the figure.", "Currents as drawn in the problem.", "From the figure:"))
        )
    for k, b in enumerate(net.branches):
        if b.fixed is not None:
            of[b.name] = (b.fixed.name, b.fixed.sign)
            continue
        sense = rng.choice((1, -1)) if way else 1
        name = names[k] if names else b.name
        of[b.name] = (name, sense)
        paper.know(name, sense * truth.current[b.name], paper.amp)
        if way:
            _declare(paper, b, name, sense)
    return Named(of)


def _declare(paper: Paper, b: Branch, name: str, sense: int) -> None:
    start, end = (b.start, b.end) if sense > 0 else (b.end, b.start)
    pen = paper.habits.pen
    via = pen.name(paper.rng.choice([p.name for p in b.parts if not p.inside and p.kind == "R"]))
    if pen.kind == "latex":
        via, shown = f"${via}$", f"${pen.name(name)}$"
        arrow = "$\\to$"
    else:
        shown, arrow = pen.name(name), "→" if pen.kind == "unicode" else "->"
    paper.say({
        "colon": f"{shown}: {start} {arrow} {end} through {via}",
        "from": f"{shown} from {start} to {end} through {via}",
        "arrow": f"{shown}: {start} {arrow} {end} ({via})",
        "sentence": f"Let {shown} flow from {start} to {end} through {via}.",
    }[paper.habits.declare])  # fmt: skip


# -- loops of a net --------------------------------------------------------------------------------


def loops_of(paper: Paper) -> list[Walk]:
    """Independent loops: a tree is grown, and every branch outside it closes one. Branches with a current
    source stay outside the tree."""
    net, rng = paper.net, paper.rng
    order = [b for b in net.branches if b.fixed is None]
    rng.shuffle(order)
    reached, tree = {net.points[0]}, []
    grown = True
    while grown:
        grown = False
        for b in order:
            if (b.start in reached) != (b.end in reached):
                tree.append(b)
                reached |= {b.start, b.end}
                grown = True
    if len(reached) < len(net.points):
        raise Unfit("a point hangs on a current source")
    chords = [b for b in net.branches if b not in tree]
    made = []
    for chord in chords:
        walk: Walk = [(chord, 1), *_way(tree, chord.end, chord.start)]
        if rng.random() < 0.4 and chord.fixed is None:
            walk = [(b, -s) for b, s in reversed(walk)]
        made.append(walk)
    return made


def _way(tree: Sequence[Branch], start: str, end: str, done: tuple[str, ...] = ()) -> Walk:
    if start == end:
        return []
    for b in tree:
        for here, there, sense in ((b.start, b.end, 1), (b.end, b.start, -1)):
            if here == start and there not in done:
                try:
                    return [(b, sense), *_way(tree, there, end, (*done, start))]
                except LookupError:
                    continue
    raise LookupError


# -- laws ------------------------------------------------------------------------------------------


def junction_terms(net: Net, named: Named, point: str) -> list[Term]:
    """What flows in less what flows out."""
    made: list[Term] = []
    for b in net.branches:
        name, sense = named.of[b.name]
        way = (b.end == point) - (b.start == point)
        if way:
            made.append((way * sense, (name,)))
    return made


def loop_terms(walk: Walk, named: Named) -> list[Term]:
    """Rises less drops in the order of travel."""
    made: list[Term] = []
    for b, sense in walk:
        name, way = named.of[b.name]
        parts = b.parts if sense > 0 else b.parts[::-1]
        for p in parts:
            if p.kind == "E":
                made.append((sense * p.sign, (p.name,)))
            elif p.kind == "R":
                made.append((-sense * way, (p.name, name)))
    return made


def spoilt(paper: Paper, terms: list[Term], kind: str, pool: Sequence[str]) -> list[Term]:
    """The law with one slip of the setting up, if one is made here. `pool`: other currents."""
    hand, net = paper.hand, paper.net
    sources = {p.name for p in net.parts("E")}
    inside = {p.name for p in net.parts("R") if p.inside}
    drops = [k for k, (_, f) in enumerate(terms) if len(f) == 2]
    emfs = [k for k, (_, f) in enumerate(terms) if f[0] in sources]
    ways = ["junction-sign", "branch-missing"] if kind == "junction" else []
    if kind == "loop":
        ways = ["drop-sign", "drop-missing", "wrong-current", "subscript"]
        if emfs:
            ways += ["source-sign", "source-missing"]
        if len(emfs) > 1:
            ways += ["sources-all-plus", "terminals-swapped", "subscript-source"]
        if any(terms[k][0] > 0 for k in drops):
            ways.append("drops-all-minus")
        if len(terms) > 3:
            ways.append("sense-turned")
        if any(f[0] in inside for _, f in terms):
            ways.append("inside-forgotten")
    slip = hand.slips(*ways)
    if slip is None:
        return terms
    dice, made = hand.dice, list(terms)
    if slip in ("junction-sign", "drop-sign", "source-sign"):
        k = dice.choice({"junction-sign": range(len(terms)), "drop-sign": drops, "source-sign": emfs}[slip])
        made[k] = (-terms[k][0], terms[k][1])
    elif slip in ("branch-missing", "drop-missing", "source-missing"):
        k = dice.choice(
            {"branch-missing": range(len(terms)), "drop-missing": drops, "source-missing": emfs}[slip]
        )
        del made[k]
        if not any(len(f) == 2 or kind == "junction" for _, f in made):
            raise Unfit("no unknown left")
    elif slip == "wrong-current":
        k = dice.choice(drops)
        others = [n for n in pool if n != terms[k][1][1]]
        made[k] = (terms[k][0], (terms[k][1][0], dice.choice(others)))
    elif slip == "subscript":
        k = dice.choice(drops)
        others = [p.name for p in net.parts("R") if p.name != terms[k][1][0]]
        made[k] = (terms[k][0], (dice.choice(others), terms[k][1][1]))
    elif slip == "subscript-source":
        k = dice.choice(emfs)
        made[k] = (terms[k][0], (dice.choice([s for s in sorted(sources) if s != terms[k][1][0]]),))
    elif slip == "sources-all-plus":
        made = [(1, f) if k in emfs else (s, f) for k, (s, f) in enumerate(terms)]
    elif slip == "terminals-swapped":
        made = [(-s, f) if k in emfs else (s, f) for k, (s, f) in enumerate(terms)]
    elif slip == "drops-all-minus":
        made = [(-1, f) if k in drops else (s, f) for k, (s, f) in enumerate(terms)]
    elif slip == "sense-turned":
        at = dice.randrange(2, len(terms) - 1)
        made = [(-s, f) if k >= at else (s, f) for k, (s, f) in enumerate(terms)]
    elif slip == "inside-forgotten":
        made = [(s, f) for s, f in terms if f[0] not in inside]
    if made == terms or made == [(-s, f) for s, f in terms]:
        raise Unfit("the same law")
    return made


def tree_of(term: Term) -> Tree:
    """The term without its sign."""
    return times(*(Sym(n) for n in term[1]))


def law_sides(paper: Paper, terms: list[Term], flipped: bool) -> tuple[Tree, Tree]:
    """The law as an equation in one of the usual layouts."""
    way = paper.rng.randrange(5)
    zero = Num(Fraction(0), "0")
    pairs = [(s, _ordered(paper, t, flipped)) for s, t in ((t[0], t) for t in terms)]
    if way == 0 and len(pairs) > 1:
        plus = [(1, e) for s, e in pairs if s > 0]
        minus = [(1, e) for s, e in pairs if s < 0]
        if plus and minus:
            return (
                (total(*plus), total(*minus)) if paper.rng.random() < 0.7 else (total(*minus), total(*plus))
            )
    if way == 1:
        emfs = [p for p, t in zip(pairs, terms, strict=True) if len(t[1]) == 1]
        drops = [(-s, e) for (s, e), t in zip(pairs, terms, strict=True) if len(t[1]) == 2]
        if emfs and drops:
            return total(*emfs), total(*drops)
    if way == 2:
        return zero, total(*pairs)
    if way == 3 and len(pairs) > 2:
        first, *rest = pairs
        return total((1, first[1])), total(*[(-s * first[0], e) for s, e in rest])
    return total(*pairs), zero


def _ordered(paper: Paper, term: Term, flipped: bool) -> Tree:
    names = term[1][::-1] if flipped else term[1]
    return times(*(Sym(n) for n in names))


def in_numbers(paper: Paper, terms: list[Term], unknowns: Sequence[str], unit: str) -> Row:
    """The law as a row of numbers; names that are not unknown have their number."""
    coefs: dict[str, Fraction] = {}
    const = Fraction(0)
    for sign, factors in terms:
        value = Fraction(sign)
        name = ""
        for f in factors:
            if f in unknowns:
                name = f
            else:
                value *= paper.held[f]
        if name:
            coefs[name] = coefs.get(name, Fraction(0)) + value
        else:
            const -= value
    coefs = {k: v for k, v in coefs.items() if v}
    if not coefs:
        raise Unfit("no unknown left")
    return Row(coefs, const, unit)


def put_numbers(paper: Paper, row: Row) -> Row:
    """The numbers put into a law, with a slip of copying if one is made here."""
    slip = paper.hand.slips("copied-number")
    if slip is None:
        return row
    dice = paper.hand.dice
    spots = [n for n, c in row.coefs.items() if abs(c) != 1] + ([""] if row.const else [])
    if not spots:
        raise Unfit("no number")
    spot = dice.choice(spots)
    value = row.coefs[spot] if spot else row.const
    value += Fraction(dice.choice((-1, 1, 2, 9, 10)))
    if spot:
        return Row({**row.coefs, spot: value}, row.const, row.unit)
    return Row(row.coefs, value, row.unit)


# -- methods ---------------------------------------------------------------------------------------


def branch_currents(paper: Paper) -> None:
    """Junctions and loops in the branch currents."""
    net = paper.net
    named = name_currents(paper)
    unknowns = [named.of[b.name][0] for b in net.branches if b.fixed is None]
    rows: list[Row] = []
    laws: list[tuple[list[Term], str, str]] = []
    points = list(net.points)
    paper.rng.shuffle(points)
    for point in points[:-1]:
        laws.append((junction_terms(net, named, point), "junction", point))
    for k, walk in enumerate(w for w in loops_of(paper) if all(b.fixed is None for b, _ in w)):
        laws.append((loop_terms(walk, named), "loop", str(k + 1)))
    if paper.rng.random() < 0.2:
        laws = [*[x for x in laws if x[1] == "loop"], *[x for x in laws if x[1] == "junction"]]
    flipped = paper.rng.random() < 0.3
    for terms, kind, where in laws:
        terms = spoilt(paper, terms, kind, unknowns)
        rows.append(_law(paper, terms, kind, where, unknowns, flipped))
    if paper.habits.form == "both":
        rows = rows_in_numbers(paper, rows)
    Solver(paper, unknowns).solve(rows, paper.amp)
    ending(paper, named.of)


def _law(
    paper: Paper, terms: list[Term], kind: str, where: str, unknowns: Sequence[str], flipped: bool
) -> Row:
    """Writes a law and gives its row."""
    unit = paper.amp if kind == "junction" else "V"
    before = ""
    if paper.habits.talk:
        before = paper.rng.choice(
            (f"Junction {where}: ", f"At {where}: ", f"{where}: ")
            if kind == "junction"
            else (f"Loop {where}: ", f"{_th(where)} loop: ")
        )
        if paper.habits.pen.kind == "latex" and before == f"{where}: ":
            before = f"Node {where}: "
    row = in_numbers(paper, terms, unknowns, unit)
    if paper.habits.form == "numbers":
        sides = law_sides(paper, terms, flipped)
        numbers = dict(paper.numbers)
        shown = (put_in(sides[0], numbers), put_in(sides[1], numbers)) if kind == "loop" else sides
        label = paper.write(*shown, before=before, number=True)
    else:
        label = paper.write(*law_sides(paper, terms, flipped), before=before, number=True)
    return Row(row.coefs, row.const, unit, label)


def _th(number: str) -> str:
    return {"1": "1st", "2": "2nd", "3": "3rd"}.get(number, f"{number}th")


def rows_in_numbers(paper: Paper, rows: Sequence[Row]) -> list[Row]:
    """The loop equations once more, with the numbers put in."""
    solver = Solver(paper, [])
    if paper.habits.talk:
        paper.say(
            paper.rng.choice(
                (
                    "With the numbers:",
                    "Numbers in:",
                    "Putting in the values:",
                    "in V, mA and kΩ:" if paper.net.milli else "in V, A and Ω:",
                )
            )
        )
    made = []
    for row in rows:
        if row.unit != "V":
            made.append(row)
            continue
        new = put_numbers(paper, row)
        made.append(solver.emit(new))
    return made
