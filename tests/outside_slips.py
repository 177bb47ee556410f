"""Slips committed once more, outside: by NumPy, on equations set up from the text of a problem file.

Shares nothing with the product but the words in which it says where a slip was made: `sign of Ib R2 in loop
rail-bus (Ib Ih)`. What such words come to in numbers is worked here from the start, in floating point.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass

import numpy as np

OutsideRow = dict[str, float]  # what each current is multiplied by; the number that stands alone under ""
Values = dict[str, float]
_ELEMENT = re.compile(r"([+-]?)([A-Z]\w*)")


@dataclass(frozen=True)
class OutsideTerm:
    """One term of an equation: its name as a person says it, the current in it, what it is multiplied by."""

    said: str
    current: str
    factor: float


class OutsideCircuit:
    """A circuit read from its text, with the equations that are named to it."""

    def __init__(self, text: str, equations: Sequence[str]) -> None:
        told = tomllib.loads(text)
        self.numbers = {name: float(value.split()[0]) for name, value in told["numbers"].items()}
        self.inside = {n: e["internal"] for n, e in told.get("elements", {}).items() if "internal" in e}
        self.branches = {
            name: [part.strip() for part in way.split(",")] for name, way in told["branches"].items()
        }
        self.currents = list(self.branches)
        self.equations = {name: self.terms(name) for name in equations}

    def beside(self, row: str, company: Sequence[str]) -> OutsideCircuit:
        """The same with an equation and others of its kind in the place of those it had."""
        kind = row.split()[0]
        kept = [n for n in self.equations if not n.startswith(kind)]
        other = copy(self)
        other.equations = {n: self.terms(n) for n in [*kept, row, *company]}
        return other

    # -- equations ---------------------------------------------------------------------------------

    def terms(self, name: str) -> list[OutsideTerm]:
        """The terms of an equation by its name, adding up to zero."""
        kind, rest = name.split(" ", 1)
        if kind == "junction":
            signs = {n: (way[-1] == rest) - (way[0] == rest) for n, way in self.branches.items()}
            return [OutsideTerm(n, n, float(sign)) for n, sign in signs.items() if sign]
        points, names = re.fullmatch(r"(\S+) \((.*)\)", rest).groups()  # type: ignore[union-attr]
        at, found = points.split("-")[0], []
        for n in names.split():
            way = self.branches[n]
            sense = 1 if way[0] == at else -1
            at = way[-1] if sense > 0 else way[0]
            found += [t for part in way[1:-1][::sense] for t in self.crossed(n, part, sense)]
        return found

    def sense(self, loop: str, branch: str) -> int:
        """Whether a loop runs along the arrow of a branch (+1) or against it (−1)."""
        points, names = re.fullmatch(r"loop (\S+) \((.*)\)", loop).groups()  # type: ignore[union-attr]
        at, sense = points.split("-")[0], 0
        for n in names.split():
            way = self.branches[n]
            along = 1 if way[0] == at else -1
            at = way[-1] if along > 0 else way[0]
            sense = along if n == branch else sense
        return sense

    def crossed(self, branch: str, part: str, sense: int) -> Iterator[OutsideTerm]:
        sign, name = _ELEMENT.fullmatch(part).groups()  # type: ignore[union-attr]
        if name.startswith("E"):
            yield OutsideTerm(name, "", sense * (-1 if sign == "-" else 1) * self.numbers[name])
            if name in self.inside:
                yield OutsideTerm(f"{branch} r({name})", branch, -sense * self.numbers[self.inside[name]])
        else:
            yield OutsideTerm(f"{branch} {name}", branch, -sense * self.numbers[name])

    def resistance(self, branch: str) -> float:
        """All resistance along a branch."""
        return sum(
            -t.factor
            for part in self.branches[branch][1:-1]
            for t in self.crossed(branch, part, 1)
            if t.current
        )

    def rise(self, branch: str) -> float:
        """The emfs along the arrow of a branch."""
        parts = self.branches[branch][1:-1]
        return sum(t.factor for part in parts for t in self.crossed(branch, part, 1) if not t.current)

    def solved(self, equations: Sequence[Sequence[OutsideTerm]]) -> Values | None:
        """The currents that satisfy the equations; None where these are not as many as independent."""
        matrix = np.zeros((len(equations), len(self.currents)))
        right = np.zeros(len(equations))
        for i, terms in enumerate(equations):
            for t in terms:
                if t.current:
                    matrix[i, self.currents.index(t.current)] += t.factor
                else:
                    right[i] -= t.factor
        if matrix.shape[0] != matrix.shape[1] or np.linalg.matrix_rank(matrix) < len(matrix):
            return None
        return dict(zip(self.currents, map(float, np.linalg.solve(matrix, right)), strict=True))

    @property
    def right(self) -> Values:
        """The right currents."""
        found = self.solved(list(self.equations.values()))
        assert found is not None
        return found

    def determinants(self, numbers: Values) -> Values:
        """What stands below the line in the closed forms (under "") and above it for each current, in these
        numbers: by Cramer's rule, of one sign. They need not be positive."""
        held, self.numbers = self.numbers, numbers
        equations = [self.terms(name) for name in self.equations]
        self.numbers = held
        size = len(self.currents)
        matrix, right = np.zeros((size, size)), np.zeros(size)
        for i, terms in enumerate(equations):
            for t in terms:
                if t.current:
                    matrix[i, self.currents.index(t.current)] += t.factor
                else:
                    right[i] -= t.factor
        found = {"": float(np.linalg.det(matrix))}
        for k, name in enumerate(self.currents):
            changed = matrix.copy()
            changed[:, k] = right
            found[name] = float(np.linalg.det(changed))
        return found

    def coefficient(self, product: str, current: str = "") -> float:
        """What a product of symbols is multiplied by below the line, or above it for a current."""
        names = product.split()
        found = round(self.determinants({n: float(n in names) for n in self.numbers})[current])
        assert abs(found) == 1
        return float(found)

    def worth(self, product: str) -> float:
        """A product of symbols in numbers."""
        return float(np.prod([self.numbers[n] for n in product.split()]))

    # -- slips -------------------------------------------------------------------------------------

    def with_row(self, name: str, terms: Sequence[OutsideTerm]) -> Values | None:
        """What the equations come to with other terms in one of them."""
        return self.solved([terms if n == name else held for n, held in self.equations.items()])

    def everywhere(self, change: Callable[[OutsideTerm], OutsideTerm | None]) -> Values | None:
        """What the equations come to with every term changed so."""
        changed = [[change(t) for t in held] for held in self.equations.values()]
        return self.solved([[t for t in held if t is not None] for held in changed])

    def slipped(self, place: str) -> Values | str | None:
        """What a slip made in this place comes to; None where it leaves no single answer, and the word
        `unknown` where these words mean nothing here."""
        for pattern, work in _SLIPS:
            if found := pattern.fullmatch(place):
                return work(self, *found.groups())
        return "unknown"


def turned(term: OutsideTerm) -> OutsideTerm:
    """The term with its other sign."""
    return OutsideTerm(term.said, term.current, -term.factor)


def _one(
    change: Callable[[OutsideTerm], list[OutsideTerm]],
) -> Callable[[OutsideCircuit, str, str], Values | None]:
    """A slip in one term of one equation."""

    def work(circuit: OutsideCircuit, said: str, row: str) -> Values | None:
        held = circuit.equations[row]
        assert any(t.said == said for t in held)
        return circuit.with_row(row, [new for t in held for new in (change(t) if t.said == said else [t])])

    return work


def _all_drops(circuit: OutsideCircuit, way: str | None, row: str) -> Values | None:
    """Every drop with a minus, the loop travelled as it is or the other way."""
    held = [turned(t) if way else t for t in circuit.equations[row]]
    return circuit.with_row(
        row, [OutsideTerm(t.said, t.current, -abs(t.factor)) if t.current else t for t in held]
    )


def _from_on(circuit: OutsideCircuit, said: str, row: str) -> Values | None:
    held = circuit.equations[row]
    at = [t.said for t in held].index(said)
    return circuit.with_row(row, [*held[:at], *map(turned, held[at:])])


def _for_in_drop(circuit: OutsideCircuit, other: str, own: str, row: str) -> Values | None:
    """The current of another branch of the loop in a drop, counted as the loop meets it."""
    held = circuit.equations[row]
    sense = circuit.sense(row, other)
    return circuit.with_row(
        row, [OutsideTerm(t.said, other, -sense * abs(t.factor)) if t.current == own else t for t in held]
    )


def _another_element(circuit: OutsideCircuit, other: str, own: str, said: str, row: str) -> Values | None:
    held = circuit.equations[row]
    factor = circuit.numbers[other] / circuit.numbers[own]
    return circuit.with_row(
        row, [OutsideTerm(t.said, t.current, t.factor * factor) if t.said == said else t for t in held]
    )


def _factor_missing(circuit: OutsideCircuit, kept: str, said: str, row: str) -> Values | None:
    held = circuit.equations[row]
    bare = [
        OutsideTerm(kept, t.current, float(np.sign(t.factor)))
        if kept == t.current
        else OutsideTerm(kept, "", t.factor)
        for t in held
        if t.said == said
    ]
    return circuit.with_row(row, [t for t in held if t.said != said] + bare)


def _instead(circuit: OutsideCircuit, name: str, row: str) -> Values | None:
    return circuit.with_row(row, [OutsideTerm(name, name, 1.0)])


def _through_junction(
    circuit: OutsideCircuit, name: str, said: str, junction: str, row: str, factor: float
) -> Values | None:
    """A current put into a drop by a junction equation, one of its parts wrongly multiplied: by `factor`
    times what the drop multiplies it with (0: by one alone)."""
    (drop,) = [t for t in circuit.equations[row] if t.said == said]
    ends = circuit.terms(junction)
    (own,) = [t for t in ends if t.current == drop.current]
    parts = [
        OutsideTerm(t.said, t.current, -t.factor / own.factor * drop.factor) for t in ends if t is not own
    ]

    def part(t: OutsideTerm) -> OutsideTerm:
        if t.current != name:
            return t
        return OutsideTerm(t.said, t.current, t.factor * factor if factor else t.factor / abs(drop.factor))

    rest = [t for t in circuit.equations[row] if t is not drop]
    return circuit.with_row(row, [*rest, *map(part, parts)])


def _only(change: Callable[[Values, str], Values]) -> Callable[[OutsideCircuit, str], Values | None]:
    """A slip in what is done with the right results."""
    return lambda circuit, names: change(circuit.right, names)


def _times(circuit: OutsideCircuit, name: str, how: str, size: str) -> Values | None:
    factor = float(size) if how == "times" else 1 / float(size)
    right = circuit.right
    return {n: v * factor if name in (n, "every current") else v for n, v in right.items()}


def _with_sign(values: Values, names: str, factor: float) -> Values:
    chosen = names.split(" and ")
    return {n: v * factor if n in chosen else v for n, v in values.items()}


def _split(circuit: OutsideCircuit, name: str, point: str) -> Values:
    """A current that divides equally among the other branches at a point."""
    right = circuit.right
    others = [n for n, way in circuit.branches.items() if n != name and point in (way[0], way[-1])]
    coming = right[name] * (1 if circuit.branches[name][-1] == point else -1)
    shares = {n: coming / len(others) * (1 if circuit.branches[n][0] == point else -1) for n in others}
    return {name: right[name], **shares}


def _least(circuit: OutsideCircuit, name: str, point: str) -> Values:
    """A current that all goes through the smallest of the other resistances at a point."""
    shares = _split(circuit, name, point)
    others = [n for n in shares if n != name]
    smallest = min(others, key=circuit.resistance)
    return {n: v if n == name else v * len(others) if n == smallest else 0.0 for n, v in shares.items()}


def _shared(circuit: OutsideCircuit, one: str, other: str, how: str) -> Values:
    """Two branches side by side that share their sum by their resistances, the wrong way round or right."""
    right = circuit.right
    sense = 1 if circuit.branches[one][0] == circuit.branches[other][0] else -1
    total = right[one] + sense * right[other]
    r, s = circuit.resistance(one), circuit.resistance(other)
    part = r / (r + s) if "own" in how else s / (r + s)
    return {**right, one: total * part, other: sense * total * (1 - part)}


def _parallel_loops(
    circuit: OutsideCircuit, how: str, name: str, first: str, second: str, kept: str
) -> Values | None:
    """Two loop equations put together wrongly so that a current stays in, one of them kept."""
    one, other = circuit.equations[first], circuit.equations[second]
    factor = {t.current: t.factor for t in one}.get(name), {t.current: t.factor for t in other}.get(name)
    assert all(factor)
    alike = (factor[0] or 0) * (factor[1] or 0) > 0
    sign = 1.0 if how == "added" else -1.0
    assert alike == (how == "added")
    gone = [
        t
        for t in [*one, *(OutsideTerm(t.said, t.current, sign * t.factor) for t in other)]
        if t.current != name
    ]
    rows = [held for n, held in circuit.equations.items() if n not in (first, second)]
    return circuit.solved([*rows, gone, circuit.equations[kept]])


def _below(circuit: OutsideCircuit, product: str, keep: float, other: str, current: str) -> Values | None:
    """Closed forms with a product below the line `keep` times there, and with another put there."""
    known = circuit.determinants(circuit.numbers)
    c = circuit.coefficient(product)
    below = known[""] - (1 - keep) * c * circuit.worth(product) + (c * circuit.worth(other) if other else 0.0)
    if abs(below) < 1e-9 * abs(known[""]):
        return None
    names = [current] if current else circuit.currents
    return {n: known[n] / below if n in names else known[n] / known[""] for n in circuit.currents}


def _above(circuit: OutsideCircuit, product: str, keep: float, other: str, current: str) -> Values:
    """The same for a product above the line."""
    known = circuit.determinants(circuit.numbers)
    c = circuit.coefficient(product, current)
    above = (
        known[current]
        - (1 - keep) * c * circuit.worth(product)
        + (c * circuit.worth(other) if other else 0.0)
    )
    return {**circuit.right, current: above / known[""]}


def _exchanged(circuit: OutsideCircuit, one: str, other: str, current: str) -> Values:
    """Two symbols in one another's place above the line."""
    swapped = circuit.numbers | {one: circuit.numbers[other], other: circuit.numbers[one]}
    found = circuit.determinants(swapped)[current] / circuit.determinants(circuit.numbers)[""]
    return {**circuit.right, current: found}


def _times_but_for(circuit: OutsideCircuit, row: str, factor: str, said: str) -> Values | None:
    """An equation multiplied through but for one term."""
    size = circuit.numbers[factor]
    return circuit.with_row(
        row,
        [
            t if t.said == said else OutsideTerm(t.said, t.current, t.factor * size)
            for t in circuit.equations[row]
        ],
    )


def _shared_once(circuit: OutsideCircuit, name: str, first: str, second: str, kept: str) -> Values | None:
    """Two loop equations added, a term that stands in both counted once."""
    once = [t for t in circuit.equations[second] if t.current != name]
    rows = [held for n, held in circuit.equations.items() if n not in (first, second)]
    return circuit.solved([*rows, [*circuit.equations[first], *once], circuit.equations[kept]])


def _alone(circuit: OutsideCircuit) -> Values:
    """Each battery on the resistance of its own branch; one branch left over by a junction."""
    driven = {n: circuit.rise(n) / circuit.resistance(n) for n in circuit.currents if circuit.rise(n)}
    (left, *others) = [n for n in circuit.currents if n not in driven]
    if others:
        return driven
    end = circuit.branches[left][0]
    total = sum(v * (1 if circuit.branches[n][-1] == end else -1) for n, v in driven.items())
    return {**driven, left: total}


def _net(circuit: OutsideCircuit, signs: str) -> Values:
    rises = sorted((abs(circuit.numbers[n]) for n in circuit.numbers if n.startswith("E")), reverse=True)
    total = sum(rises) if signs.startswith("all") else rises[0] - sum(rises[1:])
    through = total / sum(map(circuit.resistance, circuit.currents))
    return dict.fromkeys(circuit.currents, through)


_ROW = r"((?:junction \S+)|(?:loop \S+ \([^)]*\)))"
_ALL = r"(\w+(?: \w+)+)"
_FORMS = r"in the closed forms?(?: of (\w+))?"
_TERM = r"(\S+(?: (?:r\(\w+\)|\w+))?)"
_SLIPS: list[tuple[re.Pattern[str], Callable[..., Values | str | None]]] = [
    (re.compile(pattern), work)
    for pattern, work in (
        (rf"sign of {_TERM} in {_ROW}", _one(lambda t: [turned(t)])),
        (rf"{_TERM} of {_ROW} keeps its sign when moved", _one(lambda t: [turned(t)])),
        (rf"{_TERM} left out in {_ROW}", _one(lambda t: [])),
        (rf"{_TERM} twice in {_ROW}", _one(lambda t: [t, t])),
        (rf"(\S+) for (\S+) in its drop in {_ROW}", _for_in_drop),
        (rf"{_ALL} missing below, {_FORMS}", lambda c, p, k: _below(c, p, 0.0, "", k)),
        (rf"minus before {_ALL} below, {_FORMS}", lambda c, p, k: _below(c, p, -1.0, "", k)),
        (rf"{_ALL} for {_ALL} below, {_FORMS}", lambda c, q, p, k: _below(c, p, 0.0, q, k)),
        (rf"{_ALL} missing above, {_FORMS}", lambda c, p, k: _above(c, p, 0.0, "", k)),
        (rf"sign of {_ALL} above, {_FORMS}", lambda c, p, k: _above(c, p, -1.0, "", k)),
        (rf"{_ALL} for {_ALL} above, {_FORMS}", lambda c, q, p, k: _above(c, p, 0.0, q, k)),
        (rf"(\w+) and (\w+) exchanged above, {_FORMS}", _exchanged),
        (rf"{_ROW} times (\w+) but for {_TERM}", _times_but_for),
        (rf"(\w+) counted once in the sum of {_ROW} and {_ROW}, {_ROW} kept", _shared_once),
        (r"each battery on its own resistance", _alone),
        (
            r"the ends of (\w+) taken for one point",
            lambda c, n: c.everywhere(lambda t: None if n in t.said.split() else t),
        ),
        (
            r"(\w+), as an internal resistance, not counted",
            lambda c, n: c.everywhere(lambda t: None if n in t.said.split() else t),
        ),
        (r"ammeter across (\w+)", lambda c, n: c.everywhere(lambda t: None if n in t.said.split() else t)),
        (rf"(\w+) for (\w+) in {_TERM} in {_ROW}", _another_element),
        (rf"(\w+) for {_TERM} in {_ROW}", _factor_missing),
        (rf"all drops(, travelled the other way,)? in {_ROW}", _all_drops),
        (rf"from {_TERM} on in {_ROW}", _from_on),
        (rf"(\w+) = 0 in the place of {_ROW}", _instead),
        (
            rf"all sources in {_ROW}",
            lambda c, row: c.with_row(
                row, [t if t.current else OutsideTerm(t.said, "", abs(t.factor)) for t in c.equations[row]]
            ),
        ),
        (
            r"all batteries the wrong way round",
            lambda c: c.everywhere(lambda t: t if t.current else turned(t)),
        ),
        (
            r"(\w+) the wrong way round throughout",
            lambda c, n: c.everywhere(lambda t: turned(t) if t.said == n else t),
        ),
        (
            r"(\w+) left out throughout",
            lambda c, n: c.everywhere(lambda t: None if n in t.said.split() else t),
        ),
        (
            rf"(\w+) without its factor where {_TERM} is put in by (junction \S+) in {_ROW}",
            lambda c, n, said, j, row: _through_junction(c, n, said, j, row, 0.0),
        ),
        (
            rf"sign of (\w+) lost where {_TERM} is put in by (junction \S+) in {_ROW}",
            lambda c, n, said, j, row: _through_junction(c, n, said, j, row, -1.0),
        ),
        (r"minus of (.*) dropped", _only(lambda v, names: _with_sign(v, names, -1.0))),
        (r"(.*): arrow turned and minus kept", _only(lambda v, names: _with_sign(v, names, -1.0))),
        (r"(\w+(?: and \w+)*) set to 0", _only(lambda v, names: _with_sign(v, names, 0.0))),
        (r"(\w+) with its sign reversed", _only(lambda v, names: _with_sign(v, names, -1.0))),
        (r"(\w+) counted along the other arrow", _only(lambda v, names: _with_sign(v, names, -1.0))),
        (r"(\w+|every current) (times|over) (10+)", _times),
        (r"(\w+) divided equally at (\w+)", _split),
        (r"(\w+) all in the smallest resistance at (\w+)", _least),
        (
            r"(\w+) and (\w+) shared out (by their own resistance|as by resistances alone, .* left aside)",
            _shared,
        ),
        (rf"(added|subtracted) to remove (\w+): {_ROW} and {_ROW}, {_ROW} kept", _parallel_loops),
        (r"(the larger emf less the others|all emfs added), over all resistances, in every branch", _net),
    )
]
