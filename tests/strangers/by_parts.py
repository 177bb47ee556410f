"""Superposition: each source alone with the others replaced by wires, the part currents, and their sums; of
circuits with two points."""

from __future__ import annotations

from tests.strangers.circuits import Arm, Net
from tests.strangers.formulas import Formula, Prod, Quot, Sum, Sym, num, side_by_side, times
from tests.strangers.paper import Paper

PART = {0: ("'", "''", "'''"), 1: ("a", "b", "c"), 2: ("'", "''", "'''"), 3: ("a", "b", "c")}


def signed(sign: int, f: Formula) -> Formula:
    """A formula, or minus it."""
    return f if sign > 0 else Sum(((-1, f),))


def suffixes(paper: Paper, net: Net) -> tuple[str, ...]:
    """How the parts are told apart."""
    lettered = not net.arms[0].current[1:].isdigit()
    return PART[0] if lettered else PART[paper.hand.names]


def _alone(paper: Paper, arm: Arm, others: list[Arm]) -> str:
    """The words over a part."""
    resting = " and ".join(paper_name(paper, a.emf) for a in others if a.emf)
    own = paper_name(paper, arm.emf)
    return paper.chance.choice(
        [
            f"{own} alone ({resting} replaced by a wire):",
            f"Only {own} acts, {resting} shorted:",
            f"With {resting} replaced by a wire, {own} alone:",
        ]
    )


def paper_name(paper: Paper, name: str) -> str:
    """A name within words."""
    return f"${paper.name(name)}$" if paper.hand.notation == "tex" else paper.name(name)


def by_parts(paper: Paper, net: Net) -> None:
    """The whole working."""
    hand, chance = paper.hand, paper.chance
    marks = suffixes(paper, net)
    powered = [a for a in net.arms if a.emf]
    by_voltage = chance.random() < 0.4
    top = net.points[0]
    into = {a.current: 1 if a.end == top else -1 for a in net.arms}
    for number, arm in enumerate(powered):
        mark = marks[number]
        others = [a for a in net.arms if a is not arm]
        paper.say(_alone(paper, arm, [a for a in powered if a is not arm]))
        together = _together_name(paper, others, number)
        rest = [Sym(a.resistor) for a in others]
        idle = [a for a in others if not a.emf]
        opened = side_by_side([Sym(a.resistor) for a in idle], hand.parallel)
        paper.formula(
            together, "R", side_by_side(list(rest), hand.parallel), lead=_side_by_side_words(paper, others),
            also=[("superposed-open", opened)],
        )  # fmt: skip
        own = f"{arm.current}{mark}"
        other_emf = next(a.emf for a in powered if a is not arm)
        below = Sum(((1, Sym(arm.resistor)), (1, Sym(together))))
        difference = Sum(((1, Sym(arm.emf)), (-1, Sym(other_emf))))
        paper.formula(
            own, "I", signed(arm.rise, Quot(Sym(arm.emf), below)),
            also=[
                ("source-not-at-rest", signed(arm.rise, Quot(difference, below))),
                ("branch-alone", signed(arm.rise, Quot(Sym(arm.emf), Sym(arm.resistor)))),
                ("wrong-source", signed(arm.rise, Quot(Sym(other_emf), below))),
            ],
        )  # fmt: skip
        if by_voltage or len(others) > 2:
            head = "U" if hand.names in (2, 3) else "V"
            across = f"{head}p{mark}" if mark in net.points else f"{head}{mark}"  # Va is the potential of a
            _shares_by_voltage(paper, across, own, together, others, mark, into, arm)
        else:
            _shares_by_divider(paper, own, others, mark, into, arm)
    paper.talk(chance.choice(["Together:", "Both sources:", "Superposed:", "Add the parts:"]))
    for arm in net.arms:
        parts = tuple((1, Sym(f"{arm.current}{m}")) for m in marks[: len(powered)])
        paper.formula(arm.current, "I", Sum(parts), final=True)


def _together_name(paper: Paper, arms: list[Arm], number: int) -> str:
    if paper.hand.names == 1:
        return f"Rp{number + 1}"
    return "R" + "".join(a.resistor[1:] for a in arms)


def _side_by_side_words(paper: Paper, arms: list[Arm]) -> str:
    if not paper.hand.declare or paper.hand.talk == 0:
        return ""
    *most, last = [paper_name(paper, a.resistor) for a in arms]
    return f"{', '.join(most)} and {last} in parallel: "


def _shares_by_divider(
    paper: Paper, own: str, others: list[Arm], mark: str, into: dict[str, int], arm: Arm
) -> None:
    """Each of two branches takes its share of the current."""
    below = Sum(tuple((1, Sym(a.resistor)) for a in others))
    for arm_here, other in ((others[0], others[1]), (others[1], others[0])):
        sign = 1 if into[arm_here.current] != into[arm.current] else -1
        share = Quot(times(Sym(own), Sym(other.resistor)), below)
        inverted = Quot(times(Sym(own), Sym(arm_here.resistor)), below)
        half = Quot(Sym(own), num(2))
        paper.formula(
            f"{arm_here.current}{mark}", "I", signed(sign, share),
            also=[("divider-inverted", signed(sign, inverted)), ("equal-split", signed(sign, half))],
        )  # fmt: skip


def _shares_by_voltage(
    paper: Paper,
    across: str,
    own: str,
    together: str,
    others: list[Arm],
    mark: str,
    into: dict[str, int],
    arm: Arm,
) -> None:
    """The voltage across them all, and each current from it."""
    sign = into[arm.current]
    paper.formula(across, "V", signed(sign, Prod((Sym(own), Sym(together)))))
    for each in others:
        paper.formula(
            f"{each.current}{mark}", "I", signed(-into[each.current], Quot(Sym(across), Sym(each.resistor))),
            alike={each.resistor: [a.resistor for a in others if a is not each][:1]},
        )  # fmt: skip
