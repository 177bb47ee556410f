"""Loop currents, solved by elimination or by determinants; then the currents of the branches."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from .closing import ending
from .ink import Num, Prod, Quot, Sum, Sym, Tree, put_in, times, total
from .laws import Walk, loops_of, rows_in_numbers
from .net import Branch, Unfit, solved
from .paper import Paper
from .rows import Row, Solver

LOOP_NAMES = (
    ("Ia", "Ib", "Ic", "Id"),
    ("m1", "m2", "m3", "m4"),
    ("x", "y", "z", "w"),
    ("i_A", "i_B", "i_C", "i_D"),
    ("K1", "K2", "K3", "K4"),
)


def loop_set(paper: Paper) -> tuple[list[Row], list[str], list[tuple[str, Walk]]]:
    """Loop currents said, and an equation for each unknown one."""
    net, rng = paper.net, paper.rng
    walks = loops_of(paper)
    truth = solved(net)
    taken = {b.name for b in net.branches} | set(net.points)
    pools = [
        p
        for p in LOOP_NAMES
        if not taken & set(p)
        and not taken & {n.lower() for n in p}
        and not taken & {f"i_{n[-1].lower()}" for n in p}
    ]
    if paper.habits.pen.dot == " x ":
        pools = [p for p in pools if "x" not in p]
    if not pools or len(walks) > 4:
        raise Unfit("no names")
    names = rng.choice(pools)
    loops: list[tuple[str, Walk]] = []
    for name, walk in zip(names, walks, strict=False):
        chord = next(
            b for b, _ in walk if sum(b in [x for x, _ in w] for w in walks) == 1 and _closing(b, walk, walks)
        )
        sense = next(s for b, s in walk if b == chord)
        if chord.fixed is not None:
            loops.append((chord.fixed.name if sense * chord.fixed.sign > 0 else f"-{chord.fixed.name}", walk))
            _say_loop(paper, chord.fixed.name, walk, chord, sense * chord.fixed.sign)
            continue
        paper.know(name, sense * truth.current[chord.name], paper.amp)
        loops.append((name, walk))
        _say_loop(paper, name, walk, chord, sense)
    rows = []
    unknowns = [n for n, _ in loops if n.lstrip("-") in names]
    collected = rng.random() < 0.5
    for k, (name, walk) in enumerate(loops):
        if name not in unknowns:
            continue
        rows.append(_mesh(paper, loops, name, walk, str(k + 1), unknowns, collected))
    return rows, unknowns, loops


def _closing(b: Branch, walk: Walk, walks: Sequence[Walk]) -> bool:
    return b is walk[0][0] or b is walk[-1][0]


def _say_loop(paper: Paper, name: str, walk: Walk, chord: Branch, sense: int) -> None:
    pen = paper.habits.pen
    turned = walk if sense > 0 or chord.fixed is None else [(b, -s) for b, s in reversed(walk)]
    met = [p.name for b, s in turned for p in (b.parts if s > 0 else b.parts[::-1]) if not p.inside]
    way = next(s for b, s in turned if b == chord)
    start, end = (chord.start, chord.end) if way > 0 else (chord.end, chord.start)
    via = next(p.name for p in chord.parts if not p.inside)
    d = "$" if pen.kind == "latex" else ""
    shown = f"{d}{pen.name(name)}{d}"
    listed = ", ".join(f"{d}{pen.name(m)}{d}" for m in met)
    paper.say(f"Loop current {shown} round {listed}, through {d}{pen.name(via)}{d} from {start} to {end}")


def _mesh(
    paper: Paper,
    loops: Sequence[tuple[str, Walk]],
    name: str,
    walk: Walk,
    where: str,
    unknowns: Sequence[str],
    collected: bool,
) -> Row:
    """One loop equation in loop currents: emfs and, for every resistance, the currents through it."""
    emfs: list[tuple[int, str]] = []
    drops: list[tuple[str, list[tuple[int, str]]]] = []
    for b, sense in walk:
        flows = []
        for other, path in loops:
            for c, way in path:
                if c == b:
                    minus = -1 if other.startswith("-") else 1
                    flows.append((sense * way * minus, other.lstrip("-")))
        flows.sort(key=lambda f: f[1] != name)
        for p in b.parts if sense > 0 else b.parts[::-1]:
            if p.kind == "E":
                emfs.append((sense * p.sign, p.name))
            elif p.kind == "R":
                drops.append((p.name, list(flows)))
    slip = paper.hand.slips(*_mesh_ways(emfs, drops))
    _spoil_mesh(paper, slip, emfs, drops)
    coefs: dict[str, Fraction] = {}
    const = sum((s * paper.held[e] for s, e in emfs), Fraction(0))
    sums: dict[str, list[tuple[int, str]]] = {}
    for r, flows in drops:
        for s, n in flows:
            sums.setdefault(n, []).append((s, r))
            if n in unknowns:
                coefs[n] = coefs.get(n, Fraction(0)) + s * paper.held[r]
            else:
                const -= s * paper.held[r] * paper.held[n]
    coefs = {k: v for k, v in coefs.items() if v}
    if not coefs:
        raise Unfit("no unknown left")
    if collected:
        left: list[tuple[int, Tree]] = []
        for n, rs in sums.items():
            lead = rs[0][0]
            bracket = total(*((s * lead, Sym(r)) for s, r in rs))
            left.append(
                (lead, times(bracket, Sym(n)) if paper.rng.random() < 0.6 else times(Sym(n), bracket))
            )
        right = total(*((s, Sym(e)) for s, e in emfs)) if emfs else Num(Fraction(0), "0")
        sides: tuple[Tree, Tree] = (total(*left), right)
    else:
        body: list[tuple[int, Tree]] = [(s, Sym(e)) for s, e in emfs]
        for r, flows in drops:
            lead = flows[0][0]
            bracket = total(*((s * lead, Sym(n)) for s, n in flows))
            body.append((-lead, times(Sym(r), bracket)))
        sides = (total(*body), Num(Fraction(0), "0"))
    if paper.habits.form == "numbers":
        numbers = {k: v for k, v in paper.numbers.items() if k not in unknowns}
        sides = (put_in(sides[0], numbers), put_in(sides[1], numbers))
    before = paper.rng.choice((f"Loop {where}: ", f"Mesh {where}: ")) if paper.habits.talk else ""
    label = paper.write(*sides, before=before, number=True)
    return Row(coefs, const, "V", label)


def _mesh_ways(
    emfs: Sequence[tuple[int, str]], drops: Sequence[tuple[str, list[tuple[int, str]]]]
) -> list[str]:
    ways = ["drop-missing"]
    if any(len(f) > 1 for _, f in drops):
        ways += ["mesh-sum", "other-mesh-missing"]
    if emfs:
        ways += ["source-sign", "source-missing"]
    if len(emfs) > 1:
        ways += ["terminals-swapped"]
    ways.append("subscript")
    return ways


def _spoil_mesh(
    paper: Paper,
    slip: str | None,
    emfs: list[tuple[int, str]],
    drops: list[tuple[str, list[tuple[int, str]]]],
) -> None:
    dice = paper.hand.dice
    shared = [k for k, (_, f) in enumerate(drops) if len(f) > 1]
    if slip == "drop-missing":
        del drops[dice.randrange(len(drops))]
    elif slip in ("mesh-sum", "other-mesh-missing"):
        k = dice.choice(shared)
        r, flows = drops[k]
        at = dice.randrange(1, len(flows))
        if slip == "mesh-sum":
            drops[k] = (r, [(-s, n) if j == at else (s, n) for j, (s, n) in enumerate(flows)])
        else:
            drops[k] = (r, [f for j, f in enumerate(flows) if j != at])
    elif slip in ("source-sign", "source-missing"):
        k = dice.randrange(len(emfs))
        if slip == "source-sign":
            emfs[k] = (-emfs[k][0], emfs[k][1])
        else:
            del emfs[k]
    elif slip == "terminals-swapped":
        emfs[:] = [(-s, n) for s, n in emfs]
    elif slip == "subscript":
        k = dice.randrange(len(drops))
        others = [p.name for p in paper.net.parts("R") if p.name != drops[k][0]]
        drops[k] = (dice.choice(others), drops[k][1])


def loop_currents(paper: Paper) -> None:
    """Loop currents, then the branch currents from them."""
    rows, unknowns, loops = loop_set(paper)
    if paper.habits.form == "both":
        rows = rows_in_numbers(paper, rows)
    elif any(len(r.coefs) for r in rows) and paper.rng.random() < 0.7:
        rows = [Solver(paper, []).emit(r) for r in rows]
    Solver(paper, unknowns).solve(rows, paper.amp)
    branches_from_loops(paper, loops)


def branches_from_loops(paper: Paper, loops: Sequence[tuple[str, Walk]]) -> None:
    """Every branch current as a sum of loop currents."""
    truth = solved(paper.net)
    for b in paper.net.branches:
        if b.fixed is not None:
            continue
        flows: list[tuple[int, Tree]] = []
        for name, walk in loops:
            for c, sense in walk:
                if c == b:
                    flows.append((-sense if name.startswith("-") else sense, Sym(name.lstrip("-"))))
        paper.know(b.name, truth.current[b.name], paper.amp)
        flows.sort(key=lambda f: -f[0])
        slip = paper.hand.slips(
            *(("mesh-sum",) if len(flows) > 1 else ("minus-lost",) if flows[0][0] < 0 else ())
        )
        if slip:
            flows = [(s if k == 0 and len(flows) > 1 else -s, t) for k, (s, t) in enumerate(flows)]
        paper.result(b.name, total(*flows), paper.amp, last=True)
    ending(paper)


def determinants(paper: Paper) -> None:
    """Loop currents by determinants."""
    rows, unknowns, loops = loop_set(paper)
    if len(unknowns) not in (2, 3):
        raise Unfit("not two or three loops")
    solver = Solver(paper, unknowns)
    rows = [solver.emit(r) for r in rows]
    matrix = [[r.coefs.get(u, Fraction(0)) for u in unknowns] for r in rows]
    consts = [r.const for r in rows]
    _determinant(paper, solver, "D", matrix)
    for k, u in enumerate(unknowns):
        name = f"D{k + 1}" if u[-1].isdigit() else f"D{u[-1]}" if len(u) > 1 else f"D_{u}"
        used = [
            [consts[i] if j == k else matrix[i][j] for j in range(len(unknowns))] for i in range(len(rows))
        ]
        slip = paper.hand.slips("wrong-column")
        if slip:
            at = (k + 1) % len(unknowns)
            used = [
                [consts[i] if j == at else matrix[i][j] for j in range(len(unknowns))]
                for i in range(len(rows))
            ]
        _determinant(paper, solver, name, used)
        paper.result(u, Quot(Sym(name), Sym("D")), paper.amp)
    branches_from_loops(paper, loops)


def _determinant(paper: Paper, solver: Solver, name: str, m: list[list[Fraction]]) -> None:
    """Writes a determinant multiplied out, and what it comes to."""

    def num(value: Fraction) -> Num:
        made = solver.num(value)
        return Num(made.value, made.text, "", made.half)

    terms: list[tuple[int, Tree]] = []
    if len(m) == 2:
        terms = [(1, times(num(m[0][0]), num(m[1][1]))), (-1, times(num(m[0][1]), num(m[1][0])))]
    else:
        for order, sign in (
            ((0, 1, 2), 1),
            ((1, 2, 0), 1),
            ((2, 0, 1), 1),
            ((2, 1, 0), -1),
            ((1, 0, 2), -1),
            ((0, 2, 1), -1),
        ):
            factors = [m[i][order[i]] for i in range(3)]
            if all(factors):
                terms.append((sign, times(*(num(f) for f in factors))))
    slip = paper.hand.slips("determinant-sign", "determinant-term", "digits")
    dice = paper.hand.dice
    if slip == "determinant-sign":
        k = dice.choice([k for k, (_, t) in enumerate(terms) if _value(t)])
        terms[k] = (-terms[k][0], terms[k][1])
    elif slip == "determinant-term":
        if len(terms) < 2:
            raise Unfit("one term")
        heavy = [k for k, (_, t) in enumerate(terms) if _value(t)]
        del terms[dice.choice(heavy)]
    if not terms:
        raise Unfit("no term")
    tree = Sum(tuple(terms))
    from_terms = sum((s * _value(t) for s, t in terms), Fraction(0))
    value = from_terms + (from_terms * Fraction(dice.choice((10, -10, 3)), 100) if slip == "digits" else 0)
    if not value:
        raise Unfit("singular")
    shown = solver.num(value)
    shown = Num(shown.value, shown.text, "", shown.half)
    paper.truth.setdefault(name, from_terms if paper.hand.made is None else Fraction(12345, 677))
    paper.unit[name] = ""
    paper.write(Sym(name), tree, shown)
    paper.held[name], paper.numbers[name] = (value if paper.habits.held else shown.value), shown


def _value(tree: Tree) -> Fraction:
    match tree:
        case Num():
            return tree.value
        case Prod():
            made = Fraction(1)
            for f in tree.factors:
                made *= _value(f)
            return made
        case _:
            raise Unfit("not a product")
