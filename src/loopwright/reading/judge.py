"""Reads a working as an expert reads it: a verdict on every claim, in the order written.

True or not is decided exactly: a claim is true when it vanishes for the currents of the solved circuit,
as fractions of polynomials in the symbols or, where it is written in numbers, as fractions. It is never
compared with a key.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from ..algebra.linear import Linear
from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..expressions.nodes import Equation, Expr, Symbol
from ..expressions.said import Said
from ..expressions.values import ratio_of, symbols_of
from ..solve.exact import Solution, solve
from .arrows import arrows_of, may_be_open, with_turned
from .enough import enough
from .limit_claims import limit_verdict
from .mending import Wanted
from .page.lines import working as read_lines
from .reading import Reading
from .truth.consequence import ClaimRow, WantedRow, how
from .truth.counting import counter
from .truth.follow_on import follow_on
from .truth.meaning import Meanings, UnknownName
from .truth.rounding import Policy
from .truth.size import TooLong
from .truth.truth import ClaimValue, Truths, View
from .truth.which_law import StatedLaw
from .verdicts import ClaimKind, How, Truth, Verdict
from .wording import of_following, of_law, of_units, shown_source, unknown
from .working import Claim, Working, WrittenLine


def read_working(
    circuit: Circuit,
    text: str | Working,
    *,
    arrows_unsaid: bool = False,
    policy: Policy | None = None,
    decimal_comma: bool = False,
) -> Reading:
    """Reads a working of a circuit line by line.

    `arrows_unsaid`: the writer was free to choose the arrows, so that the directions of currents named as
    in the problem are inferred too. `policy`: how rounded numbers are judged. Raises FaultyMaterial when
    the circuit itself has no unique answer.
    """
    solution = solve(circuit)
    working = read_lines(text, circuit, decimal_comma=decimal_comma) if isinstance(text, str) else text
    claims = [claim for line in working.lines for claim in line.claims]
    said = [arrow for line in working.lines for arrow in line.arrows]
    new = new_names(solution, claims, {arrow.name for arrow in said})
    arrows = arrows_of(solution, claims, said, new, arrows_unsaid)
    reader = _Reader(circuit, working, Truths(solution, arrows, policy or Policy(), claims))
    for line in working.lines:
        for claim in line.claims:
            reader.take(line, claim)
    rows = {i: row.linear for i, row in reader.kept.items()}
    told = enough(circuit, reader.truths.views[-1].meanings, reader.verdicts, rows)
    if not arrows.inferred and any(v.kind is ClaimKind.UNTRUE for v in reader.verdicts):
        arrows = with_turned(solution, arrows, claims, said)
    return Reading(circuit, working, arrows, tuple(reader.verdicts), told)


def new_names(solution: Solution, claims: Sequence[Claim], declared: set[str]) -> list[str]:
    """Names that stand for nothing in the problem and are not defined where they first appear."""
    currents = solution.circuit.currents
    meanings = Meanings(solution, {n: {n: 1} for n in currents})
    known = {*meanings.names, *declared}
    found: list[str] = []
    for claim in claims:
        equation = claim.written
        for name in symbols_of(equation):
            if name in known:
                continue
            others = symbols_of(equation.right)
            known.add(name)
            if _is_called(meanings, name):
                continue
            if equation.left == Symbol(name) and name not in others and known.issuperset(others):
                rests_on = [n for n in others if n in currents or n in found or n.startswith("V(")]
                if rests_on or not may_be_open(name):
                    continue
            found.append(name)
    return found


def _is_called(meanings: Meanings, name: str) -> bool:
    """Whether a name is a quantity such as `V(a, b)` of the circuit."""
    try:
        meanings.learn([name])
    except UnknownName:
        return False
    return True


@dataclass(frozen=True, slots=True)
class _Seen:
    """A true claim looked at in one view (in symbols, or in numbers).

    `target`: what is to follow from lines above; `row`: the claim as a linear row, None where it is not
    linear; `stated`: the law that it states, if it states one; `support`: the rows above from which it
    follows, None where it does not; `above`: all the rows above it.
    """

    view: View
    target: WantedRow
    row: ClaimRow | None
    stated: StatedLaw | None
    support: tuple[ClaimRow, ...] | None
    above: tuple[ClaimRow, ...]


@dataclass(slots=True)
class _Reader:
    """The state of one reading: the verdicts so far, the rows that later lines may rest on (`kept`), and
    what the working's own names stand for (`meaning`)."""

    circuit: Circuit
    working: Working
    truths: Truths
    verdicts: list[Verdict] = field(default_factory=list)
    kept: dict[int, ClaimRow] = field(default_factory=dict)  # by position of the verdict, in the last view
    meaning: dict[str, Expr] = field(default_factory=dict)  # of names that the working gives

    def take(self, line: WrittenLine, claim: Claim) -> None:
        """Judges the next claim, and what its line says that it rests on."""
        meant = self._meant(claim)
        verdict = self._verdict(line, meant)
        if meant is not claim:
            verdict = replace(verdict, said=(*verdict.said, " Read as ", meant.written, "."))
        same = line.source is not None and line.claims and claim is line.claims[0]
        remark = self._of_source(line, claim) if same else ()
        self.verdicts.append(replace(verdict, said=(*verdict.said, *remark)) if remark else verdict)

    def _meant(self, claim: Claim) -> Claim:
        """The claim in the first of its possible meanings that is true; where none is, as it is read
        first."""
        for written in (claim.written, *claim.otherwise) if claim.otherwise else ():
            try:
                self.truths.learn(symbols_of(written))
                found = self.truths.value_of(written)
            except (UnknownName, TooLong, ZeroDivisionError):
                continue
            if found is not None and found.truth is not Truth.NO and not self.truths.clash(written):
                return claim if written is claim.written else replace(claim, written=written, otherwise=())
        return claim

    def _of_source(self, line: WrittenLine, claim: Claim) -> Said:
        """Where a line says which combination of lines above it is, whether that is so, in a sentence;
        empty where it says nothing or names lines that are not there."""
        stated = line.source.combination if line.source else None
        if stated is None:
            return ()
        for view in reversed(self.truths.views):
            labelled = self._labelled(view)
            if not labelled.keys() >= set(line.source.labels if line.source else ()):
                return ()
            try:
                wanted = ratio_of(stated, view.meanings.field, {**view.meanings.names, **labelled})
                found = view.meanings.difference(claim.written)
            except (KeyError, UnknownName, TooLong, ZeroDivisionError):
                continue
            share = wanted / found if found else view.meanings.field.zero
            if share and not any(n in view.meanings.unknowns for n in share.held()):
                return (" It is ", shown_source(stated), ", as it says.")
        return (" It is not ", shown_source(stated), ".")

    def _labelled(self, view: View) -> dict[str, Ratio]:
        """Left minus right of each line with a label, under its label."""
        found: dict[str, Ratio] = {}
        labels = {line.number: line.label for line in self.working.lines if line.label}
        for verdict in self.verdicts:
            label = labels.get(verdict.line)
            if label and label not in found and verdict.kind is not ClaimKind.UNDECIDED:
                try:
                    found[label] = view.meanings.difference(verdict.claim.written)
                except (UnknownName, TooLong, ZeroDivisionError):
                    continue
        return found

    def _verdict(self, line: WrittenLine, claim: Claim) -> Verdict:
        if claim.case:
            return limit_verdict(self.truths.solution, self.truths.arrows, line, claim)
        try:
            self.truths.learn(symbols_of(claim.written))
            found = self.truths.value_of(claim.written)
        except UnknownName as stranger:
            return self._stranger(line, claim, str(stranger.args[0]))
        except ZeroDivisionError:
            return Verdict(line.number, claim, ClaimKind.UNTRUE, ("It divides by something that is zero.",))
        except TooLong:
            said_: Said = ("It would be too long, multiplied out, to be decided.",)
            return Verdict(line.number, claim, ClaimKind.UNDECIDED, said_)
        wrong = self.truths.clash(claim.written)
        if wrong is not None:
            return Verdict(line.number, claim, ClaimKind.UNTRUE, of_units(*wrong), cause=line.number)
        if found is None:
            meanings = self.truths.views[-1].meanings
            lacking = next(s for s in meanings.symbols.symbols if s not in self.circuit.numbers)
            said: Said = ("No number is given for ", Symbol(lacking), ", so this cannot be decided.")
            return Verdict(line.number, claim, ClaimKind.UNDECIDED, said)
        if found.truth is Truth.NO:
            return self._untrue(line, claim, found)
        return self._true(line, claim, found)

    def _stranger(self, line: WrittenLine, claim: Claim, name: str) -> Verdict:
        """The verdict on a claim that holds a name without meaning: it may give the name its meaning, else
        it is not decided."""
        written = claim.written
        for one, other in ((written.left, written.right), (written.right, written.left)):
            if one == Symbol(name) and name not in symbols_of(other):
                try:
                    self.truths.define(name, other)
                except (UnknownName, TooLong, ZeroDivisionError):
                    break
                self.meaning[name] = other
                said = (Symbol(name), " is a name for ", other, ".")
                return Verdict(line.number, claim, ClaimKind.NAMED, said, Truth.ALWAYS)
        return Verdict(line.number, claim, ClaimKind.UNDECIDED, unknown([name]))

    # -- what is true ------------------------------------------------------------------------------

    def _true(self, line: WrittenLine, claim: Claim, found: ClaimValue) -> Verdict:
        exact = found.difference - found.view.meanings.field.number(found.beside)
        if not exact:
            return self._identity(line, claim, found)
        seen = [self._seen(view, line, claim, found) for view in self._views(found)]
        seen = [s for s in seen if s.stated is not None or s.support is not None] or seen
        best = next((s for s in seen if s.support is not None), seen[0])
        stated = next((s.stated for s in seen if s.stated is not None), None)
        self._keep(line, claim, found, law=stated is not None)
        if stated is None and best.support is None:
            return self._by_relations(line, claim, found, seen[-1])
        return self._resting(line, claim, found, best, stated)

    def _views(self, found: ClaimValue) -> tuple[View, ...]:
        """The views in which a true claim can be said. One that is true only for the numbers given cannot
        be said in symbols."""
        views = self.truths.views
        return views if found.view is views[0] else (found.view,)

    def _seen(self, view: View, line: WrittenLine, claim: Claim, found: ClaimValue) -> _Seen:
        """What a true claim is in one view: a law, and what it rests on."""
        difference = found.difference if view is found.view else view.meanings.difference(claim.written)
        linear = view.meanings.row(difference - view.meanings.field.number(found.beside))
        above = tuple(r for r in view.rows.rows if r.true)
        target = WantedRow(difference, linear if not found.beside else None, found.beside)
        if not linear:
            return _Seen(view, target, None, None, view.rows.support(target, above), above)
        stated = view.which_law.stated(linear)
        if stated is not None and not self._is_law(stated, linear):
            stated = None
        row = view.rows.row(line.number, linear)
        return _Seen(view, target, row, stated, view.rows.support(target, above), above)

    def _resting(
        self, line: WrittenLine, claim: Claim, found: ClaimValue, seen: _Seen, stated: StatedLaw | None
    ) -> Verdict:
        """The verdict on a law, or on what follows from lines above."""
        number, support = line.number, seen.support
        law = of_law(self.circuit, stated, not self.truths.arrows.inferred) if stated else ()
        loops, points = (stated.loops, stated.points) if stated else ((), ())
        used = tuple(dict.fromkeys(r.line for r in support or ()))
        way = how(seen.row, support) if support else None
        if stated is not None and (support is None or (stated.plainly and len(support) > 1)):
            said = with_truth(law, found.truth)
            kind = self._kind(stated)
            return Verdict(number, claim, kind, said, found.truth, used, way, loops, points)
        if support and len(support) == 1 and self._same(support[0], claim):
            way = How.SAME
        said = with_truth(of_following(way or How.COMBINATION, used), found.truth)
        if loops:
            said = (*law, " ", *said)
        return Verdict(number, claim, ClaimKind.FOLLOWS, said, found.truth, used, way, loops, points)

    def _by_relations(self, line: WrittenLine, claim: Claim, found: ClaimValue, seen: _Seen) -> Verdict:
        """A claim on potentials may also rest on what holds along single branches."""
        rows = seen.view.rows
        if any(n.startswith("φ") for n in seen.target.difference.held()):
            relations = {name: rows.row(0, r) for name, r in seen.view.meanings.relations().items()}
            support = rows.support(seen.target, [*relations.values(), *seen.above])
            if support is not None:
                used = tuple(dict.fromkeys(r.line for r in support if r.line))
                along = [name for name, r in relations.items() if r in support]
                said = with_truth(of_following(How.COMBINATION, used, along), found.truth)
                return Verdict(
                    line.number, claim, ClaimKind.FOLLOWS, said, found.truth, used, How.COMBINATION
                )
        said = with_truth(
            ("True of this circuit, but it does not follow from the lines above.",), found.truth
        )
        return Verdict(line.number, claim, ClaimKind.TRUE, said, found.truth)

    def _kind(self, stated: StatedLaw) -> ClaimKind:
        if stated.path or not (stated.loops or stated.points):
            return ClaimKind.ELEMENT
        return ClaimKind.LOOP if stated.loops else ClaimKind.JUNCTION

    def _is_law(self, stated: StatedLaw, linear: Linear) -> bool:
        """Whether a true row that is a law by its multipliers is written as one: a result for one
        current is none, except where a loop or a junction holds one current only."""
        currents = [n for n in linear.coefficients if n in self.circuit.currents]
        if len(currents) > 1 or stated.path:
            return True
        if not stated.loops:
            return len(stated.points) + len(stated.fixed) == 1
        resistive = [n for n, _ in stated.loops[0] if self.circuit.resistance(n)]
        return stated.plainly and len(stated.loops) == 1 and len(resistive) <= 1

    def _same(self, row: ClaimRow, claim: Claim) -> bool:
        """Whether the line that a row was made of holds this very equation."""
        written = claim.written
        others = [v.claim.written for v in self.verdicts if v.line == row.line]
        return any((o.left, o.right) == (written.left, written.right) for o in others)

    def _identity(self, line: WrittenLine, claim: Claim, found: ClaimValue) -> Verdict:
        """The verdict on a claim whose sides are equal whatever the currents are, such as a fraction
        brought to lowest terms."""
        one, other = claim.written.left, claim.written.right
        names = symbols_of(claim.written)
        value = one if isinstance(one, Symbol) else other
        given = isinstance(value, Symbol) and (
            value.name in self.circuit.elements or value.name in self.circuit.field
        )
        if given and one != other:
            said = with_truth(("As given in the problem.",), found.truth)
            return Verdict(line.number, claim, ClaimKind.GIVEN, said, found.truth)
        words = "The same expression rewritten."
        if not names:
            words = "The arithmetic is right."
        elif found.truth is not Truth.ALWAYS:
            words = "The numbers of the problem put in."
        said = with_truth((words,), found.truth)
        return Verdict(line.number, claim, ClaimKind.FOLLOWS, said, found.truth, (), How.IDENTITY)

    def _keep(self, line: WrittenLine, claim: Claim, found: ClaimValue, law: bool = False) -> None:
        """Adds a claim to what later lines may rest on, in every view in which it can be said."""
        true = found.truth is not Truth.NO
        views = self.truths.views
        for view in views if found.view is views[0] else (found.view,):
            difference = found.difference if view is found.view else view.meanings.difference(claim.written)
            linear = view.meanings.row(difference - view.meanings.field.number(found.beside))
            if linear:
                row = view.rows.add(line.number, linear, true, law)
                if view is views[-1]:
                    self.kept[len(self.verdicts)] = row
        if true:
            self.truths.note(claim.written, found.view)

    def _keep_end(self, line: WrittenLine, claim: Claim, view: View) -> None:
        """After a slip of arithmetic in a chain `I2 = 5 − 2 = 4`, keeps what is gone on with: `I2 = 4`."""
        start = claim.written.left
        for verdict in reversed(self.verdicts):
            if verdict.line == line.number and verdict.claim.written.right == start:
                start = verdict.claim.written.left
        if start == claim.written.left:
            return
        try:
            difference = view.meanings.difference(Equation(start, claim.written.right))
        except (UnknownName, ZeroDivisionError):
            return
        linear = view.meanings.row(difference)
        if linear is not None and linear.coefficients:
            view.rows.add(line.number, linear, view.meanings.holds(difference), law=False)

    # -- what is not -------------------------------------------------------------------------------

    def _untrue(self, line: WrittenLine, claim: Claim, found: ClaimValue) -> Verdict:
        view = found.view
        linear = view.meanings.row(found.difference)
        shown = counter(view.meanings, claim.written)
        used = follow_on(view, found, linear, claim, self.truths.policy)
        above = tuple(view.rows.rows)
        if linear is not None and not linear.coefficients:
            self._keep_end(line, claim, view)
        else:
            self._keep(line, claim, found)
        if used:
            first = next(v for v in self.verdicts if v.line in used and v.kind is ClaimKind.UNTRUE)
            given = "that line gives" if len(used) == 1 else "those lines give"
            said = (*of_following(How.COMBINATION, used), f" Not true, but what {given}.")
            return Verdict(
                line.number, claim, ClaimKind.UNTRUE, said, Truth.NO, used,
                counter=shown, carried=True, cause=first.cause or first.line,
            )  # fmt: skip
        wanted = Wanted(self.truths, self.verdicts, self.meaning)
        mends = wanted.mends(claim, below_untrue=any(not row.true for row in above))
        cause = wanted.cause(claim, view, mends) or line.number
        return Verdict(
            line.number, claim, ClaimKind.UNTRUE, ("Not true.",), counter=shown, repairs=mends, cause=cause
        )


def with_truth(said: Said, truth: Truth) -> Said:
    """A sentence with what is to be said of rounded numbers."""
    rest = {
        Truth.ROUNDED: " Right as rounded.",
        Truth.CARRIED: " Right for the rounded numbers above: the rounding is carried through.",
    }.get(truth)
    return (*said, rest) if rest else said
