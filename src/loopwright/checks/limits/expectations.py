"""What the person expects of a limit, confirmed or refuted with the true result.

Stands on `circuit.claims` for the sentence read and on `solve` for the truth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from ...algebra.ratios import Ratio
from ...circuit import claims
from ...circuit.circuit import Circuit
from ...circuit.claims import Expectation, claim
from ...errors import FaultyMaterial
from ...expressions.nodes import ZERO, Equation, Expr, Symbol
from ...expressions.said import Said
from ...expressions.tidy import tidy
from ...expressions.values import symbols_of
from ...findings import Finding
from ...solve.asked import value_written
from ...solve.exact import Solution, solve_posed
from .cases import Ending, keeping
from .limit_of_ratio import Indeterminate, LimitEnd, Unbounded, limit_of
from .limit_variables import (
    LimitQuantity,
    LimitVariable,
    limit_variables,
    shared_symbols,
    shares_with,
    value_of,
    with_own_symbol,
)
from .limits import limit_case, symbol_case

INFINITE = Symbol("∞")
_RELATION = {"->": "→", "=": "="}


class Judgement(StrEnum):
    """What became of an expectation."""

    CONFIRMED = "confirmed"
    REFUTED = "refuted"
    UNDECIDED = "cannot be decided"


@dataclass(frozen=True, slots=True)
class ExpectationVerdict:
    """An expectation judged. `left`, `right`: the limits of both sides (None where there is none)."""

    claim: Expectation
    judgement: Judgement
    left: Ratio | Unbounded | None
    right: Ratio | Unbounded | None
    sentence: Said


def judge_all(circuit: Circuit, solution: Solution) -> tuple[ExpectationVerdict, ...]:
    """The verdicts on all expectations of the circuit, in order. Raises FaultyMaterial where one
    cannot be read."""
    return tuple(judge(claim(text), circuit, solution) for text in circuit.expect)


def judge(said: Expectation, circuit: Circuit, solution: Solution) -> ExpectationVerdict:
    """Whether an expectation holds, with the true result.

    Its symbol is a symbol of the values (all elements that carry it go to the limit, as in the closed
    form) or else an element's designator; an element said to be meant alone gets a symbol of its own. Raises
    FaultyMaterial for a name the circuit lacks.
    """
    to: LimitEnd = "0" if said.to is claims.End.ZERO else "∞"
    variable = limit_variable(circuit, said)
    own, symbol = (circuit, said.symbol) if variable is None else with_own_symbol(circuit, variable)
    known = solution if own is circuit else solve_posed(own)
    try:
        left = value_written(said.left, known)
        right = known.circuit.field.zero if said.right is None else value_written(said.right, known)
    except (FaultyMaterial, KeyError) as trouble:
        return ExpectationVerdict(
            said, Judgement.UNDECIDED, None, None, (*claimed(said), f" cannot be decided: {trouble}")
        )
    ends = limit_of(left, symbol, to), limit_of(right, symbol, to)
    doubt = _doubt(circuit, known, variable, said, to)
    if doubt:
        why: Said = (*claimed(said), " cannot be decided: ", *doubt)
        return ExpectationVerdict(said, Judgement.UNDECIDED, *ends, why)
    if said.right is None:
        holds = isinstance(ends[0], Unbounded)
    else:
        difference = limit_of(left - right, symbol, to)
        holds = isinstance(difference, Ratio) and not difference
    judgement = Judgement.CONFIRMED if holds else Judgement.REFUTED
    kept = () if variable is None else shares_with(circuit, variable)
    return ExpectationVerdict(said, judgement, *ends, _sentence(said, holds, ends, kept))


def limit_variable(circuit: Circuit, said: Expectation) -> LimitVariable | None:
    """The one quantity that goes to the limit; None where a symbol moves several, or a part of a value.

    Raises FaultyMaterial where an element is said to be meant that the circuit has not got, or that has
    nothing which could be taken to a limit.
    """
    found = [v for v in limit_variables(circuit) if v.quantity is not LimitQuantity.INTERNAL]
    named = next((v for v in found if v.element == said.symbol), None)
    if said.symbol in circuit.field and not said.alone:
        carriers = [v for v in limit_variables(circuit) if said.symbol in symbols_of(value_of(circuit, v))]
        lone = len(carriers) == 1 and value_of(circuit, carriers[0]) == Symbol(said.symbol)
        return carriers[0] if lone else None
    if named is None and said.alone:
        known = ", ".join(dict.fromkeys(v.element for v in found))
        why = f'"{said.symbol} alone" is not an element with a value that could be taken to a limit.'
        raise FaultyMaterial(Finding("limits/unknown-element", why, f"There are {known}."))
    return named


def _doubt(
    circuit: Circuit, known: Solution, variable: LimitVariable | None, said: Expectation, to: LimitEnd
) -> Said:
    """Why the limit cannot be relied on: the split of a current left open, or two routes that differ."""
    if variable is None:
        shared = next((s for s in shared_symbols(circuit) if s.symbol == said.symbol), None)
        case = None if shared is None else symbol_case(circuit, known, shared, to)
        differ = case is not None and not case.agree
        return ("the closed form and the circuit redrawn do not agree.",) if differ else ()
    if to == "0" and _is_open(circuit, variable, said):
        return ("with ", Symbol(said.symbol), " shorted the split of the current is left open.")
    return ()


def _is_open(circuit: Circuit, variable: LimitVariable, said: Expectation) -> bool:
    """Whether the redrawn circuit leaves open a current that the expectation names."""
    if not variable.is_resistance:
        return False
    case = limit_case(circuit, variable, "0")
    if case.ending is not Ending.SPLIT_OPEN:
        return False
    return any(isinstance(case.redrawn.get(name), Indeterminate) for name in said.names())


def claimed(said: Expectation) -> Said:
    """The expectation as it was made."""
    what = Equation(said.left, INFINITE if said.right is None else said.right, _RELATION[said.relation])
    return (what, " as ", *case_of(said))


def case_of(said: Expectation) -> Said:
    """The limit case of an expectation: `R2 → 0`, `R2 alone goes to 0`."""
    end = ZERO if said.to is claims.End.ZERO else INFINITE
    if said.alone:
        return (Symbol(said.symbol), " alone goes to ", end)
    return (Equation(Symbol(said.symbol), end, "→"),)


def _sentence(
    said: Expectation, holds: bool, ends: tuple[Ratio | Unbounded, Ratio | Unbounded], kept: Sequence[str]
) -> Said:
    if holds:
        return ("Confirmed: ", *claimed(said), *keeping(kept), ".")
    left, right = ends
    told: Said = ("Refuted: as ", *case_of(said), *keeping(kept), ", ", *_end(said.left, left))
    if said.right is None or said.relation == "->":
        return (*told, ".")
    return (*told, " but ", *_end(said.right, right), ".")


def _end(side: Expr, end: Ratio | Unbounded) -> Said:
    if isinstance(end, Unbounded):
        return (side, " grows without limit")
    return (Equation(side, tidy(end), "→"),)
