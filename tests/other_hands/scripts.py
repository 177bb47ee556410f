"""One working from one seed: method, circuit, habits, and at wish one slip."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from .laws import branch_currents
from .meshes import determinants, loop_currents
from .net import Net, Unfit, Wish, drawn, problem_file
from .nodes import node_potentials
from .paper import Habits, Hand, Paper, habits
from .render import Written, written
from .resistors import nest, series_parallel
from .sources import bridge, equivalent_source, superposition

SMALL = ("side by side", "side by side", "four side by side")
LARGER = (*SMALL, "ladder", "bridge", "fan", "doubled triangle")


@dataclass(frozen=True, slots=True)
class Script:
    """A problem and a working of it. `slip`: the one in it ("" where all is right)."""

    method: str
    seed: int
    problem: str
    working: Written
    slip: str
    comma: bool
    habits: Habits


Writer = Callable[[Random, Habits, Hand], tuple[Net, Paper, list[str]]]


def _general(method: Callable[[Paper], None], wish: Wish) -> Writer:
    def write(rng: Random, by: Habits, hand: Hand) -> tuple[Net, Paper, list[str]]:
        net = drawn(rng, wish)
        paper = Paper(net, by, rng, hand)
        method(paper)
        return net, paper, []

    return write


def _nested(rng: Random, by: Habits, hand: Hand) -> tuple[Net, Paper, list[str]]:
    made = nest(rng)
    paper = Paper(made.net, by, rng, hand)
    series_parallel(paper, made)
    return made.net, paper, []


def _equal(rng: Random, by: Habits, hand: Hand) -> tuple[Net, Paper, list[str]]:
    if rng.random() < 0.3:
        net = bridge(rng)
        load = net.branches[4]
    else:
        net = drawn(rng, Wish(SMALL, sources=(1, 2, 2, 2), inside=False))
        loads = [b for b in net.branches if len(b.parts) == 1 and b.fixed is None]
        if not loads:
            raise Unfit("no load")
        load = rng.choice(loads)
    paper = Paper(net, by, rng, hand)
    equivalent_source(paper, load)
    return net, paper, [load.name]


METHODS: dict[str, Writer] = {
    "branch currents": _general(branch_currents, Wish(LARGER)),
    "loop currents": _general(loop_currents, Wish((*LARGER, "long ladder"))),
    "node potentials": _general(node_potentials, Wish(LARGER)),
    "superposition": _general(superposition, Wish(SMALL, sources=(2, 2, 3))),
    "series and parallel": _nested,
    "equivalent source": _equal,
    "determinants": _general(determinants, Wish(LARGER)),
}


def script(method: str, seed: int, *, wrong: bool) -> Script:
    """The working of a seed; where a draw is unfit, the next one of the same seed is taken."""
    chance = Random(f"{method} {seed} {wrong}")
    for _ in range(400):
        dice = chance.randrange(10**9)
        try:
            return _attempt(method, seed, dice, wrong=wrong)
        except (Unfit, ZeroDivisionError):
            continue
    raise RuntimeError(f"{method} {seed}: no draw fits")


def _attempt(method: str, seed: int, dice: int, *, wrong: bool) -> Script:
    hand = Hand()
    net, paper, asked = _write(method, dice, hand)
    slip = ""
    if wrong:
        chooser = Random(dice + 1)
        kinds = sorted({kind for offer in hand.offers for kind in offer})
        kind = chooser.choice(kinds)
        place = chooser.choice([k for k, offer in enumerate(hand.offers) if kind in offer])
        hand = Hand((place, kind), chooser)
        net, paper, asked = _write(method, dice, hand)
        if hand.made is None or hand.fresh or not any(line.planted for line in paper.lines):
            raise Unfit("the slip did not come about")
        slip = kind
    made = written(paper, Random(dice + 2))
    return Script(method, seed, problem_file(net, asked), made, slip, paper.habits.pen.comma, paper.habits)


def _write(method: str, dice: int, hand: Hand) -> tuple[Net, Paper, list[str]]:
    rng = Random(dice)
    return METHODS[method](rng, habits(rng), hand)
