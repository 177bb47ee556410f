"""One limit case as a value, and the sentence that tells it in words of the trade.

The sentence is made only when it is asked for: from the changed circuit as one would draw it again.
Stands on `redrawn`, `splits` and the tidy forms of `expressions`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...expressions.nodes import ZERO, Equation, Expr, Symbol, add, negate, times
from ...expressions.said import Said, counted, in_a_row, names
from ...expressions.tidy import tidy
from .limit_of_ratio import LimitEnd, LimitOutcome, Unbounded
from .limit_variables import LimitQuantity, LimitVariable, SharedSymbol
from .redrawn import CircuitPart, Redrawn, redraw, sources_of
from .splits import CurrentSplit

MOST_KEPT = 3  # elements that keep their values are named; more are counted
_LONG = 7  # terms above and below the line together; a longer current is not written in a sentence


class Ending(StrEnum):
    """How a limit ends."""

    SETTLED = "settled"  # the changed circuit has one answer
    UNBOUNDED = "unbounded"  # a source drives a loop that has no resistance left
    SPLIT_OPEN = "split open"  # a loop without resistance, its emfs cancelling: only sums are fixed
    FORCED = "forced"  # a current source drives its current through however large a resistance


@dataclass(frozen=True)
class LimitCase:
    """One quantity taken to one end, and what every current does, by both routes.

    `variable`: a quantity of one element, or a symbol that moves several. `kept`: the elements that share a
    symbol with that one element and keep their values.
    `symbol`: the symbol that was taken to the limit (the element's own where it shares one).
    `formula`: from the closed form. `redrawn`: from `changed`, the circuit drawn again. `agree`:
    whether both routes say the same of every current. `split`: with an open split, the currents when
    the last resistances vanish in a given ratio. `loop`: the loop left without resistance, if any.
    """

    circuit: Circuit
    variable: LimitVariable | SharedSymbol
    symbol: str
    to: LimitEnd
    ending: Ending
    formula: Mapping[str, LimitOutcome]
    redrawn: Mapping[str, LimitOutcome]
    changed: Circuit
    agree: bool
    loop: tuple[str, ...] = ()
    split: CurrentSplit | None = None
    kept: tuple[str, ...] = ()

    @property
    def element(self) -> str:
        """The designator of the element, or the symbol that several carry."""
        return self.variable.element

    @property
    def moved(self) -> tuple[str, ...]:
        """The designators of the elements that are taken to the limit."""
        v = self.variable
        return v.elements if isinstance(v, SharedSymbol) else (v.element,)

    @property
    def head(self) -> Said:
        """The case named: `R3 open`, `R3 shorted`, `E1 at zero`; `R → 0 in R1 and R2` for a symbol of several
        elements, `R1 alone shorted (R2 keeps its value)` for one of them by itself."""
        if isinstance(self.variable, SharedSymbol):
            case = Equation(Symbol(self.symbol), ZERO if self.to == "0" else Symbol("∞"), "→")
            others = tuple(name for name in self.moved if name != self.symbol)
            return (case, " in " if others == self.moved else ", and with it ", *names(others))
        name: Said = (Symbol(self.variable.element), *((" alone",) if self.kept else ()))
        return (*self._done_to(name, self.variable.quantity), *keeping(self.kept))

    def _done_to(self, name: Said, quantity: LimitQuantity) -> Said:
        """What is done to the one element of this name."""
        match quantity, self.to:
            case LimitQuantity.RESISTANCE, "0":
                return (*name, " shorted")
            case LimitQuantity.RESISTANCE, _:
                return (*name, " open")
            case LimitQuantity.INTERNAL, "0":
                return (*name, " without internal resistance")
            case LimitQuantity.INTERNAL, _:
                return ("Branch of ", *name, " open")
            case LimitQuantity.EMF, _:
                return (*name, " at zero")
            case _:
                return (*name, " taken out")

    @cached_property
    def sentence(self) -> Said:
        """The case told in words of the trade."""
        match self.ending:
            case Ending.SETTLED:
                body = _settled(self)
            case Ending.UNBOUNDED:
                body = _unbounded(self)
            case Ending.SPLIT_OPEN:
                body = _split_undetermined(self)
            case Ending.FORCED:
                body = _forced(self)
        doubt: Said = () if self.agree else (" The closed form does not agree with this.",)
        return (*self.head, ": ", *body, ".", *doubt)


def keeping(kept: Sequence[str]) -> Said:
    """In brackets, which elements keep their values while one that shares a symbol with them does not."""
    if not kept:
        return ()
    if len(kept) > MOST_KEPT:
        return (f" (the other {len(kept)} keep their values)",)
    return (" (", *names(kept), " keeps its value)" if len(kept) == 1 else " keep their values)")


def _settled(case: LimitCase) -> Said:
    values = {name: value for name, value in case.redrawn.items() if isinstance(value, Ratio)}
    drawn = redraw(case.changed)
    zeros = tuple(name for name, value in values.items() if not value)
    if len(zeros) == len(values):
        return _nothing_flows(case, drawn)
    clauses: list[Said] = []
    if zeros:
        clauses.append((*names(zeros), " vanishes" if len(zeros) == 1 else " vanish"))
    driven = [part for part in drawn.parts if any(values[name] for name in part.branches)]
    before: dict[str, Ratio] = {}
    if len(driven) > 1:
        clauses.append(
            (f"the circuit falls into {counted(len(driven), 'part')} that do not affect one another",)
        )
    for part in driven:
        said: dict[str, Ratio] = {}
        told, long = current_words(part.branches, values, said)
        clauses += _driven(case, part, drawn, told)
        clauses += _finite(long)
        before |= said
    wires = tuple(name for name in drawn.wires if values[name])
    written = {name for part in driven for name in part.branches}
    forced = tuple(n for n, v in values.items() if v and n not in written and n not in wires)
    if isinstance(case.variable, SharedSymbol):  # which also fixes how wires side by side share a current
        forced, wires = (*forced, *wires), ()
    if forced:
        said_of, long = current_words(forced, values, before)
        clauses += [said_of] if said_of else []
        clauses += _finite(long)
    if wires:
        equations = [_wire_equation(case.changed, name, values, before) for name in wires]
        verb = "the wire carries " if len(wires) == 1 else "the wires carry "
        clauses.append((verb, *in_a_row([(e,) for e in equations])))
    return _semicolons(clauses)


def _nothing_flows(case: LimitCase, drawn: Redrawn) -> Said:
    """Why every current vanishes: nowhere to flow, nothing that drives, or sources that cancel."""
    if not drawn.loops:
        return ("no loop is left, so no current flows",)
    sources = tuple(name for part in drawn.parts for name in part.sources)
    if not sources:
        return ("nothing drives a current any more",)
    verb = " balance one another" if len(sources) > 1 else " drives nothing"
    return (*names(sources), verb, ", so no current flows")


def _semicolons(clauses: Sequence[Said]) -> Said:
    pieces: list[str | Expr | Equation] = []
    for i, clause in enumerate(clauses):
        pieces.extend(("; ", *clause) if i else clause)
    return tuple(pieces)


def _driven(case: LimitCase, part: CircuitPart, drawn: Redrawn, told: Said) -> list[Said]:
    """The currents of one part of the changed circuit and what drives them, as sentences, as far as that is
    worth saying. `told`: what has been said of the circuit before."""
    if len(part.sources) == 1 and len(sources_of(case.circuit, case.circuit.currents)) > 1:
        source = Symbol(part.sources[0])
        return [(source, " alone drives ", *told)] if told else [(source, " alone is left")]
    if case.to == "∞" and len(drawn.parts) == 1:
        left = f"{counted(part.loops, 'loop')} {'is' if part.loops == 1 else 'are'} left"
        return [(f"{left}, so ", *told)] if told else [(left,)]
    if len(drawn.parts) > 1 and told:
        return [(*names(part.sources), " drives " if len(part.sources) == 1 else " drive ", *told)]
    return [told] if told else []


def _finite(long: Sequence[str]) -> list[Said]:
    return [(*names(long), " stays finite" if len(long) == 1 else " stay finite")] if long else []


def current_words(
    branches: Sequence[str], values: Mapping[str, Ratio], said: dict[str, Ratio]
) -> tuple[Said, list[str]]:
    """The currents one by one, zeros left out; one that equals another, or is its opposite, is written
    by it. Those whose form is too long for a sentence are given by name (the case holds their values).

    `said` holds what has been written already and is added to.
    """
    told: list[Said] = []
    long: list[str] = []
    for name in branches:
        value = values[name]
        if not value:
            continue
        twin = next((n for n, v in said.items() if v == value), None)
        mirror = next((n for n, v in said.items() if v == -value), None)
        if twin is not None:
            told.append((Equation(Symbol(name), Symbol(twin)),))
        elif mirror is not None:
            told.append((Equation(Symbol(name), negate(Symbol(mirror))),))
        elif len(value.above) + len(value.below) > _LONG:
            long.append(name)
        else:
            told.append((Equation(Symbol(name), tidy(value)),))
        said.setdefault(name, value)
    return in_a_row(told), long


def _wire_equation(
    circuit: Circuit, wire: str, values: Mapping[str, Ratio], said: dict[str, Ratio]
) -> Equation:
    """The current of a plain wire as the sum of the others at the end where fewer meet."""
    for name, value in said.items():
        if value == values[wire] or value == -values[wire]:
            twin = Symbol(name)
            return Equation(Symbol(wire), twin if value == values[wire] else negate(twin))
    b = circuit.branch(wire)
    sums: list[list[Expr]] = []
    for point, leaving in ((b.start, 1), (b.end, -1)):
        terms: list[Expr] = []
        for other in circuit.branches:
            if other.name == wire or other.start == other.end or not values[other.name]:
                continue
            if point in (other.start, other.end):
                into = 1 if other.end == point else -1
                terms.append(Symbol(other.name) if into * leaving > 0 else negate(Symbol(other.name)))
        sums.append(sorted(terms, key=lambda t: not isinstance(t, Symbol)))
    return Equation(Symbol(wire), add(*min(sums, key=len)))


def _unbounded(case: LimitCase) -> Said:
    growing = {n: v.leading_term for n, v in case.redrawn.items() if isinstance(v, Unbounded)}
    kept = {n: v for n, v in case.redrawn.items() if isinstance(v, Ratio)}
    sources = sources_of(case.changed, case.loop)
    drive = "drives" if len(sources) == 1 else "do not cancel round"
    first: Said = (*names(sources), f" {drive} a loop that has no resistance left")
    return _semicolons([first, without_limit(growing), *_others(kept)])


def _others(kept: Mapping[str, Ratio]) -> list[Said]:
    """The currents that the loop without resistance does not touch."""
    told, long = current_words(tuple(kept), kept, {})
    zeros = tuple(n for n, v in kept.items() if not v)
    clauses: list[Said] = [(*names(zeros), " vanishes" if len(zeros) == 1 else " vanish")] if zeros else []
    if told:
        clauses.append(("for the rest ", *told))
    return [*clauses, *_finite(long)]


def without_limit(growing: Mapping[str, Ratio]) -> Said:
    """A sentence that these currents grow without limit, those together in which the same part takes over."""
    alike: dict[Ratio, list[str]] = {}
    for name, part in growing.items():
        alike.setdefault(part, []).append(name)
    told: list[Said] = [
        (*in_a_row([*((Symbol(n),) for n in group[:-1]), (Equation(Symbol(group[-1]), tidy(part), "≈"),)]),)
        for part, group in alike.items()
    ]
    row = in_a_row(told) if len(told) == len(growing) else _semicolons(told)
    return (*row, f" {'grows' if len(growing) == 1 else 'grow'} without limit")


def _split_undetermined(case: LimitCase) -> Said:
    sources = sources_of(case.changed, case.loop)
    if sources:
        start: Said = (*names(sources), " then stand side by side without resistance, and agree")
    else:
        start = ("the wires of ", *names(case.loop), " then lie side by side")
    kept = {n: v for n, v in case.redrawn.items() if isinstance(v, Ratio)}
    body: Said = (*start, *split_words(case.split)) if case.split else start
    return _semicolons([body, *_others(kept)])


def split_words(split: CurrentSplit) -> Said:
    """An undetermined split told: what is fixed, and the shares by the ratio in which resistances vanish."""
    fixed = [(Equation(_combination(signs), tidy(value)),) for signs, value in split.fixed]
    beside = [
        (times(Symbol(split.factor), Symbol(letter)), " in ", Symbol(n)) for n, letter in split.shares.items()
    ]
    shares = [(Equation(Symbol(n), tidy(v), "→"),) for n, v in split.currents.items()]
    return (
        "; ",
        *in_a_row(fixed),
        f" {'is' if len(fixed) == 1 else 'are'} fixed, but the split is undetermined: with resistances ",
        *in_a_row(beside),
        " and ",
        Equation(Symbol(split.factor), tidy(next(iter(split.currents.values())).field.zero), "→"),
        ", ",
        *in_a_row(shares),
    )


def _combination(signs: Mapping[str, int]) -> Expr:
    return add(*(Symbol(n) if sign > 0 else negate(Symbol(n)) for n, sign in signs.items()))


def _forced(case: LimitCase) -> Said:
    sources = [
        n for n in sources_of(case.changed, case.changed.currents) if case.changed.elements[n].fixes_current
    ]
    drive = " drives its current" if len(sources) == 1 else " drive their current"
    return (
        *names(sources),
        drive,
        " through it all the same: no current changes, only the voltage across ",
        *names(case.moved),
        " grows without limit",
    )
