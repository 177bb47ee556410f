"""Whether a claim is true of the circuit, and in which sense: for all values of the symbols, with the
numbers given, as rounded, or as rounded numbers above it give.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ...algebra.ratios import Ratio
from ...circuit.elements import DIMENSION_OF
from ...expressions.dimensions import AMPERE, OHM, VOLT, WATT, Dimension
from ...expressions.nodes import Equation, Expr, Symbol
from ...expressions.values import symbols_of
from ...solve.exact import Solution
from ..verdicts import Arrows, Truth
from ..working import Claim
from .consequence import Rows
from .dimensions import clash, numbers_are_values
from .meaning import Meanings, UnknownName
from .rounding import Policy, has_values, is_decimal, lone, may_hold, rounds_to, value_of
from .size import TooLong
from .which_law import WhichLaw


@dataclass(frozen=True, slots=True)
class View:
    """One way of looking at the circuit (in symbols, or with its numbers): the `meanings` that values claims,
    what finds laws in it (`which_law`), and the linear claims made so far (`rows`)."""

    meanings: Meanings
    which_law: WhichLaw
    rows: Rows

    def shown(self, side: Expr) -> Expr:
        """A side of a claim with its numbers in the units of this view."""
        return self.meanings.in_its_units(side) if self.meanings.thousands else side


@dataclass(frozen=True, slots=True)
class ClaimValue:
    """What was found out about a claim: in which sense it is true (`truth`), the `view` in which that was
    decided, and there left minus right (`difference`); `beside`: what that difference comes to where the
    claim is right only as rounded, else 0."""

    truth: Truth
    view: View
    difference: Ratio
    beside: Fraction = Fraction(0)


class Truths:
    """Decides claims of one working. `views`: in symbols, and with the numbers where there are any."""

    def __init__(self, solution: Solution, arrows: Arrows, policy: Policy, claims: Sequence[Claim]) -> None:
        self.solution, self.arrows, self.policy = solution, arrows, policy
        self.rounded: dict[str, Fraction] = {}  # results above, as rounded, in the units of the view
        views = [self._view({}, False)]
        circuit = solution.circuit
        if circuit.numbers:
            numbers = {n: v for n, v in circuit.numbers.items() if n in circuit.field}
            plain, thousands = self._view(numbers, False), self._view(numbers, True)
            more = self._told_in(thousands, claims) > self._told_in(plain, claims)
            views.append(thousands if more else plain)
        self.views = tuple(views)

    def _view(self, numbers: Mapping[str, Fraction], thousands: bool) -> View:
        meanings = Meanings(self.solution, self.arrows.names, numbers, thousands)
        which_law = WhichLaw(meanings)
        return View(meanings, which_law, Rows(meanings, which_law.samples))

    def _told_in(self, view: View, claims: Sequence[Claim]) -> int:
        """How many of the claims in numbers are right in this view, exactly or as rounded: by this it is
        told whether bare numbers are in amperes and ohms or in milliamperes and kilohms."""
        total = 0
        for claim in claims:
            if claim.case or not has_values(claim.written):
                continue
            try:
                difference = view.meanings.difference(claim.written)
            except (UnknownName, TooLong, ZeroDivisionError):
                continue
            if difference and (
                view.meanings.holds(difference) or self._rounded(view, claim.written) is not None
            ):
                total += 1
        return total

    def learn(self, names: Sequence[str]) -> None:
        """Sees to it that names stand for something in every view. Raises UnknownName."""
        for view in self.views:
            view.meanings.learn(names)

    def define(self, name: str, expr: Expr) -> None:
        """Gives a name the meaning of an expression, in every view. Raises UnknownName."""
        values = [view.meanings.ratio(expr) for view in self.views]
        for view, ratio in zip(self.views, values, strict=True):
            view.meanings.names[name] = ratio

    def clash(self, written: Equation) -> tuple[Dimension, ...] | None:
        """The kinds of quantity that meet in a claim with units and do not fit, or None."""
        return clash(written, self._dimension)

    def _dimension(self, name: str) -> Dimension | None:
        """What kind of quantity a name stands for, as powers of volt and ampere."""
        meaning = self.arrows.names.get(name)
        if meaning is not None:
            return VOLT if any(n.startswith("φ") for n in meaning) else AMPERE
        circuit = self.solution.circuit
        element = circuit.elements.get(name)
        kind = element.kind if element else circuit.role(name)
        if kind is not None:
            return DIMENSION_OF.get(kind)
        return _CALLED.get(name[0]) if "(" in name else None

    def value_of(self, written: Equation) -> ClaimValue | None:
        """What a claim comes to; None where that depends on a number that is not given. Raises
        ZeroDivisionError where it divides by what is zero."""
        in_symbols = self.views[0]
        difference = in_symbols.meanings.difference(written)
        if in_symbols.meanings.holds(difference):
            return ClaimValue(Truth.ALWAYS, in_symbols, difference)
        if len(self.views) == 1:
            values = has_values(written) or lone(written.left) is not None or lone(written.right) is not None
            undecided = values and symbols_of(written) and numbers_are_values(written, self._dimension)
            return None if undecided else ClaimValue(Truth.NO, in_symbols, difference)
        here = self.views[1]
        told = here.meanings.difference(written)
        if here.meanings.holds(told):
            return ClaimValue(Truth.HERE, here, told)
        beside = self._rounded(here, written)
        if beside is not None:
            return ClaimValue(Truth.ROUNDED, here, told, beside)
        if self._from_rounded(here, written):
            value = here.meanings.value(told)
            off = None if value is None else value.constant()
            return ClaimValue(Truth.CARRIED, here, told, off or Fraction(0))
        if not has_values(written) and not all(self._is_unknown(n) for n in symbols_of(written)):
            return ClaimValue(Truth.NO, in_symbols, difference)
        left = here.meanings.value(told)
        if left is not None and left.held() and has_values(written):
            return None
        return ClaimValue(Truth.NO, here, told)

    def _is_unknown(self, name: str) -> bool:
        return name in self.arrows.names or name.startswith("V(")

    # -- rounded numbers ---------------------------------------------------------------------------

    def note(self, claim: Equation, view: View) -> None:
        """Keeps a rounded result, so that what is worked out from it can be told from a slip."""
        if (
            isinstance(claim.left, Symbol)
            and (single := lone(claim.right)) is not None
            and is_decimal(single)
        ):
            self.rounded[claim.left.name] = value_of(view.shown(claim.right), {})

    def _values(self, view: View, written: Equation) -> dict[str, Fraction] | None:
        """The true numbers of all names in a claim, in the view's units; None where one has none."""
        found: dict[str, Fraction] = {}
        for name in symbols_of(written):
            value = view.meanings.value(view.meanings.names[name])
            number = None if value is None else value.constant()
            if number is None:
                return None
            found[name] = number
        return found

    def _rounded(self, view: View, written: Equation) -> Fraction | None:
        """By how much the sides differ where they are equal as rounded; None where they are not."""
        values = self._values(view, written)
        if values is None:
            return None
        left, right = view.shown(written.left), view.shown(written.right)
        try:
            one, other = value_of(left, values), value_of(right, values)
        except ZeroDivisionError:
            return None
        given = frozenset(self.solution.circuit.numbers.values())
        for side, beyond, against in ((right, left, one), (left, right, other)):
            single = lone(side)
            if single is None or single.value in given:
                continue
            rounded = is_decimal(single) or isinstance(beyond, Symbol) or not symbols_of(beyond)
            if (rounded or written.relation == "≈") and rounds_to(against, side, self.policy):
                return one - other
        if not values or lone(left) is not None or lone(right) is not None:
            return None
        return one - other if may_hold(Equation(left, right), values, given) else None

    def _from_rounded(self, view: View, written: Equation) -> bool:
        """Whether a result is what rounded results above give: by its own other side, or by a true
        equation above."""
        values = self._values(view, written) if self.rounded else None
        if values is None:
            return False
        for side, other in ((written.right, written.left), (written.left, written.right)):
            if lone(side) is None:
                continue
            shown, body = view.shown(side), view.shown(other)
            if isinstance(body, Symbol):
                given = self._by_rows(view, body.name)
            else:
                carried = {n: self.rounded.get(n, v) for n, v in values.items()}
                given = [value_of(body, carried)] if carried != values else []
            return any(rounds_to(value, shown, self.policy) for value in given)
        return False

    def _by_rows(self, view: View, name: str) -> list[Fraction]:
        """The values that true equations above give for a current, when the other currents in them take
        their values as rounded above."""
        scale = 1000 if view.meanings.thousands else 1
        known: dict[str, Fraction] = {}
        for n, value in self.rounded.items():
            branch, sign = self._branch(n)
            if branch:
                known[branch] = value * sign / scale
        branch, sign = self._branch(name)
        found: list[Fraction] = []
        for row in view.rows.rows:
            c = row.linear.coefficients
            if not row.true or branch not in c or not set(c) - {branch} <= set(known):
                continue
            parts = {n: r.constant() for n, r in c.items()}
            total = row.linear.constant.constant()
            if total is None or any(p is None for p in parts.values()):
                continue
            for n, part in parts.items():
                if n != branch:
                    total += (part or 0) * known[n]
            found.append(-total / (parts[branch] or 1) * sign * scale)
        return found

    def _branch(self, name: str) -> tuple[str, int]:
        """The branch whose current a name is, and the sense; nothing for any other name."""
        meaning = self.arrows.names.get(name, {})
        return next(iter(meaning.items())) if len(meaning) == 1 else ("", 1)


_CALLED = {"V": VOLT, "P": WATT, "R": OHM}
