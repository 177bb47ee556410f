"""Ideas about circuits committed once more, outside: by NumPy, from branches and the sentence for the slip.

Where a slip makes another circuit of it (a branch cut, a battery alone, a point joined to another), that
circuit is solved by the potentials of its points; where it writes other equations, these are set up and
their rank is looked at. Sentences on one term of one equation are in `outside_slips`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import partial

import numpy as np

from tests.outside_networks import (
    TINY,
    OutsideSystem,
    between,
    edges_of,
    network,
    point_laws,
    side_by_side,
    system,
)
from tests.outside_slips import OutsideCircuit, OutsideTerm, Values

Found = Values | OutsideSystem | str | None


# -- other circuits, by the potentials of their points -------------------------------------------------


def _voltage(c: OutsideCircuit, a: str, b: str) -> float:
    """The right V(a, b), along branches from a to b."""
    right, level = c.right, {a: 0.0}
    for _ in c.branches:
        for n, way in c.branches.items():
            fall = right[n] * c.resistance(n) - c.rise(n)
            if way[0] in level:
                level.setdefault(way[-1], level[way[0]] - fall)
            elif way[-1] in level:
                level[way[0]] = level[way[-1]] + fall
    return level[a] - level[b]


def _driven(c: OutsideCircuit) -> list[str]:
    return [n for n, way in c.branches.items() if any("E" in part for part in way[1:-1])]


def _one_battery(c: OutsideCircuit, battery: str) -> Values:
    """The emfs along the branches with all batteries but one replaced by wires."""
    return {
        n: sum(t.factor for part in way[1:-1] for t in c.crossed(n, part, 1) if t.said == battery)
        for n, way in c.branches.items()
    }


def _batteries(c: OutsideCircuit) -> list[str]:
    return [n for n in c.numbers if n.startswith("E")]


def _across_other(c: OutsideCircuit, name: str, how: str, inside: Callable[[list[float]], float]) -> Values:
    """A branch fed by the others, which hold batteries: an emf made of theirs over `inside` and its own."""
    start = c.branches[name][0]
    rises = [c.rise(n) * (1 if c.branches[n][-1] == start else -1) for n in _driven(c) if n != name]
    emf = {"sum": sum(rises), "mean": sum(rises) / len(rises), "larger": max(rises, key=abs)}[how]
    own = [c.resistance(n) for n in _driven(c) if n != name]
    return {name: emf / (inside(own) + c.resistance(name))}


def _added_across(c: OutsideCircuit, name: str) -> Values:
    found = _across_other(c, name, "sum", lambda _: 0.0)
    start, *_, end = c.branches[name]
    return {**found, f"V({start}, {end})": found[name] * c.resistance(name)}


def _parallel(sizes: Iterable[float]) -> float:
    return 1 / sum(1 / size for size in sizes)


def _superposed_open(c: OutsideCircuit) -> Values:
    """Each battery with the branches of the others cut out, added up."""
    parts = [network(c, cut=[m for m in _driven(c) if m != n]) for n in _driven(c)]
    return {n: sum(part[n] for part in parts) for n in c.currents}


def _branch_of(c: OutsideCircuit, element: str) -> str:
    (name,) = [n for n, way in c.branches.items() if any(p.lstrip("+-") == element for p in way[1:-1])]
    return str(name)


def _powers_added(c: OutsideCircuit, element: str) -> Values:
    name = _branch_of(c, element)
    alone = [network(c, rises=_one_battery(c, b))[name] for b in _batteries(c)]
    return {f"P({element})": sum(i * i for i in alone) * c.numbers[element]}


def _whole_emf(c: OutsideCircuit, battery: str) -> Values:
    passed = [p for way in c.branches.values() for p in way[1:-1] if p.startswith("R")]
    return {f"P({p})": c.numbers[battery] ** 2 / c.numbers[p] for p in passed}


def _charging(c: OutsideCircuit, a: str, b: str, battery: str) -> Values:
    """The emf less the drop in the battery's own resistance; that of its branch where it has none named."""
    name = _branch_of(c, battery)
    current = abs(c.right[name])
    way = c.branches[name]
    inside = c.inside.get(battery)
    drop = current * (c.numbers[inside] if inside else c.resistance(name))
    sense = 1 if way[-1] == a else -1
    rise = c.rise(name) * sense
    return {f"V({a}, {b})": (1 if rise > 0 else -1) * (abs(rise) - drop)}


def _divider(c: OutsideCircuit, one: str, other: str, beside: str) -> Values:
    """The divider rule for a source's branch and one resistance, another connected beside that one."""
    through = c.rise(one) / (c.resistance(one) + c.resistance(other))
    v = through * c.resistance(other)
    way = c.branches[other]
    sense = 1 if c.branches[beside][0] == way[0] else -1
    return {
        one: through,
        other: through,
        beside: sense * v / c.resistance(beside),
        f"V({way[0]}, {way[-1]})": v,
    }


def _group(c: OutsideCircuit, names: str, together: Callable[[list[float]], float]) -> Values:
    """The one source's current, what stands side by side in a group of branches put together wrongly."""
    (source,) = _driven(c)
    group = edges_of(c, names.split(", "))
    rest = edges_of(c, [n for n in c.currents if n not in names.split(", ")])
    p, q = sorted({at for e in group for at in e[:2]} & {at for e in rest for at in e[:2]})
    parts = [between(part, p, q) for part in side_by_side(group, p, q)]
    start, *_, end = c.branches[source]
    others = edges_of(c, [n for n in c.currents if n not in {source, *names.split(", ")}])
    outside = between([*others, (p, q, together(parts))], start, end)
    return {source: c.rise(source) / (c.resistance(source) + outside)}


# -- other equations -----------------------------------------------------------------------------------


def _without(c: OutsideCircuit, *names: str) -> list[list[OutsideTerm]]:
    assert all(n in c.equations for n in names)
    return [terms for n, terms in c.equations.items() if n not in names]


def _only_loops(c: OutsideCircuit, names: str) -> OutsideSystem:
    loops = re.findall(_ONE_LOOP, names)
    return system(c, [c.terms(n) for n in [*(n for n in c.equations if n.startswith("junction")), *loops]])


def _one_name(c: OutsideCircuit, one: str, other: str) -> OutsideSystem:
    same = [OutsideTerm(one, one, 1.0), OutsideTerm(other, other, -1.0)]
    return system(c, [*c.equations.values(), same])


def _a_loop_more(c: OutsideCircuit, junction: str) -> OutsideSystem:
    """A sum of the loops is one more loop at most: it says nothing that they do not say."""
    loops = [terms for n, terms in c.equations.items() if n.startswith("loop")]
    return system(c, [*_without(c, junction), [t for terms in loops for t in terms]])


def _in_chain(c: OutsideCircuit, gone: str, kept: str, row: str) -> Values | None:
    """One current in every drop of two branches of a loop, counted as the loop meets it."""
    sense = c.sense(row, kept)
    held = c.equations[row]
    return c.with_row(
        row, [OutsideTerm(t.said, kept, -sense * abs(t.factor)) if t.current == gone else t for t in held]
    )


def _loops(c: OutsideCircuit) -> dict[str, dict[str, int]]:
    """How each loop of the set runs along the branches."""
    return {
        loop: {n: sense for n in c.currents if (sense := c.sense(loop, n))}
        for loop in c.equations
        if loop.startswith("loop")
    }


def _mesh(c: OutsideCircuit, weigh: Callable[[str, str, str], float]) -> Values:
    """Currents by loop currents; `weigh`: what a loop's equation counts another's current for in a branch."""
    ways = _loops(c)
    names = list(ways)
    matrix, right = np.zeros((len(names), len(names))), np.zeros(len(names))
    for i, own in enumerate(names):
        for n, sense in ways[own].items():
            right[i] += sense * c.rise(n)
            for j, other in enumerate(names):
                matrix[i, j] += sense * ways[other].get(n, 0) * c.resistance(n) * weigh(own, other, n)
    found = np.linalg.solve(matrix, right)
    return {
        n: float(sum(ways[loop].get(n, 0) * found[j] for j, loop in enumerate(names))) for n in c.currents
    }


def _mesh_sum(c: OutsideCircuit, branch: str, where: str) -> Values:
    wrong = re.findall(_ONE_LOOP, where)
    return _mesh(c, lambda own, other, n: -1.0 if n == branch and own in wrong and own != other else 1.0)


def _own_only(c: OutsideCircuit, where: str = "") -> Values:
    """Every loop of the set, or of these, by its own current alone."""
    loops = re.findall(_ONE_LOOP, where)
    held = c.beside(loops[0], loops[1:]) if loops else c
    return _mesh(held, lambda own, other, _: float(own == other))


def _own_loops(c: OutsideCircuit) -> Values:
    """Each loop's own current, told where the loop's batteries are."""
    found, ways = _own_only(c), _loops(c)
    met = {n: sum(n in way for way in ways.values()) for n in c.currents}
    return {n: v for n, v in found.items() if met[n] == 1}


# -- closed forms --------------------------------------------------------------------------------------


def _fraction(c: OutsideCircuit, current: str) -> tuple[float, float, float]:
    """What stands above and below the line, positive below, and the sign that this took."""
    known = c.determinants(c.numbers)
    sign = 1.0 if known[""] > 0 else -1.0
    return known[current] * sign, known[""] * sign, sign


def _calculator(c: OutsideCircuit, product: str, current: str) -> Values:
    """a/(b + c) typed as a/b + c."""
    above, below, sign = _fraction(c, current)
    first = sign * c.coefficient(product) * c.worth(product)
    return {**c.right, current: above / first + (below - first)}


def _bracket_cancelled(c: OutsideCircuit, factor: str, current: str) -> Values:
    """E (a + b)/(R (a + b) + c) cancelled to E/(R + c)."""
    above, below, _ = _fraction(c, current)
    (emf,) = (c.numbers[b] for b in _batteries(c))
    size = c.numbers[factor]
    return {**c.right, current: emf / (size + below - size * above / emf)}


def _inverted(c: OutsideCircuit, current: str) -> Values | None:
    above, below, _ = _fraction(c, current)
    return {**c.right, current: below / above} if abs(above) > TINY * below else None


def _one_product(c: OutsideCircuit, factor: str, product: str, current: str) -> Values:
    """E (a + b) written out as E a + b."""
    above, below, sign = _fraction(c, current)
    without = c.determinants(c.numbers | {factor: 0.0})[current] * sign
    kept = sign * c.coefficient(product, current) * c.worth(product)
    written = without + kept + (above - without - kept) / c.numbers[factor]
    return {**c.right, current: written / below}


_ONE_LOOP = r"loop \S+ \([^)]*\)"
_ROW = rf"((?:junction \S+)|(?:{_ONE_LOOP}))"
_FORM = r"in the closed form of (\w+)"
_IDEAS: list[tuple[re.Pattern[str], Callable[..., Found]]] = [
    (re.compile(pattern), work)
    for pattern, work in (
        (r"(\w+) set to 0 without a test", lambda c, n: network(c, cut=[n])),
        (r"arms in series, (\w+) left out", lambda c, n: network(c, cut=[n])),
        (r"arms in parallel, (\w+) as a wire", lambda c, n: network(c, wire=n)),
        (r"voltmeter into (\w+)", lambda c, n: network(c, cut=[n])),
        (r"(\w+(?: and \w+)*) left out of account", lambda c, names: network(c, cut=names.split(" and "))),
        (r"the other batteries cut out", _superposed_open),
        (
            r"(\w+) from the (sum|mean|larger) of the emfs, their resistances taken as parallel",
            partial(_across_other, inside=_parallel),
        ),
        (
            r"(\w+) from the (sum|mean|larger) of the emfs, the parallel resistances added",
            partial(_across_other, inside=sum),
        ),
        (r"all emfs across (\w+)", lambda c, n: _across_other(c, n, "sum", lambda _: 0.0)),
        (
            r"the stronger battery alone across (\w+)",
            lambda c, n: _across_other(c, n, "larger", lambda _: 0.0),
        ),
        (r"powers of (\w+) added", _powers_added),
        (r"(\w+) squared over each resistance", _whole_emf),
        (
            r"(\w+) counted as supplying though it is being charged",
            lambda c, b: {f"P({b})": abs(c.numbers[b] * c.right[_branch_of(c, b)])},
        ),
        (r"V\((\w+), (\w+)\) as (\w+) less the drop in its internal resistance, though .*", _charging),
        (
            r"V\((\w+), (\w+)\) taken from \1 to \2 the other way",
            lambda c, a, b: {f"V({a}, {b})": -_voltage(c, a, b)},
        ),
        (r"divider rule for (\w+) and (\w+) although (\w+) is connected", _divider),
        (
            r"(.*) left as the sum of their reciprocals",
            partial(_group, together=lambda sizes: sum(1 / size for size in sizes)),
        ),
        (r"(\w+(?:, \w+)+) added", partial(_group, together=sum)),
        (r"emfs added across (\w+)", _added_across),
        (r"(\w+) and (\w+) both at zero", lambda c, a, b: point_laws(c, zero=[a, b])),
        (r"only (loop .*)", _only_loops),
        (r"(junction \S+) does not add up", lambda c, j: system(c, _without(c, j))),
        (rf"(junction \S+) in the place of {_ROW}", lambda c, j, r: system(c, [*_without(c, r), c.terms(j)])),
        (r"a loop more in the place of (junction \S+)", _a_loop_more),
        (r"one name for (\w+) and (\w+)", _one_name),
        (rf"(\w+) and (\w+) as one current through a series chain in {_ROW}", _in_chain),
        (r"loop currents combined wrongly in (\w+), (loop .*)", _mesh_sum),
        (r"own current in what is shared, in (loop .*)", _own_only),
        (r"each loop by its own batteries and resistances", _own_loops),
        (
            r"internal resistance of (\w+(?: and \w+)*) not counted",
            lambda c, names: c.everywhere(
                lambda t: None if any(f"r({n})" in t.said.split() for n in names.split(" and ")) else t
            ),
        ),
        (rf"only (\w+(?: \w+)+) taken below the line, {_FORM}", _calculator),
        (rf"(\w+) left of its bracket below, {_FORM}", _bracket_cancelled),
        (rf"what stands above and below, {_FORM}", _inverted),
        (rf"(\w+) applied to one product only, (\w+(?: \w+)+), {_FORM}", _one_product),
    )
]


def outside_found(circuit: OutsideCircuit, place: str) -> Found:
    """What a slip made in this place comes to, by either list of sentences; `unknown` if in neither."""
    said, _, company = place.partition(", beside ")
    if company:
        circuit = circuit.beside(re.findall(_ROW, said)[-1], re.findall(_ROW, company))
    found = circuit.slipped(said)
    if not isinstance(found, str):
        return found
    for pattern, work in _IDEAS:
        if told := pattern.fullmatch(said):
            idea = work(circuit, *told.groups())
            return (idea.settled or idea) if isinstance(idea, OutsideSystem) else idea
    return "unknown"
