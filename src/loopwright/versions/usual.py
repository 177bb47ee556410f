"""One good set of numbers for a circuit of which nothing is said: what values are usual, what is wished for.

Ranges of textbooks (common practice, no source): emfs of some volts, resistances of some ohms or kilohms;
never 1 ohm, with which a lost factor cannot be seen.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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

QUICK_LOOK = 30_000_000  # candidates looked at before decimals are allowed: a second or two
_NICE = ("currents not zero", "currents distinct", "resistances distinct", "no resistance of 1 ohm")
_NICE_IN_TIME = ("resistances distinct", "no resistance of 1 ohm")  # currents of storages are 0 by law
_USUAL = {"V": "3 to 24 V", "Ω": "2 to 12 ohm", "A": "1 to 3 A"}
_USUAL_IN_KILOHMS = {"V": "3 to 24 V", "Ω": "2 to 12 kohm", "A": "1 to 3 mA"}


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
    look can find, none zero, no two of one size, resistances that differ, none of 1 ohm; of these last what
    the circuit never grants, such as currents that differ in a cube of equal wires, is left out. `hold`:
    wishes besides; `crew`: who works. Raises FaultyMaterial as `versions` does.
    """
    said = asked or circuit.versions
    large = _is_large(circuit)
    usual = _USUAL_IN_KILOHMS if large else _USUAL
    chosen = dict(said.choices) or {
        name: usual[unit] for name in circuit.symbols if (unit := unit_of(name, circuit)) in usual
    }
    unit = " in mA" if large and circuit.ladder is None else ""
    whole = said.hold or hold
    if whole:
        wished = tuple(dict.fromkeys((*said.hold, *hold)))
        table = VersionsAsked(chosen, wished, said.difficulty)
        return versions(circuit, 1, seed=seed, asked=table, same_lines=False, crew=crew, tell=tell), wished
    many = sum(circuit.elements[p.element].kind is Kind.RESISTOR for b in circuit.branches for p in b.passes)
    nice: tuple[str, ...] = _NICE_IN_TIME if is_in_time(circuit) else _NICE
    if circuit.ladder is not None:
        nice = _NICE_IN_TIME[1:]  # of parts of a section some are alike as a rule
    elif many < 2:
        nice = tuple(wish for wish in nice if wish != "resistances distinct")
    what = "currents" if circuit.ladder is None else "answers"
    few = ("whole", "with at most 1 decimal", "with at most 2 decimals")
    decimals = tuple(f"{what} {one}{unit}" for one in few)
    while True:
        found, wished = _with_few_decimals(circuit, chosen, decimals, nice, seed, crew, tell)
        never = set(nice).intersection(found.clash.wishes if found.clash is not None else ())
        if not never:
            return found, wished
        nice = tuple(wish for wish in nice if wish not in never)  # of equal parts some are alike by nature


def _with_few_decimals(
    circuit: Circuit,
    chosen: Mapping[str, str],
    decimals: Sequence[str],
    nice: Sequence[str],
    seed: int,
    crew: CrewWish,
    tell: Hears,
) -> tuple[VersionSet, tuple[str, ...]]:
    """The numbers with the fewest decimals in the answers that a short look finds, and what they grant."""
    for few in decimals:
        wished = (few, *nice)
        most = {} if few == decimals[-1] else {"most": QUICK_LOOK}
        table = VersionsAsked(chosen, wished)
        found = versions(circuit, 1, seed=seed, asked=table, same_lines=False, crew=crew, tell=tell, **most)
        if found.complete or (found.clash is not None and few not in found.clash.wishes):
            break
    return found, wished


def _is_large(circuit: Circuit) -> bool:
    """Whether the file's own resistances are of hundreds of ohms and more."""
    given = [v for name, v in circuit.numbers.items() if circuit.role(name) is Kind.RESISTOR]
    return bool(given) and min(given) >= Fraction(100)
