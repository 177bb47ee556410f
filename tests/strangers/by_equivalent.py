"""An equivalent source: the load taken out, the open voltage and the resistance seen, the load put back, and
the other currents from the voltage across it."""

from __future__ import annotations

from tests.strangers.by_parts import paper_name, signed
from tests.strangers.circuits import Arm, Net
from tests.strangers.formulas import Formula, Prod, Quot, Sum, Sym, num, side_by_side
from tests.strangers.paper import Paper

OPEN = {0: "Voc", 1: "Vth", 2: "U0", 3: "E0"}
SEEN = {0: "Rth", 1: "Rth", 2: "Ri", 3: "R0"}


def by_equivalent(paper: Paper, net: Net) -> None:
    """The whole working."""
    hand, chance = paper.hand, paper.chance
    top, foot = net.points
    load = next(a for a in net.arms if not a.emf)
    rest = [a for a in net.arms if a is not load]
    lift = {a.current: a.rise * (1 if a.end == top else -1) for a in rest}  # of its emf, towards the top
    open_v, seen = OPEN[hand.names], SEEN[hand.names]
    if hand.declare:
        taken = paper_name(paper, load.resistor)
        paper.say(
            chance.choice(
                [
                    f"Take {taken} out and look in from {top} and {foot}.",
                    f"{taken} removed, seen from {top} and {foot}:",
                    f"The rest as {taken} sees it between {top} and {foot}:",
                ]
            )
        )
    norton = chance.random() < 0.3
    if norton:
        _seen(paper, seen, rest, load)
        short = "Isc" if hand.names != 3 else "Ik"
        terms = tuple((lift[a.current], Quot(Sym(a.emf), Sym(a.resistor))) for a in rest if a.emf)
        paper.formula(short, "I", Sum(_positive_first(terms)), lead=_words(paper, "Short-circuit current: "))
        paper.formula(open_v, "V", Prod((Sym(short), Sym(seen))), lead=_words(paper, "Open voltage: "))
    else:
        _open(paper, open_v, rest, lift, hand.names)
        _seen(paper, seen, rest, load)
    way = 1 if load.start == top else -1
    paper.talk(chance.choice([f"{paper_name(paper, load.resistor)} put back:", "With the load:"]))
    paper.formula(
        load.current, "I",
        signed(way, Quot(Sym(open_v), Sum(((1, Sym(seen)), (1, Sym(load.resistor)))))),
        also=[("term-left-out", signed(way, Quot(Sym(open_v), Sym(load.resistor))))], final=True,
    )  # fmt: skip
    across = "V" if hand.names in (0, 1) else "U"
    across += load.resistor[1:] if chance.random() < 0.5 or hand.units == "none" else ""
    paper.formula(across, "V", signed(way, Prod((Sym(load.current), Sym(load.resistor)))))
    for arm in rest:
        up = 1 if arm.end == top else -1
        flows: list[tuple[int, Formula]] = [(-up, Sym(across))]
        if arm.emf:
            flows.append((arm.rise, Sym(arm.emf)))
        flows.sort(key=lambda t: -t[0])
        f: Formula = Quot(Sum(tuple(flows)), Sym(arm.resistor))
        if len(flows) == 1:
            f = signed(flows[0][0], Quot(flows[0][1], Sym(arm.resistor)))
        paper.formula(arm.current, "I", f, final=True, alike={arm.resistor: [load.resistor]})


def _words(paper: Paper, text: str) -> str:
    return text if paper.hand.talk and paper.hand.declare else ""


def _positive_first(terms: tuple[tuple[int, Formula], ...]) -> tuple[tuple[int, Formula], ...]:
    return tuple(sorted(terms, key=lambda t: -t[0]))


def _seen(paper: Paper, seen: str, rest: list[Arm], load: Arm) -> None:
    """The resistance seen, every source a wire."""
    parts: list[Formula] = [Sym(a.resistor) for a in rest]
    paper.formula(
        seen, "R", side_by_side(parts, paper.hand.parallel),
        also=[("loaded", side_by_side([*parts, Sym(load.resistor)], paper.hand.parallel))],
        lead=_words(paper, "Sources replaced by wires: "),
    )  # fmt: skip


def _open(paper: Paper, open_v: str, rest: list[Arm], lift: dict[str, int], family: int) -> None:
    """The open voltage: round the one loop that is left, or by the reciprocals."""
    powered = [a for a in rest if a.emf]
    if len(rest) == 2 and len(powered) == 2:
        first, second = rest
        current = "I0" if family != 3 else "I"
        gain = _positive_first(
            ((lift[first.current], Sym(first.emf)), (-lift[second.current], Sym(second.emf)))
        )
        below = Sum(((1, Sym(first.resistor)), (1, Sym(second.resistor))))
        turned = (gain[0], (-gain[1][0], gain[1][1]))
        paper.formula(
            current, "I", Quot(Sum(gain), below), also=[("emfs-added", Quot(Sum(turned), below))],
            lead=_words(paper, "Round the loop that is left: "),
        )  # fmt: skip
        drop = Prod((Sym(current), Sym(first.resistor)))
        terms = ((lift[first.current], Sym(first.emf)), (-1, drop))
        added = ("emfs-added", Sum(((1, Sym(first.emf)), (1, Sym(second.emf)))))
        paper.formula(open_v, "V", Sum(terms), also=[added], lead=_words(paper, "Open voltage: "))
        return
    above = Sum(_positive_first(tuple((lift[a.current], Quot(Sym(a.emf), Sym(a.resistor))) for a in powered)))
    below = Sum(tuple((1, Quot(num(1), Sym(a.resistor))) for a in rest))
    paper.formula(open_v, "V", Quot(above, below), lead=_words(paper, "Open voltage: "))
