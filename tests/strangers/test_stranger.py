"""The stranger is sound: what it calls right is right by an arithmetic not its own, and its slips show."""

from __future__ import annotations

import random
import re
from fractions import Fraction

import pytest

from tests.strangers.circuits import PAIR3, Arm, Net, drawn
from tests.strangers.draw import METHODS, Drawn, draw
from tests.strangers.figures import as_rounded, determinant, rounded
from tests.strangers.hands import Hand
from tests.strangers.slips import FAIR
from tests.strangers.writers import ASIDE, OPEN

PLAIN = [hand for hand in (*OPEN, *ASIDE) if hand.notation == "plain" and hand.parallel != "bars"]
NUMERIC = re.compile(r"[-0-9.+*/() ·]+")


def sides_in_numbers(line: str, hand: Hand) -> list[float]:
    """What the parts of a chain come to that are plain numbers, worked out by the language itself."""
    tail = line.rpartition(": ")[2]
    unit = r"(?<=[0-9)]) ?(m?[AVW]|k?ohm|k?Ω)$" if hand.units != "none" else "^$"
    parts = [re.sub(unit, "", part.strip()) for part in tail.split("=")]
    plain = [p for p in parts if NUMERIC.fullmatch(p) and any(c.isdigit() for c in p)]
    plain = [re.sub(r"(?<=[0-9)]) ?(?=\()", "*", p.replace("·", "*")) for p in plain]
    return [float(eval(p, {"__builtins__": {}})) for p in plain]


def untrue(working: Drawn) -> list[int]:
    """Lines whose numbers are not equal, as near as the roughest of the hands rounds."""
    out = []
    for number, line in enumerate(working.lines, 1):
        values = sides_in_numbers(line, working.hand)
        size = max((abs(v) for v in values), default=0.0)
        if values and max(values) - min(values) > 0.06 * size:
            out.append(number)
    return out


@pytest.mark.parametrize("method", METHODS)
def test_numbers_of_right_workings_are_equal(method: str) -> None:
    workings = [draw(method, PLAIN, seed, wrong=False) for seed in range(30)]
    assert sum(len(sides_in_numbers(line, w.hand)) > 1 for w in workings for line in w.lines) > 25
    assert [(w.seed, untrue(w)) for w in workings if untrue(w)] == []


@pytest.mark.parametrize("method", METHODS)
def test_arithmetic_slip_shows_in_the_numbers_of_its_line(method: str) -> None:
    workings = [draw(method, PLAIN[:1], seed, wrong=True) for seed in range(60)]
    slips = [
        w for w in workings if w.slip == "digits" and len(sides_in_numbers(w.lines[w.wrong - 1], w.hand)) > 1
    ]
    assert slips
    assert all(untrue(w)[:1] == [w.wrong] for w in slips)


@pytest.mark.parametrize("method", METHODS)
def test_wrong_line_comes_before_what_follows_from_it(method: str) -> None:
    for seed in range(20):
        working = draw(method, [*OPEN, *ASIDE], seed, wrong=True)
        assert working.slip in FAIR
        assert working.lines[working.wrong - 1] != working.right_line
        assert all(number > working.wrong for number in working.follow)


def test_same_seed_gives_the_same_working() -> None:
    assert draw("node", OPEN, 7, wrong=True) == draw("node", OPEN, 7, wrong=True)


def test_two_sources_against_one_load_by_hand() -> None:
    """20 V behind 4 ohm and 2 V behind 2 ohm on 4 ohm: 6 V across it (worked by hand)."""
    arms = (
        Arm("I1", "b", "a", "R1", "E1", 1),
        Arm("I2", "a", "b", "R2", "E2", -1),
        Arm("I3", "a", "b", "R3"),
    )
    values = {n: Fraction(v) for n, v in {"E1": 20, "E2": 2, "R1": 4, "R2": 2, "R3": 4}.items()}
    net = Net(arms, values, False, ("a", "b"), ())
    assert net.potentials()["a"] == 6
    assert net.currents() == {"I1": Fraction(7, 2), "I2": 2, "I3": Fraction(3, 2)}


def test_loops_of_a_shape_close() -> None:
    net = drawn(random.Random(3), PAIR3, 2)
    for loop in net.loops:
        ends = [(net.arms[k].start, net.arms[k].end)[::s] for k, s in loop]
        assert all(a[1] == b[0] for a, b in zip(ends, [*ends[1:], ends[0]], strict=True))


def test_rounding_is_the_rounding_of_school() -> None:
    assert [as_rounded(Fraction(x), 3) for x in ("2", "0.12345", "-1234.5", "9.995")] == [
        "2.00",
        "0.123",
        "-1230",
        "10.0",
    ]
    assert rounded(Fraction("0.125"), 2) == Fraction("0.13")


def test_determinant_of_three_rows() -> None:
    """A magic square of order three has determinant 360 up to its sign (a commonplace, no source)."""
    square = [[Fraction(x) for x in row] for row in ((2, 7, 6), (9, 5, 1), (4, 3, 8))]
    assert determinant(square) == -360
