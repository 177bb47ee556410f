"""Turns the verdicts on a working into a proposed mark, each part with its reason.

The algorithm of consequential marking: equations are right when they are true of the circuit, whatever
loops and arrows were chosen; every slip is charged once, to the part where it was made; what follows
correctly from a slip earns its points, unless the slip took the difficulty away, left the set of equations
too small, or led to a result that should have been rejected. What is absent earns nothing. Published
anchors and what is common practice: docs/marking.md. The instructor decides.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ...expressions.said import Said, counted, in_a_row, names
from ...laws.laws import laws
from ...slips.catalogue import CATALOGUE
from ..enough import LAWS
from ..reading import Reading
from ..verdicts import ClaimKind, Truth, Verdict
from ..wording import lines_named
from .charging import REMOVES_THE_DIFFICULTY, charged_to, of_currents_only
from .checks_written import checks_something, says_to_check
from .mark import Award, Mark
from .other_ways import BY_OTHER_WAY, by_other_way, is_shown, takes_apart
from .own_set import OwnSet, is_cause, own_set
from .presentation import presentation
from .results import Stated, impossible, is_of_a_source, results
from .scheme import MarkPart, Scheme

NOTHING = Fraction(0)


@dataclass(frozen=True, slots=True)
class _Cause:
    """One slip, to be charged once.

    `verdicts`: the claims made untrue by it; `part`: the part of the mark it is charged to. `barred`: why
    nothing that follows from it earns points; empty where it does. `only_results`: that is so of results,
    while the lines between earn theirs.
    """

    verdicts: tuple[Verdict, ...]
    part: MarkPart
    barred: Said = ()
    only_results: bool = False

    @property
    def line(self) -> int:
        return self.verdicts[0].line


def propose(reading: Reading, scheme: Scheme) -> Mark:
    """The mark proposed for a working by a scheme, with the reason for each part in a sentence."""
    return _Marking(reading, scheme).mark()


class _Marking:
    """One marking of one working."""

    def __init__(self, reading: Reading, scheme: Scheme) -> None:
        self.reading, self.scheme = reading, scheme
        self.own: OwnSet = own_set(reading)
        self.results: tuple[Stated, ...] = results(reading)
        self.other_way = by_other_way(reading, self.own, self.results)
        self.causes: tuple[_Cause, ...] = tuple(self._causes())
        self.by_line: Mapping[int, _Cause] = {v.line: cause for cause in self.causes for v in cause.verdicts}

    def mark(self) -> Mark:
        rules = {
            MarkPart.ARROWS: self.arrows,
            MarkPart.JUNCTIONS: self.junctions,
            MarkPart.ELEMENTS: self.elements,
            MarkPart.SIGNS: self.signs,
            MarkPart.ENOUGH: self.enough,
            MarkPart.ALGEBRA: self.algebra,
            MarkPart.RESULT: self.result,
            MarkPart.UNITS: self.units,
            MarkPart.CHECK: self.check,
        }
        awards = tuple(rules[part]() for part in MarkPart if self.scheme.points[part])
        carried = tuple(dict.fromkeys(v.line for v in self.reading.verdicts if self.earns_by_following(v)))
        lines = [line.number for line in self.reading.working.lines if line.trouble is not None]
        lines += [v.line for v in self.reading.verdicts if v.kind is ClaimKind.UNDECIDED]
        return Mark(self.scheme, awards, carried, tuple(sorted(set(lines))))

    # -- slips -------------------------------------------------------------------------------------

    def _causes(self) -> list[_Cause]:
        found: dict[int, list[Verdict]] = {}
        together = self._one_rule()
        for verdict in self.reading.verdicts:
            if is_cause(verdict):
                line = together[0] if verdict.line in together else verdict.line
                found.setdefault(line, []).append(verdict)
        return [self._cause(tuple(verdicts)) for verdicts in found.values()]

    def _one_rule(self) -> tuple[int, ...]:
        """The lines of all loop equations, where every one of them has the same slip: a rule misunderstood
        is one cause, however many loops it spoils."""
        names = self.reading.arrows.names
        loops = [v for v in self.own.written if not of_currents_only(v.claim.written, names)]
        slips = {v.repairs[0].entry if v.repairs else "" for v in loops if v.kind is ClaimKind.UNTRUE}
        spoilt = all(v.kind is ClaimKind.UNTRUE for v in loops) and len(slips) == 1 and "" not in slips
        return tuple(v.line for v in loops) if spoilt else ()

    def _cause(self, verdicts: tuple[Verdict, ...]) -> _Cause:
        first, lines = verdicts[0], {v.line for v in verdicts}
        part = charged_to(first, self.reading.arrows.names, setting_up=first in self.own.written)
        lost = {s.verdict.line for s in self.results if s.verdict and is_cause(s.verdict)}
        if part is MarkPart.RESULT and not lines & lost:
            part = MarkPart.ALGEBRA  # on the way there: the results that follow from it lose nothing
        entry = first.repairs[0].entry if first.repairs else ""
        if lines.intersection(self.own.alone) or entry in REMOVES_THE_DIFFICULTY:
            return _Cause(verdicts, part, ("it took the difficulty of the problem away",))
        if lines.intersection(self.own.singular):
            return _Cause(verdicts, part, ("it left too few independent equations",))
        for verdict in self.reading.verdicts:
            if verdict.carried and verdict.cause in lines:
                why = impossible(self.reading, verdict.claim.written)
                if why:
                    return _Cause(verdicts, part, why, only_results=True)
        return _Cause(verdicts, part)

    def earns_by_following(self, verdict: Verdict, as_result: bool = False) -> bool:
        """Whether an untrue claim earns its points by following correctly from a slip above."""
        if not (verdict.carried and self.scheme.follow_on):
            return False
        cause = self.by_line.get(verdict.cause or 0)
        return cause is None or not cause.barred or (cause.only_results and not as_result)

    def charged(self, part: MarkPart) -> list[_Cause]:
        return [cause for cause in self.causes if cause.part is part]

    # -- setting up --------------------------------------------------------------------------------

    def arrows(self) -> Award:
        currents = set(self.reading.circuit.currents)
        meant = self.reading.arrows.names
        unsaid = [n for n in self.reading.arrows.inferred if currents.issuperset(meant.get(n, ()))]
        free = (s for s in self.results if not is_of_a_source(self.reading.circuit, s.target))
        stating = [s.stating for s in free if s.verdict is not None]
        if stating and not set(stating) & set(unsaid):  # what is guessed serves on the way only
            unsaid = []
        if not self.reading.verdicts:
            return self._award(MarkPart.ARROWS, NOTHING, ("no current is written of",))
        if not unsaid:
            return self._full(MarkPart.ARROWS, ("every current has a name and an arrow",))
        why: Said = (
            "the ", "arrow of " if len(unsaid) == 1 else "arrows of ", *names(unsaid),
            " had to be guessed from the equations; give the points where a sketch shows them",
        )  # fmt: skip
        return self._award(MarkPart.ARROWS, NOTHING, why)

    def junctions(self) -> Award:
        needed = len(laws(self.reading.circuit).independent_junctions)
        if not needed:
            return self._full(MarkPart.JUNCTIONS, ("one current only, so none is needed",))
        right = self._stated(ClaimKind.JUNCTION)
        slips = self.charged(MarkPart.JUNCTIONS)
        missing = self._missing(needed, right, of_currents=True)
        if (self._complete or self.other_way) and not right and not slips:
            way = "used without being written by itself" if self._complete else BY_OTHER_WAY
            return self._full(MarkPart.JUNCTIONS, (way,))
        return self._share(MarkPart.JUNCTIONS, needed, right, slips, missing, "junction equation")

    def elements(self) -> Award:
        return self._loops(MarkPart.ELEMENTS)

    def signs(self) -> Award:
        return self._loops(MarkPart.SIGNS)

    def _loops(self, part: MarkPart) -> Award:
        needed = max(1, len(laws(self.reading.circuit).loops))
        right = self._stated(ClaimKind.LOOP)
        if self.other_way and not right and not self.charged(part):
            return self._full(part, (BY_OTHER_WAY,))
        missing = self._missing(needed, right, of_currents=False)
        return self._share(part, needed, right, self.charged(part), missing, "loop equation")

    def enough(self) -> Award:
        if not self.own.needed:
            return self._full(MarkPart.ENOUGH, ("no set of equations is needed",))
        if self._complete:
            why: Said = (f"{counted(self.own.needed, 'independent equation')} for as many unknowns",)
            return self._full(MarkPart.ENOUGH, why, [v.line for v in self.own.written])
        if self.other_way:
            return self._full(MarkPart.ENOUGH, (BY_OTHER_WAY,))
        if self.own.mended >= self.own.needed:
            return self._full(
                MarkPart.ENOUGH, ("enough but for the slip, which is charged where it was made",)
            )
        short = self.own.needed - self.own.mended
        more = f"{counted(short, 'independent equation is', 'independent equations are')} missing"
        return self._award(MarkPart.ENOUGH, NOTHING, (more,), [v.line for v in self.own.written])

    @property
    def _complete(self) -> bool:
        return self.own.rank >= self.own.needed

    def _stated(self, kind: ClaimKind) -> list[int]:
        """Lines among the set that state a true law of this kind and repeat nothing."""
        spare = self.reading.enough.redundant
        lines = [v.line for v in self.own.written if v.kind is kind and v.line not in spare]
        return list(dict.fromkeys(lines))

    def _missing(self, needed: int, right: list[int], *, of_currents: bool) -> int:
        """How many equations of one kind are not there, neither right nor with a slip."""
        if self.own.mended >= self.own.needed or self.other_way:
            return 0
        known = self.reading.arrows.names
        tried = [v for v in self.own.untrue if of_currents_only(v.claim.written, known) is of_currents]
        return max(0, needed - len(right) - len(tried))

    def _share(
        self, part: MarkPart, needed: int, right: list[int], slips: list[_Cause], missing: int, noun: str
    ) -> Award:
        """Points by the share of the equations needed that are there and free of slips of this part."""
        lost = min(needed, missing + len(slips))
        whys: list[Said] = [(self._slip_said(cause),) for cause in slips]
        if missing:
            whys.append((f"{counted(missing, f'{noun} is', f'{noun}s are')} missing",))
        lines = [line for cause in slips for line in self._lines_of(cause)]
        if not whys:
            return self._full(part, (f"right: {lines_named(right)}" if right else "right",), right)
        return self._award(part, Fraction(needed - lost, needed), _joined(whys), lines)

    # -- working out -------------------------------------------------------------------------------

    def algebra(self) -> Award:
        slips = self.charged(MarkPart.ALGEBRA)
        reached = [s for s in self.results if s.verdict is not None and self._is_worked_out(s.verdict)]
        reached += self._told_first(reached)
        derived = [v for v in self.reading.verdicts if self._is_derived(v)]
        share = Fraction(len(reached), len(self.results))
        whys: list[Said] = []
        if not reached and derived:
            share = Fraction(1, 2)
            whys.append(("begun, but none of what is asked is reached",))
        elif not reached:
            whys.append(("nothing written leads to what is asked",))
        elif len(reached) < len(self.results):
            left = [(s.name,) for s in self.results if s not in reached]
            whys.append((*in_a_row(left), " not reached" if len(left) == 1 else " are not reached"))
        whys += [(self._slip_said(cause),) for cause in slips]
        whys += [
            (f"no credit for what follows from line {cause.line}: ", *cause.barred)
            for cause in self.causes
            if cause.barred and not cause.only_results and self._has_followers(cause)
        ]
        points = self.scheme.points[MarkPart.ALGEBRA] * share - self.scheme.slip * len(slips)
        lines = [line for cause in slips for line in self._lines_of(cause)]
        if not whys:
            following = any(s.verdict is not None and s.verdict.carried for s in reached)
            way = "correct as following from the slip above" if following else "leads to what is asked"
            return self._full(MarkPart.ALGEBRA, (way,), [s.verdict.line for s in reached if s.verdict])
        return self._rounded(MarkPart.ALGEBRA, points, _joined(whys), lines)

    def _told_first(self, reached: Sequence[Stated]) -> list[Stated]:
        """Right results that were told before any law was written, where a whole set of laws below them was
        solved for one of them at least: the rest need not be told again."""
        told = self.reading.enough
        laws_written = [v.line for v in self.reading.verdicts if v.kind in LAWS]
        if not reached or not laws_written or told.rank < told.needed:
            return []
        first = [s for s in self.results if s.verdict is not None and s.verdict.line < min(laws_written)]
        return [s for s in first if s not in reached and s.verdict is not None and s.verdict.holds]

    def _is_worked_out(self, verdict: Verdict) -> bool:
        """Whether a result came out of lines above, true or with follow-on credit, or by a slip charged
        elsewhere."""
        if verdict.holds:
            apart = self.other_way or takes_apart(self.reading)
            return verdict.kind is not ClaimKind.TRUE or (apart and self._is_shown(verdict))
        shown = bool(self.own.written) or (takes_apart(self.reading) and self._is_shown(verdict))
        return self.earns_by_following(verdict) or (is_cause(verdict) and shown)

    def _is_shown(self, verdict: Verdict) -> bool:
        """Whether a claim shows how its result is got, or goes on in a chain that does: I2 = I3 = 2 A."""
        goes_on = (
            v for v in self.reading.verdicts
            if v.line == verdict.line and v.claim.written.right == verdict.claim.written.left
        )  # fmt: skip
        return is_shown(verdict) or any(v.holds and is_shown(v) for v in goes_on)

    def _is_derived(self, verdict: Verdict) -> bool:
        """Whether a claim is made of lines above, true or with follow-on credit."""
        return bool(verdict.used) and (verdict.kind is ClaimKind.FOLLOWS or self.earns_by_following(verdict))

    def _has_followers(self, cause: _Cause) -> bool:
        own = {v.line for v in cause.verdicts}
        return any(v.carried and v.cause in own for v in self.reading.verdicts)

    def result(self) -> Award:
        lost: dict[Said, list[Stated]] = {}
        for stated in self.results:
            why = self._result_lost(stated.verdict)
            if why:
                lost.setdefault(why, []).append(stated)
        lines = [s.verdict.line for s in self.results if s.verdict is not None]
        if not lost:
            return self._full(MarkPart.RESULT, (self._results_said(),), lines)
        whys = [(*in_a_row([(s.name,) for s in some]), ": ", *why) for why, some in lost.items()]
        gone = sum(map(len, lost.values()))
        return self._award(MarkPart.RESULT, 1 - Fraction(gone, len(self.results)), _joined(whys), lines)

    def _result_lost(self, verdict: Verdict | None) -> Said:
        """Why a result earns nothing, in a sentence; empty where it earns its points."""
        if verdict is None:
            return ("not stated",)
        if verdict.holds:
            return ()
        if verdict.kind is ClaimKind.UNDECIDED:
            return ("not decided",)
        cause = self.by_line.get(verdict.cause or 0)
        if verdict.carried and self.scheme.follow_on:
            if self.earns_by_following(verdict, as_result=True):
                return ()
            barred = cause.barred if cause is not None else ()
            return (f"nothing for following from line {verdict.cause}, since ", *barred)
        elsewhere = cause is not None and cause.part is not MarkPart.RESULT
        return () if self.scheme.follow_on and elsewhere and is_cause(verdict) else ("not right",)

    def _results_said(self) -> str:
        verdicts = [s.verdict for s in self.results if s.verdict is not None]
        if any(not v.holds for v in verdicts):
            return "right as following from the slip, which is charged where it was made"
        if any(not v.holds for v in self.own.written):
            return "right, although the equations are not"
        if any(v.kind is ClaimKind.TRUE for v in verdicts):
            return "right, though not shown"
        if any(v.truth in (Truth.ROUNDED, Truth.CARRIED) for v in verdicts):
            return "right as rounded"
        return "right"

    def units(self) -> Award:
        slips = self.charged(MarkPart.UNITS)
        if not slips and not any(stated.verdict for stated in self.results):
            return self._award(MarkPart.UNITS, NOTHING, ("no result is stated",))
        whys: list[Said] = [(self._slip_said(cause),) for cause in slips]
        faults = presentation(self.reading, self.results, self.scheme.figures)
        share = Fraction(1) if not slips else NOTHING
        for fault in faults:
            if not (slips and fault.of_units):
                whys.append(fault.said)
                share -= 1 if fault.of_units else Fraction(1, 2)
        lines = [*(line for c in slips for line in self._lines_of(c)), *(n for f in faults for n in f.lines)]
        if whys:
            return self._award(MarkPart.UNITS, max(share, NOTHING), _joined(whys), lines)
        return self._full(MarkPart.UNITS, ("nothing amiss",))

    def check(self) -> Award:
        limits = [v.line for v in self.reading.verdicts if v.claim.case and v.holds]
        if limits:
            return self._full(MarkPart.CHECK, ("a limit is taken, and is right",), limits)
        since = self._checked_from()
        after = [
            v.line for v in self.reading.verdicts if v.line >= since and checks_something(v, self.reading)
        ]
        if after:
            return self._full(MarkPart.CHECK, ("something true is checked after the results",), after)
        return self._award(MarkPart.CHECK, NOTHING, ("none is written",))

    def _checked_from(self) -> float:
        """The line from which on a true claim is a check: after the last of the results, if all are stated,
        or where the working says so once it has stated one."""
        stated = [s.verdict.line for s in self.results if s.verdict is not None]
        after = max(stated, default=0) + 1 if len(stated) == len(self.results) else math.inf
        written = self.reading.working.lines if stated else ()
        said = (n.number for n in written if n.number >= min(stated) and says_to_check(n.text))
        return min(after, next(said, math.inf))

    # -- words -------------------------------------------------------------------------------------

    def _slip_said(self, cause: _Cause) -> str:
        """The slip by its line and its name, and the lines in which it was made again."""
        first = cause.verdicts[0]
        entry = CATALOGUE.get(first.repairs[0].entry) if first.repairs else None
        named = f" ({entry.name})" if entry is not None else ""
        also = [n for n in self._lines_of(cause) if n != first.line]
        again = f", and the same in {lines_named(also)}" if also else ""
        return f"a slip in line {first.line}{named}{again}"

    def _lines_of(self, cause: _Cause) -> list[int]:
        """The line of a slip, and the lines in which the same slip was made again."""
        own = {v.line for v in cause.verdicts}
        again = [
            v.line
            for v in self.reading.verdicts
            if v.kind is ClaimKind.UNTRUE and not v.carried and (v.line in own or v.cause in own)
        ]
        return list(dict.fromkeys((cause.line, *again)))

    def _full(self, part: MarkPart, said: Said, lines: Sequence[int] = ()) -> Award:
        return self._award(part, Fraction(1), said, lines)

    def _award(self, part: MarkPart, share: Fraction, said: Said, lines: Sequence[int] = ()) -> Award:
        return self._rounded(part, self.scheme.points[part] * share, said, lines)

    def _rounded(self, part: MarkPart, points: Fraction, said: Said, lines: Sequence[int]) -> Award:
        """Points brought to the grain of the scheme, halves up, and kept between nothing and the most; where
        anything is lost, at least one grain is."""
        most, grain = self.scheme.points[part], self.scheme.grain
        steps = math.floor(points / grain + Fraction(1, 2))
        kept = most if points >= most else max(min(steps * grain, most - grain), NOTHING)
        return Award(part, kept, most, said, tuple(dict.fromkeys(lines)))


def _joined(whys: Sequence[Said]) -> Said:
    return tuple(piece for at, why in enumerate(whys) for piece in (*(("; ",) if at else ()), *why))
