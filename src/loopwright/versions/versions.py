"""Versions of a problem: the same circuit in other numbers and forms, fair, exact, held against wishes.

The search is over whole numbers (`search`); each version it finds is judged once more here by the wishes
themselves, over fractions, before anybody gets it.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import DIMENSION_OF
from ..circuit.names import listed
from ..circuit.page_wishes import SHORTEST
from ..circuit.value_choices import UnreadableChoices, choices
from ..circuit.version_forms import form_faults
from ..circuit.versions_asked import VersionsAsked
from ..circuit.wishes import SlipsApart, Wish, wishes
from ..derive.search import plain_numbers
from ..errors import BrokenPromise, FaultyMaterial
from ..expressions.nodes import Expr
from ..findings import Finding
from ..methods.compare import shortest
from ..methods.methods import BRANCH_CURRENTS, method_called
from ..problem.versions_table import unit_of
from ..shown import Shown
from ..solve.asked import value_written
from ..solve.exact import Solution, solve
from .forms import VersionForm, asked_and_turned, form_drawn, formed, prove
from .grid import SAFE, ChoiceGrid, GridBlock, Places
from .search import SAME_SIGNS, Hears, Pattern, VersionPlace, VersionSearch, WalkFound, WishClash
from .sieve import Condition, conditions, sign_in, sign_of
from .slips_apart import ApartSieve, SlipCertificate, certificate

MOST_LOOKED_AT = 400_000_000  # candidates of one walk: half a minute or so
MOST_FORMS_DRAWN = 30  # for one version, until its wishes hold in one
SAME_LINES = "all of as many lines"  # the wish that stands for the other half of one difficulty


@dataclass(frozen=True)
class Version:
    """One version: the circuit with its numbers. `signs`: of its currents, in order; `lines`: how many lines
    its working in numbers has, or None where that was not asked. `certificate`: what its numbers tell of
    slips, where these were to be told apart. `form`: in what else it differs from the file; signs and lines
    are those of the file's own arrows and questions."""

    circuit: Circuit
    signs: Pattern
    lines: int | None = None
    certificate: SlipCertificate | None = None
    form: VersionForm = field(default_factory=VersionForm)

    @property
    def numbers(self) -> Mapping[str, str]:
        """Its numbers as written, by symbol."""
        return self.circuit.written


@dataclass(frozen=True)
class VersionSet(Shown):
    """The versions found of a problem, all distinct. `wanted`: how many were asked for; with fewer found,
    `clash` says which wishes stand in the way. `size`: how many candidates there are; `looked_at`: how many
    were looked at to find these."""

    circuit: Circuit
    versions: tuple[Version, ...]
    wanted: int
    seed: int
    size: int
    looked_at: int
    clash: WishClash | None = None

    def __len__(self) -> int:
        return len(self.versions)

    @property
    def circuits(self) -> tuple[Circuit, ...]:
        """The circuits of all versions, in order."""
        return tuple(version.circuit for version in self.versions)

    @property
    def in_form(self) -> bool:
        """Whether any differs in more than its numbers."""
        return any(version.form for version in self.versions)

    @property
    def complete(self) -> bool:
        """Whether as many were found as were asked for."""
        return len(self.versions) == self.wanted


@dataclass(frozen=True, slots=True)
class Count:
    """How many versions there are in all, and by the signs of their currents. `whole`: all candidates were
    looked at; else there may be more."""

    versions: int
    by_signs: Mapping[Pattern, int]
    looked_at: int
    whole: bool


def versions(
    circuit: Circuit,
    count: int,
    *,
    seed: int = 1,
    asked: VersionsAsked | None = None,
    same_lines: bool = True,
    most: int = MOST_LOOKED_AT,
    tell: Hears = lambda _: None,
) -> VersionSet:
    """Finds `count` versions of a circuit that grant every wish.

    `asked`: what varies and what must hold; by default what the problem file says under [versions].
    `seed`: the same seed gives the same versions, another seed others. Unless the difficulty is "mixed",
    all have one pattern of signs and, with `same_lines`, as many lines in their working in numbers (which
    has to be written for each: some 20 ms a version). `most`: how many candidates a walk may look at.
    `tell` hears how far the search has come.

    Raises FaultyMaterial for a circuit that has no versions: in time, asked backwards, without numbers or
    choices for a symbol; ValueError for a count below 1. With too few found the result says by `clash` which
    wishes stand in the way.
    """
    if count < 1:
        raise ValueError(f"{count} versions asked for; ask for 1 or more")
    hunt = _Hunt(circuit, asked or circuit.versions, seed, most, tell)
    return hunt.found(count, same_lines)


def how_many(
    circuit: Circuit,
    *,
    asked: VersionsAsked | None = None,
    most: int = MOST_LOOKED_AT,
    tell: Hears = lambda _: None,
) -> Count:
    """Counts the versions that grant every wish, whatever their signs, and those of each pattern of signs."""
    hunt = _Hunt(circuit, asked or circuit.versions, 1, most, tell)
    walk = hunt.search.walk(hunt.search.all, hunt.grid.size + 1)
    by_signs: Counter[Pattern] = Counter()
    for (_, signs), count in walk.tally.items():
        by_signs[signs] += count
    return Count(by_signs.total(), dict(sorted(by_signs.items())), walk.looked_at, walk.whole)


class _Hunt:
    """One search: the grid, the closed forms, the wishes."""

    def __init__(self, circuit: Circuit, asked: VersionsAsked, seed: int, most: int, tell: Hears) -> None:
        _refuse(circuit, asked)
        self.circuit, self.asked, self.seed, self.tell = circuit, asked, seed, tell
        self.solution = solve(circuit)
        self.wishes = wishes(circuit, asked.hold)
        self.apart = next((wish.text for wish in self.wishes if isinstance(wish, SlipsApart)), "")
        self._apart_sieve = ApartSieve()
        self._ratios: dict[Expr, Ratio] = {}
        self._wishes_in: dict[tuple[tuple[str, ...], tuple[str, ...]], tuple[Wish, ...]] = {}
        varied = {
            name: choices(asked.choices[name], unit_of(name, circuit))
            for name in circuit.symbols
            if name in asked.choices
        }
        fixed = {n: v for n, v in circuit.numbers.items() if n not in varied}
        self.grid = ChoiceGrid(varied, fixed, seed)
        self._currents = [self.grid.ratio(self.solution.currents[n]) for n in circuit.currents]
        self.search = VersionSearch(
            self.grid,
            {wish.text: conditions(wish, self.grid, self.ratio) for wish in self.wishes},
            self._sound(),
            self._signs,
            same_signs=asked.difficulty != "mixed",
            most=most,
            tell=tell,
        )

    def ratio(self, written: Expr) -> Ratio:
        """The closed form of what is written."""
        if written not in self._ratios:
            self._ratios[written] = value_written(written, self.solution)
        return self._ratios[written]

    def _sound(self) -> list[Condition]:
        """That every value of an element is above 0, where its form leaves that open."""
        met = [p.element for b in self.circuit.branches for p in b.passes]
        values = [self.circuit.value(n) for n in met if self.circuit.elements[n].kind in DIMENSION_OF]
        values += [v for n in met if (v := self.circuit.internal_resistance(n))]
        ratios = [self.grid.ratio(v) for v in values]
        return [sign_in(r, (1,)) for r in ratios if not (r.above.positive and r.below.positive)]

    def _signs(self, block: GridBlock, places: Places) -> NDArray[np.int64]:
        """The signs of all currents at these places, a column each."""
        columns = []
        for ratio in self._currents:
            signs = sign_of(ratio, lambda p: block.at(p, places, p.bound < SAFE))
            columns.append(np.broadcast_to(signs, places.rows.shape).astype(np.int64))
        return np.column_stack(columns)

    # -- versions --------------------------------------------------------------------------------

    def found(self, count: int, same_lines: bool) -> VersionSet:
        """The versions found, or the wishes that clash."""
        chance = random.Random(self.seed)
        same_signs = SAME_SIGNS in self.search.all
        walk = WalkFound()
        waiting: dict[Pattern, list[VersionPlace]] = {}
        judged: dict[tuple[Pattern, int | None], list[Version]] = {}
        reached = False
        for candidates in self.search.candidates(walk):
            chance.shuffle(candidates)
            for candidate in candidates:
                waiting.setdefault(candidate.signs if same_signs else (), []).append(candidate)
            for signs, line in waiting.items():
                held = sum(len(pool) for (of, _), pool in judged.items() if of == signs)
                if len(line) + held < count:
                    continue
                reached = True
                done = self._judged(signs, line, count, judged, same_signs and same_lines)
                if done is not None:
                    return self._set(done, count, walk)
        if not reached:
            line = max(waiting.values(), key=len, default=[])
            plain = [Version(self._circuit(place), place.signs) for place in line[:count]]
            return self._set(plain, count, walk, self.search.clash(count))
        for signs, line in waiting.items():
            self._judged(signs, line, count, judged, same_signs and same_lines)
        best = max(judged.values(), key=len, default=[])
        by_signs = Counter[Pattern]()
        for (signs, _), pool in judged.items():
            by_signs[signs] += len(pool)
        too_few = self.apart and max(by_signs.values(), default=0) < count
        at_fault = tuple(wish.text for wish in self.wishes) if too_few else (SAME_LINES,)
        return self._set(best, count, walk, WishClash(at_fault, len(best), walk.whole, walk.looked_at))

    def _judged(
        self,
        signs: Pattern,
        line: list[VersionPlace],
        count: int,
        judged: dict[tuple[Pattern, int | None], list[Version]],
        counted: bool,
    ) -> list[Version] | None:
        """Takes candidates from the line until as many versions as wanted are alike; None where it ends
        before."""
        while line:
            version = self._version(line.pop(), counted)
            if version is None:
                continue
            pool = judged.setdefault((signs, version.lines), [])
            pool.append(version)
            self.tell(f"{len(pool)} of {count} versions")
            if len(pool) == count:
                return pool
        return None

    def _version(self, place: VersionPlace, counted: bool) -> Version | None:
        """The version at a place of the grid; None where its numbers do not tell slips apart and should."""
        plain = self._circuit(place)
        told: SlipCertificate | None = None
        if self.apart and not self._apart_sieve.passes(plain, place.signs):
            return None
        form = self._form(plain, place)
        circuit, solution = formed(plain, form), self.solution
        if form:
            solution = prove(circuit, plain, form, solution)
        if self.apart:
            told = certificate(circuit)
            if not told.apart:
                return None
        own = formed(plain, replace(form, asked=())) if form.asked else circuit
        lines = self._lines(own, solution) if counted else None
        return Version(circuit, place.signs, lines, told, form)

    def _form(self, plain: Circuit, place: VersionPlace) -> VersionForm:
        """A form in which every wish still holds, of the arrows and questions as they are in it; the file's
        own where none of those drawn is so."""
        for draw in range(MOST_FORMS_DRAWN if self.asked.in_form else 0):
            form = form_drawn(plain, self.asked, f"{self.seed} {place.row} {place.column} {draw}")
            if self._grants(plain, form):
                return form
        return VersionForm()

    def _grants(self, plain: Circuit, form: VersionForm) -> bool:
        if not form.arrows and not form.asked:
            return True
        key = form.arrows, form.asked
        if key not in self._wishes_in:
            self._wishes_in[key] = wishes(asked_and_turned(plain, form), self.asked.hold)
        return all(
            wish.holds(lambda q: self.ratio(form.signed(q)).value(plain.numbers))
            for wish in self._wishes_in[key]
            if not isinstance(wish, SlipsApart)
        )

    def _circuit(self, place: VersionPlace) -> Circuit:
        """The circuit with the numbers of a place, held against every wish. Raises BrokenPromise where it
        does not grant one."""
        chosen = self.grid.chosen(place.row, place.column)
        numbers = {**self.circuit.numbers, **{name: choice.value for name, choice in chosen.items()}}
        written = {**self.circuit.written, **{name: choice.text for name, choice in chosen.items()}}
        order = [name for name in (*self.circuit.symbols, *numbers) if name in numbers]
        for wish in self.wishes:
            if not isinstance(wish, SlipsApart) and not wish.holds(lambda q: self.ratio(q).value(numbers)):
                raise BrokenPromise(f"a version does not grant the wish: {wish.text}")
        return replace(
            self.circuit,
            numbers={name: numbers[name] for name in order},
            written={name: written[name] for name in order if name in written},
            versions=VersionsAsked(),
        )

    def _lines(self, circuit: Circuit, solution: Solution) -> int:
        """How many lines the working in numbers has, by the method that the file names."""
        method = self.circuit.page.method or BRANCH_CURRENTS
        chosen = method_called(shortest(self.circuit, self.solution) if method == SHORTEST else method)
        plain = plain_numbers(circuit, replace(solution, circuit=circuit))
        return chosen.write(plain.solution, 1, None).written_lines

    def _set(
        self, found: list[Version], count: int, walk: WalkFound, clash: WishClash | None = None
    ) -> VersionSet:
        return VersionSet(self.circuit, tuple(found), count, self.seed, self.grid.size, walk.looked_at, clash)


def _refuse(circuit: Circuit, asked: VersionsAsked) -> None:
    """Raises FaultyMaterial where there can be no versions."""
    faults: list[Finding] = []
    if circuit.storages or circuit.switching:
        faults.append(
            Finding("versions/in-time", "A circuit with storages or moving switches has no versions yet.", "")
        )
    if circuit.sought or circuit.ladder is not None:
        what = "A question asked backwards" if circuit.sought else "A ladder without end"
        faults.append(Finding("versions/asked-backwards", f"{what} has no versions yet.", ""))
    if not asked.choices and not faults:
        mend = 'Add lines such as R1 = "2 to 12 ohm" under [versions].'
        faults.append(Finding("versions/nothing-varies", "Nothing is said to vary.", mend))
    open_ = [n for n in circuit.symbols if n not in circuit.numbers and n not in asked.choices]
    if open_ and not faults:
        faults.append(
            Finding(
                "versions/numbers-missing",
                f"There is neither a number nor a choice of numbers for {listed(open_)}.",
                f"Say what {open_[0]} may be under [versions], or give its number under [numbers].",
                about=tuple(open_),
            )
        )
    for name, text in asked.choices.items() if not faults else ():
        if name not in circuit.symbols:
            mend = f"The symbols are {listed(circuit.symbols)}."
            message = f"{name} is said to vary, but no value in this circuit holds such a symbol."
            faults.append(Finding("versions/unknown-symbol", message, mend, about=(name,)))
            continue
        try:
            choices(text, unit_of(name, circuit))
        except UnreadableChoices as trouble:
            mend = f"{trouble.mend[0].upper()}{trouble.mend[1:]}."
            message = f"What {name} may be is not clear: {trouble.why}."
            faults.append(Finding("versions/unreadable-choices", message, mend, about=(name,)))
    if not faults:
        faults.extend(finding for _, finding in form_faults(circuit, asked))
    if faults:
        raise FaultyMaterial(*faults)
