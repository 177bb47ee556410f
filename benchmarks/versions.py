"""Versions of three-loop circuits (the bridge among the examples of papers, a ladder, four branches side by
side): 200 that grant every wish, all of one pattern of signs and of as many lines, every working written.
Bar: 2 s, of processor time and by the clock with two processes. Wishes that clash are refuted in 10 s, every
candidate looked at. Beside them: lines uncounted, and versions that differ in form as well, each read and
solved afresh."""

from __future__ import annotations

import sys
import time
from dataclasses import replace

from benchmarks.papers import FOLDER
from benchmarks.timing import times
from loopwright.circuit.circuit import Circuit
from loopwright.circuit.versions_asked import VersionsAsked
from loopwright.many.each import CrewWish
from loopwright.problem.problem_file import read, read_text
from loopwright.versions.versions import versions

COUNT = 200
BAR, BAR_REFUTED = 2.0, 10.0  # seconds
SEEDS = (1, 2, 3)
CANNOT_BE = "I5 > 4 A"  # which no candidate grants: as every one must be looked at to know
FORMS = ("arrows turned", "renamed", "mirrored", "turned")
WISHES = ("currents with at most 2 decimals", "currents not zero", "resistances distinct")
OTHERS = {
    "ladder": ("a, +E1, R1, b", "b, R2, a", "b, R3, c", "c, R4, a", "c, R5, +E2, a"),
    "four side by side": ("a, +E1, R1, b", "a, +E2, R2, b", "a, R3, b", "b, R4, a"),
}


def circuits() -> dict[str, Circuit]:
    """The circuits, each with what varies in it and what must hold."""
    found = {"bridge": read(FOLDER / "tide-bridge.toml")}
    for name, branches in OTHERS.items():
        lines = [f'I{at} = "{branch}"' for at, branch in enumerate(branches, 1)]
        circuit, findings = read_text("\n".join(("[branches]", *lines)))
        if circuit is None:
            raise SystemExit(findings[0].message)
        usual = {s: "6 to 30 V" if s.startswith("E") else "2 to 12 ohm" for s in circuit.symbols}
        found[name] = replace(circuit, versions=VersionsAsked(usual, WISHES))
    return found


def run() -> bool:
    """Prints the rows; whether the bars are met."""
    print(f"\nVersions of three-loop circuits: {COUNT}, seconds of processor time; by the clock with two")
    met = True
    for name in circuits():
        for seed in SEEDS:
            met = _found(name, seed) and met
    ((uncounted,), (formed,)) = times(_uncounted, _in_forms, rounds=1)
    print(f"  {'bridge, lines uncounted':26} {uncounted:6.2f}")
    print(f"  {'bridge, by form as well':26} {formed:6.2f}")
    ((refuted,),) = times(_refuted, rounds=1)
    met = met and refuted <= BAR_REFUTED
    print(f"  {'refuted':26} {refuted:6.2f} (bar {BAR_REFUTED:g}: {_verdict(refuted, BAR_REFUTED)})")
    return met


def _found(name: str, seed: int) -> bool:
    """One row: the versions of a circuit by a seed."""
    ((taken,),) = times(lambda: versions(circuits()[name], COUNT, seed=seed), rounds=1)
    begun = time.perf_counter()
    found = versions(circuits()[name], COUNT, seed=seed, crew=CrewWish(2))
    clock = time.perf_counter() - begun
    if not found.complete:
        raise SystemExit(f"the wishes of the benchmark are not granted for the circuit: {name}")
    print(
        f"  {f'{name}, seed {seed}':26} {taken:6.2f} {clock:6.2f} (bar {BAR:g}: "
        f"{_verdict(max(taken, clock), BAR)}); {found.looked_at:,} candidates looked at of {found.size:,}"
    )
    return max(taken, clock) <= BAR


def _uncounted() -> object:
    return versions(circuits()["bridge"], COUNT, same_lines=False)


def _in_forms() -> object:
    circuit = circuits()["bridge"]
    return versions(circuit, COUNT, asked=replace(circuit.versions, forms=FORMS))


def _refuted() -> object:
    circuit = circuits()["bridge"]
    wish = replace(circuit.versions, hold=(*circuit.versions.hold, CANNOT_BE))
    found = versions(circuit, COUNT, asked=wish)
    if found.clash is None or CANNOT_BE not in found.clash.wishes:
        raise SystemExit("the wishes of the benchmark are not refuted as meant")
    return found


def _verdict(taken: float, bar: float) -> str:
    return "met" if taken <= bar else "NOT met"


if __name__ == "__main__":
    sys.exit(0 if run() else 1)
