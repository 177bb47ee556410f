"""What the person expects of a limit, judged where the closed forms are too long to be written out.

Every symbol but the one that goes to the limit gets a whole number drawn from its name; what is left is
one symbol, and the limit is exact. Two formulas that differ agree at such a point with a chance below
their degree over RANGE (Schwartz 1980, Zippel 1979; from memory), and at both points with its square.
Where all numbers are given, the true end of a refuted claim is told in these.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from hashlib import sha256

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.claims import Expectation, claim
from ...expressions.amounts import amount
from ...expressions.nodes import Equation, Expr, Symbol, number, put_in
from ...expressions.said import Said
from ...solve.exact import solve_posed
from .expectations import (
    ExpectationVerdict,
    Judgement,
    case_of,
    claimed,
    judge,
    limit_variable,
)
from .limit_of_ratio import Unbounded
from .limit_variables import with_own_symbol

POINTS = 2
RANGE = 1 << 20
MOST_BRANCHES = 400  # branches of a circuit worked at points; elimination takes minutes beyond


def judge_all_at_points(circuit: Circuit) -> tuple[ExpectationVerdict, ...]:
    """The verdicts on all expectations of a well-posed circuit, in order, without its closed forms.

    Raises FaultyMaterial where one cannot be read or names what the circuit lacks.
    """
    return tuple(_judged(claim(text), circuit) for text in circuit.expect)


def _judged(said: Expectation, circuit: Circuit) -> ExpectationVerdict:
    if len(circuit.branches) > MOST_BRANCHES:
        why = f" cannot be decided: more than {MOST_BRANCHES} branches would have to be worked at each point."
        return ExpectationVerdict(said, Judgement.UNDECIDED, None, None, (*claimed(said), why))
    variable = limit_variable(circuit, said)
    own, symbol = (circuit, said.symbol) if variable is None else with_own_symbol(circuit, variable)
    others = [name for name in own.symbols if name != symbol]
    found = [_at(said, own, {name: _drawn(f"{name} {n}") for name in others}) for n in range(POINTS)]
    undecided = next((v for v in found if v.judgement is Judgement.UNDECIDED), None)
    if undecided is not None:
        return replace(undecided, claim=said)
    if all(v.judgement is Judgement.CONFIRMED for v in found):
        told: Said = ("Confirmed: ", *claimed(said), f", exactly at {POINTS} random points.")
        return ExpectationVerdict(said, Judgement.CONFIRMED, None, None, told)
    return ExpectationVerdict(said, Judgement.REFUTED, None, None, _refuted(said, own, others))


def _refuted(said: Expectation, own: Circuit, others: list[str]) -> Said:
    """The sentence that refutes: with the true end where all numbers are given."""
    if all(name in own.numbers for name in others):
        true = _at(said, own, {name: own.numbers[name] for name in others})
        ends = [_end(said.left, true.left, own)]
        if said.right is not None and said.relation == "=":
            ends.append(_end(said.right, true.right, own))
        joined: Said = ends[0] if len(ends) == 1 else (*ends[0], " but ", *ends[1])
        return ("Refuted: with the numbers given, as ", *case_of(said), ", ", *joined, ".")
    return ("Refuted: ", *claimed(said), f", which fails at {POINTS} random points, worked exactly.")


def _end(side: Expr, end: Ratio | Unbounded | None, circuit: Circuit) -> Said:
    if not isinstance(end, Ratio):
        return (side, " grows without limit")
    value = end.constant() or Fraction(0)
    return (Equation(side, amount(value, _unit_of(side, circuit), circuit.figures), "→"),)


def _unit_of(side: Expr, circuit: Circuit) -> str:
    """The unit of a lone current or question; empty for what is made of several."""
    name = side.name if isinstance(side, Symbol) else ""
    if name in circuit.currents:
        return "A"
    return {"V(": "V", "P(": "W", "R(": "Ω"}.get(name[:2], "")


def _at(said: Expectation, circuit: Circuit, values: Mapping[str, Fraction]) -> ExpectationVerdict:
    """The claim judged in the circuit with these numbers for symbols."""
    numbers = {name: number(value) for name, value in values.items()}
    fixed = circuit.with_put_in(numbers)
    right = None if said.right is None else put_in(said.right, numbers)
    return judge(replace(said, left=put_in(said.left, numbers), right=right), fixed, solve_posed(fixed))


def _drawn(text: str) -> Fraction:
    return Fraction(int.from_bytes(sha256(text.encode()).digest()[:8], "big") % RANGE + 1)
