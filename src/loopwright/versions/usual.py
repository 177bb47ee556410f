"""One good set of numbers for a circuit of which nothing is said: what values are usual, what is wished for.

Ranges of textbooks (common practice, no source): emfs of some volts, resistances of some ohms or kilohms;
never 1 ohm, with which a lost factor cannot be seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.timed_wishes import is_in_time
from ..circuit.versions_asked import VersionsAsked
from ..many.each import ALONE, CrewWish
from ..problem.versions_table import unit_of
from .search import Hears
from .version import VersionSet
from .versions import versions

QUICK_LOOK = 12_000_000  # candidates looked at before decimals are allowed: some seconds
_NICE = ("currents not zero", "currents distinct", "resistances distinct", "no resistance of 1 ohm")
_NICE_IN_TIME = ("resistances distinct", "no resistance of 1 ohm")  # currents of storages are 0 by law
_FEW = 9  # resistances of 2 to 12 ohm that can well be all different; more are chosen from twice their number


def good_numbers(
    circuit: Circuit,
    *,
    asked: VersionsAsked | None = None,
    hold: Sequence[str] = (),
    seed: int = 1,
    crew: CrewWish = ALONE,
    tell: Hears = lambda _: None,
) -> tuple[VersionSet, tuple[str, ...]]:
    """One good set of numbers, and the wishes that it grants.

    `asked`: what varies and what must hold; by default what the file says. Where it says nothing of a
    symbol, a usual range is taken; where it wishes for nothing, currents with as few decimals as a short
    look can find (any, where it finds none with two), none zero, no two of one size, resistances that differ,
    none of 1 ohm; of these last what the circuit never grants, such as currents that differ in a cube of
    equal wires, is left out. `hold`: wishes besides; `crew`: who works. Raises FaultyMaterial as `versions`
    does.
    """
    said = asked or circuit.versions
    large = _is_large(circuit)
    many = sum(circuit.elements[p.element].kind is Kind.RESISTOR for b in circuit.branches for p in b.passes)
    greatest = 12 if many <= _FEW else 2 * many
    ohm, ampere = ("kohm", "mA") if large else ("ohm", "A")
    usual = {"V": "3 to 24 V", "Ω": f"2 to {greatest} {ohm}", "A": f"1 to 3 {ampere}"}
    chosen = dict(said.choices) or {
        name: usual[unit] for name in circuit.symbols if (unit := unit_of(name, circuit)) in usual
    }
    unit = " in mA" if large and circuit.ladder is None else ""
    whole = said.hold or hold
    if whole:
        wished = tuple(dict.fromkeys((*said.hold, *hold)))
        table = VersionsAsked(chosen, wished, said.difficulty)
        return versions(circuit, 1, seed=seed, asked=table, same_lines=False, crew=crew, tell=tell), wished
    nice: tuple[str, ...] = _NICE_IN_TIME if is_in_time(circuit) else _NICE
    if circuit.ladder is not None:
        nice = _NICE_IN_TIME[1:]  # of parts of a section some are alike as a rule
    elif many < 2:
        nice = tuple(wish for wish in nice if wish != "resistances distinct")
    what = "currents" if circuit.ladder is None else "answers"
    few = ("whole", "with at most 1 decimal", "with at most 2 decimals")
    decimals = [f"{what} {one}{unit}" for one in few]

    def tried(wished: tuple[str, ...], *, explained: bool) -> VersionSet:
        table = VersionsAsked(chosen, wished)
        return versions(
            circuit,
            1,
            seed=seed,
            asked=table,
            same_lines=False,
            most=QUICK_LOOK,
            explained=explained,
            crew=crew,
            tell=tell,
        )

    while True:
        found = tried(nice, explained=True)
        never = set(nice).intersection(found.clash.wishes if found.clash is not None else ())
        if not never:
            break
        nice = tuple(wish for wish in nice if wish not in never)  # of equal parts some are alike by nature
    for round_ones in decimals if found.complete else ():
        rounder = tried((round_ones, *nice), explained=False)
        if rounder.complete:
            return rounder, (round_ones, *nice)
    return found, nice


def _is_large(circuit: Circuit) -> bool:
    """Whether the file's own resistances are of hundreds of ohms and more."""
    given = [v for name, v in circuit.numbers.items() if circuit.role(name) is Kind.RESISTOR]
    return bool(given) and min(given) >= Fraction(100)
