"""The loops of a circuit: closed paths with a sense of travel, as lists of (branch, sense).

A loop is never a list of points: two branches may run side by side between the same two points.
Stands on `circuit` alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from ..algebra.number_rows import rows_for_multipliers, solve_number_rows
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.embedding import meshes
from ..errors import FaultyMaterial
from ..findings import Finding
from ..graph.connections import parts
from ..graph.lines import Dart, Loop, from_point, reversed_loop, same_loop
from ..graph.loops import brings_new, each_with_a_new_line, first_independent, simple_loops


def loop_count_needed(circuit: Circuit) -> int:
    """How many independent loops there are: B − J + (number of connected parts)."""
    return len(circuit.branches) - len(circuit.points) + len(parts(circuit.points, circuit.branches).groups())


def is_plain(circuit: Circuit, loop: Loop) -> bool:
    """Whether the loop passes neither a gap nor a current source, so that its equation holds currents only
    and no unknown voltage."""
    return all(circuit.fixed_current(name) is None for name, _ in loop)


def length(circuit: Circuit, loop: Loop) -> int:
    """How many terms the loop equation has: elements passed, internal resistances counted."""
    elements = [circuit.elements[p.element] for name, _ in loop for p in circuit.branch(name).passes]
    return sum(1 + (e.internal is not None) for e in elements)


def default_loops(circuit: Circuit) -> tuple[Loop, ...]:
    """The set of independent loops a person would choose: the meshes of the figure where they
    avoid current sources and gaps, otherwise short loops; each new loop brings a new branch.

    Loops through a current source or a gap come only where the person asks for the voltage there:
    they are not needed for the currents.
    """
    plain = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
    needed = len(plain) - len(circuit.points) + len(parts(circuit.points, plain).groups())
    chosen = [w for w in meshes(circuit) if is_plain(circuit, w)]
    ordered = each_with_a_new_line(chosen)
    if len(chosen) != needed or not all(brings_new(x, ordered[:i]) for i, x in enumerate(ordered)):
        every = sorted(
            (loop for loop in simple_loops(circuit.branches) if is_plain(circuit, loop)),
            key=lambda loop: (len(loop), length(circuit, loop)),
        )
        ordered = each_with_a_new_line(first_independent(every, needed))
    return tuple(from_a_source(circuit, loop) for loop in ordered)


def are_independent(loops: Sequence[Loop]) -> bool:
    """Whether no loop is a combination of others, senses counted: exact, by elimination in whole numbers.

    A sum without senses (each branch held twice counted as none) is not enough to go by: the three
    loops of four branches in a bridge sum to nothing in that way, yet they are independent.
    """
    rows, multipliers = rows_for_multipliers({}, _in_numbers(loops))
    return not solve_number_rows(rows, multipliers).open


def as_sum(loop: Loop, others: Sequence[Loop]) -> tuple[Fraction, ...] | None:
    """The multipliers with which the other loops, senses counted, add up to this one; None where they do
    not."""
    (wanted,), rest = _in_numbers([loop]), _in_numbers(others)
    rows, multipliers = rows_for_multipliers(wanted, rest)
    found = solve_number_rows(rows, multipliers)
    return None if found.refused else tuple(found.base.values())


def _in_numbers(loops: Sequence[Loop]) -> list[dict[str, Fraction]]:
    return [{name: Fraction(sense) for name, sense in loop} for loop in loops]


def from_a_source(circuit: Circuit, loop: Loop) -> Loop:
    """The loop travelled so that its equation begins with a rise: a battery passed from − to + where
    it has one, otherwise a resistance passed against its arrow."""
    best: tuple[int, Loop] | None = None
    for candidate in (loop, reversed_loop(loop)):
        for i, (name, sense) in enumerate(candidate):
            emfs = [
                p.sign * sense
                for p in circuit.branch(name).passes
                if circuit.elements[p.element].kind is Kind.BATTERY
            ]
            rank = 0 if emfs and all(s > 0 for s in emfs) else 1 if not emfs and sense < 0 else 2
            if best is None or rank < best[0]:
                best = (rank, candidate[i:] + candidate[:i])
    return best[1] if best else loop


def loop_through(circuit: Circuit, names: Sequence[str]) -> Loop:
    """The loop named by points, elements or currents in the order of travel.

    Two branches side by side are told apart by naming an element or a current on the way. Raises
    FaultyMaterial when no loop, or more than one, fits.
    """
    wanted = [name.strip() for name in names if name.strip()]
    if len(wanted) > 1 and wanted[0] == wanted[-1]:
        wanted = wanted[:-1]
    known = {
        *circuit.named_points,
        *circuit.currents,
        *(p.element for b in circuit.branches for p in b.passes),
    }
    strangers = [name for name in wanted if name not in known]
    if strangers:
        raise FaultyMaterial(
            Finding(
                "laws/unknown-name",
                f"The circuit has no point, element or current called {', '.join(strangers)}.",
                f"Name the loop by these: {', '.join(sorted(known))}.",
            )
        )
    fits: list[Loop] = []
    for loop in simple_loops(circuit.branches):
        for candidate in (loop, reversed_loop(loop)):
            turned = _turned_to_fit(circuit, candidate, wanted)
            if turned is not None:
                fits.append(turned)
    shortest = min((len(f) for f in fits), default=0)
    fits = [f for f in fits if len(f) == shortest]
    if len(wanted) < 3 and len(fits) == 2 and same_loop(*fits):
        fits = fits[:1]
    if len(fits) != 1:
        why = "No loop passes" if not fits else f"{len(fits)} loops pass"
        mend = (
            "Name them in the order of travel." if not fits else "Name an element of each branch travelled."
        )
        raise FaultyMaterial(Finding("laws/loop-not-told", f"{why} {', '.join(wanted)} in this order.", mend))
    return fits[0]


def _turned_to_fit(circuit: Circuit, loop: Loop, wanted: Sequence[str]) -> Loop | None:
    """The loop begun where the first of the wanted names is met; None where it does not meet them all in
    this order."""
    for start in range(len(loop)):
        turned = loop[start:] + loop[:start]
        met = met_names(circuit, turned)
        if wanted and wanted[0] not in (met[0], *met[1 : 1 + _span(circuit, turned[0])]):
            continue
        at = -1
        for name in wanted:
            at = next((i for i in range(at + 1, len(met)) if met[i] == name), -2)
            if at == -2:
                break
        if at != -2:
            return turned
    return None


def _span(circuit: Circuit, step: Dart) -> int:
    return len(circuit.branch(step[0]).along) + 1


def met_names(circuit: Circuit, loop: Loop) -> list[str]:
    """Everything met on one round: for each branch its first point, its current, what lies along it."""
    names: list[str] = []
    for name, sense in loop:
        b = circuit.branch(name)
        along = [item if isinstance(item, str) else item.element for item in b.along]
        names.append(from_point(b, sense))
        names.append(name)
        names.extend(along if sense > 0 else reversed(along))
    return names


def points_of(circuit: Circuit, loop: Loop) -> tuple[str, ...]:
    """The points passed in order of travel, the first not repeated."""
    return tuple(from_point(circuit.branch(name), sense) for name, sense in loop)
