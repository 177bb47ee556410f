"""The rest of a working by equations: which are missing, chosen so that the rest is short, then the algebra.

The lines that are there by now and the missing laws become one system in the working's own quantities (branch
currents, loop currents or potentials), and the search for the short way (`derive/plan`) goes on from it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations, islice

from ..algebra.linear import Linear, echelon, reduce_rows
from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..derive.narrate import LineInPlay, Teller
from ..derive.plan import DerivationPlan, find_plan
from ..derive.rules import solve_for
from ..derive.steps import Move
from ..expressions.nodes import Equation, Symbol, written_symbols
from ..expressions.said import Said
from ..laws.equations import Law, LawEquation
from .whereabouts import TrueLine

SETS = 6  # sets of missing laws that are tried for the shorter rest
POOL = 2  # laws beyond the number missing that are looked at


@dataclass(frozen=True, slots=True)
class LawInNames:
    """A law as it is written in the quantities gone on in. `linear`: the same; `reason`: which law it is and
    where; `letters`: with letters for the values, where `written` has their numbers; `collected`: with every
    unknown once, where `written` has it more often."""

    law: LawEquation
    written: Equation
    linear: Linear
    reason: Said
    letters: Equation
    collected: Equation | None = None


@dataclass(frozen=True, slots=True)
class Rest:
    """The lines of the rest as they are told so far. `laws`: by number of the line, the law that it writes
    down, with its letters; `unknown`: what is solved for."""

    teller: Teller
    laws: dict[int, LawInNames] = field(default_factory=dict)


def begin(
    circuit: Circuit,
    unknown: Sequence[str],
    values: Mapping[str, Ratio],
    taken: frozenset[str],
    first: int,
    known: Mapping[str, int],
) -> Rest:
    """An empty rest, whose lines are numbered from `first`. `known`: lines that give quantities already."""
    teller = Teller(circuit, tuple(unknown), values, taken, first, names_at_once=True)
    teller.known.update({n: line for n, line in known.items() if n in values})
    return Rest(teller)


def solve_on(rest: Rest, lines: Sequence[TrueLine], offered: Sequence[LawInNames]) -> None:
    """Tells the rest until every unknown is known. `lines`: the true lines in the unknowns alone; `offered`:
    the laws that may be added. Raises LookupError where all together do not fix the unknowns."""
    teller = rest.teller
    unknown = teller.order
    if all(name in teller.known for name in unknown):
        return
    standing = _standing(rest, lines)
    chosen, plan = _shortest(unknown, standing, offered)
    put_into_play(rest, standing)
    for law in chosen:
        write_law(rest, law)
    teller.follow(plan.actions)
    teller.put_back()


@dataclass(frozen=True, slots=True)
class Completed:
    """As many independent equations as there are unknowns: lines that stand, and laws that are missing."""

    standing: list[TrueLine]
    missing: tuple[LawInNames, ...]


def complete(
    unknown: Sequence[str], lines: Sequence[TrueLine], offered: Sequence[LawInNames], latest: bool
) -> Completed:
    """The equations among the lines, those that give a single unknown aside, and the usual laws that they
    lack. `latest`: whether the later of two that say the same counts. Raises LookupError where all together
    do not fix the unknowns."""
    ranked = sorted(lines, key=lambda x: -x.number if latest else x.number)
    ranked = [x for x in ranked if len(x.linear.coefficients) > 1]
    found = reduce_rows([x.linear for x in ranked], unknown).combinations
    kept = [x for x, combination in zip(ranked, found, strict=True) if combination is None]
    missing = next(_enough(unknown, [x.linear for x in kept], offered), None)
    if missing is None:
        raise LookupError("the equations do not fix what is unknown")
    return Completed(sorted(kept, key=lambda x: x.number), missing)


def put_into_play(rest: Rest, standing: Sequence[TrueLine]) -> None:
    """Takes lines of the working up among those that can be used."""
    teller = rest.teller
    for at, line in enumerate(standing):
        teller.rows[at] = LineInPlay(line.number, line.written, line.linear)
        teller.told.append(LineInPlay(line.number, line.written, line.linear))


def write_law(rest: Rest, law: LawInNames) -> None:
    """Writes a law down as the next line, then, where it is not collected yet, its collected form; and puts
    it into play."""
    teller = rest.teller
    number = teller.state(law.law, law.written, law.linear, law.reason)
    rest.laws[number] = law
    given = law.written.left
    if law.law.law is Law.ELEMENT and isinstance(given, Symbol) and len(law.linear.coefficients) == 1:
        teller.known[given.name] = number
    if law.collected is not None and law.collected != law.written:
        row = max(teller.rows)
        words: Said = (f"Multiply out and collect ({number}).",)
        teller.rows[row] = teller.write(Move.COLLECT, law.collected, law.linear, (number,), words)


def _standing(rest: Rest, lines: Sequence[TrueLine]) -> list[TrueLine]:
    """As many of the lines as say something new: results first, then those with the fewest unknowns, the
    latest of equals, since these stand nearest to the end."""
    teller = rest.teller
    one = teller.circuit.field.one
    results = [
        TrueLine(
            teller.known[n],
            Equation(Symbol(n), teller.put(n)),
            Linear.of({n: one}, -teller.values[n]),
        )
        for n in teller.order
        if n in teller.known
    ]
    open_in = {id(x): sum(n not in teller.known for n in x.linear.coefficients) for x in lines}
    inside = [x for x in lines if set(x.linear.coefficients) <= set(teller.order) and open_in[id(x)]]
    inside.sort(key=lambda x: (open_in[id(x)], -x.number))
    ranked = [*results, *inside]
    found = reduce_rows([x.linear for x in ranked], teller.order).combinations
    kept = [x for x, combination in zip(ranked, found, strict=True) if combination is None]
    return sorted(kept, key=lambda x: x.number)


def _shortest(
    unknown: Sequence[str], standing: Sequence[TrueLine], offered: Sequence[LawInNames]
) -> tuple[tuple[LawInNames, ...], DerivationPlan]:
    """The laws to be added and the plan from there, so that what is left to write is short."""
    base = [x.linear for x in standing]
    best: tuple[float, tuple[LawInNames, ...]] | None = None
    for chosen in islice(_enough(unknown, base, offered), SETS):
        limit = float("inf") if best is None else best[0]
        length = float(sum(_length(law) for law in chosen))
        plan = find_plan([*base, *(law.linear for law in chosen)], 1, below=limit - length)
        if plan is not None and (best is None or plan.cost + length < limit):
            best = plan.cost + length, chosen
    if best is None:
        raise LookupError("the equations do not fix what is unknown")
    rows = [*base, *(law.linear for law in best[1])]
    thorough = find_plan(rows) if rows else DerivationPlan()
    if thorough is None:
        raise LookupError("the equations do not fix what is unknown")
    return best[1], thorough


def _length(law: LawInNames) -> int:
    return written_symbols(law.written.left) + written_symbols(law.written.right)


def _enough(
    unknown: Sequence[str], base: Sequence[Linear], offered: Sequence[LawInNames]
) -> Iterator[tuple[LawInNames, ...]]:
    """Sets of laws that complete the lines, the usual one first: what elements fix and junctions before
    loops, short loops before long ones."""
    order = {Law.ELEMENT: 0, Law.JUNCTION: 1, Law.LOOP: 2}
    ranked = sorted(offered, key=lambda law: (order[law.law.law], law.law.law is Law.LOOP and _length(law)))
    found = reduce_rows([*base, *(law.linear for law in ranked)], unknown)
    new = found.combinations[len(base) :]
    usual = tuple(law for law, combination in zip(ranked, new, strict=True) if combination is None)
    if found.rank < len(unknown):
        return
    yield usual
    fixed = [law for law in usual if law.law.law is not Law.LOOP]
    count = len(usual) - len(fixed)
    loops = [law for law in ranked if law.law.law is Law.LOOP][: count + POOL]
    for others in combinations(loops, count):
        chosen = (*fixed, *others)
        if chosen != usual and len(echelon([*base, *(law.linear for law in chosen)], unknown)) == len(
            unknown
        ):
            yield chosen


def conclude_law(rest: Rest, law: LawInNames, unknown: str) -> None:
    """Writes at once what a law gives for the only current in it that is not known yet."""
    teller = rest.teller
    by = _solved(law, unknown, teller)
    said = law.reason
    words: Said = (*said[:-1], str(said[-1]).rstrip("."))
    move = Move.JUNCTION if law.law.law is Law.JUNCTION else Move.LOOP
    teller.conclude(move, unknown, by.right, words, law=law.law)
    rest.laws[teller.steps[-1].number] = law


def _solved(law: LawInNames, unknown: str, teller: Teller) -> Equation:
    order = tuple(dict.fromkeys((*teller.order, *law.linear.coefficients)))
    return solve_for(law.linear, unknown, order)


def one_by_one(rest: Rest, offered: Sequence[LawInNames]) -> None:
    """Writes what a law gives at once, as long as there is one with a single current that is not known."""
    teller = rest.teller
    if not teller.known:
        return
    going = True
    while going:
        going = False
        for law in offered:
            held = [n for n in law.linear.coefficients if n not in teller.known]
            if len(held) == 1 and len(law.linear.coefficients) > 1:
                conclude_law(rest, law, held[0])
                going = True
                break
