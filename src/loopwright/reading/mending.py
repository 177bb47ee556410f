"""What an untrue claim should have been: the likeliest slips, and whether one was made before."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from ..expressions.nodes import Equation, Expr
from ..expressions.values import symbols_of
from .repair.repairs import repairs
from .truth.follow_on import follow_on
from .truth.meaning import UnknownName
from .truth.size import TooLong
from .truth.truth import ClaimValue, Truths, View
from .verdicts import ClaimKind, Repair, Truth, Verdict
from .working import Claim


class Wanted:
    """Looks for what the writer of an untrue claim meant, from the verdicts so far and from what names of
    the working's own stand for."""

    def __init__(self, truths: Truths, verdicts: Sequence[Verdict], meaning: Mapping[str, Expr]) -> None:
        self.truths, self.verdicts, self.meaning = truths, verdicts, meaning

    def mends(self, claim: Claim, *, below_untrue: bool) -> tuple[Repair, ...]:
        """The likeliest repairs of an untrue claim, likeliest first; none where no slip of the catalogue
        explains it.

        A repair makes the claim true of the circuit. Below an untrue line (`below_untrue`) the writer may
        have meant what the lines above give, true or not: repairs that make the claim follow from them are
        looked for too, and taken where the first of them is the smaller slip.
        """
        decided = [v for v in self.verdicts if v.kind not in (ClaimKind.UNDECIDED, ClaimKind.NAMED)]
        found = self._search(claim, decided, self._holds, [])
        if not below_untrue:
            return found
        untrue = [v.claim.written for v in decided if v.kind is ClaimKind.UNTRUE]
        true = [v.claim.written for v in reversed(decided) if v.kind is not ClaimKind.UNTRUE]
        fitting = self._search(claim, decided, self._fits, [*untrue, *true])
        return fitting if fitting and not (found and found[0].size <= fitting[0].size) else found

    def _search(
        self,
        claim: Claim,
        above: Sequence[Verdict],
        test: Callable[[Equation], bool],
        basis: Sequence[Equation],
    ) -> tuple[Repair, ...]:
        return repairs(
            claim.written,
            self.truths.solution.circuit,
            test,
            names=self.truths.arrows.names,
            above=[v.claim.written for v in above],
            meaning=self.meaning,
            basis=basis,
        )

    def _holds(self, written: Equation) -> bool:
        found = self._value_of(written)
        return found is not None and found.truth is not Truth.NO

    def _fits(self, written: Equation) -> bool:
        """Whether an equation follows from the lines above, untrue ones among them."""
        found = self._value_of(written)
        if found is None:
            return False
        linear = found.view.meanings.row(found.difference)
        return bool(follow_on(found.view, found, linear, Claim(written), self.truths.policy))

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
        same = (v for v in alike if touched & _touched(v.claim, view, v.repairs[0]))
        return next((v.cause for v in same), None)


def _touched(claim: Claim, view: View, mend: Repair) -> set[str]:
    """The symbols and currents in which a claim differs from its repair."""
    try:
        change = view.meanings.difference(claim.written) - view.meanings.difference(mend.mended)
    except (UnknownName, TooLong, ZeroDivisionError):
        return set()
    return set(change.held())
