"""Workings of a stranger's cut off after some lines and finished: true in every line, and read as right.

The currents are worked out here by another route than the product's: potentials in fractions, from the text
of the problem.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from fractions import Fraction

import pytest

from loopwright import finish, read_working
from loopwright.expressions.fold import by_signs, fold
from loopwright.expressions.nodes import Expr, Symbol
from loopwright.expressions.said import as_text
from loopwright.expressions.values import symbols_of
from loopwright.finish.finished import FinishedWorking
from loopwright.problem.problem_file import read_text
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from tests.strangers.draw import Drawn, draw
from tests.strangers.writers import hands_of

OWN_WAY = {"branch": "branch currents", "loop": "loop currents", "node": "node potentials",
           "superposition": "superposition", "determinants": "determinants",
           "collapse": "series and parallel", "equivalent": "an equivalent source"}  # fmt: skip
PART = {"determinants": 0.65}  # of the lines: the first determinant stands by then
SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
ASIDE = 70_000  # seeds that nothing was mended by


def cut(drawn: Drawn, lines: int) -> str:
    return "".join(f"{line}\n" for line in drawn.lines[:lines])


def finished(drawn: Drawn, text: str) -> FinishedWorking:
    circuit, _ = read_text(drawn.problem)
    assert circuit is not None
    return finish(read_working(circuit, text))


def given(problem: str) -> dict[str, Fraction]:
    """The numbers of a problem, ohms in kilohms where they are."""
    texts = tomllib.loads(problem)["numbers"]
    return {name: Fraction(text.split()[0]) for name, text in texts.items()}


def currents(problem: str) -> dict[str, Fraction]:
    """The branch currents, by the potentials of all points but one (Gauss in fractions)."""
    values, branches = given(problem), {}
    for name, way in tomllib.loads(problem)["branches"].items():
        start, *met, end = (part.strip() for part in way.split(","))
        emf = sum((values[m.lstrip("+-")] * (-1 if m[0] == "-" else 1) for m in met if "E" in m), Fraction(0))
        resistance = sum((values[m] for m in met if "E" not in m), Fraction(0))
        branches[name] = start, end, emf, resistance
    points = sorted({p for start, end, _, _ in branches.values() for p in (start, end)})[1:]
    rows = {p: dict.fromkeys([*points, ""], Fraction(0)) for p in points}
    for start, end, emf, resistance in branches.values():
        for here, there, rise in ((start, end, emf), (end, start, -emf)):
            if here in rows:
                rows[here][here] += 1 / resistance
                rows[here][""] -= rise / resistance
                if there in rows:
                    rows[here][there] -= 1 / resistance
    for p in points:
        rows[p] = {k: x / rows[p][p] for k, x in rows[p].items()}
        for q in points:
            if q != p:
                rows[q] = {k: x - rows[q][p] * rows[p][k] for k, x in rows[q].items()}
    levels = {p: rows[p][""] for p in points}
    return {
        name: (levels.get(start, Fraction(0)) - levels.get(end, Fraction(0)) + emf) / resistance
        for name, (start, end, emf, resistance) in branches.items()
    }


def worth(side: Expr, values: dict[str, Fraction]) -> Fraction:
    return fold(side, by_signs(lambda number: number.value, values.__getitem__))


def held(rest: FinishedWorking) -> Iterator[str]:
    for line in rest.lines:
        for side in line.sides:
            yield from symbols_of(side)


def checked(drawn: Drawn, text: str) -> FinishedWorking:
    """The rest, every line of it held against the currents worked out here."""
    rest = finished(drawn, text)
    true, values = currents(drawn.problem), {**given(drawn.problem), **currents(drawn.problem)}
    for line in rest.lines:  # what a name of the working's own comes to is said by its result
        name, end = line.sides[0], line.sides[-1]
        if isinstance(name, Symbol) and (not symbols_of(end) or line.gives_name):
            values.setdefault(name.name, worth(end, values))
    for line in rest.lines:
        if all(n in values for side in line.sides for n in symbols_of(side)):
            assert len({worth(side, values) for side in line.sides}) == 1, line.as_text()
    ends = {n for line in rest.lines for n in symbols_of(line.sides[0])}
    plain = text.replace("_", "").translate(SUBSCRIPTS)
    assert all(name in ends or re.search(rf"{name}\b", plain) for name in true)
    return rest


@pytest.mark.slow
@pytest.mark.parametrize("method", OWN_WAY)
def test_the_rest_is_true_and_is_read_as_right_to_the_end(method: str) -> None:
    drawn = draw(method, hands_of(ASIDE + 1), ASIDE + 1, wrong=False)
    text = cut(drawn, int(len(drawn.lines) * PART.get(method, 0.5)))
    rest = checked(drawn, text)
    assert rest.method == OWN_WAY[method]
    circuit, _ = read_text(drawn.problem)
    assert circuit is not None
    reading = read_working(circuit, text + rest.text)
    assert [v.claim.written for v in reading.verdicts if not v.holds] == []
    assert finish(reading).is_finished
    if drawn.hand.units != "none":
        mark = propose(reading, BUILT_IN["ten"])
        assert mark.total == mark.scheme.out_of
    assert as_text(rest.what_next(4)).endswith(as_text(rest.lines[0].said))


def test_nothing_but_the_names_of_the_working_and_the_problem_occurs() -> None:
    drawn = draw("branch", hands_of(7), 7, wrong=False)  # own names x1, x2, ... for the currents
    rest = checked(drawn, cut(drawn, 8))
    own = set(re.findall(r"[A-Za-z]\w*", drawn.problem + cut(drawn, 8)))
    named = {n for line in rest.lines if line.gives_name for n in symbols_of(line.sides[0])}
    assert set(held(rest)) <= own | named
    assert "x1" in set(held(rest))


TWO_SOURCES = """
[branches]
I1 = "k, +E1, R1, p"
I2 = "p, R2, k"
I3 = "p, R3, k"
I4 = "k, +E4, R4, p"
[numbers]
E1 = "12 V"
E4 = "6 V"
R1 = "2 ohm"
R2 = "6 ohm"
R3 = "3 ohm"
R4 = "4 ohm"
"""


def test_a_way_that_does_not_lead_on_is_said() -> None:
    """Two sources do not come down to one loop, though two resistances can be made one."""
    circuit, _ = read_text(TWO_SOURCES)
    assert circuit is not None
    rest = finish(read_working(circuit, "Rp = R2 R3/(R2 + R3) = 6*3/9 = 2 ohm\n"))
    assert rest.method == "branch currents"
    assert "cannot be gone on with by series and parallel" in rest.turned
    assert worth(rest.lines[-1].sides[-1], {}) in currents(TWO_SOURCES).values()


@pytest.mark.parametrize("method", ["collapse", "equivalent"])
def test_a_working_in_steps_is_finished_from_any_line_on(method: str) -> None:
    """Each cut is gone on with by its own method and leaves nothing to do."""
    drawn = draw(method, hands_of(ASIDE + 2), ASIDE + 2, wrong=False)
    circuit, _ = read_text(drawn.problem)
    assert circuit is not None
    for lines in range(2, len(drawn.lines), 4):
        text = cut(drawn, lines)
        rest = finish(read_working(circuit, text))
        assert rest.method == OWN_WAY[method]
        reading = read_working(circuit, text + rest.text)
        assert [v.claim.written for v in reading.verdicts if not v.holds] == []
        assert finish(reading).is_finished


ALL_ASKED = """
find = ["I1", "I4", "P(E1)", "V(p, k)", "R(p, k) without E1", "R(p, k) without R1, R2"]
[branches]
I1 = "k, +E1, R1, p"
I2 = "p, R2, k"
I3 = "p, R3, q"
I4 = "q, R4, k"
[numbers]
E1 = "12 V"
R1 = "2 ohm"
R2 = "6 ohm"
R3 = "3 ohm"
R4 = "5 ohm"
"""


@pytest.mark.parametrize(
    "begun", ["R34 = R3 + R4", "R34 = R3 + R4 = 8 ohm", "I1 = I2 + I3\n12 = 2 I1 + 6 I2"]
)
def test_all_that_is_asked_is_told_and_read_back(begun: str) -> None:
    """By hand: 6 ohm beside 3 + 5 ohm is 24/7 ohm, and I1 = 12/(2 + 24/7) = 42/19 A."""
    circuit, _ = read_text(ALL_ASKED)
    assert circuit is not None
    rest = finish(read_working(circuit, f"{begun}\n"))
    told = {line.sides[0]: line.sides[-1] for line in rest.lines}
    values = {n: Fraction(v.split()[0]) for n, v in tomllib.loads(ALL_ASKED)["numbers"].items()}
    asked = {n: x for n, x in told.items() if n == Symbol("R(p, k) without E1")}
    assert [worth(x, values) for x in asked.values()] == [Fraction(24, 7)]
    if "ohm" in begun:
        assert worth(told[Symbol("I1")], {}) == Fraction(42, 19)
    reading = read_working(circuit, f"{begun}\n{rest.text}")
    assert [line.text for line in reading.working.lines if line.trouble] == []
    assert [v.claim.written for v in reading.verdicts if not v.holds] == []
    assert finish(reading).is_finished
