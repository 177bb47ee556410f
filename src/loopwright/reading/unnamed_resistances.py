"""Resistances that a working makes one in numbers alone and gives no name: `10 + 10 = 20 Ω`.

That the sum is right says nothing of the circuit. Where its unit, the words beside it or what is done with
it below say that it is a resistance, it is held to how the resistors with these numbers lie, as one with a
name is.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from ..circuit.elements import Kind
from ..expressions.dimensions import OHM, of_unit
from ..expressions.nodes import (
    ONE,
    Equation,
    Expr,
    Number,
    Parallel,
    Product,
    Quotient,
    Sum,
    Symbol,
    number,
    numbers_in,
    parts_within,
    put,
)
from ..expressions.said import Said
from ..expressions.values import symbols_of
from .names_given import lying_apart
from .repair.idea_values import amount
from .so_far import SoFar
from .totals_named import is_emf, seen_in_all, settings_meant
from .truth.combined import is_over_sum
from .truth.meaning import UnknownName
from .truth.rounding import digits_of, lone
from .truth.size import TooLong
from .untrue_claims import untrue
from .verdicts import ClaimKind, Repair, Truth, Verdict
from .working import Claim, WrittenLine

NEAR_BELOW = 12  # lines below in which it is looked for what is done with a number
MOST_DEEP = 4  # sums of sums that are followed there
_SAYS_SO = re.compile(
    r"\br[eé]sistances?\b|\bresistencias?\b|\bWiderst\w+|\bparall[eè]l\w*\b|\bseries\b|\bside by side\b",
    re.IGNORECASE,
)
_TOTAL = re.compile(r"\b(?:total|whole|overall|gesamt\w*)\b", re.IGNORECASE)
_OF_SOME = re.compile(r"\b(?:of|R\d\w*|part|branch|half|side)\b", re.IGNORECASE)
_NO_COMBINATION = re.compile(
    r"\b(?:loops?|mesh\w*|self|mutual|matri\w+|coefficients?|factors?|determinants?|deltas?|stars?|triangles?|"
    r"denominators?|sum of)\b|[ΔY]",
    re.IGNORECASE,
)


def unnamed_resistance(so_far: SoFar, line: WrittenLine, claim: Claim) -> Verdict | None:
    """The verdict on numbers that are put together as the resistors that have them do not lie; None for any
    other claim. What is rightly put together is kept, so that what is made of it below is known."""
    written = claim.written.left
    given = _in_numbers(so_far, written)
    if given is None or so_far.head_of(line, claim) != written or not _is_arithmetic(so_far, claim):
        return None
    end = _end(line, claim)
    if end is None or not _puts_together(given, end) or _NO_COMBINATION.search(line.text):
        return None
    said = of_unit(end.unit) == OHM or _SAYS_SO.search(line.text) is not None
    if _is_factor(so_far, line, end):
        return None
    if not said and not _is_gone_on_with(so_far, line, end):
        return _by_chance(so_far, line, claim)
    apart = lying_apart(so_far, line, claim, given)
    if apart is not None:
        return apart
    name = so_far.unnamed_resistance(line.number)
    own = replace(claim, written=Equation(Symbol(name), given))
    total = (
        seen_in_all(so_far) if said and _TOTAL.search(line.text) and not _OF_SOME.search(line.text) else ()
    )
    settings = settings_meant(so_far, claim)
    claims = [replace(own, setting=setting) for setting in settings]
    found = [so_far.resistances.said_to_be(line, each, name, given) for each in claims]
    if total:
        found = [(way, _is_worth(so_far, given, way)) for way in total]
    meant = next((way for way, holds in found if holds), None) or next((way for way, _ in found if way), None)
    right = any(holds for _, holds in found)
    if not right and not total and so_far.resistances.may_lie_so(given, settings):
        return None
    if meant is None or name in so_far.truths.views[-1].meanings.names:
        return None
    so_far.truths.define(name, meant)
    so_far.meaning[name] = meant
    so_far.resistances.note_parts(name, meant)
    so_far.resistances.note_size(name)
    so_far.resistances.note_written(name, end)
    worth = so_far.truths.value_of(own.written)
    if worth is None or worth.truth is not Truth.NO:
        return None
    verdict = untrue(so_far, line, own, worth)
    so_far.wrong.note_unnamed(verdict.cause or line.number, name, end)
    shown = _as_number(so_far, name, end) or meant
    mends = tuple(_without(name, mend, shown) for mend in verdict.repairs)
    return replace(verdict, claim=claim, repairs=mends)


def _in_numbers(so_far: SoFar, given: Expr) -> Expr | None:
    """What is put together, each resistor by its number: 1.5 + 5 of `+ R3 = 6.5` below 1.5; None where other
    names stand in it."""
    circuit, thousands = so_far.circuit, so_far.truths.views[-1].meanings.thousands
    names = symbols_of(given)
    if not isinstance(given, Sum) and names:
        return None
    worth: dict[str, Expr] = {}
    for name in names:
        if circuit.role(name) is not Kind.RESISTOR or name not in circuit.numbers:
            return None
        worth[name] = number(circuit.numbers[name] / (1000 if thousands else 1))
    return put(given, worth)


def _is_worth(so_far: SoFar, given: Expr, meant: Expr) -> bool:
    """Whether numbers come to what a resistance is."""
    found = so_far.truths.value_of(Equation(meant, given))
    return found is not None and found.truth is not Truth.NO


def _by_chance(so_far: SoFar, line: WrittenLine, claim: Claim) -> Verdict | None:
    """The verdict on a bare sum of the numbers of two resistors or more that lie side by side, where nothing
    says what it is and nothing is made of it; None for anything else."""
    given, end = claim.written.left, lone(claim.written.right)
    numbers = [lone(term) for term in given.terms] if isinstance(given, Sum) else []
    bare = end is not None and all(n is not None and not n.unit for n in (*numbers, end))
    words = line.text[: claim.start] + line.text[claim.end :]
    if not numbers or not bare or any(sign.isalpha() for sign in words) or len(line.claims) > 1:
        return None
    if end is None or any(n is not None and n.value in so_far.came_to for n in (*numbers, end)):
        return None
    if any(True for _ in _claims_with(so_far, replace(line, number=line.number + 1), end)):
        return None
    own = replace(claim, written=Equation(Symbol(so_far.unnamed_resistance(line.number)), given))
    meant, holds = so_far.resistances.said_to_be(line, own, so_far.unnamed_resistance(line.number), given)
    if meant is None or holds:
        return None
    said: Said = (
        "It could be this or that: resistors of these sizes lie side by side here, and nothing says what is "
        "added.",
    )
    return Verdict(line.number, claim, ClaimKind.UNDECIDED, said)


def _without(name: str, mend: Repair, shown: Expr) -> Repair:
    """A repair as it is told where the resistance has no name: with what it comes to (`shown`)."""
    left, right = mend.mended.left, mend.mended.right
    return replace(mend, mended=Equation(right, shown) if left == Symbol(name) else Equation(left, right))


def _as_number(so_far: SoFar, name: str, end: Number) -> Expr | None:
    """What a resistance comes to, in the unit of the number that is given for it."""
    meanings = so_far.truths.views[-1].meanings
    value = meanings.names[name].constant()
    if value is None:
        return None
    return amount(value * 1000 if meanings.thousands else value, end.unit) if end.unit else number(value)


def _is_arithmetic(so_far: SoFar, claim: Claim) -> bool:
    """Whether a claim is arithmetic that is right."""
    try:
        found = so_far.truths.value_of(claim.written)
    except (UnknownName, TooLong, ZeroDivisionError):
        return False
    return found is not None and found.truth is not Truth.NO


def _end(line: WrittenLine, claim: Claim) -> Number | None:
    """The number that a chain comes to."""
    right = claim.written.right
    for each in line.claims:
        if each.written.left == right and each.start >= claim.start:
            right = each.written.right
    return lone(right) if isinstance(right, Number) else None


def _puts_together(given: Expr, end: Number) -> bool:
    """Whether numbers are put together as resistances are: added, side by side, a product over the sum."""
    if isinstance(given, Parallel):
        return True
    if isinstance(given, Sum):
        inverse = any(isinstance(term, Quotient) and term.above == ONE for term in given.terms)
        return all(_is_part(t) for t in given.terms) and (not inverse or of_unit(end.unit) == OHM)
    if not isinstance(given, Quotient):
        return False
    above, below = given.above, given.below
    if above == ONE:
        return isinstance(below, Sum) and all(_is_part(t) for t in below.terms)
    return is_over_sum(above, below) or is_over_sum(below, above)


def _is_part(term: Expr) -> bool:
    if isinstance(term, Number):
        return term.value > 0
    if isinstance(term, Quotient) and term.above == ONE and isinstance(term.below, Number):
        return True
    return isinstance(term, Parallel | Quotient) and _puts_together(term, Number(ONE.value))


# -- what is done with a number below --------------------------------------------------------------------


def _claims_with(so_far: SoFar, line: WrittenLine, number: Number) -> Iterator[Equation]:
    """The claims of a line and of those below in which a number stands."""
    here = bisect_left(so_far.working.lines, line.number, key=lambda each: each.number)
    for each in so_far.working.lines[here : here + NEAR_BELOW]:
        for claim in each.claims:
            if any(_same(n, number) for n in numbers_in(claim.written)):
                yield claim.written


def _same(one: Number, other: Number) -> bool:
    return Fraction(digits_of(one)) == Fraction(digits_of(other))


def _is(expr: Expr, number: Number) -> bool:
    own = lone(expr)
    return own is not None and _same(own, number)


def _is_factor(so_far: SoFar, line: WrittenLine, number: Number) -> bool:
    """Whether a number is that of something multiplied below, as the coefficient of a current is, or that
    below a line, as the sum of two resistances is where they share a current or are made one."""
    for written in _claims_with(so_far, line, number):
        for part in parts_within(written):
            if isinstance(part, Product) and symbols_of(part) and any(_is(f, number) for f in part.factors):
                return True
            shares = isinstance(part, Quotient) and _is(part.below, number)
            if shares and isinstance(part, Quotient) and not is_emf(so_far, part.above):
                return True
    return False


def _is_gone_on_with(so_far: SoFar, line: WrittenLine, number: Number, deep: int = 0) -> bool:
    """Whether a number is a resistance by what is done with it below: a battery works on it, alone or with
    others that are added, or it stands side by side with others."""
    for written in _claims_with(so_far, line, number):
        for part in parts_within(written):
            if isinstance(part, Parallel) and any(_is(each, number) for each in part.parts):
                return True
            if not isinstance(part, Quotient):
                continue
            below = part.below.terms if isinstance(part.below, Sum) else (part.below,)
            if any(_is(each, number) for each in below) and (is_emf(so_far, part.above)):
                return True
            beside = isinstance(part.above, Product) and any(_is(f, number) for f in part.above.factors)
            if beside and is_over_sum(part.above, part.below):
                return True
        end = written.right if isinstance(written.right, Number) else None
        total = isinstance(written.left, Sum) and any(_is(t, number) for t in written.left.terms)
        more = total and end is not None and deep < MOST_DEEP and not _same(end, number)
        if more and end is not None and _is_gone_on_with(so_far, line, end, deep + 1):
            return True
    return False
