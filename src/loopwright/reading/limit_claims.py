"""Claims on limit cases in a working, judged as the sheet judges an expectation."""

from __future__ import annotations

from ..checks.limits.expectations import Judgement, judge
from ..circuit.claims import End, Expectation
from ..errors import FaultyMaterial
from ..expressions.nodes import ZERO, Expr, Symbol, negate, put
from ..solve.exact import Solution
from .verdicts import Arrows, ClaimKind, Truth, Verdict
from .working import Claim, WrittenLine

_KINDS = {Judgement.CONFIRMED: ClaimKind.TRUE, Judgement.REFUTED: ClaimKind.UNTRUE}


def limit_verdict(solution: Solution, arrows: Arrows, line: WrittenLine, claim: Claim) -> Verdict:
    """The verdict on what a line says of a limit case."""
    case = claim.case[0]
    if len(claim.case) > 1 or not isinstance(case.left, Symbol):
        said = ("Only one element at a time is taken to a limit here.",)
        return Verdict(line.number, claim, ClaimKind.UNDECIDED, said)
    infinite = claim.written.right == Symbol("∞")
    expected = Expectation(
        _along_problem(claim.written.left, arrows),
        "=" if claim.written.relation == "=" and not infinite else "->",
        None if infinite else _along_problem(claim.written.right, arrows),
        case.left.name,
        End.ZERO if case.right == ZERO else End.INFINITY,
    )
    try:
        verdict = judge(expected, solution.circuit, solution)
    except (FaultyMaterial, KeyError, ZeroDivisionError) as trouble:
        return Verdict(line.number, claim, ClaimKind.UNDECIDED, (f"It cannot be decided: {trouble}",))
    kind = _KINDS.get(verdict.judgement, ClaimKind.UNDECIDED)
    truth = Truth.ALWAYS if kind is ClaimKind.TRUE else Truth.NO
    cause = line.number if kind is ClaimKind.UNTRUE else None
    return Verdict(line.number, claim, kind, verdict.sentence, truth, cause=cause)


def _along_problem(expr: Expr, arrows: Arrows) -> Expr:
    """The expression with each current of the working written as the problem's own current, or minus it."""
    names: dict[str, Expr] = {}
    for name, meaning in arrows.names.items():
        if len(meaning) == 1 and meaning != {name: 1}:
            ((branch, sign),) = meaning.items()
            names[name] = Symbol(branch) if sign > 0 else negate(Symbol(branch))
    return put(expr, names)
