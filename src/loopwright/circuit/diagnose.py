"""What makes a circuit ill-posed, said in words of the trade with the elements at fault named.

Two facts decide whether a network of positive resistances has exactly one answer. A loop in which
no resistance stands leaves the split of its current open, and asks its emfs to sum to zero. A part
that is reached only through elements that fix their current leaves its potential open, and asks
those currents to sum to zero. Whether a resistance or a sum is zero is decided exactly, in the
circuit's field of fractions. Knows no file and no solution.
"""

from __future__ import annotations

from collections.abc import Iterable

from ..algebra.ratios import Ratio
from ..errors import FaultyMaterial
from ..expressions.tidy import tidy
from ..expressions.writers import plain
from ..findings import Finding, Place, Severity
from ..graph.connections import bridges, parts, short_loops
from ..graph.lines import Loop
from ..quantities import rounded, simple
from .circuit import Circuit
from .elements import Branch, Kind
from .names import listed
from .targets import Asked, Target, targets

LONGEST_EXACT = 9  # signs of a number that is told exactly; a longer one is rounded
CURRENTS_UNSETTLED = frozenset(
    {
        "circuit/battery-shorted",
        "circuit/batteries-disagree",
        "circuit/split-undetermined",
        "circuit/wire-loop",
        "circuit/current-source-open",
        "circuit/current-sources-disagree",
    }
)  # with one of these, the branch currents have no answer or more than one
VOLTAGES_UNSETTLED = frozenset({"circuit/current-sources-in-series"})  # with this, voltages alone have none


def diagnose(circuit: Circuit) -> tuple[Finding, ...]:
    """Finds all that makes a circuit ill-posed or odd; errors first, then warnings, then notes.

    With no error among the findings every current has one value, and so has every potential
    difference asked. Codes in `CURRENTS_UNSETTLED` tell of currents without exactly one value.
    """
    found = list(faults(circuit))
    if circuit.branches and circuit.ladder is None:
        found += [*_no_source(circuit), *_bypassed(circuit), *_meters_in_series(circuit)]
        if not any(finding.code in CURRENTS_UNSETTLED for finding in found):
            found.extend(_idle(circuit))
    weight = list(Severity)
    return tuple(sorted(dict.fromkeys(found), key=lambda finding: weight.index(finding.severity)))


def faults(circuit: Circuit) -> tuple[Finding, ...]:
    """The errors among these findings, all of them: what makes a circuit ill-posed."""
    if not circuit.branches:
        return (
            Finding("circuit/empty", "The circuit has no branch.", 'Write one, such as I1 = "a, +E, R, a".'),
        )
    if circuit.ladder is not None:
        return (
            Finding(
                "ladder/without-end",
                "The branches are one section of a ladder without end: it has no list of currents.",
                f"`sheet` and `examine` work its resistance, R({', '.join(circuit.ladder.start)}); for "
                "currents give a number of sections.",
                circuit.place("ladder"),
            ),
        )
    found = (
        *_unconnected(circuit),
        *_loops_without_resistance(circuit),
        *_fixed_currents_in_one_branch(circuit),
        *_cut_off_parts(circuit),
    )
    return tuple(dict.fromkeys(found))


def has_one_answer(circuit: Circuit) -> bool:
    """Whether every branch current has exactly one value."""
    return not any(finding.code in CURRENTS_UNSETTLED for finding in faults(circuit))


# -- what hangs together -------------------------------------------------------------------------


def _unconnected(circuit: Circuit) -> Iterable[Finding]:
    groups = parts(circuit.points, circuit.branches).groups()
    main = max(groups, key=lambda group: (len(group), sum(b.start in group for b in circuit.branches)))
    for group in groups:
        if group is main:
            continue
        there = [b for b in circuit.branches if b.start in group]
        held = _elements(there)
        what = f"{listed(held)}, in {_branches(there)}," if held else f"the wire of {_branches(there)}"
        are = "is" if len(held) < 2 else "are"
        yield Finding(
            "circuit/part-not-connected",
            f"{what} {are} not connected to the rest of the circuit: {_points(group)} {_is(group)} not "
            f"joined to {main[0]} by any branch.",
            "Join the two by a branch (a plain wire will do), or write two files.",
            circuit.place(f"branches.{there[0].name}"),
            (*held, *group),
        )


# -- loops without resistance --------------------------------------------------------------------


def _loops_without_resistance(circuit: Circuit) -> Iterable[Finding]:
    bare = [
        b
        for b in circuit.branches
        if circuit.fixed_current(b.name) is None and not circuit.resistance(b.name)
    ]
    bare.sort(key=lambda b: len(_of_kind(circuit, (b,), Kind.BATTERY)))  # wires first: a short is told as one
    for way in short_loops(bare):
        yield _loop_finding(circuit, way)


def _loop_finding(circuit: Circuit, way: Loop) -> Finding:
    names = {name for name, _ in way}
    branches = tuple(b for b in circuit.branches if b.name in names)
    batteries = _of_kind(circuit, branches, Kind.BATTERY)
    others = tuple(name for name in _elements(branches) if name not in batteries)
    place = circuit.place(f"branches.{branches[0].name}")
    about = (*batteries, *others, *(b.name for b in branches))
    total = circuit.field.zero
    for name, sense in way:
        total = total + circuit.rise(name) * sense
    total = _positive_first(total)
    if not batteries:
        through = f" through {listed(others)}" if others else ""
        return Finding(
            "circuit/wire-loop",
            f"{_branches(branches)} make{_s(branches)} a closed loop of plain wire{through}: nothing "
            "settles how a current divides round it.",
            "Leave one of them out, or give one a resistance.",
            place,
            about,
        )
    if not total:
        return Finding(
            "circuit/split-undetermined",
            f"{_ideal(batteries)} agree round a loop without resistance ({_branches(branches)}): their "
            "sum of currents is settled, the split between them is not.",
            "Give each an internal resistance, or keep one of them.",
            place,
            about,
        )
    holders = [b for b in branches if _of_kind(circuit, (b,), Kind.BATTERY)]
    if len(holders) == 1:
        return _shorted(holders[0], branches, batteries, others, place, about)
    return Finding(
        "circuit/batteries-disagree",
        f"{_ideal(batteries)} stand in parallel with no resistance between them ({_branches(branches)}), "
        f"so the loop equation asks {_written(total)} = 0{_in_numbers(circuit, total, 'V')}.",
        "Give one of them an internal resistance, or put a resistor in one of the branches.",
        place,
        about,
    )


def _shorted(
    holder: Branch,
    branches: tuple[Branch, ...],
    batteries: tuple[str, ...],
    others: tuple[str, ...],
    place: Place,
    about: tuple[str, ...],
) -> Finding:
    wires = [b for b in branches if b is not holder]
    by = f"{_branches(wires)} joins its ends" if len(wires) == 1 else f"{_branches(wires)} join its ends"
    if not wires:
        by = f"{_branches((holder,))} leads straight back to {holder.start}"
    with_what = f" through {listed(others)}" if others else " by plain wire"
    one = len(batteries) == 1
    subject = f"battery {batteries[0]} is" if one else f"batteries {listed(batteries)} together are"
    meter = " An ammeter is never put across a battery." if any(name[0] in "Aa" for name in others) else ""
    return Finding(
        "circuit/battery-shorted",
        f"{subject} shorted: {by}{with_what}, and no resistance limits the current. A real one gives "
        "a very large current, with heat and burns.",
        f"Put a resistor in the loop, or give the battery an internal resistance.{meter}",
        place,
        about,
    )


# -- currents that are fixed ---------------------------------------------------------------------


def _fixed_currents_in_one_branch(circuit: Circuit) -> Iterable[Finding]:
    for branch in circuit.branches:
        sources = _of_kind(circuit, (branch,), Kind.CURRENT_SOURCE)
        gaps = tuple(p.element for p in branch.passes if circuit.elements[p.element].is_gap)
        place = circuit.place(f"branches.{branch.name}")
        if sources and gaps:
            yield _left_open(circuit, sources, gaps, place)
        signs = {p.element: p.sign for p in branch.passes}
        for other in sources[1:]:
            first = sources[0]
            gap = circuit.value(first) * signs[first] - circuit.value(other) * signs[other]
            yield _sources_in_series(circuit, (first, other), gap, place)


def _cut_off_parts(circuit: Circuit) -> Iterable[Finding]:
    free = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
    whole = parts(circuit.points, circuit.branches)
    settled = parts(circuit.points, free)
    groups = settled.groups()
    largest = {whole.part[group[0]]: group for group in sorted(groups, key=len)}
    for group in groups:
        if group is largest[whole.part[group[0]]]:
            continue  # what flows into the largest flows out of the others: nothing new
        around = [b for b in circuit.branches if (b.start in group) != (b.end in group)]
        total = circuit.field.zero
        for branch in around:
            fixed = circuit.fixed_current(branch.name) or circuit.field.zero
            total = total + (fixed if branch.start in group else -fixed)
        sources = _of_kind(circuit, around, Kind.CURRENT_SOURCE)
        if not sources:
            continue
        place = circuit.place(f"branches.{circuit.branch_of(sources[0]).name}")
        if len(sources) > 1:
            yield _sources_in_series(circuit, sources, total, place)
        elif total:
            gaps = tuple(n for n in _elements(around) if circuit.elements[n].is_gap)
            yield _left_open(circuit, sources, gaps, place)
    for question in _asked(circuit):
        if question.kind in (Asked.POTENTIAL, Asked.POWER) and not question.without:
            ends = _ends(circuit, question)
            if whole.joined(*ends) and not settled.joined(*ends):
                yield _unsettled(circuit, question, ends, free)


def _left_open(circuit: Circuit, sources: tuple[str, ...], gaps: tuple[str, ...], place: Place) -> Finding:
    ways = f": its only way on leads through {_titled(circuit, gaps)}" if gaps else ""
    return Finding(
        "circuit/current-source-open",
        f"the current source {listed(sources)} is left open{ways or ': its current has no way back'}. "
        "A source of current must always have a closed path.",
        "Close the path, or put a resistor across the source.",
        place,
        (*sources, *gaps),
    )


def _sources_in_series(circuit: Circuit, sources: tuple[str, ...], total: Ratio, place: Place) -> Finding:
    stand = f"the current sources {listed(sources)} stand in series with no other way for the current"
    mend = "Keep one of them, or put a resistor across one."
    if len(sources) > 2:
        mend = "Take one of them out, or put a resistor across one."
    if not total:
        said = f"{stand}: they agree, but nothing settles how their voltages divide."
        return Finding("circuit/current-sources-in-series", said, mend, place, sources)
    total = _positive_first(total)
    said = f"{stand}, so the junction equation asks {_written(total)} = 0{_in_numbers(circuit, total, 'A')}."
    return Finding("circuit/current-sources-disagree", said, mend, place, sources)


def _unsettled(circuit: Circuit, question: Target, ends: tuple[str, str], free: list[Branch]) -> Finding:
    side = next(group for group in parts(circuit.points, free).groups() if ends[0] in group)
    between = [b for b in circuit.branches if (b.start in side) != (b.end in side)]
    names = [n for n in _elements(between) if circuit.elements[n].fixes_current]
    return Finding(
        "circuit/potential-undetermined",
        f"{question.as_text()} has no one value: {ends[0]} and {ends[1]} are joined only "
        f"through {_titled(circuit, names)}, which let{'s' if len(names) == 1 else ''} any voltage stand.",
        "Ask for something else, or join the two sides by a resistor.",
        circuit.place("find"),
        (*ends, *names),
    )


# -- odd, but answerable -------------------------------------------------------------------------


def _no_source(circuit: Circuit) -> Iterable[Finding]:
    sources = (*_of_kind(circuit, circuit.branches, Kind.BATTERY, Kind.CURRENT_SOURCE),)
    asked = _asked(circuit)
    if (
        any(circuit.value(name) for name in sources)
        or any(circuit.start.values())
        or (asked and all(t.kind is Asked.RESISTANCE for t in asked))
    ):
        return
    yield Finding(
        "circuit/no-source",
        "the circuit has no battery and no current source, so every current is zero.",
        'Put one in, such as "+E1", or ask for a resistance, R(a, b).',
        circuit.place("branches"),
        severity=Severity.WARNING,
    )


def _bypassed(circuit: Circuit) -> Iterable[Finding]:
    free = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
    bare = [b for b in free if not circuit.resistance(b.name) and not _of_kind(circuit, (b,), Kind.BATTERY)]
    wired = parts(circuit.points, bare)
    for branch in free:
        held = _elements((branch,))
        if (
            not circuit.resistance(branch.name)
            or circuit.rise(branch.name)
            or not wired.joined(branch.start, branch.end)
        ):
            continue
        how = (
            f"both its ends on {branch.start}"
            if branch.start == branch.end
            else "a plain wire from end to end"
        )
        yield Finding(
            "circuit/bypassed-element",
            f"{listed(held)} in branch {branch.name} {'has' if len(held) == 1 else 'have'} {how} and "
            f"carr{'ies' if len(held) == 1 else 'y'} no current.",
            "Leave the branch out, or end it elsewhere.",
            circuit.place(f"branches.{branch.name}"),
            held,
            Severity.WARNING,
        )


def _meters_in_series(circuit: Circuit) -> Iterable[Finding]:
    for branch in circuit.branches:
        meters = _of_kind(circuit, (branch,), Kind.VOLTMETER)
        others = tuple(
            n for n in _elements((branch,)) if n not in meters and circuit.elements[n].kind is not Kind.SWITCH
        )
        if meters and others:
            yield Finding(
                "circuit/voltmeter-in-series",
                f"the voltmeter {listed(meters)} stands in series with {listed(others)}, so no current "
                f"passes through branch {branch.name}.",
                "Give the voltmeter a branch of its own, across what it is to measure.",
                circuit.place(f"branches.{branch.name}"),
                (*meters, *others),
                Severity.WARNING,
            )


def _idle(circuit: Circuit) -> Iterable[Finding]:
    passing = [b for b in circuit.branches if not any(circuit.elements[p.element].is_gap for p in b.passes)]
    gaps = [n for n in _elements(circuit.branches) if circuit.elements[n].is_gap]
    why = f" while {_titled(circuit, gaps)} let{'s' if len(gaps) == 1 else ''} none pass" if gaps else ""
    always = set(bridges(circuit.branches))
    for name in bridges(passing):
        branch = circuit.branch(name)
        if _of_kind(circuit, (branch,), Kind.CURRENT_SOURCE):
            continue
        held = _elements((branch,))
        yield Finding(
            "circuit/no-current",
            f"branch {name}{f' ({listed(held)})' if held else ''} carries no current: no closed path leads "
            f"through it{'' if name in always else why}.",
            "",
            circuit.place(f"branches.{name}"),
            (name, *held),
            Severity.NOTE,
        )


# -- words ---------------------------------------------------------------------------------------


def _elements(branches: Iterable[Branch]) -> tuple[str, ...]:
    return tuple(p.element for b in branches for p in b.passes)


def _of_kind(circuit: Circuit, branches: Iterable[Branch], *kinds: Kind) -> tuple[str, ...]:
    return tuple(name for name in _elements(branches) if circuit.elements[name].kind in kinds)


def _asked(circuit: Circuit) -> tuple[Target, ...]:
    try:
        asked = targets(circuit) if circuit.find else ()
        return tuple(q for question in asked for q in (question.parts or (question,)))
    except FaultyMaterial:
        return ()


def _ends(circuit: Circuit, question: Target) -> tuple[str, str]:
    """For each of the two points asked about, a branch end that has its potential, or whose potential
    settles it."""
    if question.kind is Asked.POWER:
        if question.names[0] not in circuit.elements:
            return circuit.points[0], circuit.points[0]
        branch = circuit.branch_of(question.names[0])
        source = circuit.elements[question.names[0]].kind is Kind.CURRENT_SOURCE
        return (branch.start, branch.end) if source else (branch.start, branch.start)
    a, b = (_settled_end(circuit, name) for name in question.names)
    return a, b


def _settled_end(circuit: Circuit, point: str) -> str:
    """A branch end whose potential settles that of `point`: itself, or on the same side of what fixes
    the current of the branch the point lies on."""
    if point in circuit.points:
        return point
    branch = next(b for b in circuit.branches if point in b.points)
    before = branch.along[: branch.along.index(point)]
    fixing = any(
        not isinstance(item, str) and circuit.elements[item.element].fixes_current for item in before
    )
    return branch.end if fixing else branch.start


def _titled(circuit: Circuit, names: Iterable[str]) -> str:
    """Elements named with their kind: `open switch S1 and voltmeter V1`."""
    held = [circuit.elements[name] for name in names]
    states = ("" if e.kind is not Kind.SWITCH else "closed " if e.closed else "open " for e in held)
    return listed(
        f"{state}{element.kind} {element.name}" for state, element in zip(states, held, strict=True)
    )


def _branches(branches: Iterable[Branch]) -> str:
    names = [b.name for b in branches]
    return f"branch{'es' if len(names) > 1 else ''} {listed(names)}"


def _points(names: tuple[str, ...]) -> str:
    return f"point{'s' if len(names) > 1 else ''} {listed(names)}"


def _is(names: tuple[str, ...]) -> str:
    return "are" if len(names) > 1 else "is"


def _s(items: tuple[Branch, ...]) -> str:
    return "s" if len(items) == 1 else ""


def _ideal(batteries: tuple[str, ...]) -> str:
    return f"the ideal batter{'ies' if len(batteries) > 1 else 'y'} {listed(batteries)}"


def _positive_first(total: Ratio) -> Ratio:
    """A sum or its negative, whichever begins with a plus: for saying that it must be zero."""
    return -total if next((c for _, c in total.terms()), 0) < 0 else total


def _written(total: Ratio) -> str:
    return plain.render(tidy(total))


def _in_numbers(circuit: Circuit, total: Ratio, unit: str) -> str:
    """The value of the sum when every symbol in it has a number."""
    if not all(name in circuit.numbers for name in total.held()):
        return ""
    value = total.value({name: circuit.numbers.get(name, 0) for name in circuit.symbols})
    if value:
        exact = simple(value).replace("-", "−")
        return f", but it is {f'{exact} {unit}' if len(exact) <= LONGEST_EXACT else rounded(value, unit, 6)}"
    return "; the numbers agree, and then the split between them is undetermined"
