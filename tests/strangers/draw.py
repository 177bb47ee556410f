"""One working drawn: a circuit, a hand, a method, and where it is to be wrong, one slip that matters."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from tests.strangers.by_branches import by_branches
from tests.strangers.by_collapse import by_collapse
from tests.strangers.by_equivalent import by_equivalent
from tests.strangers.by_loops import by_determinants, by_loops
from tests.strangers.by_nodes import by_nodes
from tests.strangers.by_parts import by_parts
from tests.strangers.circuits import (
    BRIDGE,
    LADDER,
    PAIR3,
    PAIR4,
    WINDOW,
    Net,
    Shape,
    drawn,
    lengthened,
    natural,
)
from tests.strangers.figures import NoAnswer, cut, decimal
from tests.strangers.formulas import Sum, Sym, total, worth
from tests.strangers.hands import Hand, in_symbols, written
from tests.strangers.paper import Paper, apart

TOLERATED = Fraction(1, 16)
NOWHERE = -1  # wrong at no place, and yet without the checks that a wrong one could not end in
MIXED = 60  # writers who mix, tried before a number that was cut off is called wrong


@dataclass(frozen=True, slots=True)
class Drawn:
    """A working and all that is known of it. `wrong`: number of the first wrong line, 0 where all is right;
    `slip`: its kind; `follow`: numbers of later lines that follow from it."""

    method: str
    seed: int
    hand: Hand
    problem: str
    lines: tuple[str, ...]
    wrong: int = 0
    slip: str = ""
    follow: tuple[int, ...] = ()
    right_line: str = ""

    @property
    def text(self) -> str:
        return "\n".join(self.lines) + "\n"


Writer = Callable[[Paper, Net], None]
METHODS: dict[str, tuple[Writer, list[tuple[Shape, int]]]] = {
    "node": (
        by_nodes,
        [(PAIR3, 2), (PAIR3, 2), (PAIR4, 2), (PAIR4, 3), (LADDER, 2), (BRIDGE, 2), (WINDOW, 2)],
    ),
    "branch": (
        by_branches,
        [(PAIR3, 2), (PAIR3, 2), (PAIR3, 2), (PAIR4, 2), (LADDER, 2), (BRIDGE, 2), (WINDOW, 2)],
    ),
    "loop": (by_loops, [(PAIR3, 2), (PAIR3, 2), (PAIR4, 3), (LADDER, 2), (BRIDGE, 2), (WINDOW, 2)]),
    "determinants": (by_determinants, [(PAIR3, 2), (PAIR3, 2), (PAIR4, 2), (LADDER, 2)]),
    "superposition": (by_parts, [(PAIR3, 2), (PAIR3, 2), (PAIR4, 2)]),
    "collapse": (by_collapse, [(PAIR3, 1), (PAIR4, 1), (LADDER, 1), (LADDER, 1)]),
    "equivalent": (by_equivalent, [(PAIR3, 2), (PAIR3, 2), (PAIR4, 2), (PAIR4, 3)]),
}
"""Method -> who writes it, and of which circuits, with so many batteries."""


IN_LETTERS = ("node", "superposition", "collapse", "equivalent")
"""Methods that a writer of letters alone carries through, on circuits of two points."""


def _closing(paper: Paper, net: Net) -> None:
    """The last words: a check of the currents at the first point, and which way they run."""
    if paper.hand.show == "letters":
        return
    if paper.hand.check and paper.wrong_at is None:
        _check(paper, net)
    against = [a.current for a in net.arms if paper.values[a.current] < 0]
    listed = ", ".join(paper.name(n) for n in against)
    if paper.hand.notation == "tex":
        listed = ", ".join(f"${paper.name(n)}$" for n in against)
    paper.say(f"{listed} negative: against the arrow." if against else "All currents run along their arrows.")


def _check(paper: Paper, net: Net) -> None:
    """What flows in at the first point and what flows out, as near as rounding lets them be."""
    hand, point = paper.hand, net.points[0]
    into = tuple((1, Sym(a.current)) for a in net.arms if a.end == point)
    out = tuple((1, Sym(a.current)) for a in net.arms if a.start == point)
    if not into or not out:
        return
    sums = [total(*into), total(*out)]
    ins, outs = (worth(f, paper.values) for f in sums)
    if apart(ins, outs):
        return
    both = []
    for f, value in zip(sums, (ins, outs), strict=True):
        parts = [written(f, hand, in_symbols(hand)), written(f, hand, paper.leaf())]
        both.append(hand.equation([*parts, decimal(value)] if isinstance(f, Sum) else parts))
    paper.say(f"Check at {point}: in: {both[0]}; out: {both[1]}")


def _write(
    method: str,
    net: Net,
    hand: Hand,
    seed: str,
    wrong_at: int | None = None,
    mixes: random.Random | None = None,
) -> Paper:
    paper = Paper(hand, net.values, net.milli, random.Random(seed), wrong_at, mixes=mixes)
    METHODS[method][0](paper, net)
    _closing(paper, net)
    return paper


def _honest(wrong: Paper, plain: Paper, method: str, net: Net, seed: str) -> bool:
    """Whether an honest writer could have come to a number that was cut off: somebody who goes on now with
    the number on paper and now with the one that the calculator holds, or never rounds at all, or anybody
    between two of these, in so far as rounding to that last place brings them there."""
    assert wrong.slip is not None
    at = wrong.slip.results - 1
    name, value = plain.worked[at]
    reached = [value]
    for attempt in range(MIXED):
        unrounded = replace(wrong.hand, carry=False) if attempt == 0 else wrong.hand
        try:
            paper = _write(method, net, unrounded, seed, NOWHERE, random.Random(f"{seed} {attempt}"))
        except NoAnswer:
            continue
        if len(paper.worked) > at and paper.worked[at][0] == name:
            reached.append(paper.worked[at][1])
    short = cut(value, wrong.hand.figures)
    half = Fraction(1, 2 * 10 ** len(decimal(short).partition(".")[2]))
    return min(reached) - half <= short <= max(reached) + half


def _near(paper: Paper, net: Net) -> bool:
    """Whether rounding has not carried a result out of all recognition."""
    true = net.currents()
    return all(abs(paper.values[n] - i) <= TOLERATED * abs(i) for n, i in true.items())


def draw(method: str, hands: list[Hand], seed: int, wrong: bool) -> Drawn:
    """The working of a seed."""
    chance = random.Random(f"{method} {seed} {wrong}")
    while True:
        hand = chance.choice(hands)
        shape, batteries = chance.choice(METHODS[method][1])
        if hand.show == "letters" and (method not in IN_LETTERS or shape not in (PAIR3, PAIR4)):
            continue
        net = drawn(chance, shape, batteries)
        if batteries == 1:
            net = natural(lengthened(chance, net) if chance.random() < 0.5 else net)
        inner = f"{seed} {chance.random()}"
        try:
            right = _write(method, net, hand, inner)
        except NoAnswer:
            continue
        if not _near(right, net):
            continue
        problem = net.problem([a.current for a in net.arms], f"Network {seed}", hand.show != "letters")
        if not wrong:
            return Drawn(method, seed, hand, problem, tuple(right.lines))
        plain = _write(method, net, hand, inner, NOWHERE)
        kinds = sorted(set(right.chances))
        for _ in range(12):
            kind = chance.choice(kinds)
            at = chance.choice([i for i, k in enumerate(right.chances) if k == kind])
            try:
                paper = _write(method, net, hand, inner, at)
            except NoAnswer:
                continue
            slip = paper.slip
            if slip is None or not slip.matters or len(paper.lines) != len(plain.lines):
                continue
            unlike = [i for i, (x, y) in enumerate(zip(plain.lines, paper.lines, strict=True), 1) if x != y]
            if not unlike or unlike[0] != slip.line or slip.kind != kind:
                continue
            if kind == "cut-off" and _honest(paper, plain, method, net, inner):
                continue
            return Drawn(
                method, seed, hand, problem, tuple(paper.lines), slip.line, slip.kind,
                tuple(i for i in unlike[1:] if "=" in paper.lines[i - 1]), plain.lines[slip.line - 1],
            )  # fmt: skip
