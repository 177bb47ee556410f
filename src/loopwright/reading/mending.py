"""What an untrue claim should have been: the likeliest slips, and whether one was made before."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from ..expressions.dimensions import OHM
from ..expressions.nodes import Equation, Expr, Quotient, Sum, Symbol, parts_of
from ..expressions.values import symbols_of
from .repair.arithmetic_slips import arithmetic_slips
from .repair.repairs import repairs
from .so_far import SoFar
from .truth.consequence import NEAREST, WantedRow
from .truth.follow_on import follow_on
from .truth.meaning import UnknownName
from .truth.rounding import lone
from .truth.size import TooLong
from .truth.truth import ClaimValue, View
from .verdicts import ClaimKind, Repair, Truth, Verdict
from .working import Claim

MOST_ABOVE = 60  # lines above that are looked at
MOST_WEIGHED = 6  # repairs of one claim that are weighed against one another
MOST_TOLD = 3
FROM_ONE, FROM_TWO = 0.5, 0.3  # how much likelier it is that what follows from a line or two was meant
A_NODE = 0.6  # and that a junction equation in potentials was


class Wanted:
    """Looks for what the writer of an untrue claim meant, from what is known of the working so far."""

    def __init__(self, so_far: SoFar) -> None:
        self.so_far = so_far
        self.truths, self.verdicts, self.meaning = so_far.truths, so_far.verdicts, so_far.meaning
        lines = so_far.working.lines
        self.round_loops = {n for line in lines for n in (*line.round_loops, *(x.name for x in line.loops))}

    def mends(self, claim: Claim, *, below_untrue: bool) -> tuple[Repair, ...]:
        """The likeliest repairs of an untrue claim, likeliest first; none where no slip of the catalogue
        explains it.

        A repair makes the claim true of the circuit. Below an untrue line (`below_untrue`) the writer may
        have meant what the lines above give, true or not: repairs that make the claim follow from them are
        looked for too, and taken where the first of them is the smaller slip.
        """
        if self._settled(claim) and (worked := self._as_arithmetic(claim)):
            return worked
        if worked := self._as_worked_above(claim):
            return worked
        every = [v for v in self.verdicts if v.kind not in (ClaimKind.UNDECIDED, ClaimKind.NAMED)]
        decided = every[-MOST_ABOVE:]
        found = self._likeliest(self._search(claim, decided, self._holds, []))
        if not below_untrue:
            return found or self._as_arithmetic(claim)
        untrue = [v.claim.written for v in decided if v.kind is ClaimKind.UNTRUE]
        true = [v.claim.written for v in reversed(decided) if v.kind is not ClaimKind.UNTRUE]
        fitting = self._search(claim, decided, self._fits, [*untrue, *true])[:MOST_TOLD]
        likelier = fitting and not (found and found[0].size <= fitting[0].size)
        return (fitting if likelier else found) or self._as_arithmetic(claim)

    def _as_arithmetic(self, claim: Claim) -> tuple[Repair, ...]:
        """A result that is a wrong number, with the right one: what its other side comes to."""
        view = self.truths.views[-1]
        values: dict[str, Fraction] = {}
        for name in symbols_of(claim.written):
            true = view.meanings.value(view.meanings.names[name])
            number = None if true is None else true.constant()
            if number is None:
                return ()
            values[name] = view.as_rounded.written.get(name, number)
        return arithmetic_slips(claim.written, view.meanings.thousands, values)

    def _as_worked_above(self, claim: Claim) -> tuple[Repair, ...]:
        """A wrong number for a name that the claim just before gives, rightly, a formula in numbers alone: it
        was worked out wrongly."""
        last = self.verdicts[-1] if self.verdicts else None
        name, formula = claim.written.left, last.claim.written if last is not None else claim.written
        if last is None or not last.holds or not isinstance(name, Symbol) or formula.left != name:
            return ()
        if symbols_of(formula.right) or not parts_of(formula.right) or lone(claim.written.right) is None:
            return ()
        worked = Equation(formula.right, claim.written.right, claim.written.relation)
        found = arithmetic_slips(worked, self.truths.views[-1].meanings.thousands)
        return tuple(replace(mend, mended=replace(mend.mended, left=name)) for mend in found)

    def _search(
        self,
        claim: Claim,
        above: Sequence[Verdict],
        test: Callable[[Equation], bool],
        basis: Sequence[Equation],
    ) -> tuple[Repair, ...]:
        found = repairs(
            claim.written,
            self.truths.solution.circuit,
            test,
            names=self.truths.arrows.names,
            above=[v.claim.written for v in above],
            meaning=self._spoken_of(claim),
            basis=basis,
            round_loops=self.round_loops,
            settled=self._settled(claim),
            in_thousands=self.truths.views[-1].meanings.thousands,
            most=MOST_WEIGHED,
        )
        return tuple(mend for mend in found if not self._adds_unlike(claim.written, mend.mended))

    def _adds_unlike(self, written: Equation, mended: Equation) -> bool:
        """Whether a repair puts a current or a voltage into what is a resistance: into a divisor written in
        numbers alone, or into a result that is one (R23 = 11 + I5 · 4.5)."""
        named = self.truths.arrows.names
        new = [n for n in symbols_of(mended) if n in named and n not in symbols_of(written)]
        if not new:
            return False
        subjects = [side.name for side in (written.left, written.right) if isinstance(side, Symbol)]
        if subjects and all(self.truths.kind_of(name) == OHM for name in subjects):
            return not (set(symbols_of(written)) - set(subjects)) or not isinstance(mended.right, Quotient)
        divisors = [d for side in (mended.left, mended.right) for d in _divisors(side)]
        return any(isinstance(d, Sum) and set(new) & set(symbols_of(d)) for d in divisors)

    def _spoken_of(self, claim: Claim) -> Mapping[str, Expr]:
        """What the working's own names stand for that are spoken of here or not far above: no more of them in
        a long working than in a short one."""
        near = (claim.written, *(v.claim.written for v in self.verdicts[-2 * MOST_ABOVE :]))
        left = [name for written in near for name in symbols_of(written) if name in self.meaning]
        met: set[str] = set()
        while left:
            name = left.pop()
            if name not in met:
                met.add(name)
                left += [n for n in symbols_of(self.meaning[name]) if n in self.meaning]
        return {name: meant for name, meant in self.meaning.items() if name in met}

    def _settled(self, claim: Claim) -> bool:
        """Whether the left side of a claim is the right side of one before it in the same line that is right:
        then it is not the left that is wrong."""
        last = self.verdicts[-1] if self.verdicts else None
        return last is not None and last.holds and last.claim.written.right == claim.written.left

    def _likeliest(self, found: Sequence[Repair]) -> tuple[Repair, ...]:
        """The repairs with those first that make the claim follow from a line or two just above."""
        weighed = [(r.size - self._closeness(r.mended), i, r) for i, r in enumerate(found)]
        return tuple(r for _, _, r in sorted(weighed, key=lambda w: w[:2])[:MOST_TOLD])

    def _closeness(self, written: Equation) -> float:
        """How much likelier a claim is meant for following from one line above, or from two, or for being a
        junction equation in potentials."""
        sides = (written.left, written.right)
        if any((v.claim.written.left, v.claim.written.right) == sides for v in self.verdicts[-MOST_ABOVE:]):
            return 0.0  # nobody means to write a line a second time
        value = self._value_of(written)
        if value is None or value.truth is Truth.NO or not symbols_of(written):
            return 0.0
        view = value.view
        near = [row for row in view.rows.near if row.true][-NEAREST:]
        linear = view.meanings.row(value.difference) if not value.beside else None
        target = WantedRow(value.difference, linear, value.beside)
        support = view.rows.support(target, near)
        if support:
            return {1: FROM_ONE, 2: FROM_TWO}.get(len(support), 0.0)
        is_result = any(isinstance(side, Symbol) for side in sides)
        law = None if is_result or linear is None else view.law_of(linear)
        return A_NODE if law is not None and law[1].by_potentials else 0.0

    def _holds(self, written: Equation) -> bool:
        found = self._value_of(written)
        if found is None:
            return False
        return found.truth is not Truth.NO or self.so_far.follows_as_written(found, written)

    def _fits(self, written: Equation) -> bool:
        """Whether an equation follows from the lines above, untrue ones among them."""
        found = self._value_of(written)
        if found is None:
            return False
        linear = found.view.meanings.row(found.difference)
        return follow_on(found.view, found, linear, Claim(written)) is not None

    def _value_of(self, written: Equation) -> ClaimValue | None:
        """The value of a claim that might have been meant; None where that cannot be told."""
        try:
            self.truths.learn(symbols_of(written))
            return None if self.truths.clash(written) else self.truths.value_of(written)
        except (UnknownName, TooLong, ZeroDivisionError):
            return None

    def cause(self, claim: Claim, view: View, mends: Sequence[Repair]) -> int | None:
        """The line above where the same slip was made on the same quantities, if there is one."""
        if not mends:
            return None
        touched = _touched(claim, view, mends[0])
        alike = [v for v in self.verdicts if v.repairs and v.repairs[0].entry == mends[0].entry]
        same = (
            v
            for v in (*alike[:NEAREST], *alike[-NEAREST:])
            if touched & _touched(v.claim, view, v.repairs[0])
        )
        return next((v.cause for v in same), None)


def _divisors(expr: Expr) -> Iterator[Expr]:
    if isinstance(expr, Quotient):
        yield expr.below
    for part in parts_of(expr):
        yield from _divisors(part)


def _touched(claim: Claim, view: View, mend: Repair) -> set[str]:
    """The symbols and currents in which a claim differs from its repair."""
    try:
        change = view.meanings.difference(claim.written) - view.meanings.difference(mend.mended)
    except (UnknownName, TooLong, ZeroDivisionError):
        return set()
    return set(change.held())
