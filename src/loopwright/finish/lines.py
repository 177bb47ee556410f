"""A step of the rest as a line: its sides, its reason with lines called by their number in the text, what it
rests on, and what is told of it at each level of help."""

from __future__ import annotations

import re

from ..circuit.targets import Asked
from ..derive.steps import Move, Step
from ..expressions.nodes import Equation, Expr, Negative, Number, Symbol
from ..expressions.said import Said, names
from ..expressions.values import symbols_of
from ..laws.equations import Law
from .finished import Fact, FactKind, FinishedLine, Lacking, told_without_lines
from .going_on import LawInNames, Rest
from .unknowns import Ground
from .whereabouts import Whereabouts

_LINE = re.compile(r"\((\d+)\)")


def line_of(w: Whereabouts, ground: Ground, rest: Rest, step: Step) -> FinishedLine:
    """A step of the derivation as a line of the rest."""
    law = rest.laws.get(step.number)
    reason, chain = in_line_numbers(step.reason), step.chain
    equation = step.on_the_way or step.written
    lacking = _lacking(step, law)
    where = told_without_lines(reason)
    if lacking in _CONCLUDED or (law is not None and step.is_result and step.solves):
        reason, chain, equation = _concluded(step, reason)
        where = _told_where(ground, step, equation) if law is None else where
    elif law is not None:
        equation = law.letters
        if w.in_numbers and equation != step.written:
            reason = (*opened(reason), ": ", equation, ".")
    given = law is not None and law.law.law is Law.ELEMENT and len(law.linear.coefficients) == 1
    name = next(iter(symbols_of(step.written.left)), "") if given else step.solves
    made = w.quantities.get(name, ())
    level = any(k.startswith("φ ") for k in made) or (name in ground.new and ground.move is Move.OHM)
    kind = Asked.POTENTIAL if level else Asked.CURRENT
    return FinishedLine(
        step.number,
        chain,
        reason,
        lacking,
        where,
        equation,
        step.uses,
        _facts(ground, step, law),
        unit=unit_after(w, chain[-1], kind) if name else "",
        gives_name=step.move in (Move.NAME, Move.DETERMINANT),
    )


_CONCLUDED = (Lacking.SUM, Lacking.OHM, Lacking.NAME, Lacking.PARTS, Lacking.QUOTIENT)


def _concluded(step: Step, reason: Said) -> tuple[Said, tuple[Expr, ...], Equation]:
    """A result that follows at once: in letters first, then with the numbers put in, then what it is."""
    formula = next((p for p in reason if isinstance(p, Equation)), step.on_the_way or step.written)
    at = reason.index(formula) if formula in reason else len(reason)
    before = reason[:at] if at == len(reason) else reason[: max(at - 1, 0)]  # without the comma
    words = (*before, *reason[at + 1 :])
    between = step.on_the_way.right if step.on_the_way is not None else step.written.right
    sides = [formula.left, formula.right]
    plain = between.body if isinstance(between, Negative) else between
    if not isinstance(plain, Number):
        sides.append(between)
    sides.append(step.written.right)
    return words, tuple(dict.fromkeys(sides)), formula


def _told_where(ground: Ground, step: Step, formula: Equation) -> Said:
    """Which branch or name a result is read off, without the formula."""
    own, name = ground.own, Symbol(step.solves)
    if step.move is Move.OHM:
        b = own.circuit.branch(step.solves)
        met = names([p.element for p in b.passes])
        return ("Take ", name, f", from {b.start} to {b.end} through ", *met, ".")
    if step.move is Move.LOOP_SUM:
        return ("Add the loop currents that pass through the branch of ", name, ".")
    if step.move is Move.CRAMER:
        return (name, " is the determinant with the right sides in its column over that of the coefficients.")
    turned = ", its arrow reversed." if isinstance(formula.right, Negative) else ", with the same arrow."
    return (name, " is ", *names(symbols_of(formula.right)), turned)


def opened(reason: Said) -> Said:
    """A reason without its full stop, so that it can be gone on with."""
    last = reason[-1]
    return (*reason[:-1], last.rstrip(".")) if isinstance(last, str) else reason


def _lacking(step: Step, law: LawInNames | None) -> Lacking:
    if law is not None:
        return {Law.JUNCTION: Lacking.JUNCTION, Law.LOOP: Lacking.LOOP, Law.ELEMENT: Lacking.ELEMENT}[
            law.law.law
        ]
    by_move = {
        Move.LOOP_SUM: Lacking.SUM,
        Move.OHM: Lacking.OHM,
        Move.ADD_PARTS: Lacking.PARTS,
        Move.DETERMINANT: Lacking.DETERMINANT,
        Move.CRAMER: Lacking.QUOTIENT,
    }
    if step.move is Move.PUT_BACK and str(step.reason[0]).startswith("The same current"):
        return Lacking.NAME
    return by_move.get(step.move, Lacking.ALGEBRA)


def _facts(ground: Ground, step: Step, law: LawInNames | None) -> tuple[Fact, ...]:
    """What a line rests on besides the lines that it uses."""
    own = ground.own
    setting = own.setting
    junctions = Fact(FactKind.JUNCTION, setting=setting)
    if law is None:
        if step.move is Move.LOOP_SUM:
            return (junctions,)
        if step.move is Move.OHM:
            back = {name: branch for branch, (name, _) in own.called.items()}
            kinds = (FactKind.BRANCH, FactKind.ELEMENT)
            return tuple(Fact(kind, back[step.solves], setting=setting) for kind in kinds)
        return ()
    own_law = law.law
    if own_law.law is Law.JUNCTION:
        through: tuple[Fact, ...] = ()
        if (
            ground.move is Move.OHM
        ):  # the currents are put in: by Ohm's law, or as a current source fixes them
            through = (Fact(FactKind.BRANCH, setting=setting), Fact(FactKind.ELEMENT, setting=setting))
        return (Fact(FactKind.JUNCTION, own_law.point, setting=setting), *through)
    if own_law.law is Law.LOOP:
        more = (junctions,) if ground.currents else ()
        return (Fact(FactKind.LOOP, loop=own.original(own_law.loop), setting=setting), *more)
    back = {name: branch for branch, (name, _) in own.called.items()}
    if ground.move is Move.OHM:  # the emf that ties the potentials at the ends of a branch
        return (Fact(FactKind.BRANCH, back[own_law.branch], setting=setting),)
    more = (junctions,) if ground.currents else ()
    return (Fact(FactKind.ELEMENT, back[own_law.branch], setting=setting), *more)


def in_line_numbers(reason: Said) -> Said:
    """A reason in which lines are called by their number in the text: `line 7` for (7)."""
    return tuple(_LINE.sub(r"line \1", p) if isinstance(p, str) else p for p in reason)


_UNITS = {Asked.CURRENT: "A", Asked.POTENTIAL: "V", Asked.POWER: "W", Asked.RESISTANCE: "Ω"}
_SMALL = {"A": "mA", "V": "V", "W": "mW", "Ω": "kΩ"}


def unit_after(w: Whereabouts, side: Expr, kind: Asked) -> str:
    """The unit after a result in figures."""
    bare = side.body if isinstance(side, Negative) else side
    if not w.in_numbers or not isinstance(bare, Number):
        return ""
    unit = _UNITS.get(kind, "")
    return _SMALL.get(unit, "") if w.meanings.thousands else unit
