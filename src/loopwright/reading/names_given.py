"""The verdict on a claim that gives a name of the working's own its meaning."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import (
    ONE,
    Equation,
    Expr,
    Negative,
    Number,
    Quotient,
    Sum,
    Symbol,
    negate,
    numbers_in,
    times,
)
from ..expressions.said import Said
from ..expressions.tidy import tidy
from ..expressions.values import symbols_of
from .emfs_added import ENTRY as EMFS_ADDED
from .emfs_added import batteries_added, open_voltage, said_of
from .new_names import is_across_its_own
from .own_resistances import is_inverse
from .page.naming import resistances_of, strung_together
from .repair.determinant_slips import determinant_slips
from .repair.edits import body_of
from .repair.number_edits import is_misread, written_like
from .so_far import SoFar
from .supposed import factor
from .totals_named import of_the_battery, power_asked, powers_asked, settings_meant
from .truth.combined import is_seen, is_side_by_side
from .truth.determinants import Meant, is_determinant, is_whole
from .truth.meaning import UnknownName
from .truth.odd_number import Odd, with_numbers
from .truth.rounding import is_decimal
from .truth.size import TooLong
from .untrue_claims import untrue
from .verdicts import ClaimKind, Repair, Truth, Verdict
from .wording import lines_named, of_units, unknown
from .working import Claim, WrittenLine

SIZE = 1.0  # how unlikely it is that a number was copied wrongly


def named(so_far: SoFar, line: WrittenLine, claim: Claim, name: str) -> Verdict | None:
    """The verdict on a claim that holds a name without meaning: it may give the name its meaning, else
    it is not decided. None where the name has got its meaning from how its resistors lie, so that the claim
    is judged as any other."""
    written = claim.written
    if name[0] == "G" and (own := f"R{name[1:]}") in so_far.circuit.elements:
        so_far.truths.define(name, Quotient(ONE, Symbol(own)))
        so_far.meaning[name] = Quotient(ONE, Symbol(own))
        return None
    if "(" in name:  # V(a, b) and its like say themselves of what they are: this circuit has no such thing
        return Verdict(line.number, claim, ClaimKind.UNDECIDED, unknown([name]))
    if _drops_never_given(so_far, claim) or _resistances_never_given(so_far, claim):
        return None
    for one, other in ((written.left, written.right), (written.right, written.left)):
        if is_inverse(one, name) and name not in symbols_of(other):
            one, other = Symbol(name), Quotient(ONE, other)
        if one == Symbol(name) and name not in symbols_of(other):
            if is_determinant(name) and (verdict := _determinant(so_far, line, claim, name, other)):
                return verdict
            if _is_of_its_own(so_far, line, name, claim):
                return None
            whole = of_the_battery(so_far, line, name, other) or power_asked(so_far, name, claim)
            if whole is not None:
                so_far.truths.define(name, whole)
                so_far.meaning[name] = whole
                return None
            if added := batteries_added(so_far.circuit, name, other):
                return _of_emfs_added(so_far, line, claim, name, added)
            if name[0] in "Rr" and not is_seen(name) and (apart := lying_apart(so_far, line, claim, other)):
                return apart
            right = factor(so_far, line, name, other)
            if right is not None:
                return _factor(so_far, line, claim, name, right)
            meant, holds = so_far.resistances.said_to_be(line, claim, name, other)
            odd = so_far.resistances.odd_number(line, claim, name, other) if meant is None else None
            if odd is not None and (verdict := _of_odd_number(so_far, line, claim, name, odd)):
                return verdict
            settings = settings_meant(so_far, claim)
            if meant is None and (twice := so_far.resistances.counted_twice(name, other, settings)):
                only: Said = ("There are not so many resistances of ", twice, " in this circuit.")
                so_far.truths.define(name, other)  # it is gone on with
                so_far.meaning[name] = other
                return Verdict(line.number, claim, ClaimKind.UNTRUE, only, cause=line.number)
            so_far.resistances.note_parts(name, other if meant is None else meant)
            if meant is not None and not holds:
                so_far.truths.define(name, meant)
                so_far.meaning[name] = meant
                so_far.resistances.note_size(name)
                entry, why = so_far.resistances.seen_wrongly(line, claim, name, other)
                if not entry and isinstance(meant, Sum) and is_side_by_side(other):
                    entry, why = "false-parallel", "these lie in series, and are taken as side by side"
                return _seen_wrongly(so_far, line, claim, Repair(entry, (why,), claim.written, SIZE), meant)
            if meant is None and _made_of_a_wrong_result(so_far, name, other):
                return None
            wrong = so_far.truths.unlike(name, other)
            if wrong is not None and _is_of_a_resistor(so_far, claim, name):
                so_far.truths.units_said[name] = wrong[0]
                return None
            if wrong is not None:
                return Verdict(line.number, claim, ClaimKind.UNTRUE, of_units(*wrong), cause=line.number)
            exact = other if meant is None or symbols_of(other) else meant
            try:
                so_far.truths.define(name, exact)
            except (UnknownName, TooLong, ZeroDivisionError):
                break
            so_far.meaning[name] = exact
            so_far.resistances.note_size(name)
            said = (Symbol(name), " is a name for ", other, ".")
            return Verdict(line.number, claim, ClaimKind.NAMED, said, Truth.ALWAYS)
    return Verdict(line.number, claim, ClaimKind.UNDECIDED, unknown([name]))


def _drops_never_given(so_far: SoFar, claim: Claim) -> bool:
    """Whether a claim works with voltages that bear the mark of a resistor and are given nowhere, U3 of
    P = U3 I3: they are those across the resistors, and get that meaning."""
    known = so_far.truths.views[-1].meanings.names
    found: list[tuple[str, str]] = []
    for name in symbols_of(claim.written):
        own = f"R{name[1:].lstrip('_').removeprefix('R')}"
        if name[0] in "VUvu" and name not in known and "(" not in name and own in so_far.circuit.elements:
            found.append((name, own))
    if not found or claim.setting:
        return False
    given = _sides_written(so_far)
    found = [(name, own) for name, own in found if Symbol(name) not in given]
    for name, own in found:
        so_far.meaning[name] = _ways_across(own)[-1]
        so_far.truths.define(name, so_far.meaning[name])
    return bool(found)


def _resistances_never_given(so_far: SoFar, claim: Claim) -> bool:
    """Whether a claim works with resistances made one that are given nowhere, R56 of R456 = R4 + R56: they
    are what the resistors come to whose marks they string together, where these lie so in one way."""
    known = so_far.truths.views[-1].meanings.names
    own = resistances_of(so_far.circuit)
    strung = {
        n: strung_together(n, own) for n in symbols_of(claim.written) if n[0] in "Rr" and n not in known
    }
    found = {n: parts for n, parts in strung.items() if len(parts) > 1}
    given = _sides_written(so_far) if found else set()
    told = False
    for name, parts in found.items():
        ways = so_far.resistances.combined.as_they_lie(frozenset(parts), claim.setting)
        if Symbol(name) not in given and len(ways) == 1:
            so_far.truths.define(name, ways[0])
            so_far.meaning[name] = ways[0]
            so_far.resistances.note_parts(name, ways[0])
            told = True
    return told


def _sides_written(so_far: SoFar) -> set[Expr]:
    """All that stands alone on a side of a claim."""
    claims = [c.written for line in so_far.working.lines for c in line.claims]
    return {side for written in claims for side in (written.left, written.right)}


def lying_apart(so_far: SoFar, line: WrittenLine, claim: Claim, given: Expr) -> Verdict | None:
    """The verdict on what is put together of resistors that are not in series, or not side by side, although
    the words before it say so; None where they are."""
    found = so_far.resistances.lie_apart(line, claim, given, settings_meant(so_far, claim))
    if found is None:
        return None
    slip = Repair(found[0], (found[1],), claim.written, SIZE)
    return Verdict(line.number, claim, ClaimKind.UNTRUE, ("Not true.",), repairs=(slip,), cause=line.number)


def _of_odd_number(so_far: SoFar, line: WrittenLine, claim: Claim, name: str, odd: Odd) -> Verdict | None:
    """The verdict on a new resistance in which a number stands that is from nowhere; None where it is right
    all the same."""
    nowhere: Said = (odd.number, " is no resistance of this circuit, and no line above comes to it")
    if odd.meant is None or odd.instead is None:
        return Verdict(line.number, claim, ClaimKind.UNTRUE, (*nowhere, "."), cause=line.number)
    so_far.truths.define(name, odd.meant)
    so_far.meaning[name] = odd.meant
    so_far.resistances.note_parts(name, odd.meant)
    so_far.resistances.note_size(name)
    worth = so_far.truths.value_of(claim.written)
    if worth is None or worth.truth is not Truth.NO:
        return None
    verdict = untrue(so_far, line, claim, worth)
    if verdict.carried:
        return verdict
    right = written_like(odd.number, odd.instead)
    more = odd.instead - odd.number.value
    put = {odd.number: right, **{n: written_like(n, n.value + more) for n in odd.totals}}
    left, right_side = (with_numbers(side, put) for side in (claim.written.left, claim.written.right))
    said: Said = (*nowhere, ": ", right, " belongs in its place")
    entry = "digits" if is_misread(odd.number.value, odd.instead) else "copied-wrong"
    return replace(verdict, repairs=(Repair(entry, said, Equation(left, right_side), SIZE),))


def _seen_wrongly(
    so_far: SoFar, line: WrittenLine, claim: Claim, slip: Repair, meant: Expr
) -> Verdict | None:
    """The verdict on a seen resistance that is what something else sees; None where it is no such slip."""
    worth = so_far.truths.value_of(claim.written) if slip.entry else None
    if worth is None or worth.truth is not Truth.NO:
        return None
    verdict = untrue(so_far, line, claim, worth)
    mended = Equation(claim.written.left, meant)
    return verdict if verdict.carried else replace(verdict, repairs=(replace(slip, mended=mended),))


def _of_emfs_added(
    so_far: SoFar, line: WrittenLine, claim: Claim, name: str, batteries: tuple[str, ...]
) -> Verdict:
    """The verdict on emfs that are added although the batteries lie side by side. What is made of the sum
    below is held to what the two come to for the rest of the circuit."""
    meant = open_voltage(so_far.circuit)
    if meant is not None:
        so_far.truths.define(name, meant)
        so_far.meaning[name] = meant
    value = None if meant is None else so_far.truths.views[-1].meanings.names[name].constant()
    right: Expr = claim.written.right if value is None else written_like(Number(value, "V"), value)
    repair = Repair(EMFS_ADDED, said_of(batteries), Equation(Symbol(name), right), SIZE)
    return Verdict(line.number, claim, ClaimKind.UNTRUE, ("Not true.",), repairs=(repair,), cause=line.number)


def _is_of_its_own(so_far: SoFar, line: WrittenLine, name: str, claim: Claim) -> bool:
    """Whether a voltage or a power that the working gives numbers alone, a voltage that it gives its resistor
    times a current, or a power that is worked from the resistor itself, bears the mark of a resistor, V3 or
    P3 of R3: then it is that of the resistor, a voltage in the sense in which it is right, or is with what is
    wrong above, or that of another element with that mark of which it is right, and is judged by that. A
    bare P is the one power asked for, or that of another element of which it is right."""
    mark = name[1:].lstrip("_").removeprefix("R")
    own = f"R{mark}" if mark else _held_to_a_bare_power(so_far.circuit, name, claim)
    if (
        name[0] not in "VUvuP"
        or own not in so_far.circuit.elements
        or _is_elsewhere(so_far, claim, name, own)
    ):
        return False
    given = claim.written.right
    if mark in so_far.circuit.named_points and isinstance(given, Number) and not given.value:
        return False  # the point against which potentials are counted
    claims = [each for one in so_far.working.lines for each in one.claims]
    uses = [c.written for c in claims if name in symbols_of(c.written)]
    of_it = name[0] == "P" and _speaks_of(so_far, given, own)  # P2 = R2 I2²
    across = is_across_its_own(so_far.circuit, name, given, claims)
    others = any(w.left != Symbol(name) or (symbols_of(w.right) and not of_it) for w in uses)
    if others and not across:
        return False
    ways = _meant_of(so_far, own, mark) if name[0] == "P" else _ways_across(own)
    likely = (way for way in ways if name[0] != "P" and _has_its_sign(so_far, way, given))
    for meant, gone_on in (*((way, False) for way in ways), *((way, True) for way in (*ways, *likely))):
        try:
            so_far.truths.define(name, meant)
            found = so_far.truths.value_of(claim.written)
        except (UnknownName, TooLong, ZeroDivisionError):
            return False
        so_far.meaning[name] = meant
        if found is not None and found.truth is not Truth.NO:
            break
        put_in = so_far.wrong.without(claim.written) if gone_on and name[0] != "P" else ()
        if any(so_far.truths.is_right(put) for put, _ in put_in):
            break
    return True


def _speaks_of(so_far: SoFar, given: Expr, own: str) -> bool:
    """Whether a power is worked from its resistor, the voltage across it or the current through it."""
    held = symbols_of(given)
    across = any(so_far.meaning.get(name) in _ways_across(own) for name in held)
    return own in held or across or so_far.circuit.branch_of(own).name in held


def _held_to_a_bare_power(circuit: Circuit, name: str, claim: Claim) -> str:
    """The resistor of which the only power is asked for, where a bare P is given; not as a sum, which may be
    of several. Else what bears no mark, `R`."""
    asked = [t.names[0] for t in powers_asked(circuit) if len(t.names) == 1 and not t.without]
    asked = [name for name in asked if name in circuit.elements]
    whole = name != "P" or len(asked) != 1 or isinstance(claim.written.right, Sum)
    return "R" if whole or circuit.elements[asked[0]].kind is not Kind.RESISTOR else asked[0]


def _is_elsewhere(so_far: SoFar, claim: Claim, name: str, own: str) -> bool:
    """Whether a voltage or a power is spoken of in a changed circuit: not the power of a resistor that is out
    there, nor what is of one whose current in the circuit as drawn is given, since then all is back."""
    if not claim.setting or so_far.circuit.branch_of(own).name in so_far.said_in:
        return False
    return name[0] != "P" or own not in claim.setting.out


def _has_its_sign(so_far: SoFar, meant: Expr, given: Expr) -> bool:
    """Whether what a name may stand for and what is written for it are both above zero, or both below."""
    meanings = so_far.truths.views[-1].meanings
    try:
        so_far.truths.learn(symbols_of(meant))
        values = [meanings.value(meanings.ratio(each)) for each in (meant, given)]
    except (UnknownName, TooLong, ZeroDivisionError):
        return False
    true, written = (value.constant() if value is not None else None for value in values)
    return true is not None and written is not None and true * written > 0


def _is_of_a_resistor(so_far: SoFar, claim: Claim, name: str) -> bool:
    """Whether a voltage or a power that is set equal to another kind of quantity bears the mark of a
    resistor: then it is that of the resistor, and is judged by it."""
    own = f"R{name[1:].lstrip('_').removeprefix('R')}"
    elsewhere = name[0] != "P" and bool(claim.setting)
    if name[0] not in "VUvuP" or elsewhere or own not in so_far.circuit.elements:
        return False
    meant = Symbol(f"P({own})") if name[0] == "P" else _ways_across(own)[-1]
    try:
        so_far.truths.define(name, meant)
    except (UnknownName, TooLong, ZeroDivisionError):
        return False
    so_far.meaning[name] = meant
    return True


def _ways_across(own: str) -> tuple[Expr, ...]:
    return (Negative(Symbol(f"V({own})")), Symbol(f"V({own})"))


def _meant_of(so_far: SoFar, own: str, mark: str) -> tuple[Expr, ...]:
    """What a power with a mark may be of: every element that bears it, and the branch of the resistor; the
    resistor last, since that is meant where none of them makes it right."""
    circuit = so_far.circuit
    others = [n for n in circuit.elements if (n[1:] == mark or not mark) and n != own]
    branch = next(b for b in circuit.branches if any(p.element == own for p in b.passes))
    heats = [p.element for p in branch.passes if circuit.elements[p.element].kind is Kind.RESISTOR]
    whole = Sum(tuple(Symbol(f"P({n})") for n in heats))
    first = () if mark else (own,)
    named = (*(Symbol(f"P({n})") for n in (*first, *others)), *((whole,) if len(heats) > 1 else ()))
    return (*named, Symbol(f"P({own})"))


def _factor(so_far: SoFar, line: WrittenLine, claim: Claim, name: str, right: Fraction) -> Verdict | None:
    """The verdict on a factor of scaling that gets its name; None where it is not that, so that the claim is
    judged as any other."""
    so_far.truths.define(name, Number(right))
    so_far.meaning[name] = Number(right)
    so_far.factors.add(name)
    found = so_far.truths.value_of(claim.written)
    if found is None or found.truth is Truth.NO:
        return None
    said: Said = (Symbol(name), " is the factor between what was supposed and what is there.")
    return Verdict(line.number, claim, ClaimKind.NAMED, said, Truth.ALWAYS)


def _made_of_a_wrong_result(so_far: SoFar, name: str, given: Expr) -> bool:
    """Whether a voltage or a resistance with a name of the working's own is worked from an untrue result
    above; then it gets the meaning that it has with the name of that in the place of its number, and is
    judged by it."""
    if name[0] not in "UVuvRr" or symbols_of(given):
        return False
    for put, _ in so_far.wrong.without(Equation(Symbol(name), given)):
        meant = _with_names(so_far, put.right)
        try:
            so_far.truths.define(name, meant)
        except (UnknownName, TooLong, ZeroDivisionError):
            continue
        so_far.meaning[name] = meant
        return True
    return False


def _with_names(so_far: SoFar, given: Expr) -> Expr:
    """What a name is worked from with the names of combined resistances and of other results for their
    rounded numbers: these stand for what they were rounded from."""
    rounded, named = so_far.truths.views[-1].as_rounded, so_far.resistances.of_size
    found: dict[Number, Expr] = {}
    for number in filter(is_decimal, numbers_in(given)):
        size = rounded.numbers.written(number)
        names = [*named.get(size, ())] or [n for n, value in rounded.written.items() if value == size]
        found.update({number: Symbol(names[0])} if len(names) == 1 else {})
    return with_numbers(given, found)


def _determinant(so_far: SoFar, line: WrittenLine, claim: Claim, name: str, given: Expr) -> Verdict | None:
    """The verdict on a determinant that gets its name; None where no set of equations stands above
    that it could be of."""
    meanings = so_far.truths.views[-1].meanings
    try:
        value = meanings.ratio(given)
    except (UnknownName, TooLong, ZeroDivisionError):
        return None
    found = so_far.determinants.meant(name, value, given)
    if found is None:
        return None
    of = f"the determinant of {lines_named(tuple(dict.fromkeys(found.lines)))}"
    whose = of if is_whole(name) else f"{of} with the constants in a column"
    so_far.truths.name_worth(name, found.worth)
    if value == found.worth.at({}, meanings.field):
        so_far.truths.define(name, given)
        so_far.meaning[name] = given
        said: Said = (Symbol(name), f" is {whose}.")
        return Verdict(line.number, claim, ClaimKind.NAMED, said, Truth.ALWAYS, found.lines)
    worth = so_far.truths.value_of(claim.written)
    if worth is None or worth.truth is not Truth.NO:
        return None
    verdict = untrue(so_far, line, claim, worth)
    so_far.meaning[name] = tidy(found.worth)
    if not verdict.carried:
        mends = _mends(so_far, name, given, found)
        verdict = replace(verdict, repairs=mends or verdict.repairs)
    return replace(verdict, said=(*verdict.said, f" It is not {whose}."))


def _mends(so_far: SoFar, name: str, given: Expr, found: Meant) -> tuple[Repair, ...]:
    """How a determinant came to be written wrongly."""
    meanings = so_far.truths.views[-1].meanings
    worth = found.worth.at({}, meanings.field)

    def right(expr: Expr) -> bool:
        try:
            return meanings.ratio(expr) == worth
        except (UnknownName, TooLong, ZeroDivisionError):
            return False

    entries = [x for one in found.entries if (x := one.constant()) is not None]
    products = _left_out(so_far, given, [_product(sign, factors) for sign, factors in found.products])
    return determinant_slips(name, given, right, found.columns, entries, products)


def _left_out(so_far: SoFar, given: Expr, products: Sequence[Expr]) -> list[Expr]:
    """The products of a determinant that are not all there in what is written, with either sign."""
    meanings = so_far.truths.views[-1].meanings
    terms = given.terms if isinstance(given, Sum) else (given,)
    there = [meanings.ratio(body_of(term)) for term in terms]
    sizes = [meanings.ratio(body_of(each)) for each in products]

    def count(size: Ratio, among: Sequence[Ratio]) -> int:
        return sum(each in (size, -size) for each in among)

    return [
        each for each, size in zip(products, sizes, strict=True) if count(size, there) < count(size, sizes)
    ]


def _product(sign: int, factors: Sequence[Ratio]) -> Expr:
    """A product of a determinant as it is written out, its sign before all of it."""
    terms = [tidy(factor) for factor in factors]
    turned = sum(isinstance(term, Negative) for term in terms) % 2
    body = times(*(body_of(term) for term in terms))
    return negate(body) if (sign < 0) != bool(turned) else body
