"""Claims on limit cases in a working, judged as the sheet judges an expectation."""

from __future__ import annotations

from ..algebra.ratios import Ratio
from ..checks.limits.expectations import ExpectationVerdict, Judgement, claimed, judge
from ..circuit.claims import End, Expectation
from ..errors import FaultyMaterial
from ..expressions.nodes import ZERO, Expr, Symbol, negate, put
from ..expressions.values import symbols_of
from .truth.dimensions import thousands
from .truth.truth import Truths
from .verdicts import Arrows, ClaimKind, Truth, Verdict
from .working import Claim, WrittenLine

_KINDS = {Judgement.CONFIRMED: ClaimKind.TRUE, Judgement.REFUTED: ClaimKind.UNTRUE}


def limit_verdict(truths: Truths, line: WrittenLine, claim: Claim) -> Verdict:
    """The verdict on what a line says of a limit case."""
    solution, arrows, case = truths.solution, truths.arrows, claim.case[0]
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
        why = f"what {trouble.args[0]} stands for" if isinstance(trouble, KeyError) else trouble
        return Verdict(line.number, claim, ClaimKind.UNDECIDED, (f"It cannot be decided: {why}",))
    if verdict.judgement is Judgement.REFUTED and _is_rounded(truths, claim, verdict):
        rounded = ("Confirmed: ", *claimed(expected), ", as rounded.")
        return Verdict(line.number, claim, ClaimKind.TRUE, rounded, Truth.ROUNDED)
    kind = _KINDS.get(verdict.judgement, ClaimKind.UNDECIDED)
    truth = Truth.ALWAYS if kind is ClaimKind.TRUE else Truth.NO
    cause = line.number if kind is ClaimKind.UNTRUE else None
    return Verdict(line.number, claim, kind, verdict.sentence, truth, cause=cause)


def _is_rounded(truths: Truths, claim: Claim, verdict: ExpectationVerdict) -> bool:
    """Whether numbers that a quantity is said to go to are its limit as they are rounded: I5 = -4/4.67."""
    name, side = claim.written.left, claim.written.right
    if isinstance(verdict.left, Ratio) and isinstance(verdict.right, Ratio) and verdict.right:
        sides = [truths.solution.number(each) for each in (verdict.left, verdict.right)]
        if claim.written.relation == "=" and sides[0] == sides[1]:  # 45 V = 1020
            return not any(view.meanings.thousands for view in truths.views)
    if not isinstance(name, Symbol) or symbols_of(side) or not isinstance(verdict.left, Ratio):
        return False
    value, view = truths.solution.number(verdict.left), truths.views[-1]
    scale = thousands(truths.unit(name.name)) if view.meanings.thousands else 1
    return value is not None and view.as_rounded.numbers.rounds_from(side, value * scale)


def _along_problem(expr: Expr, arrows: Arrows) -> Expr:
    """The expression with each current of the working written as the problem's own current, or minus it, and
    each potential as the voltage against its zero."""
    names: dict[str, Expr] = {}
    for name, meaning in arrows.names.items():
        ends = {sign: n.removeprefix("φ ") for n, sign in meaning.items() if n.startswith("φ ")}
        if len(meaning) == 2 and ends.keys() == {1, -1}:
            names[name] = Symbol(f"V({ends[1]}, {ends[-1]})")
        if len(meaning) == 1 and meaning != {name: 1}:
            ((branch, sign),) = meaning.items()
            names[name] = Symbol(branch) if sign > 0 else negate(Symbol(branch))
    return put(expr, names)
