"""What is told of versions: the finding where wishes clash, and the exact answers of each."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.names import listed
from ..circuit.targets import targets
from ..circuit.timed_wishes import is_in_time
from ..findings import Finding
from ..solve.asked import value_of
from ..solve.exact import Solution, solve
from ..transients.timed_numbers import timed_numbers
from .closed_forms import LadderForms
from .search import SAME_SIGNS
from .times_come import MOST_REFUSED, TIMES_COME
from .version import SAME_LINES, VersionSet


def clash_found(found: VersionSet) -> Finding:
    """That there are fewer versions than were asked for, with the wishes that stand in the way."""
    clash = found.clash
    if clash is None:
        raise ValueError("as many versions were found as asked for")
    named = [
        f'"{text}"' if text not in (SAME_SIGNS, SAME_LINES, TIMES_COME) else text for text in clash.wishes
    ]
    are_there = {0: "no version", 1: "1 version"}.get(clash.found, f"{clash.found:,} versions")
    leave = f"{'leaves' if len(named) == 1 else 'leave together'} {are_there}"
    wished = f"The {'wish' if len(named) == 1 else 'wishes'} {listed(named)} {leave}"
    if not named:
        wished = f"All choices together make {are_there}"
    proof = (
        f"all {found.size:,} candidates were looked at"
        if clash.proved
        else f"{found.looked_at:,} of {found.size:,} candidates were looked at, so there may be more"
    )
    if not clash.proved and found.looked_at == found.size:
        proof = f"none of {MOST_REFUSED:,} candidates worked in time granted all of it, and there are more"
    asked = "1 was" if found.wanted == 1 else f"{found.wanted:,} were"
    mixed = any(text in (SAME_SIGNS, SAME_LINES) for text in clash.wishes)
    mend = "Leave one of them out, widen what the values may be, or ask for fewer."
    if len(named) < 2:
        mend = "Widen what the values may be, or ask for fewer."
    if mixed:
        mend = f'{mend[:-1]}; difficulty = "mixed" under [versions] takes any signs and lines.'
    about = tuple(text for text in clash.wishes)
    return Finding("versions/wishes-clash", f"{wished}, and {asked} asked for; {proof}.", mend, about=about)


def answers_in(found: VersionSet) -> list[Mapping[str, Fraction]]:
    """The answers of every version, by what each asks."""
    if is_in_time(found.circuit):
        return [timed_answers(circuit) for circuit in found.circuits]
    if found.circuit.ladder is not None:
        forms = LadderForms(found.circuit)
        return [{forms.name: forms.resistance.value(circuit.numbers)} for circuit in found.circuits]
    solution = solve(found.circuit)
    return [answers_of(solve(v.circuit) if v.form else solution, v.circuit) for v in found.versions]


def answers_of(solution: Solution, circuit: Circuit) -> Mapping[str, Fraction]:
    """The exact answers of a version (SI units) by what is asked, from the closed forms of its problem."""
    found: dict[str, Fraction] = {}
    for asked in targets(circuit):
        value = value_of(solution, asked)
        found[asked.as_text()] = value.value({name: circuit.numbers[name] for name in value.held()})
    return found


def timed_answers(circuit: Circuit) -> Mapping[str, Fraction]:
    """The answers of a version in time that are numbers: exact, or to twelve figures where they are powers or
    logarithms of e."""
    return {each.asked: each.value for each in timed_numbers(circuit) if each.value is not None}
