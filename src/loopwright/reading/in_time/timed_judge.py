"""Reads a working of a circuit in time as an expert reads it: a verdict on every claim, in the order written.

Each claim is held against the circuit at the moment that it speaks of, or at all times; a false one is held
against what wrong lines above would give, and then looked at for the slip that was made. Equations for a time
(`9 = 12 (1 − e^(−t/τ))`) are solved and held against the time that is asked for.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction

from ...circuit.in_time import TimedQuestion
from ...expressions.amounts import amount
from ...expressions.nodes import Equation, Expr, Number, Symbol
from ...expressions.said import Said
from ...transients.transient import Transient
from ..faults import COULD_NOT, OwnFault, own_fault
from ..truth.rounding import Policy
from ..verdicts import ClaimKind, Repair, Truth, Verdict
from ..wording import lines_named, of_units, unknown
from ..working import Claim, WrittenLine
from .claim_truth import WITHOUT_VALUE, ClaimTruth, Judged, TimedChoice, bare_numbers
from .course_numbers import NumberSpan, constant, crossing
from .course_values import ExactValue
from .stage_laws import StageLaws
from .time_slips import TimeSlips
from .timed_names import OF_RATE, TAU, TIME, TIMELESS, UNIT_OF_SORT, Sort, TimedQuantity, When, moment_said
from .timed_page import TimedLine, TimedWorking, in_course, names_in
from .timed_truth import Supposed, TimedWorld
from .times_asked import A_TIME, TimesAsked, question_of
from .true_in_time import TrueInTime
from .unit_systems import SI, UnitSystem, systems

MOST_OTHERS = 4  # ways to take the names of an untrue claim that are tried for a slip, besides the first


class StageReader:
    """The state of one reading in one stage. `verdicts`: those on all lines so far, in whichever stage."""

    def __init__(self, stage: Transient, page: TimedWorking, policy: Policy, verdicts: list[Verdict]) -> None:
        self.stage, self.page, self.policy, self.verdicts = stage, page, policy, verdicts
        self.supposed: list[Supposed] = []
        self.causes: dict[int, int] = {}  # line of a wrong value -> where the slip was made
        self.answered: dict[tuple[int, str], TimedQuestion] = {}
        circuit = self.stage.circuit
        self.world = TimedWorld(self.stage)
        self.truth = ClaimTruth(self.world, self.page.names, self.policy, self.page.clock)
        self.systems = systems(circuit)
        self.system = SI
        self.known = TrueInTime(circuit, StageLaws(circuit), verdicts)
        self.slips = TimeSlips(self.truth)
        self.times = TimesAsked(())
        self._unit_now = ""
        self.told_at: Expr | None = None  # the last time that was told

    # -- one line ------------------------------------------------------------------------------------

    def take(self, line: WrittenLine) -> None:
        """Judges the claims of a line, chain by chain."""
        said = self.page.lines.get(line.number, TimedLine())
        chain: list[tuple[int, Claim]] = []
        for index, claim in enumerate(self._in_one_way(line.claims, said)):
            if chain and chain[-1][1].written.right != claim.written.left:
                self._chain(line, said, chain)
                chain = []
            chain.append((index, claim))
        if chain:
            self._chain(line, said, chain)
        self.told_at = said.at or self.told_at

    def _any_time(self, claims: Sequence[Claim]) -> bool:
        """Whether t stands in a chain that speaks of a quantity: there it is any time, also where one was
        told above."""
        met = {name for claim in claims for name in names_in(claim.written)}
        return TIME in met and not met.isdisjoint(self.truth.names)

    def _in_one_way(self, claims: Sequence[Claim], said: TimedLine) -> Sequence[Claim]:
        """The claims of a line in that of the ways to read it in which most of them are true, as read first
        where several are as good; one that is true in another way alone in that."""
        ways = min((len(claim.otherwise) for claim in claims), default=0)
        if not ways:
            return [self._meant(claim, said) for claim in claims]

        def true_in(way: int) -> int:
            read = [(claim.written, *claim.otherwise)[way] for claim in claims]
            return sum(not self._strange(one) and self.may_be_true(one, said) for one in read)

        best = max(range(ways + 1), key=true_in)
        first = [
            replace(claim, written=all_ways[best], otherwise=all_ways)
            for claim in claims
            for all_ways in [(claim.written, *claim.otherwise)]
        ]
        return [self._meant(claim, said) for claim in first]

    def _meant(self, claim: Claim, said: TimedLine) -> Claim:
        """The claim in the first of its meanings in which it may be true; as read first where in none."""
        for written in (claim.written, *claim.otherwise) if claim.otherwise else ():
            if self.may_be_true(written, said):
                return replace(claim, written=written, otherwise=())
        return claim

    def _said_by_head(self, claims: Sequence[Claim], said: TimedLine) -> TimedLine:
        """What is said of time, with the moment of the name at the head of a chain where words say none and
        it is needed: in V_L(2τ) = E − R I the current is that at 2 τ."""
        head = claims[0].written.left
        timed = self.truth.names.get(head.name) if isinstance(head, Symbol) else None
        moments = (When.BEFORE, When.AFTER, When.END, When.AT)
        if timed is None or timed.when not in moments or said.when is not When.UNSAID:
            return said
        there = replace(said, when=timed.when, at=timed.at, own=True)
        as_it_is = sum(self.may_be_true(claim.written, said) for claim in claims)
        return there if sum(self.may_be_true(claim.written, there) for claim in claims) > as_it_is else said

    def _said_above(self, claims: Sequence[Claim], said: TimedLine) -> TimedLine:
        """What is said of time, with the last moment that lines above told or came to, where what a quantity
        of no moment is said to be is true of that alone, or of none."""
        head = claims[0].written.left
        timed = self.truth.names.get(head.name) if isinstance(head, Symbol) else None
        plain = said.when is When.UNSAID and timed is not None and timed.when is When.UNSAID
        if not plain or self._any_time(claims) or self.may_be_true(claims[0].written, said):
            return said
        met = [Number(Fraction(time), "s") for time in self.times.met[-1:]]
        moments = [at for at in (*met, self.told_at) if at is not None]
        ways = [replace(said, when=When.AT, at=at, own=True) for at in moments]
        true = (way for way in ways if self.may_be_true(claims[0].written, way))
        return next(true, ways[-1] if ways else said)

    def _chain(self, line: WrittenLine, said: TimedLine, chain: Sequence[tuple[int, Claim]]) -> None:
        claims = [claim for _, claim in chain]
        said = self._said_above(claims, self._said_by_head(claims, said))
        told = self.truth.own.pop(TIME, None) if self._any_time(claims) else None
        self.system = self._system(claims, said)
        head = claims[0].written.left
        for at, (index, claim) in enumerate(chain):
            self.truth.goes_on = claim is not claims[0]
            there = in_course(said, claims[at:])
            try:
                verdict = self._verdict(line, there, claim, head, condition=index in said.conditions)
            except Exception as trouble:
                fault = own_fault(trouble, line.number)
                verdict = Verdict(line.number, claim, ClaimKind.UNDECIDED, (f"{COULD_NOT}.",), fault=fault)
            self.verdicts.append(verdict)
            self._keep(line, said, claim, head, verdict)
        if told is not None:
            self.truth.own.setdefault(TIME, told)

    def _system(self, claims: Sequence[Claim], said: TimedLine) -> UnitSystem:
        """The system of units in which most claims of a chain are true; the one used before where several do
        as well."""
        if not any(bare_numbers(c.written) for c in claims) or len(self.systems) == 1:
            return SI
        ordered = sorted(self.systems, key=lambda s: s is not self.system)
        best, most = self.system, -1
        for one in ordered:
            count = 0
            for claim in claims:
                found = self._judge(claim.written, said, one)
                count += found is not None and found.truth is not Truth.NO
            if count > most:
                best, most = one, count
        return best

    # -- true or not ---------------------------------------------------------------------------------

    def could_be(self, claim: Claim, said: TimedLine) -> bool:
        """Whether a claim may be true in any of the ways in which it can be read."""
        return any(self.may_be_true(written, said) for written in (claim.written, *claim.otherwise))

    def may_be_true(self, claim: Equation, said: TimedLine) -> bool:
        """Whether a claim is true in this stage, or is none that a stage decides."""
        if self._strange(claim) or TIME in (
            s.name for s in (claim.left, claim.right) if isinstance(s, Symbol)
        ):
            return True
        found = [self._judge(claim, said, system) for system in self.systems]
        return any(one is not None and one.truth is not Truth.NO for one in found)

    def _judge(
        self, claim: Equation, said: TimedLine, system: UnitSystem, world: TimedWorld | None = None
    ) -> Judged | None:
        """The claim in the first choice of meanings in which it is true; in the first in which it has a value
        where it is true in none, and None where it has a value in none."""
        first: Judged | None = None
        why = ""
        opened = self.truth.opened(claim)
        for choice in self.truth.choices(opened, said.when, said.at, strict=said.own):
            try:
                truth = self.truth.judged(claim, choice, said.at, system, world)
            except WITHOUT_VALUE as trouble:
                why = why or str(trouble.args[0] if trouble.args else trouble)
                continue
            if truth is not Truth.NO and not self._by_nothing(opened, choice, said):
                return Judged(truth, choice)
            truth = Truth.NO
            fits = self.truth.clash(opened, choice) is None
            if first is None or (fits and not first.fits):
                first = Judged(truth, choice, fits)
        if first is None and why:
            return None
        return first

    def _by_nothing(self, claim: Equation, choice: TimedChoice, said: TimedLine) -> bool:
        """Whether a claim holds at a moment that nobody spoke of, only because something in a sum or product
        is nothing then: E − i R + q/C = 0 before there is any charge."""
        unsaid = {n for n in choice.names if self.truth.names[n].when is When.UNSAID}
        moments = {choice.names[n][1] for n in unsaid}
        if said.when is not When.UNSAID or not moments & {When.BEFORE, When.AFTER, When.END}:
            return False
        lone = {side.name for side in (claim.left, claim.right) if isinstance(side, Symbol)}
        for name in unsaid - lone:
            with suppress(*WITHOUT_VALUE):
                if self.truth.exact(Symbol(name), choice, said.at).is_zero:
                    return True
        return False

    def _verdict(
        self, line: WrittenLine, said: TimedLine, claim: Claim, head: Expr, *, condition: bool
    ) -> Verdict:
        written = claim.written
        if condition:
            return self._condition(line, said, claim)
        strange = self._strange(written)
        if strange:
            return self._named(line, claim, strange)
        time = self._of_time(line, said, claim, head)
        if time is not None:
            return time
        found = self._judge(written, said, self.system)
        if found is None:
            why = "It has no one value at that moment, or none that is worked out here."
            return Verdict(line.number, claim, ClaimKind.UNDECIDED, (why,))
        if found.truth is not Truth.NO:
            if found.truth in (Truth.ROUNDED, Truth.CARRIED):
                self.truth.note(written)
            return self._true(line, said, claim, found)
        return self._untrue(line, said, claim, head, found)

    def _strange(self, written: Equation) -> list[str]:
        circuit, truth = self.stage.circuit, self.truth
        known = {*circuit.symbols, *circuit.elements, *truth.names, *truth.own, self.stage.begins, TIME, TAU}
        return [n for n in names_in(written) if n not in known]

    def _named(self, line: WrittenLine, claim: Claim, strange: list[str]) -> Verdict:
        """The verdict on a claim that holds names of the working's own: it may give one its meaning."""
        written = claim.written
        for one, other in ((written.left, written.right), (written.right, written.left)):
            if isinstance(one, Symbol) and [one.name] == strange and one.name not in names_in(other):
                if one.name.lower().startswith(TIME):
                    verdict = self._time(line, claim, one.name, other)
                    if verdict is not None:
                        return verdict
                self.truth.own[one.name] = self.truth.opened(Equation(other, other)).left
                said: Said = (one, " is a name for ", other, ".")
                return Verdict(line.number, claim, ClaimKind.NAMED, said, Truth.ALWAYS)
        return Verdict(line.number, claim, ClaimKind.UNDECIDED, unknown(strange))

    # -- times ---------------------------------------------------------------------------------------

    def _condition(self, line: WrittenLine, said: TimedLine, claim: Claim) -> Verdict:
        """`when V(C1) = 9 V`: no claim, but the condition for a time."""
        told = self._solved_for_time(claim.written, said)
        if told is not None:
            self.times.met.append(told)
        words: Said = ("Read as the condition for a time.",)
        return Verdict(line.number, claim, ClaimKind.NAMED, words, Truth.ALWAYS)

    def _of_time(self, line: WrittenLine, said: TimedLine, claim: Claim, head: Expr) -> Verdict | None:
        """The verdict on an equation for a time, and on a time that is told; None for any other claim."""
        written = self.truth.opened(claim.written)
        if (
            isinstance(written.left, Symbol)
            and written.left.name == TIME
            and not self._speaks_of(written.right)
        ):
            return self._time(line, claim, TIME, written.right) or self._told(line, claim)
        if (
            isinstance(head, Symbol)
            and head.name.lower().startswith(TIME)
            and head.name not in self.truth.names
        ):
            return None
        of_one = isinstance(head, Symbol) and head.name in self.truth.names and self._any_time([claim])
        if of_one and TIME in names_in(written.right) and TIME not in names_in(written.left):
            return None  # it goes on with the course of what stands at the head
        timed = [n for n in names_in(written) if n in self.truth.names]
        explicit = [n for n in timed if self.truth.names[n].when is When.COURSE or TIME in names_in(written)]
        if TIME not in names_in(written) and not explicit:
            return None
        lone = [
            s for s in (written.left, written.right) if isinstance(s, Symbol) and s.name in self.truth.names
        ]
        other = [s for s in (written.left, written.right) if s not in lone]
        if lone and other and TIME in names_in(other[0]):
            return None  # it states a course
        if TIME not in names_in(written) and not (lone and other and not names_in(other[0]) and explicit):
            return None
        found = self._judge(written, said, self.system)
        if found is not None and found.truth is not Truth.NO:
            return None
        time = self._solved_for_time(written, said)
        if time is None:
            return None
        right = self.times.right(time, self.truth.noted)
        if right is False:
            return self._time_carried(line, claim, time, time)
        if right is None:
            self.times.met.append(time)
            words: Said = ("An equation for the time.",)
            return Verdict(line.number, claim, ClaimKind.NAMED, words, Truth.ALWAYS)
        words = ("An equation for the time that is asked for, and right.",)
        return Verdict(line.number, claim, ClaimKind.FOLLOWS, words, Truth.HERE, self._basis(claim))

    def _time_carried(self, line: WrittenLine, claim: Claim, low: float, high: float) -> Verdict | None:
        """The verdict on a time that is not the one asked for, but the one that wrong lines above give."""
        for quantity, value in self.times.reached:
            world = TimedWorld(self.stage, tuple(self.supposed))
            try:
                course = world.number(quantity, When.COURSE)
            except WITHOUT_VALUE:
                continue
            there = NumberSpan(float(value), float(value))
            time = crossing(course, constant(there)) if world.used else None
            slack = (1e-6 + 3 * self.truth.noted) * abs(time or 0.0)
            if time is not None and low - slack <= time <= high + slack:
                return self._follows_from_wrong(line, claim, tuple(sorted(world.used)))
        return None

    def _told(self, line: WrittenLine, claim: Claim) -> Verdict | None:
        """The verdict on `t = 20 ms` where no time is asked for: what follows is of that moment."""
        if self.times.any or names_in(claim.written.right):
            return None
        self.told_at = claim.written.right
        return Verdict(line.number, claim, ClaimKind.NAMED, ("The time that is spoken of.",), Truth.ALWAYS)

    def _speaks_of(self, expr: Expr) -> bool:
        return any(n in self.truth.names and self.truth.names[n].when is When.COURSE for n in names_in(expr))

    def _solved_for_time(self, written: Equation, said: TimedLine) -> float | None:
        """The time at which the sides of a claim agree, where they do at one time."""
        for when in (When.COURSE, said.when):
            for choice in self.truth.choices(written, when, said.at, strict=True)[:2]:
                for system in dict.fromkeys((self.system, *self.systems)):
                    try:
                        left, right = self.truth.sides(written, choice, said.at, system, rounded=False)
                    except WITHOUT_VALUE:
                        continue
                    time = crossing(left, right)
                    if time is not None:
                        return time * float(system.time)
        return None

    def _time(self, line: WrittenLine, claim: Claim, name: str, other: Expr) -> Verdict | None:
        """The verdict on a time that is told, `t = τ ln 3`; None where nothing says which time is meant."""
        if not self.times.any:
            return None
        choice = TimedChoice(
            {n: (self.truth.names[n].meant[0], When.UNSAID) for n in names_in(other) if n in self.truth.names}
        )
        for rounded in (False, True):
            for system in dict.fromkeys((self.system, *self.systems)):
                try:
                    value = self.truth.number(other, choice, None, system, self.world, rounded=rounded).plain
                except WITHOUT_VALUE:
                    continue
                seconds = NumberSpan(
                    value.low * float(system.scale("s")), value.high * float(system.scale("s"))
                )
                slack = 0.0 if not rounded else 1.5 * self.truth.noted
                if self.times.meets(seconds, slack):
                    self.truth.own[name] = other
                    truth = Truth.ROUNDED if rounded else Truth.HERE
                    words: Said = ("The time that is asked for.",)
                    return Verdict(line.number, claim, ClaimKind.FOLLOWS, words, truth, self._basis(claim))
                carried = self._time_carried(line, claim, seconds.low, seconds.high)
                if carried is not None:
                    self.truth.own[name] = other
                    return carried
        repairs = self.slips.of_time(claim.written, other, self.times.wanted, self.system)
        return Verdict(
            line.number, claim, ClaimKind.UNTRUE, ("Not true.",), repairs=repairs, cause=line.number
        )

    # -- what is true --------------------------------------------------------------------------------

    def _true(self, line: WrittenLine, said: TimedLine, claim: Claim, found: Judged) -> Verdict:
        truth = found.truth
        names = found.choice.names
        after: Said = ()
        unsaid = {w for n, (_, w) in names.items() if self.truth.names[n].when is When.UNSAID}
        if said.when is When.UNSAID and unsaid & {When.AFTER, When.END, When.BEFORE}:
            after = (f" Read as said of the circuit {moment_said(unsaid)}.",)
        kind, words, used, way = self.known.kind_of(line, claim, found.choice, truth, self.system)
        words = (*words, *after)
        if truth is Truth.ROUNDED:
            words = (*words, " Right as rounded.")
        elif truth is Truth.CARRIED:
            words = (*words, " Right for the rounded numbers above: the rounding is carried through.")
        return Verdict(line.number, claim, kind, words, truth, used, way)

    def _basis(self, claim: Claim) -> tuple[int, ...]:
        lines = [v.line for v in self.verdicts if v.holds]
        return tuple(dict.fromkeys(lines[-1:]))

    # -- what is not ---------------------------------------------------------------------------------

    def _untrue(self, line: WrittenLine, said: TimedLine, claim: Claim, head: Expr, found: Judged) -> Verdict:
        carried = self._carried(claim, said)
        if carried:
            return self._follows_from_wrong(line, claim, carried)
        fault: OwnFault | None = None
        repairs: tuple[Repair, ...] = ()
        try:
            repairs = self._repairs(claim, head, found.choice, said)
        except Exception as trouble:
            fault = own_fault(trouble, line.number)
        shown = self._shown(claim, found, said)
        return Verdict(
            line.number, claim, ClaimKind.UNTRUE, shown or ("Not true.",),
            repairs=repairs, cause=line.number, fault=fault,
        )  # fmt: skip

    def _repairs(self, claim: Claim, head: Expr, first: TimedChoice, said: TimedLine) -> tuple[Repair, ...]:
        """The slips that an untrue claim may come of, with its names taken as they were first, else as they
        can be taken besides."""
        others = self.truth.choices(self.truth.opened(claim.written), said.when, said.at, strict=said.own)
        for choice in (first, *[c for c in others if c != first][:MOST_OTHERS]):
            for system in dict.fromkeys((self.system, *self.systems)):
                repairs = self.slips.of(claim.written, head, choice, said.at, system)
                if repairs:
                    return repairs
                if not bare_numbers(claim.written):
                    break
        return ()

    def _follows_from_wrong(self, line: WrittenLine, claim: Claim, lines: tuple[int, ...]) -> Verdict:
        """The verdict on an untrue claim that wrong lines above give."""
        given = "that line gives" if len(lines) == 1 else "those lines give"
        words: Said = (f"Follows from {lines_named(lines)}. Not true, but what {given}.",)
        cause = self.causes.get(lines[0], lines[0])
        return Verdict(
            line.number, claim, ClaimKind.UNTRUE, words, Truth.NO, lines, carried=True, cause=cause
        )

    def _carried(self, claim: Claim, said: TimedLine) -> tuple[int, ...]:
        """The wrong lines above that give an untrue claim; empty where none do."""
        if not self.supposed:
            return ()
        every = tuple(self.supposed)
        worlds = [TimedWorld(self.stage, some) for some in (every, *((one,) for one in reversed(every)))]
        for world in (*worlds, TimedWorld(self.stage, every, by_junctions=True)):
            world.used.clear()
            found = self._judge(claim.written, said, self.system, world)
            if found is not None and found.truth is not Truth.NO and world.used:
                return tuple(sorted(world.used))
        return ()

    def _shown(self, claim: Claim, found: Judged, said: TimedLine) -> Said:
        """The numbers that show that a claim is not true, or the kinds that do not fit."""
        clash = self.truth.clash(self.truth.opened(claim.written), found.choice)
        if clash is not None:
            return of_units(*clash)
        if not self.stage.circuit.has_all_numbers:
            return ()
        written = claim.written
        try:
            left, right = self.truth.sides(
                self.truth.opened(written), found.choice, said.at, self.system, rounded=False
            )
            if not all(t.is_steady for t in (*left.terms, *right.terms)):
                rates = [t.rate.size for t in (*left.terms, *right.terms) if t.rate.size]
                time = NumberSpan(1 / rates[0], 1 / rates[0]) if rates else NumberSpan(1.0, 1.0)
                one, other = left.at(time).middle, right.at(time).middle
                shown = amount(Fraction(time.low) * self.system.time, "s", 3)
                front: tuple[str | Expr | Equation, ...] = ("At the time ", shown, " the")
            else:
                one, other, front = left.plain.middle, right.plain.middle, ("The",)
        except WITHOUT_VALUE:
            return ()
        unit = self._unit_of(written)
        sizes = [amount(Fraction(v) * self.system.scale(unit), unit, 4) for v in (one, other)]
        return (*front, " left side comes to ", sizes[0], " and the right side to ", sizes[1], ".")

    def _unit_of(self, written: Equation) -> str:
        for side in (written.left, written.right):
            if isinstance(side, Symbol) and side.name in self.truth.names:
                quantity = self.truth.names[side.name].meant[0]
                return "" if quantity.slope else UNIT_OF_SORT[quantity.sort]
        return ""

    # -- what later lines may rest on ----------------------------------------------------------------

    def _keep(self, line: WrittenLine, said: TimedLine, claim: Claim, head: Expr, verdict: Verdict) -> None:
        """Keeps a result, and what a wrong one makes of the circuit."""
        lone = head if isinstance(head, Symbol) and head.name in self.truth.names else None
        self._answers(line, said, claim, head, verdict)
        if lone is None or verdict.kind is ClaimKind.UNDECIDED:
            return
        timed = self.truth.names[lone.name]
        found = self._judge(Equation(lone, claim.written.right), said, self.system)
        if found is None:
            return
        quantity, when = found.choice.names[lone.name]
        if found.truth is not Truth.NO:
            self.supposed = [s for s in self.supposed if (s.quantity, s.when) != (quantity, when)]
            self.known.shown[(quantity, when)] = line.number
            self._settle(lone.name, quantity)
            return
        if when is When.UNSAID and timed.when is When.UNSAID and said.when is not When.UNSAID:
            when = said.when if quantity.sort not in TIMELESS else when
        self._suppose(line, said, quantity, when, claim.written.right, found.choice, verdict)

    def _settle(self, name: str, quantity: TimedQuantity) -> None:
        """Keeps which of the circuit's time constants a number is for: each is for one."""
        if quantity.sort is not Sort.TIME_CONSTANT or quantity.of[0] != OF_RATE:
            return
        for other, timed in list(self.truth.names.items()):
            if len(timed.meant) > 1 and quantity in timed.meant:
                left = (quantity,) if other == name else tuple(m for m in timed.meant if m != quantity)
                self.truth.names[other] = replace(timed, meant=left)

    def _answers(
        self, line: WrittenLine, said: TimedLine, claim: Claim, head: Expr, verdict: Verdict
    ) -> None:
        """Keeps which question a claim answers: that for the quantity at its head, at its moment."""
        if not isinstance(head, Symbol):
            return
        timed = self.truth.names.get(head.name)
        if timed is None:
            if head.name.lower().startswith(TIME) and verdict.kind is not ClaimKind.NAMED:
                self.answered[line.number, head.name] = A_TIME
            return
        found = self._judge(Equation(head, claim.written.right), said, self.system)
        quantity, when = timed.meant[0], timed.when
        if found is not None:
            quantity, when = found.choice.names[head.name]
        if when is When.UNSAID and quantity.sort not in TIMELESS:
            when = said.when
        seconds: Fraction | None = None
        if when is When.AT and (at := timed.at or said.at) is not None:
            with suppress(*WITHOUT_VALUE, KeyError):
                choice = TimedChoice({})
                span = self.truth.number(at, choice, None, SI, self.world, rounded=False).plain
                seconds = Fraction(span.middle)
        question = question_of(quantity, when, seconds)
        if question is not None:
            self.answered[line.number, head.name] = question

    def _suppose(
        self,
        line: WrittenLine,
        said: TimedLine,
        quantity: TimedQuantity,
        when: When,
        value: Expr,
        choice: TimedChoice,
        verdict: Verdict,
    ) -> None:
        if verdict.holds and any(
            (s.quantity, s.when, s.line) == (quantity, when, line.number) for s in self.supposed
        ):
            return  # worked out of what stands before it in the line, which is more exact
        self._unit_now = UNIT_OF_SORT[quantity.sort]
        opened = self.truth.opened(Equation(value, value)).left
        exact: ExactValue | None = None
        with suppress(*WITHOUT_VALUE):
            exact = self._in_si(opened, choice, said)
        if exact is None:
            return
        self.truth.note(Equation(value, value))
        self.supposed = [s for s in self.supposed if (s.quantity, s.when) != (quantity, when)]
        self.supposed.append(Supposed(quantity, when, exact, line.number))
        self.causes.setdefault(line.number, verdict.cause or line.number)

    def _in_si(self, expr: Expr, choice: TimedChoice, said: TimedLine) -> ExactValue:
        """A written value exactly, its numbers without units taken in the system of the line."""
        world = TimedWorld(self.stage, tuple(self.supposed))
        found = self.truth.exact(expr, choice, said.at, world)
        if self.system is SI or not bare_numbers(Equation(expr, expr)) or names_in(expr):
            return found
        scale = world.field.number(self.system.scale(self._unit_now))
        return ExactValue({key: part * scale for key, part in found.terms.items()})
