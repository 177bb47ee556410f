"""Finishes a working from where it stands, in its own names, by its own method as far as that goes.

What is made here is judged by `verify` before it is given back.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

from ..algebra.ratios import Ratio
from ..circuit.in_time import moves
from ..circuit.targets import Asked, targets
from ..derive.asked import asked_steps
from ..derive.search import reason_of
from ..derive.steps import Derivation, Move
from ..errors import BrokenPromise
from ..expressions.amounts import shortened
from ..expressions.nodes import Equation, Expr, Symbol, negate, put_in
from ..expressions.said import Said, counted, in_a_row
from ..expressions.tidy import tidy
from ..expressions.tokens import NAME, canonical_name
from ..expressions.values import symbols_of
from ..laws.equations import element_equations, loop_equation
from ..reading.reading import Reading
from ..reading.truth.size import TooLong
from ..solve.asked import value_of
from ..solve.exact import Solution
from .by_determinants import solve_by_determinants, speaks_of_determinants
from .by_equivalent import by_equivalent, speaks_of_equivalent
from .by_norton import by_norton, speaks_of_norton
from .by_ohm import OhmTeller, all_laws
from .by_reduction import by_reduction, speaks_of_reduction
from .by_scaling import by_scaling, speaks_of_scaling
from .finished import Fact, FactKind, FinishedLine, FinishedWorking, Lacking
from .going_on import Rest, begin, one_by_one, solve_on
from .in_time import finish_in_time
from .lines import in_line_numbers, line_of, opened, unit_after
from .parts import added, by_parts, speaks_of_parts
from .stages import Stage, stage
from .unknowns import (
    Ground,
    in_branch_currents,
    in_loop_currents,
    in_potentials,
    loop_names,
    plain_loops,
)
from .verify import verify_rest
from .whereabouts import Whereabouts, left_out, where_it_stands

BY_OHM = (
    (speaks_of_scaling, by_scaling, "scaling"),
    (speaks_of_equivalent, by_equivalent, "an equivalent source"),
    (speaks_of_norton, by_norton, "an equivalent source"),
    (speaks_of_reduction, by_reduction, "series and parallel"),
)


def finish(reading: Reading) -> FinishedWorking:
    """The rest of a working that was read, up to all that the problem asks.

    Only lines judged true count; the others are named with why. The lines are in the working's own names,
    arrows and units, in numbers where it stands in numbers. Raises FaultyMaterial when the circuit has no
    unique answer; BrokenPromise if a line fails verification.
    """
    if moves(reading.circuit):
        return finish_in_time(reading, left_out(reading))
    w = where_it_stands(reading)
    try:
        lines, ground, turned = _verified_rest(w)
    except TooLong as trouble:
        if w.in_numbers or not reading.circuit.has_all_numbers:
            raise BrokenPromise(f"the rest cannot be verified: {trouble}") from trouble
        w = where_it_stands(reading, numbers_only=True)
        lines, ground, turned = _verified_rest(w)
    spelled, commas = _spelled(w, lines), reading.working.decimal_comma
    lines = tuple(replace(line, spelled=spelled, decimal_comma=commas) for line in lines)
    return FinishedWorking(
        reading,
        ground.method,
        lines,
        _missing(lines),
        w.left_out,
        turned,
        _check(w, lines),
        directions=_directions(w) if lines else (),
    )


def _spelled(w: Whereabouts, lines: Sequence[FinishedLine]) -> tuple[tuple[str, str], ...]:
    """How the working writes the names in the rest, where that is not how they are shown: V_a for Va."""
    held = {name for line in lines for side in line.sides for name in symbols_of(side)}
    found: dict[str, str] = {}
    for row in w.reading.working.lines:
        for word in NAME.findall(row.text) if "_" in row.text else ():
            shown = canonical_name(word)
            if shown in held and shown != word:
                found.setdefault(shown, word)
    return tuple(sorted(found.items()))


def _rest(w: Whereabouts) -> tuple[tuple[FinishedLine, ...], Ground, str]:
    """The lines that are left, by which method, and why not by the working's own."""
    if speaks_of_parts(w):
        try:
            return _by_parts(w)
        except LookupError:
            pass
    for speaks, told, method in BY_OHM:
        try:
            if speaks(w):
                return _by_ohm(w, told, method)
        except LookupError:
            continue
    grounds = _grounds(w)
    if speaks_of_determinants(w):
        try:
            lines = _told(w, grounds[0], by_determinants=True)
            return lines, replace(grounds[0], method="determinants"), ""
        except LookupError:
            pass
    for ground in grounds:
        try:
            return _told(w, ground), ground, _turned(w, ground)
        except LookupError:
            continue
    raise BrokenPromise("the laws do not fix the currents")


def _verified_rest(w: Whereabouts) -> tuple[tuple[FinishedLine, ...], Ground, str]:
    """The rest as below, with every line judged. Raises TooLong where one is too long for that."""
    lines, ground, turned = _rest(w)
    verify_rest(w.reading, w.meanings, lines, ground.new)
    return lines, ground, turned


def _by_parts(w: Whereabouts) -> tuple[tuple[FinishedLine, ...], Ground, str]:
    """The rest by superposition."""
    before, rest, ground = by_parts(w)
    _renamed(w, rest, ground.own)
    lines = [*before, *added(w, before, rest, ground)]
    lines += _other_questions(w, ground.own, rest, w.last + 1 + len(lines))
    return _needed(lines, _goals(w, ground.own), w.last), ground, ""


def _by_ohm(
    w: Whereabouts, told: Callable[[Whereabouts, OhmTeller], None], method: str
) -> tuple[tuple[FinishedLine, ...], Ground, str]:
    """The rest by resistances made one and Ohm's law, as `told` writes it."""
    own = stage(w)
    teller = OhmTeller(w, own)
    told(w, teller)
    first = w.last + 1 + len(teller.lines)
    rest = begin(own.circuit, own.circuit.currents, own.values, w.taken, first, teller.known)
    ground = replace(in_branch_currents(own), method=method, new=teller.new)
    if not all(name in rest.teller.known for name in _asked_currents(w, own)):
        one_by_one(rest, ground.laws)
        solve_on(rest, [x for x in w.lines if set(x.linear.coefficients) <= set(ground.unknown)], ground.laws)
    _renamed(w, rest, own)
    lines = [*teller.lines, *(line_of(w, ground, rest, step) for step in rest.teller.steps)]
    others = _other_questions(w, own, rest, w.last + 1 + len(lines))
    lines += [replace(line, facts=(*line.facts, *all_laws())) for line in others]
    kept = _needed(lines, _goals(w, own), w.last)
    held = {n for line in kept for side in line.sides for n in symbols_of(side)}
    return kept, replace(ground, new={n: made for n, made in teller.new.items() if n in held}), ""


def _turned(w: Whereabouts, ground: Ground) -> str:
    """Why the rest is not by the method that the working has begun, in a sentence; empty where it is."""
    settings = {line.setting for line in w.reading.working.lines if line.setting}
    method = ""
    if speaks_of_determinants(w):
        method = "determinants"
    elif any(s.taken for s in settings):
        method = "scaling"
    elif settings or any(w.names_in(s) for s in w.meanings.changed):
        method = "an equivalent source"
    elif any(name[:1] in "Rr" for name in w.given_names):
        method = "series and parallel"
    elif _speaks_of_potentials(w) and ground.method != "node potentials":
        method = "node potentials"
    if not method:
        return ""
    return f"This cannot be gone on with by {method} here; the rest is by {ground.method}, in the same names."


def _grounds(w: Whereabouts) -> list[Ground]:
    """What the working can be gone on in, its own way first."""
    found: list[Ground] = []
    loops = in_loop_currents(w)
    if loops is not None:
        found.append(loops)
    elif _speaks_of_potentials(w):
        levels = in_potentials(w)
        if levels is not None:
            found.append(levels)
    return [*found, in_branch_currents(stage(w))]


def _speaks_of_potentials(w: Whereabouts) -> bool:
    """Whether what its equations are solved for are potentials."""
    levels = {n for n, made in w.quantities.items() if all(k.startswith("φ ") for k in made)}
    held = [set(line.linear.coefficients) for line in w.lines]
    if any(names <= levels for names in held):
        return True
    return bool(levels) and not any(names.isdisjoint(levels) for names in held) and not w.given_names


# -- telling the rest ------------------------------------------------------------------------------


def _told(w: Whereabouts, ground: Ground, by_determinants: bool = False) -> tuple[FinishedLine, ...]:
    """The rest in the unknowns of one method, as far as what is asked needs it; solved by determinants, or
    by the short way. Raises LookupError where it cannot be gone on with so."""
    own = ground.own
    rest = begin(own.circuit, ground.unknown, ground.values, w.taken, w.last + 1, w.known)
    wanted = _asked_currents(w, own)
    if not all(name in w.known for name in wanted):
        inside = [x for x in w.lines if set(x.linear.coefficients) <= set(ground.unknown)]
        if not ground.currents:
            one_by_one(rest, ground.laws)
        if by_determinants:
            solve_by_determinants(w, rest, ground)
        else:
            solve_on(rest, inside, ground.laws)
        _branch_currents(w, rest, ground)
    _renamed(w, rest, own)
    lines = [line_of(w, ground, rest, step) for step in rest.teller.steps]
    lines += _other_questions(w, own, rest, w.last + 1 + len(lines))
    kept = _needed(lines, _goals(w, own), w.last)
    changed = any(line.setting for line in w.reading.working.lines[-1:])
    back = "In the actual circuit:" if changed and not own.setting else ""
    heading = " ".join(x for x in (back, ground.heading) if x)
    if kept and heading:
        return (replace(kept[0], heading=heading), *kept[1:])
    return kept


def _goals(w: Whereabouts, own: Stage) -> set[Symbol]:
    """What the rest is written for: all that is asked, currents by the names that they have here."""
    asked = targets(w.reading.circuit)
    return {Symbol(own.called[t.names[0]][0] if t.kind is Asked.CURRENT else t.as_text()) for t in asked} | {
        Symbol(t.as_text()) for t in asked
    }


def _asked_currents(w: Whereabouts, own: Stage) -> tuple[str, ...]:
    """The currents asked, and all of them where something else is asked that may be made of any, by the
    names that they have here."""
    asked = targets(w.reading.circuit)
    plain = [t.names[0] for t in asked if t.kind is Asked.CURRENT]
    others = [t for t in asked if t.kind is not Asked.CURRENT and t.as_text() not in w.known]
    if others:
        plain = list(w.reading.circuit.currents)
    return tuple(own.called[name][0] for name in plain)


def _branch_currents(w: Whereabouts, rest: Rest, ground: Ground) -> None:
    """Each branch current from the loop currents or potentials, which are known by now."""
    words: Said = (
        ("The loop currents through the branch",) if ground.move is Move.LOOP_SUM else ("Ohm's law",)
    )
    circuit = ground.own.circuit
    fixed = {e.branch: opened(reason_of(circuit, e)) for e in element_equations(circuit)}
    for name, form in ground.currents.items():
        if name in rest.teller.known:
            continue
        if form == Symbol(name):
            continue
        rest.teller.conclude(ground.move, name, form, fixed.get(name, words))
    if ground.last:
        one_by_one(rest, ground.last)


def _renamed(w: Whereabouts, rest: Rest, own: Stage) -> None:
    """The currents asked by the problem's names, where the working has called them otherwise."""
    teller = rest.teller
    for target in targets(w.reading.circuit):
        if target.kind is not Asked.CURRENT:
            continue
        name = target.names[0]
        called, sign = own.called[name]
        if called == name or w.reading.arrows.names.get(name) != {name: 1} or name in teller.known:
            continue
        if name in w.quantities and name in w.values and name in w.known:
            continue
        form: Expr = Symbol(called) if sign > 0 else negate(Symbol(called))
        teller.values = {**teller.values, name: teller.values[called] * sign}
        words = "The same current" if sign > 0 else "The same current, its arrow reversed"
        teller.conclude(Move.PUT_BACK, name, form, (words,))


def _other_questions(w: Whereabouts, own: Stage, rest: Rest, first: int) -> list[FinishedLine]:
    """A line for everything asked that is no current."""
    circuit = own.circuit
    asked = [t for t in targets(w.reading.circuit) if t.kind is not Asked.CURRENT]
    asked = [t for t in asked if t.as_text() not in w.known]
    if not asked:
        return []
    solution = Solution(circuit, dict(own.values), circuit.field.one)
    found = {t: _shown(w, value_of(solution, t)) for t in asked}
    bare = Derivation((), circuit.field, (), {})
    lines: list[FinishedLine] = []
    given: dict[str, int] = {}
    for step in asked_steps(circuit, solution, bare, found, first):
        names = symbols_of(step.law)
        uses = {rest.teller.known[n] for n in names if n in rest.teller.known}
        uses |= {given[n] for n in names if n in given}
        put = {n: rest.teller.put(n) for n in names if n in rest.teller.values}
        sides: list[Expr] = [step.target.name]
        for side in (step.law, step.shown, _with(step.shown, put) if w.in_numbers else step.shown):
            if side not in sides and step.currents is None:
                sides.append(side)
        if step.result not in sides:
            sides.append(step.result)
        facts = (Fact(FactKind.BRANCH),) if step.target.kind is Asked.POTENTIAL else ()
        reason = in_line_numbers(step.reason)
        lines.append(
            FinishedLine(
                step.number,
                tuple(sides),
                reason,
                Lacking.ASKED,
                reason or ("Put what is known into it.",),
                Equation(step.target.name, sides[1]),
                tuple(sorted(uses)),
                facts,
                unit=unit_after(w, sides[-1], step.target.kind),
            )
        )
        given[step.target.as_text()] = step.number
    return lines


def _with(expr: Expr, put: dict[str, Expr]) -> Expr:
    return put_in(expr, put)


def _shown(w: Whereabouts, value: Ratio) -> Expr:
    plain = value.constant()
    if w.in_numbers and plain is not None:
        return shortened(plain, w.figures)
    return tidy(value)


# -- what of it is needed --------------------------------------------------------------------------


def _needed(lines: Sequence[FinishedLine], goals: set[Symbol], last: int) -> tuple[FinishedLine, ...]:
    """The lines without those that nothing asked rests on, numbered on from the working."""
    by_number = {line.number: line for line in lines}
    waiting = [line.number for line in lines if line.sides[0] in goals]
    kept: set[int] = set()
    while waiting:
        number = waiting.pop()
        if number in kept or number not in by_number:
            continue
        kept.add(number)
        waiting.extend(by_number[number].uses)
        held = {n for side in by_number[number].sides for n in symbols_of(side)}
        waiting.extend(x.number for x in lines if x.gives_name and symbols_of(x.sides[0])[0] in held)
    numbers = {n: last + 1 + at for at, n in enumerate(sorted(kept))}
    found: list[FinishedLine] = []
    heading = ""
    for line in sorted(lines, key=lambda x: x.number):
        heading = line.heading or heading  # of a line left away: the next one's
        if line.number in kept:
            found.append(_renumbered(replace(line, heading=heading), numbers))
            heading = ""
    return tuple(found)


def _renumbered(line: FinishedLine, numbers: dict[int, int]) -> FinishedLine:
    def in_words(said: Said) -> Said:
        return tuple(
            re.sub(r"\bline (\d+)", lambda m: f"line {numbers.get(int(m[1]), int(m[1]))}", p)
            if isinstance(p, str)
            else p
            for p in said
        )

    uses = tuple(numbers.get(n, n) for n in line.uses)
    return replace(
        line,
        number=numbers[line.number],
        uses=uses,
        reason=in_words(line.reason),
        where=in_words(line.where),
    )


# -- what is said of the whole ---------------------------------------------------------------------


def _missing(lines: Sequence[FinishedLine]) -> Said:
    """Whether the equations are enough, and what is missing."""
    equations = (Lacking.JUNCTION, Lacking.LOOP, Lacking.ALGEBRA)
    if lines and lines[0].lacking not in equations:
        return (lines[0].lacking.value,)
    junctions = sum(line.lacking is Lacking.JUNCTION for line in lines)
    loops = sum(line.lacking is Lacking.LOOP for line in lines)
    said = [
        counted(count, f"{law} equation")
        for count, law in ((junctions, "junction"), (loops, "loop"))
        if count
    ]
    if not said:
        return ("The equations are enough; what is left is algebra.",)
    verb = "is" if junctions + loops == 1 else "are"
    words = " and ".join(said)
    return (f"{words[:1].upper()}{words[1:]} {verb} missing.",)


def _directions(w: Whereabouts) -> Said:
    """Which of the currents asked flow against their arrows, where the working stands in numbers."""
    own = stage(w, avoid=loop_names(w))
    values = {name: own.values[name].constant() for name in _asked_currents(w, own)} if w.in_numbers else {}
    against = [name for name, value in values.items() if value is not None and value < 0]
    if not against:
        return ()
    one = " is negative: it flows against its arrow."
    several = " are negative: they flow against their arrows."
    return (*in_a_row([(Symbol(n),) for n in against]), one if len(against) == 1 else several)


def _check(w: Whereabouts, lines: Sequence[FinishedLine]) -> Said:
    """A loop that was not used, into which the results can be put."""
    own = stage(w, avoid=loop_names(w))
    used = {frozenset(b for b, _ in loop) for v in w.reading.verdicts if v.holds for loop in v.loops}
    used |= {frozenset(b for b, _ in fact.loop) for line in lines for fact in line.facts}
    for loop in plain_loops(own.letters):
        if frozenset(b for b, _ in own.original(loop)) not in used:
            law = loop_equation(own.letters, loop)
            return ("To check, put the results into a loop that was not used: ", law.written, ".")
    law = loop_equation(own.letters, plain_loops(own.letters)[0])
    return ("To check, put the results into a loop once more: ", law.written, ".")
