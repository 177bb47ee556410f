"""The verdict on a claim that is not true: carried from an untrue line above, or wrong by itself, with what
was likeliest meant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from ..algebra.linear import Linear
from ..circuit.elements import Kind
from ..expressions.nodes import ZERO, Equation, Expr, Symbol, negate, numbers_in, parts_of, put
from ..expressions.values import symbols_of
from .contradictions import cause_of, contradicting, said_of, two_numbers
from .faults import own_fault
from .mending import Wanted
from .repair.number_edits import written_like
from .same_slip import line_of_same_term
from .so_far import SoFar
from .supposed import by_its_share, by_trials, gone_on_with, scaled_wrongly
from .taken_otherwise import CUT, line_that_took_it_so
from .truth.consequence import NEAREST
from .truth.counting import counter
from .truth.dimensions import thousands
from .truth.follow_on import FollowOn, follow_on
from .truth.meaning import UnknownName
from .truth.odd_number import with_numbers
from .truth.rounding import half_unit, is_decimal, lone, value_of
from .truth.size import TooLong
from .truth.truth import ClaimValue
from .truth.wrong_forms import WrongForm, brackets
from .verdicts import ClaimKind, How, Repair, Truth, Verdict
from .wording import of_following
from .working import Claim, WrittenLine

MOST_ROUNDED = 50  # halves of a unit in the last figure that rounding on the way may come to
_UNITS = {Kind.RESISTOR: "Ω", Kind.CURRENT_SOURCE: "A"}
BY_THOUSANDS = 20  # one part in so many: rounding on the way, beside a factor of a thousand
DEEPEST = 8  # formulas put one into the next


def untrue(so_far: SoFar, line: WrittenLine, claim: Claim, found: ClaimValue) -> Verdict:
    """The verdict on an untrue claim, kept for later lines to follow from."""
    view = found.view
    linear = view.meanings.row(found.difference)
    shown = counter(view.meanings, claim.written, so_far.truths.unit)
    follows = followed(so_far, line, claim, found, linear)
    cancel = any(name in so_far.truths.arrows.names for name in symbols_of(claim.written))
    if linear is not None and not linear.coefficients and (cancel or _apart(claim)):
        if follows is None and so_far.cancelled:
            follows = FollowOn((so_far.cancelled,))
        so_far.cancelled = so_far.cancelled or (line.number if cancel else 0)
    if follows is None and two_numbers(claim.written) and (clash := contradicting(view)):
        return Verdict(
            line.number, claim, ClaimKind.UNTRUE, said_of(clash.used), Truth.NO, clash.used,
            counter=shown, carried=True, cause=cause_of(so_far, clash.used),
        )  # fmt: skip
    above = tuple(view.rows.rows)
    if linear is not None and not linear.coefficients:
        so_far.keep_end(line, claim, view)
    else:
        if follows is not None and follows.beside:
            so_far.keep(line, claim, found)  # as it is written, and then as it follows
        so_far.keep(line, claim, replace(found, beside=follows.beside) if follows else found)
    if follows is not None:
        used = follows.used
        view.as_rounded.note_carried(claim.written, follows.beside)
        first = next(v for v in so_far.verdicts if v.line in used and v.kind is ClaimKind.UNTRUE)
        given = "that line gives" if len(used) == 1 else "those lines give"
        said = (*of_following(How.COMBINATION, used), f" Not true, but what {given}.")
        return Verdict(
            line.number, claim, ClaimKind.UNTRUE, said, Truth.NO, used,
            counter=shown, carried=True, cause=first.cause or first.line,
        )  # fmt: skip
    wanted = Wanted(so_far)
    mends: tuple[Repair, ...] = ()
    cause, fault = line.number, None
    try:
        mends = scaled_wrongly(so_far, line, claim.written)
        mends = (
            ()
            if _apart(claim)
            else mends or wanted.mends(claim, below_untrue=any(not row.true for row in above))
        )
        cause = wanted.cause(claim, view, mends) or _first_cut(so_far, mends) or line.number
    except Exception as trouble:  # it stays untrue, though we cannot say what was meant
        fault = own_fault(trouble, line.number)
    again = _same_idea(so_far, claim, mends)
    if again is not None:
        said = (f"Not true, but what the circuit of line {again.line} gives.",)
        return Verdict(
            line.number, claim, ClaimKind.UNTRUE, said, Truth.NO, (again.line,),
            counter=shown, carried=True, cause=again.cause or again.line,
        )  # fmt: skip
    said = ("Two different numbers: no currents can make them equal.",) if _apart(claim) else ("Not true.",)
    return Verdict(
        line.number, claim, ClaimKind.UNTRUE, said,
        counter=shown, repairs=mends, cause=cause, fault=fault,
    )  # fmt: skip


def followed(
    so_far: SoFar, line: WrittenLine, claim: Claim, found: ClaimValue, linear: Linear | None
) -> FollowOn | None:
    """What an untrue claim follows from: an untrue line above, among others. `linear`: the claim as a row."""
    view = found.view
    cited = so_far.cited(line)
    follows = follow_on(view, found, linear, claim, cited, by_laws=True) or _from_wrong(so_far, claim)
    if follows is None and linear is not None and linear.coefficients and view is so_far.truths.views[-1]:
        follows = so_far.as_they_stand.follow(found, linear, claim.written)
        if follows is None and (nearly := so_far.nearly.follows(claim.written)):
            follows = FollowOn(nearly)
    if follows is None:
        lines = gone_on_with(so_far, line, claim.written) or by_its_share(so_far, claim.written)
        lines = lines or by_trials(so_far, line, claim.written)
        follows = FollowOn(lines) if lines else _with_equals_put_in(so_far, line, found, linear)
    return follows or _ends_in_what_follows(so_far, claim)


def _ends_in_what_follows(so_far: SoFar, claim: Claim) -> FollowOn | None:
    """What the last number of a chain follows from with the untrue claim before it, where so much of its
    rounded numbers cancels that these alone would decide nothing: `I3 = (VA - VB)/R3 = (2.46 - 2.40)/3
    = 0.0213` for untrue potentials of 2.4612 and 2.3973."""
    above, written = so_far.verdicts[-1] if so_far.verdicts else None, claim.written
    if above is None or not above.carried or above.claim.written.right != written.left:
        return None
    rounded = so_far.truths.views[-1].as_rounded
    if symbols_of(written) or lone(written.right) is None or not parts_of(written.left):
        return None
    comes_to = rounded.numbers.may_come_to(written.left, rounded.number(written.right, {}), {})
    return FollowOn(above.used) if comes_to else None


def _apart(claim: Claim) -> bool:
    """Whether a claim sets equal two numbers that are different and that nobody rounded: whole ones, or 0 and
    one of which rounding can leave no more."""
    numbers = [n for side in (claim.written.left, claim.written.right) if (n := lone(side)) is not None]
    if not two_numbers(claim.written):
        return False
    decimal = [n for n in numbers if is_decimal(n)]
    beside_nothing = any(not n.value for n in numbers)
    return not decimal or (
        beside_nothing and all(abs(n.value) > MOST_ROUNDED * half_unit(n) for n in decimal)
    )


def _with_equals_put_in(
    so_far: SoFar, line: WrittenLine, found: ClaimValue, linear: Linear | None
) -> FollowOn | None:
    """The untrue line that sets two currents equal, or one to 0, where an untrue equation is a law with that
    put in; None where it is none."""
    view = found.view
    if linear is None or not linear.coefficients:
        return None
    above = [
        v
        for v in so_far.verdicts
        if v.kind is ClaimKind.UNTRUE
        and v.line < line.number
        and (not v.carried or v.claim.written.right == ZERO)
    ]
    for verdict in above:
        written = verdict.claim.written
        names = [side.name for side in (written.left, written.right) if isinstance(side, Symbol)]
        if len(names) < (1 if written.right == ZERO else 2) or not set(names) <= set(view.meanings.names):
            continue
        equal = view.meanings.difference(written)
        off, more = view.meanings.value(found.difference), view.meanings.value(equal)
        if off is None or not more:
            continue
        law = view.meanings.row(found.difference - equal * (off / more).at({}, view.meanings.field))
        stated = view.law_of(law) if law else None
        if stated is not None and stated[1].plainly:
            return FollowOn((verdict.line,))
    return None


def units_mended(so_far: SoFar, claim: Claim) -> tuple[Repair, ...]:
    """The likeliest repairs of a claim whose units do not fit."""
    try:
        mends = Wanted(so_far).mends(claim, below_untrue=False)
        return tuple(mend for mend in mends if so_far.truths.clash(mend.mended) is None)
    except Exception as trouble:
        own_fault(trouble)
        return ()


def _same_idea(so_far: SoFar, claim: Claim, mends: Sequence[Repair]) -> Verdict | None:
    """The verdict above on what the same source makes alone, where branches were cut that should be wires:
    what the circuit cut so gives besides is one slip with it."""
    if not mends or mends[0].entry != CUT or not claim.setting:
        return None
    cut = (v for v in so_far.verdicts if v.repairs and v.repairs[0].entry == CUT)
    return next((v for v in cut if v.claim.setting == claim.setting), None)


def _first_cut(so_far: SoFar, mends: Sequence[Repair]) -> int | None:
    """The line above where branches were cut that should be wires, where that is the slip here too: one idea,
    whichever source it is about."""
    if not mends or mends[0].entry != CUT:
        return None
    return next((v.cause or v.line for v in so_far.verdicts if v.repairs and v.repairs[0].entry == CUT), None)


def _from_wrong(so_far: SoFar, claim: Claim) -> FollowOn | None:
    """The lines whose untrue results stand in an untrue claim, where it is true with the names of
    these in their place; None where it is not."""
    if not symbols_of(claim.written):
        return _by_other_units(so_far, claim.written)
    for written, lines in so_far.wrong.without(claim.written):
        if so_far.truths.is_right(written):
            return FollowOn(lines)
    again = line_of_same_term(so_far, claim.written, so_far.truths.is_right)
    again = again or line_that_took_it_so(so_far, claim)
    if again:
        return FollowOn((again,))
    return (
        _by_wrong_values(so_far, claim.written)
        or _by_formula_above(so_far, claim.written)
        or _by_formulas_put_in(so_far, claim.written)
        or _by_what_they_are_made_of(so_far, claim.written)
        or _by_bracket(so_far, claim)
    )


def _by_other_units(so_far: SoFar, written: Equation) -> FollowOn | None:
    """The line that gave a result the wrong unit, by a factor of a thousand or a million, where arithmetic is
    right with that result in the right one: whoever works it goes on with the digits."""
    view = so_far.truths.views[-1]
    meanings = view.meanings
    for name, (line, (number, sign)) in so_far.wrong.values().items():
        met = [each for each in numbers_in(written) if each.value == number.value]
        true = meanings.value(meanings.names[name]) if met and name in meanings.names else None
        value = None if true is None else true.constant()
        if not value or not number.value:
            continue
        ratio = value / view.as_rounded.numbers.written(number) * sign
        for power in (3, -3, 6, -6):
            scale = Fraction(10) ** power
            if abs(ratio - scale) * BY_THOUSANDS <= scale:
                put = {each: written_like(each, each.value * scale) for each in met}
                left, right = (with_numbers(side, put) for side in (written.left, written.right))
                if so_far.truths.is_right(Equation(left, right, written.relation)):
                    return FollowOn((line,))
    return None


def _worth(so_far: SoFar, written: Equation) -> ClaimValue | None:
    """What a claim comes to; None where that cannot be told."""
    try:
        so_far.truths.learn(symbols_of(written))
        return so_far.truths.value_of(written)
    except (UnknownName, TooLong, ZeroDivisionError):
        return None


def _by_bracket(so_far: SoFar, claim: Claim) -> FollowOn | None:
    """The untrue lines that give a current what stands in a bracket, where the claim is right with the
    current in its place: what is put in may leave no unknown, and then the claim tells nothing of them."""
    named = [n for v in so_far.verdicts[-NEAREST:] for n in symbols_of(v.claim.written)]
    for bracket in brackets(claim.written):
        for name in dict.fromkeys(n for n in named if n in so_far.truths.arrows.names):
            put_in = WrongForm(0, name, bracket).in_equation(claim.written)
            if not so_far.truths.is_right(put_in):
                continue
            given = Equation(Symbol(name), bracket)
            worth = _worth(so_far, given)
            if worth is None or worth.truth is not Truth.NO:
                continue
            linear = worth.view.meanings.row(worth.difference)
            follows = follow_on(worth.view, worth, linear, replace(claim, written=given)) if linear else None
            if follows is not None:
                return FollowOn(follows.used)
    return None


def _by_formula_above(so_far: SoFar, written: Equation) -> FollowOn | None:
    """The lines that gave names wrong numbers, or the untrue one itself, where a result is what they give by
    the formula that stands for it just above: J1 = D1/D with a wrong D, and then J1 = 1.32 A."""
    if not isinstance(written.left, Symbol) or lone(written.right) is None:
        return None
    wrong = so_far.wrong.values()
    for above in reversed(so_far.verdicts[-NEAREST:]):
        formula = above.claim.written
        if formula.left != written.left:
            continue
        worked = Equation(formula.right, written.right, written.relation)
        if above.kind is ClaimKind.UNTRUE and so_far.truths.views[-1].as_rounded.judged(worked):
            return FollowOn((above.line,))
        if any(n in wrong for n in symbols_of(formula.right)):
            return _by_wrong_values(so_far, worked)
    return None


def _by_formulas_put_in(so_far: SoFar, written: Equation) -> FollowOn | None:
    """The lines that gave names untrue formulas, where a claim in letters is right with these in their place,
    or so is what stands above, or is known by determinants, for its left side: with a wrong D2 = R E that
    I2 = E/(11 R)."""
    wrong = so_far.wrong.formulas
    if not wrong:
        return None
    left = [written.left]
    if isinstance(written.left, Symbol):
        above = (v.claim.written for v in reversed(so_far.verdicts[-NEAREST:]))
        left += [line.right for line in above if line.left == written.left]
        left += [so_far.determinants.quotients.get(written.left.name, written.left)]
    for side in dict.fromkeys(left):
        names = [n for n in symbols_of(Equation(side, written.right)) if n in wrong]
        table = {n: wrong[n][1] for n in names}
        sides = put(side, table), put(written.right, table)
        if names and sides[0] != sides[1] and so_far.truths.is_right(Equation(*sides, written.relation)):
            return FollowOn(tuple(sorted({wrong[n][0] for n in names})))
    return None


def _by_what_they_are_made_of(so_far: SoFar, written: Equation) -> FollowOn | None:
    """The lines that gave names untrue formulas or numbers, where a result in numbers is what it comes to by
    the formulas in letters above, each put into the next: I1 = E/Rt, Rt = R1 + Rp and a wrong Rp."""
    if not isinstance(written.left, Symbol) or lone(written.right) is None:
        return None
    wrong, given = so_far.wrong, so_far.circuit.symbols
    for in_letters in (True, False):
        side: Expr = written.left
        lines: set[int] = set()
        for _ in range(DEEPEST):
            table: dict[str, Expr] = {}
            for name in symbols_of(side):
                if name in wrong.formulas and in_letters:
                    line, table[name] = wrong.formulas[name]
                    lines.add(line)
                elif name in wrong.numbers and not in_letters and name != written.left.name:
                    line, (number, sign) = wrong.numbers[name]
                    table[name] = number if sign > 0 else negate(number)
                    lines.add(line)
                elif name in so_far.formulas and name not in given:
                    table[name] = so_far.formulas[name]
            if not table or any(name in symbols_of(made) for name, made in table.items()):
                break
            side = put(side, table)
        if not lines or side == written.left:
            continue
        worked = Equation(side, written.right)
        if so_far.truths.is_right(worked) or (so_far.truths.clash(worked) and _comes_to(so_far, worked)):
            return FollowOn(tuple(sorted(lines)))
    return None


def _comes_to(so_far: SoFar, worked: Equation) -> bool:
    """Whether a formula comes to a number with the bare numbers of the problem, in ohms or in kilohms, though
    its units do not fit: 5/(24 + (9 + 18)/(9·18)) = 0.21."""
    circuit, number = so_far.circuit, lone(worked.right)
    for kilo in (False, True):
        scales = {
            n: thousands(_UNITS.get(circuit.role(n) or Kind.BATTERY, "")) if kilo else 1
            for n in circuit.numbers
        }
        values = {n: value * scales[n] for n, value in circuit.numbers.items()}
        try:
            value = value_of(worked.left, values)
        except (KeyError, ZeroDivisionError):
            return False
        scale = thousands(number.unit) if number is not None and kilo else Fraction(1)
        if number is not None and abs(abs(value) - number.value * scale) <= half_unit(number) * scale:
            return True
    return False


def _by_wrong_values(so_far: SoFar, written: Equation) -> FollowOn | None:
    """The lines that gave names in an untrue claim wrong numbers, where its sides agree for these;
    None where
    they do not."""
    view = so_far.truths.views[-1]
    wrong = so_far.wrong.values()
    names = symbols_of(written)
    lines = tuple(dict.fromkeys(wrong[n][0] for n in names if n in wrong))
    values: dict[str, Fraction] = {}
    for name in names if lines else ():
        if name in wrong:
            number, sign = wrong[name][1]
            values[name] = view.as_rounded.numbers.written(number) * sign
            continue
        true = view.meanings.value(view.meanings.names[name])
        known = None if true is None else true.constant()
        if known is None:
            return None
        values[name] = known
    as_written = {n: view.as_rounded.written.get(n, v) for n, v in values.items() if n not in wrong}
    for taken in (values, {**values, **as_written}) if lines else ():
        try:
            off = view.as_rounded.off_after_slips(written, taken)
        except ZeroDivisionError:
            return None
        if off is not None:
            return FollowOn(tuple(sorted(lines)), off)
    return None
