"""What is known of a working up to the claim that is judged next: the verdicts, the rows that later lines
may rest on, and what untrue results are gone on with."""

from __future__ import annotations

import re
from bisect import bisect_left
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import ZERO, Equation, Expr, Symbol, parts_of
from ..expressions.values import symbols_of
from .own_resistances import OwnResistances
from .truth.as_they_stand import AsTheyStand
from .truth.consequence import ClaimRow
from .truth.determinants import Determinants
from .truth.implied import implied, junctions
from .truth.meaning import UnknownName
from .truth.nearly_given import NearlyGiven
from .truth.rounding import lone
from .truth.size import TooLong
from .truth.truth import ClaimValue, Truths, View
from .truth.wrong_forms import WrongForms
from .verdicts import ClaimKind, Truth, Verdict
from .working import Claim, Working, WrittenLine

UNNAMED = "resistance of line"  # what we call a resistance without a name, with the number of its line
_BEGINS_WITH_SIGN = re.compile(r"[\s&$|]*(?:=|≈|\\approx)")
_ChainSoFar = tuple[int, Expr, Expr, bool]  # its line, what it starts with, its last side, whether all holds


class SoFar:
    """The state of one reading.

    `verdicts`: those so far; `kept`: the rows that later lines may rest on, in the last view, by the
    position of the verdict; `meaning`: what names that the working gives stand for, and `formulas` the
    last in letters of each; `wrong`: the untrue results; `determinants`, `resistances`: those with a name
    of the working's own. `came_to`: the lines that came to a number, by its size; `said_in`: the last
    line that says what a name is; `factors`: names of that by which what was supposed is scaled;
    `by_calculator`: whether results that follow come out of a calculator, and `at_once_from`: the line
    from which on they do (0: none). `taken_otherwise`: what is true in circuits that untrue
    lines take for the one drawn.
    """

    def __init__(self, circuit: Circuit, working: Working, truths: Truths) -> None:
        self.circuit, self.working, self.truths = circuit, working, truths
        self.verdicts: list[Verdict] = []
        self.came_to: dict[Fraction, list[int]] = {}
        self.said_in: dict[str, int] = {}
        self.by_calculator = False
        self.at_once_from = 0
        self.kept: dict[int, ClaimRow] = {}
        self.meaning: dict[str, Expr] = {}
        self.formulas: dict[str, Expr] = {}
        self.factors: set[str] = set()
        self.cancelled = 0  # the line in which all unknowns cancel and different numbers are left
        self.taken_otherwise: dict[str, Truths | None] = {}
        self._chain: _ChainSoFar = (0, ZERO, ZERO, True)
        self.as_they_stand = AsTheyStand()
        self.nearly = NearlyGiven(truths.views[-1].meanings, truths.views[-1].as_rounded.numbers)
        lines = working.lines
        labelled = [each for each in lines if each.label]
        self._of_label = {each.label or str(each.number): each.number for each in labelled or lines}
        self.determinants = Determinants(
            truths.views[-1].meanings,
            truths.arrows.names,
            "\n".join(line.text for line in lines),
            (claim.written for line in lines for claim in line.claims),
        )
        self.resistances = OwnResistances(truths, working, self.meaning)
        numbers = circuit.numbers
        own = [n for n in circuit.symbols if circuit.role(n) is Kind.RESISTOR and n in numbers]
        self.wrong = WrongForms(frozenset(numbers.values()), {n: numbers[n] for n in own})

    def add(self, verdict: Verdict) -> None:
        """Puts down the next verdict."""
        self.verdicts.append(verdict)
        left, right = verdict.claim.written.left, verdict.claim.written.right
        for side in (left, right):
            if (number := lone(side)) is not None:
                lines = self.came_to.setdefault(abs(number.value), [])
                if verdict.line not in lines[-1:]:
                    lines.append(verdict.line)
        if isinstance(left, Symbol):
            self.said_in[left.name] = verdict.line
            if symbols_of(right) and left.name not in symbols_of(right):
                self.formulas[left.name] = right
        line, start, end, held = self._chain
        goes_on = end == left and self._is_joined(line, verdict.line)
        start, held = (start, held and verdict.holds) if goes_on else (left, verdict.holds)
        self._chain = (verdict.line, start, right, held)
        if goes_on and held:
            self._keep_chain(verdict.line, Equation(start, right))

    def _is_joined(self, line: int, other: int) -> bool:
        """Whether a chain of one line may go on in another: it begins with the sign, `= 5.03 V`."""
        if line == other:
            return True
        at = bisect_left(self.working.lines, other, key=lambda each: each.number)
        return _BEGINS_WITH_SIGN.match(self.working.lines[at].text) is not None

    def _keep_chain(self, line: int, written: Equation) -> None:
        """Keeps what a chain says from end to end, as rounded as its last side is written."""
        view = self.truths.views[-1]
        if symbols_of(written.right):
            self.nearly.keep(line, written, rounded=True)
        try:
            linear = view.meanings.row(view.meanings.difference(written))
        except (UnknownName, TooLong, ZeroDivisionError):
            return
        if linear is not None and linear.coefficients:
            self.as_they_stand.keep(view.rows.row(line, linear), written, rounded=True)

    def keep(self, line: WrittenLine, claim: Claim, found: ClaimValue, law: bool = False) -> None:
        """Adds a claim to what later lines may rest on, in every view in which it can be said."""
        true = found.truth is not Truth.NO
        views = self.truths.views
        for view in views if found.view is views[0] else (found.view,):
            difference = found.difference if view is found.view else view.meanings.difference(claim.written)
            if view is views[-1] and not true:
                self.nearly.keep_untrue(line.number, claim.written)
            if true and view is views[-1] and (plain := view.meanings.row(difference)):
                row = view.rows.row(line.number, plain)
                self.as_they_stand.keep(row, claim.written, rounded=bool(found.beside))
                self.nearly.keep(line.number, claim.written, rounded=bool(found.beside))
            linear = view.meanings.row(difference - view.meanings.field.number(found.beside))
            if linear:
                row = view.rows.add(line.number, linear, true, law)
                if view.rows is self.truths.views[-1].rows:
                    self.kept[len(self.verdicts)] = row

    def at_nothing(self, written: Equation) -> str:
        """The branch whose current a claim sets to 0; empty for any other claim."""
        number = lone(written.right)
        if not isinstance(written.left, Symbol) or number is None or number.value:
            return ""
        made = self.truths.arrows.names.get(written.left.name, {})
        return next(iter(made)) if len(made) == 1 and set(made) <= set(self.circuit.currents) else ""

    def cited(self, line: WrittenLine) -> frozenset[int]:
        """The numbers of the lines that a line says it rests on."""
        labels = line.source.labels if line.source else ()
        return frozenset(self._of_label[label] for label in labels if label in self._of_label)

    def follows_as_written(self, found: ClaimValue, written: Equation) -> bool:
        """Whether an equation in numbers is what lines above give as they are written, their rounded numbers
        multiplied and added as they stand, or with each coefficient rounded. Of results of a calculator none
        is what the others give."""
        view = self.truths.views[-1]
        if found.view is not view:  # its symbols are others
            return False
        if not self.at_once_from and self._puts_in(found, written):
            return True
        linear = view.meanings.row(found.difference)
        if linear is None or not linear.coefficients:
            return False
        levels = any(name.startswith("φ ") for name in linear.coefficients)
        unwritten = implied(view, linear.coefficients) if len(linear.coefficients) < 3 else ()
        along = [i.row for i in unwritten if levels or not i.along]
        if self.as_they_stand.give(found, linear, written, self.at_once_from, along):
            return True
        nearly = self.nearly.given(written, self.at_once_from)
        if nearly:
            view.as_rounded.numbers.note_coefficients(written)
        return nearly

    def _puts_in(self, found: ClaimValue, written: Equation) -> bool:
        """Whether a claim puts numbers as they stand above into a line, a branch or a junction."""
        view = found.view
        branches = implied(view, found.difference.held())
        holding = [each.row for each in (*branches, *junctions(view))]
        return self.as_they_stand.put_in(found, written, holding)

    def head_of(self, line: WrittenLine, claim: Claim) -> Expr:
        """What the chain starts with that a claim is part of: I2 for the last of `I2 = 5 − 2 = 3`."""
        start, at = claim.written.left, line.number
        for verdict in reversed(self.verdicts):
            if verdict.claim.written.right == start and self._is_joined(verdict.line, at):
                start, at = verdict.claim.written.left, verdict.line
            elif verdict.line != at:
                break
        return start

    def keep_end(self, line: WrittenLine, claim: Claim, view: View) -> None:
        """After a slip of arithmetic in a chain `I2 = 5 − 2 = 4`, keeps what is gone on with: `I2 = 4`."""
        start = self.head_of(line, claim)
        if start == claim.written.left:
            return
        try:
            difference = view.meanings.difference(Equation(start, claim.written.right))
        except (UnknownName, ZeroDivisionError):
            return
        linear = view.meanings.row(difference)
        if linear is not None and linear.coefficients:
            view.rows.add(line.number, linear, view.meanings.holds(difference), law=False)

    def note_wrong(self, line: WrittenLine, verdict: Verdict) -> None:
        """Keeps how an untrue result is written."""
        written = verdict.claim.written
        above = self.verdicts[-1] if self.verdicts else None
        goes_on = above is not None and (above.line, above.claim.written.right) == (line.number, written.left)
        name = self.wrong.note(line.number, written, goes_on=goes_on, untrue=verdict.kind is ClaimKind.UNTRUE)
        if name and name in self.wrong.numbers and lone(written.right) is not None:
            self.truths.views[-1].as_rounded.note_wrong(name, *self.wrong.numbers[name][1])
        self.resistances.note_written(self.wrong.of_line, written.right)
        if not self.wrong.of_line and not symbols_of(written):
            self._note_unnamed(line, verdict)
        if name and goes_on:
            self._keep_untrue_end(line, Equation(Symbol(name), written.right))

    def unnamed_resistance(self, line: int) -> str:
        """What we call a resistance that a line gives no name to."""
        return f"{UNNAMED} {line}"

    def _note_unnamed(self, line: WrittenLine, verdict: Verdict) -> None:
        """Keeps a number that no name is given to and that is worked from a wrong one, or wrongly: 2.58 after
        I = 1.29 A that is not true and 1.29·2 = 2.58."""
        written = verdict.claim.written
        if lone(written.right) is None or not parts_of(written.left) or lone(written.left) is not None:
            return
        bare = Equation(written.left, ZERO)
        slip = verdict.kind is ClaimKind.UNTRUE
        found = ((put.left, lines[0]) for put, lines in self.wrong.without(bare))
        meant, cause = (written.left, line.number) if slip else next(found, (None, 0))
        name = f"number of line {line.number}"
        known = self.truths.views[-1].meanings.names
        if meant is None or name in known or self.unnamed_resistance(line.number) in known:
            return
        try:
            self.truths.define(name, meant)
        except (UnknownName, TooLong, ZeroDivisionError):
            return
        self.wrong.note_unnamed(cause, name, written.right)

    def _keep_untrue_end(self, line: WrittenLine, written: Equation) -> None:
        """Keeps what a chain that is not true comes to, since it is gone on with: after
        `I1 = D1/D = 348/84 = 4.14` that I1 is 4.14."""
        view = self.truths.views[-1]
        try:
            difference = view.meanings.difference(written)
        except (UnknownName, TooLong, ZeroDivisionError):
            return
        linear = view.meanings.row(difference)
        if linear is not None and linear.coefficients and not view.meanings.holds(difference):
            view.rows.add(line.number, linear, true=False, law=False)
