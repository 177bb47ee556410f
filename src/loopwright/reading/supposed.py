"""Workings that suppose a current or a voltage, work back to what the source would have to give, and scale.

While the supposition holds, names mean what they are in the circuit with a source of that size; then all is
multiplied by the ratio of the source to the one needed. Here: which suppositions are none, what a source
would have to give, the factor, and how a result is scaled wrongly.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from ..algebra.linear import Linear
from ..circuit.changed import sources_in
from ..circuit.circuit import Circuit
from ..expressions.nodes import Equation, Expr, Negative, Number, Product, Quotient, Symbol, parts_of
from ..expressions.said import Said
from ..expressions.tokens import scale_of
from ..expressions.values import symbols_of
from ..quantities import rounded, simple
from .quantities import Origin, is_of_source
from .so_far import SoFar
from .truth.changed import is_trial, may_be_supposed, part, points_tried, times_as_much
from .truth.implied import Implied
from .truth.meaning import level
from .truth.rounding import figures, lone
from .truth.truth import View
from .verdicts import ClaimKind, Repair
from .working import AS_DRAWN, CircuitChange, Working, WrittenLine

FIGURES = 4
SIZE = 1.0  # how unlikely such a slip is
NEAR = Fraction(1, 500)  # relative: how far a number in a working may be from what it stands for
_QUANTITY = ("I", "i", "V", "v", "U", "u", "φ", "R", "r", "P")
_CALLED_SO = re.compile(r"\bscal\w+|\bfactor\b|\bratio\b|\bmultipl\w+", re.IGNORECASE)


def settled(working: Working, circuit: Circuit) -> Working:
    """The working without suppositions that are none: of what is so in truth, of what a line above has worked
    out, or of what cannot be told."""
    none: dict[CircuitChange, bool] = {}
    results: set[str] = set()
    lines: list[WrittenLine] = []
    for line in working.lines:
        setting = line.setting
        if setting.taken and setting not in none:
            again = any(_gives(c.written, setting) and _name(c.written) in results for c in line.claims)
            found = setting.taken in results or again
            none[setting] = found or not may_be_supposed(circuit, setting)
        lines.append(_as_drawn(line) if none.get(setting) else line)
        tried = setting.taken and not none[setting] and len(sources_in(circuit)) > 1
        for claim in () if tried else line.claims:
            if isinstance(claim.written.left, Symbol) and lone(claim.written.right) is not None:
                results.add(claim.written.left.name)
    first = {line.setting: i for i, line in reversed(list(enumerate(lines))) if line.claims}
    for setting, at in first.items():
        if setting.taken:
            until = "it is scaled" if len(sources_in(circuit)) == 1 else "the next trial or the result"
            note = f"Until {until}, a name with ′ is of the circuit {setting.words}"
            lines[at] = replace(lines[at], notes=(*lines[at].notes, note))
    return replace(working, lines=tuple(lines))


def _as_drawn(line: WrittenLine) -> WrittenLine:
    claims = tuple(replace(claim, setting=AS_DRAWN) for claim in line.claims)
    return replace(line, claims=claims, setting=AS_DRAWN)


def _name(written: Equation) -> str:
    return written.left.name if isinstance(written.left, Symbol) else ""


def _gives(written: Equation, setting: CircuitChange) -> bool:
    number = lone(written.right)
    return number is not None and number.value == setting.worth


def needed(origins: Mapping[str, Origin], circuit: Circuit) -> dict[str, tuple[str, CircuitChange]]:
    """The names that stand for what the source would have to give, each with the source and the
    supposition."""
    return {n: (o.base, o.setting) for n, o in origins.items() if is_of_source(circuit, o)}


def supposition(so_far: SoFar, line: WrittenLine) -> tuple[CircuitChange, Fraction] | None:
    """The last supposition above a line that no longer stands in one, and by what is to be multiplied what
    was worked out under it."""
    if line.setting.taken:
        return None
    above = (o.setting for o in reversed(so_far.working.lines) if o.number < line.number and o.setting.taken)
    setting = next(above, None)
    times = None if setting is None else times_as_much(so_far.circuit, setting)
    return None if setting is None or not times else (setting, 1 / times)


def factor(so_far: SoFar, line: WrittenLine, name: str, given: Expr) -> Fraction | None:
    """What a new name should be that stands for the factor of scaling, or for that by which everything is
    divided; None where it stands for neither."""
    found = supposition(so_far, line)
    if found is None or name.startswith(_QUANTITY):
        return None
    _, right = found
    by_ratio = isinstance(given, Quotient) and (lone(given.above) or lone(given.below))
    if not by_ratio and not _CALLED_SO.search(line.text):
        return None
    view = so_far.truths.views[-1]
    value = view.meanings.ratio(given).constant()
    if value is None or abs(value * right - 1) > NEAR:
        return right
    written = [c.written for one in so_far.working.lines for c in one.claims if one.number >= line.number]
    divides = any(_divides(side, name, value) for w in written for side in (w.left, w.right))
    return 1 / right if divides else right


def _divides(expr: Expr, name: str, value: Fraction) -> bool:
    """Whether something is divided by a factor, by its name or by its number."""
    if isinstance(expr, Quotient):
        number = lone(expr.below)
        near = number is not None and not number.unit and abs(number.value - value) <= NEAR * value
        if expr.below == Symbol(name) or near:
            return True
    return any(_divides(part, name, value) for part in parts_of(expr))


def scaled_wrongly(so_far: SoFar, line: WrittenLine, written: Equation) -> tuple[Repair, ...]:
    """How an untrue result came about where it is what was worked out under a supposition, left as it is or
    multiplied by the ratio the wrong way round; nothing where it did not."""
    found = supposition(so_far, line)
    view = so_far.truths.views[-1]
    if found is None or not isinstance(written.left, Symbol):
        return ()
    setting, right = found
    names = symbols_of(written)
    values = {n: view.meanings.value(view.meanings.names[n]) for n in names if n in view.meanings.names}
    numbers = {n: c for n, r in values.items() if r is not None and (c := r.constant()) is not None}
    true = numbers.get(written.left.name)
    if not true or len(numbers) < len(names):
        return ()
    try:
        given = view.as_rounded.number(written.right, numbers)
    except ZeroDivisionError:
        return ()
    last = lone(written.right)
    bears = abs(given) * NEAR if last is None else view.as_rounded.numbers.half(last)
    unit = so_far.truths.unit(written.left.name)
    unit = {"A": "mA"}.get(unit, unit) if view.meanings.thousands else unit
    shown, by = _amount(true / right, unit), _ratio(so_far.circuit, right)
    is_factor = written.left.name in so_far.factors
    mended = Equation(written.left, by if is_factor else Product((shown, by)))
    if abs(given - true / right) <= bears and not is_factor:
        told: Said = (shown, f" is what it is {setting.words}, which is still to be multiplied by ", by)
        return (Repair("factor-missing", told, mended, SIZE),)
    if abs(given - true / right / right) <= max(bears, abs(given) * NEAR):
        told = (f"what was found {setting.words} is to be multiplied by ", by, ", not divided by it")
        return (Repair("fraction-inverted", told, mended, SIZE),)
    return ()


def _amount(value: Fraction, unit: str) -> Expr:
    """A value in the unit that bare numbers are in."""
    bare = simple(rounded(abs(value), "", FIGURES).value)
    number = Number(Fraction(bare) * (scale_of(unit) if unit else 1), unit, bare)
    return Negative(number) if value < 0 else number


def _ratio(circuit: Circuit, right: Fraction) -> Expr:
    """The source over what it would have to give."""
    (source,) = sources_in(circuit)
    worth = circuit.value(source).value(circuit.numbers)
    return Quotient(_amount(worth, ""), _amount(worth / right, ""))


def gone_on_with(so_far: SoFar, line: WrittenLine, written: Equation) -> tuple[int, ...]:
    """The line that gave the factor of scaling a wrong number, where an untrue result is what was worked out
    under the supposition, multiplied by that; none where it is not."""
    found = supposition(so_far, line)
    view = so_far.truths.views[-1]
    last = lone(written.right)
    if found is None or last is None or not isinstance(written.left, Symbol):
        return ()
    value = view.meanings.value(view.meanings.names[written.left.name])
    true = None if value is None else value.constant()
    wrong = so_far.wrong.values()
    factors = {n: wrong[n] for n in so_far.factors if n in wrong}
    for at, (number, sign) in factors.values() if true else ():
        there = (true or 0) / found[1] * number.value * sign
        near = view.as_rounded.numbers.half(last) + abs(there) * NEAR
        if abs(view.as_rounded.number(written.right, {}) - there) <= near:
            return (at,)
    return ()


def by_its_share(so_far: SoFar, written: Equation) -> tuple[int, ...]:
    """The line above with a wrong result of which an untrue one has its true share: with one source, every
    current and voltage is in proportion to each other one; none where it has not."""
    last = lone(written.right)
    view = so_far.truths.views[-1]
    if len(sources_in(so_far.circuit)) != 1 or last is None or not isinstance(written.left, Symbol):
        return ()
    own, unit = written.left.name, so_far.truths.unit(written.left.name)
    if own not in so_far.truths.arrows.names:
        return ()
    bears = view.as_rounded.numbers.half(last) if figures(last) > 1 else 0
    given = view.as_rounded.number(written.right, {})
    for name, (line, (number, sign)) in reversed(so_far.wrong.values().items()):
        if name == own or name not in so_far.truths.arrows.names or so_far.truths.unit(name) != unit:
            continue
        true = [view.meanings.value(view.meanings.names[n]) for n in (own, name)]
        here, there = (r.constant() if r is not None else None for r in true)
        if here and there:
            share = view.as_rounded.numbers.written(number) * sign * here / there
            if abs(given - share) <= bears:
                return (line,)
    return ()


def by_trials(so_far: SoFar, line: WrittenLine, written: Equation) -> tuple[int, ...]:
    """The untrue lines in the trials above an untrue voltage where it lies on the straight line through what
    the last two trials leave over at the junction as they are written; none where it does not."""
    last = lone(written.right)
    view = so_far.truths.views[-1]
    settings = [x.setting for x in so_far.working.lines if x.number < line.number]
    trials = [s for s in dict.fromkeys(reversed(settings)) if is_trial(so_far.circuit, s)][:2]
    if line.setting.taken or len(trials) < 2:
        return ()
    found = [_left_over(so_far, view, setting) for setting in trials]
    untrue = {v.line for v in so_far.verdicts if v.kind is ClaimKind.UNTRUE}
    if None in found or len({s.taken for s in trials}) > 1:
        return ()
    (one, lines), (other, more) = (f for f in found if f is not None)
    if one == other or not untrue & {*lines, *more}:
        return ()
    root = trials[0].worth + (trials[1].worth - trials[0].worth) * one / (one - other)
    try:
        given = view.as_rounded.number(written.right, {})
    except (ZeroDivisionError, KeyError):
        return ()
    bears = abs(root) * NEAR + (view.as_rounded.numbers.half(last) if last is not None else 0)
    is_it = isinstance(written.left, Symbol) and so_far.truths.unit(written.left.name) == "V"
    return tuple(sorted(untrue & {*lines, *more})) if is_it and abs(given - root) <= bears else ()


def _left_over(so_far: SoFar, view: View, setting: CircuitChange) -> tuple[Fraction, tuple[int, ...]] | None:
    """What the currents of a trial leave over at the point tried, as they are written, and their lines; None
    where one of them is not told."""
    point = points_tried(setting)[0]
    told: dict[str, tuple[Fraction, int]] = {}
    start: Expr | None = None
    for verdict in so_far.verdicts:
        left, right = verdict.claim.written.left, verdict.claim.written.right
        start = left if isinstance(left, Symbol) else start
        number = lone(right)
        made = so_far.truths.arrows.names.get(start.name, {}) if isinstance(start, Symbol) else {}
        if number is not None and len(made) == 1:
            ((unknown, sign),) = made.items()
            told[unknown] = view.as_rounded.number(right, {}) * sign, verdict.line
    total = Fraction(0)
    lines: list[int] = []
    for b in so_far.circuit.branches:
        way = (b.end == point) - (b.start == point)
        found = told.get(part(b.name, setting))
        if way and found is None:
            return None
        if way and found is not None:
            total, lines = total + way * found[0], [*lines, found[1]]
    return total, tuple(lines)


def supposed_row(view: View, setting: CircuitChange) -> Implied | None:
    """That the quantity supposed is what it is supposed to be; None where it is not spoken of."""
    names = setting.taken.removeprefix("V(").removesuffix(")").split(", ")
    if setting not in view.meanings.changed:
        return None
    one = view.meanings.symbols.one
    unknowns = [setting.taken] if len(names) == 1 else [level(n) for n in names]
    parts = dict(zip([part(n, setting) for n in unknowns], (one, -one), strict=False))
    return Implied(view.rows.row(0, Linear.of(parts, one * -setting.worth)))


def scaled_rows(view: View) -> tuple[Implied, ...]:
    """That every current and potential is what it is under a supposition, multiplied by one factor."""
    meanings, found = view.meanings, []
    for setting in meanings.changed:
        times = times_as_much(meanings.circuit, setting)
        for name, (plain, home) in meanings.home.items() if times else ():
            if home == setting and times:
                one = meanings.symbols.one
                parts = {plain: one * times, name: -one}
                found.append(Implied(view.rows.row(0, Linear.of(parts, meanings.symbols.zero))))
    return tuple(found)
