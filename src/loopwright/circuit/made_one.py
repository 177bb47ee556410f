"""Resistances made one, step by step: what lies in series or side by side is drawn as one resistor.

Every step gives the circuit as it is drawn then, a circuit like any other: the new resistor has a symbol of
its own (`R23`) as its value. Branches that meet where nothing else does are drawn as one branch, wires as
points, and what carries no current is left away. Knows no laws and solves nothing.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from ..algebra.ratios import Ratio
from ..expressions.nodes import ONE, Expr, Symbol, add, number, over, times
from ..expressions.values import ratio_of
from ..graph.blocks import blocks
from ..graph.connections import parts
from ..quantities import rounded
from .circuit import Circuit
from .elements import Branch, Element, Kind, Pass

MOST_DIGITS = 4  # of a name such as R234; beyond, a letter is clearer
LETTERS = ("p", "q", "s", "t", "u", "w")
_NUMBERED = re.compile(r"R(\d+)")

LiesIn = Mapping[str, tuple[str, int]]  # branch before -> (branch afterwards, its sense along that)


@dataclass(frozen=True)
class Redrawing:
    """A circuit drawn again without what is idle. `lies_in`: for each branch the one it has become a piece
    of and its sense there. `idle`: the branches that carry no current; `wires`: those that have become a
    point, and whose current only the junction rule tells."""

    circuit: Circuit
    lies_in: LiesIn
    idle: tuple[str, ...] = ()
    wires: tuple[str, ...] = ()


@dataclass(frozen=True)
class MadeOne:
    """One step: the resistors `parts` of the circuit `before` made the resistor `whole`.

    `formula`: its resistance in the values of the parts as they stand in that circuit. `base`: the resistors
    of the circuit at the outset that are in it. `chains`: where they lie side by side, for each its branch
    in `before` and the sense of that along the branch of the whole. `branch`: the branch of `after` in which
    the whole lies, `sense` that of the whole along it, and `ends` the points of the whole before it became
    part of a longer branch. `redrawn`: how the branches that are left lie in those of `after`.
    """

    whole: str
    parts: tuple[str, ...]
    in_series: bool
    formula: Expr
    base: tuple[str, ...]
    ends: tuple[str, str]
    chains: tuple[tuple[str, int], ...]
    branch: str
    sense: int
    before: Circuit
    redrawn: Redrawing

    @property
    def after(self) -> Circuit:
        """The circuit as it is drawn with the parts made one."""
        return self.redrawn.circuit


@dataclass(frozen=True)
class Collapse:
    """A circuit made smaller as far as it goes. `start`: how it is drawn before the first step."""

    circuit: Circuit
    start: Redrawing
    steps: tuple[MadeOne, ...]

    @property
    def last(self) -> Circuit:
        """The circuit as it is drawn when nothing more can be made one."""
        return self.steps[-1].after if self.steps else self.start.circuit

    @cached_property
    def values(self) -> dict[str, Ratio]:
        """The resistance of everything made one, in the symbols of the circuit at the outset."""
        found: dict[str, Ratio] = {}
        for step in self.steps:
            found[step.whole] = ratio_of(step.formula, self.circuit.field, found)
        return found


def collapse(
    circuit: Circuit,
    *,
    only: Collection[str] | None = None,
    keep: Collection[str] = (),
    avoiding: Collection[str] = (),
) -> Collapse:
    """Makes resistors one until nothing more can be. `only`: these resistors, and what is made of them;
    without it all, but those beside a source in one branch only in the last loop left, where it leads on.
    `keep`: points that are to stay ends of branches, as those from which a resistance is seen; `avoiding`:
    names that nothing made one may have."""
    kept = frozenset(keep)
    start = _redrawn(circuit, kept, frozenset(circuit.currents))
    steps: list[MadeOne] = []
    drawn = start.circuit
    base: dict[str, tuple[str, ...]] = {name: (name,) for name in circuit.elements}
    own = frozenset(circuit.currents)
    taken = {*circuit.elements, *circuit.symbols, *circuit.currents, *avoiding}
    allowed = None if only is None else set(only)
    while (found := next(_sets(drawn, allowed), None)) is not None:
        step = _step(drawn, found, base, taken, kept, own, circuit.figures)
        steps.append(step)
        base[step.whole] = step.base
        taken |= {step.whole, *step.after.currents}
        if allowed is not None:
            allowed.add(step.whole)
        drawn = step.after
    return Collapse(circuit, start, tuple(steps))


# -- what can be made one --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Set:
    """Resistors that can be made one: all in one branch, or each alone in a branch of its own."""

    resistors: tuple[str, ...]
    branches: tuple[str, ...]

    @property
    def in_series(self) -> bool:
        return len(self.branches) == 1


def _sets(circuit: Circuit, allowed: Collection[str] | None) -> Iterator[_Set]:
    """What lies in series in a branch without a source, then what lies side by side, then what lies in
    series beside a source, if that leads on."""
    resistors = {b.name: _resistors(circuit, b, allowed) for b in circuit.branches}
    late: list[_Set] = []
    for b in circuit.branches:
        met = resistors[b.name]
        if len(met) < 2:
            continue
        if not circuit.has_source(b):
            yield _Set(met, (b.name,))
        elif allowed is not None or (len(circuit.branches) == 1 and circuit.fixed_current(b.name) is None):
            late.append(_Set(met, (b.name,)))
    seen: set[frozenset[str]] = set()
    for b in circuit.branches:
        ends = frozenset((b.start, b.end))
        if len(ends) == 1 or ends in seen:
            continue
        seen.add(ends)
        beside = [
            other
            for other in circuit.branches
            if {other.start, other.end} == ends
            and len(resistors[other.name]) == 1
            and _is_one_resistor(circuit, other)
        ]
        if len(beside) > 1:
            yield _Set(tuple(resistors[o.name][0] for o in beside), tuple(o.name for o in beside))
    yield from late


def _resistors(circuit: Circuit, branch: Branch, allowed: Collection[str] | None) -> tuple[str, ...]:
    return tuple(
        p.element
        for p in branch.passes
        if circuit.elements[p.element].kind is Kind.RESISTOR and (allowed is None or p.element in allowed)
    )


def _is_one_resistor(circuit: Circuit, branch: Branch) -> bool:
    """Whether a branch is one resistor and wires."""
    kinds = [circuit.elements[p.element].kind for p in branch.passes]
    return (
        kinds.count(Kind.RESISTOR) == 1
        and not circuit.has_source(branch)
        and circuit.fixed_current(branch.name) is None
    )


# -- one step --------------------------------------------------------------------------------------


def _step(
    circuit: Circuit,
    found: _Set,
    base: Mapping[str, tuple[str, ...]],
    taken: Collection[str],
    keep: frozenset[str],
    own: frozenset[str],
    figures: int,
) -> MadeOne:
    inside = tuple(name for part in found.resistors for name in base[part])
    whole = name_for(inside, taken)
    first = circuit.branch(found.branches[0])
    ends = (first.start, first.end)
    chains: tuple[tuple[str, int], ...] = ()
    shares = [circuit.elements[name].value for name in found.resistors]
    formula = add(*shares) if found.in_series else side_by_side(shares)
    if found.in_series:
        made = _with_one(first, found.resistors, whole)
    else:
        made = Branch(_current_name(whole, taken), *ends, (Pass(whole),))
        senses = [1 if circuit.branch(n).start == first.start else -1 for n in found.branches]
        chains = tuple(zip(found.branches, senses, strict=True))
    left = [made if b is first else b for b in circuit.branches if b is first or b.name not in found.branches]
    drawn = _redrawn(_with_resistor(circuit, left, whole, formula, figures), keep, own)
    branch, sense = drawn.lies_in[made.name]
    return MadeOne(
        whole, found.resistors, found.in_series, formula, inside, ends, chains, branch, sense, circuit, drawn
    )


def side_by_side(shares: Sequence[Expr]) -> Expr:
    """The resistance of resistances side by side, as it is written: product over sum for two."""
    if len(shares) == 2:
        return over(times(*shares), add(*shares))
    return over(ONE, add(*(over(ONE, share) for share in shares)))


def name_for(resistors: Sequence[str], taken: Collection[str]) -> str:
    """A name for resistors made one: R23 for R2 and R3, R with a letter where that is no name."""
    numbers = [m[1] for m in map(_NUMBERED.fullmatch, resistors) if m]
    joined = "".join(sorted(numbers, key=int))
    wanted = [f"R{joined}"] if len(numbers) == len(resistors) and len(joined) <= MOST_DIGITS else []
    letters = [f"R{letter}{'′' * count}" for count in range(len(taken) + 1) for letter in LETTERS]
    return next(name for name in (*wanted, *letters) if name not in taken)


def _current_name(whole: str, taken: Collection[str]) -> str:
    stem = f"I{whole[1:]}"
    return next(n for n in (stem + "′" * count for count in range(len(taken) + 1)) if n not in taken)


def _with_one(branch: Branch, resistors: Sequence[str], whole: str) -> Branch:
    """The branch with one resistor where the first of these stands, and without the others."""
    along: list[Pass | str] = []
    for item in branch.along:
        if isinstance(item, str) or item.element not in resistors:
            along.append(item)
        elif item.element == resistors[0]:
            along.append(Pass(whole))
    return replace(branch, along=tuple(along))


def _with_resistor(
    circuit: Circuit, branches: Sequence[Branch], whole: str, formula: Expr, figures: int
) -> Circuit:
    """The circuit with these branches and a resistor more, whose value is its own symbol; the number of
    this where all that it takes is known."""
    numbers, written = dict(circuit.numbers), dict(circuit.written)
    value = ratio_of(formula, circuit.field)
    if circuit.field.symbols and all(name in numbers for name in value.held()):
        numbers[whole] = value.value(numbers)
        written[whole] = told_resistance(numbers[whole], figures)
    own: Expr = Symbol(whole)
    if not circuit.field.symbols:  # a circuit in plain numbers stays one
        own = number(value.value({}))
    return replace(
        circuit,
        branches=tuple(branches),
        elements={**circuit.elements, whole: Element(whole, Kind.RESISTOR, own)},
        numbers=numbers,
        written=written,
        lettered=None,
        find=(),
        expect=(),
        sought=(),
        given=(),
    )


def told_resistance(resistance: Fraction, figures: int) -> str:
    """A resistance as it is written: exactly where two figures more are enough for that, else rounded."""
    told = [rounded(resistance, "Ω", count) for count in range(1, figures + 3)]
    return next((t for t in told if t.value == resistance), told[figures - 1]).text


# -- drawing again ---------------------------------------------------------------------------------


def _redrawn(circuit: Circuit, keep: frozenset[str], own: frozenset[str]) -> Redrawing:
    """The circuit with wires drawn as points, without what is idle, and with branches that meet where
    nothing else does drawn as one. `own`: the names of the currents given at the outset, which stay."""
    free = [b for b in circuit.branches if circuit.fixed_current(b.name) != 0]
    wires = [b for b in free if not b.passes or _is_wire(circuit, b)]
    into = parts(circuit.points, wires).part
    # a kept point gives its name to what it becomes
    renamed = {into[p]: p for p in keep if p in into}
    into = {p: renamed.get(top, top) for p, top in into.items()}
    live = [replace(b, start=into[b.start], end=into[b.end]) for b in free if b not in wires]
    live = _busy(circuit, live, keep)
    lies_in: dict[str, tuple[str, int]] = {b.name: (b.name, 1) for b in live}
    while (pair := _meeting(live, keep)) is not None:
        live = _joined(circuit, live, pair, own, lies_in)
    gone = [b.name for b in circuit.branches if b.name not in lies_in and b not in wires]
    return Redrawing(
        replace(circuit, branches=tuple(live), lettered=None),
        lies_in,
        tuple(gone),
        tuple(b.name for b in wires),
    )


def _is_wire(circuit: Circuit, branch: Branch) -> bool:
    return (
        circuit.fixed_current(branch.name) is None
        and not circuit.has_source(branch)
        and not circuit.resistance(branch.name)
    )


def _busy(circuit: Circuit, live: list[Branch], keep: frozenset[str]) -> list[Branch]:
    """The branches that a source can drive a current through: those that share a loop with one. Two kept
    points count as the ends of a source outside."""
    outside = None
    if len(keep) == 2:
        start, end = sorted(keep)
        outside = Branch("\0outside", start, end, ())
    driven: set[str] = set()
    for group in blocks([*live, *([outside] if outside else [])]):
        is_loop = len(group) > 1 or group[0].start == group[0].end
        if is_loop and any(b is outside or circuit.has_source(b) for b in group):
            driven |= {b.name for b in group}
    return [b for b in live if b.name in driven]


def _meeting(live: Sequence[Branch], keep: frozenset[str]) -> tuple[Branch, Branch, str] | None:
    """Two branches that meet where nothing else does, and the point; where two branches are all there is of
    a loop, they meet at the end of the first."""
    at: dict[str, list[Branch]] = {}
    for b in live:
        at.setdefault(b.end, []).append(b)
        at.setdefault(b.start, []).append(b)
    for point, met in at.items():
        if point not in keep and len(met) == 2 and met[0] is not met[1]:
            return met[0], met[1], point
    return None


def _joined(
    circuit: Circuit,
    live: list[Branch],
    pair: tuple[Branch, Branch, str],
    own: frozenset[str],
    lies_in: dict[str, tuple[str, int]],
) -> list[Branch]:
    """The branches with two that meet drawn as one, that keeps the name and the arrow of the one with a
    source, else of the one named at the outset."""
    *both, point = pair
    order = [b.name for b in circuit.branches]
    one, other = sorted(
        both, key=lambda b: (not circuit.has_source(b), b.name not in own, order.index(b.name))
    )
    sense = 1 if (one.end == point) == (other.start == point) else -1
    turned = tuple(
        Pass(i.element, i.sign * sense) if isinstance(i, Pass) else i for i in other.along[::sense]
    )
    far = other.end if sense > 0 else other.start
    if one.end == point:
        whole = Branch(one.name, one.start, far, (*one.along, point, *turned))
    else:
        near = other.start if sense > 0 else other.end
        whole = Branch(one.name, near, one.end, (*turned, point, *one.along))
    for name, (branch, turn) in lies_in.items():
        if branch == other.name:
            lies_in[name] = one.name, turn * sense
    return [whole if b is one else b for b in live if b is not other]
