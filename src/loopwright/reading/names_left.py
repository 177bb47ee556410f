"""What names stand for where the lines do not decide: as they are called, by the numbers that the working
gives them or works them from, or as what is left beside the others."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import suppress
from fractions import Fraction

from ..circuit.changed import sources_in
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import Symbol
from ..expressions.values import symbols_of
from ..solve.exact import Solution
from .loop_currents import Meaning, mesh_left
from .potentials_named import called_after
from .quantities import Origin
from .truth.changed import in_setting, part
from .truth.meaning import level
from .truth.rounding import value_of
from .working import AS_DRAWN, Claim

NEAR = Fraction(1, 100)  # of the greatest: what rounding may put between a current and its parts


def sum_called(circuit: Circuit, meaning: Meaning) -> str:
    """What a sum of branch currents is in words: that of resistors side by side, or one round a mesh."""
    branches = [circuit.branch(name) for name in meaning]
    between = {frozenset((b.start, b.end)) for b in branches}
    bare = not any(map(circuit.has_source, branches))
    return "the current of all" if bare and len(between) == 1 else "a mesh current"


def in_one_branch(circuit: Circuit, meaning: Meaning) -> Meaning:
    """The current of the one other branch at a junction, where a sum is what resistors side by side carry
    from there; the sum itself where there is none."""
    if len(meaning) < 2 or not meaning.keys() <= set(circuit.currents):
        return meaning
    if sum_called(circuit, meaning) != "the current of all":
        return meaning
    for point in circuit.junctions:
        met = {b.name: (b.end == point) - (b.start == point) for b in circuit.branches}
        met = {name: way for name, way in met.items() if way}
        others = [name for name in met if name not in meaning]
        ways = {way * met.get(name, 0) for name, way in meaning.items()}
        if len(others) == 1 and len(met) == len(meaning) + 1 and len(ways) == 1 and 0 not in ways:
            return {others[0]: -met[others[0]] * ways.pop()}
    return meaning


def called_currents(
    circuit: Circuit, claims: Sequence[Claim], new_names: Collection[str]
) -> Iterator[tuple[str, str]]:
    """The names that a working first speaks of as another for a current of the problem, `I5 = x`, with that
    current."""
    met: set[str] = set()
    for claim in claims:
        left, right = claim.written.left, claim.written.right
        for one, other in ((left, right), (right, left)):
            if not isinstance(one, Symbol) or not isinstance(other, Symbol) or claim.case:
                continue
            new = other.name in new_names and other.name not in met and other.name[0] not in "VvUuφ"
            if new and one.name in circuit.currents:
                yield other.name, one.name
        met.update(symbols_of(claim.written))


def as_called(
    circuit: Circuit, names: Collection[str], others: Collection[Meaning], origins: Mapping[str, Origin]
) -> dict[str, Meaning]:
    """The potentials that names of which no line is true are called after: VS that of S, against the one
    point that the others are against, the only point that none is called after, or that from which the only
    battery leads with its negative terminal; in the circuit in which the name stands first (`origins`)."""
    points = set(circuit.named_points)
    grounds = {n[2:] for m in others for n, sign in m.items() if n.startswith("φ ") and sign < 0} & points
    called = {n: point for n in names for point in [called_after(circuit, n)] if point}
    called = {n: point for n, point in called.items() if f"R{point}" not in circuit.elements}  # across Rx
    left = points - set(called.values())
    found: dict[str, Meaning] = {}
    for name, own in called.items():
        against = (grounds or left) - {own}
        if len(against) > 1:
            against &= {_below_the_battery(circuit)}
        if len(against) == 1 and own not in grounds:
            setting = origins[name].setting if name in origins else AS_DRAWN
            setting = setting if in_setting(circuit, setting) is not None else AS_DRAWN
            found[name] = {part(level(own), setting): 1, part(level(next(iter(against))), setting): -1}
    return found


def _below_the_battery(circuit: Circuit) -> str:
    """The point at the negative terminal of the only source, a battery that begins or ends its branch there;
    empty where there is none."""
    sources = sources_in(circuit)
    if len(sources) != 1 or circuit.elements[sources[0]].kind is not Kind.BATTERY:
        return ""
    branch = circuit.branch_of(sources[0])
    first, last = branch.passes[0], branch.passes[-1]
    if first.element == sources[0] and first.sign > 0:
        return branch.start
    return branch.end if last.element == sources[0] and last.sign < 0 else ""


def last_of_meshes(
    circuit: Circuit, names: Collection[str], chosen: Mapping[str, Meaning]
) -> Iterator[tuple[str, Meaning]]:
    """What the only current of which no line is true stands for, where all others run round meshes: it runs
    round the one that is left."""
    open_ones = [n for n in names if n[0] in "IiJjxyz"]
    made = [m for m in chosen.values() if set(circuit.currents).issuperset(m)]
    left = mesh_left(circuit, made) if len(open_ones) == 1 and made else None
    if left is not None:
        yield open_ones[0], left


def of_numbers_alone(solution: Solution, name: str, claims: Sequence[Claim]) -> Iterator[Meaning]:
    """What a bare V or U stands for that is worked from numbers alone, and wrongly, between two junctions:
    the potential of the one against the other, of the sign that it is given."""
    circuit = solution.circuit
    given = [c.written.right for c in claims if c.written.left == Symbol(name)]
    if len(circuit.junctions) != 2 or not given or any(symbols_of(one) for one in given):
        return
    one, other = circuit.junctions
    turned = False
    if circuit.has_all_numbers:
        levels = [solution.potentials[p][1].value(circuit.numbers) for p in (one, other)]
        try:
            turned = (levels[0] - levels[1]) * value_of(given[-1], {}) < 0
        except ZeroDivisionError:
            turned = False
    yield {level(one): -1, level(other): 1} if turned else {level(one): 1, level(other): -1}


def as_given(
    solution: Solution,
    claims: Sequence[Claim],
    open_names: Mapping[str, Sequence[Meaning]],
    tied: Sequence[dict[str, int]],
) -> list[dict[str, int]]:
    """Choices under which as many lines are true, those first by which more names come to what the working
    itself gives for the branch currents that they are made of: `ia = 0.917 A` and below `I1 = -0.917 A`
    speak for ia = −I1, whatever is true; and of these, those by which more potentials have the sign that they
    are given."""
    given: dict[str, Fraction] = {}
    for claim in claims:
        left, right = claim.written.left, claim.written.right
        if isinstance(left, Symbol) and not symbols_of(right):
            with suppress(ZeroDivisionError):
                given.setdefault(left.name, value_of(right, {}))

    def fitting(choice: Mapping[str, int]) -> tuple[int, int]:
        count, signs = 0, 0
        for name, at in choice.items():
            made = open_names[name][at]
            if name in given and all(n in given for n in made):
                whole = sum(share * given[n] for n, share in made.items())
                size = max(abs(given[n]) for n in (name, *made))
                count += abs(whole - given[name]) <= size * NEAR
            elif name in given and (true := _level_worth(solution, made)) is not None:
                signs += true * given[name] > 0
        return count, signs

    return sorted(tied, key=fitting, reverse=True)


def _level_worth(solution: Solution, meaning: Meaning) -> Fraction | None:
    """What a potential of the circuit as drawn comes to; None for anything else."""
    points = {n.removeprefix("φ "): sign for n, sign in meaning.items() if n.startswith("φ ")}
    if not solution.circuit.has_all_numbers or len(points) < len(meaning):
        return None
    if not points.keys() <= solution.potentials.keys():
        return None
    numbers = solution.circuit.numbers
    return sum((solution.potentials[p][1].value(numbers) * s for p, s in points.items()), Fraction(0))
