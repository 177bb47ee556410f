"""Loop currents: one current round each loop, shared resistors carry the sum or difference of theirs; solved
by hand, or by determinants."""

from __future__ import annotations

from fractions import Fraction

from tests.strangers.by_branches import Term, loop_faults, sides
from tests.strangers.by_parts import paper_name
from tests.strangers.circuits import Net
from tests.strangers.elimination import by_calculator, linear, put_down, two_unknowns
from tests.strangers.figures import NoAnswer, Row, determinant, solved
from tests.strangers.formulas import Formula, Num, Prod, Quot, Sum, Sym, num, times, total, worth
from tests.strangers.hands import in_symbols, written
from tests.strangers.paper import Paper, apart, misworked

NAMES = {
    0: ("ia", "ib", "ic", "id"),
    1: ("i_1", "i_2", "i_3", "i_4"),
    2: ("J1", "J2", "J3", "J4"),
    3: ("IA", "IB", "IC", "ID"),
}


def loop_names(paper: Paper, net: Net) -> list[str]:
    """What the loop currents are called; never what the circuit's own currents are called."""
    family = paper.hand.names
    lettered = not net.arms[0].current[1:].isdigit()
    if lettered and family in (0, 3):
        family = 2
    return list(NAMES[family][: len(net.loops)])


def carried(net: Net, arm: int, names: list[str]) -> list[tuple[int, str]]:
    """The loop currents in an arm, with their signs along its arrow."""
    return [(s, name) for loop, name in zip(net.loops, names, strict=True) for k, s in loop if k == arm]


def truth_of(net: Net, names: list[str]) -> dict[str, Fraction]:
    """The true loop currents."""
    rows: list[Row] = []
    for loop in net.loops:
        weights = [Fraction(0)] * len(names)
        constant = Fraction(0)
        for k, sense in loop:
            arm = net.arms[k]
            constant += sense * arm.rise * net.values[arm.emf] if arm.emf else 0
            for s, name in carried(net, k, names):
                weights[names.index(name)] += sense * s * net.values[arm.resistor]
        rows.append((weights, constant))
    return dict(zip(names, solved(rows), strict=True))


def declared(paper: Paper, net: Net, names: list[str]) -> None:
    """Round which loop each current goes."""
    for loop, name in zip(net.loops, names, strict=True):
        met = [
            e
            for k, _ in loop
            for e in ((net.arms[k].emf, net.arms[k].resistor) if net.arms[k].emf else (net.arms[k].resistor,))
        ]
        k, sense = loop[0]
        arm = net.arms[k]
        start, end = (arm.start, arm.end) if sense > 0 else (arm.end, arm.start)
        through = ", ".join(paper_name(paper, e) for e in met)
        shown = paper_name(paper, name)
        paper.say(
            f"Loop current {shown} round {through}, "
            f"through {paper_name(paper, arm.resistor)} from {start} to {end}."
        )


def loop_laws(paper: Paper, net: Net, names: list[str], truth: dict[str, Fraction]) -> list[Row]:
    """One equation round each loop."""
    form = paper.chance.choice(["zero", "drops", "drops"])
    gathered = paper.chance.random() < 0.4
    rows = []
    for number, (loop, own) in enumerate(zip(net.loops, names, strict=True), 1):
        terms: list[Term] = []
        ways: list[tuple[str, list[Term]]] = []
        alone: list[Formula] = []
        for k, sense in loop:
            arm = net.arms[k]
            if arm.emf:
                terms.append((sense * arm.rise, Sym(arm.emf), "source"))
            shares = sorted(((sense * s, n) for s, n in carried(net, k, names)), key=lambda t: t[1] != own)
            if gathered:
                alone.append(Sym(arm.resistor))
                terms += [(-s, times(Sym(arm.resistor), Sym(n)), "drop") for s, n in shares if n != own]
            else:
                flow = total(*((s, Sym(n)) for s, n in shares))
                terms.append((-1, times(Sym(arm.resistor), flow), "drop"))
                if len(shares) > 1:
                    turned = total(*((s if n == own else -s, Sym(n)) for s, n in shares))
                    alike = [*terms[:-1], (-1, times(Sym(arm.resistor), turned), "drop")]
                    ways.append(("mesh-sum", alike))
        if gathered:
            terms.append((-1, times(total(*alone), Sym(own)), "drop"))
            terms.sort(key=lambda t: (t[2] == "source", own not in str(t[1])))
        whole = [(kind, [*bad, *terms[len(bad) :]]) for kind, bad in ways]
        faulty = [(kind, *sides(bad, form)) for kind, bad in whole]
        faulty += list(loop_faults(terms, form, {}, [a.resistor for a in net.arms]))
        if gathered:
            faulty = [(("mesh-sum" if f[0] == "drop-sign" else f[0]), f[1], f[2]) for f in faulty]
        lead = f"Loop {number}: " if paper.hand.talk else ""
        rows.append(paper.law(*sides(terms, form), names, faulty, lead, truth).row)
    return rows


def collected(paper: Paper, rows: list[Row], names: list[str]) -> list[Row]:
    """Each equation with its terms collected."""
    out = []
    for number, (weights, constant) in enumerate(rows, 1):
        if next((w for w in weights if w), Fraction(1)) < 0:
            weights, constant = [-w for w in weights], -constant
        lead = f"({number}) " if paper.hand.labels else ""
        put_down(paper, linear(weights, names), Num(constant), lead)
        out.append((weights, constant))
    return out


def branch_results(paper: Paper, net: Net, names: list[str]) -> None:
    """Every branch current from the loop currents."""
    for k, arm in enumerate(net.arms):
        parts = sorted(carried(net, k, names), key=lambda t: -t[0])
        f: Formula = total(*((s, Sym(n)) for s, n in parts))
        paper.formula(arm.current, "I", f, final=True)


def by_loops(paper: Paper, net: Net) -> None:
    """The whole working with the equations solved by hand."""
    names = loop_names(paper, net)
    truth = truth_of(net, names)
    if any(x == 0 for x in truth.values()):
        raise NoAnswer
    paper.dims.update(dict.fromkeys(names, "I"))
    if paper.hand.declare:
        declared(paper, net, names)
    rows = collected(paper, loop_laws(paper, net, names, truth), names)
    (two_unknowns if len(names) == 2 else by_calculator)(paper, rows, names, "I")
    branch_results(paper, net, names)


def by_determinants(paper: Paper, net: Net) -> None:
    """The whole working with the equations solved by determinants."""
    names = loop_names(paper, net)
    truth = truth_of(net, names)
    if any(x == 0 for x in truth.values()):
        raise NoAnswer
    paper.dims.update(dict.fromkeys(names, "I"))
    if paper.hand.declare:
        declared(paper, net, names)
    rows = collected(paper, loop_laws(paper, net, names, truth), names)
    head = (
        paper.chance.choice(["D", "D", "Δ"])
        if paper.hand.notation != "plain"
        else paper.chance.choice(["D", "D", "det"])
    )
    square = [list(w) for w, _ in rows]
    _worked(paper, head, square)
    for i, name in enumerate(names):
        swapped = [[c if j == i else w[j] for j in range(len(names))] for w, c in rows]
        own = (
            f"{head}{i + 1}"
            if paper.hand.names in (0, 1)
            else f"{head}{name[-1] if head != 'det' else i + 1}"
        )
        other = [[c if j == (i + 1) % len(names) else w[j] for j in range(len(names))] for w, c in rows]
        _worked(paper, own, swapped, other)
        top, below = Sym(own), Sym(head)
        paper.formula(name, "I", Quot(top, below))
    branch_results(paper, net, names)


def _worked(
    paper: Paper, name: str, square: list[list[Fraction]], other: list[list[Fraction]] | None = None
) -> None:
    """name = products = value."""
    right = determinant(square)
    f = _expanded(square)
    if paper.slipped("cross-product"):
        wrong = _expanded(square, turned=True)
        paper.made("cross-product", apart(right, _value(wrong)))
        f = wrong
    elif other is not None and paper.slipped("wrong-column"):
        paper.made("wrong-column", apart(right, determinant(other)))
        f = _expanded(other)
    value = _value(f)
    if value == 0:
        raise NoAnswer
    if paper.slipped("digits"):
        paper.made("digits", True)
        value = misworked(value)
    hand = paper.hand
    exact = (
        hand.number(value, exact=True)
        if hand.figures == 0 or len(str(abs(value.numerator))) < 8
        else hand.number(value)
    )
    paper.say(hand.equation([paper.name(name), written(f, hand, in_symbols(hand)), exact]))
    paper.dims[name] = ""
    paper.exact[name] = value


def _value(f: Formula) -> Fraction:
    return worth(f, {})


def _expanded(square: list[list[Fraction]], turned: bool = False) -> Formula:
    """A determinant of two rows as products, of three along its first row. `turned`: the minus lost."""
    if len(square) == 2:
        (a, b), (c, d) = square
        return Sum(((1, Prod((Num(a), Num(d)))), (1 if turned else -1, Prod((Num(b), Num(c))))))
    terms: list[tuple[int, Formula]] = []
    for j, head in enumerate(square[0]):
        if head == 0:
            continue
        minor = [row[:j] + row[j + 1 :] for row in square[1:]]
        sign = -1 if j == 1 and not turned else 1
        terms.append((sign, Prod((Num(head), _expanded(minor)))))
    return Sum(tuple(terms)) if terms else num(0)
