"""One source, resistances in series and side by side made one, step by step, and the currents found on the
way back."""

from __future__ import annotations

from tests.strangers.by_parts import paper_name, signed
from tests.strangers.circuits import Arm, Net
from tests.strangers.formulas import Formula, Prod, Quot, Sum, Sym, side_by_side
from tests.strangers.paper import Paper


class Names:
    """What combined resistances and voltages are called, each name once."""

    def __init__(self, paper: Paper, points: tuple[str, ...]) -> None:
        self.paper, self.points = paper, points
        self.pool = {1: ["Rp", "Rs", "Rq", "Rx", "Ry"], 3: ["Rp", "Rs", "Rq", "Rx", "Ry"]}.get(
            paper.hand.names, []
        )

    def combined(self, parts: list[str], last: bool) -> str:
        if last:
            return {0: "Rt", 1: "Req", 2: "Rtot", 3: "Rg"}[self.paper.hand.names]
        if self.pool:
            return self.pool.pop(0)
        return "R" + "".join(p[1:] for p in parts)

    def voltage(self, resistor: str, number: int) -> str:
        family = self.paper.hand.names
        if resistor[1:] in self.points:  # Vb is the potential of b
            return f"{'U' if family == 3 else 'V'}{resistor}"
        if family == 1:
            return "U" if number == 0 else "U'"
        return {0: f"V{resistor[1:]}", 2: f"U_{resistor[1:]}", 3: f"U{resistor[1:]}"}[family]


def _words(paper: Paper, parts: list[str], how: str) -> str:
    if not paper.hand.declare or paper.hand.talk == 0:
        return ""
    *most, last = [paper_name(paper, p) for p in parts]
    return f"{', '.join(most)} and {last} {how}: "


def series(paper: Paper, names: Names, parts: list[str], last: bool = False) -> str:
    """Resistances in series made one."""
    if len(parts) == 1:
        return parts[0]
    name = names.combined(parts, last)
    f: Formula = Sum(tuple((1, Sym(p)) for p in parts))
    wrong = side_by_side([Sym(p) for p in parts], "product")
    paper.formula(name, "R", f, also=[("series-as-parallel", wrong)], lead=_words(paper, parts, "in series"))
    return name


def parallel(paper: Paper, names: Names, parts: list[str]) -> str:
    """Resistances side by side made one."""
    name = names.combined(parts, False)
    f = side_by_side([Sym(p) for p in parts], paper.hand.parallel)
    paper.formula(name, "R", f, lead=_words(paper, parts, "in parallel"))
    return name


def by_collapse(paper: Paper, net: Net) -> None:
    """The whole working: a source arm, then a group of branches between the same two points, one of which
    may lead on to a second group."""
    source, *rest = net.arms
    top = net.points[0]
    names = Names(paper, net.points)
    near = [a for a in rest if {a.start, a.end} == {top, net.points[-1]}]
    onward = [a for a in rest if a not in near and top in (a.start, a.end)]
    far = [a for a in rest if a not in near and a not in onward]
    single: dict[str, str] = {}
    for arm in (*far, *near):
        single[arm.current] = series(paper, names, list(arm.resistors))
    group = [single[a.current] for a in near]
    pair = behind = ""
    if onward:
        pair = parallel(paper, names, [single[a.current] for a in far])
        behind = series(paper, names, [*onward[0].resistors, pair])
        group.append(behind)
    together = parallel(paper, names, group)
    whole = series(paper, names, [*source.resistors, together], last=True)
    paper.formula(
        source.current, "I", Quot(Sym(source.emf), Sym(whole)),
        also=[
            ("branch-alone", Quot(Sym(source.emf), Sym(source.resistor))),
            ("subscript", Quot(Sym(source.emf), Sym(together))),
        ], final=True,
    )  # fmt: skip
    across = names.voltage(_alone(near), 0)
    drop: Formula = Prod((Sym(source.current), Sym(together)))
    if paper.chance.random() < 0.4 and len(source.resistors) == 1:
        drop = Sum(((1, Sym(source.emf)), (-1, Prod((Sym(source.current), Sym(source.resistor))))))
    paper.formula(across, "V", drop)
    for arm in near:
        _by_ohm(paper, arm, across, single[arm.current], [a.resistor for a in near if a is not arm])
    if onward:
        arm = onward[0]
        if paper.chance.random() < 0.5 and len(near) == 1:
            paper.formula(
                arm.current, "I", Sum(((1, Sym(source.current)), (-1, Sym(near[0].current)))), final=True
            )
        else:
            _by_ohm(paper, arm, across, behind, [arm.resistor])
        second = names.voltage(_alone(far), 1)
        paper.formula(second, "V", Prod((Sym(arm.current), Sym(pair))))
        for each in far:
            _by_ohm(paper, each, second, single[each.current], [a.resistor for a in far if a is not each])


def _alone(group: list[Arm]) -> str:
    """A resistor that has the whole voltage of the group across it."""
    return next(a.resistor for a in group if not a.more)


def _by_ohm(paper: Paper, arm: Arm, across: str, through: str, alike: list[str]) -> None:
    """A branch current from the voltage across it."""
    paper.formula(
        arm.current, "I", signed(1, Quot(Sym(across), Sym(through))), alike={through: alike[:1]}, final=True
    )
